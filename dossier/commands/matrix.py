"""`dossier matrix`: issue the welder qualification matrix."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import Commands, issue, project_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    matrix = project_command(commands, "matrix", run, "issue the welder qualification matrix")
    matrix.add_argument("--out", type=Path, default=Path("out"), help="folder (default: out)")


def run(arguments: argparse.Namespace) -> int:
    """Write the matrix and print the paths."""
    return issue(arguments, "matrix")
