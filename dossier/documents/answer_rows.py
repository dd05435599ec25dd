"""The answer to a question as a table for a terminal, as CSV or as data."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from typing import Any

from dossier.coverage.questions.face import PARAMETERS, Answer, Question
from dossier.units import counted

_STARTS_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_WIDEST = 48


def rows_text(answer: Answer) -> str:
    """Aligned columns, then the note; a long cell is cut, CSV and JSON hold it whole."""
    grid = [answer.columns, *answer.rows]
    shown = [[_cut("".join(c if c.isprintable() else "?" for c in cell)) for cell in line]
             for line in grid]  # fmt: skip
    widths = [max(len(line[i]) for line in shown) for i in range(len(answer.columns))]
    lines = [
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in shown
    ]
    lines.insert(1, "  ".join("-" * width for width in widths))
    found = f"{counted(len(answer.rows), 'row')}."
    return "\n".join([*lines, "", " ".join(part for part in (found, answer.note) if part)])


def _cut(text: str) -> str:
    return text if len(text) <= _WIDEST else f"{text[: _WIDEST - 1]}…"


def rows_csv(answer: Answer) -> str:
    """CSV (RFC 4180) whose cells no spreadsheet takes for a formula.

    >>> print(rows_csv(Answer(("told",), (("=1+1",),))).replace("\\r", ""), end="")
    told
    '=1+1
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(answer.columns)
    writer.writerows([guarded(cell) for cell in line] for line in answer.rows)
    return out.getvalue()


def guarded(cell: str) -> str:
    """An apostrophe before what would start a formula; a plain negative number needs none.

    >>> guarded("=1+1"), guarded("-3.5"), guarded("-")
    ("'=1+1", '-3.5', '-')
    """
    if not cell.startswith(_STARTS_FORMULA) or len(cell) == 1:
        return cell
    try:
        float(cell)
    except ValueError:
        return f"'{cell}"
    return cell


def rows_as_data(question: Question, given: Mapping[str, str], answer: Answer) -> dict[str, Any]:
    """Question, parameters, and one object a row."""
    return {
        "question": question.name,
        "asks": question.asks,
        "given": dict(given),
        "rows": [dict(zip(answer.columns, line, strict=True)) for line in answer.rows],
        "note": answer.note,
    }


def questions_text(questions: Sequence[Question]) -> str:
    """All questions with their parameters, and what each parameter means."""
    lines = []
    for one in questions:
        needed = [f"{name}=..." for name in one.needs]
        more = [f"[{name}=...]" for name in one.takes]
        lines += [" ".join([one.name, *needed, *more]), f"    {one.asks}"]
    lines += ["", "Parameters:"]
    return "\n".join([*lines, *(f"  {name:12}{told}" for name, told in PARAMETERS.items())])
