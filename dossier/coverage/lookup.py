"""Records by the names that other records use for them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from dossier.records.construction import Coating, Lowering, PressureTest
from dossier.records.examinations import Examination, Examiner, Instrument
from dossier.records.joints import Joint, Line, Pass, Repair
from dossier.records.materials import Batch, Item, MaterialCertificate
from dossier.records.papers import Document
from dossier.records.procedures import Pqr, Procedure
from dossier.records.project import Project
from dossier.records.treatment import HardnessTest, HeatTreatmentRecord
from dossier.records.welders import Welder

R = TypeVar("R")


def _one(records: Iterable[R], key: Callable[[R], str]) -> dict[str, R]:
    return {key(record): record for record in records}


def _many(records: Iterable[R], key: Callable[[R], str]) -> dict[str, list[R]]:
    groups: dict[str, list[R]] = defaultdict(list)
    for record in records:
        groups[key(record)].append(record)
    return dict(groups)


@dataclass(frozen=True, slots=True)
class Lookup:
    """Every register by its key; registers that hang on a joint by the joint's number."""

    lines: dict[str, Line]
    joints: dict[str, list[Joint]]  # more than one where a number was used twice
    passes: dict[str, list[Pass]]
    repairs: dict[str, list[Repair]]
    examinations: dict[str, list[Examination]]
    coatings: dict[str, list[Coating]]
    lowerings: dict[str, list[Lowering]]
    procedures: dict[str, list[Procedure]]  # every revision, as listed
    pqrs: dict[str, Pqr]
    welders: dict[str, list[Welder]]  # a stamp may have had several holders
    items: dict[str, Item]
    material_certificates: dict[str, MaterialCertificate]
    batches: dict[str, Batch]
    examiners: dict[str, Examiner]
    documents: dict[str, Document]
    heat_treatments: dict[str, list[HeatTreatmentRecord]]
    hardness_tests: dict[str, list[HardnessTest]]
    pressure_tests: dict[str, list[PressureTest]]  # by the joints that they list
    sections: tuple[PressureTest, ...]  # pressure tests that tell their joints by line and KP
    instruments: dict[str, list[Instrument]]  # every calibration, oldest first

    def procedure(self, number: str, revision: str) -> Procedure | None:
        """The WPS of that number and revision, None when the register has none."""
        for procedure in self.procedures.get(number, []):
            if procedure.revision == revision:
                return procedure
        return None

    def tests_of(self, joint: Joint) -> list[PressureTest]:
        """The pressure tests whose section holds a joint: by its number, else by line and KP."""
        listed = self.pressure_tests.get(joint.number, [])
        return [*listed, *(test for test in self.sections if _holds(test, joint))]

    def in_force(self, number: str, day: date) -> Procedure | None:
        """The issued revision of a WPS whose time of validity holds that day."""
        for procedure in reversed(self.procedures.get(number, [])):
            starts = procedure.valid_from is None or procedure.valid_from <= day
            ends = procedure.valid_until is None or day <= procedure.valid_until
            if procedure.status == "issued" and starts and ends:
                return procedure
        return None


def lookup(project: Project) -> Lookup:
    """Index a project once, so that no check searches a register from end to end."""
    return Lookup(
        lines=_one(project.lines, lambda line: line.id),
        joints=_many(project.joints, lambda joint: joint.number),
        passes=_many(
            sorted(project.passes, key=lambda p: (p.joint, p.number, p.side)), lambda p: p.joint
        ),
        repairs=_many(project.repairs, lambda repair: repair.joint),
        examinations=_many(project.examinations, lambda examination: examination.joint),
        coatings=_many(project.coatings, lambda coating: coating.joint),
        lowerings=_many(project.lowerings, lambda lowering: lowering.joint),
        procedures=_many(project.procedures, lambda procedure: procedure.number),
        pqrs=_one(project.pqrs, lambda pqr: pqr.number),
        welders=_many(project.welders, lambda welder: welder.stamp),
        items=_one(project.items, lambda item: item.number),
        material_certificates=_one(project.material_certificates, lambda paper: paper.number),
        batches=_one(project.batches, lambda batch: batch.number),
        examiners=_one(project.examiners, lambda examiner: examiner.id),
        documents=_one(project.documents, lambda document: document.number),
        heat_treatments=_many(project.heat_treatments, lambda chart: chart.joint),
        hardness_tests=_many(project.hardness_tests, lambda test: test.joint),
        pressure_tests=_listed(project.pressure_tests),
        sections=tuple(test for test in project.pressure_tests if not test.joints),
        instruments=_many(
            sorted(project.instruments, key=lambda i: (i.number, str(i.calibrated_on or ""))),
            lambda instrument: instrument.number,
        ),
    )


def _listed(tests: Iterable[PressureTest]) -> dict[str, list[PressureTest]]:
    listed: dict[str, list[PressureTest]] = defaultdict(list)
    for test in tests:
        for number in test.joints:
            listed[number].append(test)
    return dict(listed)


def _holds(test: PressureTest, joint: Joint) -> bool:
    """Whether the section between two KP of a line holds a joint."""
    if test.kp_from_m is None or test.kp_to_m is None or joint.kp_m is None:
        return False
    low, high = sorted((test.kp_from_m, test.kp_to_m))
    return low <= joint.kp_m <= high and test.line in ("", joint.line)


def holder_on(welders: Iterable[Welder], day: date) -> Welder | None:
    """Who held a stamp on that day; a welder without dates held it always."""
    for welder in welders:
        starts = welder.since is None or welder.since <= day
        if starts and (welder.until is None or day <= welder.until):
            return welder
    return None
