"""Write the documentation as a site of plain pages: no script, no network, nothing fetched.

Usage: python docs/make_site.py FOLDER   (needs markdown-it-py; CI writes it to out/site)
"""

from __future__ import annotations

import html
import re
import shutil
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from os.path import relpath
from pathlib import Path, PurePosixPath
from string import Template
from typing import Final
from urllib.parse import unquote, urlsplit

from markdown_it import MarkdownIt
from markdown_it.token import Token

ROOT = Path(__file__).parent.parent
sys.path.insert(0, str(ROOT))

from dossier import __version__  # noqa: E402

PARTS = ROOT / "docs" / "site"
GROUPS: Final[dict[str, tuple[str, ...]]] = {
    "Start": ("README.md", "docs/install.md", "docs/tutorial.md"),
    "How to": (
        "docs/quality-manager.md",
        "docs/welding-engineer.md",
        "docs/auditor.md",
        "docs/own-form.md",
    ),
    "Reference": (
        "docs/commands.md",
        "docs/python.md",
        "docs/records.md",
        "docs/messages.md",
        "docs/checks.md",
        "docs/codes.md",
    ),
    "Project": (
        "CHANGELOG.md",
        "DEVELOPERS.md",
        "docs/security.md",
        "THIRD-PARTY.md",
        "sample_project/FAULTS.md",
    ),
}
_NAMES = {
    "README.md": "About",
    "docs/install.md": "Installing",
    "docs/tutorial.md": "Tutorial",
    "docs/quality-manager.md": "QA manager",
    "docs/welding-engineer.md": "Welding engineer",
    "docs/auditor.md": "Auditor",
    "DEVELOPERS.md": "Developers",
    "docs/security.md": "Hostile input and faults",
    "sample_project/FAULTS.md": "Faults of the sample",
}
_LONG = 6  # sections from which a page lists them at its head


class LinkError(ValueError):
    """A page names a file that is not there."""


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its source below the checkout, its title, its sections and its text."""

    source: str
    title: str
    sections: tuple[tuple[str, str], ...]  # anchor, text
    body: str
    files: tuple[str, ...]  # what it shows or offers beside the pages

    @property
    def target(self) -> str:
        """Its file in the site."""
        return target_of(self.source)


def target_of(source: str) -> str:
    """The file of the site that a source becomes: a page, or a copy below `files`."""
    if source == "README.md":
        return "index.html"
    if source in sources():
        return f"{PurePosixPath(source).stem.lower()}.html"
    return f"files/{source}"


def groups() -> dict[str, tuple[str, ...]]:
    """The pages by group; a page of docs that no group names comes at the end."""
    named = {source for group in GROUPS.values() for source in group}
    found = {f"docs/{path.name}" for path in (ROOT / "docs").glob("*.md")}
    return {**GROUPS, "Project": (*GROUPS["Project"], *sorted(found - named))}


def sources() -> tuple[str, ...]:
    """Every page, in the order of the navigation."""
    return tuple(source for group in groups().values() for source in group)


def write_site(out: Path) -> list[Path]:
    """Write the whole site below `out`; returns the files. Raises LinkError: a dead link."""
    pages = [read(source) for source in sources()]
    template = Template((PARTS / "page.html").read_text(encoding="utf-8"))
    out.mkdir(parents=True, exist_ok=True)
    written = [Path(shutil.copyfile(PARTS / "site.css", out / "site.css"))]
    for page in pages:
        written.append(out / page.target)
        written[-1].write_text(_laid_out(page, pages, template), encoding="utf-8")
    for name in sorted({file for page in pages for file in page.files}):
        target = out / target_of(name)
        target.parent.mkdir(parents=True, exist_ok=True)
        written.append(Path(shutil.copyfile(ROOT / name, target)))
    return written


def read(source: str) -> Page:
    """A page as read from its source, its links turned to those of the site."""
    parser = MarkdownIt("commonmark").enable("table")
    tokens = parser.parse((ROOT / source).read_text(encoding="utf-8"))
    sections = tuple(_anchored(tokens))
    files = tuple(_linked(tokens, source))
    body = parser.renderer.render(tokens, parser.options, {})
    body = body.replace("<table>", '<div class="wide"><table>').replace(
        "</table>", "</table></div>"
    )
    title = next(text for level, _, text in sections if level == "h1")
    below = tuple((anchor, text) for level, anchor, text in sections if level == "h2")
    return Page(source, title, below, body, files)


def _anchored(tokens: Sequence[Token]) -> Iterator[tuple[str, str, str]]:
    """Give each heading its anchor, the one that a forge gives it; level, anchor and text."""
    taken: dict[str, int] = {}
    for opening, inline in pairwise(tokens):
        if opening.type != "heading_open":
            continue
        text = "".join(
            t.content for t in inline.children or [] if t.type in ("text", "code_inline")
        )
        anchor = re.sub(r"[^\w\- ]", "", text.lower()).replace(" ", "-")
        count = taken.get(anchor, 0)
        taken[anchor] = count + 1
        anchor = f"{anchor}-{count}" if count else anchor
        opening.attrSet("id", anchor)
        yield opening.tag, anchor, text


def _linked(tokens: Sequence[Token], source: str) -> Iterator[str]:
    """Turn the links of a page to the files of the site; what is to be copied there."""
    for token in (t for block in tokens for t in block.children or []):
        key = {"link_open": "href", "image": "src"}.get(token.type)
        address = str(token.attrGet(key) or "") if key else ""
        if not address or urlsplit(address).scheme or address.startswith("#"):
            continue
        path, _, anchor = address.partition("#")
        place = (ROOT / source).parent / unquote(path)
        name = relpath(place, ROOT)
        if place.is_dir():
            name = next((one for one in sources() if one.startswith(f"{name}/")), name)
        if name.startswith("..") or not (ROOT / name).is_file():
            raise LinkError(f"{source}: {address} is not there")
        token.attrSet(str(key), target_of(name) + (f"#{anchor}" if anchor else ""))
        if name not in sources():
            yield name


def _laid_out(page: Page, pages: Sequence[Page], template: Template) -> str:
    nav = []
    by_source = {one.source: one for one in pages}
    for group, members in groups().items():
        links = "".join(_entry(by_source[source], page) for source in members)
        nav.append(f"<h2>{group}</h2>\n<ul>{links}</ul>")
    return template.substitute(
        title=html.escape(page.title),
        version=__version__,
        nav="\n".join(nav),
        contents=_contents(page),
        body=page.body,
    )


def _entry(one: Page, shown: Page) -> str:
    name = _NAMES.get(one.source, one.title)
    here = ' aria-current="page"' if one is shown else ""
    return f'<li><a href="{one.target}"{here}>{html.escape(name)}</a></li>'


def _contents(page: Page) -> str:
    if len(page.sections) < _LONG:
        return ""
    items = "".join(f'<li><a href="#{a}">{html.escape(t)}</a></li>' for a, t in page.sections)
    return f"<details><summary>On this page</summary><ul>{items}</ul></details>"


if __name__ == "__main__":
    print(f"{len(write_site(Path(sys.argv[1])))} files in {sys.argv[1]}")
