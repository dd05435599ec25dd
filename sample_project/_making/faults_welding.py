"""Planted faults of welders, procedures, readings, batches and items."""

from __future__ import annotations

from datetime import date, timedelta

from sample_project._making.base import Data, find
from sample_project._making.papers import document
from sample_project._making.planting import (
    Fault,
    Plant,
    Planted,
    finding,
    joint_of,
    mark_of,
    pass_of,
)
from sample_project._making.works import passes_of

CONCESSION = "CON-001"
CONCESSION_PAPER = [
    f"Concession {CONCESSION}", "Preheat of joint ML-088, left half: 88 C, asked 100 C",
    "Site hardness 241 HV10; films read twice, no crack; magnetic particles after 72 h clear",
    "Disposition: accepted as is, for this joint only",
    "Approved 2026-05-06: Tomas Berezin, welding authority, Aldane Transmission",
]  # fmt: skip


def _stamp(joint: str, number: int, side: str, stamp: str, *given: tuple[str, str, str]) -> Plant:
    """Another stamp on one pass; `given` are check, verdict and process ("" for none)."""

    def plant(data: Data) -> Planted:
        made = pass_of(data, joint, number, side)
        made["welder"] = stamp
        expected = tuple(
            finding(check, verdict, joint=joint, welder=stamp, **({"process": p} if p else {}))
            for check, verdict, p in given
        )
        return Planted(expected, made, "welder")

    return plant


def _whole_joint_by(joint: str, stamp: str, check: str) -> Plant:
    """All passes by another welder; the finding is about process 111."""

    def plant(data: Data) -> Planted:
        made = [p for p in data["passes"] if p["joint"] == joint]
        for one in made:
            one["welder"] = stamp
        expected = finding(check, "nonconformity", joint=joint, welder=stamp, process="111")
        return Planted((expected,), made[-1], "welder")

    return plant


def _lapsed(data: Data) -> Planted:
    certificate = find(data["welders"], stamp="W14")["certificates"][0]
    del certificate["confirmations"]
    expected = tuple(
        finding("welder-continuity", "nonconformity", joint="PT-15", welder="W14", process=process)
        for process in ("141", "111")
    )
    return Planted(expected, file="registers/welders.yaml", trail=("stamp: W14", "certificates:"))


def _revision(joint: str, revision: str, verdict: str) -> Plant:
    def plant(data: Data) -> Planted:
        row = joint_of(data, joint)
        row["wps_revision"] = revision
        expected = finding("procedure-in-force", verdict, joint=joint)
        return Planted((expected,), row, "wps_revision")

    return plant


def _old_revision_hot(data: Data) -> Planted:
    planted = _revision("ML-102", "0", "nonconformity")(data)
    pass_of(data, "ML-102", 1, "left").update(current_a=197, voltage_v=18.0, travel_mm_min=300)
    return planted


def _unapproved(data: Data) -> Planted:
    wps = find(data["procedures"], number="WPS-06")
    wps["approvals"] = wps["approvals"][:1]
    expected = tuple(
        finding("procedure-in-force", "hold", joint=f"PT-{nth}") for nth in range(13, 17)
    )
    trail = ("number: WPS-06", "approvals:")
    return Planted(expected, file="registers/procedures.yaml", trail=trail)


def _lost_test(data: Data) -> Planted:
    find(data["procedures"], number="WPS-03")["pqrs"].append("PQR-13")
    expected = finding("procedure-supported", "hold", procedure="WPS-03", revision="0")
    trail = ("number: WPS-03", "pqrs:")
    return Planted((expected,), file="registers/procedures.yaml", trail=trail)


def _wide_sheet(data: Data) -> Planted:
    find(data["procedures"], number="WPS-05")["wall_mm"] = {"low": 6.0, "high": 16.0}
    expected = finding("procedure-supported", "nonconformity", procedure="WPS-05", revision="0")
    trail = ("number: WPS-05", "wall_mm:")
    return Planted((expected,), file="registers/procedures.yaml", trail=trail)


def _transition(data: Data) -> Planted:
    joint = joint_of(data, "TI-1")
    joint |= {"wps": "WPS-01", "wps_revision": "1", "position_code": "PJ", "fit_up_gap_mm": 1.6}
    kept = [made for made in data["passes"] if made["joint"] != "TI-1"]
    data["passes"] = kept + passes_of(data, joint)
    expected = finding("joint-inside-procedure", "nonconformity", joint="TI-1")
    return Planted((expected,), joint, "wps")


def _reading(
    joint: str, which: tuple[int, str], field: str, found: tuple[str, str], **values: object
) -> Plant:
    """Other readings on one pass; `found` are the check and its verdict."""

    def plant(data: Data) -> Planted:
        made = pass_of(data, joint, *which)
        made.update(values)
        expected = finding(*found, joint=joint, run=mark_of(made))
        return Planted((expected,), made, field)

    return plant


def _late_hot(data: Data) -> Planted:
    root, hot = pass_of(data, "ML-057", 1, "left"), pass_of(data, "ML-057", 2, "left")
    hot["started_at"] = root["finished_at"] + timedelta(minutes=7)
    expected = finding("pass-interval", "nonconformity", joint="ML-057", run="2l")
    return Planted((expected,), hot, "started_at")


def _cold(data: Data) -> Planted:
    made = pass_of(data, "ML-088", 1, "left")
    made["preheat_c"] = 88
    data["concessions"].append({
        "number": CONCESSION, "title": "Preheat of ML-088, left half",
        "checks": ["preheat-and-interpass"], "joints": ["ML-088"],
        "requirement": "WPS-01: preheat at least 100 °C",
        "disposition": "Accepted as is: hardness on site 241 HV10, films read twice without a "
                       "crack, second examination by magnetic particles after 72 hours clear.",
        "approver": "Tomas Berezin, welding authority of the client",
        "signed_on": date(2026, 5, 6), "document": {"document": "D-0901", "page": 1},
    })  # fmt: skip
    entry = document("D-0901", f"Concession {CONCESSION}", "concession",
                     f"concessions/{CONCESSION}", date(2026, 5, 6))  # fmt: skip
    data["documents"].append({**entry, "pages": 1})
    expected = finding(
        "preheat-and-interpass", "nonconformity", CONCESSION, joint="ML-088", run="1l"
    )
    late = finding("concession-scope", "note", concession=CONCESSION)
    return Planted((expected, late), made, "preheat_c")


def _batch(joint: str, which: tuple[int, str], batch: str, verdict: str) -> Plant:
    def plant(data: Data) -> Planted:
        made = pass_of(data, joint, *which)
        made["batch"] = batch
        expected = finding("consumable-batch", verdict, joint=joint, batch=batch)
        return Planted((expected,), made, "batch")

    return plant


def _uncertified(data: Data) -> Planted:
    like = find(data["batches"], number="C-80-121")
    batch = {**like, "number": "C-80-127", "certificate": "", "certificate_kind": ""}
    del batch["document"]
    data["batches"].append(batch)
    for joint in ("ML-131", "ML-132"):
        for side in ("left", "right"):
            pass_of(data, joint, -1, side)["batch"] = "C-80-127"
    expected = tuple(
        finding("consumable-batch", "hold", joint=joint, batch="C-80-127")
        for joint in ("ML-131", "ML-132")
    )
    return Planted(expected, batch, "certificate")


def _expired(data: Data) -> Planted:
    like = find(data["batches"], number="B-70-33")
    batch = {**like, "number": "B-70-29", "expires_on": date(2026, 4, 30)}
    data["batches"].append(batch)
    pass_of(data, "TI-3", 1, "left")["batch"] = "B-70-29"
    expected = finding("consumable-batch", "nonconformity", joint="TI-3", batch="B-70-29")
    return Planted((expected,), batch, "expires_on")


def _swapped_heat(data: Data) -> Planted:
    joint = joint_of(data, "ML-019")
    heat = joint["downstream_heat"]
    joint["downstream_heat"] = heat[:-2] + heat[-1] + heat[-2]
    expected = finding("item-heat-certificate", "hold", joint="ML-019", item="P-020")
    return Planted((expected,), joint, "downstream_heat")


def _orphan(data: Data) -> Planted:
    pup = find(data["items"], number="PUP-01")
    pup["parent"] = ""
    expected = tuple(
        finding("item-heat-certificate", "hold", joint=joint, item="PUP-01")
        for joint in ("ML-073W1", "ML-073W2")
    )
    return Planted(expected, pup, "parent")


def _no_mill_certificate(data: Data) -> Planted:
    item = find(data["items"], number="FL-06")
    item["certificate"] = "MC-2690"
    expected = finding("item-heat-certificate", "hold", joint="PT-11", item="FL-06")
    return Planted((expected,), item, "certificate")


def _weak_certificate(data: Data) -> Planted:
    like = find(data["material_certificates"], number="MC-2610")
    heat = {**like["heats"][0], "number": "B9051"}
    paper = {**like, "number": "MC-2612", "kind": "2.2", "heats": [heat]}
    del paper["document"]
    data["material_certificates"].append(paper)
    find(data["items"], number="PL-16").update(heat="B9051", certificate="MC-2612")
    joint_of(data, "PT-24")["downstream_heat"] = "B9051"
    expected = finding("item-heat-certificate", "nonconformity", joint="PT-24", item="PL-16")
    trail = ("number: MC-2612", "kind:")
    return Planted((expected,), file="registers/mill-certificates.yaml", trail=trail)


_NC, _HOLD = "nonconformity", "hold"
_CERTIFICATE = "welder-certificate"
FAULTS = [
    Fault("unknown-stamp", "Stamp W31 is nobody's (a slip for W05).",
          _stamp("ML-012", 4, "left", "W31", (_CERTIFICATE, _HOLD, ""))),
    Fault("stamp-nobody-held", "Stamp W07 was given back on 29 April and given out again on "
          "4 May; the weld is of 30 April.",
          _stamp("ML-124", -1, "left", "W07", (_CERTIFICATE, _HOLD, ""))),
    Fault("process-never-tested", "The right half of the root with 135 was made by W03, who was "
          "tested with 111 only.", _stamp("ML-149", 1, "right", "W03", (_CERTIFICATE, _NC, ""))),
    Fault("direction-and-filler-not-covered", "The cap, basic electrode and vertical up, by W05, "
          "who is qualified for cellulosic and vertical down.",
          _stamp("RX-04", -1, "right", "W05", ("welder-range", _NC, "111"))),
    Fault("position-not-covered", "Fillet weld in position PD by W13, whose test was in PB.",
          _whole_joint_by("PT-20", "W13", "welder-range")),
    Fault("deposit-over-certificate", "W13 put in 9.3 mm with 111; his test of 4.1 mm reaches "
          "to 8.2 mm.", _whole_joint_by("PT-12", "W13", "welder-deposit")),
    Fault("day-after-lapse", "The six months of W14 ended on 11 May without a confirmation: weld "
          "PT-14 of 11 May is sound, PT-15 of 12 May is not.", _lapsed),
    Fault("revision-never-issued", "The log names revision 3 of WPS-01; there are 0 and 1.",
          _revision("ML-103", "3", "hold")),
    Fault("superseded-revision-inside", "Revision 0 is named four days after revision 1 came "
          "into force; the weld lies inside revision 1 too.", _revision("ML-095", "0", "note")),
    Fault("superseded-revision-outside", "Revision 0 is named after it was superseded, and the "
          "root current of 197 A lies outside revision 1.", _old_revision_hot),
    Fault("procedure-not-approved", "WPS-06 is prepared but not approved.", _unapproved),
    Fault("procedure-test-missing", "WPS-03 names PQR-13, which is not on record.", _lost_test),
    Fault("procedure-wider-than-test", "WPS-05 permits 16 mm; the test of 10 mm reaches to "
          "12 mm.", _wide_sheet),
    Fault("wall-outside-procedure", "The transition to 15.9 mm was welded by the mainline crew "
          "to WPS-01, which ends at 14.3 mm.", _transition),
    Fault("voltage-too-high", "33.5 V where the WPS permits 31 V.",
          _reading("ML-033", (5, "right"), "voltage_v", ("pass-parameters", _NC),
                   voltage_v=33.5, current_a=165, travel_mm_min=225)),
    Fault("gas-flow-blank", "The gas flow of the root was not entered.",
          _reading("ML-061", (1, "left"), "gas_l_min", ("pass-parameters", _HOLD),
                   gas_l_min=None)),
    Fault("heat-input-too-high", "Current, voltage and speed are each permitted, together they "
          "give 1.75 kJ/mm where 1.6 is the limit.",
          _reading("ML-066", (-1, "right"), "travel_mm_min", ("heat-input", _NC),
                   current_a=185, voltage_v=30.5, travel_mm_min=155)),
    Fault("hot-pass-late", "The left half of the hot pass began 7 minutes after the root; 3 are "
          "permitted.", _late_hot),
    Fault("time-blank", "The start of the first filling pass was not entered.",
          _reading("ML-070", (3, "right"), "started_at", ("pass-interval", _HOLD),
                   started_at=None)),
    Fault("preheat-low-conceded", "88 °C before the root where 100 is asked; concession CON-001 "
          "answers it for this joint; it is two days younger than the lowering.", _cold),
    Fault("interpass-high", "268 °C where 250 is the limit.",
          _reading("ML-045", (4, "left"), "interpass_c", ("preheat-and-interpass", _NC),
                   interpass_c=268)),
    Fault("batch-without-certificate", "Batch C-80-127 came without a certificate.",
          _uncertified),
    Fault("batch-of-another-class", "E6010 used where the WPS names E8010-P1.",
          _batch("ML-064", (4, "left"), "C-60-09", _NC)),
    Fault("batch-unknown", "Batch C-80-141 is not in the register (a slip for C-80-114).",
          _batch("ML-077", (5, "right"), "C-80-141", _HOLD)),
    Fault("batch-before-receipt", "Batch C-80-121 was received on 27 April; the weld is older.",
          _batch("ML-092", (4, "right"), "C-80-121", _HOLD)),
    Fault("batch-expired", "Batch B-70-29 expired on 30 April and was used on 18 May.", _expired),
    Fault("heat-mistyped", "The last two figures of the heat are swapped in the log.",
          _swapped_heat),
    Fault("pup-without-parent", "The pipe that the pup was cut from is not named.", _orphan),
    Fault("mill-certificate-missing", "Certificate MC-2690 is not on record.",
          _no_mill_certificate),
    Fault("certificate-of-lesser-type", "A certificate 2.2 where 3.1 is asked.",
          _weak_certificate),
]  # fmt: skip
