"""`dossier ready`: which joints may go on to the next stage, and what would free the others."""

from __future__ import annotations

import argparse
import json

from dossier.commands.shared import CLEAN, FOUND, Commands, checked_project, project_command

STAGES = ("coating", "lowering", "pressure-test", "handover")


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    ready = project_command(commands, "ready", run, "list the joints that may go on, and the cures")
    ready.add_argument("--for", dest="stage", choices=STAGES, required=True, help="next stage")
    ready.add_argument(
        "--format",
        choices=("text", "csv", "json"),
        default="text",
        help="form of the answer (default: text)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the list; exit 1 while a joint is held up."""
    from dossier.api import ready
    from dossier.documents.answer_rows import rows_csv
    from dossier.documents.clearance import clearance_as_data
    from dossier.documents.clearance_text import clearance_rows, clearance_text

    made = ready(*checked_project(arguments), arguments.stage)
    if arguments.format == "json":
        print(json.dumps(clearance_as_data(made), indent=2, ensure_ascii=False))
    elif arguments.format == "csv":
        print(rows_csv(clearance_rows(made)), end="")
    else:
        print(clearance_text(made))
    return FOUND if made.held else CLEAN
