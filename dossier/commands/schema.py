"""`dossier schema`: print the schema of a register, or set up editors for a project folder."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import CLEAN, Commands, plain_command
from dossier.errors import InputError


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    schema = plain_command(commands, "schema", run, "print the schema of a register, in one file")
    schema.add_argument("name", nargs="?", help="register, or project; none lists them")
    schema.add_argument(
        "--editor", type=Path, metavar="DIR", help="write schemas and settings for editors into DIR"
    )


def run(arguments: argparse.Namespace) -> int:
    """Print one schema, the list of names, or the paths of the editor files."""
    import json

    from dossier.intake.editor_help import write_editor_help
    from dossier.intake.schema_bundle import NAMES, bundled

    if arguments.editor:
        if not arguments.editor.is_dir():
            raise InputError("--editor", found=arguments.editor, expected="a project folder")
        print("\n".join(map(str, write_editor_help(arguments.editor))))
    elif arguments.name:
        print(json.dumps(bundled(arguments.name), indent=2, ensure_ascii=False))
    else:
        print("\n".join(NAMES))
    return CLEAN
