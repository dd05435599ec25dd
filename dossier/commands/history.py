"""`dossier history`: everything on record about one joint."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from dossier.commands.shared import (
    CLEAN,
    Commands,
    checked_project,
    project_command,
)


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    history = project_command(commands, "history", run, "everything on record about one joint")
    history.add_argument("joint", help="joint number as written")
    history.add_argument(
        "--format",
        choices=("text", "json", "pdf"),
        default="text",
        help="form of the answer (default: text)",
    )
    history.add_argument("--out", type=Path, help="file for the PDF (default: JOINT.pdf)")


def run(arguments: argparse.Namespace) -> int:
    """Print the history, or write it as PDF and print the path."""
    from dossier.api import known_joint, render
    from dossier.documents.joint_history import context, history_text

    project, findings = checked_project(arguments)
    known_joint(project, arguments.joint)
    if arguments.format == "pdf":
        path = arguments.out or Path(f"{arguments.joint}.pdf")
        print(*render(project, findings, "history", path, arguments.joint))
    elif arguments.format == "json":
        print(json.dumps(context(project.seen, findings, arguments.joint), indent=2, default=str))
    else:
        print(history_text(project.seen, findings, arguments.joint))
    return CLEAN
