"""The plan for the terminal, as plain data, and as files."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

from dossier.documents.files import write_whole
from dossier.documents.pages import page
from dossier.documents.pdf import render_document
from dossier.documents.printed.face import Part, Printed
from dossier.documents.xlsx import Sheet, workbook

_WIDTH = 100


def plan_text(data: Printed) -> str:
    """Every part with its proof: a block a row, so that nothing is cut off on a narrow screen."""
    head = data["head"]
    lines = [
        f"{head['project']}  {head['project_title']}",
        f"Work ahead, records to {head['as_of']}",
    ]
    lines += [f"  {one['label']}: {one['value']}" for one in data["facts"]]
    lines += [f"  {told}" for told in data["words"]]
    for one in data["content"].values():
        lines += ["", *_part_lines(one)]
    return "\n".join([*lines, "", *_wrapped(data["lead"], "", "")])


def _part_lines(one: Part) -> Iterator[str]:
    rows = one["rows"]
    yield rows["title"].upper()
    if not rows["rows"]:
        yield f"  {one['empty']}"
    labels = [column["label"] for column in rows["columns"]]
    for line in rows["rows"]:
        first, *rest = zip(labels, line["cells"], strict=True)
        told = "; ".join(f"{label} {cell}" for label, cell in rest if cell != "-")
        yield from _wrapped(told, f"  {first[1]}: ", "      ")
    if rows["note"]:
        yield from _wrapped(rows["note"], "  = ", "    ")


def _wrapped(text: str, first: str, later: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=first, subsequent_indent=later,
                         break_long_words=False, break_on_hyphens=False)  # fmt: skip


def plan_data(data: Printed) -> dict[str, Any]:
    """The plan as plain data: facts, then every table as records with its note."""
    return {
        "as_of": data["head"]["as_of"],
        "project": data["head"]["project"],
        "status": data["head"]["status"],
        "facts": {one["label"]: one["value"] for one in data["facts"]},
        "words": data["words"],
        **{
            name: {
                "title": one["rows"]["title"],
                "note": one["rows"]["note"],
                "rows": [
                    dict(
                        zip(
                            (c["label"] for c in one["rows"]["columns"]), line["cells"], strict=True
                        )
                    )
                    for line in one["rows"]["rows"]
                ],
            }
            for name, one in data["content"].items()
        },
    }


def plan_files(data: Printed, out_dir: Path, day: date) -> list[Path]:
    """Write the plan as workbook and PDF. Raises InputError: a text that cannot be printed."""
    sheets = [
        Sheet(name, one["rows"], "" if one["rows"]["rows"] else one["empty"])
        for name, one in data["content"].items()
    ]
    html = page("printed.html", dict(data))
    return [
        write_whole(out_dir / "work-ahead.xlsx", workbook(data["head"], sheets, day)),
        write_whole(out_dir / "work-ahead.pdf", render_document(html)),
    ]
