"""A project folder -> a `Project`, or every fault of every file in one go."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, fields
from functools import cache
from pathlib import Path
from typing import Any, get_args, get_type_hints

from dossier.errors import Fault, InputError, ProjectError
from dossier.intake import numbering, validate
from dossier.intake.build import build
from dossier.intake.convert import Converted, Data, convert, fault_at, nearest
from dossier.intake.entry_reader import registers_of
from dossier.intake.joint_files import JOINT_FILES, Registers, read_joint_files
from dossier.intake.logo import read_logo
from dossier.intake.odd_text import TWO_WELDERS, look_alikes
from dossier.intake.paths import confined
from dossier.intake.radiograph_headers import radiographs
from dossier.intake.raw import Raw, Told, clip
from dossier.intake.read_yaml import read_object
from dossier.intake.registers import CHILDREN, accepted, joined, read_register, register_shape
from dossier.intake.scans import scans
from dossier.intake.schemas import REGISTERS, schema
from dossier.intake.shape import shape
from dossier.intake.sources import Source, source_faults, source_of, spelled_out
from dossier.intake.values import Writing
from dossier.records.doubts import Doubt
from dossier.records.joints import JointName
from dossier.records.position import Position
from dossier.records.project import Numbering, Project, Settings
from dossier.records.welders import Welder

PROJECT_FILE = "project.yaml"
WORKBOOK = "workbook"  # among the registers: a workbook for data entry, which holds them all


def load_project(folder: Path) -> Project:
    """Read the project in `folder`: `project.yaml` and the registers that it names.

    Raises ProjectError, which holds the faults of all files: a file that is missing, cannot be
    read or lies outside of the folder; a record that its schema does not admit; two records with
    one key; a joint number that the grammar does not read.
    """
    job = _Job(folder)
    settings = job.settings()
    for path, file in job.joint_files:
        job.unfold(path, file)
    return _loaded(job, settings)


@dataclass(frozen=True, slots=True)
class Opened:
    """A project whose joint files were left on the disk, to be read line by line."""

    project: Project  # all other registers
    joint_files: tuple[tuple[Path, str], ...]  # where each lies, and its name in the project


def open_project(folder: Path) -> Opened:
    """`load_project` without reading the joint files. Raises ProjectError as that does."""
    job = _Job(folder)
    settings = job.settings()
    project = _loaded(job, settings)
    return Opened(project, tuple(job.joint_files))


def _loaded(job: _Job, settings: Settings | None) -> Project:
    folder = job.folder
    registers = {name: job.register(name) for name in REGISTERS}
    job.children(registers)
    for name, records in registers.items():
        job.faults += twice(name, records)
    job.faults += _evidence_faults(folder, registers["documents"])
    built = job.built(registers)
    logo = job.logo(settings)
    if job.faults or settings is None:
        raise ProjectError(job.faults)
    doubts = settled(job.doubts, built["welders"])
    headers = radiographs(folder, built["documents"])
    return Project(
        settings=settings,
        **built,
        doubts=doubts,
        readings=tuple(job.readings),
        radiographs=headers,
        scans=scans(folder, built["documents"]),
        logo=logo,
    )


@dataclass(slots=True)
class _Job:
    """The reading of one project: what is wrong so far, and where its registers are."""

    folder: Path
    faults: list[Fault] = field(default_factory=list)
    sources: dict[str, list[Source]] = field(default_factory=dict)
    entered: dict[str, list[Raw]] = field(default_factory=dict)
    joint_files: list[tuple[Path, str]] = field(default_factory=list)
    unfolded: Registers = field(default_factory=dict)
    read_number: Callable[[str], JointName] | None = None
    doubts: list[Doubt] = field(default_factory=list)
    readings: list[str] = field(default_factory=list)

    def settings(self) -> Settings | None:
        """The settings; None when they have faults. Without a readable file all ends here."""
        raw = read_object(self.folder / PROJECT_FILE, PROJECT_FILE)
        data = {**raw.data, "registers": spelled_out(raw.data.get("registers"))}
        origin = raw.origin
        record = convert(Raw(data, origin), shape("project"), Writing())
        wrong = validate.faults(record, schema("project"))
        self.faults += wrong
        fields = {fault.field for fault in wrong}
        self._declare(record, fields)
        self._learn(record, fields)
        if wrong:
            return None
        own = {key: v for key, v in record.data.items() if key not in ("schema", "registers")}
        return build(Settings, own, origin, record.not_applicable)

    def _learn(self, record: Converted, wrong: set[str]) -> None:
        """Take up the grammar of joint numbers, even where other settings have faults."""
        declared = record.data.get("numbering")
        if not isinstance(declared, Mapping) or any(n.startswith("numbering") for n in wrong):
            return
        grammar = build(Numbering, declared, record.origin)
        faults = numbering.grammar_faults(grammar, record.origin)
        self.faults += faults
        if not any(fault.field == "numbering.pattern" for fault in faults):
            self.read_number = numbering.reader(grammar)

    def _declare(self, record: Converted, wrong: set[str]) -> None:
        registers = record.data.get("registers")
        for register, parts in registers.items() if isinstance(registers, Mapping) else ():
            if register == WORKBOOK and isinstance(parts, list):
                self._take_workbooks(parts, record.origin)
            if register == JOINT_FILES and isinstance(parts, list):
                self.joint_files += self._files(JOINT_FILES, parts, record.origin)
            if not (register in REGISTERS or register in CHILDREN) or not isinstance(parts, list):
                continue
            for place, part in enumerate(parts, start=1):
                path = f"registers.{register}"
                if any(name.startswith(path) for name in wrong) or "file" not in part:
                    continue
                try:
                    source = source_of(self.folder, register, place, part)
                except InputError as error:
                    self.faults.append(fault_at(record.origin, f"{path}.{place}.file", error))
                    continue
                faults = source_faults(source, register_shape(register), record.origin)
                self.faults += faults
                if not faults:
                    self.sources.setdefault(register, []).append(source)

    def _take_workbooks(self, parts: list[Any], origin: Position) -> None:
        """Read the workbooks for data entry, which hold rows of any register."""
        for path, file in self._files(WORKBOOK, parts, origin):
            found, told = registers_of(path, file)
            self._told(told)
            for register, raws in found.items():
                self.entered.setdefault(register, []).extend(raws)

    def _files(
        self, register: str, parts: list[Any], origin: Position
    ) -> Iterator[tuple[Path, str]]:
        for place, part in enumerate(parts, start=1):
            file = str(part.get("file", ""))
            try:
                yield confined(self.folder, file), file
            except InputError as error:
                where = f"registers.{register}.{place}.file"
                self.faults.append(fault_at(origin, where, error))

    def logo(self, settings: Settings | None) -> bytes:
        """The picture that the settings name."""
        if settings is None:
            return b""
        try:
            return read_logo(self.folder, settings.look.logo)
        except InputError as error:
            self.faults.append(fault_at(settings.origin, "look.logo", error))
            return b""

    def unfold(self, path: Path, file: str) -> None:
        """Take the records of a joint file into their registers."""
        try:
            found, told = read_joint_files(path, file)
        except ProjectError as error:
            self.faults += error.faults
            return
        self._told(told)
        for register, records in found.items():
            self.unfolded.setdefault(register, []).extend(records)

    def _told(self, told: Told) -> None:
        self.faults += told.faults
        self.doubts += told.doubts
        self.readings += told.readings

    def register(self, name: str) -> list[Converted]:
        records, told = read_register(self.sources.get(name, ()))
        records += accepted(self.entered.get(name, ()), name, Writing(), told)
        records += self.unfolded.get(name, ())
        self._told(told)
        return records

    def children(self, registers: Mapping[str, list[Converted]]) -> None:
        """Read the files of child lists and put each child into its parent."""
        for name, child in CHILDREN.items():
            rows = self.register(name)
            kind = _item_type(record_type(child.parent), child.field)
            made = {}
            for place, row in enumerate(rows):
                own = {k: v for k, v in row.data.items() if k not in child.join}
                joins = {
                    k: row.data[k] for k in child.join if k in _own_fields(kind) & set(row.data)
                }
                made[place] = build(kind, {**own, **joins}, row.origin, row.not_applicable)
            self.faults += joined(registers[child.parent], made, rows, child)

    def built(self, registers: Mapping[str, list[Converted]]) -> dict[str, Any]:
        """The records of all registers, joints with their numbers read."""
        made: dict[str, Any] = {}
        for name, records in registers.items():
            kind = record_type(name)
            made[name] = tuple(
                build(kind, self._named(record) if name == "joints" else record.data,
                      record.origin, record.not_applicable)
                for record in records
            )  # fmt: skip
        return made

    def _named(self, record: Converted) -> Data:
        written = str(record.data["number"])
        name = JointName(written=written, base=written)
        try:
            name = self.read_number(written) if self.read_number else name
        except InputError as error:
            alike = look_alikes(written, "number")
            hint = f"{alike[:1].upper()}{alike[1:]}." if alike else ""
            self.faults.append(fault_at(record.origin, "number", error, hint))
        return {**record.data, "name": name}


def settled(doubts: Iterable[Doubt], welders: Iterable[Welder]) -> tuple[Doubt, ...]:
    """Each doubt once for its cell, without those that the registers settle.

    A cell is read again for every register that a wide sheet holds. A stamp with a stroke in it
    is one stamp where the register of welders has it so.
    """
    stamps = {welder.stamp for welder in welders}
    kept: dict[tuple[str, str, str], Doubt] = {}
    for doubt in doubts:
        if doubt.why == TWO_WELDERS and doubt.raw in stamps:
            continue
        kept.setdefault((str(doubt.place), doubt.raw, doubt.why), doubt)
    return tuple(kept.values())


@cache
def record_type(register: str) -> type[Any]:
    """The record that the register `register` holds."""
    kind: type[Any] = get_args(get_type_hints(Project)[register])[0]
    return kind


def _item_type(record_type: type[Any], name: str) -> type[Any]:
    kind: type[Any] = get_args(get_type_hints(record_type)[name])[0]
    return kind


def _own_fields(kind: type[Any]) -> set[str]:
    return {part.name for part in fields(kind)}


def twice(register: str, records: list[Converted]) -> list[Fault]:
    """A fault for every record whose key another record of the register has as well.

    Joints, passes and examinations have no key here: a double one is a finding of the checks.
    """
    key = schema(register).get("x-key", ())
    first: dict[tuple[object, ...], Converted] = {}
    faults = []
    for record in records if key else ():
        value = tuple(record.data.get(name) for name in key)
        known = first.setdefault(value, record)
        if known is not record:
            shown = ", ".join(str(part) for part in value if part is not None)
            place = record.origin.of(nearest(record.origin, key[0])).place
            found = f"{clip(shown)} again (first at {known.origin})"
            expected = f"one record for each {' and '.join(key)}"
            faults.append(Fault(record.origin.file, place, key[0], found, expected))
    return faults


def _evidence_faults(folder: Path, documents: list[Converted]) -> list[Fault]:
    """A fault for every evidence file outside of the folder. One that is missing is a finding."""
    faults = []
    for record in documents:
        try:
            confined(folder, str(record.data.get("file", ".")))
        except InputError as error:
            faults.append(fault_at(record.origin, "file", error))
    return faults
