"""One command a file: `add(commands)` declares it, `run(arguments)` carries it out.

A command parses, calls, prints and chooses the exit code; it holds no rule. It imports what it
needs inside `run`, so that `dossier --help` loads no reader and no renderer.
"""

from __future__ import annotations

from typing import Final

NAMES: Final = (  # in the order in which --help lists them; a command `a-b` is the file a_b.py
    "check",
    "history",
    "ask",
    "draw",
    "ready",
    "figures",
    "sheets",
    "matrix",
    "forms",
    "plan",
    "page",
    "serve",
    "templates",
    "build",
    "join",
    "package",
    "verify",
    "compare",
    "sign",
    "new",
    "workbook",
    "map",
    "schema",
    "migrate",
    "range",
    "calc",
    "doctor",
    "completion",
)
