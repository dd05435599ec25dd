"""`dossier ask`: answer one of the questions that auditors ask first."""

from __future__ import annotations

import argparse
import json
from typing import TYPE_CHECKING

from dossier.commands.shared import CLEAN, Commands, pair, project_command, seen_project

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from dossier.coverage.questions.face import Question
    from dossier.coverage.view import View
    from dossier.records.verdicts import Finding


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    ask = project_command(
        commands, "ask", run, "answer an auditor's question: dossier ask DIR QUESTION key=value ..."
    )
    ask.add_argument("question", nargs="?", help="name of the question; none lists them")
    ask.add_argument("values", nargs="*", metavar="key=value")
    ask.add_argument("--format", choices=("text", "csv", "json"), default="text")


def run(arguments: argparse.Namespace) -> int:
    """Print the answer, or the list of questions."""
    from dossier.coverage.questions import QUESTIONS, ask, question_named
    from dossier.documents.answer_rows import questions_text, rows_as_data, rows_csv, rows_text

    if arguments.question is None:
        print(questions_text(list(QUESTIONS.values())))
        return CLEAN
    question = question_named(arguments.question)
    given = dict(pair(text) for text in arguments.values)
    seen = seen_project(arguments)
    answer = ask(seen, _found(seen, question, given), question, given)
    if arguments.format == "json":
        print(json.dumps(rows_as_data(question, given, answer), indent=2, ensure_ascii=False))
    elif arguments.format == "csv":
        print(rows_csv(answer), end="")
    else:
        print(rows_text(answer))
    return CLEAN


def _found(seen: View, question: Question, given: Mapping[str, str]) -> Sequence[Finding]:
    """The findings that the question reads; most read none, and then no check runs."""
    from dossier import checks
    from dossier.checks.one_joint import findings_on
    from dossier.coverage.questions.face import ALL_CHECKS

    if not question.checks:
        return []
    if "joint" in question.needs and given.get("joint") in seen.known.joints:
        return findings_on(seen, given["joint"])
    return checks.run(seen, () if ALL_CHECKS in question.checks else question.checks)
