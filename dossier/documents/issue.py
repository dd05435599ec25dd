"""Issuing files: procedure sheets, the welder matrix and registers, each in all its forms."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from dossier.coverage.view import View
from dossier.documents import procedure, qualification, registers, welder_matrix
from dossier.documents.answers import answers_of
from dossier.documents.docx import render_docx
from dossier.documents.files import file_name, write_whole
from dossier.documents.findings import by_joint
from dossier.documents.pages import page
from dossier.documents.pdf import render
from dossier.documents.sheet import document_number, table
from dossier.documents.xlsx import Sheet, workbook
from dossier.records.verdicts import Finding

# (stage, done, total), called after each piece of work.
Progress = Callable[[str, int, int], None]


def quiet(stage: str, done: int, total: int) -> None:
    """A progress callback that tells nobody."""
    del stage, done, total


def procedure_sheets(
    seen: View,
    findings: Sequence[Finding],
    out_dir: Path,
    progress: Progress = quiet,
    overrides: Path | None = None,
) -> list[Path]:
    """Write every WPS as docx and PDF and every PQR as PDF; returns the files in order.

    `findings` are taken so that all issuing functions are called alike; a sheet shows none.
    Raises InputError: a text that cannot be printed.
    """
    del findings
    answers = answers_of(seen.project)
    total = len(seen.project.procedures) + len(seen.project.pqrs)
    written: list[Path] = []
    for index, wps in enumerate(seen.project.procedures, start=1):
        number = document_number(seen.project.settings, "WPS", index)
        data = procedure.context(seen, wps, answers, number)
        name = out_dir / file_name(f"{wps.number}_rev_{wps.revision}")
        docx = render_docx("procedure.docx", data, seen.as_of, overrides)
        written.append(write_whole(Path(f"{name}.docx"), docx))
        pdf = render([page("procedure.html", data, overrides)])
        written.append(write_whole(Path(f"{name}.pdf"), pdf.data))
        progress("Procedure sheets", index, total)
    for index, pqr in enumerate(seen.project.pqrs, start=1):
        number = document_number(seen.project.settings, "PQR", index)
        html = page(
            "qualification.html", qualification.context(seen, pqr, answers, number), overrides
        )
        path = out_dir / f"{file_name(pqr.number)}.pdf"
        written.append(write_whole(path, render([html]).data))
        progress("Procedure sheets", len(seen.project.procedures) + index, total)
    return written


def welder_matrix_files(
    seen: View, findings: Sequence[Finding], out_dir: Path, overrides: Path | None = None
) -> list[Path]:
    """Write the welder qualification matrix as workbook and PDF."""
    del findings
    number = document_number(seen.project.settings, "WQM", 1)
    data = welder_matrix.context(seen, answers_of(seen.project), number)
    html = page("welder_matrix.html", data, overrides)
    return [
        write_whole(out_dir / "welder_matrix.xlsx", matrix_workbook(data, seen)),
        write_whole(out_dir / "welder_matrix.pdf", render([html]).data),
    ]


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
    return workbook(data["head"], sheets, seen.as_of)


def register_files(seen: View, findings: Sequence[Finding], out_dir: Path) -> list[Path]:
    """Write every register and the open points as workbooks."""
    found = by_joint(findings)
    settings = seen.project.settings
    written = []
    for name, (kind, build) in registers.REGISTERS.items():
        data = build(seen, found, document_number(settings, kind, 1))
        written.append(_register_file(data, out_dir / f"{name.replace('-', '_')}.xlsx", seen))
    gaps = registers.gap_list(seen, findings, document_number(settings, "GAP", 1))
    written.append(_register_file(gaps, out_dir / "open_points.xlsx", seen))
    return written


def _register_file(data: registers.Register, path: Path, seen: View) -> Path:
    sheet = Sheet(data["head"]["title"], data["rows"], data["note"])
    return write_whole(path, workbook(data["head"], [sheet], seen.as_of))
