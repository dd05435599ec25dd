"""The welder qualification matrix: who is qualified for what, until when, and for which joints."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TypedDict

from dossier.codes.face import DEPOSIT
from dossier.coverage.joint_file import joint_file
from dossier.coverage.view import View
from dossier.coverage.work import work_of
from dossier.documents.amounts import amount, permitted
from dossier.documents.answers import Answers
from dossier.documents.lapses import lapses
from dossier.documents.sheet import (
    Column,
    Head,
    Row,
    Table,
    coded,
    columns,
    day,
    head,
    row,
    system_of,
    table,
    words,
)
from dossier.errors import InputError
from dossier.records.verdicts import HOLD, Qualified, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Deposit, Welder
from dossier.units import System

SOON = timedelta(days=30)
NEEDS_ACROSS = 12
_MARKS = {"F": "good", "S": "soon", "E": "bad", "?": "hold", "-": "soft"}
LEGEND = (
    "F in force; S ends within 30 days; E ended or withdrawn; ? a value that the code asks for is "
    "not recorded; - not covered."
)


class WelderMatrix(TypedDict):
    """All data of the matrix."""

    head: Head
    legend: str
    by_welder: Table
    needs: Table
    by_need: list[Table]
    lapses: Table


@dataclass(frozen=True, slots=True)
class Need:
    """A kind of weld that the joints on record ask for, and how many of them."""

    weld: Weld
    joints: int


def context(seen: View, answers: Answers, number: str) -> WelderMatrix:
    """Plain data of the matrix as of the day of the view. Reads no clock and no file."""
    system = system_of(seen.project.settings)
    needs = joint_needs(seen)
    return WelderMatrix(
        head=head(seen, number=number, title="Welder qualification matrix"),
        legend=LEGEND,
        by_welder=table("Certificates", _heads(), _certificate_rows(seen, answers, system)),
        needs=_needs_table(needs, system),
        by_need=list(_coverage(seen, answers, needs)),
        lapses=lapses(seen, answers),
    )


def state(certificate: Certificate, answers: Answers, on: date) -> str:
    """Letter of a certificate's state on a day: F, S, E or ?."""
    if certificate.ended_on is not None and certificate.ended_on <= on:
        return "E"
    verdict = worst(answers.in_force(certificate, on))
    if verdict > HOLD:
        return "E"
    if verdict == HOLD:
        return "?"
    return "S" if answers.valid_until(certificate) - on <= SOON else "F"


def last_day(certificate: Certificate, answers: Answers) -> str:
    """The last day in force in words; a code that sets none says so."""
    if certificate.ended_on is not None:
        return f"ended {day(certificate.ended_on)}"
    until = answers.valid_until(certificate)
    return "no lapse by time" if until == date.max else day(until)


def _heads() -> list[Column]:
    return columns(
        ("Stamp", 4.5), ("Name", 10), ("Certificate", 7.5), ("Code", 8.5), ("Process", 5.5),
        ("Weld", 8), ("Positions", 18), ("Diameter", 9), ("Thickness", 9), ("Filler group", 6.5),
        ("Tested", 6.5), ("Confirmed", 6.5), ("In force to", 7.5), ("State", 4.5, "centre"),
    )  # fmt: skip


def _certificate_rows(seen: View, answers: Answers, system: System) -> Iterator[Row]:
    for welder in sorted(seen.project.welders, key=lambda w: (w.stamp, w.since or date.min)):
        if not welder.certificates:
            cells = [welder.stamp, welder.name, "none on record", *("-" for _ in range(11))]
            yield row(cells, ["", "", "hold", *("" for _ in range(11))])
        for certificate in sorted(welder.certificates, key=lambda c: (c.welded_on, c.number)):
            for deposit in certificate.deposits:
                yield _certificate_row(seen, answers, system, (welder, certificate, deposit))


def _certificate_row(
    seen: View, answers: Answers, system: System, held: tuple[Welder, Certificate, Deposit]
) -> Row:
    welder, certificate, deposit = held
    ranges = answers.welder_range(certificate, deposit)
    letter = state(certificate, answers, seen.as_of)
    confirmed = max((c.signed_on for c in certificate.confirmations), default=None)
    cells = [
        welder.stamp,
        welder.name,
        certificate.number,
        coded(certificate.code),
        deposit.process,
        words([_range(ranges, system, "weld type", "joint"), _range(ranges, system, "product")]),
        _range(ranges, system, "position"),
        _range(ranges, system, "outside diameter"),
        _range(ranges, system, DEPOSIT, "wall"),
        _range(ranges, system, "filler group"),
        day(certificate.welded_on),
        day(confirmed),
        last_day(certificate, answers),
        letter,
    ]
    return row(cells, [*("" for _ in cells[:-1]), _MARKS[letter]])


def _range(ranges: Qualified, system: System, *names: str) -> str:
    """The first of these variables that the code limits, in words; "" where it limits none."""
    return next((permitted(ranges[n], system) for n in names if n in ranges), "")


def joint_needs(seen: View) -> list[Need]:
    """The distinct kinds of weld of the standing joints, thickness of deposit left aside."""
    counted: dict[Weld, set[str]] = {}
    for joint in seen.project.joints:
        if joint.status != "welded":
            continue
        for work in work_of(seen, joint_file(seen, joint)):
            counted.setdefault(_asked(work.weld), set()).add(joint.number)
    order = sorted(counted.items(), key=lambda pair: (-len(pair[1]), str(pair[0])))
    return [Need(weld, len(numbers)) for weld, numbers in order]


def _asked(weld: Weld) -> Weld:
    return replace(weld, deposit_mm=None, layers=None)


def _needs_table(needs: Sequence[Need], system: System) -> Table:
    heads = columns(
        ("Need", 5), ("Process", 7), ("Weld", 11), ("Position", 10), ("Direction", 8),
        ("Wall", 9), ("Diameter", 10), ("Material", 9), ("Filler", 15), ("Backing", 9),
        ("Joints", 7, "right"),
    )  # fmt: skip
    rows = [
        row([
            f"N{index}", need.weld.process, words([need.weld.weld_type, need.weld.product]),
            need.weld.position, need.weld.direction, amount(need.weld.wall_mm, "mm", system),
            amount(need.weld.od_mm, "mm", system), need.weld.material_group,
            words([need.weld.filler, need.weld.filler_group and f"group {need.weld.filler_group}"]),
            need.weld.backing, str(need.joints),
        ])
        for index, need in enumerate(needs, start=1)
    ]  # fmt: skip
    note = "Deposited thickness is judged joint by joint and left aside here."
    return table("What the joints ask for", heads, rows, note)


def _coverage(seen: View, answers: Answers, needs: Sequence[Need]) -> Iterator[Table]:
    """Welders down, needs across, in tables that fit the paper."""
    for start in range(0, len(needs), NEEDS_ACROSS):
        part = needs[start : start + NEEDS_ACROSS]
        names = [f"N{start + i + 1}" for i in range(len(part))]
        width = 80 / NEEDS_ACROSS
        spare = 80 - width * len(part)
        heads = columns(("Stamp", 7), ("Name", 13 + spare), *((n, width, "centre") for n in names))
        rows = []
        for welder in sorted(seen.project.welders, key=lambda w: (w.stamp, w.since or date.min)):
            letters = [best_state(welder, need.weld, answers, seen.as_of) for need in part]
            rows.append(
                row([welder.stamp, welder.name, *letters], ["", "", *(_MARKS[x] for x in letters)])
            )
        open_needs = [
            name for place, name in enumerate(names, start=2)
            if not any(line["cells"][place] in ("F", "S") for line in rows)
        ]  # fmt: skip
        note = f"Nobody is in force for {words(open_needs)}." if open_needs else ""
        yield table(f"Who may weld {names[0]} to {names[-1]}", heads, rows, note)


def best_state(welder: Welder, weld: Weld, answers: Answers, on: date) -> str:
    """The best letter that any certificate of a welder gives for a weld."""
    found = {_one_state(c, weld, answers, on) for c in welder.certificates if c.result == "passed"}
    return next((letter for letter in "FSE?" if letter in found), "-")


def _one_state(certificate: Certificate, weld: Weld, answers: Answers, on: date) -> str:
    try:
        reasons = answers.covers(certificate, weld)
    except InputError:
        return "?"
    verdict = worst(r for r in reasons if r.variable != DEPOSIT)
    if verdict > HOLD:
        return "-"
    return "?" if verdict == HOLD else state(certificate, answers, on)
