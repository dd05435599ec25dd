"""`dossier build`: build the handover dossier."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import (
    CLEAN,
    FOUND,
    Commands,
    checked_project,
    progress,
    project_command,
    say,
)
from dossier.errors import InputError


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    build = project_command(commands, "build", run, "build the handover dossier")
    build_arguments(build)
    build.add_argument("--workers", type=int, default=0, help="processes (default: one a core)")
    build.add_argument("--cluster", default="", metavar="ADDRESS", help="scheduler of a cluster")
    build.add_argument("--shard", metavar="I/N", help="render one share of N and stop; see join")


def build_arguments(build: argparse.ArgumentParser) -> None:
    """What `build` and `join` have in common."""
    build.add_argument("--out", type=Path, required=True, help="folder for the dossier")
    build.add_argument(
        "--store", type=Path, help="folder of what was rendered before (default: beside --out)"
    )
    build.add_argument(
        "--no-draft", action="store_true", help="refuse open points and gaps: exit 1, write nothing"
    )
    build.add_argument("--split-pages", type=int, default=0, metavar="N", help="pages in a file")
    build.add_argument("--split-mb", type=float, default=0, metavar="N", help="megabytes in a file")
    build.add_argument(
        "--since", type=Path, metavar="OLD", help="earlier issue; the changes get a sheet"
    )


def run(arguments: argparse.Namespace) -> int:
    """Build the dossier and print the paths written."""
    return built(arguments, None, _shard(arguments.shard))


def built(
    arguments: argparse.Namespace, join: tuple[Path, ...] | None, shard: tuple[int, int] | None
) -> int:
    """Build as asked; exit 1 where a draft is not wanted."""
    from dossier.api import build
    from dossier.handover import How
    from dossier.handover.build import DraftError
    from dossier.handover.layout import Limits

    project, findings = checked_project(arguments)
    how = How(
        workers=getattr(arguments, "workers", 1),
        store=arguments.store,
        cluster=getattr(arguments, "cluster", ""),
        shard=shard,
        join=join,
        drafts=not arguments.no_draft,
        limits=Limits(arguments.split_pages, arguments.split_mb),
        since=arguments.since,
    )
    try:
        written = build(project, findings, arguments.out, how, progress())
    except DraftError as error:
        say(str(error))
        return FOUND
    for path in written:
        print(path)
    return CLEAN


def _shard(text: str | None) -> tuple[int, int] | None:
    if text is None:
        return None
    first, _, count = text.partition("/")
    if not (first.isdecimal() and count.isdecimal() and 1 <= int(first) <= int(count)):
        raise InputError("--shard", found=text, expected="I/N with I from 1 to N, as in 2/4")
    return int(first), int(count)
