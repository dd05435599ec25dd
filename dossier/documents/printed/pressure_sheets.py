"""Pressure test sheets: what was held, how long, on which joints, with which gauges."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dossier.codes.cfr_192_records import TEST_RECORD_FIELDS, TEST_RECORDS
from dossier.coverage.acceptance import cleared_at
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.pressure import own_reasons, rule_reasons, stated_of_record
from dossier.documents.amounts import amount, reason_table
from dossier.documents.printed.face import Asked, Name, Part, Printed, part, printed
from dossier.documents.sheet import Fact, columns, day, fact, row, table, words
from dossier.records.construction import PressureTest

CODE = "PTS"


def make(of: Asked) -> Iterator[Printed]:
    """One sheet a test; a project without tests gets one that says so."""
    tests = of.seen.project.pressure_tests
    for place, test in enumerate(tests, start=1):
        yield _sheet(of, test, place)
    if not tests:
        body = part(table("", columns(("Test", 1)), []), "No pressure test is on record.")
        name = Name(CODE, "Pressure tests", caution="pressure_test_sheet")
        yield printed(of, name, {"tests": body})


def _sheet(of: Asked, test: PressureTest, place: int) -> Printed:
    files = [joint_file(of.seen, joint) for joint in of.seen.project.joints
             if joint.status == "welded" and test in of.seen.known.tests_of(joint)]  # fmt: skip
    reasons = [*own_reasons(test), *rule_reasons(of.seen, test, [f.joint for f in files])]
    empty = "Neither the test nor the project names what it must be judged by."
    return printed(
        of,
        Name(CODE, f"Pressure test {test.number}", place, "pressure_test_sheet"),
        {
            "judged": part(reason_table("Held against what is asked", reasons), empty),
            "record": _record(test),
            "gauges": _gauges(of, test),
            "joints": _joints(of, files, test),
        },
        lead=test.section,
        facts=_facts(of, test),
    )


def _facts(of: Asked, test: PressureTest) -> list[Fact]:
    kp = ("" if end is None else f"{end / 1000:.3f}" for end in (test.kp_from_m, test.kp_to_m))
    least = amount(test.required_bar, "bar", of.system)
    asked = "" if test.required_bar is None else f"asked for {least}"
    held = "" if test.duration_h is None else f"{test.duration_h:g} h"
    hours = "" if test.required_h is None else f"asked for {test.required_h:g} h"
    paper = f"{test.document.document}, page {test.document.page}" if test.document else ""
    return [
        fact("Line", test.line),
        fact("KP, from and to", words(kp)),
        fact("Medium", test.medium),
        fact("Begun", day(test.started_at)),
        fact("Lowest pressure held", words([amount(test.pressure_bar, "bar", of.system), asked])),
        fact("Time held", words([held, hours])),
        fact("Elevations", test.elevations),
        fact("Leaks", "" if test.leaks is None else str(test.leaks)),
        fact("Disposition of leaks", test.disposition),
        fact("Test company", test.company),
        fact("Responsible", test.responsible),
        fact("Result", test.result),
        fact("Chart and report", paper),
    ]


def _record(test: PressureTest) -> Part:
    """The items of 49 CFR 192.517(a), a useful list whatever law the line is under."""
    stated = set(stated_of_record(test))
    rows = [
        row([field, "on record" if field in stated else "missing"],
            ["", "" if field in stated else "hold"])
        for field in TEST_RECORD_FIELDS
    ]  # fmt: skip
    heads = columns(("Item", 70), ("Held", 30))
    return part(table("Record of the test", heads, rows, f"Items: {TEST_RECORDS}."), "")


def _gauges(of: Asked, test: PressureTest) -> Part:
    heads = columns(("Instrument", 20), ("Kind", 28), ("Calibrated", 16), ("Due", 16),
                    ("Certificate", 20))  # fmt: skip
    rows = []
    on = test.started_at.date() if test.started_at else of.seen.as_of
    for number in test.gauges:
        known = [i for i in of.seen.known.instruments.get(number, [])
                 if i.calibrated_on is None or i.calibrated_on <= on]  # fmt: skip
        if not known:
            rows.append(row([number, "no calibration before the test", "", "", ""],
                            ["", "hold", "", "", ""]))  # fmt: skip
            continue
        last = known[-1]
        late = last.due_on is not None and last.due_on < on
        cells = [number, last.kind, day(last.calibrated_on), day(last.due_on), last.certificate]
        rows.append(row(cells, ["", "", "", "hold" if late else "", ""]))
    return part(table("Gauges, with the calibration in force at the test", heads, rows),
                "The record names no gauge.")  # fmt: skip


def _joints(of: Asked, files: Sequence[JointFile], test: PressureTest) -> Part:
    heads = columns(("Joint", 22), ("KP, km", 14, "right"), ("Welded", 20),
                    ("Last examination accepted", 44))  # fmt: skip
    rows = []
    for file in files:
        cleared = cleared_at(of.seen, file)
        early = cleared is None or (test.started_at is not None and cleared > test.started_at)
        kp = "" if file.joint.kp_m is None else f"{file.joint.kp_m / 1000:.3f}"
        cells = [file.number, kp, day(file.joint.welded_on),
                 day(cleared) if cleared else "not yet"]  # fmt: skip
        rows.append(row(cells, ["", "", "", "hold" if early else ""]))
    return part(table(f"Joints in the section ({len(files)})", heads, rows),
                "No joint on record lies in the section.")  # fmt: skip
