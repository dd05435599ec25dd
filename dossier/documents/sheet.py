"""The plain data that every sheet is made of: head, facts, tables, figures, signatures."""

from __future__ import annotations

import base64
import re
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from functools import lru_cache
from typing import TypedDict, cast

from dossier.coverage.view import View
from dossier.errors import InputError
from dossier.records.procedures import Approval
from dossier.records.project import Project, Settings
from dossier.records.verdicts import code_title
from dossier.units import System


class Column(TypedDict):
    """A column of a table: heading, share of the width in per cent, alignment."""

    label: str
    width: float
    align: str  # "left", "right" or "centre"


class Row(TypedDict):
    """Cells of a row; `marks` colours cells by a word ("hold", "good"), "" leaves one plain."""

    cells: list[str]
    marks: list[str]


class Table(TypedDict):
    """A table whose heading row repeats on every page."""

    title: str
    columns: list[Column]
    rows: list[Row]
    note: str


class Fact(TypedDict):
    """One labelled value."""

    label: str
    value: str


class Signature(TypedDict):
    """One box of the approval block; empty where nobody has signed yet."""

    role: str
    name: str
    post: str
    on: str


class Look(TypedDict):
    """How the document looks: words in `language`, `paper` A4 or Letter, `logo` as data URI."""

    language: str
    paper: str
    company: list[str]
    logo: str
    colour: str  # "#rrggbb"
    typeface: str  # "sans" or "serif"


class Head(TypedDict):
    """What every page of a document shows, and what stands at its top and foot."""

    number: str
    title: str
    revision: str
    status: str
    project: str
    project_title: str
    client: str
    contractor: str
    as_of: str
    caution: list[str]
    signatures: list[Signature]
    look: Look


class Figure(TypedDict):
    """A drawing with its caption; `svg` is "" where it cannot be drawn and `note` says why."""

    svg: str
    note: str


def day(moment: date | datetime | None) -> str:
    """A date as year-month-day, with hours and minutes where recorded; "-" for none.

    >>> day(date(2026, 3, 1)), day(datetime(2026, 3, 1, 14, 5)), day(None)
    ('2026-03-01', '2026-03-01 14:05', '-')
    """
    if moment is None:
        return "-"
    if isinstance(moment, datetime):
        return moment.strftime("%Y-%m-%d %H:%M")
    return moment.isoformat()


def words(values: Iterable[str], nothing: str = "-") -> str:
    """Values joined by commas, `nothing` where there are none.

    >>> words(["PA", "PC"]), words(["", ""])
    ('PA, PC', '-')
    """
    return ", ".join(value for value in values if value) or nothing


def coded(code: str, level: str = "") -> str:
    """A code edition by its title, with the level where the test names one.

    >>> coded("API 1104:21st"), coded("ISO 15614-1:2017", "2")
    ('API 1104, 21st edition', 'ISO 15614-1:2017, level 2')
    """
    return f"{code_title(code)}, level {level}" if level else code_title(code)


def fact(label: str, value: str) -> Fact:
    """A labelled value; an empty one prints as "-"."""
    return Fact(label=label, value=value or "-")


def columns(*parts: tuple[str, float] | tuple[str, float, str]) -> list[Column]:
    """Columns from (heading, share) or (heading, share, alignment); shares are made to sum to 100.

    >>> [column["width"] for column in columns(("Joint", 1), ("Verdict", 3, "centre"))]
    [25.0, 75.0]
    """
    whole = sum(p[1] for p in parts)
    return [
        Column(
            label=p[0], width=round(100 * p[1] / whole, 2), align=p[2] if len(p) == 3 else "left"
        )
        for p in parts
    ]


def row(cells: Iterable[str], marks: Sequence[str] = ()) -> Row:
    """A row; empty cells print as "-" so that a blank never reads as forgotten."""
    filled = [cell or "-" for cell in cells]
    return Row(cells=filled, marks=list(marks) or [""] * len(filled))


def table(title: str, heads: list[Column], rows: Iterable[Row], note: str = "") -> Table:
    """A table. Raises InputError: a row that does not fit the columns."""
    kept = list(rows)
    for one in kept:
        if not len(one["cells"]) == len(one["marks"]) == len(heads):
            raise InputError("row", found=len(one["cells"]), expected=f"{len(heads)} cells")
    return Table(title=title, columns=heads, rows=kept, note=note)


def system_of(settings: Settings) -> System:
    """The system of units in which the project prints: "SI", "US" or "dual"."""
    if settings.units not in ("SI", "US", "dual"):
        raise InputError("units", found=settings.units, expected="SI, US or dual")
    return cast("System", settings.units)


def document_number(settings: Settings, kind: str, sequence: int) -> str:
    """A document number by the project's pattern.

    The pattern may use {project}, {kind}, {sequence} and {revision}, the sequence with a width such
    as {sequence:04d}. Raises InputError: anything else in braces, or a pattern that is too long.

    >>> from dossier.records.project import Numbering
    >>> settings = Settings(number="P1", title="", client="", contractor="",
    ...     numbering=Numbering(pattern=""))
    >>> document_number(settings, "WPS", 7)
    'P1-WPS-0007'
    """
    pattern = settings.document_number
    if len(pattern) > _LONGEST_PATTERN or not _NUMBER_PATTERN.fullmatch(pattern):
        raise InputError(
            "document_number", found=repr(pattern[:60]),
            expected="text with {project}, {kind}, {sequence}, {sequence:04d} or {revision} in it",
        )  # fmt: skip
    return pattern.format(
        project=settings.number, kind=kind, sequence=sequence, revision=settings.revision
    )


# A width of a hundred and more would be a way to fill the memory.
_NUMBER_PATTERN = re.compile(
    r"(?:[^{}]|\{\{|\}\}|\{(?:project|kind|revision)\}|\{sequence(?::0?[0-9]{1,2}d?|:d)?\})+"
)
_LONGEST_PATTERN = 200


_ROLES = ("prepared", "checked", "approved")


def signatures(settings: Settings, signed: Sequence[Approval] = ()) -> list[Signature]:
    """The approval block: signatures given, then an empty box for each role still missing."""
    given = {a.role: Signature(role=a.role, name=a.name, post=a.post or "-", on=day(a.signed_on))
             for a in signed}  # fmt: skip
    empty = {
        person.role: Signature(
            role=person.role, name=person.name, post=words([person.post, person.organisation]),
            on="",
        )
        for person in settings.signatories
    }  # fmt: skip
    roles = [role for role in _ROLES if role in given or role in empty]
    roles += [role for role in (*empty, *given) if role not in _ROLES]
    if not roles:
        return [Signature(role=role, name="", post="", on="") for role in _ROLES]
    return [given.get(role) or empty[role] for role in dict.fromkeys(roles)]


@lru_cache(maxsize=8)
def _data_uri(picture: bytes) -> str:
    kind = "png" if picture.startswith(b"\x89PNG") else "jpeg"
    return f"data:image/{kind};base64,{base64.b64encode(picture).decode()}" if picture else ""


def look(project: Project) -> Look:
    """How the documents of a project look. Raises InputError: a colour that is none."""
    settings = project.settings
    if not re.fullmatch("#[0-9a-f]{6}", settings.look.colour):
        raise InputError("look.colour", found=settings.look.colour, expected="#rrggbb")
    return Look(
        language=settings.language,
        paper=settings.paper,
        company=list(settings.look.company),
        logo=_data_uri(project.logo),
        colour=settings.look.colour,
        typeface=settings.look.typeface,
    )


def head(  # noqa: PLR0913 - the blanks of one form, all by name
    seen: View,
    *,
    number: str,
    title: str,
    revision: str = "",
    status: str = "issued",
    caution: Iterable[str] = (),
    signed: Sequence[Approval] = (),
    unsigned: Sequence[str] = (),
) -> Head:
    """The head of a document of the project; its revision is the project's where none is given.

    Roles in `unsigned` have no box in the approval block.
    """
    settings = seen.project.settings
    return Head(
        number=number,
        title=title,
        revision=revision or settings.revision,
        status=status,
        project=settings.number,
        project_title=settings.title,
        client=settings.client,
        contractor=settings.contractor,
        as_of=seen.as_of.isoformat(),
        caution=list(caution),
        signatures=[s for s in signatures(settings, signed) if s["role"] not in unsigned],
        look=look(seen.project),
    )
