"""What follows welding: examinations, repairs, field coating, lowering in, pressure test."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from sample_project._making.base import Data, Row, at, dice, find, paper, workday
from sample_project._making.works import CUT_OUT

# What the films of these joints showed: kind, start and length in mm, width, clock, depth below.
REJECTED = {
    "ML-023": ("IP", 612.0, 41.0, 1.5, "3:50"),
    "ML-048": ("ESI", 1204.0, 63.0, 2.2, "7:30"),
    CUT_OUT: ("C", 798.0, 168.0, 0.4, "5:00"),
    "ML-096": ("IF", 431.0, 34.0, 1.0, "2:40"),
    "ML-101": ("ESI", 955.0, 58.0, 1.4, "6:00"),
    "RX-03": ("IF", 1377.0, 29.0, 1.2, "8:40"),
}
_LOT = 20  # joints lowered together
PANORAMIC = "X-ray crawler inside, one exposure of the whole circumference, lead numbers 0 to 19"
DOUBLE_WALL = "double wall, three exposures at 120 degrees, lead numbers 0 to 5"


def build(data: Data) -> None:
    """Add examinations, repairs, coatings and lowerings to the joints of `data`."""
    data["examinations"], data["repairs"] = [], []
    for joint in data["joints"]:
        _visual(data, joint, joint["finished_at"], "")
        _volume(data, joint)
    data["coatings"] = [_coating(data, joint) for joint in data["joints"] if _buried(joint)]
    data["lowerings"] = _lowerings(data)
    _test_holidays(data)
    data["pressure_tests"] = [_pressure_test()]
    data["instruments"] = [dict(zip(_INSTRUMENT, row, strict=True)) for row in _INSTRUMENTS]
    for number, instrument in enumerate(data["instruments"], 1):
        instrument["document"] = paper(f"D-06{number:02d}")


def _buried(joint: Row) -> bool:
    return bool(joint["line"] == "BG-2" and joint["status"] == "welded")


def _report(joint: Row, method: str, when: datetime, suffix: str = "", **more: object) -> Row:
    return {
        "report": f"{method}-{joint['number']}{suffix}", "joint": joint["number"],
        "method": method, "procedure": f"FI-{method}-02", "examined_at": when,
        "reported_on": when.date() + timedelta(days=method != "VT"), "extent_percent": 100,
        "result": "accepted", "indications": [], **more,
    }  # fmt: skip


def _visual(data: Data, joint: Row, done: datetime, suffix: str) -> None:
    when = done + timedelta(minutes=25)
    data["examinations"].append(
        _report(joint, "VT", when, suffix, examiner="E01", technique="direct, 600 lx")
    )


def _volume(data: Data, joint: Row) -> None:
    """The examinations after the delay: films for butts, magnetic particles for the rest."""
    done = joint["finished_at"]
    nth = int(joint["number"].rpartition("-")[2][:3].rstrip("W") or 0)
    when = at(workday(done.date(), 2), "08:10", 14 * (nth % 30))
    if joint["weld_type"] != "butt":
        data["examinations"].append(
            _report(joint, "MT", when, examiner="E04", technique="yoke, black on white")
        )
        return
    if joint["kind"] == "golden":
        data["examinations"].append(
            _report(joint, "UT", when + timedelta(hours=4), examiner="E04",
                    technique="manual, 60 and 70 degrees, both sides")
        )  # fmt: skip
    data["examinations"].append(_film(joint, when, ""))
    if joint["number"] in REJECTED:
        _reject(data, joint, data["examinations"][-1])


def _film(joint: Row, when: datetime, suffix: str) -> Row:
    draw = dice("film", joint["number"], suffix)
    station = joint["line"] == "BS-1"
    name = f"{joint['number']}{suffix}"
    sections = [f"{name}/{a}-{a + 2}" for a in (0, 2, 4)] if station else [f"{name}/0-19"]
    film = _report(
        joint, "RT", when, suffix,
        examiner="E02" if when.date().toordinal() % 2 else "E03", films=sections,
        technique=DOUBLE_WALL if station else PANORAMIC,
        iqi="W13 FE" if station else "W12 FE", density=round(draw.uniform(2.3, 3.1), 1),
        instrument="DM-01",
    )  # fmt: skip
    if draw.random() < 0.12:
        film["indications"] = [
            {"kind": "P", "start_mm": float(draw.randint(40, 500)), "length_mm": 1.0,
             "width_mm": 1.0, "count": 1}
        ]  # fmt: skip
    return film


def _reject(data: Data, joint: Row, film: Row) -> None:
    kind, start, length, width, clock = REJECTED[joint["number"]]
    film["result"] = "rejected"
    film["indications"] = [
        {"kind": kind, "start_mm": start, "length_mm": length, "width_mm": width, "count": 1}
    ]
    if joint["status"] == "cut out":
        return
    done = at(workday(film["examined_at"].date(), 1), "10:20")
    data["repairs"].append(
        {"number": f"{joint['number']}R1", "joint": joint["number"], "examination": film["report"],
         "order": 1, "defect": kind, "clock": clock, "start_mm": start - 20,
         "length_mm": length + 40, "excavated": True,
         "wps": "WPS-03", "wps_revision": "0", "welder": "W11", "process": "111",
         "batch": "B-80-41", "deposit_mm": 8.0, "preheat_c": 135, "repaired_at": done,
         "examined_by": f"RT-{joint['number']}R1"}
    )  # fmt: skip
    _visual(data, joint, done, "R1")
    again = _film(joint, at(workday(done.date(), 2), "09:00"), "R1")
    data["examinations"].append({**again, "indications": []})


def _cleared(data: Data, joint: Row) -> datetime:
    moments: list[datetime] = [
        e["examined_at"] for e in data["examinations"] if e["joint"] == joint["number"]
    ]
    return max(moments)


def _coating(data: Data, joint: Row) -> Row:
    draw = dice("coating", joint["number"])
    day = workday(_cleared(data, joint).date(), 1)
    dew = round(draw.uniform(4, 11), 1)
    return {
        "report": f"FC-{joint['number']}", "joint": joint["number"],
        "system": "heat-shrink sleeve on epoxy primer, three-layer", "batch": "HS-610-5",
        "coated_at": at(day, "08:30", draw.randint(0, 480)),
        "steel_c": round(dew + draw.uniform(8, 16), 1),
        "dew_point_c": dew, "humidity_percent": draw.randint(45, 74),
        "thickness_mm": round(draw.uniform(2.1, 2.6), 1), "holidays_found": 0,
        "holidays_repaired": 0, "instrument": "HD-02", "result": "accepted",
    }  # fmt: skip


def _lowerings(data: Data) -> list[Row]:
    """Mainline in lots; what was welded in the trench has a backfilling date only."""
    lots: dict[object, list[Row]] = {}
    for coating in data["coatings"]:
        name = coating["joint"]
        lot = (int(name[3:6]) - 1) // _LOT if name.startswith("ML") else name[:2]
        lots.setdefault(lot, []).append(coating)
    rows = []
    for coatings in lots.values():
        day = workday(max(c["coated_at"] for c in coatings).date(), 2)
        for nth, coating in enumerate(coatings):
            joint = find(data["joints"], number=coating["joint"])
            rows.append(_lowering(joint, day, nth))
    return rows


def _lowering(joint: Row, day: date, nth: int) -> Row:
    draw = dice("lowering", joint["number"])
    in_trench = joint["kind"] in ("tie-in", "golden")
    return {
        "joint": joint["number"], "lowered_at": None if in_trench else at(day, "09:10", 6 * nth),
        "cover_m": round(draw.uniform(1.2, 1.5), 2),
        "backfilled_at": at(workday(day, 1), "13:00", 5 * nth),
    }  # fmt: skip


def _test_holidays(data: Data) -> None:
    """The holiday test is made just before the joint goes down (or is covered)."""
    for coating in data["coatings"]:
        lowering = find(data["lowerings"], joint=coating["joint"])
        before = lowering["lowered_at"] or lowering["backfilled_at"]
        coating["holiday_tested_at"] = before - timedelta(minutes=50)
        coating["holiday_kv"] = 19.0 if coating["thickness_mm"] > 2.5 else 18.0
        if dice("holiday", coating["joint"]).random() < 0.08:
            coating["holidays_found"] = coating["holidays_repaired"] = 1


def _pressure_test() -> Row:
    """The first kilometre points are tested ahead of the rest, with water, after backfilling."""
    return {
        "number": "HT-2A", "section": "Section 2A, KP 14+200 to KP 14+335", "line": "BG-2",
        "kp_from_m": 14200, "kp_to_m": 14335, "medium": "water", "pressure_bar": 121.4,
        "required_bar": 120.0, "duration_h": 24.5, "required_h": 24.0,
        "started_at": at(date(2026, 6, 22), "08:00"), "gauges": ["DW-01"],
        "elevations": "low point 6 m under the gauge", "company": "Halvard Prieto Pipelining",
        "responsible": "Leocadia Strand, test engineer", "leaks": 0, "result": "accepted",
    }  # fmt: skip


_INSTRUMENT = ("number", "kind", "calibrated_on", "due_on", "certificate", "as_found")
_DONE, _DUE = date(2026, 2, 20), date(2027, 2, 19)
_INSTRUMENTS = [
    ("CM-02", "clamp meter", _DONE, _DUE, "CAL-7701", "in tolerance"),
    ("CM-03", "clamp meter", _DONE, _DUE, "CAL-7702", "in tolerance"),
    ("CT-01", "contact thermometer", _DONE, _DUE, "CAL-7703", "in tolerance"),
    ("DM-01", "densitometer", _DONE, _DUE, "CAL-7704", "in tolerance"),
    ("HD-02", "holiday detector", _DONE, _DUE, "CAL-7705", "in tolerance"),
    ("DW-01", "deadweight gauge", _DONE, _DUE, "CAL-7706", "in tolerance"),
]
