"""The command line. Commands parse, call, print and choose the exit code; they hold no rule.

stdout is data, stderr is talk. Exit: 0 clean, 1 findings at or above `--fail-on`, 2 usage,
3 the project cannot be read, 4 a library or program is missing, 130 interrupted.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from dossier import __version__
from dossier.errors import DossierError, InputError, MissingToolError, ProjectError

if TYPE_CHECKING:
    from dossier.coverage.view import View
    from dossier.records.verdicts import Finding

CLEAN, FOUND, USAGE, UNREADABLE, MISSING_TOOL = 0, 1, 2, 3, 4
_FAULTS_SHOWN = 50


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    arguments = _parser().parse_args(argv)
    try:
        code: int = arguments.run(arguments)
    except ProjectError as error:
        _say(_told(error))
        return UNREADABLE
    except MissingToolError as error:
        _say(str(error))
        return MISSING_TOOL
    except DossierError as error:
        _say(str(error))
        return USAGE
    except KeyboardInterrupt:
        _say("Interrupted; nothing half-written was left.")
        return 130
    except BrokenPipeError:
        sys.stderr.close()  # the reader of our output has left; nothing more to say
        return CLEAN
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="dossier",
        description="Welding procedure and quality dossiers: check the records, issue the sheets, "
        "build the handover. The tool supports the decision of a qualified welding engineer; "
        "it never replaces it.",
    )
    parser.add_argument("--version", action="version", version=f"dossier {__version__}")
    commands = parser.add_subparsers(metavar="COMMAND", required=True)

    check = _command(commands, "check", _check, "cross-check all records and print the findings")
    check.add_argument("--format", choices=("text", "json"), default="text")
    check.add_argument("--only", nargs="+", default=[], metavar="CHECK", help="these checks only")
    _fail_on(check)

    history = _command(commands, "history", _history, "everything on record about one joint")
    history.add_argument("joint", help="joint number as written")
    history.add_argument("--format", choices=("text", "json", "pdf"), default="text")
    history.add_argument("--out", type=Path, help="file for the PDF (default: JOINT.pdf)")

    sheets = _command(commands, "sheets", _sheets, "issue the procedure sheets and test records")
    sheets.add_argument("--out", type=Path, default=Path("out"))

    matrix = _command(commands, "matrix", _matrix, "issue the welder qualification matrix")
    matrix.add_argument("--out", type=Path, default=Path("out"))

    build = _command(commands, "build", _build, "build the handover dossier")
    build.add_argument("--out", type=Path, required=True)
    build.add_argument("--workers", type=int, default=0, help="processes (default: one a core)")

    new = commands.add_parser("new", help="start a project folder with empty registers")
    new.add_argument("folder", type=Path)
    new.set_defaults(run=_new)

    ranges = commands.add_parser("range", help="what a certificate or procedure test qualifies")
    ranges.add_argument("file", type=Path, help="register of welders or of procedure tests")
    ranges.add_argument("--format", choices=("text", "json"), default="text")
    ranges.set_defaults(run=_range)

    calc = commands.add_parser("calc", help="answer a formula: dossier calc NAME key=value ...")
    calc.add_argument("name", nargs="?", help="name of the formula; none lists them")
    calc.add_argument("values", nargs="*", metavar="key=value")
    calc.add_argument("--format", choices=("text", "json"), default="text")
    calc.set_defaults(run=_calc)

    doctor = commands.add_parser("doctor", help="tell what this machine lacks and how to mend it")
    doctor.set_defaults(run=_doctor)
    return parser


def _command(
    commands: argparse._SubParsersAction[argparse.ArgumentParser],
    name: str,
    run: Callable[[argparse.Namespace], int],
    told: str,
) -> argparse.ArgumentParser:
    command = commands.add_parser(name, help=told)
    command.add_argument("folder", type=Path, help="project folder, with project.yaml in it")
    command.add_argument(
        "--as-of", type=date.fromisoformat, metavar="YYYY-MM-DD", help="the day to look at"
    )
    command.set_defaults(run=run)
    return command


def _fail_on(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--fail-on",
        choices=("note", "hold", "nonconformity", "cut-out"),
        default="hold",
        help="least verdict that makes the exit code 1 (default: hold)",
    )


def _say(text: str) -> None:
    print(text, file=sys.stderr)


def _told(error: ProjectError) -> str:
    shown = [str(fault) for fault in error.faults[:_FAULTS_SHOWN]]
    files = len({fault.file for fault in error.faults})
    total = f"{len(error.faults)} faults in {files} files; nothing was written."
    if len(error.faults) > _FAULTS_SHOWN:
        total = f"The first {_FAULTS_SHOWN} of {total}"
    return "\n".join([*shown, total])


def _seen(arguments: argparse.Namespace) -> View:
    from dossier.coverage.view import view
    from dossier.intake import load_project

    return view(load_project(arguments.folder), arguments.as_of)


def _found(arguments: argparse.Namespace) -> tuple[View, list[Finding]]:
    from dossier.checks import run

    seen = _seen(arguments)
    return seen, run(seen)


def _check(arguments: argparse.Namespace) -> int:
    from dossier.checks import ALL, open_findings, run
    from dossier.documents.finding_list import findings_as_data
    from dossier.documents.report_text import report_text
    from dossier.records.verdicts import Verdict

    unknown = [name for name in arguments.only if name not in ALL]
    if unknown:
        raise InputError("--only", found=", ".join(unknown), expected=", ".join(ALL))
    seen = _seen(arguments)
    findings = run(seen, arguments.only)
    settings = seen.project.settings
    if arguments.format == "json":
        print(json.dumps(findings_as_data(settings, seen.as_of, findings), indent=2))
    else:
        print(report_text(settings, seen.as_of, findings, colour=sys.stdout.isatty()))
    least = Verdict.parse(arguments.fail_on)
    return FOUND if open_findings(findings, least) else CLEAN


def _joint(seen: View, number: str) -> None:
    if number not in seen.known.joints:
        from difflib import get_close_matches

        near = get_close_matches(number, seen.known.joints, n=3)
        expected = f"a joint of the log; did you mean {' or '.join(near)}?" if near else "a joint"
        raise InputError("joint", found=number, expected=expected)


def _history(arguments: argparse.Namespace) -> int:
    from dossier.documents.joint_history import context, history_text

    seen, findings = _found(arguments)
    _joint(seen, arguments.joint)
    if arguments.format == "pdf":
        from dossier.documents.joint_history import joint_history_pdf

        path = arguments.out or Path(f"{arguments.joint}.pdf")
        joint_history_pdf(seen, findings, arguments.joint, path)
        print(path)
    elif arguments.format == "json":
        print(json.dumps(context(seen, findings, arguments.joint), indent=2, default=str))
    else:
        print(history_text(seen, findings, arguments.joint))
    return CLEAN


def _sheets(arguments: argparse.Namespace) -> int:
    from dossier.documents import procedure_sheets

    seen, findings = _found(arguments)
    for path in procedure_sheets(seen, findings, arguments.out, _progress()):
        print(path)
    return CLEAN


def _matrix(arguments: argparse.Namespace) -> int:
    from dossier.documents import welder_matrix_files

    seen, findings = _found(arguments)
    for path in welder_matrix_files(seen, findings, arguments.out):
        print(path)
    return CLEAN


def _build(arguments: argparse.Namespace) -> int:
    from dossier.handover import build

    seen, findings = _found(arguments)
    written = build(
        seen, findings, arguments.folder, arguments.out, _progress(), workers=arguments.workers
    )
    for path in written:
        print(path)
    return CLEAN


def _progress() -> Callable[[str, int, int], None]:
    """A progress line on a terminal, one line per stage elsewhere."""
    lively = sys.stderr.isatty()

    def show(stage: str, done: int, total: int) -> None:
        if lively:
            end = "\n" if done == total else ""
            print(f"\r{stage}: {done} of {total}  ", end=end, file=sys.stderr, flush=True)
        elif done == total:
            _say(f"{stage}: {total}")

    return show


def _new(arguments: argparse.Namespace) -> int:
    from dossier.intake.starter import start_project

    for path in start_project(arguments.folder):
        print(path)
    _say(f"Fill in the registers, then run: dossier check {arguments.folder}")
    return CLEAN


def _range(arguments: argparse.Namespace) -> int:
    from dossier.coverage.ranges import ranges_of
    from dossier.documents.range_text import range_text
    from dossier.intake import load_register

    rows = ranges_of(load_register(arguments.file))
    if arguments.format == "json":
        print(json.dumps([row.as_data() for row in rows], indent=2))
    else:
        print(range_text(rows))
    return CLEAN


def _calc(arguments: argparse.Namespace) -> int:
    from dossier.calc.catalogue import answer, list_formulas
    from dossier.documents.answer_text import answer_text, list_text

    if arguments.name is None:
        print(list_text(list_formulas()))
        return CLEAN
    pairs = dict(_pair(text) for text in arguments.values)
    result = answer(arguments.name, pairs)
    print(json.dumps(result, indent=2) if arguments.format == "json" else answer_text(result))
    return CLEAN


def _pair(text: str) -> tuple[str, str]:
    key, equals, value = text.partition("=")
    if not (key and equals):
        raise InputError("value", found=text, expected="key=value, as in wall_mm=12.7")
    return key, value


def _doctor(arguments: argparse.Namespace) -> int:
    from dossier.doctor import examine

    del arguments
    lacking = 0
    for item in examine():
        print(f"{'ok     ' if item.present else 'missing'}  {item.name}: {item.told}")
        if not item.present and item.needed:
            lacking += 1
    return MISSING_TOOL if lacking else CLEAN


if __name__ == "__main__":
    sys.exit(main())
