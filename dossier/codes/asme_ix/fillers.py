"""Filler metals: F-Numbers, A-Numbers, product forms, and which filler test covers which."""

from __future__ import annotations

import re

from dossier.codes.asme_ix.common import clause
from dossier.records.verdicts import Choice

WELDER_FILLERS = clause("QW-404.15, Table QW-433", "memory")

_CARBON = re.compile(r"E(?:\d{2}|\d{3})(\d{2})M?(?:-[A-Z0-9 ]+)?")
_STAINLESS = re.compile(r"E(\d{3,4})[A-Z]*\d?[A-Z]*(?:-\d{2})?-(1[567]|2[56])")
_COATINGS = {
    **dict.fromkeys(("20", "22", "24", "27", "28"), 1),
    **dict.fromkeys(("12", "13", "14", "19"), 2),
    **dict.fromkeys(("10", "11"), 3),
    **dict.fromkeys(("15", "16", "18", "48"), 4),
}
_FERRITIC = ("41", "43", "50")  # series of SFA-5.4 that are neither austenitic nor duplex
_ALLOYS = (  # order matters: the longer name first
    (r"ER?NICU", 42),
    (r"ER?NICR", 43),
    (r"ER?NIMO", 44),
    (r"ER?NIFECR", 45),
    (r"ER?NI-", 41),
    (r"ER?CUNI", 34),
    (r"ER?CUSI", 32),
    (r"ER?CUSN", 33),
    (r"ER?CUAL-", 36),
    (r"ER?CU$", 31),
    (r"E?R1\d{3}", 21),
    (r"E?R5\d{3}", 22),
    (r"E?R4\d{3}", 23),
    (r"ERTI", 51),
    (r"ERZR", 61),
    (r"(?:ER\d|E\d+T|ER\d+S|EC\d|EM|EL|EH|EF|EB|EA|EG\d|E\d+C-)", 6),
)


def f_number(classification: str) -> int | None:
    """F-Number of a filler metal from its AWS/SFA classification; None if it does not tell.

    Source: Section IX, Table QW-432 (E7024 and E7018 secondary; the others memory).

    >>> f_number("E6010"), f_number("E308L-16"), f_number("ER70S-6"), f_number("X")
    (3, 5, 6, None)
    """
    name = classification.upper().replace(" ", "")
    if stainless := _STAINLESS.fullmatch(name):
        series, covering = stainless.groups()
        if covering in ("25", "26"):
            return 1
        return 4 if series.startswith(_FERRITIC) else 5
    if carbon := _CARBON.fullmatch(name):
        return _COATINGS.get(carbon.group(1))
    return next((number for start, number in _ALLOYS if re.match(start, name)), None)


_BY_SUFFIX = (
    (r"-A1", 2),
    (r"-B[12]L?$", 3),
    (r"-B3L?$", 4),
    (r"-B[689]", 5),
    (r"-C\dL?$|-NI[123]", 10),
    (r"-D\d", 11),
)
_BY_SERIES = (("310", 9), ("41", 6), ("43", 7), ("308", 8), ("309", 8), ("316", 8), ("347", 8))
_PLAIN = re.compile(r"E(?:60|70)\d{2}(?:-1)?|ER(?:48|49|70)S-[2367]|E7\dT-[159][CM]?|E[LM]\d+K?")


def a_number(classification: str) -> int | None:
    """A-Number of a ferrous deposit from its classification; None if only an analysis tells.

    Source: Section IX, Table QW-442 (A-No. 2, 3, 4, 10 and 11 secondary, others memory).

    >>> a_number("E7018"), a_number("E8018-B2"), a_number("ER308L"), a_number("E8010-P1")
    (1, 3, 8, None)
    """
    name = classification.upper().replace(" ", "")
    if _PLAIN.fullmatch(name):
        return 1
    for pattern, number in _BY_SUFFIX:
        if re.search(pattern, name):
            return number
    series = re.match(r"ER?(\d{3})", name)
    found = (number for start, number in _BY_SERIES if series and series[1].startswith(start))
    return None if _CARBON.fullmatch(name) else next(found, None)


def written_number(letter: str, group: str, classification: str) -> int | None:
    """F- or A-Number: as a filler group such as "F4" or "F4 A1" has it, else from the name.

    >>> written_number("F", "F4 A1", ""), written_number("A", "F4", "E7018")
    (4, 1)
    """
    if match := re.search(rf"{letter}-?(?:No\.? ?)?(\d+)", group):
        return int(match.group(1))
    return (f_number if letter == "F" else a_number)(classification)


def a_numbers_covered(tested: int) -> frozenset[int]:
    """A-Numbers that a procedure test with `tested` covers: its own; 1 and 2 each other.

    Source: Section IX, QW-404.5 (secondary).

    >>> sorted(a_numbers_covered(2)), sorted(a_numbers_covered(8))
    ([1, 2], [8])
    """
    return frozenset({1, 2}) if tested in (1, 2) else frozenset({tested})


def product_form(covering: str) -> str:
    """The product form that QW-404.23 tells apart: flux cored, bare or metal cored, powder.

    >>> product_form("metal cored"), product_form("solid") == product_form("bare")
    ('bare or metal cored', True)
    """
    word = covering.replace("_", " ").lower()
    if word in ("", "none"):
        return ""
    if "powder" in word:
        return "powder"
    if "cored" in word and "metal" not in word:
        return "flux cored"
    return "bare or metal cored"


_STEEL = (1, 2, 3, 4)
_NICKEL = frozenset({34, *range(41, 47)})
_ALUMINIUM = frozenset(range(21, 27))
_TITANIUM = frozenset(range(51, 56))


def fillers_covered(f_tested: int, *, backing: bool) -> Choice:
    """What a welder tested with F-Number `f_tested` may use, as "F4 with backing" and so on.

    With backing, a higher steel F-Number covers the lower ones; F-No. 5 covers only 1 and 5.
    Without backing only the F-Number tested without backing. Other families cover themselves;
    what was tested with backing stays with backing (QW-402.4).

    Source: Section IX, QW-404.15, Table QW-433 (cells from F-No. 4 to 1 and 3 and the families
    secondary; other cells memory).

    >>> str(fillers_covered(3, backing=False))
    'F1 with backing, F2 with backing, F3 with backing, F3 without backing'
    """
    for family in (_NICKEL, _ALUMINIUM, _TITANIUM, frozenset({f_tested})):
        if f_tested in family and f_tested not in (*_STEEL, 5):
            kinds = (True,) if backing else (True, False)
            return Choice.of((_cell(f, b) for f in family for b in kinds), WELDER_FILLERS)
    lower = (1, 5) if f_tested == 5 else range(1, f_tested + 1)
    cells = {_cell(f, True) for f in lower}
    if not backing:
        cells.add(_cell(f_tested, False))
    return Choice.of(cells, WELDER_FILLERS)


def _cell(f: int, backing: bool) -> str:
    return f"F{f} {'with' if backing else 'without'} backing"
