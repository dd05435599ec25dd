"""What each section of a dossier prints, as pages of HTML ready to be rendered."""

from __future__ import annotations

import hashlib
import json
import pickle
import zlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from dossier.coverage.view import View
from dossier.documents import findings as finding_sheets
from dossier.documents import procedure, qualification, rates, registers, welder_matrix
from dossier.documents.answers import Answers, answers_of
from dossier.documents.joint_history import history
from dossier.documents.pages import page
from dossier.documents.printed import PRINTED, template_of
from dossier.documents.printed.face import Asked
from dossier.documents.sheet import document_number
from dossier.documents.welding_papers import PAPERS, Papers
from dossier.records.verdicts import Finding

HISTORY = "joint_history.html"
ROWS = 500  # of a register in one document, some fifteen pages


@dataclass(frozen=True, slots=True)
class Sheet:
    """One document that the tool prints itself."""

    number: str
    title: str
    revision: str
    content: Content


@dataclass(frozen=True, slots=True)
class Content:
    """What a page is made from. The page itself is made when it is rendered, if it must be.

    `made_of` tells one content from another, `but_day` does so apart from the day of the records
    and the revision in the head; `length` is that of the data, in characters. The data wait packed,
    so that ten thousand sheets take little room.
    """

    template: str
    packed: bytes
    made_of: str
    but_day: str
    length: int
    overrides: Path | None

    def html(self) -> str:
        """The page. Raises as `dossier.documents.pages.page` does."""
        return page(self.template, self.data(), self.overrides)

    def data(self) -> Any:
        """What the page shows."""
        return pickle.loads(zlib.decompress(self.packed))  # noqa: S301 - packed by ourselves


def content(template: str, data: Any, overrides: Path | None) -> Content:
    """The content of one page; the day of the records is in its head."""
    text = json.dumps([template, data], default=str)
    # The code on a joint history repeats what the page says, and the revision with it.
    neutral = {**data, "head": {**data["head"], "revision": ""}, "code": None}
    no_day = json.dumps(neutral, default=str).replace(data["head"]["as_of"], "")
    return Content(
        template,
        zlib.compress(pickle.dumps(data, pickle.HIGHEST_PROTOCOL), 1),
        hashlib.sha256(text.encode()).hexdigest(),
        hashlib.sha256(no_day.encode()).hexdigest(),
        len(text),
        overrides,
    )


@dataclass(frozen=True, slots=True)
class Source:
    """What all sections are made from."""

    seen: View
    findings: tuple[Finding, ...]
    by_joint: dict[str, list[Finding]]
    answers: Answers
    overrides: Path | None

    def number(self, kind: str, sequence: int = 1) -> str:
        """A document number by the project's pattern."""
        return document_number(self.seen.project.settings, kind, sequence)

    def sheet(self, template: str, data: Any) -> Sheet:
        """One printed document from its context."""
        head = data["head"]
        made = content(template, data, self.overrides)
        return Sheet(head["number"], head["title"], head["revision"], made)


def source(seen: View, findings: Sequence[Finding], overrides: Path | None) -> Source:
    """Gather once what every section needs."""
    grouped = finding_sheets.by_joint(findings)
    return Source(seen, tuple(findings), grouped, answers_of(seen.project), overrides)


def _procedures(of: Source) -> Iterator[Sheet]:
    for index, wps in enumerate(of.seen.project.procedures, start=1):
        data = procedure.context(of.seen, wps, of.answers, of.number("WPS", index))
        yield of.sheet("procedure.html", data)


def _qualifications(of: Source) -> Iterator[Sheet]:
    for index, pqr in enumerate(of.seen.project.pqrs, start=1):
        data = qualification.context(of.seen, pqr, of.answers, of.number("PQR", index))
        yield of.sheet("qualification.html", data)


def _matrix(of: Source) -> Iterator[Sheet]:
    data = welder_matrix.context(of.seen, of.answers, of.number("WQM"))
    yield of.sheet("welder_matrix.html", data)


def _histories(of: Source) -> Iterator[Sheet]:
    for place, joint in enumerate(of.seen.project.joints, start=1):
        if joint.status in ("welded", "cut out"):
            own = of.by_joint.get(joint.number, [])
            yield of.sheet(HISTORY, history(of.seen, own, joint, place))


def _rates(of: Source) -> Iterator[Sheet]:
    yield of.sheet("rates.html", rates.context(of.seen, of.number("RTE")))


def _report(of: Source) -> Iterator[Sheet]:
    data = finding_sheets.context(of.seen, of.findings, of.number("CHK"))
    yield of.sheet("check_report.html", data)


def _open_points(of: Source) -> Iterator[Sheet]:
    yield from _in_parts(of, "GAP", registers.gap_list(of.seen, of.findings, of.number("GAP")))


def _register(name: str) -> Callable[[Source], Iterator[Sheet]]:
    kind, build = registers.REGISTERS[name]

    def made(of: Source) -> Iterator[Sheet]:
        yield from _in_parts(of, kind, build(of.seen, of.by_joint, of.number(kind)))

    return made


def _in_parts(of: Source, kind: str, data: registers.Register) -> Iterator[Sheet]:
    """A register, a long one as several documents: the renderer holds a whole document in memory,
    and a row that changes should not print ten thousand others again."""
    rows = data["rows"]["rows"]
    count = max(1, -(-len(rows) // ROWS))
    for part in range(count):
        head = data["head"]
        if count > 1:
            title = f"{head['title']}, part {part + 1} of {count}"
            head = {**head, "number": of.number(kind, part + 1), "title": title}
        shown = {**data["rows"], "rows": rows[part * ROWS : (part + 1) * ROWS]}
        strips = [] if part else data["strips"]
        yield of.sheet("register.html", {**data, "head": head, "rows": shown, "strips": strips})


def _papers(made: Papers) -> Callable[[Source], Iterator[Sheet]]:
    def printed(of: Source) -> Iterator[Sheet]:
        for one in made(of.seen, of.answers):
            yield of.sheet(one.template, one.data)

    return printed


def _printed(name: str) -> Callable[[Source], Iterator[Sheet]]:
    def made(of: Source) -> Iterator[Sheet]:
        template = template_of(name, of.overrides)
        for data in PRINTED[name].make(Asked(of.seen, of.findings)):
            yield of.sheet(template, data)

    return made


CONTENTS: dict[str, Callable[[Source], Iterator[Sheet]]] = {
    "procedure-sheets": _procedures,
    "qualification-sheets": _qualifications,
    "welder-matrix": _matrix,
    "joint-histories": _histories,
    "repair-rates": _rates,
    "check-report": _report,
    "open-points": _open_points,
    **{name: _papers(made) for name, made in PAPERS.items()},
    **{name: _register(name) for name in registers.REGISTERS},
    **{name: _printed(name) for name in PRINTED},
}
