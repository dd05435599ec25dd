"""What a spreadsheet or a foreign keyboard does to text: look-alike letters, spaces, 1.2E+46."""

from __future__ import annotations

import re
import unicodedata

# Letters that cannot be told from Latin ones in print, in Cyrillic and Greek.
_CYRILLIC = "АВЕЅІЈКМНОРСТУХаеѕіјорсухѵԛԝԜ"
_GREEK = "ΑΒΕΖΗΙΚΜΝΟΡΤΥΧανορυχι"
_TWINS = {"cyrillic": frozenset(_CYRILLIC), "greek": frozenset(_GREEK)}
_SIGNS = frozenset("μΩΔ∅")  # of units, written in Greek letters in any language
# Fields of prose: a word of another script is a word there, not a mistyped stamp.
_PROSE = frozenset(
    {"title", "name", "remarks", "employer", "description", "disposition", "requirement", "defect",
     "organisation", "location", "post", "reason", "basis", "signer", "maker", "product", "system"}
)  # fmt: skip
_MARKS = frozenset(
    {"number", "stamp", "joint", "welder", "heat", "batch", "id", "line", "wps", "report", "base",
     "upstream_heat", "downstream_heat", "upstream_item", "downstream_item", "instrument"}
)  # fmt: skip
_POWER = re.compile(r"[+-]?[0-9](?:[.,][0-9]+)?[eE]\+[0-9]{2,}")
TWO_WELDERS = "it may name two welders by side of the pipe, or by pass"
_UNSEEN = re.compile("[\u00ad\u061c\u200b-\u200f\u202a-\u202e\u2060-\u206f\ufeff]")
_SPACES = re.compile("[\u00a0\u2000-\u200a\u202f\u205f\u3000]")


def plain_spaces(text: str) -> tuple[str, str]:
    """`text` with plain spaces and without unseen characters, and what was changed in words.

    >>> plain_spaces("W\\u00a007\\u200b")
    ('W 07', 'no-break or thin spaces made plain; characters that cannot be seen left out')
    """
    if text.isascii():
        return text, ""
    spaced = _SPACES.sub(" ", text)
    seen = _UNSEEN.sub("", spaced)
    told = []
    if spaced != text:
        told.append("no-break or thin spaces made plain")
    if seen != spaced:
        told.append("characters that cannot be seen left out")
    return seen.strip(), "; ".join(told)


def script_of(character: str) -> str:
    """The script of a letter: "latin", "cyrillic", "greek" or "" for any other.

    >>> script_of("W"), script_of("\\u0412"), script_of("7")
    ('latin', 'cyrillic', '')
    """
    if not character.isalpha() or character in _SIGNS:
        return ""
    first = unicodedata.name(character, "").partition(" ")[0].lower()
    return first if first in ("latin", "cyrillic", "greek") else ""


def look_alikes(text: str, field: str, letters: str = "latin") -> str:
    """Why the letters of `text` are doubtful, "" when they are not.

    A word that mixes scripts always is. One wholly of look-alike letters is where the field holds
    marks (stamps, numbers, heats), unless the file is declared to be written in that script.

    >>> look_alikes("\\u041cL-12", "number")
    'the Cyrillic letter М looks like a Latin one'
    >>> look_alikes("ML-12", "number"), look_alikes("\\u0428\\u0430\\u0440", "remarks")
    ('', '')
    >>> look_alikes("\\u0428\\u043e\\u0432.pdf", "file")
    ''
    """
    last = field.rpartition(".")[2]
    if text.isascii() or last == "file":  # a file is there or it is not
        return ""
    for word in text.split():
        scripts = {script_of(character) for character in word} - {""}
        foreign = scripts - {"latin"}
        if not foreign:
            continue
        mixed = len(scripts) > 1
        twins = [c for c in word if any(c in _TWINS[s] for s in foreign)]
        spelled = [c for c in word if script_of(c)]
        alike = len(twins) == len(spelled) and letters not in foreign
        marked = last not in _PROSE and (last in _MARKS or any(c.isdigit() for c in word))
        if (mixed and twins) or (alike and marked):
            return _sentence(twins)
    return ""


def _sentence(twins: list[str]) -> str:
    script = script_of(twins[0]).title()
    shown = ", ".join(dict.fromkeys(twins))
    if len(set(twins)) == 1:
        return f"the {script} letter {shown} looks like a Latin one"
    return f"the {script} letters {shown} look like Latin ones"


def lost_mark(text: str, field: str) -> str:
    """Why `text` is hardly the mark that was typed, "" when nothing speaks against it.

    >>> lost_mark("1.2E+46", "heat")
    'a spreadsheet makes such a number of a mark like 12E45'
    >>> lost_mark("12E45", "heat"), lost_mark("1.2E+46", "remarks")
    ('', '')
    """
    if field.rpartition(".")[2] not in _PROSE and _POWER.fullmatch(text):
        return "a spreadsheet makes such a number of a mark like 12E45"
    return ""


def two_welders(text: str, field: str) -> str:
    """Why one stamp may be two, "" when it is one.

    >>> two_welders("W12/W07", "welder")
    'it may name two welders by side of the pipe, or by pass'
    >>> two_welders("W12", "welder"), two_welders("W12/W07", "remarks")
    ('', '')
    """
    if field == "welder" and re.search(r"\w ?[/,;&+\n] ?\w", text):
        return TWO_WELDERS
    return ""
