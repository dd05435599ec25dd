"""A stretch of a line by KP: a lane for each stage, a cell for each joint that has reached it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dossier.drawings.fitted import fitted, text_width
from dossier.drawings.ranges import ticks
from dossier.drawings.svg import INK, SOFT, box, drawing, label, line

WIDTH = 1000.0
_LEFT, _RIGHT, _LANE, _TOP = 64.0, 8.0, 13.0, 30.0
# Dark enough for white letters, and apart in grey as well as in colour.
_COLOURS = ("#7a8c95", "#4a7fb0", "#2f6f4f", "#9a6400", "#3d2a5c")


@dataclass(frozen=True, slots=True)
class Cell:
    """One joint: its number, chainage in metres (None: by order) and the stages it has reached."""

    joint: str
    kp_m: float | None
    reached: tuple[bool, ...]


def stage_strip(
    title: str,
    lanes: Sequence[str],
    cells: Sequence[Cell],
    ends: tuple[float, float] | None = None,
) -> str:
    """Joints of one stretch as SVG, by KP between `ends` (metres), evenly spaced where None.

    Each lane is one stage with its letter: a filled cell has reached it, an empty one has not.
    Joints that lie closer than a cell is wide are moved apart.

    >>> "KP 1" in stage_strip("L1", ["welded"], [Cell("J-1", 950.0, (True,))], (900.0, 1000.0))
    True
    """
    width = max(1.0, min(12.0, (WIDTH - _LEFT - _RIGHT) / max(len(cells), 1) - 0.6))
    places = _places(cells, ends, width)
    bottom = _TOP + _LANE * len(lanes)
    parts = [label((2, 10), fitted(title, 460, 9), anchor="start", bold=True)]
    for index, lane in enumerate(lanes):
        y = _TOP + _LANE * index
        parts.append(label((2, y + 9.5), lane, anchor="start", size=8.5))
        for cell, x in zip(cells, places, strict=True):
            reached = cell.reached[index]
            fill = _COLOURS[index % len(_COLOURS)] if reached else "#ffffff"
            parts.append(box((x, y + 1), (width, _LANE - 2), fill, SOFT, 0.4))
            if reached and width >= 8:
                parts.append(label((x + width / 2, y + 9.5), lane[0].upper(), size=7.5, bold=True,
                                   colour="#ffffff"))  # fmt: skip
    parts += _numbers(cells, places, width)
    parts += _chainage(ends, bottom) if ends else []
    return drawing(WIDTH, bottom + 18, f"{title}: stages of {len(cells)} joints", *parts)


def _places(cells: Sequence[Cell], ends: tuple[float, float] | None, width: float) -> list[float]:
    """Left edge of each cell: at its KP, moved to the right of the one before where they meet."""
    span = WIDTH - _LEFT - _RIGHT - width
    step = width + 0.6
    if ends is None:
        return [_LEFT + step * index for index in range(len(cells))]
    low, high = ends
    places: list[float] = []
    for cell in cells:
        share = ((cell.kp_m or low) - low) / ((high - low) or 1.0)
        at = _LEFT + min(max(share, 0.0), 1.0) * span
        places.append(max(at, places[-1] + step) if places else at)
    limit = _LEFT + span
    for index in range(len(places) - 1, -1, -1):
        places[index] = max(min(places[index], limit), _LEFT)
        limit = places[index] - step
    return places


def _numbers(cells: Sequence[Cell], places: Sequence[float], width: float) -> list[str]:
    """Joint numbers above the lanes, as many as fit side by side."""
    parts, free = [], 0.0
    for cell, x in zip(cells, places, strict=True):
        text = fitted(cell.joint, 120, 7.5)
        half = text_width(text, 7.5) / 2
        centre = max(x + width / 2, half)
        if centre - half > free and centre + half < WIDTH:
            parts.append(label((centre, _TOP - 4), text, size=7.5))
            parts.append(line((x + width / 2, _TOP - 2), (x + width / 2, _TOP), INK, 0.5))
            free = centre + half + 4
    return parts


def _chainage(ends: tuple[float, float], bottom: float) -> list[str]:
    low, high = ends
    parts = [line((_LEFT, bottom + 3), (WIDTH - _RIGHT, bottom + 3), SOFT)]
    for tick in ticks(low, high, 6):
        x = _LEFT + (tick - low) / ((high - low) or 1.0) * (WIDTH - _LEFT - _RIGHT)
        anchor = "middle" if _LEFT + 20 < x < WIDTH - 30 else "start" if x < WIDTH / 2 else "end"
        parts.append(line((x, bottom + 1), (x, bottom + 5), SOFT))
        parts.append(label((x, bottom + 14), f"KP {tick / 1000:g}", size=8, colour=SOFT,
                           anchor=anchor))  # fmt: skip
    return parts
