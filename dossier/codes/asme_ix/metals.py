"""Base metals: P-Numbers and Group Numbers, which coupon covers which pair, welder families."""

from __future__ import annotations

import re
from dataclasses import dataclass

from dossier.codes.asme_ix.common import clause
from dossier.errors import InputError
from dossier.records.verdicts import Choice

PAIRS = clause("QW-424.1", "read")
GROUPS = clause("QW-403.5")
WELDER_METALS = clause("QW-403.18, QW-423.1", "read")


@dataclass(frozen=True, slots=True)
class Metal:
    """A P-Number with its Group Number; group "" where none was recorded."""

    p: str
    group: str = ""

    def __str__(self) -> str:
        return f"P{self.p}.{self.group}" if self.group else f"P{self.p}"


_WRITTEN = re.compile(r"P(?:[- ]?No\.?)?[- ]?(\d{1,2}[A-K]?)(?:[.-](\d))?", re.IGNORECASE)


def metal(text: str) -> Metal | None:
    """The metal that a material group such as "P1.1", "P5A" or "P-No. 15E" names.

    None for others: "1.2" is a group of ISO/TR 15608 and says nothing of a P-Number.

    >>> metal("P1.2"), metal("P-No. 15E"), metal("1.2")
    (Metal(p='1', group='2'), Metal(p='15E', group=''), None)
    """
    match = _WRITTEN.fullmatch(text.strip())
    return Metal(match.group(1).upper(), match.group(2) or "") if match else None


# Table QW/QB-422. The first four and their like: read (2017); TP304L, TP316L secondary; the rest
# memory. API 5L: the PSL and the delivery condition do not change the group here.
_ASSIGNED = {
    "A106 GR. A": "1.1", "A106 GR. B": "1.1", "A106 GR. C": "1.2",
    "A53 TYPE S GR. B": "1.1", "A53 TYPE E GR. B": "1.1", "A105": "1.2",
    "A333 GR. 6": "1.1", "A234 WPB": "1.1", "A234 WPC": "1.2", "A350 LF2": "1.2",
    "A420 WPL6": "1.1", "A516 GR. 60": "1.1", "A516 GR. 70": "1.2",
    "API 5L GR. B": "1.1", "API 5L X42": "1.1", "API 5L X46": "1.1", "API 5L X52": "1.1",
    "API 5L X56": "1.2", "API 5L X60": "1.2", "API 5L X65": "1.2", "API 5L X70": "1.3",
    "API 5L X80": "1.4",
    "A312 TP304": "8.1", "A312 TP304L": "8.1", "A312 TP316": "8.1", "A312 TP316L": "8.1",
    "A335 P1": "3.1", "A335 P11": "4.1", "A335 P22": "5A.1", "A335 P5": "5B.1",
    "A335 P9": "5B.1", "A335 P91": "15E.1", "A182 F22 CL. 1": "5A.1", "A790 S31803": "10H.1",
}  # fmt: skip


def metal_of(specification: str) -> Metal:
    """P-Number and Group Number of a material specification with its grade.

    Source: Section IX, Table QW/QB-422 (A106, A53 and A105 read in 2017; others memory).
    Raises InputError: a specification that the short table here does not hold.

    >>> str(metal_of("A106 Gr. B")), str(metal_of("API 5L X65"))
    ('P1.1', 'P1.2')
    """
    key = " ".join(specification.upper().removeprefix("S").split())
    if key not in _ASSIGNED:
        raise InputError("specification", found=specification, expected="one that is listed here")
    p, group = _ASSIGNED[key].split(".")
    return Metal(p, group)


_BELOW = {"3": ("1",), "4": ("3", "1"), "5A": ("4", "3", "1")}  # same-metal coupon covers these
_CREEP_STRENGTH = frozenset({"15E", "5B"})

Pair = tuple[Metal, Metal]


def covered_pairs(coupon: Pair) -> frozenset[frozenset[str]]:
    """P-Number pairs that a coupon of two members covers; the order of a pair is immaterial.

    Source: Section IX, QW-424.1 (read, 2015 and 2023).

    >>> sorted(sorted(pair) for pair in covered_pairs((Metal("3"), Metal("3"))))
    [['1', '3'], ['3']]
    """
    first, second = (member.p for member in coupon)
    if first != second:
        low = {first, second} - {"5A"}
        if "5A" in (first, second) and low <= set(_BELOW["5A"]):
            return frozenset(frozenset({"5A", other}) for other in _BELOW["5A"])
        return frozenset({frozenset({first, second})})
    if first == "15E":
        return frozenset(frozenset({a, b}) for a in _CREEP_STRENGTH for b in _CREEP_STRENGTH)
    below = (frozenset({first, other}) for other in _BELOW.get(first, ()))
    return frozenset({frozenset({first}), *below})


def covers_groups(coupon: Pair, weld: Pair) -> bool:
    """The Group Numbers of `weld` were in `coupon`, as toughness asks of equal P-Numbers.

    A coupon that joins two groups of one P-Number covers each to itself and to the other. A
    weld of other P-Numbers than the coupon has no group that was tested.

    Source: Section IX, QW-403.5 (secondary).

    >>> covers_groups((Metal("1", "1"), Metal("1", "2")), (Metal("1", "2"), Metal("1", "2")))
    True
    """
    return set(weld) <= set(coupon)


def _names(*parts: str | range) -> frozenset[str]:
    return frozenset(str(n) for part in parts for n in ([part] if isinstance(part, str) else part))


_FAMILIES = (
    _names(
        range(1, 5), "5A", "5B", "5C", range(6, 9), "9A", "9B", "9C",
        "10A", "10B", "10C", "10E", "10F", "10G", "10H", "10I", "10J", "10K",
        "11A", "11B", "15A", "15B", "15C", "15D", "15E", "15F", "34", range(41, 50),
    ),
    _names(range(21, 27)),
    _names(range(51, 54), "61", "62"),
)  # fmt: skip


def welder_metals(p_number: str) -> Choice:
    """P-Numbers that a welder tested on `p_number` may weld; the filler still binds apart.

    Source: Section IX, QW-403.18, QW-423.1 (read). Copper alloys other than P-No. 34 are held
    to their own number (memory; the stricter reading).

    >>> "8" in welder_metals("1"), "22" in welder_metals("1")
    (True, False)
    """
    for family in _FAMILIES:
        if p_number in family:
            return Choice.of(family, WELDER_METALS)
    return Choice.of({p_number}, WELDER_METALS)
