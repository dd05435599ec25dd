"""`dossier figures`: rates, ages and completeness as workbook, PDF and charts."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import CLEAN, Commands, project_command, seen_project


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    figures = project_command(
        commands, "figures", run, "repair rates, ages and completeness as workbook, PDF and charts"
    )
    figures.add_argument("--out", type=Path, default=Path("out"))


def run(arguments: argparse.Namespace) -> int:
    """Write the figures and print their paths."""
    from dossier.documents.figures import figure_files

    for path in figure_files(seen_project(arguments), arguments.out):
        print(path)
    return CLEAN
