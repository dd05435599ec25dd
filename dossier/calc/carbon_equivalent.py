"""Carbon equivalents of a steel, and the one that judges PSL 2 line pipe.

A composition is in mass per cent. Carbon must be known; another element that was not analysed
counts as zero, and `not_analysed` names it so that the figure can be printed with that remark.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from math import tanh

from dossier.calc.guards import within
from dossier.errors import InputError
from dossier.records.procedures import Composition
from dossier.records.verdicts import HOLD, NONCONFORMITY, Basis, Range, Reason

IIW_BASIS = Basis("API 5L", "46th", "9.2.4", "secondary")
PCM_BASIS = Basis("API 5L", "46th", "9.2.5", "secondary")
CET_BASIS = Basis("EN 1011-2", "2001", "Annex C.3", "secondary")
AWS_BASIS = Basis("AWS D1.1", "2020", "Annex B", "secondary")
CEN_BASIS = Basis("CSA Z662", "1999", "carbon equivalent clause", "read")

# Carbon equivalent -> element -> divisor.
DIVISORS: dict[str, dict[str, float]] = {
    "CE_IIW": {"c": 1, "mn": 6, "cr": 5, "mo": 5, "v": 5, "ni": 15, "cu": 15},
    "CE_AWS": {"c": 1, "mn": 6, "si": 6, "cr": 5, "mo": 5, "v": 5, "ni": 15, "cu": 15},
    "CE_Pcm": {
        "c": 1, "si": 30, "mn": 20, "cu": 20, "cr": 20, "ni": 60, "mo": 15, "v": 10, "b": 0.2,
    },
    "CET": {"c": 1, "mn": 10, "mo": 10, "cr": 20, "cu": 20, "ni": 40},
}  # fmt: skip
CEN_DIVISORS: dict[str, float] = {
    "si": 24, "mn": 6, "cu": 15, "ni": 20, "cr": 5, "mo": 5, "v": 5, "nb": 5, "b": 0.2,
}  # fmt: skip

# Upper end of carbon, % -> factor; one for more carbon. Secondary: a worksheet that reports the
# table; the tanh form agrees within its rounding, except 0.845 printed as 0.85 at 0.14 %.
ACCOMMODATION_TABLE = (
    (0.06, 0.54), (0.07, 0.56), (0.08, 0.58), (0.09, 0.62), (0.10, 0.66), (0.11, 0.70),
    (0.12, 0.75), (0.13, 0.80), (0.14, 0.85), (0.15, 0.88), (0.16, 0.92), (0.17, 0.94),
    (0.18, 0.96), (0.19, 0.97), (0.20, 0.98), (0.21, 0.99),
)  # fmt: skip

# Heat analyses with less boron than this may count it as zero in Pcm.
BORON_FLOOR_PCT = {
    "43rd": 0.001,  # 6.1.3.1(a), read
    "44th": 0.0005, "45th": 0.0005, "46th": 0.0005,  # 9.2.5, memory
}  # fmt: skip


def content_pct(composition: Composition, element: str) -> float:
    """Content of one element ("mn") in mass per cent; zero where it was not analysed.

    Raises InputError: carbon not analysed, or a content outside 0 to 100 %.

    >>> content_pct(Composition(c=0.06), "mn")
    0.0
    """
    value: float | None = getattr(composition, element)
    if value is None and element != "c":
        return 0.0
    if value is None:
        raise InputError("c", found="not analysed", expected="the carbon content")
    return within(element, value, 0.0, 100.0)


def weighted_pct(composition: Composition, divisors: Mapping[str, float]) -> float:
    """Sum of contents, each over its divisor, in per cent.

    Raises InputError as `content_pct`.

    >>> weighted_pct(Composition(c=0.1, mn=1.2), {"c": 1, "mn": 6})
    0.3
    """
    return sum(content_pct(composition, element) / by for element, by in divisors.items())


def not_analysed(composition: Composition, formula: str) -> tuple[str, ...]:
    """Elements of a carbon equivalent ("CE_IIW", "CEN", ...) that the composition leaves blank.

    Raises InputError: another formula.

    >>> not_analysed(Composition(c=0.1, mn=1.2, cr=0.1, mo=0.0, v=0.0), "CE_IIW")
    ('ni', 'cu')
    """
    divisors = {**DIVISORS, "CEN": {"c": 1, **CEN_DIVISORS}}.get(formula)
    if divisors is None:
        raise InputError("formula", found=repr(formula), expected=", ".join([*DIVISORS, "CEN"]))
    return tuple(element for element in divisors if getattr(composition, element) is None)


def ce_iiw_pct(composition: Composition) -> float:
    """Carbon equivalent of the International Institute of Welding, %.

    Formula: C + Mn/6 + (Cr + Mo + V)/5 + (Ni + Cu)/15
    Source: API 5L, 46th edition, 9.2.4; EN 1011-2:2001, C.2 (secondary). Raises InputError as
    `content_pct`.

    >>> round(ce_iiw_pct(Composition(c=0.06, mn=1.5, cr=0.03, mo=0.01, v=0.03)), 4)
    0.324
    """
    return weighted_pct(composition, DIVISORS["CE_IIW"])


def ce_aws_pct(composition: Composition) -> float:
    """Carbon equivalent of AWS structural welding, with silicon, %.

    Formula: C + (Mn + Si)/6 + (Cr + Mo + V)/5 + (Ni + Cu)/15
    Source: AWS D1.1:2020, Annex B (clause from memory). Raises InputError as `content_pct`.

    >>> round(ce_aws_pct(Composition(c=0.17, si=0.45, mn=1.48)), 4)
    0.4917
    """
    return weighted_pct(composition, DIVISORS["CE_AWS"])


def pcm_pct(
    composition: Composition,
    *,
    heat_boron_pct: float | None = None,
    boron_floor_pct: float = 0.0,
) -> float:
    """Carbon equivalent Pcm of low-carbon steel, %.

    Formula: C + Si/30 + (Mn + Cu + Cr)/20 + Ni/60 + Mo/15 + V/10 + 5 B
    The standard lets boron count as zero when the heat analysis (`heat_boron_pct`; that of the
    composition where None) has less than a floor, which is `BORON_FLOOR_PCT` by edition. By
    default boron always counts, the stricter reading.
    Source: API 5L, 46th edition, 9.2.5 (secondary); boron: 43rd edition, 6.1.3.1(a) (read).
    Raises InputError as `content_pct`.

    >>> steel = Composition(c=0.06, si=0.25, mn=1.5, b=0.0004)
    >>> round(pcm_pct(steel), 6), round(pcm_pct(steel, boron_floor_pct=BORON_FLOOR_PCT["43rd"]), 6)
    (0.145333, 0.143333)
    """
    total = weighted_pct(composition, DIVISORS["CE_Pcm"])
    boron = content_pct(composition, "b")
    heat = boron if heat_boron_pct is None else within("heat_boron_pct", heat_boron_pct, 0, 100)
    return total - boron / DIVISORS["CE_Pcm"]["b"] if heat < boron_floor_pct else total


def cet_pct(composition: Composition) -> float:
    """Carbon equivalent CET, made for preheat by method B of EN 1011-2, %.

    Formula: C + (Mn + Mo)/10 + (Cr + Cu)/20 + Ni/40
    Limits (memory): C 0.05-0.32, Si up to 0.8, Mn 0.5-1.9, Cr up to 1.5, Cu up to 0.7, Mo up to
    0.75, Nb up to 0.06, Ni up to 2.5, Ti up to 0.12, V up to 0.18, B up to 0.005 %: see
    `cet_faults`, which a preheat calculation asks; the sum itself is formed of any steel.
    Source: EN 1011-2:2001, C.3.2 (secondary). Raises InputError as `content_pct`.

    >>> round(cet_pct(Composition(c=0.06, mn=1.5, mo=0.01, cr=0.03, cu=0.02, ni=0.02)), 4)
    0.214
    """
    return weighted_pct(composition, DIVISORS["CET"])


CET_LIMITS_PCT = {
    "c": (0.05, 0.32), "si": (0.0, 0.8), "mn": (0.5, 1.9), "cr": (0.0, 1.5), "cu": (0.0, 0.7),
    "mo": (0.0, 0.75), "nb": (0.0, 0.06), "ni": (0.0, 2.5), "ti": (0.0, 0.12), "v": (0.0, 0.18),
    "b": (0.0, 0.005),
}  # fmt: skip


def cet_faults(composition: Composition) -> tuple[str, ...]:
    """Elements outside the compositions for which method B was established, in words.

    Source: EN 1011-2:2001, C.3.2 (memory). Raises InputError as `content_pct`.

    >>> cet_faults(Composition(c=0.4, mn=1.2))
    ('c 0.4 %, not 0.05 to 0.32 %',)
    """
    contents = {element: content_pct(composition, element) for element in CET_LIMITS_PCT}
    return tuple(
        f"{element} {contents[element]:g} %, not {low:g} to {high:g} %"
        for element, (low, high) in CET_LIMITS_PCT.items()
        if not low <= contents[element] <= high
    )


def accommodation_factor(c_pct: float) -> float:
    """Accommodation factor A(C) of the carbon equivalent CEN.

    Formula: 0.75 + 0.25 tanh(20 (C - 0.12))
    Source: Yurioka, 1987 form (secondary). Raises InputError outside 0 to 100 % carbon.

    >>> accommodation_factor(0.12), round(accommodation_factor(0.25), 6)
    (0.75, 0.997257)
    """
    return 0.75 + 0.25 * tanh(20 * (within("c_pct", c_pct, 0.0, 100.0) - 0.12))


def tabulated_accommodation_factor(c_pct: float) -> float:
    """The same factor as the Canadian pipeline standards tabulate it, by 0.01 % carbon.

    Carbon between two rows takes the upper one, which is the stricter reading.
    Source: CSA Z245.1-07, Z662-99 (secondary). Raises InputError outside 0 to 100 % carbon.

    >>> [tabulated_accommodation_factor(c) for c in (0.05, 0.06, 0.125, 0.25)]
    [0.53, 0.54, 0.8, 1.0]
    """
    if within("c_pct", c_pct, 0.0, 100.0) < 0.06:
        return 0.53
    return next((f for end, f in ACCOMMODATION_TABLE if c_pct <= end), 1.0)


def cen_bracket_pct(composition: Composition) -> float:
    """The part of CEN that the accommodation factor multiplies, %.

    Formula: Si/24 + Mn/6 + Cu/15 + Ni/20 + (Cr + Mo + V + Nb)/5 + 5 B
    Source: CSA Z662-99 (read); Yurioka. Raises InputError as `content_pct`.

    >>> round(cen_bracket_pct(Composition(c=0.1, mn=1.2)), 6)
    0.2
    """
    return weighted_pct(composition, CEN_DIVISORS)


def cen_pct(composition: Composition, factor: float | None = None) -> float:
    """Carbon equivalent CEN, for low and higher carbon alike, %.

    Formula: C + A(C) [Si/24 + Mn/6 + Cu/15 + Ni/20 + (Cr + Mo + V + Nb)/5 + 5 B]; `factor` takes
    the place of A(C), for the tabulated one. The two differ in the third decimal: print which.
    Source: CSA Z662-99 (read, with factor 1.00); Yurioka, tanh form (secondary). Raises
    InputError as `content_pct`, or a factor outside 0.5 to 1.

    >>> steel = Composition(c=0.12, mn=1.2)
    >>> round(cen_pct(steel), 4), round(cen_pct(steel, factor=1.0), 4)
    (0.27, 0.32)
    """
    carbon = content_pct(composition, "c")
    used = accommodation_factor(carbon) if factor is None else within("factor", factor, 0.5, 1.0)
    return carbon + used * cen_bracket_pct(composition)


@dataclass(frozen=True, slots=True)
class CarbonLimit:
    """Which carbon equivalent applies and its highest value; None: as purchaser and mill agree."""

    formula: str
    limit_pct: float | None
    basis: Basis


# Grade by yield strength in MPa and by the number of its X designation. L555 and over from memory.
_GRADE = re.compile(r"(?:L(\d{3})|X(\d{2,3})|(B))([NQMR]?)")
_X_TO_L = {42: 290, 46: 320, 52: 360, 56: 390, 60: 415, 65: 450, 70: 485, 80: 555, 90: 625,
           100: 690, 120: 830}  # fmt: skip
PSL2_BASIS = Basis("API 5L", "45th", "9.2.4, 9.2.5 and Table 5", "secondary")


def _yield_and_delivery(grade: str) -> tuple[int, str]:
    match = _GRADE.fullmatch(grade.strip().upper())
    if match is None:
        raise InputError("grade", found=repr(grade), expected="a PSL 2 grade such as L450M or X65M")
    metric, imperial, b, delivery = match.groups()
    strength = 245 if b else int(metric or _X_TO_L.get(int(imperial), 0))
    if strength not in {245, *_X_TO_L.values()}:
        raise InputError("grade", found=repr(grade), expected="a grade of API 5L, B to X120")
    return strength, delivery


def _limit_is_tabulated(strength: int, delivery: str, formula: str) -> bool:
    if delivery == "N":
        return strength < 415
    if delivery == "Q":
        return strength < 555
    return strength <= 555 or formula == "CE_Pcm"


def psl2_limit(
    c_pct: float, grade: str, thickness_mm: float, *, seamless: bool = False
) -> CarbonLimit:
    """Carbon equivalent that judges PSL 2 pipe, chosen by the carbon of the product analysis.

    Up to and with 0.12 % carbon Pcm applies, limit 0.25 %; above it CE(IIW), limit 0.43 %. The
    limits are as agreed, so None, for a wall over 25.0 mm, for seamless pipe over 20.0 mm, and
    for the highest grades. Grades: "L450M", "X65M" (delivery letter N, Q, M or R last).
    Source: API 5L, 45th edition, 9.2.4, 9.2.5, Table 5 (secondary for L245 to L485; N and Q
    exceptions and the grades above from memory). Raises InputError: no such grade, no thickness.

    >>> limit = psl2_limit(0.12, "L450M", 19.1)
    >>> limit.formula, limit.limit_pct, psl2_limit(0.13, "X65M", 19.1).limit_pct
    ('CE_Pcm', 0.25, 0.43)
    """
    strength, delivery = _yield_and_delivery(grade)
    wall = within("thickness_mm", thickness_mm, 0.1, 500.0)
    formula = "CE_Pcm" if within("c_pct", c_pct, 0.0, 100.0) <= 0.12 else "CE_IIW"
    tabulated = wall <= (20.0 if seamless else 25.0)
    if not (tabulated and _limit_is_tabulated(strength, delivery, formula)):
        return CarbonLimit(formula, None, PSL2_BASIS)
    return CarbonLimit(formula, {"CE_Pcm": 0.25, "CE_IIW": 0.43}[formula], PSL2_BASIS)


@dataclass(frozen=True, slots=True)
class CarbonVerdict:
    """The carbon equivalent that applies to a pipe, its value, and the reason for the verdict."""

    limit: CarbonLimit
    value_pct: float
    reason: Reason


def psl2_verdict(
    composition: Composition, grade: str, thickness_mm: float, *, seamless: bool = False
) -> CarbonVerdict:
    """Judge a product analysis of PSL 2 pipe by the carbon equivalent that applies to it.

    Elements that were not analysed cannot be judged: hold, as is a limit left to agreement.
    Two stricter readings: boron counts, and the value is compared unrounded (0.434 exceeds 0.43).
    Source and errors as `psl2_limit`.

    >>> pipe = Composition(c=0.13, mn=1.6, cr=0.15, mo=0.05, v=0.03, ni=0.1, cu=0.2)
    >>> verdict = psl2_verdict(pipe, "L450M", 19.1)
    >>> round(verdict.value_pct, 6), str(verdict.reason.verdict)
    (0.462667, 'nonconformity')
    """
    limit = psl2_limit(content_pct(composition, "c"), grade, thickness_mm, seamless=seamless)
    value = pcm_pct(composition) if limit.formula == "CE_Pcm" else ce_iiw_pct(composition)
    blank = not_analysed(composition, limit.formula)
    if limit.limit_pct is None:
        reason = Reason(limit.formula, f"{value:.3f} %", "as agreed", limit.basis, HOLD)
    else:
        permitted = Range(0.0, limit.limit_pct, limit.basis, "%")
        reason = permitted.judge(limit.formula, value, NONCONFORMITY)
        if blank and value in permitted:
            found = f"{value:.3f} % without {', '.join(blank)}"
            reason = Reason(limit.formula, found, str(permitted), limit.basis, HOLD)
    return CarbonVerdict(limit, value, reason)
