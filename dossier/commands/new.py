"""`dossier new`: start a project folder with empty registers."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import CLEAN, Commands, plain_command, say


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    new = plain_command(commands, "new", run, "start a project folder with empty registers")
    new.add_argument("folder", type=Path, help="folder to make")


def run(arguments: argparse.Namespace) -> int:
    """Write the empty registers and print their paths."""
    from dossier.intake.starter import start_project

    for path in start_project(arguments.folder):
        print(path)
    say(f"Fill in the registers, then run: dossier check {arguments.folder}")
    return CLEAN
