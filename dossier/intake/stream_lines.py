"""JSON lines -> records one at a time, for registers too long to be held in memory.

orjson, where it is installed, takes the lines that it reads without a loss. A line that repeats a
name, or that gives a number where the schema asks for text (a heat 12E45), goes to the reader that
keeps what was written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from dossier.errors import Fault, ProjectError
from dossier.intake import validate
from dossier.intake.build import build
from dossier.intake.convert import Known, convert
from dossier.intake.load import record_type
from dossier.intake.raw import Raw, refuse
from dossier.intake.read_json import raw_of_line
from dossier.intake.registers import register_schema, register_shape
from dossier.intake.shape import Shape
from dossier.intake.values import Writing
from dossier.records.base import Record
from dossier.records.position import Position

_BLOCK = 1 << 18  # bytes read at a time

Plainly = tuple[int, bytes, dict[str, object] | None]


def plain_lines(path: Path, file: str) -> Iterator[Plainly]:
    """The lines of a file: number, bytes, and the fields where these are read without a loss.

    The fields are None where the line has to be read with care: it is blank or no record, may
    repeat a name, or no quick reader is installed.
    Raises ProjectError: a file that cannot be opened.
    """
    loads = _loads()
    inside: set[str] = set()
    try:
        with path.open("rb", buffering=_BLOCK) as stream:
            for line, content in enumerate(stream, 1):
                try:
                    data = loads(content)
                except ValueError:
                    data = None
                if type(data) is not dict:
                    data = None
                # A comma stands between any two fields that are written, so that a name given
                # twice leaves more commas in the line than the fields account for.
                elif more := content.count(44) + 1 - len(data):
                    for name in inside:
                        part = data.get(name)
                        if type(part) is dict:
                            more -= len(part) - 1
                    if more and not _each_name_once(content, data, inside):
                        data = None
                yield line, content, data
    except OSError as error:
        found = (error.strerror or "nothing readable").lower()
        raise refuse(file, "", found=found, expected="a readable file") from None


def stream_raw(path: Path, file: str, register: str, faults: list[Fault]) -> Iterator[Raw]:
    """The records of a file of JSON lines as they stand there; `faults` takes up what is none.

    Raises ProjectError: no such file, or bytes that are no UTF-8.
    """
    form = register_shape(register)
    for line, content, data in plain_lines(path, file):
        if data is not None and _as_asked(data, form):
            yield Raw(data, Position(file, line))
        elif content.strip():
            raw = raw_of_line(_text(content, file, line), file, line, faults)
            if raw is not None:
                yield raw


def stream_records(path: Path, register: str) -> Iterator[Record]:
    """The records of a file of JSON lines, one at a time, in memory that does not grow.

    Raises ProjectError at the first line with faults, with all faults of that line. Joints need
    the grammar of their project and are read by `load_project`.
    """
    form, whole = register_shape(register), register_schema(register)
    kind: type[Any] = record_type(register)
    known: Known = {}
    faults: list[Fault] = []
    for raw in stream_raw(path, str(path), register, faults):
        record = convert(raw, form, Writing(), known)
        wrong = [*faults, *validate.faults(record, whole)]
        if wrong:
            raise ProjectError(wrong)
        yield build(kind, record.data, record.origin, record.not_applicable)
    if faults:
        raise ProjectError(faults)


@cache
def _loads() -> Callable[[bytes], Any]:
    """The quick reader; without one every line is read with care."""
    if find_spec("orjson") is None:
        return lambda _content: None
    loads: Callable[[bytes], Any] = import_module("orjson").loads
    return loads


def _each_name_once(content: bytes, data: dict[str, Any], inside: set[str]) -> bool:
    """Whether a line in which commas also stand elsewhere gives each name once.

    `inside` takes up the fields that hold fields of their own.
    """
    # A name given twice and a quote inside of a text leave more quotes in the line than its
    # names and texts account for.
    if content.count(34) != _quotes(data):
        return False
    inside.update(name for name, value in data.items() if type(value) is dict)
    return True


def _quotes(data: dict[str, Any]) -> int:
    """The quotes that a record needs when each name stands in it once."""
    values = data.values()
    kinds = [*map(type, values)]
    count = 2 * (len(kinds) + kinds.count(str))
    if dict in kinds:
        count += sum(_quotes(value) for value in values if type(value) is dict)
    if list in kinds:
        count += sum(_quotes({"": part}) - 2 for v in values if type(v) is list for part in v)
    return count


def _as_asked(data: dict[str, Any], form: Shape) -> bool:
    """Whether every value is text, or a number where the schema asks for one."""
    for name, value in data.items():
        if type(value) is str:
            continue
        part = form.fields.get(name)
        if part is None:
            return False
        if type(value) is dict and part.kind == "object":
            if not _as_asked(value, part):
                return False
        elif type(value) not in (int, float) or part.kind not in ("number", "whole number"):
            return False
    return True


def _text(content: bytes, file: str, line: int) -> str:
    try:
        return content.decode("utf-8-sig" if line == 1 else "utf-8").rstrip("\r\n")
    except UnicodeDecodeError:
        raise refuse(
            file, f"line {line}", found="bytes that are no utf-8", expected="text as UTF-8"
        ) from None
