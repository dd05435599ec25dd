"""Issuing files: procedure sheets, the welder matrix and registers, each in all its forms."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from dossier.coverage.view import View
from dossier.documents import procedure, qualification, registers, welder_matrix
from dossier.documents.answers import answers_of
from dossier.documents.docx import render_docx
from dossier.documents.files import file_name, write_whole
from dossier.documents.findings import by_joint
from dossier.documents.pages import page
from dossier.documents.pdf import render_document
from dossier.documents.printed.issued import form_docx, forms, printed_books, printed_workbook
from dossier.documents.sheet import columns, document_number, head, row, table
from dossier.documents.welding_papers import (
    Made,
    certificate_papers,
    claim_papers,
    comparison_papers,
    continuity_papers,
    planning_papers,
)
from dossier.documents.xlsx import Sheet, workbook
from dossier.records.verdicts import Finding

# (stage, done, total), called after each piece of work.
Progress = Callable[[str, int, int], None]


def quiet(stage: str, done: int, total: int) -> None:
    """A progress callback that tells nobody."""
    del stage, done, total


@dataclass(frozen=True, slots=True)
class Issued:
    """A file to issue, made by `make`; a PDF has the page `html` that it is rendered from.

    Equal `made_of` gives equal bytes as long as templates and tool are the same, so that a file
    need not be made again.
    """

    name: str
    made_of: str
    make: Callable[[], bytes]
    html: Callable[[], str] | None = None

    def data(self) -> bytes:
        """The bytes of the file. Raises InputError: a text that cannot be printed."""
        return self.make()


def _pdf(name: str, template: str, data: Any, overrides: Path | None) -> Issued:
    made_of = json.dumps([template, data], default=str)
    html = partial(page, template, data, overrides)
    return Issued(name, made_of, lambda: render_document(html()), html)


def _made(name: str, context: Any, day: object, make: Callable[[], bytes]) -> Issued:
    return Issued(name, json.dumps([name, str(day), context], default=str), make)


def procedure_issue(seen: View, overrides: Path | None = None) -> list[Issued]:
    """Every WPS and PQR as docx and PDF, then statements, comparisons and planning sheets."""
    answers = answers_of(seen.project)
    settings = seen.project.settings
    files: list[Issued] = []
    for index, wps in enumerate(seen.project.procedures, start=1):
        number = document_number(settings, "WPS", index)
        data = procedure.context(seen, wps, answers, number)
        name = file_name(f"{wps.number}_rev_{wps.revision}")
        make = partial(render_docx, "procedure.docx", data, seen.as_of, overrides)
        files.append(_made(f"{name}.docx", data, seen.as_of, make))
        files.append(_pdf(f"{name}.pdf", "procedure.html", data, overrides))
    for index, pqr in enumerate(seen.project.pqrs, start=1):
        number = document_number(settings, "PQR", index)
        test = qualification.context(seen, pqr, answers, number)
        name = file_name(pqr.number)
        make = partial(render_docx, "qualification.docx", test, seen.as_of, overrides)
        files.append(_made(f"{name}.docx", test, seen.as_of, make))
        files.append(_pdf(f"{name}.pdf", "qualification.html", test, overrides))
    claims, plans = list(claim_papers(seen, answers)), list(planning_papers(seen, answers))
    for papers in (claims, comparison_papers(seen, answers), plans):
        files += [_paper(one, overrides) for one in papers]
    if statements := [one.data for one in claims]:
        book = partial(claims_workbook, statements, seen)
        files.append(_made("qualified_ranges.xlsx", statements, seen.as_of, book))
    for one in plans:
        book = partial(planning_workbook, one.data, seen)
        files.append(_made(f"{one.name}.xlsx", one.data, seen.as_of, book))
    return files


def _paper(one: Made, overrides: Path | None) -> Issued:
    return _pdf(f"{one.name}.pdf", one.template, one.data, overrides)


def claims_workbook(statements: Sequence[Mapping[str, Any]], seen: View) -> bytes:
    """All statements of qualified range as one table: WPS, variable, test, qualified, claim."""
    first = statements[0]["rows"]
    heads = columns(("WPS", 12), ("Revision", 8), *((c["label"], c["width"])
                    for c in first["columns"]))  # fmt: skip
    rows = [
        row([one["wps"], one["head"]["revision"], *line["cells"]],
            ["", "", *line["marks"]])
        for one in statements for line in one["rows"]["rows"]
    ]  # fmt: skip
    part = table("Qualified ranges and claims", heads, rows, first["note"])
    number = document_number(seen.project.settings, "SQR", 0)
    top = head(seen, number=number, title="Qualified ranges and claims")
    return workbook(top, [Sheet("Qualified ranges", part)], seen.as_of)


def planning_workbook(data: Mapping[str, Any], seen: View) -> bytes:
    """A planning sheet as a workbook: consumables, joints by size, joints left."""
    sheets = [
        Sheet("Consumables", data["consumables"]),
        Sheet("By size", data["sizes"]),
        Sheet("Joints left", data["joints"]),
    ]
    return workbook(data["head"], sheets, seen.as_of)


def matrix_issue(seen: View, overrides: Path | None = None) -> list[Issued]:
    """The welder matrix as workbook and PDF, then every certificate and the continuity sheet."""
    number = document_number(seen.project.settings, "WQM", 1)
    answers = answers_of(seen.project)
    data = welder_matrix.context(seen, answers, number)
    return [
        _made("welder_matrix.xlsx", data, seen.as_of, partial(matrix_workbook, data, seen)),
        _pdf("welder_matrix.pdf", "welder_matrix.html", data, overrides),
        *(_paper(one, overrides) for one in certificate_papers(seen, answers)),
        *(_paper(one, overrides) for one in continuity_papers(seen, answers)),
    ]


def register_issue(seen: View, findings: Sequence[Finding]) -> list[Issued]:
    """Every register and the open points as workbooks, to be issued."""
    found = by_joint(findings)
    settings = seen.project.settings
    made = {
        name.replace("-", "_"): build(seen, found, document_number(settings, kind, 1))
        for name, (kind, build) in registers.REGISTERS.items()
    }
    made["open_points"] = registers.gap_list(seen, findings, document_number(settings, "GAP", 1))
    books = [
        _made(f"{name.replace('-', '_')}.xlsx", data, seen.as_of,
              partial(printed_workbook, data, seen))
        for name, data in printed_books(seen, findings)
    ]  # fmt: skip
    return [
        *(
            _made(f"{name}.xlsx", data, seen.as_of, partial(register_workbook, data, seen))
            for name, data in made.items()
        ),
        *books,
    ]


def form_issue(
    seen: View, findings: Sequence[Finding], overrides: Path | None = None
) -> list[Issued]:
    """Every form as docx to fill in and PDF to print, by its document number."""
    files = []
    for name, template, data in forms(seen, findings, overrides):
        stem = file_name(f"{name}_{data['head']['number']}")
        make = partial(form_docx, name, data, seen, overrides)
        files += [
            _made(f"{stem}.docx", data, seen.as_of, make),
            _pdf(f"{stem}.pdf", template, data, overrides),
        ]
    return files


def _write(files: Iterable[Issued], out_dir: Path) -> list[Path]:
    return [write_whole(out_dir / one.name, one.data()) for one in files]


def procedure_sheets(
    seen: View,
    findings: Sequence[Finding],
    out_dir: Path,
    progress: Progress = quiet,
    overrides: Path | None = None,
) -> list[Path]:
    """Write the procedure sheets, test records and the papers beside them; returns the files.

    `findings` are taken so that all issuing functions are called alike; a sheet shows none.
    Raises InputError: a text that cannot be printed.
    """
    del findings
    files = procedure_issue(seen, overrides)
    written: list[Path] = []
    for done, one in enumerate(files, start=1):
        written += _write([one], out_dir)
        progress("Procedure sheets", done, len(files))
    return written


def welder_matrix_files(
    seen: View, findings: Sequence[Finding], out_dir: Path, overrides: Path | None = None
) -> list[Path]:
    """Write the welder qualification matrix, the certificate sheets and the continuity sheet."""
    del findings
    return _write(matrix_issue(seen, overrides), out_dir)


def matrix_workbook(data: welder_matrix.WelderMatrix, seen: View) -> bytes:
    """The matrix as a workbook: one sheet by welder, one by joint need, one of the needs."""
    needs = data["by_need"]
    heads = (
        [*needs[0]["columns"], *(c for t in needs[1:] for c in t["columns"][2:])] if needs else []
    )
    rows = []
    for lines in zip(*(t["rows"] for t in needs), strict=True):
        first, rest = lines[0], lines[1:]
        rows.append(
            {"cells": [*first["cells"], *(c for r in rest for c in r["cells"][2:])],
             "marks": [*first["marks"], *(m for r in rest for m in r["marks"][2:])]}
        )  # fmt: skip
    sheets = [Sheet("By welder", data["by_welder"], data["legend"])]
    if needs:
        by_need = table("Who may weld what", heads, rows)  # type: ignore[arg-type]
        sheets += [Sheet("By joint need", by_need, data["legend"]), Sheet("Needs", data["needs"])]
    sheets.append(Sheet("Lapses ahead", data["lapses"]))
    return workbook(data["head"], sheets, seen.as_of)


def register_files(seen: View, findings: Sequence[Finding], out_dir: Path) -> list[Path]:
    """Write every register and the open points as workbooks."""
    return _write(register_issue(seen, findings), out_dir)


def form_files(
    seen: View, findings: Sequence[Finding], out_dir: Path, overrides: Path | None = None
) -> list[Path]:
    """Write every form as docx and PDF: site sheets, dispositions, transmittal, comments."""
    return _write(form_issue(seen, findings, overrides), out_dir)


def register_workbook(data: registers.Register, seen: View) -> bytes:
    """One register as a workbook."""
    sheet = Sheet(data["head"]["title"], data["rows"], data["note"])
    return workbook(data["head"], [sheet], seen.as_of)
