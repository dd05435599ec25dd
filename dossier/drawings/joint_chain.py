"""The joints of a drawing as a chain: items as boxes, joints as circles, in the order of the run.

A scheme and no plan: it shows what is joined to what, not where it lies.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dossier.drawings.fitted import fitted
from dossier.drawings.svg import ACCENT, PALE, SOFT, box, drawing, label, line, tag

WIDTH = 1000.0
_ROW, _BOX, _JOINT, _GAP, _RADIUS, _LEVEL = 62.0, 72.0, 60.0, 18.0, 11.0, 31.0


@dataclass(frozen=True, slots=True)
class Link:
    """One joint with the items at its ends and a letter that tells how far it has come."""

    joint: str
    left: str
    right: str
    letter: str = ""
    note: str = ""


def joint_chain(title: str, links: Sequence[Link]) -> Iterator[str]:
    """The chain as SVG drawings of one row each, so that it breaks between pages.

    Where a joint does not begin with the item at which the one before ended, a new chain starts
    beside it. A row that goes on repeats the last item at its beginning.

    >>> len(list(joint_chain("AL-01", [Link(f"J-{n}", "P", "P") for n in range(9)])))
    2
    """
    row: list[str] = []
    x, before = 0.0, None
    names: list[str] = []
    for link in links:
        joined = link.left == before
        needed = _JOINT + _BOX + (0.0 if joined and row else _BOX + _GAP)
        if row and x + needed > WIDTH:
            yield _row(title, names, row)
            row, x, names, joined = [], 0.0, [], False
        if not joined or not row:
            x += _GAP if row else 0.0
            row += _item(x, link.left)
            x += _BOX
        row += _joint(x, link)
        row += _item(x + _JOINT, link.right)
        x += _JOINT + _BOX
        names.append(link.joint)
        before = link.right
    if row:
        yield _row(title, names, row)


def _row(title: str, names: Sequence[str], parts: Sequence[str]) -> str:
    return drawing(WIDTH, _ROW, f"{title}: joints {', '.join(names)}", *parts)


def _item(x: float, name: str) -> list[str]:
    text = fitted(name or "not named", _BOX - 6, 8.5)
    return [
        box((x + 1, _LEVEL - 9), (_BOX - 2, 18), PALE, SOFT),
        label((x + _BOX / 2, _LEVEL + 3), text, size=8.5),
    ]


def _joint(x: float, link: Link) -> list[str]:
    centre = x + _JOINT / 2
    room = _JOINT + _BOX - 6  # names stand above and below the boxes and may reach over them
    return [
        line((x - 1, _LEVEL), (x + _JOINT + 1, _LEVEL), SOFT, 1.6),
        tag("circle", cx=centre, cy=_LEVEL, r=_RADIUS, fill="#ffffff", stroke=ACCENT,
            stroke_width=1.4),
        label((centre, _LEVEL + 3.5), link.letter, size=9, bold=True, colour=ACCENT),
        label((centre, _LEVEL - 17), fitted(link.joint, room, 9), size=9, bold=True),
        label((centre, _LEVEL + 24), fitted(link.note, room, 7.5), size=7.5, colour=SOFT),
    ]  # fmt: skip
