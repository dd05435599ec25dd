"""ISO 10675-1:2016, acceptance level 2 (quality level C), as an acceptance code."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.codes.face import Choices
from dossier.codes.iso_10675_1_2016 import acceptance
from dossier.codes.iso_10675_1_2016.acceptance import NOT_COVERED, RULES
from dossier.records.examinations import Indication
from dossier.records.verdicts import Reason

EDITION = "ISO 10675-1:2016 2"


def accept(
    method: str,
    indications: Sequence[Indication],
    *,
    od_mm: float,
    wall_mm: float,
    choices: Choices,
) -> tuple[Reason, ...]:
    """Reasons for the radiographic indications of one weld at level 2; there are no readings.

    Source: ISO 10675-1:2016, Table 1 (memory). Raises InputError: wall of 0 or less.

    >>> pore = Indication(kind="P", length_mm=3.0)
    >>> [str(one.verdict) for one in accept("RT", [pore], od_mm=323.9, wall_mm=12.0, choices={})]
    ['clear']
    """
    del choices
    return acceptance.accept(2, method, indications, od_mm=od_mm, wall_mm=wall_mm)


__all__ = ["EDITION", "NOT_COVERED", "RULES", "accept"]
