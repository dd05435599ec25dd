"""The few SVG elements that the drawings are made of, as text with fixed number formatting."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from dossier.records.verdicts import Verdict

INK = "#1d2b33"  # text and outlines
SOFT = "#5d6d76"  # dimensions, axes
PALE = "#e8edef"  # parent metal, empty bars
ACCENT = "#145a6b"  # the one colour of the house
ACCENT_MID = "#5f9aa8"
ACCENT_PALE = "#c4dce2"
FONT = "Dossier Sans, DejaVu Sans, sans-serif"  # the first is bundled with the templates

VERDICT_COLOURS = {
    Verdict.CLEAR: "#2f6f4f",
    Verdict.NOTE: "#5d6d76",
    Verdict.HOLD: "#9a6400",
    Verdict.NONCONFORMITY: "#a32a20",
    Verdict.CUT_OUT: "#5b0f3b",
}
# Black and white prints tell verdicts apart by these letters.
VERDICT_LETTERS = {
    Verdict.CLEAR: "C",
    Verdict.NOTE: "N",
    Verdict.HOLD: "H",
    Verdict.NONCONFORMITY: "X",
    Verdict.CUT_OUT: "CUT",
}

Point = tuple[float, float]


def number(value: float) -> str:
    """A coordinate with at most two decimals, so that equal drawings are equal text.

    >>> number(2.0), number(1.005), number(-0.001)
    ('2', '1', '0')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def tag(name: str, /, *children: str, **attributes: str | float) -> str:
    """One element. Children are SVG already; attribute values are escaped here.

    >>> tag("line", x1=0, stroke_width=0.5)
    '<line x1="0" stroke-width="0.5"/>'
    """
    parts = [name]
    for key, value in attributes.items():
        text = value if isinstance(value, str) else number(value)
        parts.append(f'{key.rstrip("_").replace("_", "-")}="{escape(text)}"')
    inner = "".join(children)
    return f"<{' '.join(parts)}>{inner}</{name}>" if inner else f"<{' '.join(parts)}/>"


def drawing(width: float, height: float, title: str, *parts: str) -> str:
    """A whole SVG of `width` by `height` user units (1 unit prints as 1 px, 0.2646 mm).

    `title` tells readers who cannot see it what it shows.
    """
    return tag(
        "svg",
        tag("title", escape(title)),
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(width)} {number(height)}",
        width=width,
        height=height,
        font_family=FONT,
        font_size=9,
        fill=INK,
    )


def line(start: Point, end: Point, colour: str = SOFT, width: float = 0.7, dash: str = "") -> str:
    """A straight line; `dash` as in "3 2"."""
    extra: dict[str, str | float] = {"stroke_dasharray": dash} if dash else {}
    return tag(
        "line", x1=start[0], y1=start[1], x2=end[0], y2=end[1], stroke=colour,
        stroke_width=width, **extra,
    )  # fmt: skip


def polygon(points: Sequence[Point], fill: str, stroke: str = INK, width: float = 0.8) -> str:
    """A closed, filled outline."""
    text = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    return tag(
        "polygon", points=text, fill=fill, stroke=stroke, stroke_width=width,
        stroke_linejoin="round",
    )  # fmt: skip


def box(corner: Point, size: Point, fill: str, stroke: str = "none", width: float = 0.7) -> str:
    """A rectangle from its upper left corner."""
    return tag(
        "rect", x=corner[0], y=corner[1], width=max(size[0], 0), height=max(size[1], 0),
        fill=fill, stroke=stroke, stroke_width=width,
    )  # fmt: skip


def label(
    at: Point, text: str, *, anchor: str = "middle", size: float = 9, bold: bool = False,
    colour: str = INK,
) -> str:  # fmt: skip
    """Text on its baseline at `at`; `anchor` is "start", "middle" or "end"."""
    return tag(
        "text", escape(text), x=at[0], y=at[1], text_anchor=anchor, font_size=size, fill=colour,
        font_weight="bold" if bold else "normal",
    )  # fmt: skip


def _arrow(tip: Point, direction: Point, colour: str) -> str:
    dx, dy = direction
    x, y = tip
    back = (x - 5 * dx, y - 5 * dy)
    return polygon(
        [tip, (back[0] - 1.6 * dy, back[1] + 1.6 * dx), (back[0] + 1.6 * dy, back[1] - 1.6 * dx)],
        colour,
        "none",
    )


def dimension(start: Point, end: Point, *, colour: str = SOFT) -> str:
    """A dimension line with an arrow at both ends; arrows point inwards where it is short."""
    length = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5 or 1.0
    unit = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    reverse = (-unit[0], -unit[1])
    if length >= 14:
        return line(start, end, colour) + _arrow(end, unit, colour) + _arrow(start, reverse, colour)
    outer_start = (start[0] - 12 * unit[0], start[1] - 12 * unit[1])
    outer_end = (end[0] + 12 * unit[0], end[1] + 12 * unit[1])
    return (
        line(outer_start, outer_end, colour)
        + _arrow(start, unit, colour)
        + _arrow(end, reverse, colour)
    )
