"""`dossier package`: pack a built dossier with its records into a package that proves itself."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import CLEAN, Commands, checked_project, project_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    package = project_command(
        commands, "package", run, "pack a built dossier with its records and checksums"
    )
    package.add_argument("--built", type=Path, required=True, help="folder of dossier build")
    package.add_argument(
        "--out", type=Path, required=True, help="package to write: a folder, or a zip by its name"
    )


def run(arguments: argparse.Namespace) -> int:
    """Write the package and print its path."""
    from dossier.handover.package import write_package

    project, findings = checked_project(arguments)
    places = (arguments.folder, arguments.built)
    print(write_package(project.seen, findings, places, arguments.out))
    return CLEAN
