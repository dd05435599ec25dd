"""Test results: tension and bend specimens, radiographs of welders' tests, coupons."""

from __future__ import annotations

from math import ceil, inf, pi

from dossier.calc.guards import positive
from dossier.codes.asme_ix.common import clause, passes_over, reaches, size
from dossier.codes.asme_ix.variables import process_name
from dossier.records.verdicts import Range

TENSION = clause("QW-153.1")
BEND = clause("QW-163", "memory")
SLAG = clause("QW-191.1.2.2(a)", "read")
ROUNDED = clause("QW-191.1.2.2(b)")
VOLUMETRIC_LENGTH = clause("QW-302.2")


def tension_range(specified_mpa: float, *, broke_in_base_metal: bool) -> Range:
    """Tensile strength that passes, in MPa; 5 % short is taken outside the weld.

    Source: Section IX, QW-153.1 (secondary). Raises InputError: specified_mpa <= 0.

    >>> str(tension_range(415.0, broke_in_base_metal=True))
    'from 394.3 MPa'
    """
    share = 0.95 if broke_in_base_metal else 1.0
    return Range(share * positive("specified_mpa", specified_mpa), inf, TENSION, "MPa")


def bend_opening_range(units: str = "SI") -> Range:
    """Open defect on the convex side of a bend specimen that passes, in mm, any direction.

    Corner cracks count only with evidence of a defect inside (not judged here).
    Source: Section IX, QW-163 (memory).

    >>> 3.0 in bend_opening_range(), 3.1 in bend_opening_range()
    (True, False)
    """
    return Range(0, size(3, 1 / 8, units), BEND)


def procedure_specimens(coupon_mm: float, units: str = "SI") -> dict[str, int]:
    """Specimens of a groove test with transverse bends. From 10 mm four side bends may stand in.

    Source: Section IX, QW-451.1 (read; the substitute memory). Raises InputError: not positive.

    >>> procedure_specimens(19.0)["side_bend"]
    4
    """
    side = reaches(positive("coupon_mm", coupon_mm), size(19, 3 / 4, units))
    faces = 0 if side else 2
    return {"tension": 2, "face_bend": faces, "root_bend": faces, "side_bend": 4 if side else 0}


def welder_bends(deposit_mm: float, positions: frozenset[str], units: str = "SI") -> dict[str, int]:
    """Bend specimens of a welder's groove test, and their number in `total`.

    Under 10 mm face and root; from 10 mm side bends (under 19 mm face and root may stand in).
    Four in 5G or 6G, six where 2G and 5G share one coupon.

    Source: Section IX, Table QW-452.1(a) (read, 2011). Raises InputError: deposit_mm <= 0.

    >>> welder_bends(9.0, frozenset({"6G"}))["total"]
    4
    """
    total = 6 if positions >= {"2G", "5G"} else 4 if positions & {"5G", "6G"} else 2
    if reaches(positive("deposit_mm", deposit_mm), size(10, 3 / 8, units)):
        return {"side_bend": total, "total": total}
    return {"face_bend": total // 2, "root_bend": total // 2, "total": total}


def fillet_macro_faces(product: str) -> int:
    """Faces to etch of a fillet procedure test: five of plate, four of pipe.

    Source: Section IX, QW-451.3 (read).

    >>> fillet_macro_faces("pipe")
    4
    """
    return 5 if product == "plate" else 4


def radiography_may_replace_bends(process: str, transfer: str = "") -> bool:
    """A welder's bends may be replaced by volumetric examination for this process.

    Not for the short-circuiting mode, nor where the mode was not recorded; flux-cored arc counts
    with gas metal-arc (memory). Source: Section IX, 2007, QW-304 (secondary).

    >>> radiography_may_replace_bends("135", "short circuit")
    False
    """
    name = process_name(process)
    if name == "GMAW":
        return transfer not in ("", "short circuit")
    return name in ("SMAW", "SAW", "GTAW", "PAW", "FCAW")


def volumetric_length(role: str = "welder", units: str = "SI") -> Range:
    """Length to examine in place of bends, in mm: of a coupon or a first production weld.

    A welder 150 mm, an operator on production 1 m. Of pipe the whole circumference.
    Source: Section IX, QW-302.2, QW-304.1, QW-305.1 (secondary; the metre memory).

    >>> volumetric_length("operator").low
    1000
    """
    least = size(1000, 36, units) if role == "operator" else size(150, 6, units)
    return Range(least, inf, VOLUMETRIC_LENGTH)


def small_pipe_coupons(od_mm: float, units: str = "SI") -> int:
    """Pipe coupons to reach 150 mm of circumference, at most four.

    Source: Section IX, QW-302.2 (secondary). Raises InputError: od_mm <= 0.

    >>> small_pipe_coupons(21.3), small_pipe_coupons(10.3)
    (3, 4)
    """
    around = pi * positive("od_mm", od_mm)
    return min(4, ceil(size(150, 6, units) / around))


def coupon_for_welders(welders: int, units: str = "SI") -> Range:
    """Thickness of one coupon that several welders share, in mm: three or more need 19 mm.

    Source: Section IX, Table QW-452.1(b), note 3 (secondary).

    >>> 18.9 in coupon_for_welders(3)
    False
    """
    least = size(19, 3 / 4, units) if welders >= 3 else 0
    return Range(least, inf, clause("Table QW-452.1(b), note 3"))


def slag_length_range(t_mm: float, units: str = "SI") -> Range:
    """Elongated slag in a welder's test radiograph that passes, in mm; `t_mm` without cap.

    Source: Section IX, QW-191.1.2.2(a) (read, 2019). Raises InputError: t_mm <= 0.

    >>> str(slag_length_range(12.0))
    'up to 4 mm'
    """
    t = positive("t_mm", t_mm)
    if not passes_over(t, size(10, 3 / 8, units)):
        return Range(0, size(3, 1 / 8, units), SLAG)
    if not passes_over(t, size(57, 2.25, units)):
        return Range(0, t / 3, SLAG)
    return Range(0, size(19, 3 / 4, units), SLAG)


def rounded_range(t_mm: float, units: str = "SI") -> Range:
    """Largest dimension of a rounded indication that passes, in mm: 20 % of t, at most 3 mm.

    Source: Section IX, QW-191.1.2.2(b) (secondary). Raises InputError: t_mm <= 0.

    >>> str(rounded_range(8.0))
    'up to 1.6 mm'
    """
    return Range(0, min(0.2 * positive("t_mm", t_mm), size(3, 1 / 8, units)), ROUNDED)


def linear_allowed(kind: str) -> bool:
    """A linear indication of this kind may pass at all: cracks and zones never do.

    Source: Section IX, QW-191.1.2.2(a)(1) (read, 2019).

    >>> linear_allowed("crack"), linear_allowed("elongated slag")
    (False, True)
    """
    return kind.replace("_", " ") not in ("crack", "incomplete fusion", "incomplete penetration")
