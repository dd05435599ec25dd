"""Where text stands on printed pages: what lies outside of the page, what lies on other text."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import pypdfium2

_EDGE_PT = 14.0  # 5 mm: nothing is printed nearer to the edge of the paper
_SHARE = 0.4  # of the smaller character's box that the other may cover: kerning stays below
_CELL_PT = 12.0


@dataclass(frozen=True, slots=True)
class Character:
    """One printed character with its box in points from the lower left corner of the page."""

    text: str
    left: float
    bottom: float
    right: float
    top: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        return self.left, self.bottom, self.right, self.top

    @property
    def area(self) -> float:
        return (self.right - self.left) * (self.top - self.bottom)

    def shared(self, other: Character) -> float:
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.top, other.top) - max(self.bottom, other.bottom)
        return max(wide, 0.0) * max(high, 0.0)


def characters(data: bytes) -> list[tuple[tuple[float, float], list[Character]]]:
    """Size and characters of every page."""
    pages = []
    document = pypdfium2.PdfDocument(data)
    for page in document:
        text = page.get_textpage()
        count = text.count_chars()
        whole = text.get_text_range(0, count) if count else ""
        found: list[Character] = []
        for index in range(count):
            left, bottom, right, top = text.get_charbox(index)
            if not (right > left and top > bottom):
                continue
            one = Character(whole[index : index + 1], left, bottom, right, top)
            # Letters of one glyph (a ligature, an ellipsis) are told with the glyph's box each.
            if not (found and found[-1].box == one.box):
                found.append(one)
        pages.append((page.get_size(), found))
    document.close()
    return pages


def troubles(data: bytes) -> list[str]:
    """Every character that is outside of the page or on another, in words."""
    told = []
    for number, (size, found) in enumerate(characters(data), start=1):
        told += [f"page {number}: {c.text!r} at {c.left:.0f}, {c.bottom:.0f} is outside"
                 for c in found if _outside(c, size)]  # fmt: skip
        told += [f"page {number}: {a.text!r} at {a.left:.0f}, {a.bottom:.0f} lies on {b.text!r}"
                 for a, b in _overprinted(found)]  # fmt: skip
    return told


def _outside(one: Character, size: tuple[float, float]) -> bool:
    wide, high = size
    return (one.left < _EDGE_PT or one.bottom < _EDGE_PT
            or one.right > wide - _EDGE_PT or one.top > high - _EDGE_PT)  # fmt: skip


def _overprinted(found: list[Character]) -> list[tuple[Character, Character]]:
    """Pairs that cover each other, looked for among neighbours only."""
    cells: dict[tuple[int, int], list[Character]] = defaultdict(list)
    pairs = []
    for one in found:
        near: dict[int, Character] = {}
        for x in range(int(one.left // _CELL_PT), int(one.right // _CELL_PT) + 1):
            for y in range(int(one.bottom // _CELL_PT), int(one.top // _CELL_PT) + 1):
                near.update((id(other), other) for other in cells[x, y])
                cells[x, y].append(one)
        pairs += [(one, other) for other in near.values()
                  if one.shared(other) > _SHARE * min(one.area, other.area)]  # fmt: skip
    return pairs
