"""`dossier ask`: answer one of the questions that auditors ask first."""

from __future__ import annotations

import argparse
import json

from dossier.commands.shared import CLEAN, Commands, loaded_project, pair, project_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    ask = project_command(commands, "ask", run, "answer one of the auditors' questions")
    ask.add_argument("question", nargs="?", help="name of the question; none lists them")
    ask.add_argument("values", nargs="*", metavar="key=value", help="what to ask it of")
    ask.add_argument(
        "--format",
        choices=("text", "csv", "json"),
        default="text",
        help="form of the answer (default: text)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the answer, or the list of questions."""
    from dossier.api import ask
    from dossier.coverage.questions import QUESTIONS, question_named
    from dossier.documents.answer_rows import questions_text, rows_as_data, rows_csv, rows_text

    if arguments.question is None:
        print(questions_text(list(QUESTIONS.values())))
        return CLEAN
    question = question_named(arguments.question)
    given = dict(pair(text) for text in arguments.values)
    answer = ask(loaded_project(arguments), question.name, given)
    if arguments.format == "json":
        print(json.dumps(rows_as_data(question, given, answer), indent=2, ensure_ascii=False))
    elif arguments.format == "csv":
        print(rows_csv(answer), end="")
    else:
        print(rows_text(answer))
    return CLEAN
