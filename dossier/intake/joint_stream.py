"""Joint files read line by line: records of one joint at a time, in memory that does not grow.

A line that is written plainly (sound by its schema, ASCII, nothing blank or "n/a", nothing named
twice) is read quickly; every other line goes the way of all other files, so that nothing is read
differently here. The quick way needs orjson and jsonschema-rs; without them all lines go the
careful way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from itertools import pairwise
from pathlib import Path
from typing import Any

from dossier.errors import Fault, InputError
from dossier.intake import odd_text, validate
from dossier.intake.build import build
from dossier.intake.convert import Converted, fault_at
from dossier.intake.joint_files import JOINT_FILES, NESTED, Registers, Unfolding, joint_file_schema
from dossier.intake.load import open_project, record_type, settled
from dossier.intake.numbering import reader
from dossier.intake.quick_build import Quick, quick
from dossier.intake.raw import Told, refuse
from dossier.intake.read_json import raw_of_line
from dossier.intake.schemas import URN, Schema
from dossier.patterns import watched
from dossier.records.joint_records import JointRecords
from dossier.records.joints import Joint, JointName
from dossier.records.position import Position
from dossier.records.project import Project

ReadNumber = Callable[[str], JointName]


@dataclass(frozen=True, slots=True)
class JointSource:
    """The joint files of a project, for processes that each read a part; it can be sent to them."""

    project: Project  # all registers but those inside of the joint files
    files: tuple[tuple[Path, str], ...]

    def parts(self, count: int) -> list[Part]:
        """The joint files cut into about `count` parts, in their order."""
        return [part for path, file in self.files for part in parts(path, file, count)]

    def read(self, part: Part, faults: list[Fault]) -> Iterator[JointRecords]:
        """The joints of a part, in the order of the file; `faults` takes up lines that are none."""
        read_number = reader(self.project.settings.numbering)
        with watched():
            for records in read_part(part, read_number, faults):
                if records.doubts:
                    records.doubts[:] = settled(records.doubts, self.project.welders)
                yield records


def joint_source(folder: Path) -> JointSource:
    """The joint files of the project in `folder`, to be read line by line.

    Raises ProjectError: a fault in any other file of the project, a joint file that is missing.
    """
    opened = open_project(folder)
    for path, file in opened.joint_files:
        if not path.is_file():
            expected = f"the file of the register {JOINT_FILES}"
            raise refuse(file, "", found="no such file", expected=expected)
    return JointSource(opened.project, opened.joint_files)


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a joint file: the bytes from `start` up to `end`, which are whole lines."""

    path: Path
    file: str  # as the project names it
    start: int
    end: int


def parts(path: Path, file: str, count: int) -> list[Part]:
    """The file cut into `count` parts of about one size, at ends of lines."""
    size = path.stat().st_size
    cuts = [0]
    with path.open("rb") as stream:
        for nth in range(1, count):
            stream.seek(max(size * nth // count, cuts[-1]))
            stream.readline()
            cuts.append(min(stream.tell(), size))
    cuts.append(size)
    return [Part(path, file, a, b) for a, b in pairwise(cuts) if a < b]


def read_part(part: Part, read_number: ReadNumber, faults: list[Fault]) -> Iterator[JointRecords]:
    """The joints of a part, in the order of the file; `faults` takes up the lines that are none."""
    fast, careful = _Fast(read_number), _Careful(read_number)
    for line, content in _lines(part):
        records = fast.records(content, Position(part.file, line)) if fast.works else None
        if records is None and content.strip():
            records = careful.records(content, part.file, line, faults)
        if records is not None:
            yield records


_BLOCK = 1 << 18  # bytes read at a time


def _lines(part: Part) -> Iterator[tuple[int, bytes]]:
    with part.path.open("rb", buffering=_BLOCK) as stream:
        line, before = 0, part.start
        while before:
            block = stream.read(min(before, _BLOCK))
            line += block.count(b"\n")
            before -= len(block)
        left = part.end - part.start
        for content in stream:
            line += 1
            yield line, content
            left -= len(content)
            if left <= 0:
                return


class _Careful:
    """The way of all other files."""

    def __init__(self, read_number: ReadNumber) -> None:
        self.read_number = read_number
        self.unfolding = Unfolding()

    def records(
        self, content: bytes, file: str, line: int, faults: list[Fault]
    ) -> JointRecords | None:
        told = Told()
        try:
            text = content.decode("utf-8-sig" if line == 1 else "utf-8").rstrip("\r\n")
        except UnicodeDecodeError:
            found = "bytes that are no utf-8"
            raise refuse(file, f"line {line}", found=found, expected="text as UTF-8") from None
        raw = raw_of_line(text, file, line, told.faults)
        found_: Registers = self.unfolding.records(raw, told) if raw else {}
        joint = self._joint(found_["joints"][0], told) if found_.get("joints") else None
        if told.faults or joint is None:
            faults += told.faults
            return None
        rows = {name: [_built(name, row) for row in found_.get(name, ())] for name in NESTED}
        return JointRecords(joint, rows, told.doubts)

    def _joint(self, record: Converted, told: Told) -> Joint | None:
        written = str(record.data["number"])
        try:
            name = self.read_number(written)
        except InputError as error:
            alike = odd_text.look_alikes(written, "number")
            hint = f"{alike[:1].upper()}{alike[1:]}." if alike else ""
            told.faults.append(fault_at(record.origin, "number", error, hint))
            return None
        data = {**record.data, "name": name}
        return build(Joint, data, record.origin, record.not_applicable)


def _built(register: str, record: Converted) -> Any:
    return build(record_type(register), record.data, record.origin, record.not_applicable)


class _Fast:
    """The quick way, for lines that are written plainly."""

    def __init__(self, read_number: ReadNumber) -> None:
        self.gate = _plain_gate() or _refuses
        self.loads, self.dumps = _codec()
        self.works = _plain_gate() is not None and self.loads is not None
        self.read_number = read_number
        self.joint = quick(Joint)
        self.nested: list[tuple[str, Quick]] = [(n, quick(record_type(n))) for n in NESTED]
        self.stamps: set[str] = set()

    def records(self, content: bytes, origin: Position) -> JointRecords | None:
        """The records of a line; None where it must be read with care."""
        if not content.isascii() or b"\\" in content or b"+" in content or b"\x7f" in content:
            return None
        try:
            data = self.loads(content)
            if not self.gate(data) or not self._kept(data, content.rstrip()):
                return None
            number = data["number"]
            data["name"] = self.read_number(number)
            joint = self.joint(data, origin)
            registers = {name: self._rows(name, make, data, origin) for name, make in self.nested}
        except (ValueError, InputError):
            return None
        if any(self._two(made.welder) for made in registers["passes"]):
            return None
        return JointRecords(joint, registers)

    def _kept(self, data: object, content: bytes) -> bool:
        """Whether reading lost nothing: a name given twice would be written back once."""
        again = self.dumps(data)
        return bool(again == content or again == _without_gaps(content))

    def _rows(self, name: str, make: Quick, data: dict[str, Any], origin: Position) -> list[Any]:
        rows = data.get(name)
        if not rows:
            return []
        if name != "items":
            number = data["number"]
            for row in rows:
                row["joint"] = number
        return [make(row, origin) for row in rows]

    def _two(self, stamp: str) -> bool:
        """Whether a stamp may name two welders: told of with care."""
        if stamp in self.stamps:
            return False
        if odd_text.two_welders(stamp, "welder"):
            return True
        self.stamps.add(stamp)
        return False


def _without_gaps(content: bytes) -> bytes:
    """A line without the spaces between its parts; it holds no quote but those around texts.

    >>> _without_gaps(b'{"a": "x, y", "b": 1.50}')
    b'{"a":"x, y","b":1.50}'
    """
    parts = content.split(b'"')
    parts[::2] = [between.replace(b" ", b"") for between in parts[::2]]
    return b'"'.join(parts)


def _refuses(_data: object) -> bool:
    return False


@cache
def _codec() -> tuple[Any, Any]:
    if find_spec("orjson") is None:
        return None, None
    orjson = import_module("orjson")
    return orjson.loads, orjson.dumps


# Text without spaces around it that is none of the answers "n/a", "n.a.", "not applicable".
_REST = r"(?:[ -~]*[!-~])?"
_TEXT = rf"^(?:[!-MO-mo-~]{_REST}|[nN](?:[!-\-0-NP-np-~]{_REST}|[oO](?:[!-SU-su-~]{_REST})?)?)$"

_DAY = "[0-9]{4}-[0-9]{2}-[0-9]{2}"
_PATTERNS = {"date": f"^{_DAY}$", "local-time": f"^{_DAY}T[0-9]{{2}}:[0-9]{{2}}(?::[0-9]{{2}})?$"}


@cache
def _plain_gate() -> Callable[[object], bool] | None:
    """The schema of a line, and that every text in it is written plainly."""
    plain: Schema = _plainly(joint_file_schema())
    plain["$id"] = f"{URN}{JOINT_FILES}:plain"
    return validate.fast_gate(plain)


def _plainly(part: Any) -> Any:
    if isinstance(part, list):
        return [_plainly(inner) for inner in part]
    if not isinstance(part, dict):
        return part
    inner = {key: _plainly(value) for key, value in part.items()}
    if inner.get("type") == "string" and "enum" not in inner:
        inner.setdefault("pattern", _PATTERNS.get(inner.get("format", ""), _TEXT))
    return inner
