"""`dossier join`: put the dossier together from shares that were rendered apart."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.build import build_arguments, built
from dossier.commands.shared import Commands, project_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    join = project_command(commands, "join", run, "put a dossier together from its shares")
    build_arguments(join)
    join.add_argument(
        "--from", dest="shares", type=Path, nargs="+", default=[], metavar="STORE",
        help="stores of the shares, where they are not the one of --store",
    )  # fmt: skip


def run(arguments: argparse.Namespace) -> int:
    """Build without rendering; what no share holds is refused."""
    return built(arguments, tuple(arguments.shares), None)
