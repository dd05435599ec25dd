"""ISO 5817:2014, quality level B, as an acceptance code."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.codes.face import Choices
from dossier.codes.iso_5817_2014 import acceptance
from dossier.codes.iso_5817_2014.acceptance import NOT_COVERED, RULES
from dossier.records.examinations import Indication
from dossier.records.verdicts import Reason

EDITION = "ISO 5817:2014 B"


def accept(
    method: str,
    indications: Sequence[Indication],
    *,
    od_mm: float,
    wall_mm: float,
    choices: Choices,
) -> tuple[Reason, ...]:
    """Reasons for the indications of one weld at quality level B; there are no readings.

    Source: ISO 5817:2014, Table 1. Raises InputError: wall under 0.5 mm.

    >>> undercut = Indication(kind="EU", depth_mm=0.6)
    >>> reasons = accept("VT", [undercut], od_mm=323.9, wall_mm=12.0, choices={})
    >>> [str(one.verdict) for one in reasons]
    ['nonconformity']
    """
    del choices
    return acceptance.accept("B", method, indications, od_mm=od_mm, wall_mm=wall_mm)


__all__ = ["EDITION", "NOT_COVERED", "RULES", "accept"]
