"""Headings in six languages -> fields of the schemas, with the unit that a heading states."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import cast

from dossier.errors import InputError
from dossier.intake.read_yaml import read_object
from dossier.intake.registers import register_shape
from dossier.resources import shared
from dossier.units import unit_name

_BRACKETS = re.compile(r"[(\[{]\s*([^)\]}]{1,12}?)\s*[)\]}]")
_UMLAUTS = {"ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss"}
# Below the name of a pass, a heading that is a unit alone; no unit: the welder's stamp.
_BY_UNIT = {"": "welder", "A": "current_a", "V": "voltage_v", "mm/min": "travel_mm_min",
            "in/min": "travel_mm_min", "°C": "preheat_c", "l/min": "gas_l_min"}  # fmt: skip
_NUMERO = re.compile(r"№|\bn[º°]\.?|#")


@dataclass(frozen=True, slots=True)
class Heading:
    """One heading: the words that tell its field, and its unit ("" where it states none)."""

    text: str
    words: str
    unit: str = ""


def level(text: str) -> str:
    """`text` without case, accents, full stops and marks for "number".

    >>> level("Schweißnaht-Nr."), level("N° de  Soudure"), level("Weld No.")
    ('schweissnaht nr', 'no de soudure', 'weld no')
    """
    text = _NUMERO.sub(" no ", unicodedata.normalize("NFC", text).casefold())
    for letter, spelled in _UMLAUTS.items():
        text = text.replace(letter, spelled)
    bare = "".join(c for c in unicodedata.normalize("NFD", text) if not unicodedata.combining(c))
    return " ".join(re.sub(r"[.:,;_\-–/]+", " ", bare).split())


def heading_of(text: str) -> Heading:
    """What a heading says: its words, and the unit in brackets or at its end.

    >>> heading_of("t (mm)").unit, heading_of("Preheat °F"), heading_of("KP").unit
    ('mm', Heading(text='Preheat °F', words='preheat', unit='°F'), '')
    """
    for match in _BRACKETS.finditer(text):
        if unit := _unit(match[1]):
            return Heading(text, level(text[: match.start()] + " " + text[match.end() :]), unit)
    *before, last = text.split() or [""]
    certain = not last.isalpha() or last in ("mm", "in", "bar", "psi", "V", "A")
    if before and certain and (unit := _unit(last)):
        return Heading(text, level(" ".join(before)), unit)
    return Heading(text, level(_BRACKETS.sub(" ", text)))


def _unit(text: str) -> str:
    try:
        return unit_name(text)
    except InputError:
        return ""


@cache
def _words() -> Mapping[str, Mapping[str, tuple[str, ...]]]:
    path = shared("templates") / "intake" / "heading_words.yaml"
    data = read_object(path, path.name).data
    return {
        group: {
            name: tuple(level(str(word)) for word in cast(list[str], words))
            for name, words in cast(Mapping[str, object], data[group]).items()
        }
        for group in ("fields", "passes", "sides")
    }


@cache
def field_words(register: str) -> Mapping[str, str]:
    """The words of headings that tell the fields of a register, each with its field."""
    form = register_shape(register)
    found: dict[str, str] = {}
    for key, words in _words()["fields"].items():
        only, _, name = key.rpartition(".")
        name = "number" if register == "joints" and name == "joint" else name
        if (only and only != register) or name not in form.fields:
            continue
        for word in words:
            found.setdefault(word, name)
    for name, part in form.fields.items():
        found.setdefault(level(part.title), name)
        found.setdefault(level(name), name)
    return found


@dataclass(frozen=True, slots=True)
class PassHeading:
    """A heading of a wide sheet: which pass and side it is of, and the field of the pass."""

    kind: str
    place: int  # 0 where the heading has no number
    side: str
    field: str


def pass_heading(heading: Heading) -> PassHeading | None:
    """What a heading such as "Fill 2 / Welder left" tells of a pass; None for any other.

    >>> pass_heading(heading_of("Fill 2 / Welder left"))
    PassHeading(kind='fill', place=2, side='left', field='welder')
    >>> pass_heading(heading_of("Root gap (mm)")) is None
    True
    """
    words = heading.words
    kind, words = _taken(words, _words()["passes"])
    side, words = _taken(words, _words()["sides"])
    figures = [word for word in words.split() if word.isdecimal()]
    run = re.match(r"(?:r|run|pass) ?([0-9]{1,2})\b", words)
    if run and not kind:
        figures, words = [run[1]], words[run.end() :]
    rest = " ".join(word for word in words.split() if not word.isdecimal())
    name = field_words("passes").get(rest, "") if rest else _BY_UNIT.get(heading.unit, "")
    if not (kind or run) or name in ("", "joint", "number") or (kind and name == "kind"):
        return None
    return PassHeading(kind, int(figures[0]) if figures else 0, side, name)


def _taken(words: str, groups: Mapping[str, Iterable[str]]) -> tuple[str, str]:
    """The group whose word stands in `words`, longest first, and what is left of them."""
    known = sorted(((w, g) for g, ws in groups.items() for w in ws), key=lambda p: -len(p[0]))
    for word, group in known:
        if match := re.search(rf"(?:^| ){re.escape(word)}(?:$| )", words):
            return group, (words[: match.start()] + " " + words[match.end() :]).strip()
    return "", words
