"""Does what is on record of a joint agree with its status: planned, void, or cut out?

Of a joint that is not welded, or whose number is void, nothing can have been welded, examined or
coated; no joint is coated, lowered or tested once it was cut out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from dossier.codes.practice import PRACTICE
from dossier.coverage.as_of import day_of
from dossier.coverage.evidence import at
from dossier.coverage.facts import Fact, Groups, Records, Told, by_key, shared
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.view import View
from dossier.records.construction import PressureTest
from dossier.records.joints import Joint
from dossier.records.verdicts import HOLD, Evidence, Finding, Reason

NAME = "joint-status"
_JOINT, _ROW, _REPLACED = "joint", "row", "replaced"
_CUT_OUT = "cut out"
_COATED = {"coatings": "coating", "lowerings": "lowering"}
_MADE = ("passes", "repairs", "examinations", "heat_treatments", "hardness_tests", *_COATED)


def check(seen: View) -> Iterator[Finding]:
    """One hold per joint whose status is contradicted by other records."""
    yield from conclude(seen, by_key(_gather(seen, seen.project)))


def _gather(seen: View, records: Records) -> Iterator[Told]:
    """Each joint that does not stand welded, what hangs on it, and the joints that replace one."""
    for joint in records.joints:
        if joint.replaces:
            day = str(joint.welded_on or "")
            kept = (_REPLACED, joint.number, joint.status, day)
            yield (joint.replaces,), joint.origin.of("replaces"), kept
        if joint.status == "welded" or _not_yet(joint):
            continue
        file = records if isinstance(records, JointFile) else joint_file(seen, joint)
        yield (joint.number,), joint.origin.of("status"), (_JOINT, joint.status)
        for register in _COATED if joint.status == _CUT_OUT else _MADE:
            for row in getattr(file, register):
                done = getattr(row, "coated_at", None) or getattr(row, "lowered_at", None)
                yield (joint.number,), row.origin, (_ROW, register, str(day_of(done) or ""))


FACTS = {NAME: _gather}


def _not_yet(joint: Joint) -> bool:
    """Whether the joint was welded after the day that is looked at: then it is planned by that."""
    return joint.status == "planned" and "welded_on" in joint.not_applicable


def conclude(seen: View, groups: Groups) -> Iterator[Finding]:
    """One hold per joint whose status is contradicted by other records."""
    for (number_,), own in shared(groups):
        number = str(number_)
        status = next((str(fact.values[1]) for fact in own if fact.values[0] == _JOINT), "")
        tests = [t for t in seen.known.pressure_tests.get(number, ()) if t.started_at is not None]
        if status == _CUT_OUT:
            reasons = (*_after(own), *_tested(seen, number, own, tests))
        elif status:
            reasons = (*_made(status, own), *_listed(status, tests))
        else:
            continue
        if reasons:
            yield _finding(number, status, reasons, own, tests)


def _made(status: str, own: list[Fact]) -> Iterator[Reason]:
    registers = [str(fact.values[1]) for fact in own if fact.values[0] == _ROW]
    for register in dict.fromkeys(registers):
        found = f"{registers.count(register)} on record"
        wanted = f"none of a joint that is {status}"
        yield Reason(register.replace("_", " "), found, wanted, PRACTICE, HOLD)


def _listed(status: str, tests: Iterable[PressureTest]) -> Iterator[Reason]:
    for test in tests:
        wanted = f"none of a joint that is {status}"
        yield Reason("pressure test", f"listed in {test.number}", wanted, PRACTICE, HOLD)


def _after(own: list[Fact]) -> Iterator[Reason]:
    """What was coated or lowered after the joint was replaced, or though nothing replaces it."""
    by, since = _replacement(own)
    wanted = f"not after {by} replaced it on {since}" if since else "a joint that replaces it"
    for fact in own:
        if fact.values[0] != _ROW or (by and not since):
            continue
        day = str(fact.values[2])
        if not since or day > since:
            found = day or "no day on record"
            yield Reason(_COATED[str(fact.values[1])], found, wanted, PRACTICE, HOLD)


def _tested(
    seen: View, number: str, own: list[Fact], tests: Iterable[PressureTest]
) -> Iterator[Reason]:
    """The tests that list the joint and were not surely made while it still stood."""
    by, since = _replacement(own)
    planned = any(f.values[0] == _REPLACED and f.values[2] == "planned" for f in own)
    for test in tests:
        day = day_of(test.started_at)
        if day is None or planned or since > str(day) or _reported_later(seen, number, day):
            continue
        found = f"{test.number} of {day}"
        wanted = f"before {by} replaced it on {since}" if since else "before it was cut out"
        yield Reason("pressure test", found, wanted, PRACTICE, HOLD)


def _replacement(own: list[Fact]) -> tuple[str, str]:
    """The joint that replaces it and the day of its welding, the first of several; "" unknown."""
    rows = [f.values for f in own if f.values[0] == _REPLACED]
    dated = sorted((str(values[3]), str(values[1])) for values in rows if values[3])
    if dated:
        return dated[0][1], dated[0][0]
    return (str(rows[0][1]), "") if rows else ("", "")


def _reported_later(seen: View, number: str, day: date) -> bool:
    """Whether a nonconformity that ended with cutting the joint out was opened from that day on."""
    return any(
        number in report.joints
        and report.disposition == _CUT_OUT
        and report.opened_on is not None
        and report.opened_on >= day
        for report in seen.project.nonconformities
    )


def _finding(
    number: str,
    status: str,
    reasons: tuple[Reason, ...],
    own: list[Fact],
    tests: Iterable[PressureTest],
) -> Finding:
    told = "; ".join(f"{r.variable} {r.found}, wanted {r.permitted}" for r in reasons)
    places = (fact.origin for fact in own)
    return Finding(
        NAME,
        HOLD,
        (("joint", number),),
        f"Joint {number} is {status} by the log, which other records contradict: {told}.",
        reasons,
        (
            *(Evidence(place) for place in dict.fromkeys(places)),
            *(proof for test in tests for proof in at(test, "joints")),
        ),
        "Correct the status in the log, or take the records to the joint that they belong to; "
        "of a joint that was cut out, show the day of it and name what replaces it.",
    )
