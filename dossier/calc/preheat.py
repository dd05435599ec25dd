"""Preheat against hydrogen cracking, and where its temperature is measured.

Method B of EN 1011-2 (from CET), the examples of method A (from CE(IIW)), and the index of AWS
hydrogen control. A preheat figure is the least for the joint as stated; restraint, wind, wet or
cellulosic electrodes may ask for more, and the qualified procedure governs.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log10, tanh

from dossier.calc.cautions import caution
from dossier.calc.guards import positive, within
from dossier.calc.hydrogen import hydrogen_scale
from dossier.errors import InputError
from dossier.records.verdicts import Basis

CAUTION = caution("hot work")
METHOD_B_BASIS = Basis("EN 1011-2", "2001", "Annex C.3, formula for the preheat", "secondary")
METHOD_A_BASIS = Basis("EN 1011-2", "2001", "C.2.2, Table C.1", "read")
MEASURE_BASIS = Basis("ISO 13916", "2017", "4.1", "read")
AWS_BASIS = Basis("AWS D1.1", "2020", "Annex B, hydrogen control", "secondary")

# The factor of CET and the constant, by source.
METHOD_B_CONSTANTS = {"EN 1011-2": (697.0, -328.0), "SEW 088": (700.0, -330.0)}

# The hydrogen range is read; the other three are from memory.
METHOD_B_LIMITS = {
    "cet_pct": (0.20, 0.50),
    "thickness_mm": (10.0, 90.0),
    "hydrogen_ml_100g": (1.0, 20.0),
    "heat_input_kj_mm": (0.5, 4.0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class MethodB:
    """What method B asks of a joint: the governing CET, the plate, the hydrogen, the heat input."""

    cet_pct: float
    thickness_mm: float
    hydrogen_ml_100g: float
    heat_input_kj_mm: float


@dataclass(frozen=True, slots=True)
class MethodBTerms:
    """The five terms of method B in °C, and their sum, the preheat temperature."""

    cet_c: float
    thickness_c: float
    hydrogen_c: float
    heat_input_c: float
    constant_c: float

    @property
    def preheat_c(self) -> float:
        """The sum of the five terms; at or below the workpiece's own temperature: no preheat."""
        return sum(
            (self.cet_c, self.thickness_c, self.hydrogen_c, self.heat_input_c, self.constant_c)
        )


def method_b_faults(joint: MethodB) -> tuple[str, ...]:
    """The inputs of `joint` that lie outside the limits of method B, in words; none: it applies.

    Limits: CET 0.20-0.50 %, thickness 10-90 mm, hydrogen 1-20 ml/100 g, heat input 0.5-4.0 kJ/mm.
    Cellulosic electrodes lie far above the hydrogen limit, so method B is not for them.
    Source: EN 1011-2:2001, C.3 (hydrogen read, the others from memory).

    >>> cellulosic = MethodB(
    ...     cet_pct=0.26, thickness_mm=14.3, hydrogen_ml_100g=35, heat_input_kj_mm=0.8
    ... )
    >>> method_b_faults(cellulosic)
    ('hydrogen_ml_100g 35, not 1 to 20',)
    """
    return tuple(
        f"{name} {getattr(joint, name):g}, not {low:g} to {high:g}"
        for name, (low, high) in METHOD_B_LIMITS.items()
        if not low <= getattr(joint, name) <= high
    )


def method_b(joint: MethodB, constants: str = "EN 1011-2") -> MethodBTerms:
    """Preheat temperature by method B of EN 1011-2, term by term, in °C.

    Formula: 697 CET + 160 tanh(d/35) + 62 HD^0.35 + (53 CET - 32) Q - 328. `constants` "SEW 088"
    takes 700 and -330 instead, for comparison with work done to that sheet.
    Limits: those of `method_b_faults`. A result below the ambient temperature is normal for thin
    lean steel and is not a preheat: see `preheat_to_state_c`.
    Source: EN 1011-2:2001 with A1:2003, C.3; SEW 088 Beiblatt 1:1993 (both secondary).
    Raises InputError: an input outside its limit, other constants.

    >>> terms = method_b(
    ...     MethodB(cet_pct=0.3, thickness_mm=40, hydrogen_ml_100g=5, heat_input_kj_mm=1.0)
    ... )
    >>> round(terms.preheat_c, 2), round(terms.thickness_c, 2)
    (104.36, 130.46)
    """
    for name, (low, high) in METHOD_B_LIMITS.items():
        within(name, getattr(joint, name), low, high)
    if constants not in METHOD_B_CONSTANTS:
        known = " or ".join(METHOD_B_CONSTANTS)
        raise InputError("constants", found=repr(constants), expected=known)
    per_cet, constant = METHOD_B_CONSTANTS[constants]
    return MethodBTerms(
        cet_c=per_cet * joint.cet_pct,
        thickness_c=160 * tanh(joint.thickness_mm / 35),
        hydrogen_c=62 * joint.hydrogen_ml_100g**0.35,
        heat_input_c=(53 * joint.cet_pct - 32) * joint.heat_input_kj_mm,
        constant_c=constant,
    )


def design_cet_pct(parent_cet_pct: float, weld_metal_cet_pct: float) -> float:
    """CET to use in method B: of the parent metal, or of the weld metal plus 0.03 % if higher.

    Source: EN 1011-2:2001, C.3 (margin secondary; that the higher governs, from memory).
    Raises InputError outside 0 to 100 %.

    >>> design_cet_pct(0.25, 0.24), design_cet_pct(0.30, 0.24)
    (0.27, 0.3)
    """
    parent = within("parent_cet_pct", parent_cet_pct, 0.0, 100.0)
    weld = within("weld_metal_cet_pct", weld_metal_cet_pct, 0.0, 100.0)
    return max(parent, weld + 0.03)


def preheat_to_state_c(calculated_c: float, workpiece_c: float) -> float | None:
    """The preheat to write down; None when the workpiece is already as warm as calculated.

    Source: EN 1011-2:2001, Annex C (secondary).
    Raises InputError: a workpiece outside -60 to 500 °C, a calculated figure above 500 °C.

    >>> preheat_to_state_c(104.4, 20.0), preheat_to_state_c(-61.7, 20.0)
    (104.4, None)
    """
    within("workpiece_c", workpiece_c, -60.0, 500.0)
    within("calculated_c", calculated_c, -500.0, 500.0)
    return calculated_c if calculated_c > workpiece_c else None


# CE(IIW) up to -> heat input from, kJ/mm -> scales A, B, C, D, E: largest combined thickness, mm.
METHOD_A_TABLE = (
    (0.43, 2.0, (80, 90, 100, 100, 100)),
    (0.43, 1.0, (40, 50, 60, 100, 100)),
    (0.49, 2.0, (50, 55, 65, 100, 100)),
    (0.49, 1.0, (25, 30, 35, 50, 60)),
)


def method_a_thickness_mm(
    ce_iiw_pct: float, heat_input_kj_mm: float, hydrogen_ml_100g: float
) -> float:
    """Largest combined thickness weldable without preheat, by the examples of method A, in mm.

    The standard prints four columns, CE 0.43 and 0.49 at 1.0 and 2.0 kJ/mm. A steel or heat input
    between them takes the next stricter column. The examples do not replace the curves of the
    standard, which govern.
    Limits: CE(IIW) up to 0.49, heat input from 1.0 kJ/mm.
    Source: EN 1011-2:2001, C.2.2, Table C.1 (read). Raises InputError outside the limits.

    >>> method_a_thickness_mm(0.49, 1.0, 7.0), method_a_thickness_mm(0.45, 1.5, 7.0)
    (35.0, 35.0)
    """
    steel = positive("ce_iiw_pct", ce_iiw_pct)
    heat = positive("heat_input_kj_mm", heat_input_kj_mm)
    column = "ABCDE".index(hydrogen_scale(hydrogen_ml_100g))
    for ce_limit, heat_from, thicknesses in METHOD_A_TABLE:
        if steel <= ce_limit and heat >= heat_from:
            return float(thicknesses[column])
    if steel > 0.49:
        raise InputError("ce_iiw_pct", found=ce_iiw_pct, expected="at most 0.49")
    raise InputError("heat_input_kj_mm", found=heat_input_kj_mm, expected="at least 1.0")


def combined_thickness_mm(joint: str, t1_mm: float, t2_mm: float) -> float:
    """Combined thickness, the sum of the paths by which heat leaves the weld, in mm.

    "butt": t1 + t2. "T fillet": the through plate counts on both sides, 2 t1 + t2, with t1 the
    through plate and t2 the abutting one. "twin fillet", both sides welded at once: half of that.
    Where a thickness changes near the weld, it is the mean over 75 mm from the weld line.
    Source: EN 1011-2:2001, C.2.4, Figure C.1 (memory). Raises InputError: another joint.

    >>> [combined_thickness_mm(j, 20, 10) for j in ("butt", "T fillet", "twin fillet")]
    [30.0, 50.0, 25.0]
    """
    through, other = positive("t1_mm", t1_mm), positive("t2_mm", t2_mm)
    sums = {
        "butt": through + other,
        "T fillet": 2 * through + other,
        "twin fillet": through + other / 2,
    }
    if joint not in sums:
        raise InputError("joint", found=repr(joint), expected=" or ".join(sums))
    return float(sums[joint])


def measuring_distance_mm(thickness_mm: float) -> float:
    """Distance from the groove edge at which preheat and interpass are measured, in mm.

    Up to 50 mm thickness four times the thickness, at most 50 mm, on the face towards the
    welder. Thicker: the temperature must exist at 75 mm in any direction.
    Source: ISO 13916:2017, 4.1 (read). Raises InputError: thickness not more than 0.

    >>> [measuring_distance_mm(t) for t in (8, 12.5, 50, 60)]
    [32.0, 50.0, 50.0, 75.0]
    """
    thickness = positive("thickness_mm", thickness_mm)
    return 75.0 if thickness > 50 else min(4.0 * thickness, 50.0)


# Upper end of the index -> group. Printed to one decimal; what lies between takes the higher group.
SUSCEPTIBILITY_GROUPS = (
    (3.0, "A"), (3.5, "B"), (4.0, "C"), (4.5, "D"), (5.0, "E"), (5.5, "F"), (7.0, "G"),
)  # fmt: skip


def susceptibility_index(pcm_pct: float, hydrogen_ml_100g: float) -> float:
    """Susceptibility index of AWS hydrogen control.

    Formula: 12 Pcm + log10 H
    Source: AWS D1.1:2020, Annex B (formula from memory; a worked example agrees).
    Raises InputError unless both are more than 0.

    >>> round(susceptibility_index(0.28, 10.0), 2)
    4.36
    """
    pcm = positive("pcm_pct", pcm_pct)
    return 12 * pcm + log10(positive("hydrogen_ml_100g", hydrogen_ml_100g))


def susceptibility_group(pcm_pct: float, hydrogen_ml_100g: float) -> str:
    """Susceptibility group, A (least) to G, of AWS hydrogen control.

    Limits: index up to 7.0.
    Source: AWS D1.1:2020, Annex B, grouping table (from memory; a worked example agrees).
    Raises InputError outside the limit.

    >>> susceptibility_group(0.28, 10.0)
    'D'
    """
    index = susceptibility_index(pcm_pct, hydrogen_ml_100g)
    for end, group in SUSCEPTIBILITY_GROUPS:
        if index <= end:
            return group
    raise InputError("susceptibility index", found=round(index, 2), expected="at most 7.0")
