"""Answers of the formula catalogue in words, for the terminal."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any


def list_text(rows: Sequence[Mapping[str, Any]]) -> str:
    """One line a formula: name and title."""
    width = max((len(str(row["name"])) for row in rows), default=0)
    return "\n".join(f"{row['name']:<{width}}  {row['title']}" for row in rows)


def answer_text(answer: Mapping[str, Any]) -> str:
    """The result with formula, inputs, source and the caution that belongs to it."""
    unit = f" {answer['unit']}" if answer["unit"] else ""
    lines = [f"{answer['title']}: {answer['result']}{unit}"]
    lines += [f"  {name} = {value}" for name, value in answer["inputs"].items()]
    lines += [f"  Formula: {answer['formula']}"] if answer["formula"] else []
    lines += [f"  Source:  {answer['source']}"]
    lines += [f"  Caution: {answer['caution']}"] if answer["caution"] else []
    return "\n".join(lines)
