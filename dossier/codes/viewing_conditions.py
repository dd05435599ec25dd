"""Light, distance, angle and magnet strength without which a surface examination is void."""

from __future__ import annotations

from math import inf

from dossier.calc.guards import not_negative
from dossier.errors import InputError
from dossier.records.verdicts import Basis, Range, Reason

VISUAL = Basis("ISO 17637", "2003", "2", known="read")
UV_LIGHT = Basis("ISO 3059", "2012", "UV-A and visible light", known="memory")
YOKE = Basis("TM 1-1500-335-23", "", "1.6.7.c", known="read")


def visual(illuminance_lx: float, eye_distance_mm: float, angle_deg: float) -> tuple[Reason, ...]:
    """The reasons for the conditions of a direct visual examination.

    At least 350 lx (500 advised), eye within 600 mm, at 30 degrees or more to the surface.

    Source: ISO 17637:2003, 2 (read; unchanged in 2016, memory).

    >>> [str(reason.verdict) for reason in visual(340.0, 500.0, 45.0)]
    ['nonconformity', 'clear', 'clear']
    """
    return (
        Range(350.0, inf, VISUAL, unit="lx").judge("illuminance", illuminance_lx),
        Range(0.0, 600.0, VISUAL).judge("eye distance", eye_distance_mm),
        Range(30.0, 90.0, VISUAL, unit="°").judge("viewing angle", angle_deg),
    )


def uv_light(uv_w_m2: float, visible_lx: float) -> tuple[Reason, ...]:
    """The reasons for the light of a fluorescent magnetic particle or penetrant examination.

    UV-A of 10 W/m2 at least at the surface, and less than 20 lx of visible light.

    Source: ISO 3059:2012 (memory; the figures are secondary).

    >>> [str(reason.verdict) for reason in uv_light(10.0, 20.0)]
    ['clear', 'nonconformity']
    """
    return (
        Range(10.0, inf, UV_LIGHT, unit="W/m2").judge("UV-A", uv_w_m2),
        Range(0.0, 20.0, UV_LIGHT, unit="lx", high_open=True).judge("visible light", visible_lx),
    )


def uv_uw_cm2(uv_w_m2: float) -> float:
    """UV-A irradiance as radiometers print it, in µW/cm2.

    Source: SI (1 W/m2 is 100 µW/cm2). Raises InputError for a negative irradiance.

    >>> uv_uw_cm2(10.0)
    1000.0
    """
    return 100.0 * not_negative("uv_w_m2", uv_w_m2)


def yoke_lift_range_lb(current: str, leg_spacing_in: float) -> Range:
    """Weight that a magnetic yoke must lift, in lb.

    Alternating current ("ac"): 10 lb with the legs 3 to 6 in apart. Direct current or permanent
    magnet ("dc"): 30 lb at 2 to 4 in, 40 lb above 4 to 6 in.

    Source: TM 1-1500-335-23, 1.6.7.c (read).
    Raises InputError for another current or a spacing outside these.

    >>> str(yoke_lift_range_lb("dc", 5.0))
    'from 40 lb'
    """
    if current not in ("ac", "dc"):
        raise InputError("current", found=current, expected="ac or dc")
    least = 3.0 if current == "ac" else 2.0
    if not least <= leg_spacing_in <= 6.0:
        expected = f"from {least:g} to 6 in for {current}"
        raise InputError("leg_spacing_in", found=leg_spacing_in, expected=expected)
    if current == "ac":
        return Range(10.0, inf, YOKE, unit="lb")
    return Range(30.0 if leg_spacing_in <= 4.0 else 40.0, inf, YOKE, unit="lb")


def yoke_lift(current: str, leg_spacing_in: float, lifted_lb: float | None) -> Reason:
    """The reason for the weight that a magnetic yoke lifted, in lb; not recorded is a hold.

    Source: TM 1-1500-335-23, 1.6.7.c (read). Raises InputError as `yoke_lift_range_lb` does.

    >>> str(yoke_lift("dc", 5.0, 35.0).verdict)
    'nonconformity'
    """
    return yoke_lift_range_lb(current, leg_spacing_in).judge("weight lifted", lifted_lb)
