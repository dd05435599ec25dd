"""Joints and their passes: who welded what, when, with which batch and which readings."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from itertools import islice

from sample_project._making.base import FIRST_DAY, Data, Row, at, dice, find, workdays
from sample_project._making.people import W07_GIVEN_BACK, W07_GIVEN_OUT
from sample_project._making.procedures import REVISED

MAINLINE, A_DAY, CROSSING_AFTER = 160, 6, 86
CUT_OUT, RE_WELDS, RE_WELDED_ON = "ML-073", ("ML-073W1", "ML-073W2"), date(2026, 4, 28)
LEFT_RIGHT = ("left", "right")
_GAP_MIN = {"hot": 2, "fill": 5, "cap": 5}  # minutes between the passes
_TAKES_MIN = {"root": 14, "hot": 10, "fill": 14, "cap": 15}


def build(data: Data) -> None:
    """Add the registers of lines, joints and passes."""
    data["lines"] = _lines()
    data["joints"] = [*_mainline(), *_crossing(), *_re_welds(), *_station()]
    heats = {item["number"]: item["heat"] for item in data["items"]}
    for joint in data["joints"]:
        for side in ("upstream", "downstream"):
            joint[f"{side}_heat"] = heats[joint[f"{side}_item"]]
    data["passes"] = [one for joint in data["joints"] for one in passes_of(data, joint)]


def _lines() -> list[Row]:
    api = dict.fromkeys(("procedure_code", "welder_code", "acceptance_code"), "API 1104:21st")
    return [
        {"id": "BG-2", "title": "Brackmoor link, section 2", **api, "service": "natural gas",
         "location_class": 2, "design_pressure_bar": 80, "kp_from_m": 14200, "kp_to_m": 16400},
        {"id": "BS-1", "title": "Brackmoor receiver station piping",
         "procedure_code": "ISO 15614-1:2017", "welder_code": "ISO 9606-1:2012",
         "acceptance_code": "API 1104:21st", "service": "natural gas",
         "design_pressure_bar": 80},
    ]  # fmt: skip


def _joint(number: str, day: date, first: str, second: str, **more: object) -> Row:
    draw = dice("fit-up", number)
    return {
        "number": number, "line": "BG-2", "kind": "mainline", "weld_type": "butt",
        "status": "welded", "upstream_item": first, "downstream_item": second,
        "wps": "WPS-01", "wps_revision": "1" if day >= REVISED else "0", "position_code": "PJ",
        "fit_up_gap_mm": round(draw.uniform(1.5, 1.7), 1),
        "hi_lo_mm": round(draw.uniform(0.3, 1.3), 1), "fit_up_by": "Pipe crew 1",
        "welded_on": day, "drawing": "BG-2-AL-014", "drawing_revision": "2", **more,
    }  # fmt: skip


def _chain(nth: int) -> tuple[str, str]:
    """The items on both sides of the nth mainline joint; the crossing lies after joint 86."""
    shift = 1 if nth > CROSSING_AFTER else 0
    names = [f"P-{nth + shift:03d}", f"P-{nth + shift + 1:03d}"]
    bends = {(112, 1): "BD-1", (113, 0): "BD-1", (139, 1): "BD-2", (140, 0): "BD-2"}
    return tuple(bends.get((nth, side), name) for side, name in enumerate(names))  # type: ignore[return-value]


def _mainline() -> list[Row]:
    days = list(islice(workdays(FIRST_DAY), 1 + MAINLINE // A_DAY))
    rows = []
    for nth in range(1, MAINLINE + 1):
        kp = 14200 + round(12.1 * nth) + (85 if nth > CROSSING_AFTER else 0)
        rows.append(_joint(f"ML-{nth:03d}", days[(nth - 1) // A_DAY], *_chain(nth), kp_m=kp))
    cut = rows[int(CUT_OUT[3:]) - 1]
    cut |= {"status": "cut out", "remarks": "crack at 5 o'clock, cut out 27 Apr, pup PUP-01 in"}
    return rows


def _crossing() -> list[Row]:
    up: Row = {"wps": "WPS-02", "wps_revision": "0", "position_code": "PH", "fit_up_gap_mm": 2.6}
    south, north = f"P-{CROSSING_AFTER + 1:03d}", f"P-{CROSSING_AFTER + 2:03d}"
    kp = 14200 + round(12.1 * CROSSING_AFTER)
    rows = [
        _joint(f"RX-{n:02d}", date(2026, 5, 11 + (n - 1) // 3), f"Q-{n:02d}", f"Q-{n + 1:02d}",
               **{**up, "kind": "crossing", "kp_m": kp + 12 * n, "drawing": "BG-2-RX-002"})
        for n in range(1, 7)
    ]  # fmt: skip
    tie = {**up, "kind": "tie-in"}
    change = {**tie, "remarks": "wall 12.7 to 15.9 mm, back bevel 1:4 inside the heavy pipe"}
    rows += [
        _joint("TI-1", date(2026, 5, 13), south, "Q-01", **change, kp_m=kp + 6),
        _joint("TI-2", date(2026, 5, 14), "Q-07", north, **change, kp_m=kp + 80),
        _joint("TI-3", date(2026, 5, 18), "P-162", "P-163", **tie, kp_m=16225),
        _joint("GW-1", date(2026, 5, 20), "P-163", "P-164", **{**up, "kind": "golden"},
               kp_m=16237, remarks="closing weld, not in the pressure test"),
    ]  # fmt: skip
    return rows


def _re_welds() -> list[Row]:
    kp = 14200 + round(12.1 * int(CUT_OUT[3:]))
    up: Row = {"wps": "WPS-02", "wps_revision": "0", "position_code": "PH", "fit_up_gap_mm": 2.4,
          "kind": "tie-in", "replaces": CUT_OUT, "kp_m": kp}  # fmt: skip
    return [
        _joint(RE_WELDS[0], RE_WELDED_ON, "P-073", "PUP-01", **up),
        _joint(RE_WELDS[1], RE_WELDED_ON, "PUP-01", "P-074", **up),
    ]


_BUTTS = [
    ("S-01", "FL-01"), ("S-01", "S-02"), ("S-02", "S-03"), ("S-03", "FL-02"), ("S-04", "FL-03"),
    ("S-04", "S-05"), ("S-05", "S-06"), ("S-06", "FL-04"), ("S-07", "FL-05"), ("S-07", "S-08"),
    ("S-08", "FL-06"), ("FL-07", "FL-08"),
]  # fmt: skip
_BRANCHES = [("S-02", "T-01"), ("S-05", "T-02"), ("S-07", "T-03"), ("S-08", "T-04")]


def _station() -> list[Row]:
    pairs = [("butt", "station", pair) for pair in _BUTTS]
    pairs += [("branch", "branch", pair) for pair in _BRANCHES]
    pairs += [
        ("fillet", "support", (f"PL-{2 * n - 1:02d}", f"PL-{2 * n:02d}")) for n in range(1, 9)
    ]
    wps = {"butt": ("WPS-04", "PH"), "branch": ("WPS-06", "PH"), "fillet": ("WPS-05", "PB")}
    days = list(islice(workdays(date(2026, 5, 4)), 12))
    rows = []
    for nth, (weld_type, kind, pair) in enumerate(pairs, 1):
        number, position = wps[weld_type]
        # fmt: off
        more: Row = {"line": "BS-1", "kind": kind, "weld_type": weld_type, "wps": number,
                "wps_revision": "0", "position_code": position, "fit_up_by": "Station crew",
                "fit_up_gap_mm": 2.5, "drawing": "BS-1-ISO-003", "drawing_revision": "1"}
        # fmt: on
        if weld_type == "fillet":
            more["fit_up_gap_mm"] = None
            more["position_code"] = "PD" if nth % 4 == 0 else "PB"
        if weld_type == "branch":
            more["branch_angle_deg"] = 90
        rows.append(_joint(f"PT-{nth:02d}", days[(nth - 1) // 2], *pair, **more))
    return rows


def _welders_of(joint: Row, kind: str) -> tuple[str, str]:
    """Stamps of the left and the right side; the same stamp twice where one welder does all."""
    number, day = joint["number"], joint["welded_on"]
    if joint["line"] == "BS-1":
        return (_station_welder(joint),) * 2
    if joint["wps"] == "WPS-02":
        return ("W09", "W10")
    if kind == "root":
        return ("W01", "W02")
    if kind == "hot":
        return ("W03", "W04")
    second_pair = int(number[3:6]) % 2 and not W07_GIVEN_BACK < day < W07_GIVEN_OUT
    return ("W07", "W08") if second_pair else ("W05", "W06")


def _station_welder(joint: Row) -> str:
    nth = int(joint["number"][3:])
    if joint["weld_type"] == "fillet":
        return "W12" if joint["position_code"] == "PD" else "W13"
    if nth in (14, 15):  # the last day of his certificate if nobody confirms it, and the next day
        return "W14"
    if nth == 12:  # thicker than W13 has shown
        return "W12"
    return ("W12", "W13", "W14")[nth % 3]


_BATCH_OF = {
    "ER70S-6": ("W-135-61",), "E8010-P1": ("C-80-114", "C-80-118"), "E7016": ("B-70-33",),
    "E8018-G": ("B-80-41",), "ISO 636-A: W 42 4 3Si1": ("T-3-77",),
    "ISO 2560-A: E 42 4 B 32 H5": ("E-42-52",),
}  # fmt: skip


def _runs(joint: Row) -> list[tuple[str, float]]:
    """Kind and thickness of every pass, root first."""
    if joint["weld_type"] == "fillet":
        return [("root", 3.0), ("cap", 3.0)]
    if joint["line"] == "BS-1":
        heavy = joint["number"] == "PT-12"
        fills = [("fill", 2.5)] * 3 if heavy else [("fill", 2.3)]
        return [("root", 3.0), *fills, ("cap", 1.8)]
    if joint["wps"] == "WPS-02":
        between = 5 if joint["kind"] == "crossing" else 4
        return [("root", 3.0), *[("fill", 2.4)] * between, ("cap", 2.2)]
    between = 5 if dice("runs", joint["number"]).random() < 0.4 else 4
    each = 1.9 if between == 4 else 1.5
    return [("root", 2.6), ("hot", 2.0), *[("fill", each)] * between, ("cap", 1.7)]


def _begins(joint: Row) -> datetime:
    number, day = joint["number"], joint["welded_on"]
    if joint["kind"] == "mainline":
        # One pair fills all joints of the days on which W07 belongs to nobody.
        apart = 114 if W07_GIVEN_BACK < day < W07_GIVEN_OUT else 82
        return at(day, "07:20", apart * ((int(number[3:]) - 1) % A_DAY))
    if joint["line"] == "BS-1":
        return at(day, "07:40", 210 * ((int(number[3:]) - 1) % 2))
    return at(day, "07:30", 190 * (int(number[-1]) % 3))


def passes_of(data: Data, joint: Row) -> list[Row]:
    """The passes of a joint as its WPS wants them; sets the time when the joint was finished."""
    wps = find(data["procedures"], number=joint["wps"], revision=joint["wps_revision"])
    clock, made = _begins(joint), []
    sides = LEFT_RIGHT if joint["line"] == "BG-2" else ("",)
    slow = 1.0 if joint["wps"] == "WPS-01" else 1.5
    for number, (kind, deposit_mm) in enumerate(_runs(joint), 1):
        row = next(r for r in wps["passes"] if r["kind"] == kind)
        clock += timedelta(minutes=_GAP_MIN.get(kind, 0))
        ends = clock + timedelta(minutes=round(slow * _TAKES_MIN[kind]))
        for side, stamp in zip(sides, _welders_of(joint, kind), strict=False):
            made.append(
                _pass(joint, wps, row, number=number, side=side, welder=stamp, started_at=clock,
                      finished_at=ends, deposit_mm=deposit_mm)
            )  # fmt: skip
        clock = ends
    joint["finished_at"] = clock
    return made


def _pass(joint: Row, wps: Row, row: Row, **given: object) -> Row:
    draw = dice("pass", joint["number"], given["number"], given["side"])
    batches = _BATCH_OF[row["filler"]]
    lowest = wps["preheat_min_c"]
    made = {
        "joint": joint["number"], "kind": row["kind"], "process": row["process"], **given,
        "batch": batches[joint["welded_on"].toordinal() // 6 % len(batches)],
        "direction": row["direction"],
        "instrument": "CM-03" if given["side"] == "right" else "CM-02",
    }  # fmt: skip
    for name, places in (
        ("current_a", 0),
        ("voltage_v", 1),
        ("travel_mm_min", 0),
        ("gas_l_min", 1),
    ):
        if name in row:
            low, high = row[name]["low"], row[name]["high"]
            inner = (high - low) / 4
            made[name] = round(draw.uniform(low + inner, high - inner), places or None)
    if row["kind"] == "root":
        made["preheat_c"] = lowest + draw.randint(6, 30)
    else:
        made["interpass_c"] = draw.randint(max(lowest + 5, 110), wps["interpass_max_c"] - 30)
    return made
