"""What several commands need: exit codes, common arguments, loading, talk on stderr."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Final

from dossier.errors import InputError

if TYPE_CHECKING:
    from dossier.coverage.view import View
    from dossier.records.verdicts import Finding

CLEAN: Final = 0
FOUND: Final = 1
USAGE: Final = 2
UNREADABLE: Final = 3
MISSING_TOOL: Final = 4

Commands = argparse._SubParsersAction  # the type that argparse gives no public name
Run = Callable[[argparse.Namespace], int]


def project_command(
    commands: Commands[argparse.ArgumentParser], name: str, run: Run, told: str
) -> argparse.ArgumentParser:
    """Declare a command that works on a project folder as known on a day."""
    command = commands.add_parser(name, help=told)
    command.add_argument("folder", type=Path, help="project folder, with project.yaml in it")
    command.add_argument(
        "--as-of", type=date.fromisoformat, metavar="YYYY-MM-DD", help="the day to look at"
    )
    command.set_defaults(run=run)
    return command


def plain_command(
    commands: Commands[argparse.ArgumentParser], name: str, run: Run, told: str
) -> argparse.ArgumentParser:
    """Declare a command that needs no project."""
    command: argparse.ArgumentParser = commands.add_parser(name, help=told)
    command.set_defaults(run=run)
    return command


def say(text: str) -> None:
    """Talk to the person; data goes to stdout."""
    print(text, file=sys.stderr)


def in_colour() -> bool:
    """Colour only on a terminal that shows it, and only where nobody asked for none."""
    wanted = not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    return wanted and sys.stdout.isatty()


def seen_project(arguments: argparse.Namespace) -> View:
    """The project in `arguments.folder` as known on `arguments.as_of`."""
    from dossier.coverage.view import view
    from dossier.intake import load_project

    project = load_project(arguments.folder)
    for reading in project.readings:
        say(reading)
    return view(project, arguments.as_of)


def checked_project(arguments: argparse.Namespace) -> tuple[View, list[Finding]]:
    """The project and what all checks found."""
    from dossier.checks import run

    seen = seen_project(arguments)
    return seen, run(seen)


def own_templates(folder: Path) -> Path | None:
    """The project's own templates, which go before those of the tool; None where it has none."""
    own = folder / "templates"
    return own if own.is_dir() else None


def known_joint(seen: View, number: str) -> None:
    """Raise InputError with the nearest numbers when no such joint is known."""
    if number not in seen.known.joints:
        from difflib import get_close_matches

        near = get_close_matches(number, seen.known.joints, n=3)
        expected = f"a joint of the log; did you mean {' or '.join(near)}?" if near else "a joint"
        raise InputError("joint", found=number, expected=expected)


def pair(text: str) -> tuple[str, str]:
    """Key and value of one `key=value` of the command line.

    >>> pair("wall_mm=12.7")
    ('wall_mm', '12.7')
    """
    key, equals, value = text.partition("=")
    if not (key and equals):
        raise InputError("value", found=text, expected="key=value, as in wall_mm=12.7")
    return key, value


def progress() -> Callable[[str, int, int], None]:
    """A progress line on a terminal, one line per stage elsewhere."""
    lively = sys.stderr.isatty()

    def show(stage: str, done: int, total: int) -> None:
        if lively:
            end = "\n" if done == total else ""
            print(f"\r{stage}: {done} of {total}  ", end=end, file=sys.stderr, flush=True)
        elif done == total:
            say(f"{stage}: {total}")

    return show
