"""`dossier page`: the review page, one HTML file that works without a network."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import Commands, issue, project_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    page = project_command(
        commands, "page", run, "write the review page: the whole project in one offline HTML file"
    )
    page.add_argument(
        "--out", type=Path, default=Path("review.html"), help="file to write (default: review.html)"
    )


def run(arguments: argparse.Namespace) -> int:
    """Write the page and print its path."""
    return issue(arguments, "page")
