"""Headings that take more than one row, and where the rows of headings are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from dossier.intake.raw import Plain

Range = tuple[int, int, int, int]  # first row, first column, last row, last column; from 1 and 0


def stacked(
    rows: Sequence[Sequence[str]], merged: Iterable[Range] = (), first: int = 1
) -> list[str]:
    """The headings of several rows as one row, the parts of each with " / " between them.

    `merged` are the merged cells of the sheet and `first` the number of the first row; a merged
    heading counts for every column that it spans. Without merged cells a heading counts for the
    empty cells to the right of it, as long as a heading stands below.

    >>> stacked([["Weld", "Root", ""], ["No.", "Welder", "Batch"]])
    ['Weld / No.', 'Root / Welder', 'Root / Batch']
    """
    width = max((len(row) for row in rows), default=0)
    grid = [[*row, *[""] * (width - len(row))] for row in rows]
    spans = [r for r in merged if first <= r[0] < first + len(rows)]
    for top, left, bottom, right in spans:
        for row in range(top - first, min(bottom - first + 1, len(grid))):
            for column in range(left, min(right + 1, width)):
                grid[row][column] = grid[top - first][left]
    if not spans:
        _carried(grid)
    return [Plain(" / ".join(dict.fromkeys(part.strip() for part in parts if part.strip())))
            for parts in zip(*grid, strict=True)]  # fmt: skip


def _carried(grid: list[list[str]]) -> None:
    for upper, lower in pairwise(grid):
        for column in range(1, len(upper)):
            if not upper[column].strip() and lower[column].strip():
                upper[column] = upper[column - 1]
