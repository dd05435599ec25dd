"""The figures of a project: rates with what they rest on, ages, completeness; three forms."""

from __future__ import annotations

from pathlib import Path
from typing import TypedDict

from dossier.coverage.view import View
from dossier.documents.figures.ages import ages
from dossier.documents.figures.completeness import completeness, tracer_counts
from dossier.documents.figures.first_reports import first_reports
from dossier.documents.figures.repair_rates import (
    bases,
    by,
    by_indication,
    by_welder,
    first_time,
    pass_of,
    side_of,
)
from dossier.documents.figures.shares import Part
from dossier.documents.figures.weekly import weekly
from dossier.documents.files import file_name, write_whole
from dossier.documents.pages import page
from dossier.documents.pdf import render_document
from dossier.documents.sheet import Head, document_number, head
from dossier.documents.xlsx import Sheet, workbook

_BASIS = (
    "Joints rejected at their first radiographic or ultrasonic examination, unless a table says "
    "otherwise. Each rate stands beside its count and what it is counted of; From and To are the "
    "ends of its exact 95 % interval (Clopper and Pearson). Joints that were cut out stay in."
)


class Figures(TypedDict):
    """All data of the figures."""

    head: Head
    basis: str
    groups: list[Part]


def context(seen: View) -> Figures:
    """Plain data of the figures as of the day of the view."""
    firsts = first_reports(seen)
    parts: list[Part | None] = [
        bases(firsts),
        weekly(firsts),
        first_time(seen),
        by("By section", "Section", firsts, lambda one: one.file.joint.line),
        by("By kind of joint", "Kind", firsts, lambda one: one.file.joint.kind),
        by("By WPS", "WPS", firsts, lambda one: one.file.joint.wps),
        by("By fit-up crew", "Crew", firsts, lambda one: one.file.joint.fit_up_by),
        by_welder(seen, firsts),
        by_indication("By defect", "Kind", firsts, lambda _, found: found.kind),
        by_indication("By pass", "Pass", firsts, pass_of),
        by_indication("By side of the pipe", "Side", firsts, side_of),
        ages(seen),
        tracer_counts(seen),
        completeness(seen),
    ]
    number = document_number(seen.project.settings, "FIG", 1)
    return Figures(
        head=head(seen, number=number, title="Figures"),
        basis=f"{_BASIS} Cut-off: records to {seen.as_of}.",
        groups=[part for part in parts if part is not None and part[0]["rows"]],
    )


def figure_files(seen: View, out_dir: Path) -> list[Path]:
    """Write the figures as workbook and PDF, and every chart as SVG.

    Raises InputError: a text that cannot be printed.
    """
    data = context(seen)
    sheets = [Sheet(table["title"], table, data["basis"]) for table, _ in data["groups"]]
    written = [
        write_whole(out_dir / "figures.xlsx", workbook(data["head"], sheets, seen.as_of)),
        write_whole(out_dir / "figures.pdf", render_document(page("rates.html", dict(data)))),
    ]
    for table, figure in data["groups"]:
        if figure["svg"]:
            name = f"{file_name(table['title'].lower())}.svg"
            written.append(write_whole(out_dir / name, figure["svg"].encode("utf-8")))
    return written
