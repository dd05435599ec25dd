"""The command line: builds the parser, dispatches, turns errors into exit codes.

stdout is data, stderr is talk. Exit: 0 clean, 1 findings at or above `--fail-on`, 2 usage,
3 the project cannot be read, 4 a library or program is missing, 130 interrupted.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from importlib import import_module

from dossier import __version__
from dossier.commands import NAMES
from dossier.commands.shared import CLEAN, MISSING_TOOL, UNREADABLE, USAGE, say
from dossier.errors import DossierError, MissingToolError, ProjectError

_INTERRUPTED = 130


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    arguments = parser().parse_args(argv)
    try:
        code: int = arguments.run(arguments)
    except ProjectError as error:
        return _unreadable(error, getattr(arguments, "format", ""))
    except MissingToolError as error:
        say(str(error))
        return MISSING_TOOL
    except DossierError as error:
        say(str(error))
        return USAGE
    except KeyboardInterrupt:
        say("Interrupted; nothing half-written was left.")
        return _INTERRUPTED
    except BrokenPipeError:
        sys.stderr.close()  # the reader of our output has left; nothing more to say
        return CLEAN
    return code


def parser() -> argparse.ArgumentParser:
    """The parser of the whole command line; reference, manual page and completion come of it."""
    whole = argparse.ArgumentParser(
        prog="dossier",
        description="Welding procedure and quality dossiers: check the records, issue the sheets, "
        "build the handover. The tool supports the decision of a qualified welding engineer; "
        "it never replaces it.",
    )
    whole.add_argument("--version", action="version", version=f"dossier {__version__}")
    commands = whole.add_subparsers(metavar="COMMAND", required=True)
    for name in NAMES:
        import_module(f"dossier.commands.{name.replace('-', '_')}").add(commands)
    return whole


def _unreadable(error: ProjectError, form: str) -> int:
    """All faults: as data on stdout where data was asked for, in words on stderr always."""
    from dossier.intake.fault_forms import faults_as_data, faults_as_sarif, faults_as_text

    forms = {"json": faults_as_data, "sarif": faults_as_sarif}
    if form in forms:
        print(json.dumps(forms[form](error), indent=2))
    say(faults_as_text(error))
    return UNREADABLE


if __name__ == "__main__":
    sys.exit(main())
