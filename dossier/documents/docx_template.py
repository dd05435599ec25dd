"""Word templates: read once for many documents, dressed in the project's look, checked for traps.

Three quarters of the time of a document goes into making its template ready for the engine and
compiling it; both depend on the template alone, so that they are done once in a process.
"""

from __future__ import annotations

import hashlib
import io
import re
import zipfile
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from docxtpl import DocxTemplate

from dossier.documents.language import catalogue
from dossier.documents.sheet import Look
from dossier.errors import InputError
from dossier.resources import shared

if TYPE_CHECKING:
    from jinja2.sandbox import SandboxedEnvironment

UNPACKED_MAX = 50_000_000  # bytes of a template when unpacked
_BROKEN = re.compile(r"[\t\n\a\f]")
_OUTSIDE = re.compile(rb'<Relationship [^>]*TargetMode="External"[^>]*>')
_ACTIVE = re.compile(r"vbaProject|/embeddings/|/activeX/|\.bin$")
_TWIPS = {"A4": ("11906", "16838"), "Letter": ("12240", "15840")}
_SHADES = {
    "clear": "E0EFE6", "good": "E0EFE6", "note": "ECEFF1", "hold": "FBEDCC", "soon": "FBEDCC",
    "nonconformity": "F6D9D5", "bad": "F6D9D5", "cut-out": "D9BCCD",
}  # fmt: skip


@lru_cache(maxsize=8)
def environment(language: str, noted: bool = False) -> SandboxedEnvironment:
    """The environment of Word templates: sandboxed, escaping, undefined names are errors.

    With `noted` every text that a template prints is kept in `PRINTED`.
    """
    from jinja2 import StrictUndefined
    from jinja2.sandbox import SandboxedEnvironment

    made = SandboxedEnvironment(
        autoescape=True, undefined=StrictUndefined, finalize=_noted if noted else None
    )
    made.filters["shade"] = lambda mark: _SHADES.get(mark, "auto")
    made.globals["_"] = catalogue(language).say
    return made


PRINTED: list[str] = []  # by a project's own template, which need not print all


def _noted(value: object) -> object:
    if type(value) is str:
        PRINTED.append(value)
    return value


class Template(DocxTemplate):  # type: ignore[misc]
    """A template whose parts are made ready and compiled once.

    The engine looks for tabs and line ends in every run of the result; with `listed` False it is
    known that no value has any.
    """

    def __init__(self, data: bytes, made: SandboxedEnvironment, listed: bool) -> None:
        super().__init__(io.BytesIO(data))
        self._made, self._listed = made, listed

    def patch_xml(self, src_xml: str) -> str:
        """The XML of a part with whole tags, as the engine makes it."""
        return _ready(src_xml)

    def render_xml_part(self, src_xml: str, part: Any, context: Any, jinja_env: Any = None) -> str:
        """The XML of a part with its values."""
        del jinja_env  # the one that compiled the part
        self.current_rendering_part = part
        xml: str = _compiled(src_xml, self._made).render(context)
        for written, meant in (("{_{", "{{"), ("}_}", "}}"), ("{_%", "{%"), ("%_}", "%}")):
            xml = xml.replace(written, meant)
        return str(self.resolve_listing(xml)) if self._listed else xml


@lru_cache(maxsize=64)
def _ready(xml: str) -> str:
    bare = DocxTemplate.__new__(DocxTemplate)
    return str(DocxTemplate.patch_xml(bare, xml))


@lru_cache(maxsize=64)
def _compiled(xml: str, made: SandboxedEnvironment) -> Any:
    return made.from_string(xml)


def has_breaks(texts: Any) -> bool:
    """Whether any of the texts holds a tab or a line end."""
    return any(_BROKEN.search(text) for _, text in texts)


def template_path(template: str, overrides: Path | None) -> Path:
    """The project's own template of that name, or ours.

    Raises InputError: a link that leads out of the project's folder of templates.
    """
    if overrides is not None:
        own = (overrides / template).resolve()
        if not own.is_relative_to(overrides.resolve()):
            raise InputError("template", found=f"{template}, which leads out of its folder",
                             expected="a file inside of it")  # fmt: skip
        if own.is_file():
            return own
    return shared("templates") / "docx" / template


def template_bytes(path: Path, look: Look, own: bool) -> bytes:
    """A template ready to be filled: ours in the project's look, a stranger's free of traps.

    Raises InputError: see `refuse_traps`.
    """
    stat = path.stat()
    key = (look["paper"], look["colour"], look["typeface"], look["language"])
    return _bytes(path, (stat.st_mtime_ns, stat.st_size), key, own)


@lru_cache(maxsize=64)
def _bytes(path: Path, state: tuple[int, int], key: tuple[str, ...], own: bool) -> bytes:
    del state
    data = path.read_bytes()
    refuse_traps(data, path.name)
    return data if own else _dressed(data, key)


def refuse_traps(data: bytes, name: str) -> None:
    """Refuse a template that would fetch something or run something once it is opened.

    Raises InputError: no zip, more than UNPACKED_MAX bytes in it, macros or embedded programs,
    something outside that is not a plain link.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            entries = archive.infolist()
            whole = sum(entry.file_size for entry in entries)
            if whole > UNPACKED_MAX:
                raise InputError(name, found=f"{whole:,} bytes unpacked",
                                 expected=f"at most {UNPACKED_MAX:,}")  # fmt: skip
            for entry in entries:
                _refuse_part(archive, entry, name)
    except zipfile.BadZipFile:
        raise InputError(name, found="no docx", expected="a Word document") from None


def _refuse_part(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, name: str) -> None:
    if _ACTIVE.search(entry.filename):
        raise InputError(name, found=f"{entry.filename}", expected="no macros, no embedded files")
    if not entry.filename.endswith((".rels", ".xml")):
        return
    part = archive.read(entry)
    if b"<!DOCTYPE" in part or b"<!ENTITY" in part:
        raise InputError(name, found=f"a document type in {entry.filename}", expected="none")
    for found in _OUTSIDE.findall(part):
        if b"/hyperlink" not in found:
            raise InputError(name, found=f"{entry.filename} fetches {found[:120]!r}",
                             expected="nothing from outside")  # fmt: skip


def _dressed(data: bytes, key: tuple[str, ...]) -> bytes:
    """Our template in the project's paper, colour, typeface and language."""
    paper, colour, typeface, language = key
    width, height = (value.encode() for value in _TWIPS[paper])
    swaps = [
        (b'w:w="11906" w:h="16838"', b'w:w="%s" w:h="%s"' % (width, height)),
        (b"145A6B", colour[1:].upper().encode()),
        (b'w:lang w:val="en-US"', b'w:lang w:val="%s"' % language.encode()),
    ]
    if typeface == "serif":
        swaps.append((b"DejaVu Sans Condensed", b"DejaVu Serif Condensed"))
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(out, "w") as target:
        for entry in source.infolist():
            part = source.read(entry)
            if entry.filename.startswith("word/") and entry.filename.endswith(".xml"):
                for before, after in swaps:
                    part = part.replace(before, after)
            target.writestr(entry, part)
    return out.getvalue()


def sha256(data: bytes) -> str:
    """Checksum of a template, as listed."""
    return hashlib.sha256(data).hexdigest()
