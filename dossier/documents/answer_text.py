"""Answers of the formula catalogue in words, for the terminal."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from dossier.calc.catalogue import Formula


def list_text(formulas: Sequence[Formula]) -> str:
    """One line a formula: its call with the arguments it needs, and its title."""
    return "\n".join(f"{_call(formula)}\n    {formula.title}" for formula in formulas)


def _call(formula: Formula) -> str:
    needed = [f"{argument.name}=" for argument in formula.arguments if argument.required]
    return " ".join([formula.name, *needed])


def answer_text(answer: Mapping[str, Any]) -> str:
    """The result with formula, inputs, source and the caution that belongs to it."""
    unit = f" {answer['unit']}" if answer["unit"] else ""
    lines = [f"{answer['title']}: {_shown(answer['result'])}{unit}"]
    lines += [f"  {name} = {value}" for name, value in answer["inputs"].items()]
    lines += [f"  Formula: {answer['formula']}"] if answer["formula"] else []
    lines += [f"  Source:  {answer['source']}"] if answer["source"] else []
    lines += [f"  Caution: {answer['caution']}"] if answer["caution"] else []
    return "\n".join(lines)


def _shown(result: Any) -> str:
    """A figure with six digits: more than any reading that went into it has."""
    if isinstance(result, Mapping):
        return ", ".join(f"{name} {_shown(value)}" for name, value in result.items())
    if isinstance(result, (list, tuple)):
        return ", ".join(_shown(value) for value in result)
    return f"{result:.6g}" if isinstance(result, float) else str(result)
