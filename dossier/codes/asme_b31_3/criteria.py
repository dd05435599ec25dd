"""Acceptance criteria of welds: the letter for each imperfection, and what the letter allows."""

from __future__ import annotations

from dataclasses import dataclass

from dossier.calc.guards import positive
from dossier.codes.asme_b31_3.common import CATEGORY_D, NORMAL, SEVERE, clause
from dossier.errors import InputError
from dossier.records.verdicts import Range

TABLE = "Table 341.3.2"
IMPERFECTIONS = (
    "crack", "lack of fusion", "incomplete penetration", "rounded indications",
    "elongated indication", "undercut", "surface finish", "concave root", "reinforcement",
)  # fmt: skip

# Letters in the order of IMPERFECTIONS, "-" not applicable. Girth columns and the cells that the
# check values name: read (2014); the other cells memory.
_LETTERS = {
    (NORMAL, "girth"): "AABEGH-KL",
    (NORMAL, "longitudinal"): "AAAEGA-KL",
    (NORMAL, "fillet"): "AA---H--L",
    (NORMAL, "branch"): "AABEGH-KL",
    (SEVERE, "girth"): "AAADFAJKL",
    (SEVERE, "longitudinal"): "AAADFAJKL",
    (SEVERE, "fillet"): "AA---AJ-L",
    (SEVERE, "branch"): "AAADFAJKL",
    (CATEGORY_D, "girth"): "ACC--I-KM",
    (CATEGORY_D, "longitudinal"): "AAA--A-KM",
    (CATEGORY_D, "fillet"): "AC---I--M",
    (CATEGORY_D, "branch"): "ACB--I-KM",
}


def criterion(imperfection: str, service: str = NORMAL, weld: str = "girth") -> str:
    """The letter of the criterion, "" where the table asks for none.

    Source: ASME B31.3, Table 341.3.2 (girth read, 2014; other welds partly memory).
    Raises InputError: an imperfection, service or weld that the table does not hold.

    >>> criterion("incomplete penetration"), criterion("rounded indications", "category D")
    ('B', '')
    """
    if (service, weld) not in _LETTERS or imperfection not in IMPERFECTIONS:
        raise InputError(
            "imperfection",
            found=f"{imperfection}, {service}, {weld}",
            expected="one that Table 341.3.2 holds",
        )
    letter = _LETTERS[service, weld][IMPERFECTIONS.index(imperfection)]
    return "" if letter == "-" else letter


@dataclass(frozen=True, slots=True)
class Limits:
    """What a letter allows, in mm; None where it does not bind. Sums count in `window_mm`."""

    letter: str
    depth: Range | None = None
    length: Range | None = None
    width: Range | None = None
    total: Range | None = None
    window_mm: float = 0.0
    height: Range | None = None


def _up_to(letter: str, high: float, known: str = "secondary") -> Range:
    return Range(0, high, clause(f"{TABLE}, criterion {letter}", known))


def limits(letter: str, tw_mm: float) -> Limits:
    """What the letter allows on a wall of `tw_mm`, the thinner of the two members.

    Rounded indications (D, E) are in `length`: one indication, by the size rule of Section VIII
    Division 1, Appendix 4; the charts of many are not carried out here. J and K bind neither.

    Source: ASME B31.3, Table 341.3.2, criterion notes (secondary, 2012; C, D and E memory).
    Raises InputError: tw_mm <= 0, a letter that is not A to M.

    >>> str(limits("B", 4.0).depth), str(limits("G", 10.0).total), str(limits("L", 12.7).height)
    ('up to 0.8 mm', 'up to 40 mm', 'up to 3 mm')
    """
    t = positive("tw_mm", tw_mm)
    if letter in ("A", "B", "C"):
        return _planar(letter, t)
    if letter in ("D", "E"):
        larger = 1.5 if letter == "E" and t > 6 else 1.0
        return Limits(letter, length=_up_to(letter, larger * min(t / 4, 4.0), "memory"))
    if letter in ("F", "G"):
        return _elongated(letter, t)
    if letter in ("H", "I"):
        depth = min(1.0, t / 4) if letter == "H" else min(1.5, max(t / 4, 1.0))
        return Limits(letter, depth=_up_to(letter, depth))
    if letter in ("L", "M"):
        height = 1.5 if t <= 6 else 3.0 if t <= 13 else 4.0 if t <= 25 else 5.0
        return Limits(letter, height=_up_to(letter, height if letter == "L" else 2 * height))
    if letter in ("J", "K"):
        return Limits(letter)
    raise InputError("letter", found=letter, expected="A to M")


def _planar(letter: str, t: float) -> Limits:
    if letter == "A":
        none = _up_to("A", 0.0)
        return Limits("A", depth=none, length=none)
    depth = min(1.0, 0.2 * t) if letter == "B" else 0.2 * t
    known = "secondary" if letter == "B" else "memory"
    return Limits(
        letter,
        depth=_up_to(letter, depth, known),
        total=_up_to(letter, 38.0, known),
        window_mm=150.0,
    )


def _elongated(letter: str, t: float) -> Limits:
    if letter == "F":
        return Limits(
            "F",
            length=_up_to("F", t / 3),
            width=_up_to("F", min(2.5, t / 3)),
            total=_up_to("F", t),
            window_mm=12 * t,
        )
    return Limits(
        "G",
        length=_up_to("G", 2 * t),
        width=_up_to("G", min(3.0, t / 2)),
        total=_up_to("G", 4 * t),
        window_mm=150.0,
    )


def joint_thickness_range(tw_mm: float) -> Range:
    """Thickness of the joint at a concave root, cap included, in mm: not below the wall.

    Source: ASME B31.3, Table 341.3.2, criterion K (secondary, 2012).

    >>> 8.0 in joint_thickness_range(8.0), 7.9 in joint_thickness_range(8.0)
    (True, False)
    """
    basis = clause(f"{TABLE}, criterion K")
    return Range(positive("tw_mm", tw_mm), float("inf"), basis)
