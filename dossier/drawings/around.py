"""Indications and repairs of one joint around its circumference, by clock position."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, radians, sin

from dossier.drawings.svg import ACCENT, INK, PALE, SOFT, drawing, label, line, tag
from dossier.errors import InputError
from dossier.records.examinations import Indication
from dossier.records.joints import Repair
from dossier.units import show

SIZE, LIST = 190.0, 170.0
_RADIUS = 62.0


def clock(start_mm: float, od_mm: float) -> str:
    """Clock position of a place `start_mm` around from the datum at 12, looking along the flow.

    Source: common practice; h:mm to the nearest five minutes of the dial.
    Raises InputError: a diameter that is not above 0 mm.

    >>> clock(0.0, 323.9), clock(254.4, 323.9)
    ('12:00', '3:00')
    """
    if not od_mm > 0:
        raise InputError("od_mm", found=od_mm, expected="more than 0 mm")
    minutes = round((start_mm % (pi * od_mm)) / (pi * od_mm) * 144) * 5 % 720
    return f"{minutes // 60 or 12}:{minutes % 60:02d}"


def _at(angle: float, radius: float) -> tuple[float, float]:
    return SIZE / 2 + radius * sin(angle), SIZE / 2 - radius * cos(angle)


def _arc(first: float, last: float, radius: float, colour: str, width: float) -> str:
    # Neither a point nor a whole circle is an arc: both would vanish.
    last = min(max(last, first + radians(2.5)), first + radians(359.5))
    (x1, y1), (x2, y2) = _at(first, radius), _at(last, radius)
    large = 1 if last - first > pi else 0
    path = f"M{x1:.2f} {y1:.2f} A{radius} {radius} 0 {large} 1 {x2:.2f} {y2:.2f}"
    return tag("path", d=path, fill="none", stroke=colour, stroke_width=width)


def _dial(small: bool) -> list[str]:
    parts = [tag("circle", cx=SIZE / 2, cy=SIZE / 2, r=_RADIUS, fill="none", stroke=PALE,
                 stroke_width=12)]  # fmt: skip
    for radius in (_RADIUS - 6, _RADIUS + 6):
        parts.append(tag("circle", cx=SIZE / 2, cy=SIZE / 2, r=radius, fill="none", stroke=SOFT,
                         stroke_width=0.7))  # fmt: skip
    for hour in range(12):
        angle = hour * pi / 6
        parts.append(line(_at(angle, _RADIUS + 6), _at(angle, _RADIUS + 10), SOFT))
        x, y = _at(angle, _RADIUS + (20 if small else 18))
        if not small:
            parts.append(label((x, y + 3), str(hour or 12), size=8, colour=SOFT))
        elif hour % 3 == 0:
            parts.append(label((x, y + 5), str(hour or 12), size=15, colour=SOFT))
    return parts


def indication_map(
    joint: str,
    od_mm: float,
    indications: Sequence[Indication],
    repairs: Sequence[Repair] = (),
    *,
    listed: bool = True,
) -> str:
    """Where on the circumference each indication and repair of a joint lies, as SVG.

    The dial looks along the flow with 12 at the top. Indications are solid, repairs shown by
    a second ring; each is numbered in the list beside it. One without a place is listed only.
    Without the list the dial stands alone, lettered larger, to be printed small.
    Raises InputError: a diameter that is not above 0 mm.

    >>> "IP" in indication_map("J-1", 323.9, [Indication(kind="IP", start_mm=10.0)])
    True
    """
    if not od_mm > 0:
        raise InputError("od_mm", found=od_mm, expected="more than 0 mm")
    around = pi * od_mm
    parts, words = _dial(small=not listed), []
    for index, found in enumerate(indications, start=1):
        words.append(f"{index}  {indication_words(found, od_mm)}")
        if found.start_mm is not None:
            first = found.start_mm / around * 2 * pi
            last = first + (found.length_mm or 0.0) / around * 2 * pi
            parts.append(_arc(first, last, _RADIUS, "#a32a20", 9))
            x, y = _at((first + last) / 2, _RADIUS - 16)
            parts.append(label((x, y + 4), str(index), size=8 if listed else 13, bold=True))
    for repair in repairs:
        words.append(f"repair {repair.number} at {repair.clock or 'no place recorded'}")
        if repair.start_mm is not None:
            first = repair.start_mm / around * 2 * pi
            last = first + (repair.length_mm or 0.0) / around * 2 * pi
            parts.append(_arc(first, last, _RADIUS + 3, ACCENT, 3))
    title = f"Indications of joint {joint} by clock position"
    if not listed:
        return drawing(SIZE, SIZE, title, *parts)
    parts.append(label((SIZE / 2, SIZE / 2), joint, size=9, bold=True))
    parts.append(label((SIZE / 2, SIZE / 2 + 12), "along the flow", size=7.5, colour=SOFT))
    for row, text in enumerate(words or ["no indication recorded"]):
        parts.append(label((SIZE + 6, 24 + 13 * row), text, anchor="start", size=8.5, colour=INK))
    height = max(SIZE, 30 + 13 * len(words))
    return drawing(SIZE + LIST, height, title, *parts)


def indication_words(found: Indication, od_mm: float) -> str:
    """Kind, clock position and length of an indication.

    >>> indication_words(Indication(kind="IP", start_mm=0.0, length_mm=8.0), 323.9)
    'IP at 12:00, 8 mm long'
    """
    place = "no place" if found.start_mm is None else f"at {clock(found.start_mm, od_mm)}"
    length = "" if found.length_mm is None else f", {show(found.length_mm, 'mm')} long"
    return f"{found.kind} {place}{length}"
