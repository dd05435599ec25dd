"""Proof of the dossier itself: pages, page numbers, bookmarks and register against its content."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import pikepdf

from dossier.handover.proof import Step, Trouble, step
from dossier.units import counted

Data = Mapping[str, Any]
_OF_A_DOCUMENT = 3  # level of its bookmark, below volume and section


def prove_dossier(data: Path) -> list[Step]:
    """Go through every page of the dossier below `data`."""
    issue = json.loads((data / "issue.json").read_bytes())
    texts: dict[str, list[str]] = {}
    troubles: dict[str, list[Trouble]] = {"pages": [], "bookmarks": [], "register": []}
    for file in issue["files"]:
        name = file["name"]
        try:
            texts[name] = page_texts(data / name)
            troubles["pages"] += _pages(file, texts[name], issue["files"])
            with pikepdf.open(data / name) as pdf:
                troubles["bookmarks"] += _bookmarks(pdf, file, issue["documents"])
        except (pikepdf.PdfError, OSError, ValueError) as error:
            troubles["pages"].append(Trouble(name, f"cannot be read ({type(error).__name__})"))
    troubles["register"] += _register(issue, texts)
    total = sum(file["pages"] for file in issue["files"])
    count = counted(len(issue["documents"]), "document")
    return [
        step("page numbers", counted(total, "page"), troubles["pages"]),
        step("bookmarks", count, troubles["bookmarks"]),
        step("register", f"{count} on the pages that it names", troubles["register"]),
    ]


# A line may break at a hyphen, which readers of PDF then give in several ways, or not at all.
_BREAKS = str.maketrans("", "", "-\u2010\xad\x02\ufffe")


def page_texts(path: Path) -> list[str]:
    """The text of every page, without blanks and hyphens."""
    import pypdfium2

    document = pypdfium2.PdfDocument(path)
    try:
        found = []
        for page in document:
            text = page.get_textpage()
            found.append(squeezed(text.get_text_bounded()))
            text.close()
            page.close()
        return found
    finally:
        document.close()


def squeezed(text: str) -> str:
    """A text without blanks and hyphens, as pages are searched for it.

    >>> squeezed("page 3 of 9"), squeezed("pass-parameters-42")
    ('page3of9', 'passparameters42')
    """
    return "".join(text.split()).translate(_BREAKS)


def _pages(file: Data, texts: Sequence[str], files: Sequence[Data]) -> Iterator[Trouble]:
    if len(texts) != file["pages"]:
        yield Trouble(file["name"], f"{counted(len(texts), 'page')}, {file['pages']} in issue.json")
    total = sum(one["pages"] for one in files)
    for number, text in enumerate(texts, start=file["first"]):
        if not text.endswith(f"page{number}of{total}") and f"page{number}of{total}" not in text:
            yield Trouble(f"{file['name']}, page {number}", "does not carry its number")


def _bookmarks(pdf: pikepdf.Pdf, file: Data, documents: Sequence[Data]) -> Iterator[Trouble]:
    index = {page.obj.objgen: number for number, page in enumerate(pdf.pages, file["first"])}
    found: dict[str, set[int]] = {}
    deep = []
    for level, title, page in _outline(pdf):
        found.setdefault(title, set()).add(index.get(page, 0))
        deep += [(title, index.get(page, 0))] if level == _OF_A_DOCUMENT else []
    named = set()
    for document in documents:
        if document["file"] == file["name"]:
            title = f"{document['number']} {document['title']}".strip()
            named.add((title, document["page"]))
            if document["page"] not in found.get(title, set()):
                yield Trouble(title, f"no bookmark to page {document['page']}")
    for title, number in deep:
        if (title, number) not in named:
            yield Trouble(title, f"has a bookmark to page {number}, and is not in issue.json")


def _outline(pdf: pikepdf.Pdf) -> Iterator[tuple[int, str, tuple[int, int]]]:
    """Level, text and page of each bookmark."""
    root = pdf.Root.get("/Outlines", None)
    waiting = [(1, root.First)] if root is not None and "/First" in root else []
    seen = set()
    while waiting:
        level, item = waiting.pop()
        if item.objgen in seen:
            continue
        seen.add(item.objgen)
        yield level, str(item.Title), item.Dest[0].objgen
        waiting += [(level + deeper, item[name])
                    for name, deeper in (("/Next", 0), ("/First", 1)) if name in item]  # fmt: skip


def _register(issue: Data, texts: Mapping[str, Sequence[str]]) -> Iterator[Trouble]:
    """Each document on its page, and the line of the register that says so."""
    first = {file["name"]: file["first"] for file in issue["files"]}
    printed = {
        name: "".join(text for text in pages if "Registerofcontents" in text)
        for name, pages in texts.items()
    }
    for one in issue["documents"]:
        if one["file"] not in texts:
            continue
        pages, at = texts[one["file"]], one["page"] - first[one["file"]]
        number, name = squeezed(one["number"]), f"{one['number']} {one['title']}"
        here = pages[at : at + one["sheets"]]
        if len(here) != one["sheets"] or not here or number not in here[0] + here[-1]:
            yield Trouble(name, f"is not on page {one['page']} of {one['file']}")
        line = f"{number}{squeezed(one['title'])}{squeezed(one['revision'])}{one['sheets']}"
        if f"{line}{one['page']}" not in printed[one["file"]] and not _listed(
            one, printed[one["file"]]
        ):
            yield Trouble(name, f"the register does not give page {one['page']} for it")


def _listed(one: Data, text: str) -> bool:
    """Whether a line of the register has number, sheets and page, wrapped titles in between."""
    parts = [squeezed(one["number"]), rf"{one['sheets']}{one['page']}(?!\d)"]
    return bool(re.search(f"{re.escape(parts[0])}.{{0,400}}?{parts[1]}", text))
