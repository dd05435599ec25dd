"""The transmittal register: every document that is handed over, one row each, as CSV and workbook.

What the columns say (number, revision, status, title, type, originator, language, day, place,
format, checksum) is what open guides on handing over documents ask for in common; the layout is
our own.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from datetime import date
from typing import Any

from dossier.documents.answer_rows import guarded
from dossier.documents.sheet import columns, row, table
from dossier.documents.xlsx import Sheet, workbook
from dossier.handover.bag import Item
from dossier.handover.review_page import NAME as REVIEW

COLUMNS = (
    ("document", 12), ("revision", 6), ("status", 7), ("title", 22), ("type", 8),
    ("volume", 12), ("section", 12), ("originator", 10), ("language", 5), ("records_to", 7),
    ("file", 10), ("first_page", 6), ("sheets", 5), ("format", 7), ("sha256", 12),
)  # fmt: skip
BESIDE = ("procedures/", "registers/", REVIEW)


def rows(issue: Mapping[str, Any], sums: Mapping[str, str], language: str) -> list[list[str]]:
    """One row a document, in the order of the register; then the files that stand beside.

    `sums` gives the checksum of every file by its name.
    """
    common = [issue["contractor"], language, issue["as_of"]]
    found = [
        [d["number"], d["revision"], "missing" if d["lacking"] else issue["state"], d["title"],
         d["kind"], d["volume"], d["section"], *common, d["file"], str(d["page"]),
         str(d["sheets"]), "PDF", sums[d["file"]]]
        for d in issue["documents"]
    ]  # fmt: skip
    bound = {file["name"] for file in issue["files"]}
    found += [
        ["", issue["revision"], issue["state"], name.rpartition("/")[2], "file", "", "", *common,
         name, "", "", name.rpartition(".")[2].upper(), digest]
        for name, digest in sorted(sums.items())
        if name not in bound and name.startswith(BESIDE)
    ]  # fmt: skip
    return found


def transmittal(
    issue: Mapping[str, Any], sums: Mapping[str, str], head: Any, language: str
) -> list[Item]:
    """transmittal.csv and transmittal.xlsx."""
    lines = rows(issue, sums, language)
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([name for name, _ in COLUMNS])
    writer.writerows([guarded(str(cell)) for cell in line] for line in lines)
    heads = columns(*((name.replace("_", " ").capitalize(), share) for name, share in COLUMNS))
    sheet = Sheet("Transmittal", table("", heads, [row(line) for line in lines]))
    day = date.fromisoformat(issue["as_of"])
    return [
        Item("transmittal.csv", out.getvalue().encode()),
        Item("transmittal.xlsx", workbook(head, [sheet], day)),
    ]
