"""Records of an older schema version -> records of this one, step by step.

A step is a pure function on plain data: the record of a register (or "project", the fields of the
project file) as it stands in the older file, to the same record as the next version writes it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from dossier.errors import Fault, InputError, ProjectError
from dossier.intake.paths import confined
from dossier.intake.raw import clip
from dossier.intake.read_yaml import read_object
from dossier.intake.schemas import VERSION
from dossier.intake.sources import spelled_out
from dossier.intake.stated import RAISED, stated_version

Data = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Migration:
    """One step: what it goes from and to, what it does in words, and the function that does it."""

    source: str
    target: str
    about: str
    step: Callable[[str, Data], Data]


# 1.0 is the first version. The step that leads away from a version is added when the next is made.
MIGRATIONS: tuple[Migration, ...] = ()


@dataclass(frozen=True, slots=True)
class FileVersion:
    """The schema version of one file of a project, and the steps that bring it up to date.

    `stated` is "" where the file names none: a table, whose columns are declared in the project
    file, or a list of records, which has the version of the project file.
    """

    file: str
    stated: str
    steps: tuple[Migration, ...] = ()

    def __str__(self) -> str:
        if not self.stated:
            return f"{self.file}: states no version"
        if not self.steps:
            return f"{self.file}: {self.stated}, up to date"
        steps = "; ".join(f"to {step.target}: {step.about}" for step in self.steps)
        return f"{self.file}: {self.stated}, older ({steps})"


def steps_from(
    stated: str, migrations: Sequence[Migration] = MIGRATIONS, known: str = VERSION
) -> tuple[Migration, ...]:
    """The steps that lead from the version `stated` to the version `known`, in their order.

    Raises InputError: no version, one newer than `known`, or one from which no step leads on.

    >>> steps_from("1.0")
    ()
    """
    if _number(stated) > _number(known):
        expected = f"{known} or older: a newer dossier wrote this"
        raise InputError("schema", found=f"the newer version {stated}", expected=expected)
    by_source = {migration.source: migration for migration in migrations}
    steps: list[Migration] = []
    here = stated
    while here != known:
        if here not in by_source or len(steps) > len(migrations):
            versions = ", ".join([*sorted(by_source), known])
            raise InputError("schema", found=f"the version {stated}", expected=f"one of {versions}")
        steps.append(by_source[here])
        here = steps[-1].target
    return tuple(steps)


def _number(version: str) -> tuple[int, ...]:
    try:
        return tuple(int(part) for part in version.split("."))
    except ValueError:
        raise InputError(
            "schema", found=clip(version), expected=f'a version as "{VERSION}"'
        ) from None


def migrated(register: str, record: Data, steps: Iterable[Migration]) -> Data:
    """The `record` of `register` after all `steps`; it is itself left as it is."""
    for migration in steps:
        record = migration.step(register, record)
    return record


def file_versions(
    folder: Path, migrations: Sequence[Migration] = MIGRATIONS, known: str = VERSION
) -> list[FileVersion]:
    """The version of the project file and of every register file that it names, in that order.

    Raises ProjectError: a file that is missing or cannot be read, or of a version that is newer
    than `known` or unknown.
    """
    found: list[FileVersion] = []
    faults: list[Fault] = []
    for file in ["project.yaml", *_registers_of(folder)]:
        try:
            stated, place = stated_version(confined(folder, file), file)
        except ProjectError as error:
            faults += error.faults
            continue
        try:
            steps = steps_from(stated, migrations, known) if stated else ()
            found.append(FileVersion(file, stated, steps))
        except InputError as error:
            faults.append(Fault(file, place, "schema", str(error.found), error.expected))
    if faults:
        raise ProjectError(faults)
    return found


def migrate_project(
    folder: Path, migrations: Sequence[Migration] = MIGRATIONS, known: str = VERSION
) -> list[FileVersion]:
    """Bring every file of the project up to date; returns what was changed.

    Nothing is written unless every file can be. A comment at the head of a file is kept, those
    between its records are not: keep the project in version control. Raises ProjectError.
    """
    older = [version for version in file_versions(folder, migrations, known) if version.steps]
    registers = _registers_of(folder)
    written: list[tuple[Path, str]] = []
    for version in older:
        path = confined(folder, version.file)
        if path.suffix.lower() not in RAISED:
            expected = "a workbook made anew from the project"
            fault = Fault(version.file, "", "schema", f"a workbook of {version.stated}", expected)
            raise ProjectError([fault])
        raised = RAISED[path.suffix.lower()]
        register = registers.get(version.file, "project")

        def step(record: Data, register: str = register, todo: FileVersion = version) -> Data:
            return migrated(register, record, todo.steps)

        written.append((path, raised(path, version.file, known, step)))
    for path, text in written:
        path.write_text(text, encoding="utf-8", newline="\n")
    return older


def _registers_of(folder: Path) -> dict[str, str]:
    """The register of every file that the project file names."""
    raw = read_object(folder / "project.yaml", "project.yaml")
    registers = spelled_out(raw.data.get("registers"))
    found: dict[str, str] = {}
    for register, parts in registers.items() if isinstance(registers, Mapping) else ():
        for part in parts if isinstance(parts, list) else ():
            if isinstance(part, Mapping):
                found[str(part.get("file"))] = str(register)
    return found
