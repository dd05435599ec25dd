"""Sections against kinds of paper: each cell filled as far as its share, with the counts in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dossier.drawings.fitted import fitted
from dossier.drawings.svg import ACCENT_PALE, INK, PALE, SOFT, VERDICT_COLOURS, box, drawing, label
from dossier.records.verdicts import HOLD

_LEFT, _COLUMN, _ROW, _TOP = 170.0, 110.0, 18.0, 40.0
_SHORT = VERDICT_COLOURS[HOLD]


@dataclass(frozen=True, slots=True)
class Cell:
    """So many present of so many required, of one kind in one section."""

    section: str
    kind: str
    count: int
    total: int


def share_grid(title: str, cells: Sequence[Cell]) -> str:
    """A grid of filled cells, as SVG; what is short is also lettered in bold.

    >>> "BG-2" in share_grid("Completeness", [Cell("BG-2", "reports", 3, 4)])
    True
    """
    sections = list(dict.fromkeys(cell.section for cell in cells))
    kinds = list(dict.fromkeys(cell.kind for cell in cells))
    width = _LEFT + _COLUMN * len(sections) + 10
    parts = [label((0, 14), title, anchor="start", bold=True)]
    parts += [
        label((_LEFT + _COLUMN * (i + 0.5), _TOP - 8), fitted(name, _COLUMN - 6, 9), bold=True)
        for i, name in enumerate(sections)
    ]
    parts += [
        label(
            (_LEFT - 8, _TOP + _ROW * i + 12),
            fitted(name, _LEFT - 10, 9),
            anchor="end",
            colour=SOFT,
        )
        for i, name in enumerate(kinds)
    ]
    for cell in cells:
        x = _LEFT + _COLUMN * sections.index(cell.section)
        y = _TOP + _ROW * kinds.index(cell.kind)
        share = cell.count / cell.total if cell.total else 0.0
        short = cell.count < cell.total
        parts.append(box((x + 3, y + 1), (_COLUMN - 6, _ROW - 3), PALE))
        parts.append(box((x + 3, y + 1), ((_COLUMN - 6) * share, _ROW - 3), ACCENT_PALE))
        parts.append(
            label((x + _COLUMN / 2, y + 12), f"{cell.count} of {cell.total}", size=8.5,
                  bold=short, colour=_SHORT if short else INK)
        )  # fmt: skip
    return drawing(width, _TOP + _ROW * len(kinds) + 6, title, *parts)
