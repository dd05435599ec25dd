"""HTML of the sheets from their contexts, by templates in a sandbox."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from dossier.documents.guard import guarded
from dossier.documents.language import catalogue, translated
from dossier.documents.plain import printable
from dossier.documents.record_code import drawn
from dossier.errors import InputError
from dossier.resources import shared

if TYPE_CHECKING:
    from jinja2 import BaseLoader
    from jinja2.sandbox import SandboxedEnvironment

LONGEST = 20_000_000  # characters of one document


def _svg(text: str) -> str:
    """A drawing made by `dossier.drawings`, passed through; anything else is refused."""
    from markupsafe import Markup

    if text and not text.startswith("<svg "):
        raise InputError("drawing", found=repr(text[:20]), expected="an SVG drawing")
    return Markup(text)  # noqa: S704 - drawings escape their own text


Found = tuple[
    str, str, Callable[[], bool]
]  # text, file, whether the text is still that of the file


def _reader(folder: Path) -> Callable[[str], Found | None]:
    """Reads the templates of a folder, and no file that a link makes of one outside of it."""
    root = folder.resolve()

    def read(name: str) -> Found | None:
        path = (root / name).resolve()
        if not (path.is_relative_to(root) and path.is_file()):
            return None
        text, state = path.read_text("utf-8"), _state(path)
        return text, str(path), lambda: _state(path) == state

    return read


def _state(path: Path) -> tuple[int, int, int] | None:
    try:
        told = path.stat()
    except OSError:
        return None
    return told.st_mtime_ns, told.st_size, told.st_ino


def loader(overrides: Path | None) -> BaseLoader:
    """Finds templates in the project's own folder first, then among ours."""
    from jinja2 import ChoiceLoader, FunctionLoader

    folders = [folder for folder in (overrides, shared("templates") / "pdf") if folder is not None]
    return ChoiceLoader([FunctionLoader(_reader(folder)) for folder in folders])


@lru_cache(maxsize=8)
def environment(overrides: Path | None = None, language: str = "en") -> SandboxedEnvironment:
    """The template environment: sandboxed, escaping, undefined names are errors.

    `overrides` is a project's own folder of templates; one found there wins over ours. `_(text)`
    in a template gives the text in the language.
    """
    from jinja2 import StrictUndefined
    from jinja2.sandbox import SandboxedEnvironment

    made = SandboxedEnvironment(
        loader=loader(overrides),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["svg"] = _svg
    made.filters["square_code"] = lambda code: _svg(drawn(code))
    made.globals["_"] = catalogue(language).say
    return made


def page(template: str, context: Mapping[str, Any], overrides: Path | None = None) -> str:
    """The HTML of one document, in the language of its head.

    Raises InputError: a text that cannot be printed, a template of the project that takes too long
    or too much, names what the context lacks, or does what the sandbox forbids.
    """
    printable(context)
    if overrides is None:
        return _page(template, context, None)
    text: str = guarded(_page, template, context, overrides)
    return text


def _page(template: str, context: Mapping[str, Any], overrides: Path | None) -> str:
    language = context["head"]["look"]["language"]
    said = translated(context, catalogue(language))
    if language != "en":
        printable(said)
    text = environment(overrides, language).get_template(template).render(**said)
    if len(text) > LONGEST:
        raise InputError("template", found=f"{len(text):,} characters from {template}",
                         expected=f"at most {LONGEST:,}")  # fmt: skip
    return text
