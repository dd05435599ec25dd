"""The commands as their parser knows them, for the reference, the manual and completion.

Read from the parser's own list, not from its printed help, whose form differs between versions of
Python.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parent.parent
sys.path.insert(0, str(ROOT))

from dossier.cli import parser  # noqa: E402


@dataclass(frozen=True, slots=True)
class Argument:
    """One argument: how it is written, whether it must be given, and what it means."""

    written: str
    needed: bool
    told: str


@dataclass(frozen=True, slots=True)
class Command:
    """One command, or one action of a command."""

    name: str
    told: str
    arguments: tuple[Argument, ...]
    actions: tuple[Command, ...] = ()

    @property
    def usage(self) -> str:
        """The command line in one line: what must be given stands bare, what may be in brackets."""
        ordered = sorted(self.arguments, key=lambda a: a.written.startswith("-"))
        words = (a.written if a.needed else f"[{a.written}]" for a in ordered)
        tail = " ACTION ..." if self.actions else ""
        return " ".join(("dossier", self.name, *words)) + tail


def about() -> str:
    """What the program as a whole says of itself."""
    return parser().description or ""


def commands() -> tuple[Command, ...]:
    """All commands in the order in which --help lists them."""
    return tuple(_below(parser(), ""))


def subparsers(of: argparse.ArgumentParser) -> argparse._SubParsersAction | None:  # type: ignore[type-arg]
    """The part of a parser that holds its commands, None for one without."""
    return next((a for a in of._actions if isinstance(a, argparse._SubParsersAction)), None)


def _below(of: argparse.ArgumentParser, before: str) -> Iterator[Command]:
    held = subparsers(of)
    if held is None:
        return
    told = {action.dest: action.help or "" for action in held._choices_actions}
    for name, inner in held.choices.items():
        full = f"{before} {name}".strip()
        own = tuple(_argument(a) for a in inner._actions if _shown(a))
        yield Command(full, told[name], own, tuple(_below(inner, full)))


def _shown(action: argparse.Action) -> bool:
    return not isinstance(action, argparse._HelpAction | argparse._SubParsersAction)


def _argument(action: argparse.Action) -> Argument:
    if action.option_strings:
        name = action.option_strings[-1]
        value = "" if action.nargs == 0 else f" {_value(action)}"
        return Argument(name + value, action.required, _told(action))
    return Argument(_value(action), action.nargs not in ("?", "*"), _told(action))


def _value(action: argparse.Action) -> str:
    name = action.metavar if isinstance(action.metavar, str) else ""
    if not name:
        name = "|".join(map(str, action.choices)) if action.choices else action.dest.upper()
    return f"{name} ..." if action.nargs in ("+", "*") else name


def _told(action: argparse.Action) -> str:
    return (action.help or "").replace("%%", "%")
