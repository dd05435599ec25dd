"""`dossier calc`: answer a formula."""

from __future__ import annotations

import argparse
import json

from dossier.commands.shared import CLEAN, Commands, pair, plain_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    calc = plain_command(commands, "calc", run, "answer a formula")
    calc.add_argument("name", nargs="?", help="name of the formula; none lists them")
    calc.add_argument("values", nargs="*", metavar="key=value", help="what goes into the formula")
    calc.add_argument(
        "--format",
        choices=("text", "json"),
        default="text",
        help="form of the answer (default: text)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the answer, or the list of formulas."""
    from dossier.calc.catalogue import answer, list_formulas
    from dossier.documents.answer_text import answer_text, list_text

    if arguments.name is None:
        print(list_text(list_formulas()))
        return CLEAN
    result = answer(arguments.name, dict(pair(text) for text in arguments.values))
    print(json.dumps(result, indent=2) if arguments.format == "json" else answer_text(result))
    return CLEAN
