"""What was used twice, who read how much in a day, tracers, instruments. Patterns, no blame."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date

from dossier.coverage.as_of import day_of
from dossier.coverage.calibration import use_reasons
from dossier.coverage.questions.face import (
    Answer,
    Given,
    Question,
    between,
    on_record,
    page,
    table,
    wanted,
    where,
)
from dossier.coverage.tracers import REJECTED, is_settled, lots, responsible, welders_of
from dossier.coverage.view import View, project_basis
from dossier.records.examinations import Examination, Instrument
from dossier.records.verdicts import Finding

Row = tuple[object, ...]


def used_twice(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """Films and pages that stand for two joints, and what one examiner read in a day."""
    del found
    if "film" in given:
        return _one_film(seen, given["film"])
    films: dict[str, list[Examination]] = defaultdict(list)
    pages: dict[str, list[Examination]] = defaultdict(list)
    load: dict[tuple[str, date], list[Examination]] = defaultdict(list)
    for e in seen.project.examinations:
        for film in e.films:
            films[film].append(e)
        if e.document:
            pages[page(e.document)].append(e)
        day = day_of(e.examined_at)
        if day and between(given, day):
            load[e.examiner or "blank", day].append(e)
    rows = [*_shared("film", films, given), *_shared("page", pages, given)]
    busiest = sorted(load.items(), key=lambda one: (-_films(one[1]), one[0]))[:10]
    rows += [
        ("busy day", f"{who}, {day}", f"{_films(own)} films or examinations", where(own[0]))
        for (who, day), own in busiest
    ]
    return table(
        ("what", "name", "where used", "read from"),
        rows,
        "A film with section marks may rightly stand for one joint several times, and one page "
        "may list several joints. Busy days are the ten with most films; what is credible is for "
        "the project to say.",
    )


def _films(own: Sequence[Examination]) -> int:
    """Films of the reports; a report without films counts as one."""
    return sum(len(e.films) or 1 for e in own)


def _shared(kind: str, uses: dict[str, list[Examination]], given: Given) -> Iterator[Row]:
    for name, reports in sorted(uses.items()):
        joints = sorted({e.joint for e in reports})
        asked = any(between(given, day_of(e.examined_at)) for e in reports)
        # A page that lists reports of many joints is a list; one report number twice is not.
        same_report = len({e.report for e in reports}) < len(joints)
        if len(joints) > 1 and asked and (kind == "film" or same_report):
            told = ", ".join(f"{e.joint} ({e.report})" for e in reports)
            yield kind, name, told, "; ".join(dict.fromkeys(where(e) for e in reports))


def _one_film(seen: View, film: str) -> Answer:
    own = [e for e in seen.project.examinations if film in e.films]
    if not own:
        on_record("film", film, [f for e in seen.project.examinations for f in e.films])
    rows = [("film", film, f"{e.joint} ({e.report}, {e.result or 'not yet read'})", where(e))
            for e in own]  # fmt: skip
    return table(("what", "name", "where used", "read from"), rows)


def tracers(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """For each rejection the further welds that were examined because of it, and what is owed."""
    del found
    made_for: dict[str, list[Examination]] = defaultdict(list)
    for e in seen.project.examinations:
        if e.tracer_for:
            made_for[e.tracer_for].append(e)
    rows: list[Row] = []
    for e in seen.project.examinations:
        if e.result != REJECTED or not wanted(given, method=e.method):
            continue
        welder, shot = responsible(seen, e), made_for.get(e.report, [])
        if wanted(given, welder=welder):
            same = all(welder in welders_of(seen, t.joint) for t in shot) if shot else None
            told = ", ".join(f"{t.joint} {t.result or 'not yet read'}" for t in shot)
            rows.append((e.report, e.joint, welder or "not stated", len(shot), told, same,
                         is_settled(seen, e), where(e)))  # fmt: skip
    return table(
        ("rejection", "joint", "welder", "tracers examined", "their results",
         "by the same welder", "weld itself settled", "read from"), rows, _lots_told(seen),
    )  # fmt: skip


def _lots_told(seen: View) -> str:
    rule = seen.project.settings.requirements.progressive
    if rule is None:
        return "The project asks for no further welds after a rejection."
    told = [
        f"lot {lot.key.welder} {lot.key.line} {lot.key.period}: {lot.progress.state}"
        + (f" {lot.progress.more}" if lot.progress.more else "")
        for lot in lots(seen, rule)
    ]
    return "; ".join(told) or "No lot has a rejection."


def instruments(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """Each use of a measuring instrument with the calibration in force that day."""
    del found
    basis = project_basis(seen, "calibration of instruments")
    rows: list[Row] = []
    for number, day, used, place in _uses(seen):
        if not (number and wanted(given, instrument=number) and between(given, day)):
            continue
        held = seen.known.instruments.get(number, [])
        cal = _calibration(held, day)
        against = list(use_reasons(held, number, day, basis)) if day else []
        why = "; ".join(f"{r.variable} {r.found}, permitted {r.permitted}" for r in against)
        told = (cal.certificate, cal.calibrated_on, cal.due_on) if cal else ("none", None, None)
        valid = None if day is None else not against
        rows.append((number, used, day, *told, valid, why, place, where(cal) if cal else ""))
    rows.sort(key=lambda row: (row[6] is True, row[0], str(row[2])))
    return table(
        ("instrument", "used for", "day", "calibration", "from", "due", "valid", "why not",
         "read from", "calibration read from"), rows, "What was not in calibration comes first.",
    )  # fmt: skip


def _uses(seen: View) -> Iterator[tuple[str, date | None, str, str]]:
    for p in seen.project.passes:
        day = day_of(p.finished_at or p.started_at)
        yield p.instrument, day, f"pass {p.number} of {p.joint}", where(p)
    for e in seen.project.examinations:
        yield e.instrument, day_of(e.examined_at), f"{e.method} {e.report} of {e.joint}", where(e)
    for c in seen.project.coatings:
        day = day_of(c.holiday_tested_at or c.coated_at)
        yield c.instrument, day, f"coating {c.report} of {c.joint}", where(c)
    for h in seen.project.heat_treatments:
        yield h.instrument, day_of(h.started_at), f"chart {h.chart} of {h.joint}", where(h)
    for test in seen.project.hardness_tests:
        used = f"hardness {test.report} of {test.joint}"
        yield test.instrument, day_of(test.tested_at), used, where(test)
    for one in seen.project.pressure_tests:
        for gauge in one.gauges:
            yield gauge, day_of(one.started_at), f"pressure test {one.number}", where(one)


def _calibration(held: Sequence[Instrument], day: date | None) -> Instrument | None:
    """The last calibration before the use; the register lists the oldest first."""
    before = [c for c in held if day and c.calibrated_on and c.calibrated_on <= day]
    return before[-1] if before else None


QUESTIONS = (
    Question("used-twice", "Is a film or a page used for two joints, and is a day's work credible?",
             used_twice, takes=("film", "since", "until", "day")),
    Question("tracers", "Were further welds of the same welder examined after each rejection?",
             tracers, takes=("welder", "method")),
    Question("instruments", "Was each instrument in calibration on the day it was used?",
             instruments, takes=("instrument", "since", "until", "day")),
)  # fmt: skip
