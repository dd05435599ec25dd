"""Whether the readings of a joint lie inside of what bounds them, told quickly for most joints.

What a row of the WPS bounds is worked out once, into one window of plain figures for all passes
welded to it. Where a pass lies outside, or where a reading is missing, the checks themselves ask
and say why: these questions answer only "surely inside" or "ask".
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from math import inf

from dossier.calc.heat_input import arc_energy_kj_mm, heat_input_kj_mm, thermal_efficiency
from dossier.coverage.joint_file import JointFile, planned_pass
from dossier.coverage.view import View
from dossier.errors import InputError
from dossier.records.joints import Pass
from dossier.records.procedures import Procedure, ProcedurePass, Span

# Low and high ends of current in A, voltage in V, travel speed in mm/min, the product U I / v,
# and the temperature before the pass in °C; and whether that is the preheat.
Window = tuple[float, float, float, float, float, float, float, float, float, float, bool]

_LEAST = 5e-324  # a reading of 0 or less is for the formula to refuse
_ROUNDING = 1e-9  # relative: where the product comes so near to an end, the formula is asked
_NEVER: Window = (inf, -inf, inf, -inf, inf, -inf, inf, -inf, inf, -inf, False)
_ANY = Span()


@dataclass(slots=True)
class Bounds:
    """What bounds the passes of the joints of one WPS."""

    interval: timedelta | None  # the shortest time that may be asked for between two passes
    # By kind, process and direction of the pass; None where no row of the WPS bounds it.
    windows: dict[tuple[str, str, str], Window | None] = field(default_factory=dict)


def readings_inside(seen: View, file: JointFile) -> bool:
    """Whether current, voltage, speed, direction, heat input and temperature are surely right."""
    wps = file.wps
    if wps is None:
        return True  # nothing bounds them
    windows = bounds_of(seen, file).windows
    try:
        for made in file.passes:
            key = (made.kind, made.process, made.direction)
            window = windows[key] if key in windows else _kept(windows, key, wps, made)
            if window is not None and not _inside(window, made):
                return False
    except TypeError:  # a reading is missing
        return False
    return True


def _inside(window: Window, made: Pass) -> bool:
    a_low, a_high, v_low, v_high, s_low, s_high, p_low, p_high, c_low, c_high, root = window
    current_a, voltage_v, speed = made.current_a, made.voltage_v, made.travel_mm_min
    warm = made.preheat_c if root else made.interpass_c
    return (  # a comparison with None raises TypeError
        a_low <= current_a <= a_high  # type: ignore[operator]
        and v_low <= voltage_v <= v_high  # type: ignore[operator]
        and s_low <= speed <= s_high  # type: ignore[operator]
        and p_low <= current_a * voltage_v / speed <= p_high  # type: ignore[operator]
        and c_low <= warm <= c_high  # type: ignore[operator]
    )


def intervals_inside(seen: View, file: JointFile) -> bool:
    """Whether every pass surely began soon enough after the one that it was laid on."""
    longest = bounds_of(seen, file).interval
    if longest is None:
        return True
    laid: dict[str, tuple[int, datetime | None]] = {}
    try:
        for made in file.passes:
            number, before = laid.get(made.side, (made.number, None))
            if number != made.number and not _NO_TIME <= made.started_at - before <= longest:  # type: ignore[operator]
                return False
            laid[made.side] = (made.number, made.finished_at)
    except TypeError:  # a time is missing
        return False
    return "" not in laid or len(laid) == 1  # whole rounds beside sides are told apart by the check


_NO_TIME = timedelta()


def bounds_of(seen: View, file: JointFile) -> Bounds:
    """The bounds of the WPS that the joint names, worked out once."""
    key = (file.joint.wps, file.joint.wps_revision)
    bounds = seen.bounds.get(key)
    if not isinstance(bounds, Bounds):
        least = least_interval_min(seen, file.wps)
        bounds = seen.bounds[key] = Bounds(None if least == inf else timedelta(minutes=least))
    return bounds


def least_interval_min(seen: View, wps: Procedure | None) -> float:
    """The shortest of all intervals that could be asked for, min: within it all is well."""
    rules = seen.project.settings.requirements
    rows = [row.within_min for row in wps.passes] if wps else []
    asked = (rules.root_to_hot_max_min, rules.hot_to_next_max_min, *rows)
    return min((limit for limit in asked if limit is not None), default=inf)


def _kept(
    windows: dict[tuple[str, str, str], Window | None],
    key: tuple[str, str, str],
    wps: Procedure,
    made: Pass,
) -> Window | None:
    row = planned_pass(wps, made)
    windows[key] = None if row is None else _window(wps, row, made)
    return windows[key]


def _window(wps: Procedure, row: ProcedurePass, made: Pass) -> Window:
    spans = (row.current_a, row.voltage_v, row.travel_mm_min)
    otherwise = row.direction and made.direction not in ("", row.direction)
    if None in spans or row.wire_feed_m_min or row.gas_l_min or otherwise:
        return _NEVER
    try:
        product = _product(row.heat_input_kj_mm, made.process)
    except InputError:  # no efficiency is stated for the process
        return _NEVER
    ends = [end for span in spans for end in _ends(span or _ANY)]
    current, voltage, speed = zip(ends[::2], ends[1::2], strict=True)
    root = made.kind == "root"
    if root and wps.preheat_min_c is not None:
        warm = (wps.preheat_min_c, inf)
    elif not root and wps.interpass_max_c is not None:
        least = -inf if wps.preheat_min_c is None else wps.preheat_min_c
        warm = (least, wps.interpass_max_c)
    else:
        return _NEVER
    return (*current, *voltage, *speed, *product, *warm, root)


def _ends(span: Span) -> tuple[float, float]:
    low = _LEAST if span.low is None else max(span.low, _LEAST)
    return low, inf if span.high is None else span.high


def _product(heat_kj_mm: Span | None, process: str) -> tuple[float, float]:
    """The ends of U I / v in V A min/mm between which the heat input lies inside of its window.

    The heat input is in proportion to the product: the formula is asked for a product of 1.
    """
    if heat_kj_mm is None:
        return -inf, inf
    of_one = heat_input_kj_mm(arc_energy_kj_mm(1.0, 1.0, 1.0), thermal_efficiency(process))
    low = -inf if heat_kj_mm.low is None else heat_kj_mm.low / of_one * (1 + _ROUNDING)
    high = inf if heat_kj_mm.high is None else heat_kj_mm.high / of_one * (1 - _ROUNDING)
    return low, high
