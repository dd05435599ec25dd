"""Indications held against a quality level of ISO 5817:2014."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.codes.face import Rule
from dossier.codes.iso_5817_2014.limits import Limit, clause, limit
from dossier.errors import InputError
from dossier.records.examinations import Indication
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Reason

# Abbreviations of the records -> number of ISO 6520-1. Those absent cannot be judged here.
_NUMBERS = {
    "C": "100",
    "IP": "4021",
    "IPD": "4021",
    "IF": "401",
    "IFD": "401",
    "EU": "5011",
    "IU": "5012",
    "ICP": "515",
    "P": "2017",
}
_SIZES = {"2017": "length_mm"}  # the size that is compared; the depth for all others

RULES = (
    Rule("Limits by quality level", "Table 1", "read", "dossier.codes.iso_5817_2014.limits.limit"),
)
NOT_COVERED = (
    "Imperfections inside the weld (see ISO 10675-1) and lines of the table beyond those listed.",
    "Whether an imperfection is short: only its size is judged.",
)


def accept(
    level: str,
    method: str,
    indications: Sequence[Indication],
    *,
    od_mm: float,
    wall_mm: float,
) -> tuple[Reason, ...]:
    """Reasons for the surface indications of one weld at a quality level; one clear if none.

    Source: ISO 5817:2014, Table 1. Raises InputError: wall under 0.5 mm.

    >>> undercut = Indication(kind="EU", depth_mm=0.6)
    >>> [str(one.verdict) for one in accept("B", "VT", [undercut], od_mm=323.9, wall_mm=12.0)]
    ['nonconformity']
    """
    del method, od_mm  # the limits hold whatever found the indication
    if not indications:
        return (Reason("indications", "none", f"level {level}", clause("all lines")),)
    return tuple(_judge(level, one, wall_mm) for one in indications)


def _judge(level: str, one: Indication, wall_mm: float) -> Reason:
    number = _NUMBERS.get(one.kind, "")
    try:
        permitted = limit(number, level, {"t": wall_mm, "s": wall_mm})
    except InputError as error:
        return Reason(one.kind, "recorded", f"not judged: {error}", clause("all lines"), HOLD)
    size = getattr(one, _SIZES.get(number, "depth_mm"))
    return _reason(one.kind, size, permitted)


def _reason(kind: str, size: float | None, permitted: Limit) -> Reason:
    text = str(permitted.range) + (", short only" if permitted.short_only else "")
    if not permitted.permitted:
        found = "present" if size is None else f"{size:g} mm"
        return Reason(kind, found, "none", permitted.basis, NONCONFORMITY)
    if size is None:
        return Reason(kind, "size not recorded", text, permitted.basis, HOLD)
    inside = size in permitted.range
    verdict = NONCONFORMITY if not inside else HOLD if permitted.short_only else CLEAR
    return Reason(kind, f"{size:g} mm", text, permitted.basis, verdict)
