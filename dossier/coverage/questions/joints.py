"""Everything on one joint, who welded it, measured figures, totals and numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from dossier.coverage.acceptance import cleared_at
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.number_ledger import USED, ledger
from dossier.coverage.procedures import (
    heat_input_reason,
    parameter_reasons,
    temperature_reason,
)
from dossier.coverage.questions.face import (
    ALL_CHECKS,
    Answer,
    Given,
    Question,
    on_record,
    page,
    table,
    wanted,
    where,
)
from dossier.coverage.view import View
from dossier.coverage.welders import held_for, holder, in_force
from dossier.coverage.work import Work, work_of
from dossier.records.joints import Line
from dossier.records.verdicts import CLEAR, Finding, worst

Row = tuple[object, ...]


def files(seen: View, given: Given) -> Iterator[JointFile]:
    """The files on the joints that were asked for: one joint, those of a line, or all."""
    if "joint" in given:
        number = on_record("joint", given["joint"], seen.known.joints)
        yield from (joint_file(seen, joint) for joint in seen.known.joints[number])
        return
    if "line" in given:
        on_record("line", given["line"], seen.known.lines)
    for joint in seen.project.joints:
        if wanted(given, line=joint.line):
            yield joint_file(seen, joint)


def everything(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """All records on one joint, in the order in which things happen to it."""
    (file, *_) = files(seen, given)
    rows = [row for part in (_made_of, _welded, _examined, _after) for row in part(seen, file)]
    rows += [
        ("finding", f.id, str(f.verdict), f.sentence, "; ".join(map(str, f.evidence)), "")
        for f in found
        if f.about("joint") == file.number
    ]
    return table(("step", "name", "when", "told", "read from", "page"), rows)


def _made_of(seen: View, file: JointFile) -> Iterator[Row]:
    joint = file.joint
    told = f"{joint.kind} on {joint.line}, {joint.wps} rev. {joint.wps_revision}, {joint.status}"
    yield "joint", joint.number, joint.welded_on, told, where(joint), page(joint.document)
    for number, item in file.members:
        if item is None:
            yield "member", number, None, "not on record", where(joint), ""
            continue
        paper = seen.known.material_certificates.get(item.certificate)
        told = f"{item.kind} {item.grade}, heat {item.heat}, certificate {item.certificate or '-'}"
        yield "member", number, None, told, where(item), page(paper.document if paper else None)


def _welded(seen: View, file: JointFile) -> Iterator[Row]:
    for made in file.passes:
        told = f"{made.welder} {made.process} {made.side} batch {made.batch or '-'}"
        name = f"{made.number} {made.kind}"
        yield "pass", name, made.finished_at or made.started_at, told, where(made), ""
    for batch in sorted({made.batch for made in file.passes if made.batch}):
        held = seen.known.batches.get(batch)
        if held:
            told = f"{held.classification}, certificate {held.certificate or '-'}"
            yield "batch", batch, held.received_on, told, where(held), page(held.document)


def _examined(seen: View, file: JointFile) -> Iterator[Row]:
    del seen
    for e in file.examinations:
        told = f"{e.method} by {e.examiner or '-'}: {e.result or 'not yet read'}"
        yield "examination", e.report, e.examined_at, told, where(e), page(e.document)
    for r in file.repairs:
        told = f"{r.defect} at {r.clock or '-'} by {r.welder or '-'}, {r.wps} rev. {r.wps_revision}"
        yield "repair", r.number, r.repaired_at, told, where(r), page(r.document)


def _after(seen: View, file: JointFile) -> Iterator[Row]:
    del seen
    for c in file.coatings:
        told = f"{c.system}, holiday test {c.holiday_tested_at or '-'}: {c.result or '-'}"
        yield "coating", c.report, c.coated_at, told, where(c), page(c.document)
    for low in file.lowerings:
        told = f"cover {low.cover_m or '-'} m, backfilled {low.backfilled_at or '-'}"
        yield "lowering", "", low.lowered_at, told, where(low), page(low.document)


def who_welded(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """Each deposit of a joint with the certificates of its welder on that day."""
    del found
    rows = [row for f in files(seen, given) for w in work_of(seen, f) for row in held(seen, w)]
    return table(
        ("joint", "welder", "name", "process", "deposit mm", "days", "certificate", "covers",
         "in force", "why not", "read from"), rows,
    )  # fmt: skip


def held(seen: View, work: Work) -> Iterator[Row]:
    """One row for each certificate of the welder for the process; one that says there is none."""
    person = holder(seen, work)
    days = " ".join(map(str, work.days))
    head = (work.joint.number, work.welder, person.name if person else "not on record",
            work.weld.process, work.weld.deposit_mm, days)  # fmt: skip
    place = str(work.origins[0]) if work.origins else ""
    certificates = held_for(seen, work)
    if not certificates:
        yield *head, "none for this process", False, None, "", place
    for one in certificates:
        dated = [r for day in work.days for r in in_force(seen, work.welder, one.certificate, day)]
        against = [r for r in (*one.reasons, *dated) if r.verdict != CLEAR]
        why = "; ".join(dict.fromkeys(f"{r.variable} {r.found}, permitted {r.permitted}"
                                      for r in against))  # fmt: skip
        valid = worst(dated) == CLEAR if work.days else None
        yield *head, one.certificate.number, one.covers, valid, why, place


def measured(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """Every recorded figure of the passes against the WPS; only those outside without a joint."""
    del found
    alone = "joint" in given
    rows = [
        row
        for file in files(seen, given)
        for row in _figures(file)
        if alone or row[-2] != str(CLEAR)
    ]
    note = "" if alone else "Only what is not clear; name a joint to see every figure."
    return table(
        ("joint", "pass", "welder", "variable", "found", "permitted", "basis", "verdict",
         "read from"), rows, note,
    )  # fmt: skip


def _figures(file: JointFile) -> Iterator[Row]:
    for made, wps, row in file.planned():
        reasons = [*parameter_reasons(wps, row, made), temperature_reason(wps, made)]
        reasons.append(heat_input_reason(wps, row, made))
        for r in filter(None, reasons):
            name = f"{made.number} {made.kind} {made.side}".strip()
            yield (file.number, name, made.welder, r.variable, r.found, r.permitted,
                   r.basis, str(r.verdict), where(made))  # fmt: skip


def totals(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """Girth welds of each line: made, examined, rejected, repaired, cut out, accepted."""
    del found
    rows = []
    for line in seen.project.lines:
        if wanted(given, line=line.id):
            own = [joint_file(seen, j) for j in seen.project.joints if j.line == line.id]
            rows.append(_total(seen, line, own))
    return table(
        ("line", "KP from", "KP to", "on record", "welded", "examined", "rejected at any time",
         "repaired", "cut out", "all examinations accepted", "not yet accepted"),
        rows,
        "Examined: at least one radiographic or ultrasonic report with a result. Joints that were "
        "cut out stay in the counts of welded, examined and rejected.",
    )  # fmt: skip


def _total(seen: View, line: Line, own: Sequence[JointFile]) -> Row:
    made = [f for f in own if f.joint.status in ("welded", "cut out")]
    stands = [f for f in made if f.joint.status == "welded"]
    volumetric = [[e for e in f.examinations if e.method in ("RT", "UT") and e.result]
                  for f in made]  # fmt: skip
    accepted = sum(cleared_at(seen, f) is not None for f in stands)
    return (
        line.id, _km(line.kp_from_m), _km(line.kp_to_m), len(own), len(made),
        sum(map(bool, volumetric)),
        sum(any(e.result == "rejected" for e in reports) for reports in volumetric),
        sum(bool(f.repairs) for f in made), len(made) - len(stands), accepted,
        len(stands) - accepted,
    )  # fmt: skip


def _km(metres: float | None) -> str:
    return "" if metres is None else f"{metres / 1000:.3f}"


def numbers(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """The ledger of joint numbers; plain used ones are counted, not listed."""
    del found, given
    entries = ledger(seen.project)
    counts = Counter(entry.state for entry in entries)
    plain = sum(e.state == USED and e.explanation in ("welded", "planned") for e in entries)
    rows = [
        (e.number, e.state, e.explanation, str(e.origin))
        for e in entries
        if not (e.state == USED and e.explanation in ("welded", "planned"))
    ]
    told = ", ".join(f"{count} {state}" for state, count in sorted(counts.items()))
    return table(("number", "state", "why", "read from"), rows,
                 f"{told}. {plain} numbers that are simply used are not listed.")  # fmt: skip


QUESTIONS = (
    Question("joint", "What is on record about a joint, from its pipes to its backfill?",
             everything, ("joint",), checks=(ALL_CHECKS,)),
    Question("who-welded", "Who welded each part of a joint, and was each qualified that day?",
             who_welded, ("joint",)),
    Question("measured", "Were preheat, interpass temperature, current, voltage, speed and heat "
             "input inside the WPS?", measured, takes=("joint", "line")),
    Question("totals", "How many welds were made, examined, rejected, repaired and cut out?",
             totals, takes=("line",)),
    Question("numbers", "Is every joint number accounted for: gaps, doubles, voids, cut-outs?",
             numbers),
)  # fmt: skip
