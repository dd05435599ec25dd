"""`dossier history`: everything on record about one joint."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from dossier.commands.shared import (
    CLEAN,
    Commands,
    checked_project,
    known_joint,
    own_templates,
    project_command,
)


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    history = project_command(commands, "history", run, "everything on record about one joint")
    history.add_argument("joint", help="joint number as written")
    history.add_argument("--format", choices=("text", "json", "pdf"), default="text")
    history.add_argument("--out", type=Path, help="file for the PDF (default: JOINT.pdf)")


def run(arguments: argparse.Namespace) -> int:
    """Print the history, or write it as PDF and print the path."""
    from dossier.documents.joint_history import context, history_text

    seen, findings = checked_project(arguments)
    known_joint(seen, arguments.joint)
    if arguments.format == "pdf":
        from dossier.documents.joint_history import joint_history_pdf

        path = arguments.out or Path(f"{arguments.joint}.pdf")
        joint_history_pdf(seen, findings, arguments.joint, path, own_templates(arguments.folder))
        print(path)
    elif arguments.format == "json":
        print(json.dumps(context(seen, findings, arguments.joint), indent=2, default=str))
    else:
        print(history_text(seen, findings, arguments.joint))
    return CLEAN
