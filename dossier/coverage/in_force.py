"""Was a WPS revision issued, approved and in force on the days on which it was welded to?

Asked of the passes of a joint and of each repair: what the weld is compared with where another
revision had taken over is handed in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date
from typing import NamedTuple

from dossier.coverage.revisions import changes
from dossier.coverage.view import View, project_basis
from dossier.records.procedures import Procedure
from dossier.records.verdicts import HOLD, NONCONFORMITY, NOTE, Reason, Verdict


class Days(NamedTuple):
    """The first and the last day on which something was welded."""

    first: date
    last: date


# Everything of the weld that a revision bounds.
Asked = Callable[[Procedure], Iterable[Reason]]


def in_force_reasons(seen: View, wps: Procedure, days: Days, asked: Asked) -> Iterator[Reason]:
    """Reasons why a revision was not in force, or is not shown to have been, on each of the days.

    The first day is asked of its approval and of the begin of its validity, the last of the end:
    the days between lie inside of both.
    """
    basis = project_basis(seen, "procedure register")
    first, last = days

    def reason(variable: str, found: str, wanted: str, verdict: Verdict) -> Reason:
        return Reason(variable, found, wanted, basis, verdict)

    if wps.status == "draft":
        yield reason("status", "draft", "issued", NONCONFORMITY)
    if wps.status == "withdrawn" and wps.valid_until is None:
        yield reason("status", "withdrawn, the day not recorded", f"in force on {last}", HOLD)
    if wps.valid_from and first < wps.valid_from:
        found = f"valid from {wps.valid_from}"
        yield reason("day of welding", found, f"valid on {first}", NONCONFORMITY)
    if wps.valid_until and last > wps.valid_until:
        yield from _superseded(seen, wps, last, asked)
    signed = [a.signed_on for a in wps.approvals if a.role == "approved" and a.signed_on]
    if not signed:
        yield reason("approval", "no dated approval", f"approved by {first}", HOLD)
    elif min(signed) > first:
        found = f"approved on {min(signed)}"
        yield reason("approval", found, f"approved by {first}", NONCONFORMITY)


def _superseded(seen: View, wps: Procedure, day: date, asked: Asked) -> Iterator[Reason]:
    """A weld inside the revision that had taken over is worth a note; outside it breaks it."""
    found = f"superseded after {wps.valid_until}"
    basis = project_basis(seen, "procedure register")
    current = seen.known.in_force(wps.number, day)
    if current is None:
        yield Reason("day of welding", found, f"valid on {day}", basis, NONCONFORMITY)
        return
    outside = [reason for reason in asked(current) if reason.verdict >= NONCONFORMITY]
    wanted = f"revision {current.revision}, in force on {day}"
    told = "outside it" if outside else "the weld lies inside it"
    verdict = NONCONFORMITY if outside else NOTE
    yield Reason("revision", f"{found}, {told}", wanted, basis, verdict)
    differing = "; ".join(map(str, changes(wps, current))) or "nothing that the sheets prescribe"
    yield Reason("what changed", differing, wanted, basis, NOTE)
    yield from outside
