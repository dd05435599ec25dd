"""HTML of the sheets from their contexts, by templates in a sandbox."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from dossier.documents.plain import printable
from dossier.errors import InputError
from dossier.resources import shared

if TYPE_CHECKING:
    from jinja2.sandbox import SandboxedEnvironment


def _svg(text: str) -> str:
    """A drawing made by `dossier.drawings`, passed through; anything else is refused."""
    from markupsafe import Markup

    if text and not text.startswith("<svg "):
        raise InputError("drawing", found=repr(text[:20]), expected="an SVG drawing")
    return Markup(text)  # noqa: S704 - drawings escape their own text


@lru_cache(maxsize=4)
def environment(overrides: Path | None = None) -> SandboxedEnvironment:
    """The template environment: sandboxed, escaping, undefined names are errors.

    `overrides` is a project's own folder of templates; one found there wins over ours.
    """
    from jinja2 import ChoiceLoader, FileSystemLoader, StrictUndefined
    from jinja2.sandbox import SandboxedEnvironment

    folders = [folder for folder in (overrides, shared("templates") / "pdf") if folder is not None]
    made = SandboxedEnvironment(
        loader=ChoiceLoader([FileSystemLoader(folder) for folder in folders]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["svg"] = _svg
    return made


def page(template: str, context: Mapping[str, Any], overrides: Path | None = None) -> str:
    """The HTML of one document.

    Raises InputError: a text that cannot be printed; jinja2.TemplateError: a template that names
    what the context lacks, or does what the sandbox forbids.
    """
    printable(context)
    return environment(overrides).get_template(template).render(**context)
