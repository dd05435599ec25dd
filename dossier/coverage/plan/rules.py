"""The welder codes, asked about many certificates and many needs, each distinct question once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from dossier.codes.editions import welder_code
from dossier.codes.face import PROCESS, Choices
from dossier.coverage.plan.needs import Need
from dossier.errors import InputError
from dossier.records.base import NOWHERE
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Basis, Reason, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate

_ANY_DAY = date(2000, 1, 1)


def reasons_for(certificate: Certificate, weld: Weld, choices: Choices) -> tuple[Reason, ...]:
    """The reasons of the certificate's own code for a weld; a value it does not know is a hold."""
    try:
        return welder_code(certificate.code).covers(certificate, weld, choices)
    except InputError as error:
        standard, _, edition = certificate.code.rpartition(":")
        basis = Basis(standard, edition, "")
        return (Reason("record", str(error), "values that the code knows", basis, HOLD),)


def alike(certificate: Certificate) -> Certificate:
    """The certificate without what no rule of coverage asks: two alike tests cover alike."""
    return replace(
        certificate, number="", welded_on=_ANY_DAY, issued_on=None, wps="", method="", examiner="",
        ended_on=None, confirmations=(), document=None, origin=NOWHERE,
        not_applicable=frozenset(),
    )  # fmt: skip


def covered_by(
    certificates: Iterable[Certificate], needs: Sequence[Need], choices: Choices
) -> dict[Certificate, frozenset[int]]:
    """For each kind of certificate (`alike`) the places of the needs that its code says it covers.

    The answers are those of the code itself; nothing here decides about a weld.
    """
    by_process: dict[tuple[str, str], list[int]] = defaultdict(list)
    for place, need in enumerate(needs):
        by_process[need.code, need.weld.process].append(place)
    return {
        kind: frozenset(
            place
            for (code, _), places in by_process.items()
            if code == kind.code
            for place in _covered(kind, needs, places, choices)
        )
        for kind in dict.fromkeys(certificates)
    }


def _covered(
    kind: Certificate, needs: Sequence[Need], places: Sequence[int], choices: Choices
) -> Iterator[int]:
    """The places covered among needs of one process; a wrong process is wrong for all of them."""
    for place in places:
        reasons = reasons_for(kind, needs[place].weld, choices)
        if any(r.variable == PROCESS and r.verdict >= NONCONFORMITY for r in reasons):
            return
        if worst(reasons) == CLEAR:
            yield place
