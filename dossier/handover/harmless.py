"""Pages of foreign PDFs without anything that acts, plays, hides a file or signs.

Actions: ISO 32000-2:2020, 12.6; annotations 12.5; associated files 14.13; signatures 12.8 (memory).
What is shown stays as it is: marks, stamps, the look of forms filled in or signed, links to pages
and to the web.
"""

from __future__ import annotations

import re

import pikepdf
from pikepdf import Array, Dictionary, Name

_MOVES = ("/NextPage", "/PrevPage", "/FirstPage", "/LastPage")
_WEB = re.compile(r"(?:https?://|mailto:)[^\s\x00-\x1f]+", re.IGNORECASE)
_PLAYERS = frozenset(
    {"/FileAttachment", "/Screen", "/Movie", "/Sound", "/RichMedia", "/3D", "/TrapNet"}
)
_OF_PAGE = ("/AA", "/AF", "/PresSteps")
_OF_NOTE = (
    "/AA", "/PA", "/AF", "/FS", "/3DD", "/3DV", "/Movie", "/Sound", "/RichMediaContent",
    "/RichMediaSettings",
)  # fmt: skip
_TO_OTHERS = ("/Parent", "/IRT", "/Popup")


def made_harmless(page: pikepdf.Page) -> bool:
    """Take away what acts, plays, holds a file or signs; returns whether there was any."""
    changed = _without(page.obj, _OF_PAGE)
    notes = page.obj.get("/Annots", None)
    if notes is None:
        return changed
    listed = list(notes) if isinstance(notes, Array) else []
    kept = [note for note in listed if isinstance(note, Dictionary) and not _plays(note)]
    if not isinstance(notes, Array) or len(kept) < len(listed):
        page.obj.Annots = Array(kept)
        changed = True
    for note in kept:
        changed = _note(note) or changed
    return changed


def _plays(note: pikepdf.Object) -> bool:
    return str(note.get("/Subtype", "")) in _PLAYERS


def _note(note: pikepdf.Object) -> bool:
    changed = _without(note, _OF_NOTE)
    if isinstance(note.get("/V", None), Dictionary):
        # Only the value of a signature is one. It holds for the file as filed, not for a page of
        # another file, where it would be taken for a signature that was broken.
        del note["/V"]
        changed = True
    form = note.get("/Subtype", None) == Name.Widget
    for name in _TO_OTHERS:
        other = note.get(name, None)
        if other is None:
            continue
        # A field of a form bears its scripts itself; what was taken away must not come back.
        if (form and name == "/Parent") or not isinstance(other, Dictionary) or _plays(other):
            del note[name]
            changed = True
    action = note.get("/A", None)
    if action is None:
        return changed
    if not _harmless(action):
        del note["/A"]
        return True
    return _without(action, ("/Next",)) or changed


def _harmless(action: pikepdf.Object) -> bool:
    """Whether an action by itself only shows a page or an address of the web."""
    if not isinstance(action, Dictionary):
        return False
    kind = str(action.get("/S", ""))
    if kind == "/URI":
        return bool(_WEB.fullmatch(str(action.get("/URI", ""))))
    if kind == "/Named":
        return str(action.get("/N", "")) in _MOVES
    return kind == "/GoTo"


def _without(held: pikepdf.Object, names: tuple[str, ...]) -> bool:
    found = [name for name in names if name in held]
    for name in found:
        del held[name]
    return bool(found)
