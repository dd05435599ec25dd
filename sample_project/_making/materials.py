"""Items, mill certificates with their heats, and batches of consumables and coating."""

from __future__ import annotations

from datetime import date

from sample_project._making.base import HEAVY_MM, OD_MM, WALL_MM, Data, Row, dice, paper

MILL = "Sonderby Rørværk"
PIPES = 166  # of 12.7 mm
HEAVY_PIPES = 7
_LINE = {"grade": "L415ME", "material_group": "2.1", "smys_mpa": 415, "od_mm": OD_MM}
_STATION = {"grade": "L290NE", "material_group": "1.2", "smys_mpa": 290}


def build(data: Data) -> None:
    """Add the registers of items, material certificates with heats, and batches."""
    data["material_certificates"] = [_certificate(*row) for row in _CERTIFICATES]
    data["items"] = [*_pipes(), *_special(), *_station()]
    data["batches"] = [dict(zip(_BATCH, row, strict=True)) for row in _BATCHES]
    for number, batch in enumerate(data["batches"]):
        batch["document"] = paper(f"D-03{number + 1:02d}")


# number, maker, product, grade, issued, heats
_CERTIFICATES = [
    *(
        (
            f"MC-260{n}",
            MILL,
            "line pipe 610 x 12.7",
            "L415ME",
            date(2025, 11, 3 + n),
            (f"H{41200 + 37 * n}", f"H{41213 + 37 * n}"),
        )
        for n in range(1, 7)
    ),
    ("MC-2607", MILL, "line pipe 610 x 15.9", "L415ME", date(2025, 11, 20), ("H42871", "H42872")),
    (
        "MC-2608",
        "Acciaierie Valdrone",
        "pipe 168.3 x 7.1 and 88.9 x 5.6",
        "L290NE",
        date(2025, 12, 2),
        ("V7731", "V7745"),
    ),
    ("MC-2609", "Forja Monterrio", "weld neck flanges", "L290NE", date(2025, 12, 9), ("F5520",)),
    ("MC-2610", "Walcownia Drzewica", "plate 10 mm", "S235J2", date(2025, 12, 11), ("B9034",)),
    ("MC-2611", "Tubi Curvati Altamura", "bends 610", "L415ME", date(2025, 12, 15), ("H43310",)),
]


def _certificate(
    number: str, maker: str, product: str, grade: str, issued: date, heats: tuple[str, ...]
) -> Row:
    return {
        "number": number,
        "kind": "3.1",
        "maker": maker,
        "product": product,
        "grade": grade,
        "issued_on": issued,
        "heats": [_heat(name, grade) for name in heats],
        "document": paper(f"D-01{int(number[-2:]):02d}", 2),
    }


def _heat(number: str, grade: str) -> Row:
    draw = dice("heat", number)
    strong = grade == "L415ME"
    mild = grade == "S235J2"
    chemistry = {
        "c": (0.06, 0.08) if strong else (0.13, 0.15),
        "si": (0.22, 0.32),
        "mn": (1.38, 1.52) if strong else (0.75, 0.9) if mild else (0.95, 1.1),
        "p": (0.008, 0.014),
        "s": (0.001, 0.004),
        "cr": (0.03, 0.06),
        "mo": (0.01, 0.03),
        "ni": (0.02, 0.06),
        "cu": (0.03, 0.08),
        "v": (0.02, 0.035) if strong else (0.002, 0.005),
        "nb": (0.03, 0.045) if strong else (0.002, 0.004),
        "ti": (0.01, 0.018) if strong else (0.002, 0.004),
        "al": (0.028, 0.04),
        "n": (0.004, 0.006),
    }
    low, high = (448, 486) if strong else (262, 281) if mild else (322, 345)
    yields = draw.randint(low, high)
    return {
        "number": number,
        "composition": {name: round(draw.uniform(*ends), 3) for name, ends in chemistry.items()},
        "yield_mpa": yields,
        "tensile_mpa": yields + draw.randint(95, 125),
        "elongation_percent": draw.randint(24, 31),
        "impact_j": draw.randint(140, 210) if strong else draw.randint(70, 110),
        "impact_at_c": -20,
    }


def _pipe(number: str, nth: int, certificate: int, wall_mm: float) -> Row:
    heats = _CERTIFICATES[certificate - 1][5]
    return {
        "number": number,
        "kind": "pipe",
        "heat": heats[nth % 2],
        "certificate": f"MC-26{certificate:02d}",
        **_LINE,
        "wall_mm": wall_mm,
        "length_m": round(dice("pipe", number).uniform(11.85, 12.3), 2),
        "maker": MILL,
        "coating": "three-layer polyethylene",
    }


def _pipes() -> list[Row]:
    normal = [
        _pipe(f"P-{n:03d}", n, min(6, 1 + (n - 1) // 28), WALL_MM) for n in range(1, PIPES + 1)
    ]
    return normal + [_pipe(f"Q-{n:02d}", n, 7, HEAVY_MM) for n in range(1, HEAVY_PIPES + 1)]


def _special() -> list[Row]:
    parent = _pipe("P-166", 166, 6, WALL_MM)
    pup = {**parent, "number": "PUP-01", "kind": "pup", "length_m": 1.4, "parent": "P-166"}
    bend = {"heat": "H43310", "certificate": "MC-2611", **_LINE, "wall_mm": WALL_MM}
    bends = [
        {"number": f"BD-{n}", "kind": "bend", **bend, "length_m": 3.1, "maker": "Tubi Curvati"}
        for n in (1, 2)
    ]
    return [pup, *bends]


def _station() -> list[Row]:
    run = {"kind": "pipe", "certificate": "MC-2608", **_STATION, "maker": "Acciaierie Valdrone"}
    rows: list[Row] = [
        {"number": f"S-{n:02d}", "heat": "V7731", **run, "od_mm": 168.3, "wall_mm": 7.1}
        for n in range(1, 11)
    ]
    rows += [
        {"number": f"T-{n:02d}", "heat": "V7745", **run, "od_mm": 88.9, "wall_mm": 5.6}
        for n in range(1, 5)
    ]
    flange = {"kind": "flange", "heat": "F5520", "certificate": "MC-2609", **_STATION}
    rows += [
        {"number": f"FL-{n:02d}", **flange, "od_mm": 168.3, "wall_mm": 7.1} for n in range(1, 7)
    ]
    # The two heavy ends of the launcher, where the weld is thicker than the pipe of the line.
    rows += [
        {"number": f"FL-{n:02d}", **flange, "od_mm": 168.3, "wall_mm": 11.0} for n in range(7, 10)
    ]
    plate = {"kind": "plate", "heat": "B9034", "certificate": "MC-2610", "grade": "S235J2"}
    rows += [
        {"number": f"PL-{n:02d}", **plate, "material_group": "1.1", "smys_mpa": 235, "wall_mm": 10}
        for n in range(1, 17)
    ]
    return rows


_BATCH = (
    "number", "kind", "classification", "brand", "filler_group", "size_mm", "certificate",
    "certificate_kind", "received_on", "expires_on",
)  # fmt: skip
_IN, _OUT = date(2026, 3, 16), date(2027, 3, 31)
ISO_STICK, ISO_ROD = "ISO 2560-A: E 42 4 B 32 H5", "ISO 636-A: W 42 4 3Si1"
_BATCHES = [
    ("W-135-61", "filler", "ER70S-6", "Ferrano 70", "5", 1.2, "BC-201", "3.1", _IN, _OUT),
    ("C-80-114", "filler", "E8010-P1", "Celux 80", "2", 4.0, "BC-202", "3.1", _IN, _OUT),
    ("C-80-118", "filler", "E8010-P1", "Celux 80", "2", 4.0, "BC-203", "3.1", _IN, _OUT),
    ("B-70-33", "filler", "E7016", "Basana 70", "3", 3.2, "BC-204", "3.1", _IN, _OUT),
    ("B-80-41", "filler", "E8018-G", "Basana 80", "3", 4.0, "BC-205", "3.1", _IN, _OUT),
    ("C-60-09", "filler", "E6010", "Celux 60", "1", 4.0, "BC-206", "3.1", _IN, _OUT),
    ("T-3-77", "filler", ISO_ROD, "Tigara 3", "FM1", 2.4, "BC-207", "3.1", _IN, _OUT),
    ("E-42-52", "filler", ISO_STICK, "Basana 42", "FM1", 3.2, "BC-208", "3.1", _IN, _OUT),
    ("C-80-121", "filler", "E8010-P1", "Celux 80", "2", 4.0, "BC-209", "3.1", date(2026, 4, 27),
     _OUT),
    ("HS-610-5", "coating", "heat-shrink sleeve, three-layer", "Manicor", "", None, "BC-210",
     "2.2", _IN, date(2027, 1, 31)),
]  # fmt: skip
