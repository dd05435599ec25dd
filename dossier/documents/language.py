"""Documents in the language of the project: labels, headings, notes and cautions from catalogues.

Contexts are made in English and translated when they are rendered, so that every form says the
same. What people wrote, and the sentences of findings, stay as they are. A catalogue is a file of
gettext (`templates/locale/LANGUAGE/LC_MESSAGES/dossier.po`), read as it is: nothing is compiled.

An entry with `{}` in it stands for every text with something in these places, one with `{#}` for a
figure there, with its unit. A text that has no entry is looked up sentence by sentence.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from html import escape, unescape
from pathlib import Path
from typing import Any

from dossier.errors import InputError
from dossier.resources import shared

LANGUAGES = ("en", "de", "es")
# Fields that steer a template or name something; they are never words to be read.
STEERING = frozenset(
    {"marks", "mark", "align", "form", "look", "link", "page", "number", "width", "id", "verdict"}
)
_LINE = re.compile(r'(msgid|msgstr)?\s*(".*")')
_SENTENCES = re.compile(r"(?<=[.;?])(?<! p\.)(?<!rev\.)(?<!No\.) (?=[A-Z\d])")
_DRAWN = re.compile(r"(?<=>)([^<>]+)(?=</(?:text|tspan|title|desc)>)")
_OPEN = re.compile(r"(\{#?\})")
_PLACES = {"{}": "(.+?)", "{#}": r"([-+]?\d[\w.,:%°/() -]*?)"}
_WORD = re.compile(r"[^\W\d_]{2}")


@dataclass(frozen=True)
class Catalogue:
    """What each English text is in one language; `patterns` are entries with open places."""

    language: str
    exact: Mapping[str, str]
    patterns: Mapping[str, Sequence[tuple[re.Pattern[str], str]]] = field(default_factory=dict)
    _said: dict[str, str] = field(default_factory=dict)

    def say(self, text: str) -> str:
        """The text in the language of the catalogue; as it is where there is no entry."""
        if text not in self._said:
            if len(self._said) > 10_000:  # a long run must not keep every cell for ever
                self._said.clear()
            found = self._find(text)
            if found is None and len(parts := _SENTENCES.split(text)) > 1:
                found = " ".join(self._find(part) or part for part in parts)
            self._said[text] = text if found is None else found
        return self._said[text]

    def lacking(self, text: str) -> list[str]:
        """The sentences of a text that have words and no entry."""
        if self._find(text) is not None or not _WORD.search(text):
            return []
        parts = _SENTENCES.split(text)
        return [part for part in parts if _WORD.search(part) and self._find(part) is None]

    def _find(self, text: str) -> str | None:
        if text in self.exact:
            return self.exact[text]
        for key in (text[:3], ""):
            for pattern, answer in self.patterns.get(key, ()):
                if match := pattern.fullmatch(text):
                    return answer.format(*(self.exact.get(g, g) for g in match.groups()))
        return None


def entries(text: str) -> Iterator[tuple[str, str]]:
    """Pairs of msgid and msgstr of a catalogue; the header, and what is fuzzy, left out.

    >>> list(entries('msgid "Joint"\\nmsgstr "Naht"'))
    [('Joint', 'Naht')]
    """
    for block in re.split(r"\n\s*\n", text):
        parts = {"msgid": "", "msgstr": ""}
        at = ""
        for line in block.splitlines():
            found = _LINE.fullmatch(line.strip())
            if found:
                at = found.group(1) or at
                parts[at] += ast.literal_eval(found.group(2))
        if parts["msgid"] and parts["msgstr"] and "#, fuzzy" not in block:
            yield parts["msgid"], parts["msgstr"]


def catalogue_file(language: str) -> Path:
    """Where the catalogue of a language lies."""
    return shared("templates") / "locale" / language / "LC_MESSAGES" / "dossier.po"


@lru_cache(maxsize=4)
def catalogue(language: str) -> Catalogue:
    """The catalogue of a language, empty for English.

    Raises InputError: a language that has none.
    """
    if language not in LANGUAGES:
        raise InputError("language", found=language, expected=" or ".join(LANGUAGES))
    if language == "en":
        return Catalogue("en", {})
    exact: dict[str, str] = {}
    patterns: dict[str, list[tuple[re.Pattern[str], str]]] = {}
    for english, said in entries(catalogue_file(language).read_text(encoding="utf-8")):
        fixed, *others = _OPEN.split(english)
        if others:
            found = re.escape(fixed)
            for place, after in zip(others[::2], others[1::2], strict=True):
                found += _PLACES[place] + re.escape(after)
            key = fixed[:3] if len(fixed) >= 3 else ""
            patterns.setdefault(key, []).append((re.compile(found, re.DOTALL), said))
        else:
            exact[english] = said
    for alike in patterns.values():  # the most particular first
        alike.sort(key=lambda one: -len(one[0].pattern))
    return Catalogue(language, exact, patterns)


def translated(context: Any, said: Catalogue) -> Any:
    """The context in another language; the same object for English."""
    return context if said.language == "en" else _translated(context, said)


def _translated(value: Any, said: Catalogue) -> Any:
    if isinstance(value, str):
        return drawing(value, said) if value.startswith("<svg ") else said.say(value)
    if isinstance(value, Mapping):
        return {
            key: inner if key in STEERING else _translated(inner, said)
            for key, inner in value.items()
        }
    if isinstance(value, list):
        return [_translated(inner, said) for inner in value]
    if isinstance(value, tuple):  # a key and what belongs to it: the key stays
        return tuple(i if isinstance(i, str) else _translated(i, said) for i in value)
    return value


@lru_cache(maxsize=64)
def _drawing(svg: str, language: str) -> str:
    said = catalogue(language)
    return _DRAWN.sub(lambda m: escape(said.say(unescape(m.group(1))), quote=False), svg)


def drawing(svg: str, said: Catalogue) -> str:
    """A drawing with its words in another language."""
    return _drawing(svg, said.language)


def drawn(svg: str) -> list[str]:
    """The words of a drawing.

    >>> drawn("<svg ><text>Cap &amp; root</text></svg>")
    ['Cap & root']
    """
    return [unescape(text) for text in _DRAWN.findall(svg)]
