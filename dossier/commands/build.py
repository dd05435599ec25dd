"""`dossier build`: build the handover dossier."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import CLEAN, Commands, checked_project, progress, project_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    build = project_command(commands, "build", run, "build the handover dossier")
    build.add_argument("--out", type=Path, required=True)
    build.add_argument("--workers", type=int, default=0, help="processes (default: one a core)")


def run(arguments: argparse.Namespace) -> int:
    """Build the dossier and print the paths written."""
    from dossier.handover import build

    seen, findings = checked_project(arguments)
    written = build(
        seen, findings, arguments.folder, arguments.out, progress(), workers=arguments.workers
    )
    for path in written:
        print(path)
    return CLEAN
