"""Welding procedure and quality dossiers: read, cross-check, merge, hand over.

    project = dossier.load("sample_project")
    findings = dossier.check(project)
    dossier.render(project, findings, "sheets", "out")
    dossier.build(project, findings, "out/sample")

`dossier.api` describes each function; `dossier.errors` what they raise.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dossier.api import DOCUMENTS, Loaded, ask, build, check, load, ready, render

__version__ = "1.0.0"

__all__ = ["DOCUMENTS", "Loaded", "ask", "build", "check", "load", "ready", "render"]


def __getattr__(name: str) -> Any:
    """A name of the interface, imported when it is first asked for: `dossier --help` needs none."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module("dossier.api"), name)
