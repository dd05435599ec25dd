"""`dossier figures`: rates, ages and completeness as workbook, PDF and charts."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import CLEAN, Commands, loaded_project, project_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    figures = project_command(
        commands, "figures", run, "repair rates, ages and completeness as workbook, PDF and charts"
    )
    figures.add_argument("--out", type=Path, default=Path("out"), help="folder (default: out)")


def run(arguments: argparse.Namespace) -> int:
    """Write the figures and print their paths."""
    from dossier.api import render

    for path in render(loaded_project(arguments), (), "figures", arguments.out):
        print(path)
    return CLEAN
