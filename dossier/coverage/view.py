"""One look at a project: as known on a day, indexed, with what was already asked of the codes."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from dossier.codes.face import Choices
from dossier.coverage.as_of import known_on, last_day
from dossier.coverage.lookup import Lookup, lookup
from dossier.records.procedures import Procedure, ProcedurePass, Span
from dossier.records.project import Project
from dossier.records.verdicts import Basis, Range, Reason
from dossier.records.weld import Weld

# Answers of the codes, each distinct question asked once: (certificate number, weld) -> reasons.
Answers = dict[tuple[str, Weld], tuple[Reason, ...]]


@dataclass(frozen=True, slots=True, order=True)
class Use:
    """One joint on which a stamp used a process on a day, and whether nobody else welded it."""

    day: date
    joint: str
    process: str
    alone: bool
    tested: tuple[date, ...] = ()  # days on which the joint was accepted by film or ultrasound


Uses = dict[str, tuple[Use, ...]]  # by stamp, oldest first
# Answers about a day, each question asked once, by all that it depends on.
Dated = dict[tuple[str | date | float, ...], tuple[Reason, ...]]


@dataclass(frozen=True, slots=True)
class View:
    """The project as known at the end of `as_of`."""

    project: Project
    as_of: date
    known: Lookup
    answers: Answers = field(default_factory=dict, repr=False)
    uses: Uses = field(default_factory=dict, repr=False)  # filled by `continuity.uses`
    dated: Dated = field(default_factory=dict, repr=False)
    # Rows of each WPS by kind of pass and process.
    rows: dict[tuple[str, str], dict[tuple[str, str], ProcedurePass | None]] = field(
        default_factory=dict, repr=False
    )
    stamps: dict[str, frozenset[str]] = field(default_factory=dict, repr=False)  # see `stamps_of`
    bounds: dict[tuple[str, str], Any] = field(default_factory=dict, repr=False)  # see `bounds_of`
    needs: dict[str, tuple[Any, ...]] = field(default_factory=dict, repr=False)  # see `needed`
    bases: dict[str, Basis] = field(default_factory=dict, repr=False)  # see `project_basis`
    plans: dict[int, Any] = field(default_factory=dict, repr=False)  # see `plan.plan`
    # Questions that found nothing, by what asked them.
    sound: dict[Hashable, set[Hashable]] = field(default_factory=dict, repr=False)

    @property
    def choices(self) -> Choices:
        """The named readings of the codes that the project has chosen."""
        return self.project.settings.choices


REMEMBERED = 2_000  # questions at a time, so that a long project does not fill the memory


def remember(sound: set[Hashable], question: Hashable) -> None:
    """Note that a question found nothing; begin anew when there are too many."""
    if len(sound) >= REMEMBERED:
        sound.clear()
    sound.add(question)


def view(project: Project, as_of: date | None = None) -> View:
    """The project as of a day: the one given, else the project's cut-off, else its last record."""
    day = as_of or project.settings.as_of or last_day(project)
    seen = known_on(project, day)
    return View(seen, day, lookup(seen))


def stamps_of(seen: View, examiner: str) -> frozenset[str]:
    """The stamps that an examiner may weld under: the own name, and those of welders so named."""
    if examiner not in seen.stamps:
        known = seen.known.examiners.get(examiner)
        welders = seen.project.welders if known else ()
        own = {welder.stamp for welder in welders if known and welder.name == known.name}
        seen.stamps[examiner] = frozenset({examiner, *own})
    return seen.stamps[examiner]


def project_basis(seen: View, clause: str) -> Basis:
    """The project's own requirement as a basis."""
    if clause not in seen.bases:
        seen.bases[clause] = Basis(seen.project.settings.requirements.basis, "", clause, "project")
    return seen.bases[clause]


def wps_basis(wps: Procedure, clause: str) -> Basis:
    """A WPS as a basis: what it prescribes is the requirement."""
    return Basis(f"WPS {wps.number} rev. {wps.revision}", "", clause, "project")


def permitted(span: Span, basis: Basis, unit: str) -> Range:
    """A range written on a sheet as a range that judges."""
    low = -float("inf") if span.low is None else span.low
    high = float("inf") if span.high is None else span.high
    return Range(low, high, basis, unit)
