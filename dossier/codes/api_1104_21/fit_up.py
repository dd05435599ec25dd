"""Fit-up and line-up: API 1104, 21st edition, 7.2 and 7.3."""

from __future__ import annotations

from dossier.codes.api_1104_21.settings import Sizes, basis
from dossier.records.verdicts import CLEAR, NONCONFORMITY, NOTE, Basis, Range, Reason

HIGH_LOW = basis("7.2", "secondary")
CLAMP = basis("7.3")
INTERNAL_CLAMP = Basis("owner's specification", "", "line-up clamp", "project")


def high_low(offset_mm: float, size: Sizes) -> Reason:
    """Offset of ends of equal wall in mm: 1/8 in is advice; more is a note, not a rejection.

    Source: API 1104, 21st edition, 7.2 (secondary; that it is advice, from memory).

    >>> from dossier.codes.api_1104_21.settings import US
    >>> str(high_low(3.175, US).verdict), str(high_low(3.6, US).verdict)
    ('clear', 'note')
    """
    return Range(0, size.eighth, HIGH_LOW).judge("offset", offset_mm, NOTE)


def external_clamp(root_percent: float, segments_even: bool) -> tuple[Reason, ...]:
    """Taking off an external clamp: even root segments over half of the circumference at least.

    Source: API 1104, 21st edition, 7.3 (memory).
    """
    evenly = CLEAR if segments_even else NONCONFORMITY
    found = "even" if segments_even else "uneven"
    return (
        Range(50, 100, CLAMP, "%").judge("root bead, share of the circumference", root_percent),
        Reason("spacing of the segments", found, "even", CLAMP, evenly),
    )


def internal_clamp(root_percent: float, least_percent: float = 100.0) -> Reason:
    """Taking off an internal clamp: after the whole root bead, unless the owner allows less.

    Source: owner's specification; API 1104, 7.3 asks it where movement is hard to prevent
    (memory).
    """
    permitted = Range(least_percent, 100, INTERNAL_CLAMP, "%")
    return permitted.judge("root bead, share of the circumference", root_percent)
