"""Welding procedures and the qualification records behind them."""

from __future__ import annotations

from datetime import date

from sample_project._making.base import OD_MM, WALL_MM, Data, Row, paper, span
from sample_project._making.materials import ISO_ROD, ISO_STICK

API, ISO = "API 1104:21st", "ISO 15614-1:2017"
REVISED = date(2026, 4, 20)  # first day of WPS-01 revision 1


Ends = tuple[float, float]


def _row(kind: str, process: str, filler: str, group: str, **more: object) -> Row:
    return {"kind": kind, "process": process, "filler": filler, "filler_group": group, **more}


_DOWN = {"direction": "down", "current": "DC+"}
_CELLULOSIC = {"covering": "cellulosic", "filler_mm": 4.0, **_DOWN}
_BASIC = {"covering": "basic", "filler_mm": 4.0, "direction": "up", "current": "DC+"}


def _electric(amps: Ends, volts: Ends, speed: Ends, heat: Ends) -> Row:
    return {
        "current_a": span(*amps),
        "voltage_v": span(*volts),
        "travel_mm_min": span(*speed),
        "heat_input_kj_mm": span(*heat),
    }


def _root_135(highest_a: int) -> Row:
    return _row(
        "root", "135", "ER70S-6", "5",
        covering="solid", filler_mm=1.2, transfer="short circuit", gas="C1",
        gas_l_min=span(14, 20), deposit_mm=2.6, **_DOWN,
        **_electric((150, highest_a), (16, 20), (250, 350), (0.33, 0.68)),
        technique="two welders, from 12 to 6 o'clock, wire extension 10 to 15 mm",
    )  # fmt: skip


def _mainline_passes(highest_root_a: int) -> list[Row]:
    return [
        _root_135(highest_root_a),
        _row("hot", "111", "E8010-P1", "2", **_CELLULOSIC, deposit_mm=2.0, within_min=3,
             **_electric((150, 190), (25, 31), (240, 340), (0.55, 1.05))),
        _row("fill", "111", "E8010-P1", "2", **_CELLULOSIC, deposit_mm=1.9,
             **_electric((150, 200), (25, 31), (170, 250), (0.78, 1.5))),
        _row("cap", "111", "E8010-P1", "2", **_CELLULOSIC, deposit_mm=1.7,
             **_electric((140, 190), (25, 31), (150, 220), (0.84, 1.6))),
    ]  # fmt: skip


_FILL_BASIC = _row("fill", "111", "E8018-G", "3", **_BASIC, deposit_mm=2.4,
                   within_min=20,
                   **_electric((110, 160), (22, 28), (80, 130), (1.05, 2.05)))  # fmt: skip
_CAP_BASIC = _row("cap", "111", "E8018-G", "3", **_BASIC, deposit_mm=2.2,
                  **_electric((105, 150), (22, 28), (80, 130), (1.0, 1.95)))  # fmt: skip
_ROOT_BASIC = _row("root", "111", "E7016", "3", **{**_BASIC, "filler_mm": 3.2, "current": "DC-"},
                   deposit_mm=3.0,
                   **_electric((70, 110), (20, 26), (55, 95), (0.9, 1.8)))  # fmt: skip
_STATION_PASSES = [
    _row("root", "141", ISO_ROD, "FM1", covering="solid", filler_mm=2.4, current="DC-",
         direction="up", gas="I1", gas_l_min=span(8, 14), deposit_mm=3.0,
         **_electric((90, 120), (10, 12), (55, 75), (0.5, 0.8))),
    _row("fill", "111", ISO_STICK, "FM1", **{**_BASIC, "filler_mm": 3.2}, deposit_mm=2.3,
         **_electric((105, 130), (22, 25), (110, 140), (0.83, 1.3))),
    _row("cap", "111", ISO_STICK, "FM1", **{**_BASIC, "filler_mm": 3.2}, deposit_mm=1.8,
         **_electric((105, 130), (22, 25), (110, 140), (0.83, 1.3))),
]  # fmt: skip
_FILLET_PASSES = [
    _row(kind, "111", ISO_STICK, "FM1", **{**_BASIC, "filler_mm": 3.2, "direction": ""},
         **_electric((100, 135), (22, 26), (120, 180), (0.65, 1.15)))
    for kind in ("root", "cap")
]  # fmt: skip


def _v_groove(gap: Ends, face: Ends) -> Row:
    return {
        "kind": "V", "angle_deg": 60, "gap_mm": span(*gap), "root_face_mm": span(*face),
        "hi_lo_max_mm": 1.6, "cap_height_max_mm": 1.6, "backing": "none", "sides": "single",
    }  # fmt: skip


_V = _v_groove((1.3, 1.9), (1.3, 1.9))  # nominal root gap of the line: 1.6 mm
_V_OPEN = _v_groove((2.0, 3.2), (1.0, 2.0))
_BRANCH = {**_V_OPEN, "kind": "branch", "angle_deg": 45}
_PIPE = {"product": "pipe", "weld_type": "butt", "preheat_min_c": 100, "interpass_max_c": 250}
_LINE = {"code": API, **_PIPE, "grades": ["L415ME"], "material_groups": ["2.1"],
         "smys_mpa": span(415, 415), "od_mm": span(406.4, 762),
         "cooling": "slow, wrapped"}  # fmt: skip
_STATION = {"code": ISO, "level": "2", **_PIPE, "grades": ["L290NE"], "material_groups": ["1.2"],
            "smys_mpa": span(high=290), "preheat_min_c": 20, "hydrogen_ml_100g": 5,
            "positions": ["PH"], "pqrs": ["PQR-04"], "od_mm": span(84.2, 323.9)}  # fmt: skip
_CLEAN = "power brush and disc after every pass; stops and starts ground"
_MAINLINE = {
    "number": "WPS-01", "title": "Mainline girth welds, vertical down", "pqrs": ["PQR-01"],
    **_LINE, "wall_mm": span(9.5, 14.3), "positions": ["PJ"], "groove": _V,
    "passes_before_stop": 3, "line_up": "internal clamp", "clamp_release": "root pass complete",
    "cleaning": _CLEAN,
    "notes": [
        "Second pass starts within 3 minutes of the end of the root pass.",
        "Third pass starts within 10 minutes of the end of the second.",
        ("Up to eight runs. Hot work and fumes: permit, fire watch and ventilation as the site "
         "rules and local law ask."),
    ],
}  # fmt: skip


def _wps() -> list[Row]:
    return [
        {**_MAINLINE, "revision": "0", "valid_from": date(2026, 3, 20),
         "valid_until": date(2026, 4, 19), "passes": _mainline_passes(200)},
        {**_MAINLINE, "revision": "1", "valid_from": REVISED, "passes": _mainline_passes(190),
         "change": "highest root current 190 A instead of 200 A"},
        {"number": "WPS-02", "revision": "0", "title": "Tie-in and crossing welds, vertical up",
         **_LINE, "pqrs": ["PQR-02"], "wall_mm": span(9.5, 19.0), "positions": ["PH"],
         "groove": _V_OPEN, "passes": [_ROOT_BASIC, _FILL_BASIC, _CAP_BASIC],
         "hydrogen_ml_100g": 5, "line_up": "external clamp", "cleaning": _CLEAN,
         "clamp_release": "root pass complete over half the circumference, evenly spaced"},
        {"number": "WPS-03", "revision": "0", **_LINE,
         "title": "Repair of girth welds, part and full thickness",
         "purpose": "repair", "pqrs": ["PQR-03"], "wall_mm": span(9.5, 19.0),
         "positions": ["PH"], "groove": _V_OPEN, "passes": [_ROOT_BASIC, _FILL_BASIC, _CAP_BASIC],
         "preheat_min_c": 120, "hydrogen_ml_100g": 5, "line_up": "none", "cleaning": _CLEAN},
        {"number": "WPS-04", "revision": "0", "title": "Station pipe butts", **_STATION,
         "wall_mm": span(4.0, 12.0), "groove": _V_OPEN, "passes": _STATION_PASSES,
         "line_up": "tack welds", "cleaning": _CLEAN},
        {"number": "WPS-05", "revision": "0", "title": "Station supports, fillet welds",
         "code": ISO, "level": "2", "product": "plate", "weld_type": "fillet",
         "grades": ["S235J2"], "material_groups": ["1.1"], "pqrs": ["PQR-05"],
         "smys_mpa": span(high=235),
         "wall_mm": span(6.0, 12.0), "positions": ["PB", "PD"], "preheat_min_c": 20,
         "interpass_max_c": 220, "hydrogen_ml_100g": 5, "passes": _FILLET_PASSES,
         "groove": {"kind": "fillet", "throat_mm": span(6.0, 7.0), "sides": "single"},
         "line_up": "tack welds", "cleaning": _CLEAN},
        {"number": "WPS-06", "revision": "0", "title": "Station branch welds", **_STATION,
         "weld_type": "branch", "pqrs": ["PQR-06"], "branch_angle_deg": span(90, 90),
         "wall_mm": span(4.0, 12.0), "passes": _STATION_PASSES,
         "groove": _BRANCH, "line_up": "tack welds",
         "cleaning": _CLEAN},
    ]  # fmt: skip


def _measured(
    rows: list[Row], wanted: list[tuple[str, float | None]], preheat_c: float
) -> list[Row]:
    """Passes of a procedure test: the middle of the ranges that the WPS gives."""
    made = []
    for number, (kind, since) in enumerate(wanted, 1):
        row = next(r for r in rows if r["kind"] == kind)
        one = {k: v for k, v in row.items() if not isinstance(v, dict) and k not in _SHEET_ONLY}
        for name in ("current_a", "voltage_v", "travel_mm_min"):
            one[name] = (row[name]["low"] + row[name]["high"]) / 2
        heat = {"preheat_c": preheat_c} if number == 1 else {"interpass_c": 245 - 5 * number}
        made.append({"number": number, **one, **heat})
        if since is not None:
            made[-1]["since_last_min"] = since
    return made


_SHEET_ONLY = ("within_min", "technique")


def _test(kind: str, specimens: int, value: str, permitted: str, lab: str) -> Row:
    return {"kind": kind, "specimens": specimens, "value": value, "permitted": permitted,
            "result": "accepted", "report": lab}  # fmt: skip


def _line_tests(lab: str, tensile: str) -> list[Row]:
    return [
        _test("visual", 1, "no defect", "API 1104, section 9", lab),
        _test("radiographic", 1, "no defect", "API 1104, section 9", lab),
        _test("tensile", 4, tensile, "520 MPa at least", lab),
        _test("nick break", 4, "sound", "API 1104, 5.6.3", lab),
        _test("side bend", 8, "no opening over 3 mm", "API 1104, 5.6.4", lab),
        _test("hardness", 1, "highest 236 HV10", "275 HV10", lab),
    ]


def _station_tests(lab: str) -> list[Row]:
    return [
        _test("visual", 1, "no defect", "ISO 15614-1, 7.5", lab),
        _test("radiographic", 1, "no defect", "ISO 15614-1, 7.5", lab),
        _test("surface crack", 1, "no indication", "ISO 15614-1, 7.5", lab),
        _test("tensile", 2, "478 MPa; 482 MPa", "415 MPa at least", lab),
        _test("bend", 4, "180 degrees, no flaw over 3 mm", "ISO 15614-1, 7.4.2", lab),
        _test("hardness", 1, "highest 219 HV10", "380 HV10", lab),
        _test("macro", 1, "sound", "ISO 15614-1, 7.4.4", lab),
    ]


def _branch_tests(lab: str) -> list[Row]:
    return [one for one in _station_tests(lab) if one["kind"] not in ("tensile", "bend")]


_STEEL = {"c": 0.08, "si": 0.31, "mn": 1.5, "p": 0.013, "s": 0.003, "cr": 0.06, "mo": 0.03,
          "ni": 0.05, "cu": 0.08, "v": 0.035, "nb": 0.045, "ti": 0.016, "al": 0.035,
          "n": 0.005}  # fmt: skip
_PIECE = {"code": API, "product": "pipe", "weld_type": "butt", "material_groups": ["2.1", "2.1"],
          "grade": "L415ME", "smys_mpa": 415, "composition": _STEEL, "wall_mm": WALL_MM,
          "od_mm": OD_MM, "hardness_tested": True, "impact_tested": True,
          "laboratory": "Prüfstelle Amselgrund"}  # fmt: skip
_STATION_RUNS = [("root", None), ("fill", 15.0), ("fill", 15.0), ("cap", 15.0)]
_ROOT_FILLS = [("root", None), *(("fill", 20.0) for _ in range(4)), ("cap", 20.0)]


def _pqrs() -> list[Row]:
    basic = [_ROOT_BASIC, _FILL_BASIC, _CAP_BASIC]
    down = [("root", None), ("hot", 3.0), *(("fill", 10.0) for _ in range(4)), ("cap", 10.0)]
    fillet = {"code": ISO, "level": "2", "product": "plate", "weld_type": "fillet",
              "material_groups": ["1.1", "1.1"], "grade": "S235J2", "smys_mpa": 235,
              "wall_mm": 10, "throat_mm": 6, "position": "PB", "impact_tested": False,
              "hardness_tested": False, "laboratory": "Prüfstelle Amselgrund"}  # fmt: skip
    station = {"code": ISO, "level": "2", "product": "pipe", "weld_type": "butt",
               "material_groups": ["1.2", "1.2"], "grade": "L290NE", "smys_mpa": 290,
               "wall_mm": 8.8, "od_mm": 168.3, "position": "PH", "impact_tested": False,
               "hardness_tested": True, "laboratory": "Prüfstelle Amselgrund",
               "hydrogen_ml_100g": 5}  # fmt: skip
    return [
        {"number": "PQR-01", **_PIECE, "welded_on": date(2026, 2, 9), "position": "PJ",
         "groove": _V, "wps": "pWPS-01", "passes": _measured(_mainline_passes(200), down, 100),
         "preheat_c": 100, "interpass_max_c": 250, "line_up": "internal clamp", "welder": "W03",
         "tests": _line_tests("LAB-2601", "566 MPa; 571 MPa; 569 MPa; 574 MPa")},
        {"number": "PQR-02", **_PIECE, "welded_on": date(2026, 2, 12), "position": "PH",
         "groove": _V_OPEN, "wps": "pWPS-02", "passes": _measured(basic, _ROOT_FILLS, 100),
         "preheat_c": 100, "interpass_max_c": 250, "line_up": "external clamp", "welder": "W09",
         "hydrogen_ml_100g": 5,
         "tests": _line_tests("LAB-2602", "589 MPa; 584 MPa; 592 MPa; 586 MPa")},
        {"number": "PQR-03", **_PIECE, "welded_on": date(2026, 2, 16), "position": "PH",
         "groove": _V_OPEN, "wps": "pWPS-03", "passes": _measured(basic, _ROOT_FILLS, 120),
         "preheat_c": 120, "interpass_max_c": 250, "welder": "W11", "hydrogen_ml_100g": 5,
         "tests": _line_tests("LAB-2603", "590 MPa; 588 MPa; 595 MPa; 587 MPa")},
        {"number": "PQR-04", **station, "welded_on": date(2026, 2, 24), "groove": _V_OPEN,
         "wps": "pWPS-04", "welder": "W12", "preheat_c": 20, "interpass_max_c": 250,
         "passes": _measured(_STATION_PASSES, _STATION_RUNS, 20),
         "tests": _station_tests("LAB-2604")},
        {"number": "PQR-05", **fillet, "welded_on": date(2026, 2, 25), "wps": "pWPS-05",
         "groove": {"kind": "fillet", "sides": "single"}, "preheat_c": 20,
         "interpass_max_c": 220, "welder": "W12", "hydrogen_ml_100g": 5,
         "passes": _measured(_FILLET_PASSES, [("root", None), ("cap", 15.0)], 20),
         "tests": [_test("visual", 1, "no defect", "ISO 15614-1, 7.5", "LAB-2605"),
                   _test("surface crack", 1, "no indication", "ISO 15614-1, 7.5", "LAB-2605"),
                   _test("macro", 2, "sound", "ISO 15614-1, 7.4.4", "LAB-2605")]},
        {"number": "PQR-06", **station, "weld_type": "branch", "branch_angle_deg": 90,
         "welded_on": date(2026, 2, 26), "groove": _BRANCH, "wps": "pWPS-06", "welder": "W12",
         "preheat_c": 20, "interpass_max_c": 250,
         "passes": _measured(_STATION_PASSES, _STATION_RUNS, 20),
         "tests": _branch_tests("LAB-2606")},
    ]  # fmt: skip


def build(data: Data) -> None:
    """Add the registers of procedures and procedure qualification records."""
    data["procedures"] = _wps()
    for wps in data["procedures"]:
        signed = min(wps.get("valid_from", date(2026, 3, 20)), REVISED)
        wps.setdefault("valid_from", signed)
        wps["status"] = "issued"
        wps["approvals"] = [
            {"role": "prepared", "name": "Ingrid Salvatier", "post": "welding engineer",
             "signed_on": date(2026, 3, 6) if wps["revision"] == "0" else date(2026, 4, 15)},
            {"role": "approved", "name": "Tomas Berezin", "post": "client's welding authority",
             "signed_on": date(2026, 3, 18) if wps["revision"] == "0" else date(2026, 4, 18)},
        ]  # fmt: skip
    data["pqrs"] = _pqrs()
    for number, pqr in enumerate(data["pqrs"], 1):
        pqr["examiner"] = "Yusuf Okonjo-Hale"
        pqr["document"] = paper(f"D-02{number:02d}")
