"""`dossier page`: the review page, one HTML file that works without a network."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import CLEAN, Commands, checked_project, project_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    page = project_command(
        commands, "page", run, "write the review page: the whole project in one offline HTML file"
    )
    page.add_argument("--out", type=Path, default=Path("review.html"), help="the file to write")


def run(arguments: argparse.Namespace) -> int:
    """Write the page and print its path."""
    from dossier.documents.files import write_whole
    from dossier.review import page
    from dossier.review.evidence import evidence_paths, links_from

    seen, findings = checked_project(arguments)
    links = links_from(arguments.out.parent, evidence_paths(seen, arguments.folder))
    print(write_whole(arguments.out, page(seen, findings, links)))
    return CLEAN
