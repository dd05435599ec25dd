"""ISO 17636-1:2013: radiographic testing of fusion-welded joints with film.

The source distance, the wire to be seen, the density, and which source suits which thickness.
CAUTION (module constant) belongs on every sheet that prints a technique.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from types import MappingProxyType
from typing import NamedTuple

from dossier.calc.cautions import caution
from dossier.calc.guards import not_negative, positive
from dossier.calc.radiography import wall_ratio
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Basis, Range, Reason

CAUTION = caution("radiation")

_STANDARD, _EDITION = "ISO 17636-1", "2013"
DISTANCE = Basis(_STANDARD, _EDITION, "7.6", known="secondary")
OFF_AXIS = Basis(_STANDARD, _EDITION, "7.6", known="read")
ON_AXIS = Basis(_STANDARD, _EDITION, "7.6, 7.1.4", known="memory")
CLASS_B_FALLBACK = Basis(_STANDARD, _EDITION, "5", known="read")
DENSITY = Basis(_STANDARD, _EDITION, "7.8, Table 5", known="memory")
SOURCES = Basis(_STANDARD, _EDITION, "7.2.2, Table 2", known="secondary")
WIRES = Basis(_STANDARD, _EDITION, "Annex B", known="secondary")
RELAXATION = Basis(_STANDARD, _EDITION, "6.9", known="memory")
ELLIPTICAL = Basis(_STANDARD, _EDITION, "7.1.6", known="secondary")

_FACTOR = MappingProxyType({"A": 7.5, "B": 15.0})
_DOUBLE_IMAGE = ("elliptical", "perpendicular")


class Distance(NamedTuple):
    """The thickness that counted and the least distance from source to object, in mm."""

    b_used_mm: float
    f_min_mm: float


class Panoramic(NamedTuple):
    """A shot from the pipe axis: distance had, distance asked, shortfall, and the reason."""

    f_mm: float
    f_min_mm: float
    reduction_pct: float
    reason: Reason


def _class(test_class: str) -> str:
    if test_class not in _FACTOR:
        raise InputError("test_class", found=test_class, expected="A or B")
    return test_class


def min_source_to_object(
    test_class: str, source_size_mm: float, object_to_film_mm: float, nominal_thickness_mm: float
) -> Distance:
    """Least distance from the source to the source side of the object, in mm.

    An object to film distance below 1.2 times the nominal thickness counts as that thickness.

    Formula: f = 7.5 d b^(2/3) in class A, 15 d b^(2/3) in class B
    Source: ISO 17636-1:2013, 7.6 (secondary).
    Raises InputError for an unknown class or a length of 0 or less.

    >>> min_source_to_object("B", 2.0, 11.9, 10.0).b_used_mm
    10.0
    """
    thickness = positive("nominal_thickness_mm", nominal_thickness_mm)
    b = positive("object_to_film_mm", object_to_film_mm)
    # The product 1.2 t is rounded so that 12.0 mm on a 10 mm wall is not below it.
    if b < round(1.2 * thickness, 9):
        b = thickness
    size = positive("source_size_mm", source_size_mm)
    return Distance(b, float(_FACTOR[_class(test_class)] * size * b ** (2.0 / 3.0)))


def min_source_to_object_pipe(
    technique: str,
    test_class: str,
    source_size_mm: float,
    outside_diameter_mm: float,
    wall_mm: float,
) -> Distance:
    """Least distance from the source to the pipe for a shot through both walls, in mm.

    `technique` is "elliptical" or "perpendicular" (double image: the outside diameter counts as
    b) or "double_wall_single_image" (only the wall next to the film counts).

    Formula: f = 7.5 d b^(2/3) in class A, 15 d b^(2/3) in class B
    Source: ISO 17636-1:2013, 7.6 (b read, factors secondary).
    Raises InputError for an unknown technique or class, or an impossible wall.

    >>> round(min_source_to_object_pipe("elliptical", "A", 2.0, 88.9, 5.49).f_min_mm, 1)
    298.8
    """
    wall_ratio(wall_mm, outside_diameter_mm)
    if technique in _DOUBLE_IMAGE:
        return min_source_to_object(test_class, source_size_mm, outside_diameter_mm, wall_mm)
    if technique != "double_wall_single_image":
        known = ", ".join((*_DOUBLE_IMAGE, "double_wall_single_image"))
        raise InputError("technique", found=technique, expected=f"one of {known}")
    return min_source_to_object(test_class, source_size_mm, wall_mm, wall_mm)


def lowest_distance_mm(f_min_mm: float, source_position: str) -> float:
    """How far the least distance may be cut for the sake of a better position, in mm.

    `source_position` is "inside_on_axis" (by half, if the wire is seen), "inside_off_axis"
    (by a fifth, where it avoids a double-wall shot) or "outside" (not at all).

    Source: ISO 17636-1:2013, 7.6 (a fifth read, a half memory).
    Raises InputError for an unknown position or a distance of 0 or less.

    >>> lowest_distance_mm(245.0, "inside_off_axis")
    196.0
    """
    kept = {"inside_on_axis": 0.5, "inside_off_axis": 0.8, "outside": 1.0}
    if source_position not in kept:
        raise InputError(
            "source_position", found=source_position, expected=f"one of {', '.join(kept)}"
        )
    return kept[source_position] * positive("f_min_mm", f_min_mm)


def panoramic(
    test_class: str,
    source_size_mm: float,
    outside_diameter_mm: float,
    wall_mm: float,
    *,
    iqi_met: bool,
) -> Panoramic:
    """Whether a source on the pipe axis, with the film outside, is far enough from the wall.

    The reason is clear without any reduction, or with one of up to 50 percent when the required
    wire is seen (`iqi_met`); else a nonconformity.

    Source: ISO 17636-1:2013, 7.6 and 7.1.4 (50 percent from memory).
    Raises InputError for an unknown class or an impossible wall.

    >>> round(panoramic("B", 2.0, 168.3, 7.11, iqi_met=True).reduction_pct, 1)
    30.5
    """
    wall_ratio(wall_mm, outside_diameter_mm)
    f = outside_diameter_mm / 2.0 - wall_mm
    f_min = min_source_to_object(test_class, source_size_mm, wall_mm, wall_mm).f_min_mm
    shortfall = max(0.0, 100.0 * (1.0 - f / f_min))
    lowest = lowest_distance_mm(f_min, "inside_on_axis") if iqi_met else f_min
    reason = Range(lowest, inf, ON_AXIS).judge("source to object distance", f)
    return Panoramic(f, f_min, shortfall, reason)


def min_density(test_class: str) -> float:
    """Lowest optical density in the evaluated area of the film.

    Source: ISO 17636-1:2013, 7.8, Table 5 (memory). Raises InputError for an unknown class.

    >>> min_density("A"), min_density("B")
    (2.0, 2.3)
    """
    return {"A": 2.0, "B": 2.3}[_class(test_class)]


def density(test_class: str, found: float) -> Reason:
    """The reason for a measured density against the class.

    The reading tolerance of 0.1 is not used: the stricter reading.

    Source: ISO 17636-1:2013, 7.8, Table 5 (memory). Raises InputError for an unknown class.

    >>> str(density("B", 2.1).verdict)
    'nonconformity'
    """
    return Range(min_density(test_class), inf, DENSITY, unit="").judge("density", found)


def class_b_fallback_density(*, film_class_better: bool) -> float:
    """Lowest density when source or distance of class A was agreed inside a class B job.

    3.0, or 2.6 with a better film class.

    Source: ISO 17636-1:2013, 5 (read).

    >>> class_b_fallback_density(film_class_better=True)
    2.6
    """
    return 2.6 if film_class_better else 3.0


def class_b_fallback(found: float, *, film_class_better: bool) -> Reason:
    """The density reason when source or distance of class A was agreed inside a class B job.

    Source: ISO 17636-1:2013, 5 (read).

    >>> class_b_fallback(2.7, film_class_better=False).permitted
    'from 3'
    """
    least = class_b_fallback_density(film_class_better=film_class_better)
    return Range(least, inf, CLASS_B_FALLBACK, unit="").judge("density", found)


# Penetrated thickness of steel in mm, least and largest, by class.
_SOURCE_RANGES = MappingProxyType(
    {
        "Tm-170": {"A": (0.0, 5.0), "B": (0.0, 5.0)},
        "Yb-169": {"A": (1.0, 15.0), "B": (2.0, 12.0)},
        "Se-75": {"A": (10.0, 40.0), "B": (14.0, 40.0)},
        "Ir-192": {"A": (20.0, 100.0), "B": (20.0, 90.0)},
        "Co-60": {"A": (40.0, 200.0), "B": (60.0, 150.0)},
    }
)


def source_range(source: str, test_class: str) -> Range:
    """Penetrated steel thickness for which a gamma source may be used, in mm.

    By agreement Ir-192 may go down to 10 mm and Se-75 to 5 mm; that is not counted here.

    Source: ISO 17636-1:2013, 7.2.2, Table 2 (secondary). Raises InputError for an unknown one.

    >>> str(source_range("Se-75", "B"))
    '14 to 40 mm'
    """
    if source not in _SOURCE_RANGES:
        raise InputError("source", found=source, expected=f"one of {', '.join(_SOURCE_RANGES)}")
    low, high = _SOURCE_RANGES[source][_class(test_class)]
    return Range(low, high, SOURCES)


def suitable_sources(test_class: str, penetrated_thickness_mm: float) -> tuple[str, ...]:
    """The gamma sources whose range holds a penetrated thickness, softest first.

    Source: ISO 17636-1:2013, 7.2.2, Table 2 (secondary). Raises InputError for 0 or less.

    >>> suitable_sources("A", 12.7)
    ('Yb-169', 'Se-75')
    """
    thickness = positive("penetrated_thickness_mm", penetrated_thickness_mm)
    return tuple(s for s in _SOURCE_RANGES if thickness in source_range(s, test_class))


WIRE_DIAMETERS_MM = MappingProxyType(
    dict(
        enumerate(
            (
                *(3.2, 2.5, 2.0, 1.6, 1.25, 1.0, 0.8, 0.63, 0.5, 0.4, 0.32, 0.25, 0.2, 0.16),
                *(0.125, 0.1, 0.08, 0.063, 0.05),
            ),
            start=1,
        )
    )
)

# Annex B by technique: the finest wire, then the thickness up to which (included) each wire is
# asked for, one wire coarser a step; above the last thickness the next coarser wire holds. The
# first steps and those asked by the reference figures are secondary, the others memory.
WIRE_TABLES: MappingProxyType[str, tuple[str, int, Sequence[float]]] = MappingProxyType(
    {
        "single wall, source side, class A": (
            *("Table B.1", 18),
            (1.2, 2, 3.5, 5, 7, 10, 15, 25, 32, 40, 55, 85, 150, 250),
        ),
        "single wall, source side, class B": (
            *("Table B.3", 19),
            (1.5, 2.5, 4, 6, 8, 12, 20, 30, 35, 45, 65, 120, 200, 350),
        ),
        "double wall double image, source side, class A": (
            *("Table B.5", 18),
            (1.2, 2, 3.5, 5, 7, 12, 18, 30, 40, 50, 60, 85, 120, 220, 380),
        ),
        "double wall double image, source side, class B": (
            *("Table B.7", 19),
            (1.5, 2.5, 4, 6, 8, 15, 25, 38, 45, 55, 70, 100, 170, 250),
        ),
        "double wall, film side, class A": (
            *("Table B.9", 18),
            (1.2, 2, 3.5, 5, 10, 15, 22, 38, 48, 60, 85, 125, 225, 375),
        ),
        "double wall, film side, class B": (
            *("Table B.11", 19),
            (1.5, 2.5, 4, 6, 12, 18, 30, 45, 55, 70, 100, 180, 300),
        ),
    }
)


def required_wire(technique: str, thickness_mm: float) -> int:
    """Number of the thinnest wire that must be seen (ISO 19232-1 wire IQI).

    `technique` is a key of WIRE_TABLES. `thickness_mm` is the nominal thickness for single wall,
    the penetrated thickness for both walls. The upper edge of a step belongs to the thinner one.

    Source: ISO 17636-1:2013, Annex B (partly memory, see WIRE_TABLES).
    Raises InputError for an unknown technique or a thickness of 0 or less.

    >>> required_wire("single wall, source side, class A", 10.0)
    13
    """
    if technique not in WIRE_TABLES:
        raise InputError("technique", found=technique, expected="; ".join(WIRE_TABLES))
    thickness = positive("thickness_mm", thickness_mm)
    _, finest, edges = WIRE_TABLES[technique]
    return finest - sum(thickness > edge for edge in edges)


# Source, class: thickness above which, up to which (included), and wires that may be missed.
_RELAXED = MappingProxyType(
    {
        ("Ir-192", "A"): ((10.0, 24.0, 2), (24.0, 30.0, 1)),
        ("Ir-192", "B"): ((10.0, 40.0, 1),),
        ("Se-75", "A"): ((5.0, 24.0, 1),),
        ("Se-75", "B"): ((5.0, 20.0, 1),),
    }
)


def relaxed_wire(
    required: int, source: str, test_class: str, penetrated_thickness_mm: float, *, agreed: bool
) -> int:
    """Lowest wire number that is still accepted for a gamma source in single-wall technique.

    Without agreement between the parties (`agreed`) nothing is relaxed.

    Source: ISO 17636-1:2013, 6.9 (memory). Raises InputError for a thickness of 0 or less.

    >>> relaxed_wire(12, "Ir-192", "A", 12.7, agreed=True)
    10
    """
    thickness = positive("penetrated_thickness_mm", penetrated_thickness_mm)
    if not agreed:
        return required
    steps = _RELAXED.get((source, _class(test_class)), ())
    return required - next((less for low, high, less in steps if low < thickness <= high), 0)


def wire(required: int, seen: int | None, basis: Basis = WIRES) -> Reason:
    """The reason for the thinnest wire seen against the one required.

    Source: ISO 17636-1:2013, Annex B.

    >>> str(wire(12, 11).verdict), str(wire(12, 13).verdict)
    ('nonconformity', 'clear')
    """
    found = "not recorded" if seen is None else f"W{seen}"
    verdict = HOLD if seen is None else CLEAR if seen >= required else NONCONFORMITY
    return Reason("wire seen", found, f"W{required} or thinner", basis, verdict)


def elliptical_exposures(
    outside_diameter_mm: float, wall_mm: float, weld_width_mm: float = 0.0
) -> int:
    """Exposures of a small pipe by elliptical double image: 2 at 90 degrees, or 3 at 60 or 120.

    Valid to 100 mm outside diameter, 8 mm wall and a weld as wide as a quarter of the diameter.

    Source: ISO 17636-1:2013, 7.1.6 (secondary).
    Raises InputError outside those limits.

    >>> elliptical_exposures(60.3, 5.54), elliptical_exposures(50.0, 6.0)
    (2, 3)
    """
    ratio = wall_ratio(wall_mm, outside_diameter_mm)
    for name, value, largest in (
        ("outside_diameter_mm", outside_diameter_mm, 100.0),
        ("wall_mm", wall_mm, 8.0),
        ("weld_width_mm", not_negative("weld_width_mm", weld_width_mm), outside_diameter_mm / 4.0),
    ):
        if value > largest:
            raise InputError(name, found=value, expected=f"at most {largest:g} mm for this shot")
    return 2 if ratio < 0.12 else 3
