"""`dossier matrix`: issue the welder qualification matrix."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import CLEAN, Commands, checked_project, own_templates, project_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    matrix = project_command(commands, "matrix", run, "issue the welder qualification matrix")
    matrix.add_argument("--out", type=Path, default=Path("out"))


def run(arguments: argparse.Namespace) -> int:
    """Write the matrix and print the paths."""
    from dossier.documents import welder_matrix_files

    seen, findings = checked_project(arguments)
    own = own_templates(arguments.folder)
    for path in welder_matrix_files(seen, findings, arguments.out, own):
        print(path)
    return CLEAN
