"""The papers about procedures and welders beside the main sheets, in the order of a dossier.

Each is a name for its file, a template and the plain data for it; whoever issues them renders.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from dossier.coverage.view import View
from dossier.documents import (
    certificate_sheet,
    claims,
    continuity_sheet,
    planning,
    revision_comparison,
)
from dossier.documents.answers import Answers
from dossier.documents.files import file_name
from dossier.documents.procedure import preliminary
from dossier.documents.sheet import document_number
from dossier.records.procedures import Procedure


@dataclass(frozen=True, slots=True)
class Made:
    """A paper to be rendered: file name without its ending, template, plain data."""

    name: str
    template: str
    data: Mapping[str, Any]


def claim_papers(seen: View, answers: Answers) -> Iterator[Made]:
    """The statement of qualified range and claims of every WPS that is not a draft."""
    for index, wps in enumerate(seen.project.procedures, start=1):
        if not preliminary(wps):
            number = document_number(seen.project.settings, "SQR", index)
            name = file_name(f"{wps.number}_rev_{wps.revision}_qualified_range")
            yield Made(name, "claims.html", claims.context(seen, wps, answers, number))


def comparison_papers(seen: View, answers: Answers) -> Iterator[Made]:
    """Every revision of a WPS against the one before it."""
    for index, (old, new) in enumerate(revision_comparison.pairs(seen), start=1):
        number = document_number(seen.project.settings, "WCH", index)
        data = revision_comparison.context(seen, old, new, answers, number)
        name = file_name(f"{new.number}_rev_{old.revision}_to_{new.revision}")
        yield Made(name, "revision_comparison.html", data)


def certificate_papers(seen: View, answers: Answers) -> Iterator[Made]:
    """One sheet a welder certificate, by stamp and day of the test."""
    for index, (welder, held) in enumerate(continuity_sheet.held_by(seen), start=1):
        number = document_number(seen.project.settings, "WQC", index)
        data = certificate_sheet.context(seen, welder, held, answers, number)
        name = file_name(f"{welder.stamp}_{held.number}")
        yield Made(name, "certificate_sheet.html", data)


def continuity_papers(seen: View, answers: Answers) -> Iterator[Made]:
    """The continuity sheet of all welders."""
    number = document_number(seen.project.settings, "WCT", 1)
    data = continuity_sheet.context(seen, answers, number)
    yield Made("welder_continuity", "continuity_sheet.html", data)


def planning_papers(seen: View, answers: Answers) -> Iterator[Made]:
    """Consumables for the joints left, of each WPS in the revision last listed."""
    del answers
    latest: dict[str, Procedure] = {wps.number: wps for wps in seen.project.procedures}
    for index, wps in enumerate(latest.values(), start=1):
        number = document_number(seen.project.settings, "PLN", index)
        data = planning.context(seen, wps, number)
        yield Made(file_name(f"{wps.number}_consumables"), "planning.html", data)


Papers = Callable[[View, Answers], Iterator[Made]]
PAPERS: dict[str, Papers] = {
    "procedure-claims": claim_papers,
    "revision-comparisons": comparison_papers,
    "welder-certificates": certificate_papers,
    "welder-continuity": continuity_papers,
    "planning-sheets": planning_papers,
}
