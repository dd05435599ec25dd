"""Rows of documents as plain data, and the columns of them."""

from __future__ import annotations

from typing import Literal

from dossier.coverage.view import view
from dossier.documents.printed import PRINTED
from dossier.documents.printed.face import Asked, Printed
from dossier.documents.sheet import Table
from dossier.records.project import Project
from tests.documents import example


def printed(project: Project, name: str) -> Printed:
    """The one document of this kind that a project has."""
    of = Asked(view(project, example.AS_OF), tuple(example.findings()))
    (made,) = PRINTED[name].make(of)
    return made


def table_of(project: Project, name: str, key: str) -> Table:
    """One table of the one document of this kind."""
    return printed(project, name)["content"][key]["rows"]


def column(part: Table, label: str, what: Literal["cells", "marks"] = "cells") -> list[str]:
    """The cells of a column, or its marks."""
    index = [c["label"] for c in part["columns"]].index(label)
    return [r[what][index] for r in part["rows"]]
