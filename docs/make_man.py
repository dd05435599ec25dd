"""Write docs/dossier.1, the manual page, from the parser of the command line.

Usage: python docs/make_man.py   (look at it with: man -l docs/dossier.1)
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parent.parent
sys.path.insert(0, str(ROOT))

from docs.command_tree import Argument, Command, about, commands  # noqa: E402
from docs.examples import EXAMPLES  # noqa: E402
from dossier import __version__  # noqa: E402

PAGE = Path(__file__).parent / "dossier.1"
_EXITS = (
    ("0", "Clean."),
    ("1", "Findings at or above --fail-on, joints held up, differences, faults of a template."),
    ("2", "The command line is wrong, or asks for what is not on record."),
    ("3", "The project cannot be read; every fault of every file is told."),
    ("4", "A library or program is not installed; dossier doctor tells what."),
    ("130", "Interrupted; nothing half-written is left."),
)
_SETTINGS = (
    ("NO_COLOR", "No colour, whatever the terminal."),
    ("DOSSIER_KEY_PASSPHRASE", "Passphrase of the key of dossier sign."),
)


def page() -> str:
    """The whole manual page, in the macros of man(7)."""
    lines = [
        f'.TH DOSSIER 1 "" "dossier {__version__}" "User commands"',
        ".SH NAME",
        r"dossier \- welding procedure and quality dossiers",
        ".SH SYNOPSIS",
        r".B dossier",
        r".I COMMAND",
        "[argument ...]",
        ".SH DESCRIPTION",
        _plain(about()),
        ".SH COMMANDS",
    ]
    known = commands()
    for command in known:
        lines += _command(command)
    lines += [".SH EXIT STATUS", *_listed(_EXITS), ".SH ENVIRONMENT", *_listed(_SETTINGS)]
    lines += [".SH EXAMPLES", ".nf", *map(_plain, _examples(known)), ".fi"]
    return "\n".join(lines) + "\n"


def _command(command: Command) -> Iterator[str]:
    yield f".SS {_plain(command.usage)}"
    yield _plain(f"{command.told[0].upper()}{command.told[1:]}.")
    for one in command.arguments:
        yield from _argument(one)
    for action in command.actions:
        yield from _command(action)


def _argument(one: Argument) -> Iterator[str]:
    yield ".TP"
    yield rf"\fB{_plain(one.written)}\fR"
    yield _plain(one.told) or r"\&"


def _listed(pairs: tuple[tuple[str, str], ...]) -> Iterator[str]:
    for name, told in pairs:
        yield from (".TP", rf"\fB{_plain(name)}\fR", _plain(told))


def _examples(known: tuple[Command, ...]) -> Iterator[str]:
    for command in known:
        yield from EXAMPLES.get(command.name, ())


def _plain(text: str) -> str:
    """Text with what roff would read as an instruction made harmless."""
    safe = text.replace("\\", r"\e").replace("-", r"\-")
    return rf"\&{safe}" if safe.startswith((".", "'")) else safe


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(PAGE)
