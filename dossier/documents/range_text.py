"""Qualified ranges in words, for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.coverage.ranges import Statement
from dossier.records.verdicts import code_title

_CAUTION = "The licensed standard governs; a qualified welding engineer decides."


def range_text(statements: Sequence[Statement]) -> str:
    """One block a test: variable, what is permitted, clause; rules from memory are marked."""
    if not statements:
        return "The file holds no welder certificate and no procedure test."
    return "\n\n".join([*(_block(statement) for statement in statements), _CAUTION])


def _block(statement: Statement) -> str:
    rows = statement.qualified.items()
    width = max((len(variable) for variable, _ in rows), default=0)
    lines = [f"{statement.title} ({code_title(statement.code)})"]
    for variable, allowed in rows:
        mark = " (from memory)" if allowed.basis.known == "memory" else ""
        lines.append(f"  {variable:<{width}}  {allowed}  [{allowed.basis.clause}{mark}]")
    return "\n".join(lines)
