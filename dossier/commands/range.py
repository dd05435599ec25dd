"""`dossier range`: what a certificate or procedure test qualifies."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from dossier.commands.shared import CLEAN, Commands, plain_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    ranges = plain_command(commands, "range", run, "what a certificate or procedure test qualifies")
    ranges.add_argument("file", type=Path, help="register of welders or of procedure tests")
    ranges.add_argument(
        "--format",
        choices=("text", "json"),
        default="text",
        help="form of the answer (default: text)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the ranges of every record of the register."""
    from dossier.coverage.ranges import ranges_of
    from dossier.documents.range_text import range_text
    from dossier.intake import load_register

    rows = ranges_of(load_register(arguments.file))
    if arguments.format == "json":
        print(json.dumps([row.as_data() for row in rows], indent=2))
    else:
        print(range_text(rows))
    return CLEAN
