"""Welders with certificates and confirmations, and examiners with theirs."""

from __future__ import annotations

from datetime import date, timedelta

from sample_project._making.base import OD_MM, WALL_MM, Data, Row, paper
from sample_project._making.materials import ISO_ROD, ISO_STICK

API, ISO = "API 1104:21st", "ISO 9606-1:2012"
COORDINATOR = "Ingrid Salvatier, welding engineer"
# Stamp W07 passes to another person: the days between belong to nobody.
W07_GIVEN_BACK, W07_GIVEN_OUT = date(2026, 4, 29), date(2026, 5, 4)
# Six months from the test end on the day of weld PT-14; PT-15 is a day later.
W14_TESTED, W14_CONFIRMED = date(2025, 11, 11), date(2026, 5, 8)
WELDING_EXAMINER = "W09"  # also certified for visual examination

TESTED_IN = timedelta(days=6)  # from the test piece to the certificate

NAMES = {
    "W01": "Anselm Kvarnstrand", "W02": "Paulo Teixeirinha", "W03": "Marek Dobrzyca",
    "W04": "Ciaran Holloway-Fitz", "W05": "Dimitar Stanevski", "W06": "Jorge Ballestrín",
    "W07": "Lucian Petrovan", "W08": "Henrik Aasbu", "W09": "Rasmus Tverdal",
    "W10": "Emeka Adeyanju-Cole", "W11": "Filip Ostrowiecki", "W12": "Beatriz Carvalhosa",
    "W13": "Nuno Pinhal-Reis", "W14": "Kenji Morikado",
}  # fmt: skip
_SECOND_W07 = "Sandor Illyefalvi"


def _api(number: str, process: str, deposit: Row, up: bool, day: date) -> Row:
    return {
        "number": number, "code": API, "welded_on": day, "issued_on": day + TESTED_IN, "product": "pipe",
        "weld_type": "butt", "positions": ["H-L045" if up else "J-L045"],
        "direction": "up" if up else "down", "material_group": "2.1", "smys_mpa": 415,
        "wall_mm": WALL_MM, "od_mm": OD_MM, "sides": "single",
        "deposits": [{"process": process, "deposit_mm": WALL_MM, "backing": "none", "layers": 7,
                      "root": True, **deposit}],
        "wps": "WPS-02" if up else "WPS-01", "examiner": "Yusuf Okonjo-Hale", "result": "passed",
    }  # fmt: skip


_WIRE = {"filler": "ER70S-6", "filler_group": "5", "covering": "solid",
         "transfer": "short circuit", "current": "DC+"}  # fmt: skip
_CELLULOSIC = {"filler": "E8010-P1", "filler_group": "2", "covering": "cellulosic",
               "current": "DC+"}  # fmt: skip
_BASIC = {"filler": "E8018-G", "filler_group": "3", "covering": "basic", "current": "DC+"}


def _iso_butt(number: str, day: date, wall_mm: float) -> Row:
    """A pipe test with a 141 root of 3 or 4 mm and 111 above it."""
    root_mm = 3.0 if wall_mm < 10 else 4.0
    return {
        "number": number, "code": ISO, "welded_on": day, "issued_on": day + TESTED_IN, "product": "pipe",
        "weld_type": "butt", "positions": ["H-L045"], "direction": "up", "material_group": "1.2",
        "smys_mpa": 355, "wall_mm": wall_mm, "od_mm": 168.3, "sides": "single",
        "deposits": [
            {"process": "141", "deposit_mm": root_mm, "filler": ISO_ROD, "filler_group": "FM1",
             "covering": "solid", "backing": "none", "layers": 1, "root": True, "current": "DC-"},
            {"process": "111", "deposit_mm": wall_mm - root_mm, "filler": ISO_STICK,
             "filler_group": "FM1", "covering": "basic", "backing": "weld metal",
             "layers": 2 if wall_mm < 10 else 4, "root": False, "current": "DC+"},
        ],
        "wps": "WPS-04", "method": "9.3 a", "examiner": "Yusuf Okonjo-Hale", "result": "passed",
    }  # fmt: skip


def _iso_fillet(number: str, day: date, position: str) -> Row:
    return {
        "number": number, "code": ISO, "welded_on": day, "issued_on": day + TESTED_IN, "product": "plate",
        "weld_type": "fillet", "positions": [position], "material_group": "1.1",
        "smys_mpa": 235, "wall_mm": 10, "throat_mm": 6, "sides": "single",
        "deposits": [{"process": "111", "filler": ISO_STICK, "filler_group": "FM1",
                      "covering": "basic", "layers": 2, "root": True, "current": "DC+"}],
        "wps": "WPS-05", "method": "9.3 a", "examiner": "Yusuf Okonjo-Hale", "result": "passed",
    }  # fmt: skip


def _certificates(stamp: str) -> list[Row]:
    number = f"WC-{stamp[1:]}"
    if stamp in ("W01", "W02"):
        return [_api(f"{number}-1", "135", _WIRE, False, date(2026, 3, 3))]
    if stamp <= "W08":
        return [_api(f"{number}-1", "111", _CELLULOSIC, False, date(2026, 3, int(stamp[1:])))]
    if stamp <= "W11":
        return [_api(f"{number}-1", "111", _BASIC, True, date(2026, 3, int(stamp[1:])))]
    if stamp == "W14":
        return [_iso_butt(f"{number}-1", W14_TESTED, 15.0)]
    thick, position = (15.0, "PD") if stamp == "W12" else (7.1, "PB")
    return [
        _iso_butt(f"{number}-1", date(2025, 12, 8), thick),
        _iso_fillet(f"{number}-2", date(2025, 12, 9), position),
    ]


def _confirm(certificate: Row, day: date) -> None:
    certificate["confirmations"] = [{"signed_on": day, "by": COORDINATOR}]


def _welders() -> list[Row]:
    rows: list[Row] = [
        {"stamp": stamp, "name": name, "employer": "Halvard Prieto Pipelining",
         "since": date(2026, 3, 16), "certificates": _certificates(stamp)}
        for stamp, name in NAMES.items()
    ]  # fmt: skip
    rows[6]["until"] = W07_GIVEN_BACK
    second = _api("WC-15-1", "111", _CELLULOSIC, False, date(2026, 4, 30))
    rows.append({"stamp": "W07", "name": _SECOND_W07, "employer": "Halvard Prieto Pipelining",
                 "since": W07_GIVEN_OUT, "certificates": [second]})  # fmt: skip
    for row in rows:
        for certificate in row["certificates"]:
            if certificate["code"] == ISO:
                late = row["stamp"] == "W14"
                _confirm(certificate, W14_CONFIRMED if late else date(2026, 4, 10))
    return rows


_EXAMINERS: list[tuple[str, str, tuple[tuple[str, str], ...]]] = [
    ("E01", "Oluwaseun Brandvold", (("VT", "VT-4471"),)),
    ("E02", "Mireille Castagnède", (("RT", "RT-2208"),)),
    ("E03", "Viktor Halmágyi", (("RT", "RT-2291"),)),
    ("E04", "Siobhan Ruddleston", (("MT", "MT-3310"), ("UT", "UT-3311"))),
    # Known in the examination records by his welder's stamp.
    (WELDING_EXAMINER, NAMES[WELDING_EXAMINER], (("VT", "VT-4502"),)),
    ("E06", "Aurelio Benvegnù", (("RT", "RT-2307"),)),
    ("E07", "Gudrun Selvaag", (("RT", "RT-2316"),)),
]  # fmt: skip


def _examiner(number: str, name: str, held: tuple[tuple[str, str], ...]) -> Row:
    return {
        "id": number, "name": name, "employer": "Fennmark Inspection",
        "certificates": [
            {"number": certificate, "method": method, "level": 2, "scheme": "ISO 9712:2021",
             "issued_on": date(2023, 9, 1), "expires_on": date(2028, 8, 31),
             "vision_on": date(2026, 1, 19)}
            for method, certificate in held
        ],
    }  # fmt: skip


def build(data: Data) -> None:
    """Add the registers of welders and examiners, each certificate with its paper."""
    data["welders"] = _welders()
    page = 0
    for welder in data["welders"]:
        for certificate in welder["certificates"]:
            page += 1
            certificate["document"] = paper(f"D-04{page:02d}")
    data["examiners"] = [_examiner(*row) for row in _EXAMINERS]
    for number, examiner in enumerate(data["examiners"], 1):
        for certificate in examiner["certificates"]:
            certificate["document"] = paper(f"D-05{number:02d}")
