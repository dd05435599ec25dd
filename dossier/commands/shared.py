"""What several commands need: exit codes, common arguments, loading, talk on stderr."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Final

from dossier.errors import InputError

if TYPE_CHECKING:
    from dossier.api import Loaded
    from dossier.records.verdicts import Finding

CLEAN: Final = 0
FOUND: Final = 1
USAGE: Final = 2
UNREADABLE: Final = 3
MISSING_TOOL: Final = 4
PATIENCE_S: Final = 10.0  # until a command says that it is still reading

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


@contextmanager
def told_if_slow(folder: Path) -> Iterator[None]:
    """Say once that reading goes on: a network folder that answers late looks like a hang."""
    from threading import Timer

    told = (
        f"Still reading {folder} after {PATIENCE_S:g} s: many records, or a folder that answers "
        "late. Ctrl-C ends it; reading changes nothing."
    )
    timer = Timer(PATIENCE_S, say, [told])
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


def loaded_project(arguments: argparse.Namespace) -> Loaded:
    """The project in `arguments.folder` as known on `arguments.as_of`; tells how it was read."""
    from dossier.api import load

    with told_if_slow(arguments.folder):
        project = load(arguments.folder, arguments.as_of)
    for reading in project.readings:
        say(reading)
    return project


def checked_project(arguments: argparse.Namespace) -> tuple[Loaded, list[Finding]]:
    """The project and what all checks found."""
    from dossier.api import check

    project = loaded_project(arguments)
    return project, check(project)


def issue(arguments: argparse.Namespace, document: str) -> int:
    """Check the project, issue one kind of document into `arguments.out`, print the paths."""
    from dossier.api import render

    project, findings = checked_project(arguments)
    for path in render(project, findings, document, arguments.out, progress=progress()):
        print(path)
    return CLEAN


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
