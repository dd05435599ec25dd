"""`dossier doctor`: tell what this machine lacks and how to mend it."""

from __future__ import annotations

import argparse

from dossier.commands.shared import CLEAN, MISSING_TOOL, Commands, plain_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    plain_command(commands, "doctor", run, "tell what this machine lacks and how to mend it")


def run(arguments: argparse.Namespace) -> int:
    """Print what is there and what is missing."""
    from dossier.doctor import examine

    del arguments
    lacking = 0
    for item in examine():
        print(f"{'ok     ' if item.present else 'missing'}  {item.name}: {item.told}")
        if not item.present and item.needed:
            lacking += 1
    return MISSING_TOOL if lacking else CLEAN
