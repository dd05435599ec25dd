"""A project's own templates looked over before they are used: faults, gaps and checksums.

Nothing is rendered: what a template may not do is refused when it is rendered (see `guard`,
`docx_template` and `pages`); here a person learns of a slip of the pen, with its place.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from dossier.documents.docx_template import environment as docx_environment
from dossier.documents.docx_template import refuse_traps, sha256
from dossier.documents.pages import environment
from dossier.documents.template_fields import CONTEXTS, NEEDED, SHARED, fields_of, paths
from dossier.documents.template_names import Walk, extended, imports
from dossier.errors import InputError
from dossier.resources import shared

if TYPE_CHECKING:
    from jinja2 import Environment

_LAYOUT = ("head", "form")  # looked at on its own, and what only steers the page
_TAG = re.compile(r"\{[{%].*?[%}]\}", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Listed:
    """A template: who gives it, its checksum, and what document it makes."""

    name: str
    own: bool
    sha256: str
    made: str


@dataclass(frozen=True, slots=True)
class Slip:
    """Something to look at: `fault` keeps the template from working or from being complete."""

    name: str
    place: str  # "line 4", "table 2, row 3, cell 1", "" for the whole
    what: str
    fault: bool = True

    def __str__(self) -> str:
        where = f"{self.name}, {self.place}" if self.place else self.name
        return f"{where}: {self.what}"


def ours() -> dict[str, Path]:
    """Our own templates by name."""
    folder = shared("templates")
    found = [*(folder / "pdf").glob("*.html"), *(folder / "docx").glob("*.docx")]
    return {path.name: path for path in sorted(found, key=lambda p: p.name)}


def own_ones(folder: Path) -> dict[str, Path]:
    """The templates in a project's own folder by name."""
    found = [path for path in folder.rglob("*") if path.suffix in (".html", ".docx")]
    return {path.relative_to(folder).as_posix(): path for path in sorted(found) if path.is_file()}


def listed(folder: Path | None) -> list[Listed]:
    """Every template that is used: the project's own ones, and ours where it has none."""
    own = own_ones(folder) if folder else {}
    rows = []
    for name in sorted({*ours(), *own}):
        path = own.get(name) or ours()[name]
        made = CONTEXTS[name].__doc__.split(".")[0] if name in CONTEXTS else "part of others"
        told = (
            made.removeprefix("All data of ").removesuffix(" document")
            if name in CONTEXTS
            else made
        )
        rows.append(Listed(name, name in own, sha256(path.read_bytes()), told))
    return rows


def checked(folder: Path) -> Iterator[Slip]:
    """Every slip of every template in a project's own folder."""
    for name, path in own_ones(folder).items():
        yield from _checked(name, path, folder)


def _checked(name: str, path: Path, folder: Path) -> Iterator[Slip]:
    if not path.resolve().is_relative_to(folder.resolve()):
        yield Slip(name, "", "a link that leads out of the folder; it is not read")
        return
    if name.endswith(".docx"):
        yield from _docx(name, path.read_bytes())
        return
    try:
        source = path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        yield Slip(name, "", "not written in UTF-8")
        return
    yield from _source(name, source, environment(folder), lambda line, _: f"line {line}")


def _source(name: str, source: str, made: Environment, place: Any) -> Iterator[Slip]:
    from jinja2 import TemplateSyntaxError

    try:
        tree = made.parse(source)
    except TemplateSyntaxError as error:
        yield Slip(name, place(error.lineno, ""), f"cannot be read: {error.message}")
        return
    if name not in CONTEXTS and name not in SHARED:
        told = "no document uses a template of this name, unless another one includes it"
        yield Slip(name, "", told, fault=False)
        return
    bases = list(_bases(tree, made))
    walk = Walk(made, frozenset(one for base in bases for one in imports(base)))
    walk.read(tree, fields_of(name))
    for one in walk.unknown:
        yield Slip(name, place(one.line, one.name), f"{one.name}: {one.why}")
    if name in CONTEXTS:
        yield from _missing(name, walk.used, whole=not bases)


def _bases(tree: Any, made: Environment) -> Iterator[Any]:
    """The templates that this one extends, and those that they extend."""
    from jinja2 import TemplateNotFound, TemplateSyntaxError

    for name in extended(tree):
        if made.loader is None:
            return
        try:
            base = made.parse(made.loader.get_source(made, name)[0])
        except (TemplateNotFound, TemplateSyntaxError):
            continue
        yield base
        yield from _bases(base, made)


def _missing(name: str, used: set[str], *, whole: bool) -> Iterator[Slip]:
    """Fields that a sheet must show, and those that it leaves out."""
    for path in NEEDED if whole else ():
        if not any(one == path or one.startswith(f"{path}[") for one in used):
            yield Slip(name, "", f"{path} is not printed; every sheet shows it")
    tops = {re.split(r"[.\[]", path)[0] for path in used}
    left = [top for top in fields_of(name) if top not in (*tops, *_LAYOUT)]
    if left:
        told = ", ".join(sorted(left))
        yield Slip(name, "", f"not printed: {told}", fault=False)


def _docx(name: str, data: bytes) -> Iterator[Slip]:
    try:
        refuse_traps(data, name)
        parts = list(_parts(data))
    except InputError as error:
        yield Slip(name, "", str(error))
        return
    source = "\n".join(text for _, text in parts if text)
    lines = [place for place, text in parts if text for _ in text.split("\n")]

    def place(line: int, named: str) -> str:
        wanted = re.split(r"[.\[|]", named)[-1]
        for where, text in parts:
            if wanted and any(wanted in tag for tag in _TAG.findall(text)):
                return where
        return lines[min(line, len(lines)) - 1] if lines else ""

    yield from _source(name, _tags_only(source), docx_environment("en"), place)


def _tags_only(source: str) -> str:
    """The tags of a Word template as plain ones: the engine's own marks taken away."""
    plain = re.sub(r"\{([%{])-?(?:tr|tc|p|r)? ", r"{\1 ", source)
    plain = re.sub(r"\{%\s*(?:vm|hm)\s*%\}", "", plain)
    plain = re.sub(r"\{%\s*(?:cellbg|colspan)\s+(.*?)\s*%\}", r"{{ \1 }}", plain)
    for written, meant in (("“", '"'), ("”", '"'), ("‘", "'"), ("’", "'")):
        plain = _TAG.sub(lambda tag, w=written, m=meant: tag.group().replace(w, m), plain)  # type: ignore[misc]
    return plain


def _parts(data: bytes) -> Iterator[tuple[str, str]]:
    """Place and text of every paragraph of a Word document, heads and feet included."""
    from docx.oxml import parse_xml

    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for name in sorted(archive.namelist()):
            found = re.fullmatch(r"word/(document|header|footer)(\d*)\.xml", name)
            if found:
                told = {"document": "", "header": "head of page", "footer": "foot of page"}
                body = parse_xml(archive.read(name))
                yield from _walk(body, told[found[1]])


_W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"


def _walk(element: Any, place: str) -> Iterator[tuple[str, str]]:
    counts = {"p": 0, "tbl": 0, "tr": 0, "tc": 0}
    words = {"p": "paragraph", "tbl": "table", "tr": "row", "tc": "cell"}
    for child in element:
        tag = str(child.tag).removeprefix(_W)
        if tag not in counts:
            if tag in ("body", "sdt", "sdtContent"):
                yield from _walk(child, place)
            continue
        counts[tag] += 1
        own = f"{words[tag]} {counts[tag]}"
        here = f"{place}, {own}" if place else own
        if tag == "p":
            yield here, "".join(node.text or "" for node in child.iter(f"{_W}t"))
        else:
            yield from _walk(child, here)


def shown(name: str) -> Iterator[tuple[str, str]]:
    """Every path that a template may use, and what stands there."""
    yield from paths(fields_of(name))
