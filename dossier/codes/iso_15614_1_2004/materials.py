"""8.3.1: which parent materials a procedure test covers, by group of ISO/TR 15608."""

from __future__ import annotations

import re

from dossier.codes.iso_15614_1_2004.basis import clause
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Choice, Range, Reason

GROUPS = clause("8.3.1, Table 3", "secondary")

# Pairs of main groups that a test in the pair also covers, beside itself. Pairs not listed cover
# themselves only: the stricter reading where the table may grant more.
_PAIRS = {
    "2-2": ("1-1", "2-1"),
    "3-3": ("1-1", "2-1", "2-2", "3-1", "3-2"),
    "5-5": ("5-1", "5-2"),
}
_BY_YIELD = ("1", "2", "3", "11")
_SAME_AND_LOWER = ("4", "5", "6", "8", "9")


def _parts(group: str) -> tuple[str, int | None]:
    match = re.fullmatch(r"(\d{1,2})(?:\.(\d))?", group.strip())
    if not match or not 1 <= int(match[1]) <= 11:
        raise InputError("material group", found=repr(group), expected="1 to 11, as 1.2")
    return match[1], int(match[2]) if match[2] else None


def is_group(text: str) -> bool:
    """Whether `text` names a group of ISO/TR 15608; "P1.1" of another code does not.

    >>> is_group("1.2"), is_group("P1.1")
    (True, False)
    """
    try:
        _parts(text)
    except InputError:
        return False
    return True


def main_pair(first: str, second: str) -> str:
    """Two groups as a pair of main groups, the higher first.

    Raises InputError: not a group of ISO/TR 15608.

    >>> main_pair("1.2", "2.1"), main_pair("8.1", "8.1")
    ('2-1', '8-8')
    """
    groups = sorted((_parts(first)[0], _parts(second)[0]), key=int, reverse=True)
    return "-".join(groups)


def qualified_pairs(first: str, second: str) -> Choice:
    """Pairs of main groups that a test in these two groups covers.

    Source: ISO 15614-1:2004, 8.3.1, Table 3 (secondary for 1-1, 2-2, 3-3, 5-5 and 8-8; any other
    pair covers only itself here). Raises InputError: not a group.

    >>> str(qualified_pairs("2.1", "2.1"))
    '1-1, 2-1, 2-2'
    """
    pair = main_pair(first, second)
    return Choice.of((pair, *_PAIRS.get(pair, ())), GROUPS)


def yield_range(groups: tuple[str, str], smys_mpa: float | None) -> Range | None:
    """Specified minimum yield strength that a test covers, in MPa: equal or lower.

    None where the groups are not compared by yield strength (others than 1, 2, 3 and 11).
    Source: ISO 15614-1:2004, 8.3.1 (secondary).

    >>> str(yield_range(("1.2", "1.2"), 355.0)), yield_range(("8.1", "8.1"), 220.0)
    ('up to 355 MPa', None)
    """
    if not any(_parts(group)[0] in _BY_YIELD for group in groups):
        return None
    if smys_mpa is None:
        return Range.none(GROUPS, "yield strength of the test not recorded", "MPa")
    return Range(0.0, smys_mpa, GROUPS, "MPa")


def _sub_group_covered(test: str, production: str) -> bool | None:
    """Whether the sub-group fits within one main group; None where a sub-group is missing."""
    main, tested = _parts(test)
    other, asked = _parts(production)
    if main != other or main in _BY_YIELD:
        return True
    if tested is None or asked is None:
        return True if tested == asked else None
    return asked <= tested if main in _SAME_AND_LOWER else asked == tested


def material_reason(test: tuple[str, str], production: tuple[str, str]) -> Reason:
    """The reason for a production pair of groups against the pair of the test.

    Main groups by `qualified_pairs`; in groups 4, 5, 6, 8 and 9 the same and lower sub-groups, in
    7 and 10 the same one; groups 1, 2, 3 and 11 are compared by yield strength (`yield_range`).
    Source: ISO 15614-1:2004, 8.3.1, Table 3 (secondary). Raises InputError: not a group.

    >>> str(material_reason(("8.1", "8.1"), ("8.2", "8.2")).verdict)
    'nonconformity'
    """
    permitted = qualified_pairs(*test)
    found = "-".join(production)
    if main_pair(*production) not in permitted:
        return Reason("material groups", found, str(permitted), GROUPS, NONCONFORMITY)
    answers = [_best_match(test, group) for group in production]
    verdict = NONCONFORMITY if False in answers else HOLD if None in answers else CLEAR
    return Reason("material groups", found, f"{permitted} of {'-'.join(test)}", GROUPS, verdict)


def _best_match(test: tuple[str, str], production: str) -> bool | None:
    main = _parts(production)[0]
    same = [group for group in test if _parts(group)[0] == main]
    answers = [_sub_group_covered(group, production) for group in same]
    if not answers or True in answers:
        return True
    return None if None in answers else False
