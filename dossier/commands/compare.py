"""`dossier compare`: what changed between two issues of a dossier."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from dossier.commands.shared import CLEAN, FOUND, Commands, plain_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    compare = plain_command(commands, "compare", run, "what changed between two issues")
    told = "built folder, package or issue.json"
    compare.add_argument("old", type=Path, help=told)
    compare.add_argument("new", type=Path, help=told)
    compare.add_argument(
        "--format",
        choices=("text", "json"),
        default="text",
        help="form of the answer (default: text)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the differences; exit 1 where there are any."""
    from dossier.handover.changes import as_text, differences, read_issue

    old, new = read_issue(arguments.old), read_issue(arguments.new)
    changes = differences(old, new)
    if arguments.format == "json":
        print(json.dumps({"old": old.name, "new": new.name, "changes": changes}, indent=2))
    else:
        print(as_text(old, new, changes))
    return FOUND if changes else CLEAN
