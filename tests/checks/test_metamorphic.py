"""What must not change a verdict: the order of rows, the names of stamps, files, units; and which
way verdicts may move when evidence comes or goes."""

from __future__ import annotations

import random
import re
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import fields, replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from dossier.checks import run
from dossier.coverage.view import view
from dossier.intake import load_project
from dossier.records.project import Project
from dossier.records.verdicts import HOLD, NONCONFORMITY, Finding
from dossier.units import convert
from tests.checks.made import sound
from tests.trial import CLEAN, DEFECTS, Registers, changed, read, written

SAMPLE = Path(__file__).parents[2] / "sample_project"
# Holds about two records that contradict each other: without one of the two there is no
# contradiction left.
CONTRADICTIONS = {"film-numbers", "report-reuse", "welder-whereabouts", "paper-dates"}
Told = Counter[tuple[str, str, tuple[tuple[str, str], ...]]]
Record = Any
PART = re.compile(r"-[ab]\.yaml$")


@cache
def sample() -> Project:
    return load_project(SAMPLE)


def found(project: Project) -> list[Finding]:
    return run(view(project))


def told(project: Project) -> Told:
    return Counter((f.check, str(f.verdict), f.subject) for f in found(project))


def registers_of(project: Project) -> Iterator[tuple[str, tuple[Record, ...]]]:
    for one in fields(project):
        records = getattr(project, one.name)
        if isinstance(records, tuple) and len(records) > 1:
            yield one.name, records


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_order_of_rows_changes_nothing(seed: int) -> None:
    draw = random.Random(seed)  # noqa: S311
    mixed = {
        name: tuple(draw.sample(records, len(records))) for name, records in registers_of(sample())
    }
    assert told(replace(sample(), **mixed)) == told(sample())


def _renamed(record: Record, names: dict[str, str]) -> Record:
    """The record with every stamp that it holds in a field for stamps put by its new name."""
    held = {
        name: names[value]
        for name in ("welder", "stamp", "examiner", "id", "rejected_welder")
        if isinstance(value := getattr(record, name, None), str) and value in names
    }
    return replace(record, **held)


def test_new_names_for_all_stamps_change_nothing() -> None:
    stamps = sorted({welder.stamp for welder in sample().welders} | {"W31"})
    names = dict(zip(stamps, (f"Q{n:03d}" for n in range(900, 999)), strict=False))
    renamed = {
        name: tuple(_renamed(record, names) for record in records)
        for name, records in registers_of(sample())
        if name in ("welders", "passes", "repairs", "examinations", "examiners")
    }
    expected: Told = Counter()
    for (check, verdict, subject), count in told(sample()).items():
        about = tuple((kind, names.get(name, name)) for kind, name in subject)
        expected[check, verdict, about] = count
    assert told(replace(sample(), **renamed)) == expected


def loaded(registers: Registers) -> Project:
    with tempfile.TemporaryDirectory() as folder:
        return load_project(written(registers, Path(folder)))


SOME = DEFECTS[::9]


def defective(path: Path) -> Registers:
    return changed(read(CLEAN), read(path)["change"])


@pytest.mark.parametrize("path", SOME, ids=lambda path: path.stem)
def test_a_register_in_two_files_is_the_same_register(path: Path, tmp_path: Path) -> None:
    registers = defective(path)
    folder = written(registers, tmp_path)
    head = yaml.safe_load((folder / "project.yaml").read_text(encoding="utf-8"))
    for name in ("joints", "passes", "examinations", "items", "welders"):
        rows = registers[name]
        for part, own in (("a", rows[::2]), ("b", rows[1::2])):
            text = yaml.safe_dump(own, sort_keys=False, allow_unicode=True)
            (folder / f"{name}-{part}.yaml").write_text(text, encoding="utf-8")
        head["registers"][name] = [{"file": f"{name}-{part}.yaml"} for part in "ab"]
    before = told(load_project(folder))
    (folder / "project.yaml").write_text(yaml.safe_dump(head), encoding="utf-8")
    assert _of_whole_files(told(load_project(folder))) == before


def _of_whole_files(found_: Told) -> Told:
    """The findings with the name of the whole register where a part of it is named."""
    return Counter(
        (check, verdict, tuple((kind, PART.sub(".yaml", name)) for kind, name in subject))
        for check, verdict, subject in found_.elements()
    )


UNITS = {
    "passes": {"travel_mm_min": "in/min", "preheat_c": "°F", "interpass_c": "°F",
               "deposit_mm": "in"},
    "items": {"wall_mm": "in", "od_mm": "in", "length_m": "ft", "smys_mpa": "psi"},
}  # fmt: skip


@pytest.mark.parametrize("path", SOME, ids=lambda path: path.stem)
def test_the_units_of_the_files_change_nothing(path: Path, tmp_path: Path) -> None:
    registers = defective(path)
    before = told(loaded(registers))
    for name, units in UNITS.items():
        for row in registers[name]:
            for field, unit in units.items():
                if isinstance(row.get(field), int | float):
                    row[field] = convert(row[field], _own_unit(field), unit)
    folder = written(registers, tmp_path)
    head = yaml.safe_load((folder / "project.yaml").read_text(encoding="utf-8"))
    for name, units in UNITS.items():
        head["registers"][name] = {"file": f"{name}.yaml", "units": units}
    (folder / "project.yaml").write_text(yaml.safe_dump(head, allow_unicode=True), encoding="utf-8")
    assert told(load_project(folder)) == before


def _own_unit(field: str) -> str:
    endings = {"mm_min": "mm/min", "_c": "°C", "_mm": "mm", "_m": "m", "_mpa": "MPa"}
    return next(unit for ending, unit in endings.items() if field.endswith(ending))


def broken(project: Project) -> set[tuple[str, tuple[tuple[str, str], ...]]]:
    """What is broken, and about whom: which of its limits a certificate misses is all one."""
    welders = ("welder-range", "welder-deposit", "welder-continuity")
    return {
        ("welder" if f.check in welders else f.check, f.subject)
        for f in found(project)
        if f.verdict >= NONCONFORMITY
    }


@pytest.mark.parametrize("path", DEFECTS[::8], ids=lambda path: path.stem)
def test_one_more_valid_certificate_breaks_nothing(path: Path) -> None:
    project = loaded(defective(path))
    good = {welder.stamp: welder.certificates for welder in sound().welders}
    more = tuple(
        replace(
            welder,
            certificates=(
                *welder.certificates,
                *(replace(c, number=f"{c.number}-N") for c in good.get(welder.stamp, ())),
            ),
        )
        for welder in project.welders
    )
    assert broken(replace(project, welders=more)) <= broken(project)


def removals(project: Project) -> Iterator[tuple[str, Project]]:
    """The project with one piece of what speaks for it taken away, and the name of the piece."""
    for name in ("material_certificates", "batches", "examiners", "documents", "pqrs"):
        yield from _without(project, name, getattr(project, name))
    good = [report for report in project.examinations if report.result == "accepted"]
    yield from _without(project, "examinations", good)
    calibrated = [one for one in project.instruments if one.as_found != "out of tolerance"]
    yield from _without(project, "instruments", calibrated)
    for welder in project.welders:
        for certificate in welder.certificates:
            left = tuple(c for c in welder.certificates if c is not certificate)
            poorer = tuple(
                replace(w, certificates=left) if w is welder else w for w in project.welders
            )
            yield certificate.number, replace(project, welders=poorer)


def _without(project: Project, name: str, records: Any) -> Iterator[tuple[str, Project]]:
    for record in records:
        left = tuple(one for one in getattr(project, name) if one is not record)
        own = next(
            getattr(record, key) for key in ("report", "number", "id") if hasattr(record, key)
        )
        yield own, replace(project, **{name: left})


def held(findings: list[Finding], without: str = "") -> set[str]:
    """Joints that something holds, findings about the record `without` left aside."""
    return {
        f.about("joint")
        for f in findings
        if f.verdict >= HOLD and without not in [name for _, name in f.subject]
    } - {""}


WITH_HOLDS = [
    path for path in DEFECTS if any(e["verdict"] == "hold" for e in read(path)["expected"])
]


@pytest.mark.parametrize("path", WITH_HOLDS[::5], ids=lambda path: path.stem)
def test_less_evidence_clears_no_joint(path: Path) -> None:
    """But for a piece that is itself what is doubted: without it the doubt is gone as well."""
    project = loaded(defective(path))
    before = [f for f in found(project) if f.check not in CONTRADICTIONS]
    draw = random.Random(path.stem)  # noqa: S311
    poorer = list(removals(project))
    for name, one in draw.sample(poorer, min(5, len(poorer))):
        assert held(before, without=name) <= held(found(one)), name
