"""Planted faults of examination, repair, coating, lowering, numbering and papers."""

from __future__ import annotations

from datetime import date, timedelta

from sample_project._making.base import Data, Row, find
from sample_project._making.planting import (
    Expected,
    Fault,
    Plant,
    Planted,
    finding,
    joint_of,
    rename,
    report_of,
)

_NC, _HOLD = "nonconformity", "hold"


def _order(joint: str, verdict: str = _NC) -> Expected:
    return finding("sequence-of-work", verdict, joint=joint)


def _owed(joint: str, method: str) -> Expected:
    return finding("examination-complete", _HOLD, joint=joint, method=method)


def _without_report(joint: str, method: str, *expected: Expected) -> Plant:
    """A report that is missing; the fault stands at the joint's row."""

    def plant(data: Data) -> Planted:
        data["examinations"].remove(report_of(data, joint, method))
        return Planted(expected, joint_of(data, joint), "number")

    return plant


def _seen_by_welder(data: Data) -> Planted:
    report = report_of(data, "TI-2", "VT")
    report["examiner"] = "W09"
    return Planted((finding("visual-examination", _NC, joint="TI-2"),), report, "examiner")


def _seen_too_early(data: Data) -> Planted:
    report, joint = report_of(data, "PT-02", "VT"), joint_of(data, "PT-02")
    report["examined_at"] = joint["finished_at"] - timedelta(minutes=20)
    return Planted((finding("visual-examination", _HOLD, joint="PT-02"),), report, "examined_at")


def _three_quarters(data: Data) -> Planted:
    report = report_of(data, "PT-05", "RT")
    report["extent_percent"] = 75
    return Planted((_owed("PT-05", "RT"),), report, "extent_percent")


def _too_soon(data: Data) -> Planted:
    report, joint = report_of(data, "ML-142", "RT"), joint_of(data, "ML-142")
    report["examined_at"] = joint["finished_at"] + timedelta(hours=19)
    expected = finding("examination-delay", _HOLD, joint="ML-142", report=report["report"])
    return Planted((expected,), report, "examined_at")


def _reader(joint: str, examiner: str, **certificate: date) -> Plant:
    """A film read by an examiner whose certificate has another date than it should."""

    def plant(data: Data) -> Planted:
        find(data["examiners"], id=examiner)["certificates"][0].update(certificate)
        report = report_of(data, joint, "RT")
        report["examiner"] = examiner
        expected = finding(
            "examiner-certificate", _HOLD, joint=joint, report=report["report"], examiner=examiner
        )
        return Planted((expected,), report, "examiner")

    return plant


def _indication(joint: str, verdict: str, kind: str, size: tuple[float, float]) -> Plant:
    """Another indication on a film, whose result stays as it was reported."""

    def plant(data: Data) -> Planted:
        report = report_of(data, joint, "RT")
        length, width = size
        one: Row = {"kind": kind, "start_mm": 633.0, "length_mm": length, "width_mm": width}
        report["indications"] = [{**one, "count": 1}]
        expected = finding("indication-acceptance", verdict, joint=joint, report=report["report"])
        return Planted((expected,), report, "result")

    return plant


def _never_repaired(data: Data) -> Planted:
    report = report_of(data, "PT-07", "RT")
    report["result"] = "rejected"
    report["indications"] = [
        {"kind": "IP", "start_mm": 102.0, "length_mm": 31.0, "width_mm": 1.2, "count": 1}
    ]
    open_end = finding("repair-closed", _HOLD, joint="PT-07", report=report["report"])
    return Planted((open_end, _owed("PT-07", "RT")), report, "result")


def _repair(joint: str, verdict: str, **values: object) -> Plant:
    def plant(data: Data) -> Planted:
        repair = find(data["repairs"], joint=joint)
        repair.update(values)
        expected = finding("repair-closed", verdict, joint=joint, repair=repair["number"])
        trail = (f"number: {repair['number']}", f"{next(iter(values))}:")
        return Planted((expected,), file="registers/repairs.yaml", trail=trail)

    return plant


def _not_seen_again(data: Data) -> Planted:
    data["examinations"].remove(find(data["examinations"], report="RT-RX-03R1"))
    repair = find(data["repairs"], joint="RX-03")
    del repair["examined_by"]
    expected = (
        finding("repair-closed", _HOLD, joint="RX-03", repair="RX-03R1"),
        _owed("RX-03", "RT"),
        _order("RX-03"),
    )
    trail = ("number: RX-03R1",)
    return Planted(expected, file="registers/repairs.yaml", trail=trail)


def _coating(joint: str, field: str, **values: object) -> Plant:
    def plant(data: Data) -> Planted:
        coating = find(data["coatings"], joint=joint)
        coating.update(values)
        return Planted((_order(joint),), coating, field)

    return plant


def _coated_early(data: Data) -> Planted:
    coating, joint = find(data["coatings"], joint="ML-120"), joint_of(data, "ML-120")
    coating["coated_at"] = joint["finished_at"] + timedelta(hours=18)
    return Planted((_order("ML-120"),), coating, "coated_at")


def _lowered_early(data: Data) -> Planted:
    report = report_of(data, "ML-158", "RT")
    lowering = find(data["lowerings"], joint="ML-158")
    report["examined_at"] = lowering["lowered_at"] + timedelta(hours=26)
    report["reported_on"] = report["examined_at"].date()
    return Planted((_order("ML-158"),), report, "examined_at")


def _tested_late(data: Data) -> Planted:
    lowering = find(data["lowerings"], joint="ML-041")
    late = lowering["lowered_at"] + timedelta(hours=3)
    return _coating("ML-041", "holiday_tested_at", holiday_tested_at=late)(data)


def _no_coating(data: Data) -> Planted:
    data["coatings"].remove(find(data["coatings"], joint="ML-080"))
    lowering = find(data["lowerings"], joint="ML-080")
    return Planted((_order("ML-080", _HOLD),), lowering, "joint")


def _high_low(data: Data) -> Planted:
    joint = joint_of(data, "ML-016")
    joint["hi_lo_mm"] = 2.3
    return Planted((finding("fit-up", _NC, joint="ML-016"),), joint, "hi_lo_mm")


def _near_dew_point(data: Data) -> Planted:
    coating = find(data["coatings"], joint="ML-110")
    coating["steel_c"] = round(coating["dew_point_c"] + 1.5, 1)
    expected = finding("coating-conditions", _NC, joint="ML-110", report=coating["report"])
    return Planted((expected,), coating, "steel_c")


def _little_cover(data: Data) -> Planted:
    lowering = find(data["lowerings"], joint="ML-130")
    lowering["cover_m"] = 0.85
    return Planted((finding("cover-and-backfill", _NC, joint="ML-130"),), lowering, "cover_m")


def _short_test(data: Data) -> Planted:
    test = find(data["pressure_tests"], number="HT-2A")
    test["duration_h"] = 22.5
    about = (("pressure test", "HT-2A"),)
    trail = ("number: HT-2A", "duration_h:")
    return Planted(
        (Expected("pressure-test", _NC, about),), file="registers/pressure-tests.yaml", trail=trail
    )


def _ledger(joint: str, verdict: str) -> Expected:
    return finding("joint-number-ledger", verdict, joint=joint)


def _twice(data: Data) -> Planted:
    nth = data["joints"].index(joint_of(data, "ML-090"))
    second = {**data["joints"][nth], "kp_m": 15402, "remarks": "entered by crew 2"}
    data["joints"].insert(nth + 1, second)
    return Planted((_ledger("ML-090", _HOLD),), second, "number")


def _gap(data: Data) -> Planted:
    joint = rename(data, "RX-06", "RX-07")
    return Planted((_ledger("RX-06", _HOLD),), joint, "number")


def _void(data: Data) -> Planted:
    rename(data, "ML-160", "ML-161")
    why = "number painted on pipe P-162 in error, never welded"
    data["settings"]["numbering"]["void"] = {"ML-160": why}
    return Planted((_ledger("ML-160", "note"),), file="project.yaml", trail=("void:",))


def _wrong_ancestor(data: Data) -> Planted:
    joint = joint_of(data, "ML-073W2")
    joint["replaces"] = "ML-037"
    return Planted((_ledger("ML-073W2", _HOLD),), joint, "replaces")


def _lost_paper(data: Data) -> Planted:
    data["documents"].remove(find(data["documents"], number="D-0602"))
    meter = find(data["instruments"], number="CM-03")
    expected = finding("evidence-document", _HOLD, document="D-0602")
    return Planted((expected,), meter, "document.document")


def _lost_page(data: Data) -> Planted:
    paper = find(data["material_certificates"], number="MC-2604")
    paper["document"] = {"document": "D-0104", "page": 5}
    expected = finding("evidence-document", _HOLD, document="D-0104")
    trail = ("number: MC-2604", "document:")
    return Planted((expected,), file="registers/mill-certificates.yaml", trail=trail)


FAULTS = [
    Fault("visual-report-missing", "No visual report for PT-09.", _without_report(
        "PT-09", "VT", finding("visual-examination", _HOLD, joint="PT-09"))),
    Fault("coated-without-visual", "No visual report for ML-105, and the joint is coated.",
          _without_report("ML-105", "VT", finding("visual-examination", _NC, joint="ML-105"),
                          _order("ML-105"))),
    Fault("examined-by-own-welder", "W09 examined a joint that he had welded.", _seen_by_welder),
    Fault("visual-before-end", "Visual examination 20 minutes before the weld was finished.",
          _seen_too_early),
    Fault("golden-weld-without-ultrasonic", "The golden weld asks for RT and UT; UT is missing, "
          "and the joint is coated.",
          _without_report("GW-1", "UT", _owed("GW-1", "UT"), _order("GW-1"))),
    Fault("not-the-whole-circumference", "Films over 75 % where 100 % is asked.",
          _three_quarters),
    Fault("delay-too-short", "Film made 19 h after the weld; 24 h are asked.", _too_soon),
    Fault("examiner-expired", "The certificate of E06 ended on 30 April; the film is of May.",
          _reader("ML-140", "E06", expires_on=date(2026, 4, 30))),
    Fault("vision-test-old", "The last near-vision test of E07 is of March 2025.",
          _reader("RX-05", "E07", vision_on=date(2025, 3, 2))),
    Fault("accepted-over-limit", "Incomplete fusion of 38 mm reported as accepted; the limit is "
          "25 mm.", _indication("ML-052", _NC, "IF", (38.0, 1.1))),
    Fault("crack-accepted", "A crack of 170 mm reported as accepted: over 8 % of the weld, it "
          "must come out.", _indication("RX-02", "cut-out", "C", (170.0, 0.3))),
    Fault("rejected-without-cause", "Rejected for slag of 12 mm, which the code accepts.",
          _indication("ML-101", "note", "ESI", (12.0, 1.2))),
    Fault("rejected-never-repaired", "Inadequate penetration, rejected; no repair followed.",
          _never_repaired),
    Fault("repair-to-production-wps", "Repaired to WPS-02, which is no repair procedure.",
          _repair("ML-048", _NC, wps="WPS-02")),
    Fault("repaired-twice", "Second repair of one place where one is the limit.",
          _repair("ML-023", "cut-out", order=2)),
    Fault("repair-not-examined", "No film after the repair, and the joint is coated.",
          _not_seen_again),
    Fault("coated-before-acceptance", "Coated a day before the film was made.", _coated_early),
    Fault("lowered-before-film", "The film is a day younger than the lowering.",
          _lowered_early),
    Fault("test-voltage-low", "Holiday test with 12 kV; the thickness asks for 15.5 kV or more.",
          _coating("ML-027", "holiday_kv", holiday_kv=12.0)),
    Fault("holidays-open", "Three holidays found, two mended.",
          _coating("ML-036", "holidays_repaired", holidays_found=3, holidays_repaired=2)),
    Fault("holiday-test-late", "Holiday test three hours after lowering.", _tested_late),
    Fault("lowered-without-coating-record", "No coating sheet for a joint that was lowered.",
          _no_coating),
    Fault("misaligned", "Hi-lo of 2.3 mm where the WPS permits 1.6 mm.", _high_low),
    Fault("coated-near-dew-point", "The steel was 1.5 °C above the dew point; 3 °C are asked.",
          _near_dew_point),
    Fault("cover-too-little", "0.85 m of cover where 1.1 m are asked.", _little_cover),
    Fault("pressure-test-short", "The test pressure was held for 22.5 h; 24 h are asked.",
          _short_test),
    Fault("number-twice", "ML-090 stands twice in the log.", _twice),
    Fault("number-missing", "RX-06 is missing without a word.", _gap),
    Fault("number-void", "ML-160 is void, with the reason in the project file: a note only.",
          _void),
    Fault("replaces-wrong-joint", "ML-073W2 is said to replace ML-037, which stands.",
          _wrong_ancestor),
    Fault("document-missing", "Calibration paper D-0602 is not in the register.", _lost_paper),
    Fault("page-missing", "Page 5 is named of a paper of two pages.", _lost_page),
]  # fmt: skip
