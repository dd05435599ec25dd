"""What a welder's test qualifies, in words that a foreman reads without the standard."""

from __future__ import annotations

from dossier.codes.iso_4063 import PROCESSES
from dossier.codes.iso_6947 import POSITIONS
from dossier.documents.amounts import permitted
from dossier.records.verdicts import Choice, Qualified, Range
from dossier.units import System

_LABELS = {
    "process": "May weld with", "transfer": "Transfer of the metal", "product": "On",
    "weld type": "Welds", "joint": "Welds", "filler group": "Filler groups",
    "covering": "Covering or wire", "covering, root without backing":
    "Covering or wire of an unbacked root", "outside diameter": "Pipe of outside diameter",
    "branch angle": "Branch angle", "deposited thickness": "Metal put in by this welder",
    "wall": "Wall thickness", "position": "In positions", "weld detail": "Sides and backing",
    "direction": "Direction", "backing": "Backing",
}  # fmt: skip
_WORDS = {
    "weld detail": {
        "bs": "welded from both sides", "ss nb": "one side without backing",
        "ss mb": "one side on backing material", "ss gb": "one side with gas backing",
        "ss fb": "one side on flux backing", "ss ci": "one side with consumable insert",
        "sl": "single layer", "ml": "several layers",
    },
    "direction": {"up": "upwards", "down": "downwards"},
    "process": PROCESSES,
    "position": POSITIONS,
}  # fmt: skip


def plain(variable: str, allowed: Range | Choice, system: System = "SI") -> str:
    """A qualified range in plain words; standard terms stay beside them.

    >>> from dossier.records.verdicts import Basis
    >>> plain("position", Choice.of(["PA", "PC"], Basis("X", "", "1")))
    'PA (flat), PC (horizontal)'
    """
    if isinstance(allowed, Range):
        return permitted(allowed, system)
    words = _WORDS.get(variable, {})
    if allowed.values is None:
        return str(allowed)
    if any("," in value for value in allowed.values):
        return "; ".join(sorted(allowed.values))
    told = [_told(value, words) for value in sorted(allowed.values)]
    return ", ".join(told) or str(allowed)


def _told(value: str, words: dict[str, str]) -> str:
    return f"{value} ({words[value]})" if value in words else value


def plain_label(variable: str) -> str:
    """The heading of a variable in plain words, its own name where there is none."""
    return _LABELS.get(variable, variable.capitalize())


def plain_rows(qualified: Qualified, system: System) -> list[list[str]]:
    """Label, plain words and clause of every variable, in sheet order."""
    return [
        [plain_label(name), plain(name, allowed, system), str(allowed.basis)]
        for name, allowed in qualified.items()
    ]
