"""The command line: builds the parser, dispatches, turns errors into exit codes.

stdout is data, stderr is talk. Exit: 0 clean, 1 findings at or above `--fail-on`, 2 usage or a
place that cannot be written, 3 the project cannot be read, 4 a library or program is missing, 130
interrupted.
"""

from __future__ import annotations

import argparse
import errno
import io
import json
import sys
from collections.abc import Sequence
from importlib import import_module

from dossier import __version__
from dossier.commands import NAMES
from dossier.commands.shared import CLEAN, MISSING_TOOL, UNREADABLE, USAGE, say
from dossier.errors import DossierError, MissingToolError, ProjectError

_INTERRUPTED = 130
_NAMES_REMEDY = "this system holds no names but in ASCII. Set PYTHONUTF8=1 or LC_ALL=C.UTF-8."
_WRITABLE = "Choose a folder that may be written. "
_HELP = {
    errno.ENOSPC: "Make room and run it again: what was finished is kept. ",
    errno.EDQUOT: "Make room and run it again: what was finished is kept. ",
    errno.EFBIG: "Larger files are not allowed here. ",
    errno.EACCES: _WRITABLE,
    errno.EPERM: _WRITABLE,
    errno.EROFS: _WRITABLE,
}


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    _speak_always()
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
    except ModuleNotFoundError as error:
        return _lacking(error)
    except UnicodeEncodeError as error:
        say(f"{error.object!r}: {_NAMES_REMEDY}")
        return USAGE
    except OSError as error:
        say(_of_the_system(error))
        return USAGE
    return code


def _speak_always() -> None:
    """What the terminal cannot show is spelled out: no word is worth the end of the run."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    if sys.getfilesystemencoding().lower() != "utf-8":
        say(f"File names: {_NAMES_REMEDY}")


def _lacking(error: ModuleNotFoundError) -> int:
    """A library that is not installed; anything amiss in our own parts goes on as it is."""
    library = (error.name or "dossier").partition(".")[0]
    if library == "dossier":
        raise error
    say(f"The library {library} is missing. `dossier doctor` tells how to install it.")
    return MISSING_TOOL


def _of_the_system(error: OSError) -> str:
    """What the system refused, where, and what may help."""
    where = f"{error.filename}: " if error.filename else ""
    told = error.strerror or str(error)
    return f"{where}{told}. {_HELP.get(error.errno or 0, '')}No file was left half-written."


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
