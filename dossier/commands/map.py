"""`dossier map`: propose a column map for a workbook or CSV file that the site already keeps."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import CLEAN, Commands, plain_command, say


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    told = "propose a column map for a register kept elsewhere, for review"
    proposal = plain_command(commands, "map", run, told)
    proposal.add_argument("file", type=Path, help="workbook (.xlsx) or .csv")
    proposal.add_argument("--register", default="", help="the register it is; guessed otherwise")


def run(arguments: argparse.Namespace) -> int:
    """Print the proposal as a commented fragment of project.yaml."""
    from dossier.intake.propose import propose

    print(propose(arguments.file, arguments.register))
    say("Review it, then put it under registers in project.yaml.")
    return CLEAN
