"""The questions that auditors ask first, by name. To add one: a `Question` in its file's list."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from dossier.coverage.questions import (
    examinations,
    joints,
    materials,
    patterns,
    procedures,
    sequence,
    welders,
)
from dossier.coverage.questions.face import PARAMETERS, Answer, Question
from dossier.coverage.view import View
from dossier.errors import InputError
from dossier.records.verdicts import Finding

QUESTIONS: Mapping[str, Question] = {
    question.name: question
    for module in (joints, welders, procedures, materials, examinations, patterns, sequence)
    for question in module.QUESTIONS
}


def question_named(name: str) -> Question:
    """The question of that name. Raises InputError: none has it."""
    if name not in QUESTIONS:
        raise InputError("question", found=name, expected=", ".join(QUESTIONS))
    return QUESTIONS[name]


def ask(
    seen: View, findings: Sequence[Finding], question: Question, given: Mapping[str, str]
) -> Answer:
    """The answer to a question with the parameters given.

    Raises InputError: a parameter that it does not take or cannot do without, or a value that
    is not on record.
    """
    allowed = (*question.needs, *question.takes)
    for name in given:
        if name not in allowed:
            expected = f"one of {', '.join(allowed)}" if allowed else "no parameter"
            raise InputError(f"parameter of {question.name}", found=name, expected=expected)
    for name in question.needs:
        if not given.get(name):
            expected = f"{name}=..., {PARAMETERS[name]}"
            raise InputError(f"parameter of {question.name}", found="none", expected=expected)
    return question.answer(seen, findings, given)
