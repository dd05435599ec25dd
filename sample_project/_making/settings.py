"""`project.yaml`: the identity and the rules of the sample, and how its registers are written."""

from __future__ import annotations

from sample_project._making.base import AS_OF, Data, Row

# How the contractor heads his weld log: field -> heading.
JOINT_COLUMNS = {
    "number": "Weld no.", "line": "Section", "kind": "Kind", "weld_type": "Type",
    "status": "State", "kp_m": "KP", "drawing": "Drawing", "drawing_revision": "Drg rev",
    "upstream_item": "Pipe up", "upstream_heat": "Heat up", "downstream_item": "Pipe down",
    "downstream_heat": "Heat down", "wps": "WPS", "wps_revision": "WPS rev",
    "position_code": "Pos.", "branch_angle_deg": "Branch [°]",
    "fit_up_gap_mm": "Root gap [mm]", "hi_lo_mm": "Hi-lo [mm]",
    "fit_up_by": "Fit-up by", "welded_on": "Date", "finished_at": "Completed",
    "replaces": "In place of", "remarks": "Remarks",
}  # fmt: skip
PASS_COLUMNS = {
    "joint": "Weld no.", "number": "Run", "kind": "Layer", "process": "Process", "side": "Half",
    "welder": "Stamp", "batch": "Batch", "started_at": "Arc on", "finished_at": "Arc off",
    "current_a": "A", "voltage_v": "V", "travel_mm_min": "mm/min", "gas_l_min": "Gas l/min",
    "preheat_c": "Preheat °C", "interpass_c": "Interpass °C", "direction": "Up/down",
    "deposit_mm": "Layer mm", "instrument": "Meter",
}  # fmt: skip
RUNS = 5  # runs that a row of the station's wide sheet has room for
_WIDE = [name for name in PASS_COLUMNS if name not in ("joint", "number", "side")]
COATING_COLUMNS = {
    "report": "Sheet", "joint": "Joint", "system": "Coating", "batch": "Lot",
    "coated_at": "Applied", "steel_c": "Steel °C", "dew_point_c": "Dew point °C",
    "humidity_percent": "RH %", "thickness_mm": "DFT mm", "holiday_tested_at": "Spark test",
    "holiday_kv": "Test kV", "holidays_found": "Found", "holidays_repaired": "Mended",
    "instrument": "Detector", "result": "Verdict", "document.document": "Scan",
    "document.page": "Scan page",
}  # fmt: skip
NDT_COLUMNS = {
    "report": "Report", "joint": "Weld", "method": "Method", "procedure": "Procedure",
    "technique": "Technique", "examined_at": "Examined", "reported_on": "Reported",
    "examiner": "Reader", "extent_percent": "Extent %", "films": "Film", "iqi": "IQI",
    "density": "Density", "instrument": "Densitometer", "result": "Result",
    "document.document": "Scan", "document.page": "Scan page",
}  # fmt: skip


# Where Brackmoor would lie: in the open sea, so that nobody takes it for a place on land.
ROUTE = [
    {"lon_deg": -30.0, "lat_deg": 40.0, "kp_m": 14200},
    {"lon_deg": -29.990046, "lat_deg": 40.002659, "kp_m": 15100},
    {"lon_deg": -29.979803, "lat_deg": 40.004024, "kp_m": 15987},
    {"lon_deg": -29.975026, "lat_deg": 40.004418, "kp_m": 16397},
    {"lon_deg": -29.974991, "lat_deg": 40.004418, "kp_m": 16400},
]


def run_heading(run: int, name: str) -> str:
    """Heading of one field of one run in the station's wide sheet."""
    return f"R{run} {PASS_COLUMNS[name]}"


def wide_fields() -> list[str]:
    """The fields that a run has in the station's wide sheet."""
    return list(_WIDE)


def _registers() -> Row:
    log = {"file": "registers/weld-log.xlsx", "header_row": 3}
    station = {"file": "registers/station-log.xlsx", "sheet": "Welds", "header_row": 3}
    values = {"result": {"ACC": "accepted", "REJ": "rejected"}}
    repeat = [
        {"columns": {name: run_heading(run, name) for name in _WIDE}, "constants": {"number": str(run)}}
        for run in range(1, RUNS + 1)
    ]
    ndt = {"delimiter": ";", "decimal": ",", "date_order": "dmy"}
    return {
        "lines": "registers/lines.yaml",
        "joints": [
            {**log, "sheet": "Welds", "columns": JOINT_COLUMNS},
            {**station, "columns": JOINT_COLUMNS},
        ],
        "passes": [
            {**log, "sheet": "Runs", "columns": PASS_COLUMNS},
            {**station, "columns": {"joint": JOINT_COLUMNS["number"]}, "repeat": repeat},
        ],
        "procedures": "registers/procedures.yaml",
        "pqrs": "registers/procedure-tests.yaml",
        "welders": "registers/welders.yaml",
        "items": "registers/items.csv",
        "material_certificates": "registers/mill-certificates.yaml",
        "heats": "registers/heats.csv",
        "batches": "registers/batches.csv",
        "examinations": {"file": "registers/ndt-log.csv", **ndt, "separator": "|",
                         "columns": NDT_COLUMNS, "values": values},
        "indications": {"file": "registers/ndt-indications.csv", **ndt},
        "examiners": "registers/examiners.yaml",
        "repairs": "registers/repairs.yaml",
        "coatings": {"file": "registers/field-coating.xlsx", "sheet": "Joints", "header_row": 2,
                     "columns": COATING_COLUMNS, "values": values},
        "lowerings": {"file": "registers/lowering.csv", "date_order": "dmy"},
        "pressure_tests": "registers/pressure-tests.yaml",
        "instruments": "registers/instruments.csv",
        "concessions": "registers/concessions.yaml",
        "documents": "registers/documents.csv",
    }  # fmt: skip


def build(data: Data) -> None:
    """Add the settings of the project."""
    limits = {
        "root_to_hot_max_min": 3, "hot_to_next_max_min": 10, "examination_delay_h": 24,
        "delay_applies_to": ["RT", "UT", "MT"], "repairs_per_place_max": 1,
        "examined": [
            {"kinds": ["mainline", "crossing", "tie-in", "station"], "methods": ["VT", "RT"],
             "percent": 100},
            {"kinds": ["golden"], "methods": ["VT", "RT", "UT"], "percent": 100},
            {"kinds": ["branch", "support"], "methods": ["VT", "MT"], "percent": 100},
        ],
        "holiday_rule": "iso-21809-3", "dew_point_margin_c": 3, "humidity_max_percent": 85,
        "cover_min_m": 1.1, "certificate_kind": "3.1",
        "repair_needs_repair_wps": True, "examiner_level_min": 2, "near_vision_months": 12,
        "basis": "Project specification BG-SP-010",
    }  # fmt: skip
    data["settings"] = {
        "schema": "1.0", "number": "BG-2", "title": "Brackmoor gas link, section 2",
        "client": "Aldane Transmission", "contractor": "Halvard Prieto Pipelining",
        "location": "Brackmoor, KP 14+200 to 16+400", "contract": "AT-26-0417", "as_of": AS_OF,
        "units": "SI", "language": "en", "paper": "A4", "volumes": "pipeline",
        "numbering": {
            "pattern": r"(?P<series>ML|RX|TI|GW|PT)-(?P<sequence>\d+)"
                       r"(?:(?P<event>[RW])(?P<order>\d+)?)?",
            "events": {"R": "repair", "W": "re-weld"}, "void": {}, "example": "ML-073W1",
        },
        "routes": [{"line": "BG-2", "points": ROUTE}],
        "requirements": limits,
        "signatories": [
            {"role": "prepared", "name": "Ingrid Salvatier", "post": "welding engineer",
             "organisation": "Halvard Prieto Pipelining"},
            {"role": "checked", "name": "Oluwaseun Brandvold", "post": "inspector",
             "organisation": "Fennmark Inspection"},
            {"role": "approved", "name": "Tomas Berezin", "post": "welding authority",
             "organisation": "Aldane Transmission"},
        ],
        "registers": _registers(),
    }  # fmt: skip
