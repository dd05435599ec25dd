"""Work still ahead: planned joints, the items for them, and two procedures in draft.

Most of it can be welded tomorrow; the heavy tie-ins and the small branches cannot, since nobody
has shown that thickness or that diameter and position, and their procedures are not tested.
"""

from __future__ import annotations

from sample_project._making.base import Data, Row, find, span
from sample_project._making.materials import MILL

THICK_MM, SMALL_OD_MM, SMALL_MM = 20.6, 60.3, 5.6
# number, line, kind, weld type, WPS, revision, position, items, KP, drawing
_JOINTS: list[tuple[str, str, str, str, str, str, str, tuple[str, str], int | None]] = [
    ("TI-4", "BG-2", "tie-in", "butt", "WPS-02", "0", "PH", ("P-164", "P-165"), 16249),
    ("TI-5", "BG-2", "tie-in", "butt", "WPS-02", "0", "PH", ("P-165", "P-167"), 16261),
    ("TI-6", "BG-2", "tie-in", "butt", "WPS-02", "0", "PH", ("P-167", "P-168"), 16273),
    ("TI-7", "BG-2", "tie-in", "butt", "WPS-07", "0", "PH", ("Q-08", "Q-09"), 16290),
    ("TI-8", "BG-2", "tie-in", "butt", "WPS-07", "0", "PH", ("Q-09", "Q-10"), 16302),
    ("PT-25", "BS-1", "station", "butt", "WPS-04", "0", "PH", ("S-09", "S-10"), None),
    ("PT-26", "BS-1", "station", "butt", "WPS-04", "0", "PH", ("S-10", "S-11"), None),
    ("PT-27", "BS-1", "station", "butt", "WPS-04", "0", "PH", ("FL-09", "FL-10"), None),
    ("PT-28", "BS-1", "branch", "branch", "WPS-06", "0", "PH", ("S-09", "T-05"), None),
    ("PT-29", "BS-1", "branch", "branch", "WPS-08", "0", "H-L045", ("S-10", "T-06"), None),
    ("PT-30", "BS-1", "branch", "branch", "WPS-08", "0", "H-L045", ("S-11", "T-07"), None),
    ("PT-31", "BS-1", "support", "fillet", "WPS-05", "0", "PB", ("PL-17", "PL-18"), None),
    ("PT-32", "BS-1", "support", "fillet", "WPS-05", "0", "PD", ("PL-19", "PL-20"), None),
]


def build(data: Data) -> None:
    """Add the items, procedures in draft and joints of the work ahead."""
    data["items"] += _items(data["items"])
    data["procedures"] += [_thick(data["procedures"]), _small(data["procedures"])]
    heats = {item["number"]: item["heat"] for item in data["items"]}
    data["joints"] += [_joint(row, heats) for row in _JOINTS]


def _joint(row: tuple[object, ...], heats: dict[str, str]) -> Row:
    number, line, kind, weld_type, wps, revision, position, pair, kp = row
    station = line == "BS-1"
    joint: Row = {
        "number": number, "line": line, "kind": kind, "weld_type": weld_type, "status": "planned",
        "upstream_item": pair[0], "downstream_item": pair[1],  # type: ignore[index]
        "upstream_heat": heats[pair[0]], "downstream_heat": heats[pair[1]],  # type: ignore[index]
        "wps": wps, "wps_revision": revision, "position_code": position, "kp_m": kp,
        "drawing": "BS-1-ISO-004" if station else "BG-2-AL-015", "drawing_revision": "0",
    }  # fmt: skip
    if weld_type == "branch":
        joint["branch_angle_deg"] = 90
    return joint


def _items(known: list[Row]) -> list[Row]:
    def like(model: str, number: str, **more: object) -> Row:
        return {**find(known, number=model), "number": number, **more}

    heavy = {"wall_mm": THICK_MM, "maker": MILL}
    small = {"od_mm": SMALL_OD_MM, "wall_mm": SMALL_MM}
    return [
        like("P-165", "P-167", length_m=12.08),
        like("P-165", "P-168", length_m=11.97),
        *(like("Q-07", f"Q-{n:02d}", **heavy, length_m=12.0 + n / 100) for n in (8, 9, 10)),
        like("S-10", "S-11"),
        like("FL-09", "FL-10"),
        like("T-04", "T-05"),
        *(like("T-04", f"T-{n:02d}", **small) for n in (6, 7)),
        *(like("PL-16", f"PL-{n:02d}") for n in range(17, 21)),
    ]


_DRAFT: Row = {"revision": "0", "status": "draft", "valid_from": None, "approvals": []}


def _thick(known: list[Row]) -> Row:
    model = find(known, number="WPS-02")
    return {**model, "number": "WPS-07", "title": "Tie-in welds in heavy wall, vertical up",
            "wall_mm": span(19.1, 25.4), **_DRAFT}  # fmt: skip


def _small(known: list[Row]) -> Row:
    model = find(known, number="WPS-06")
    return {**model, "number": "WPS-08", "title": "Station branch welds, small bore, inclined",
            "positions": ["H-L045"], "od_mm": span(42.2, 88.9), **_DRAFT}  # fmt: skip
