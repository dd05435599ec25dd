"""What a classification of a filler says, and the words and symbols of coverings and cores."""

from __future__ import annotations

from dataclasses import dataclass

from dossier.errors import InputError
from dossier.records.verdicts import Basis


@dataclass(frozen=True, slots=True, kw_only=True)
class Filler:
    """A filler classification in parts. "" and None where the classification says nothing."""

    designation: str
    standard: str  # "ISO 2560-A", "AWS A5.1"
    form: str  # "covered electrode", "solid wire", "cored wire", "rod", "wire and flux"
    covering: str = ""  # of covering, core or wire, in the words of COVERINGS and WIRES
    filler_group: str = ""  # ISO 9606-1, Table 2: "FM1" to "FM6"
    yield_min_mpa: float | None = None
    tensile_min_mpa: float | None = None
    tensile_max_mpa: float | None = None
    elongation_min_percent: float | None = None
    impact_j: float | None = None
    impact_c: float | None = None
    alloy: str = ""
    gas: str = ""
    wire: str = ""
    current: str = ""
    recovery: str = ""
    positions: str = ""
    hydrogen_ml_100g: float | None = None


# ISO 2560 (coverings) and ISO 17632 (cores), symbols as ISO 9606-1, 4.3.2 lists them.
COVERINGS = {
    "A": "acid",
    "C": "cellulosic",
    "R": "rutile",
    "RR": "thick rutile",
    "RC": "rutile-cellulosic",
    "RA": "rutile-acid",
    "RB": "rutile-basic",
    "B": "basic",
}
WIRES = {
    "S": "solid",
    "M": "metal cored",
    "B": "basic cored",
    "R": "rutile cored",
    "P": "fast-freezing rutile cored",
    "V": "rutile or basic-fluoride cored",
    "W": "slow-freezing basic-fluoride cored",
    "Y": "fast-freezing basic-fluoride cored",
    "Z": "other cored",
    "nm": "none",
}
SYMBOLS = Basis("ISO 9606-1", "2012", "4.3.2", "memory")


def covering_word(text: str, process: str) -> str:
    """The word for a covering, core or wire that `text` gives as symbol or word.

    `process` is needed because "B" and "R" mean a covering with 111 and a core elsewhere, and
    so do the words "basic" and "rutile". "" stays "" (not recorded).
    Source: symbols of ISO 9606-1:2012, 4.3.2 (memory). Raises InputError: unknown.

    >>> covering_word("B", "111"), covering_word("B", "136"), covering_word("Basic", "136")
    ('basic', 'basic cored', 'basic cored')
    """
    text = text.strip()
    if not text:
        return ""
    table = COVERINGS if process in ("111", "112") else WIRES
    if text in table:
        return table[text]
    word = text.lower()
    if table is WIRES and f"{word} cored" in table.values():
        return f"{word} cored"
    if word in table.values():
        return word
    raise InputError(
        "covering", found=repr(text), expected=f"for process {process}: {', '.join(table)}"
    )


def covering_symbol(word: str, process: str) -> str:
    """The symbol for a covering, core or wire, as a certificate's designation writes it.

    Source: ISO 9606-1:2012, 4.3.2 (memory). Raises InputError: unknown.

    >>> covering_symbol("solid", "141"), covering_symbol("none", "142"), covering_symbol("", "111")
    ('S', 'nm', '')
    """
    table = COVERINGS if process in ("111", "112") else WIRES
    plain = covering_word(word, process)
    return next((symbol for symbol, name in table.items() if name == plain), "")
