"""The pass sequence inside the joint, laid out from the WPS and drawn to scale.

A WPS lists passes or groups of like passes. Groups without a deposited thickness share what the
others leave of the wall; layers thicker than one run can be, or wider, are split. What is drawn is
therefore a typical sequence for the wall named, never a count that binds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from dossier.drawings.fillet import fillet_runs
from dossier.drawings.groove import HEIGHT, WIDTH, View, members, view_of
from dossier.drawings.shapes import Shape, shape
from dossier.drawings.svg import (
    ACCENT,
    ACCENT_MID,
    ACCENT_PALE,
    INK,
    Point,
    drawing,
    label,
    polygon,
)
from dossier.errors import InputError
from dossier.records.procedures import Groove, ProcedurePass
from dossier.units import show

LAYER_MM, BEAD_MM = 3.5, 11.0  # largest layer and bead drawn as one run; a drawing choice
MOST_RUNS = 1_000  # beyond any weld; a slip of the unit must not fill the memory
_ROOM = (13.0, 8.0)  # that the number of a run needs, in units of the drawing
_SHADES = {"root": ACCENT, "hot": ACCENT_MID, "fill": ACCENT_PALE, "cap": "#9cc3cd"}


@dataclass(frozen=True, slots=True)
class Run:
    """One bead of the drawing: its number, kind, and where it lies in the joint, in mm."""

    number: int
    kind: str
    low_mm: float
    high_mm: float
    share: tuple[float, float]  # of the width of its layer
    inside: bool = False


def layer_heights(passes: Sequence[ProcedurePass], wall_mm: float) -> list[float]:
    """Thickness of metal for each pass group, in mm; together they fill the wall.

    >>> root = ProcedurePass(kind="root", process="141", filler="", deposit_mm=3.0)
    >>> layer_heights([root, ProcedurePass(kind="fill", process="111", filler="")], 9.0)
    [3.0, 6.0]
    """
    given = [p.deposit_mm or 0.0 for p in passes]
    unknown = [i for i, p in enumerate(passes) if not p.deposit_mm]
    left = wall_mm - sum(given)
    if unknown and left <= 0:
        given = [g * 0.8 * wall_mm / sum(given) for g in given]
        left = 0.2 * wall_mm
    for index in unknown:
        given[index] = left / len(unknown)
    total = sum(given) or 1.0
    return [g * wall_mm / total for g in given]


def lay_runs(passes: Sequence[ProcedurePass], section: Shape) -> list[Run]:
    """All runs of a sequence in welding order, numbered from 1.

    Raises InputError: a groove that takes more than MOST_RUNS.
    """
    back = [p for p in passes if p.kind == "back"]
    front = [p for p in passes if p.kind != "back"]
    split = section.split_mm if back else 0.0
    runs: list[Run] = []
    for group, start, end, inside in (
        (front, split, section.wall_mm, False),
        (back, split, 0, True),
    ):
        if not group:
            continue
        y = start
        sign = -1 if inside else 1
        for part, height in zip(group, layer_heights(group, abs(end - start) or 2.0), strict=True):
            if height > MOST_RUNS * LAYER_MM:
                raise _too_many(section)
            layers = ceil(height / LAYER_MM - 1e-6) if part.kind in ("fill", "back") else 1
            for _ in range(layers):
                following = y + sign * height / layers
                runs += _beads(part.kind, y, following, section, len(runs), inside)
                if len(runs) > MOST_RUNS:
                    raise _too_many(section)
                y = following
    return runs


def _beads(
    kind: str, low: float, high: float, section: Shape, before: int, inside: bool
) -> list[Run]:
    left, right = section.edges((low + high) / 2)
    if not abs(right - left) < MOST_RUNS * BEAD_MM:
        raise _too_many(section)
    beads = max(1, ceil((right - left) / BEAD_MM - 1e-6)) if kind in ("fill", "cap") else 1
    return [
        Run(before + 1 + i, kind, low, high, (i / beads, (i + 1) / beads), inside)
        for i in range(beads)
    ]


def _too_many(section: Shape) -> InputError:
    found = f"a wall of {section.wall_mm:g} mm or a groove of that size"
    return InputError("runs", found=found, expected=f"one of at most {MOST_RUNS} runs")


def _outline(run: Run, section: Shape, view: View) -> list[Point]:
    """Bead outline with a crowned top; the cap and the root stand out of the wall a little."""
    low_left, low_right = section.edges(run.low_mm)
    high_left, high_right = section.edges(run.high_mm)
    spill = 0.8 if run.kind == "cap" else 0.0
    high_left, high_right = high_left - spill, high_right + spill
    crown = min(1.2, 0.12 * section.wall_mm) if run.kind == "cap" else 0.35
    sag = min(1.0, 0.1 * section.wall_mm) if run.number == 1 else 0.0
    sign = -1 if run.inside else 1
    top, bottom = [], []
    for step in range(13):
        share = run.share[0] + (run.share[1] - run.share[0]) * step / 12
        bulge = crown * (1 - (2 * step / 12 - 1) ** 2)
        top.append(view(high_left + (high_right - high_left) * share, run.high_mm + sign * bulge))
        dip = sag * (1 - (2 * step / 12 - 1) ** 2)
        bottom.append(view(low_left + (low_right - low_left) * share, run.low_mm - sign * dip))
    return [*bottom, *reversed(top)]


def run_sketch(groove: Groove, passes: Sequence[ProcedurePass], wall_mm: float) -> str:
    """The runs in their order inside the joint, drawn to scale at one wall in mm, as SVG.

    Raises InputError as `shape` does.

    >>> groove = Groove(kind="V", angle_deg=60.0)
    >>> cap = ProcedurePass(kind="cap", process="111", filler="E7016")
    >>> "1 cap" in run_sketch(groove, [cap], 5.0)
    True
    """
    if groove.kind == "fillet":
        return _fillet(groove, passes, wall_mm)
    section = shape(groove, wall_mm)
    view = view_of(section, turned=groove.kind == "branch")
    runs = lay_runs(passes, section)
    parts = [members(section, view)]
    for run in runs:
        outline = _outline(run, section, view)
        parts.append(polygon(outline, _SHADES.get(run.kind, ACCENT_PALE), INK, 0.7))
    taken: list[Point] = []
    for run in runs:
        outline = _outline(run, section, view)
        x = sum(p[0] for p in outline) / len(outline)
        y = sum(p[1] for p in outline) / len(outline)
        if any(abs(x - other[0]) < _ROOM[0] and abs(y - other[1]) < _ROOM[1] for other in taken):
            continue  # thin layers: the legend below tells the numbers left out
        taken.append((x, y))
        colour = "#ffffff" if run.kind == "root" else INK
        parts.append(label((x, y + 3), str(run.number), size=8, bold=True, colour=colour))
    words = legend([run.kind for run in runs])
    parts.append(label((WIDTH / 2, HEIGHT - 14), words, size=8.5))
    title = f"Typical pass sequence for a wall of {show(wall_mm, 'mm')}: {words}"
    return drawing(WIDTH, HEIGHT, title, *parts)


def _fillet(groove: Groove, passes: Sequence[ProcedurePass], wall_mm: float) -> str:
    shapes, middles = fillet_runs(groove, wall_mm, len(passes))
    numbers = "".join(
        label((x, y + 3), str(i), size=8, bold=True) for i, (x, y) in enumerate(middles, start=1)
    )
    words = legend([p.kind for p in passes])
    text = label((WIDTH / 2, HEIGHT - 14), words, size=8.5)
    return drawing(WIDTH, HEIGHT, f"Pass sequence of a fillet weld: {words}", shapes, numbers, text)


def legend(kinds: Sequence[str]) -> str:
    """Which numbers are which kind of run.

    >>> legend(["root", "hot", "fill", "fill", "cap"])
    '1 root; 2 hot; 3 to 4 fill; 5 cap'
    """
    words: list[str] = []
    start = 0
    for index in range(1, len(kinds) + 1):
        if index < len(kinds) and kinds[index] == kinds[start]:
            continue
        numbers = f"{start + 1}" if index == start + 1 else f"{start + 1} to {index}"
        words.append(f"{numbers} {kinds[start]}")
        start = index
    return "; ".join(words)
