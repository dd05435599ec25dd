"""Write completions/: what bash and zsh complete, from the parser of the command line.

Usage: python docs/make_completion.py   (needs shtab)
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable
from pathlib import Path

import shtab

ROOT = Path(__file__).parent.parent
sys.path.insert(0, str(ROOT))

from docs.command_tree import subparsers  # noqa: E402
from dossier.calc.catalogue import list_formulas  # noqa: E402
from dossier.checks import ALL  # noqa: E402
from dossier.cli import parser  # noqa: E402
from dossier.commands.completion import FILES  # noqa: E402
from dossier.coverage.questions import QUESTIONS  # noqa: E402
from dossier.intake.schema_bundle import NAMES  # noqa: E402

PLACE = ROOT / "completions"
_FOLDERS = {"folder", "store", "shares", "built", "editor", "target"}


def words() -> dict[tuple[str, str], Iterable[str]]:
    """Names that an argument takes and that its parser leaves to the command to refuse."""
    return {
        ("check", "only"): ALL,
        ("ask", "question"): QUESTIONS,
        ("calc", "name"): sorted(formula.name for formula in list_formulas()),
        ("schema", "name"): NAMES,
        ("map", "register"): [name for name in NAMES if name != "project"],
    }


def pages() -> dict[Path, str]:
    """The file of each shell."""
    whole = parser()
    _teach(whole, "")
    made = {PLACE / file: shtab.complete(whole, shell=shell) for shell, file in FILES.items()}
    return {path: _signed(text) for path, text in made.items()}


def _signed(text: str) -> str:
    """The script with a word on where it comes from in place of the generator's own."""
    first, *lines = text.rstrip().splitlines()
    while lines and (not lines[0] or lines[0].startswith("#")):
        lines.pop(0)
    mark = [first] if first.startswith("#compdef") else []
    told = "# Made by docs/make_completion.py from the commands; do not edit by hand."
    return "\n".join([*mark, told, "", *lines]) + "\n"


def _teach(of: argparse.ArgumentParser, name: str) -> None:
    """Tell the parser which arguments are files, folders or known names."""
    for action in of._actions:
        if action.type is Path:
            kind = shtab.DIRECTORY if action.dest in _FOLDERS else shtab.FILE
            action.complete = kind  # type: ignore[attr-defined] # where shtab looks for it
        if (name, action.dest) in (known := words()):
            action.choices = list(known[name, action.dest])
    held = subparsers(of)
    for inner, below in (held.choices if held else {}).items():
        _teach(below, f"{name} {inner}".strip())


if __name__ == "__main__":
    PLACE.mkdir(exist_ok=True)
    for path, text in pages().items():
        path.write_text(text, encoding="utf-8")
        print(path)
