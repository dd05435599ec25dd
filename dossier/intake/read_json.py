"""JSON and JSON lines -> records, with the line of every record and of the fields inside.

Numbers are kept as they were written until the schema asks for one, so that a heat number 12E45
does not turn into a power of ten.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from pathlib import Path

from dossier.errors import Fault, ProjectError
from dossier.intake.raw import Plain, Raw, Read, clip, refuse
from dossier.intake.read_yaml import read_text
from dossier.intake.schemas import version_hint
from dossier.records.position import Position

_EXPECTED = "well-formed JSON"
_SPACE = re.compile(r"[ \t\r\n]*")


def _pairs(pairs: list[tuple[str, object]]) -> dict[str, object]:
    data = dict(pairs)
    if len(data) != len(pairs):
        names = [name for name, _ in pairs]
        again = next(name for name in names if names.count(name) > 1)
        raise _TwiceError(again)
    return data


class _TwiceError(ValueError):
    """The same name twice in one object."""


_DECODER = json.JSONDecoder(
    object_pairs_hook=_pairs, parse_int=Plain, parse_float=Plain, parse_constant=Plain
)


@dataclass(slots=True)
class _Text:
    """A JSON text that is read from its start to its end, one value at a time."""

    file: str
    text: str
    first: int = 1  # line at which the text starts
    at: int = 0
    line: int = 1
    counted: int = 0
    faults: list[Fault] = field(default_factory=list)

    def place(self) -> str:
        self.line += self.text.count("\n", self.counted, self.at)
        self.counted = self.at
        return f"line {self.line + self.first - 1}"

    def skip(self) -> str:
        """The next character that is no space, "" at the end."""
        match = _SPACE.match(self.text, self.at)
        self.at = match.end() if match else self.at
        return self.text[self.at : self.at + 1]

    def value(self) -> object:
        self.skip()
        try:
            value, self.at = _DECODER.raw_decode(self.text, self.at)
        except _TwiceError as error:
            raise refuse(
                self.file, self.place(), found=f"the name {clip(error)} twice", expected="it once"
            ) from None
        except json.JSONDecodeError as error:
            self.at = max(error.pos, self.counted)
            found = f"text that is no JSON ({error.msg[:1].lower()}{error.msg[1:]})"
            raise refuse(self.file, self.place(), found=found, expected=_EXPECTED) from None
        except (RecursionError, ValueError):
            raise refuse(
                self.file, self.place(), found="values too deep or too long", expected=_EXPECTED
            ) from None
        return value

    def take(self, mark: str) -> None:
        if self.skip() != mark:
            found = clip(self.text[self.at : self.at + 1]) if self.text[self.at :] else "the end"
            raise refuse(self.file, self.place(), found=found, expected=f'"{mark}"')
        self.at += 1

    def records(self) -> list[Raw]:
        """The records of a list that starts here."""
        raws: list[Raw] = []
        self.take("[")
        while self.skip() != "]":
            if raws or self.faults:
                self.take(",")
            self.skip()
            self.record(raws)
        self.take("]")
        return raws

    def record(self, raws: list[Raw]) -> None:
        start, place = self.at, self.place()
        data = self.value()
        line = int(place.removeprefix("line "))
        if isinstance(data, dict):
            marks: dict[str, str] = {}
            if "\n" in self.text[start : self.at]:
                _mark(self.text[start : self.at], line, marks)
            raws.append(Raw(data, Position(self.file, line, fields=marks)))
        else:
            self.faults.append(Fault(self.file, place, "", "no fields", "a record with its fields"))


_TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[{}\[\],:\n]|[^\s{}\[\],:"]+', re.DOTALL)


def _mark(text: str, line: int, marks: dict[str, str]) -> None:
    """Fill `marks` with the line of every field in `text`, one JSON object known to be sound.

    A step of the path is a name (text) inside of an object and a place (int) inside of a list.
    """
    path: list[str | int] = []
    starts = False  # a part of a list starts at the next token
    named = False  # the name of the field has been read, its value is to come
    for token in _TOKEN.finditer(text):
        mark = token[0]
        if mark == "\n":
            line += 1
            continue
        if starts and mark != "]":
            marks[_path(path)] = str(line)
        starts = False
        if mark in "{[":
            path.append("" if mark == "{" else 1)
            starts, named = mark == "[", False
        elif mark in "}]":
            path.pop()
            named = True  # what has ended was a value
        elif mark == "," and isinstance(path[-1], int):
            path[-1] += 1
            starts = True
        elif mark == ",":
            named = False
        elif mark == ":":
            named = True
        elif not named and isinstance(path[-1], str):
            path[-1] = json.loads(mark, strict=False)
            marks[_path(path)] = str(line)


def _path(path: list[str | int]) -> str:
    return ".".join(str(step) for step in path)


def read_records(path: Path, file: str, version: str) -> Read:
    """The records of a JSON register: a list, or `records` beside `schema`. Raises ProjectError."""
    text = _Text(file, read_text(path, file))
    raws = _from_object(text, version) if text.skip() == "{" else text.records()
    if text.skip():
        raise refuse(file, text.place(), found="more after the end", expected="one list")
    return raws, text.faults


def _from_object(text: _Text, version: str) -> list[Raw]:
    raws: list[Raw] = []
    text.take("{")
    while text.skip() != "}":
        name = text.value()
        text.take(":")
        if name == "records":
            text.skip()
            raws = text.records()
        elif name != "schema":
            text.faults.append(
                Fault(text.file, text.place(), "", clip(name), "a list, or schema and records")
            )
            text.value()
        elif (stated := text.value()) != version:
            hint, wanted = version_hint(str(stated)), f'"{version}"'
            text.faults.append(Fault(text.file, text.place(), "schema", clip(stated), wanted, hint))
        if text.skip() != "}":
            text.take(",")
    text.take("}")
    return raws


def read_lines(path: Path, file: str) -> Read:
    """The records of a file of JSON lines, one a line. Raises ProjectError."""
    raws: list[Raw] = []
    faults: list[Fault] = []
    for line, content in enumerate(read_text(path, file).split("\n"), start=1):
        if content.strip():
            raw = raw_of_line(content, file, line, faults)
            raws += [raw] if raw is not None else []
    return raws, faults


def raw_of_line(content: str, file: str, line: int, faults: list[Fault]) -> Raw | None:
    """The record that one line holds; None when it holds none, which `faults` takes up."""
    text = _Text(file, content, first=line)
    raws: list[Raw] = []
    try:
        text.skip()
        text.record(raws)
        if text.skip():
            raise refuse(file, f"line {line}", found="more after it", expected="one record")
    except ProjectError as error:
        faults += error.faults
    faults += text.faults
    return raws[0] if raws else None
