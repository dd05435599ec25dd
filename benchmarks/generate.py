"""An invented project of any size, as JSON lines: N joints of 8 passes, some with a fault.

    .venv/bin/python benchmarks/generate.py 100000 /tmp/bench

writes `project.yaml`, small registers (200 welders, 40 WPS) and `joints.jsonl`, one joint a line.
The same number and seed give the same bytes.
"""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

Record = dict[str, Any]
CREWS = 50  # of four welders each: two on root and hot pass, two on fill and cap
WPS = 40
A_DAY = 15  # joints of one crew
FIRST = date(2026, 1, 5)
FAULTS = 0.02
ISO_FILLER = "ISO 2560-A: E 42 4 B 42 H5"

# Kind, minutes from the start of the joint, minutes of welding, A, V, mm/min, mm deposited.
PLAN = (
    ("root", 0, 6, 110, 28, 250, 2.5),
    ("hot", 8, 5, 150, 30, 300, 2.0),
    ("fill", 15, 7, 160, 30, 280, 3.0),
    ("cap", 24, 6, 150, 30, 260, 2.0),
)
LIMITS = {  # current A, voltage V, travel mm/min, heat input kJ/mm
    "root": ((80, 130), (22, 32), (180, 320), (0.4, 0.9)),
    "hot": ((120, 180), (24, 34), (200, 380), (0.5, 1.1)),
    "fill": ((120, 190), (24, 34), (180, 360), (0.5, 1.3)),
    "cap": ((110, 180), (24, 34), (150, 340), (0.5, 1.3)),
}


def written(folder: Path, joints: int, seed: int = 1) -> Path:
    """Write the project to `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    small = registers(joints)
    for name, records in small.items():
        text = json.dumps({"schema": "1.0", "records": records}, indent=1)
        (folder / f"{name}.json").write_text(text, encoding="utf-8")
    (folder / "project.yaml").write_text(json.dumps(project(small, joints), indent=1), "utf-8")
    with (folder / "joints.jsonl").open("w", encoding="utf-8") as lines:
        for joint in records_of(joints, seed):
            lines.write(json.dumps(joint, separators=(",", ":")) + "\n")
    return folder


def project(small: dict[str, list[Record]], joints: int) -> Record:
    """`project.yaml` (JSON is YAML)."""
    last = FIRST + timedelta(days=joints // (CREWS * A_DAY) + 30)
    return {
        "schema": "1.0",
        "number": "BENCH",
        "title": "Long line",
        "client": "Quiet Valley Gas",
        "contractor": "Three Rivers Constructors",
        "as_of": last.isoformat(),
        "numbering": {
            "pattern": r"(?P<series>[A-Z]+)-(?P<sequence>\d+)(?:(?P<event>W)(?P<order>\d+)?)?",
            "events": {"W": "re-weld"},
        },
        "requirements": {
            "root_to_hot_max_min": 5,
            "hot_to_next_max_min": 10,
            "examination_delay_h": 16,
            "delay_applies_to": ["RT", "MT"],
            "examined": [{"kinds": ["mainline"], "methods": ["VT", "RT"], "percent": 100}],
            "repairs_per_place_max": 2,
            "holiday_kv": 15,
            "dew_point_margin_c": 3,
            "humidity_max_percent": 85,
            "cover_min_m": 0.9,
            "hi_lo_max_mm": 1.6,
            "certificate_kind": "3.1",
            "patterns": {"speed_max_kmh": 60, "welds_per_shift_max": 20},
            "basis": "Project specification PS-1",
        },
        "registers": {**{name: f"{name}.json" for name in small}, "joint_files": "joints.jsonl"},
    }


def registers(joints: int) -> dict[str, list[Record]]:
    """The registers that do not grow with the number of joints, or hardly."""
    years = range(2025, 2027 + joints // (CREWS * A_DAY * 365) + 2)
    return {
        "lines": [_line(name, code) for name, code in (("ML", "API 1104:21st"), ("ST", ISO))],
        "procedures": [_wps(number) for number in range(WPS)],
        "pqrs": [_pqr("PQR-A", "API 1104:21st"), _pqr("PQR-B", "ISO 15614-1:2017")],
        "welders": [_welder(n, years) for n in range(4 * CREWS)],
        "material_certificates": [
            {"number": f"MC-{n}", "kind": "3.1", "grade": "L360", "heats": [{"number": f"H{n}"}]}
            for n in range(100)
        ],
        "batches": [_batch(n) for n in range(40)],
        "examiners": [_examiner(n, years) for n in range(20)],
        "instruments": [
            {"number": f"M-{n}", "kind": "meter", "calibrated_on": f"{year}-01-02",
             "due_on": f"{year + 1}-01-02", "certificate": f"K-{n}-{year}"}
            for n in range(20) for year in years
        ],
    }  # fmt: skip


ISO = "ISO 9606-1:2012"


def _line(name: str, welder_code: str) -> Record:
    procedure = "API 1104:21st" if name == "ML" else "ISO 15614-1:2017"
    return {"id": name, "title": name, "procedure_code": procedure, "welder_code": welder_code,
            "acceptance_code": "API 1104:21st"}  # fmt: skip


def _wps(number: int) -> Record:
    iso = number % 2
    rows = []
    for kind, _, _, *_ in PLAN:
        current, voltage, travel, heat = ({"low": a, "high": b} for a, b in LIMITS[kind])
        filler = ISO_FILLER if iso else "E6010" if kind in ("root", "hot") else "E8010-P1"
        rows.append({"kind": kind, "process": "111", "filler": filler, "filler_mm": 4,
                     "current": "DC+", "direction": "up" if iso else "down", "current_a": current,
                     "voltage_v": voltage, "travel_mm_min": travel,
                     "heat_input_kj_mm": heat})  # fmt: skip
    own = {"material_groups": ["1.2"], "level": "2"} if iso else {"grades": ["L360"]}
    return {
        "number": f"WPS-{number:02d}", "revision": "1", "title": "Girth welds",
        "code": "ISO 15614-1:2017" if iso else "API 1104:21st", "valid_from": "2026-01-01",
        "pqrs": ["PQR-B" if iso else "PQR-A"], "product": "pipe", "weld_type": "butt", **own,
        "smys_mpa": {"low": 320, "high": 360}, "wall_mm": {"low": 5, "high": 15},
        "od_mm": {"low": 323.9, "high": 800}, "positions": ["PH" if iso else "PJ"],
        "groove": {"kind": "V", "angle_deg": 60, "gap_mm": {"low": 1, "high": 2}},
        "passes": rows, "preheat_min_c": 50, "interpass_max_c": 200,
        "approvals": [{"role": "approved", "name": "A. Brightwater", "signed_on": "2025-12-20"}],
    }  # fmt: skip


def _pqr(number: str, code: str) -> Record:
    iso = code.startswith("ISO")
    passes = [
        {"number": n, "kind": kind, "process": "111", "current": "DC+",
         "filler": ISO_FILLER if iso else "E6010" if n < 3 else "E8010-P1",
         "direction": "up" if iso else "down", "current_a": a, "voltage_v": v,
         "travel_mm_min": t, "deposit_mm": mm, "since_last_min": 5,
         "preheat_c" if n == 1 else "interpass_c": 50 if n == 1 else 120}
        for n, (kind, _, _, a, v, t, mm) in enumerate(PLAN, 1)
    ]  # fmt: skip
    return {"number": number, "code": code, "welded_on": "2025-11-10", "product": "pipe",
            "weld_type": "butt", "grade": "L360", "smys_mpa": 360, "wall_mm": 9.5, "od_mm": 508,
            "position": "PH" if iso else "PJ", "material_groups": ["1.2", "1.2"],
            "passes": passes, "preheat_c": 50, "interpass_max_c": 200, "level": "2",
            "tests": [{"kind": "tensile", "specimens": 4, "result": "accepted"}]}  # fmt: skip


def _welder(n: int, years: range) -> Record:
    parts = [{"process": "111", "filler": "E6010", "deposit_mm": 4.5, "root": True, "layers": 2,
              "backing": "none"},
             {"process": "111", "filler": "E8010-P1", "deposit_mm": 5, "layers": 2}]  # fmt: skip
    api = {
        "number": f"Q-{n}A",
        "code": "API 1104:21st",
        "welded_on": "2025-12-01",
        "positions": ["PJ"],
        "direction": "down",
        "smys_mpa": 360,
        "deposits": parts,
    }
    iso = {"code": ISO, "method": "9.3 a",
           "positions": ["PH"], "direction": "up", "material_group": "1.2",
           "confirmations": [{"signed_on": f"{y}-{m:02d}-15", "by": "employer"}
                             for y in years[1:] for m in (1, 4, 7, 10)],
           "deposits": [{"process": "111", "filler": ISO_FILLER, "filler_group": "FM1",
                         "covering": "basic", "deposit_mm": 10, "root": True, "layers": 4,
                         "backing": "none"}]}  # fmt: skip
    # Method 9.3 a asks for a new test after three years; a long line takes longer to weld.
    tested = range(2025, max(2026, years[-1] - 2), 2)
    both = {"product": "pipe", "weld_type": "butt", "wall_mm": 9.5, "od_mm": 508, "sides": "single"}
    retests = [{**both, "number": f"Q-{n}I-{year}", "welded_on": f"{year}-12-02", **iso}
               for year in tested]  # fmt: skip
    return {"stamp": f"W{n:03d}", "name": f"Welder {n}", "since": "2025-12-03",
            "certificates": [{**both, **api}, *retests]}  # fmt: skip


def _batch(n: int) -> Record:
    filler = ("E6010", "E8010-P1", ISO_FILLER, ISO_FILLER)[n % 4]
    return {"number": f"B-{n}", "classification": filler, "certificate": f"BC-{n}",
            "certificate_kind": "2.2", "received_on": "2025-12-01",
            "expires_on": "2035-12-01"}  # fmt: skip


def _examiner(n: int, years: range) -> Record:
    held = [
        {"number": f"N-{n}-{method}-{year}", "method": method, "level": 2,
         "scheme": "ISO 9712:2021", "issued_on": f"{year}-01-01", "expires_on": f"{year + 4}-12-31",
         "vision_on": f"{year}-01-02"}
        for year in years for method in ("VT", "RT")
    ]  # fmt: skip
    return {"id": f"X{n}", "name": f"Examiner {n}", "certificates": held}


def records_of(joints: int, seed: int) -> Iterator[Record]:
    """The joints, in the order of their numbers."""
    chance = random.Random(seed)
    for n in range(joints):
        joint = _joint(n, chance)
        if chance.random() < FAULTS:
            chance.choice(SPOILT)(joint, chance)
        yield joint


def _joint(n: int, chance: random.Random) -> Record:
    crew, turn = n % CREWS, n // CREWS
    start = datetime.combine(FIRST, datetime.min.time()) + timedelta(
        days=turn // A_DAY, hours=7, minutes=40 * (turn % A_DAY)
    )
    number, wps = f"ML-{n + 1:07d}", crew % WPS  # a crew works to one WPS
    end, kp = start + timedelta(minutes=30), crew * 100_000 + turn * 12.0
    items = [_item(crew, turn), _item(crew, turn + 1)]
    up, down = items
    return {
        "number": number, "line": "ST" if wps % 2 else "ML", "kind": "mainline", "kp_m": kp,
        "drawing": f"D-{turn // 100:04d}", "drawing_revision": "1",
        "upstream_item": up["number"], "upstream_heat": up["heat"],
        "downstream_item": down["number"], "downstream_heat": down["heat"],
        "wps": f"WPS-{wps:02d}", "wps_revision": "1", "position_code": "PH" if wps % 2 else "PJ",
        "fit_up_gap_mm": 1.6, "hi_lo_mm": chance.randint(0, 15) / 10,
        "welded_on": _day(start), "finished_at": _time(end), "items": items,
        "passes": list(_passes(n, start, chance)),
        "examinations": _examinations(number, n, end), "coatings": _coatings(n, end),
        "lowerings": [{"lowered_at": _time(end + timedelta(days=5)), "cover_m": 1.2}],
    }  # fmt: skip


def _item(crew: int, turn: int) -> Record:
    heat = (crew + turn // 20) % 100
    return {"number": f"P-{crew:02d}-{turn:06d}", "kind": "pipe", "heat": f"H{heat}",
            "certificate": f"MC-{heat}", "grade": "L360", "material_group": "1.2",
            "smys_mpa": 360, "od_mm": 508, "wall_mm": 9.5, "length_m": 12.1}  # fmt: skip


def _passes(n: int, start: datetime, chance: random.Random) -> Iterator[Record]:
    crew, iso = n % CREWS, n % CREWS % WPS % 2
    for number, (kind, after, minutes, *arc, deposit) in enumerate(PLAN, 1):
        for half, side in enumerate(("left", "right")):
            begun = start + timedelta(minutes=after)
            batch = 2 if iso else 0 if number < 3 else 1
            amps, volts, travel = (value + chance.randint(-4, 4) for value in arc)
            yield {
                "number": number, "kind": kind, "process": "111", "side": side,
                "welder": f"W{4 * crew + 2 * (number > 2) + half:03d}",
                "batch": f"B-{batch + 4 * (crew % 10)}", "started_at": _time(begun),
                "finished_at": _time(begun + timedelta(minutes=minutes)), "current_a": amps,
                "voltage_v": volts / 1, "travel_mm_min": travel,
                "preheat_c" if number == 1 else "interpass_c": chance.randint(80, 140),
                "direction": "up" if iso else "down", "deposit_mm": deposit,
                "instrument": f"M-{crew % 20}",
            }  # fmt: skip


def _examinations(number: str, n: int, end: datetime) -> list[Record]:
    day = end + timedelta(hours=20)
    who, of = f"X{n % 20}", number.removeprefix("ML-")
    common = {"examiner": who, "extent_percent": 100, "result": "accepted"}
    return [
        {"report": f"VT-{of}", "method": "VT", "examined_at": _time(end + timedelta(minutes=30)),
         **common},
        {"report": f"RT-{of}", "method": "RT", "technique": "DWSI",
         "requested_on": _day(end), "examined_at": _time(day), "reported_on": _day(day),
         "films": [f"{of}-{film}" for film in range(4)], "film_mm": 420, "iqi": "W13",
         "density": 2.6, **common},
    ]  # fmt: skip


def _coatings(n: int, end: datetime) -> list[Record]:
    return [{"report": f"FC-{n}", "system": "sleeve", "coated_at": _time(end + timedelta(days=3)),
             "air_c": 16, "steel_c": 20, "dew_point_c": 9, "humidity_percent": 63,
             "thickness_mm": 2, "holiday_tested_at": _time(end + timedelta(days=4)),
             "holiday_kv": 15, "holidays_found": 0, "result": "accepted"}]  # fmt: skip


def _day(moment: datetime) -> str:
    return moment.date().isoformat()


def _time(moment: datetime) -> str:
    return moment.isoformat(timespec="minutes")


def _in_pass(name: str, value: object) -> Callable[[Record, random.Random], None]:
    def spoil(joint: Record, chance: random.Random) -> None:
        chance.choice(joint["passes"])[name] = value

    return spoil


def _in_joint(name: str, value: object) -> Callable[[Record, random.Random], None]:
    def spoil(joint: Record, _: random.Random) -> None:
        joint[name] = value

    return spoil


def _rejected(joint: Record, _: random.Random) -> None:
    report = joint["examinations"][1]
    report["result"] = "rejected"
    report["indications"] = [{"kind": "IP", "start_mm": 300, "length_mm": 40}]


def _no_report(joint: Record, _: random.Random) -> None:
    del joint["examinations"][1]


def _film_of_the_first(joint: Record, _: random.Random) -> None:
    joint["examinations"][1]["films"][0] = "0000001-0"


def _too_early(joint: Record, _: random.Random) -> None:
    joint["examinations"][1]["examined_at"] = joint["finished_at"]


def _doubled(joint: Record, _: random.Random) -> None:
    joint["number"] = "ML-0000001"


SPOILT: tuple[Callable[[Record, random.Random], None], ...] = (
    _in_pass("current_a", 240),
    _in_pass("voltage_v", 12),
    _in_pass("preheat_c", 20),
    _in_pass("welder", "W999"),
    _in_pass("batch", "B-3"),
    _in_pass("side", ""),
    _in_pass("deposit_mm", 25),
    _in_joint("upstream_heat", "H999"),
    _in_joint("wps_revision", "9"),
    _in_joint("position_code", "PF"),
    _in_joint("hi_lo_mm", 2.4),
    _rejected,
    _no_report,
    _film_of_the_first,
    _too_early,
    _doubled,
)


if __name__ == "__main__":
    written(Path(sys.argv[2]), int(sys.argv[1]))
