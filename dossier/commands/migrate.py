"""`dossier migrate`: bring the files of a project to the schema version of this tool."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import CLEAN, FOUND, Commands, plain_command, say


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    told = "bring a project's files to the schema version of this tool"
    migrate = plain_command(commands, "migrate", run, told)
    migrate.add_argument("folder", type=Path, help="project folder, with project.yaml in it")
    migrate.add_argument(
        "--check", action="store_true", help="only tell what would change; exit 1 if anything would"
    )


def run(arguments: argparse.Namespace) -> int:
    """Tell or change the versions of the files."""
    from dossier.intake.migrations import file_versions, migrate_project

    if arguments.check:
        versions = list(file_versions(arguments.folder))
        print("\n".join(str(version) for version in versions))
        return FOUND if any(version.steps for version in versions) else CLEAN
    changed = list(migrate_project(arguments.folder))
    for path in changed:
        print(path)
    if not changed:
        say("Every file is of the current version.")
    return CLEAN
