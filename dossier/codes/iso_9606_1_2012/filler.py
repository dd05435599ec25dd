"""5.5 and 5.6: filler groups, coverings and wire types."""

from __future__ import annotations

from dossier.codes.consumables import read_filler
from dossier.codes.consumables.filler import COVERINGS, WIRES, covering_word
from dossier.codes.iso_9606_1_2012.basis import clause
from dossier.errors import InputError
from dossier.records.verdicts import Choice

GROUP = clause("5.5.2, Table 3", "memory")
COVERING = clause("5.6, Table 4")
WIRE = clause("5.6, Table 5")
COVERING_ROOT = clause("5.6, Table 4 footnote")
WIRE_ROOT = clause("5.6, Table 5 footnote")

_GROUPS = {
    "FM1": ("FM1", "FM2"),
    "FM2": ("FM1", "FM2"),
    "FM3": ("FM1", "FM2", "FM3"),
    "FM4": ("FM1", "FM2", "FM3", "FM4"),
    "FM5": ("FM5",),
    "FM6": ("FM5", "FM6"),
}
GROUPS = tuple(_GROUPS)
_NOT_BASIC = ("A", "RA", "RB", "RC", "RR", "R")
_CORED = ("R", "P", "V", "W", "Y", "Z")
# Processes that a welder can carry out with and without filler: a test with covers without.
_WITHOUT_FILLER = ("141", "142", "143", "145", "15", "311")


def qualified_groups(group: str) -> Choice:
    """The filler groups that a test with `group` ("FM1" to "FM6") qualifies.

    Source: ISO 9606-1:2012, 5.5.2, Table 3 (FM1 secondary, the other rows memory).
    Raises InputError: unknown group.

    >>> str(qualified_groups("FM3"))
    'FM1, FM2, FM3'
    """
    if group not in _GROUPS:
        raise InputError("filler_group", found=repr(group), expected=", ".join(_GROUPS))
    return Choice.of(_GROUPS[group], GROUP)


def group_of(filler_group: str, filler: str) -> str | None:
    """The filler group as recorded, else the one that the classification belongs to.

    None where neither tells. Source: ISO 9606-1:2012, 5.5.1, Table 2 (memory).

    >>> group_of("", "E7018"), group_of("FM2", "E7018"), group_of("", "unknown")
    ('FM1', 'FM2', None)
    """
    if filler_group:
        return filler_group
    try:
        return read_filler(filler).filler_group or None
    except InputError:
        return None


def covering_of(covering: str, filler: str, process: str) -> str | None:
    """The covering or wire type in words, as recorded, else from the classification.

    None where neither tells. Words: see `dossier.codes.consumables.filler`.

    >>> covering_of("", "E6010", "111"), covering_of("S", "", "135"), covering_of("", "", "141")
    ('cellulosic', 'solid', None)
    """
    if covering:
        return covering_word(covering, process)
    try:
        return read_filler(filler).covering or None
    except InputError:
        return None


def qualified_coverings(covering: str, process: str) -> Choice:
    """The coverings (111) or wire types (other processes) that a test qualifies, in words.

    A test with filler covers welding without it in TIG, plasma and gas welding (memory).
    Source: ISO 9606-1:2012, 5.6, Tables 4 and 5 (secondary). Raises InputError: unknown type.

    >>> str(qualified_coverings("cellulosic", "111")), str(qualified_coverings("solid", "135"))
    ('cellulosic', 'metal cored, solid')
    """
    word = covering_word(covering, process)
    if not word:
        raise InputError("covering", found="nothing", expected="a covering or wire type")
    if process in ("111", "112"):
        rows = {"B": (*_NOT_BASIC, "B"), "C": ("C",)}
        symbol = next(s for s, name in COVERINGS.items() if name == word)
        return Choice.of((COVERINGS[s] for s in rows.get(symbol, _NOT_BASIC)), COVERING)
    rows = {"S": ("S", "M"), "M": ("S", "M"), "B": ("B", *_CORED), "nm": ("nm",)}
    symbol = next(s for s, name in WIRES.items() if name == word)
    also = ("nm",) if process in _WITHOUT_FILLER else ()
    return Choice.of((WIRES[s] for s in (*rows.get(symbol, _CORED), *also)), WIRE)


def qualified_root_coverings(covering: str, process: str) -> Choice:
    """The type that the root run without backing is tied to: the one of the test.

    Source: ISO 9606-1:2012, 5.6, footnotes of Tables 4 and 5 (secondary).

    >>> str(qualified_root_coverings("B", "136"))
    'basic cored'
    """
    basis = COVERING_ROOT if process in ("111", "112") else WIRE_ROOT
    return Choice.of((covering_word(covering, process),), basis)
