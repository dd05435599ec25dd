"""What the readers hand on: a record as it stands in the file, with the place of every field."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from dossier.errors import Fault, ProjectError
from dossier.records.doubts import Doubt
from dossier.records.position import Position


class Plain(str):
    """Text that stood without quotes: it becomes whatever the schema asks for.

    Quoted text is a plain `str` and stays text, so that "12" is never taken for a number.
    """

    __slots__ = ()


class Unreadable(str):
    """What a cell shows instead of a value: an error, or a formula that was never calculated."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class Raw:
    """One record as read; `origin.fields` tells where each field stands.

    Nested fields go by dotted paths with list places counted from 1: "passes.2.gas".
    """

    data: Mapping[str, object]
    origin: Position


@dataclass(slots=True)
class Told:
    """What is told of a file beside its records: faults, doubtful readings, and how it was read.

    Complete when the last record of the file has been taken.
    """

    faults: list[Fault] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)
    readings: list[str] = field(default_factory=list)
    decimal: str = ""  # the decimal mark that the file being read shows

    def doubt(
        self, origin: Position, name: str, raw: str, read_as: str, why: str, *, certain: bool = True
    ) -> None:
        """Note a reading; `certain` where it lost nothing."""
        self.doubts.append(Doubt(origin, name, raw, read_as, why, certain))


# What a reader gives: the records it could take, and what is wrong with the others. The faults
# are complete when the last record has been taken.
Read = tuple[Iterable[Raw], list[Fault]]


def refuse(
    file: str, place: str, *, found: str, expected: str, field: str = "", hint: str = ""
) -> ProjectError:
    """The error of a file that cannot be read on from here."""
    return ProjectError([Fault(file, place, field, found, expected, hint)])


def clip(value: object, longest: int = 60) -> str:
    """`value` in quotes for a message, cut where it is long.

    >>> clip("W07"), clip("x" * 99)[-4:]
    ('"W07"', 'xxx…')
    """
    text = str(value).replace("\n", " ")
    return f'"{text}"' if len(text) <= longest else f'"{text[:longest]}…'
