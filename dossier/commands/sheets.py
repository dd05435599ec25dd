"""`dossier sheets`: issue the procedure sheets and test records."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import Commands, issue, project_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    sheets = project_command(commands, "sheets", run, "issue the procedure sheets and test records")
    sheets.add_argument("--out", type=Path, default=Path("out"), help="folder (default: out)")


def run(arguments: argparse.Namespace) -> int:
    """Write the sheets and print their paths."""
    return issue(arguments, "sheets")
