"""`dossier check`: cross-check all records and print the findings."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Final

from dossier.commands.shared import (
    CLEAN,
    FOUND,
    Commands,
    in_colour,
    loaded_project,
    project_command,
)
from dossier.errors import InputError

if TYPE_CHECKING:
    from dossier.coverage.view import View
    from dossier.records.verdicts import Finding, Verdict

FORMATS: Final = ("text", "json", "jsonl", "sarif", "junit")


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    check = project_command(
        commands, "check", run, "cross-check all records and print the findings"
    )
    check.add_argument(
        "--format", choices=FORMATS, default="text", help="form of the answer (default: text)"
    )
    check.add_argument("--only", nargs="+", default=[], metavar="CHECK", help="these checks only")
    check.add_argument(
        "--fail-on",
        choices=("note", "hold", "nonconformity", "cut-out"),
        default="hold",
        help="least verdict that makes the exit code 1 (default: hold)",
    )
    check.add_argument(
        "--workers",
        type=int,
        default=1,
        help="processes for a project with joint files (default: 1)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the findings; the exit code says whether one is bad enough."""
    from dossier import checks
    from dossier.api import check
    from dossier.checks.questions import questions
    from dossier.records.verdicts import Verdict

    unknown = [name for name in arguments.only if name not in checks.ALL]
    if unknown:
        raise InputError("--only", found=", ".join(unknown), expected=", ".join(checks.ALL))
    least = Verdict.parse(arguments.fail_on)
    if arguments.format == "jsonl" and (found := _streamed(arguments)) is not None:
        return _lines(found, least)
    project = loaded_project(arguments)
    findings = check(project, arguments.only)
    told = _told(arguments.format, project.seen, findings, (questions(arguments.only), least))
    if told:
        print(told)
    return FOUND if checks.open_findings(findings, least) else CLEAN


def _streamed(arguments: argparse.Namespace) -> Iterator[Finding] | None:
    """The findings of a project with joint files as they come, None for any other project."""
    from dossier.checks.stream import check_stream
    from dossier.intake.joint_stream import joint_source

    source = joint_source(arguments.folder)
    if not source.files:
        return None
    return check_stream(source, arguments.workers, arguments.only, arguments.as_of)


def _lines(findings: Iterator[Finding], least: Verdict) -> int:
    from dossier.checks import open_findings
    from dossier.documents.finding_forms.json_lines import json_lines

    code = CLEAN
    for finding in findings:
        print(*json_lines((finding,)))
        if open_findings((finding,), least):
            code = FOUND
    return code


def _told(
    form: str, seen: View, findings: Sequence[Finding], asked: tuple[dict[str, str], Verdict]
) -> str:
    from dossier.documents.finding_forms import json_lines, junit, sarif
    from dossier.documents.finding_list import findings_as_data
    from dossier.documents.report_text import report_text

    settings = seen.project.settings
    questions, least = asked
    if form == "json":
        return json.dumps(findings_as_data(settings, seen.as_of, findings), indent=2)
    if form == "jsonl":
        return "\n".join(json_lines.json_lines(findings))
    if form == "sarif":
        files = {paper.number: paper.file for paper in seen.project.documents}
        return json.dumps(sarif.sarif(findings, questions, files), indent=2)
    if form == "junit":
        title = f"{settings.number} {settings.title}"
        return junit.junit_xml(title, seen.as_of, findings, questions, least)
    return report_text(settings, seen.as_of, findings, colour=in_colour())
