"""`dossier forms`: issue the papers that people fill in, as docx and PDF."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import Commands, issue, project_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    told = "issue fit-up, daily, nonconformity, concession, transmittal and comment sheets"
    forms = project_command(commands, "forms", run, told)
    forms.add_argument("--out", type=Path, default=Path("out"), help="folder (default: out)")


def run(arguments: argparse.Namespace) -> int:
    """Write the forms and print their paths."""
    return issue(arguments, "forms")
