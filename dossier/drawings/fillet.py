"""Fillet welds: the tee with its throat, and its runs."""

from __future__ import annotations

from math import sqrt

from dossier.drawings.svg import (
    ACCENT,
    ACCENT_PALE,
    PALE,
    SOFT,
    Point,
    dimension,
    drawing,
    label,
    line,
    polygon,
)
from dossier.drawings.words import middle, show_span
from dossier.errors import InputError
from dossier.records.procedures import Groove
from dossier.units import System, show

WIDTH, HEIGHT = 330.0, 196.0
_CORNER: Point = (130.0, 140.0)


def _throat(groove: Groove) -> float:
    throat = middle(groove.throat_mm)
    if not throat:
        raise InputError("throat_mm", found="not recorded", expected="a throat to draw the weld by")
    return throat


def _scale(throat: float, wall_mm: float) -> float:
    return min(90 / (throat * sqrt(2) + wall_mm * 0.4), 60 / wall_mm)


def _plates(wall_mm: float, scale: float) -> str:
    x, y = _CORNER
    thick = wall_mm * scale
    upright = [(x - thick, 22), (x, 22), (x, y), (x - thick, y)]
    flat = [(x - thick - 40, y), (x + 150, y), (x + 150, y + min(thick, 24)),
            (x - thick - 40, y + min(thick, 24))]  # fmt: skip
    return polygon(upright, PALE) + polygon(flat, PALE)


def fillet_sketch(groove: Groove, wall_mm: float, system: System = "SI") -> str:
    """A fillet weld between two members at right angles, throat to scale, as SVG.

    Raises InputError: no throat recorded.

    >>> from dossier.records.procedures import Span
    >>> "throat" in fillet_sketch(Groove(kind="fillet", throat_mm=Span(low=4, high=6)), 8.0)
    True
    """
    throat = _throat(groove)
    scale = _scale(throat, wall_mm)
    leg = throat * sqrt(2) * scale
    x, y = _CORNER
    weld = polygon([(x, y), (x + leg, y), (x, y - leg)], ACCENT_PALE)
    words = f"throat a = {show_span(groove.throat_mm, 'mm', system)}"
    end = (x + leg / 2, y - leg / 2)
    note = line(end, (x + leg / 2 + 34, y - leg / 2 - 24)) + label(
        (x + leg / 2 + 38, y - leg / 2 - 26), words, anchor="start"
    )
    wall = f"t = {show(wall_mm, 'mm', system)}"
    top = dimension((x - wall_mm * scale, 16), (x, 16)) + label((x + 20, 19), wall, anchor="start")
    footer = label((WIDTH / 2, HEIGHT - 3), "fillet weld", size=8.5, colour=SOFT)
    return drawing(
        WIDTH, HEIGHT, f"Fillet weld, {words}", _plates(wall_mm, scale), weld,
        dimension((x, y), end, colour=ACCENT), note, top, footer,
    )  # fmt: skip


def fillet_runs(groove: Groove, wall_mm: float, count: int) -> tuple[str, list[Point]]:
    """Plates with `count` runs laid in layers of 1, 2, 3 ... and the middle of each run."""
    throat = _throat(groove)
    scale = _scale(throat, wall_mm)
    leg = throat * sqrt(2) * scale
    layers = [1]
    while sum(layers) < count:
        layers.append(min(len(layers) + 1, count - sum(layers)))
    x, y = _CORNER
    parts, middles = [_plates(wall_mm, scale)], []
    for index, runs in enumerate(layers):
        inner = leg * sqrt(index / len(layers))
        outer = leg * sqrt((index + 1) / len(layers))
        for run in range(runs):
            first, last = run / runs, (run + 1) / runs
            corners = [(x + inner * (1 - first), y - inner * first),
                       (x + outer * (1 - first), y - outer * first),
                       (x + outer * (1 - last), y - outer * last),
                       (x + inner * (1 - last), y - inner * last)]  # fmt: skip
            parts.append(polygon(corners, ACCENT_PALE))
            middles.append((sum(p[0] for p in corners) / 4, sum(p[1] for p in corners) / 4))
    if count:
        middles[0] = (x + leg / 4 / sqrt(len(layers)), y - leg / 4 / sqrt(len(layers)))
    return "".join(parts), middles
