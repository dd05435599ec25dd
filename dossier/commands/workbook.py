"""`dossier workbook`: a workbook for data entry, made from the schemas, filled with the project."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import CLEAN, Commands, plain_command, say


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    told = "write a workbook for data entry, filled with what is on record"
    workbook = plain_command(commands, "workbook", run, told)
    workbook.add_argument("folder", type=Path, help="project folder, with project.yaml in it")
    workbook.add_argument(
        "--out",
        type=Path,
        default=Path("records.xlsx"),
        help="file to write (default: records.xlsx)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Write the workbook and print its path."""
    from dossier.intake.entry_workbook import write_workbook

    path = write_workbook(arguments.folder, arguments.out)
    print(path)
    say(f"To read it back, name it in project.yaml: registers: {{workbook: {path.name}}}")
    return CLEAN
