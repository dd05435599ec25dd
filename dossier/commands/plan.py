"""`dossier plan`: further tests, who may weld what tomorrow, lapses, examinations owed."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from dossier.commands.shared import CLEAN, Commands, loaded_project, project_command, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dossier.coverage.view import View


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    told = "plan ahead: fewest further tests, who may weld what, lapses, examinations owed"
    plan = project_command(commands, "plan", run, told)
    plan.add_argument(
        "--days", type=int, default=30, help="how far to look for lapses (default: 30)"
    )
    plan.add_argument(
        "--with", dest="extra", type=Path, action="append", default=[], metavar="FILE",
        help="what if: a register of welders or procedure tests that are not on record",
    )  # fmt: skip
    plan.add_argument(
        "--format",
        choices=("text", "json"),
        default="text",
        help="form of the answer (default: text)",
    )
    plan.add_argument("--out", type=Path, metavar="DIR", help="also write a workbook and a PDF")


def run(arguments: argparse.Namespace) -> int:
    """Print the plan; with --out, write its files and print their paths."""
    from dossier.coverage.plan import plan
    from dossier.documents.printed.face import Asked
    from dossier.documents.printed.work_ahead import context
    from dossier.documents.printed.work_ahead.forms import plan_data, plan_files, plan_text

    seen = _tried(loaded_project(arguments).seen, arguments.extra)
    trial = ", ".join(path.name for path in arguments.extra)
    data = context(Asked(seen), plan(seen, arguments.days), trial)
    if arguments.format == "json":
        print(json.dumps(plan_data(data), indent=2, ensure_ascii=False))
    else:
        print(plan_text(data))
    if arguments.out is not None:
        for path in plan_files(data, arguments.out, seen.as_of):
            say(str(path))  # stdout holds the plan alone, so that --format json can be read
    return CLEAN


def _tried(seen: View, files: Sequence[Path]) -> View:
    """The project with the records of `files` beside its own."""
    from dossier.coverage.plan.hypothetical import with_records
    from dossier.coverage.view import view
    from dossier.intake.one_register import load_register

    project = seen.project
    for path in files:
        project = with_records(project, load_register(path), seen.as_of)
    return view(project, seen.as_of) if files else seen
