"""The one shape of these documents: a head, facts, sentences, and parts of drawing and table."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypedDict

from dossier.calc.cautions import caution_texts
from dossier.coverage.view import View
from dossier.documents.sheet import (
    Fact,
    Head,
    Row,
    Table,
    columns,
    document_number,
    head,
    system_of,
)
from dossier.records.verdicts import Finding
from dossier.units import System


class Part(TypedDict):
    """One part of a document: drawings, then a table, or the words that say it is empty."""

    drawings: list[str]
    rows: Table
    empty: str


class Printed(TypedDict):
    """All data of one document. `form` is "wide" for a page across, "" for an upright one,
    "keep" for an upright one whose tables stay whole."""

    head: Head
    form: str
    lead: str
    facts: list[Fact]
    words: list[str]
    content: dict[str, Part]


@dataclass(frozen=True, slots=True)
class Asked:
    """What the documents are made from."""

    seen: View
    findings: tuple[Finding, ...] = ()

    @property
    def system(self) -> System:
        """The units in which the project prints."""
        return system_of(self.seen.project.settings)


Maker = Callable[[Asked], Iterator[Printed]]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of document.

    `caution` names the cautions it carries, by the key of `dossier.calc.cautions.DOCUMENTS` (""
    none). A `form` is filled in or signed by people: it is issued as docx and PDF; the others are
    issued as workbooks unless they are pictures first of all (`book` False).
    """

    make: Maker
    caution: str = ""
    form: bool = False
    book: bool = True


@dataclass(frozen=True, slots=True)
class Name:
    """How one document is called: its code and place in its series, title, status, cautions."""

    code: str
    title: str
    place: int = 1
    caution: str = ""
    status: str = "issued"


def printed(  # noqa: PLR0913 - the parts of one document, all by name
    of: Asked,
    name: Name,
    content: dict[str, Part],
    *,
    lead: str = "",
    facts: Iterable[Fact] = (),
    words: Iterable[str] = (),
    form: str = "",
) -> Printed:
    """One document as plain data."""
    settings = of.seen.project.settings
    texts = caution_texts(name.caution).values() if name.caution else ()
    return Printed(
        head=head(
            of.seen,
            number=document_number(settings, name.code, name.place),
            title=name.title,
            status=name.status,
            caution=texts,
        ),
        form=form,
        lead=lead,
        facts=list(facts),
        words=list(words),
        content=content,
    )


def part(rows: Table, empty: str, drawings: Iterable[str] = ()) -> Part:
    """A table with the words that stand in its place where it has no row."""
    return Part(drawings=list(drawings), rows=rows, empty=empty)


def boxes(cells: Iterable[str], mark: str = "box") -> Row:
    """A row of a form: what is known is printed, what is not is an empty box to write in.

    `mark` "tall" gives room for sentences.
    """
    kept = list(cells)
    return Row(cells=kept, marks=["" if cell else mark for cell in kept])


def form_table(title: str, heads: Sequence[tuple[str, float]], rows: Iterable[Row]) -> Table:
    """A table of a form, whose empty cells stay empty."""
    return Table(title=title, columns=columns(*heads), rows=list(rows), note="")
