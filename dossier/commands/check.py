"""`dossier check`: cross-check all records and print the findings."""

from __future__ import annotations

import argparse
import json
import sys

from dossier.commands.shared import CLEAN, FOUND, Commands, project_command, seen_project
from dossier.errors import InputError


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    check = project_command(
        commands, "check", run, "cross-check all records and print the findings"
    )
    check.add_argument("--format", choices=("text", "json"), default="text")
    check.add_argument("--only", nargs="+", default=[], metavar="CHECK", help="these checks only")
    check.add_argument(
        "--fail-on",
        choices=("note", "hold", "nonconformity", "cut-out"),
        default="hold",
        help="least verdict that makes the exit code 1 (default: hold)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the findings; the exit code says whether one is bad enough."""
    from dossier import checks
    from dossier.documents.finding_list import findings_as_data
    from dossier.documents.report_text import report_text
    from dossier.records.verdicts import Verdict

    unknown = [name for name in arguments.only if name not in checks.ALL]
    if unknown:
        raise InputError("--only", found=", ".join(unknown), expected=", ".join(checks.ALL))
    seen = seen_project(arguments)
    findings = checks.run(seen, arguments.only)
    settings = seen.project.settings
    if arguments.format == "json":
        print(json.dumps(findings_as_data(settings, seen.as_of, findings), indent=2))
    else:
        print(report_text(settings, seen.as_of, findings, colour=sys.stdout.isatty()))
    least = Verdict.parse(arguments.fail_on)
    return FOUND if checks.open_findings(findings, least) else CLEAN
