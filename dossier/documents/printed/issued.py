"""Issuing the documents of one shape: forms as docx and PDF, the others as workbooks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from dossier.coverage.view import View
from dossier.documents.docx import render_docx
from dossier.documents.printed import PRINTED, template_of
from dossier.documents.printed.face import Asked, Printed
from dossier.documents.xlsx import Sheet, workbook
from dossier.records.verdicts import Finding


def printed_books(seen: View, findings: Sequence[Finding]) -> Iterator[tuple[str, list[Printed]]]:
    """Name and contents of every document of one shape that is issued as a workbook."""
    asked = Asked(seen, tuple(findings))
    for name, kind in PRINTED.items():
        made = list(kind.make(asked)) if kind.book and not kind.form else []
        if made:  # a project without such work has no book of it
            yield name, made


def printed_workbook(made: Sequence[Printed], seen: View) -> bytes:
    """One kind of document as a workbook: a sheet for each part of each document.

    The tab is the name of the part, with the place of its document where there are several.
    """
    sheets = []
    for place, data in enumerate(made, start=1):
        for key, part in data["content"].items():
            tab = f"{place} {key}" if len(made) > 1 else key
            rows = part["rows"]
            title = " · ".join(text for text in (data["head"]["title"], rows["title"]) if text)
            note = data["lead"] if rows["rows"] else part["empty"]
            sheets.append(Sheet(tab, {**rows, "title": title}, note))
    return workbook(made[0]["head"], sheets, seen.as_of)


def forms(
    seen: View, findings: Sequence[Finding], overrides: Path | None = None
) -> Iterator[tuple[str, str, Printed]]:
    """Name in PRINTED, template and context of every form, in the order of the sections."""
    asked = Asked(seen, tuple(findings))
    for name, kind in PRINTED.items():
        if kind.form:
            template = template_of(name, overrides)
            for data in kind.make(asked):
                yield name, template, data


def form_docx(name: str, data: Printed, seen: View, overrides: Path | None = None) -> bytes:
    """A form as docx for filling in; `name` is that of PRINTED."""
    return render_docx(f"{name}.docx", data, seen.as_of, overrides)
