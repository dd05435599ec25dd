"""`dossier completion`: print the completion of a shell, made from the commands themselves."""

from __future__ import annotations

import argparse
from typing import Final

from dossier.commands.shared import CLEAN, Commands, plain_command
from dossier.resources import shared

FILES: Final = {"bash": "dossier.bash", "zsh": "_dossier"}


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    told = "print the completion of a shell, to be put where the shell looks for it"
    completion = plain_command(commands, "completion", run, told)
    completion.add_argument("shell", choices=tuple(FILES), help="the shell to complete in")


def run(arguments: argparse.Namespace) -> int:
    """Print the file made for the shell."""
    file = shared("completions") / FILES[arguments.shell]
    print(file.read_text(encoding="utf-8"), end="")
    return CLEAN
