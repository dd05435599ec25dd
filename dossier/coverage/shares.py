"""A day's field butt welds of a line under 49 CFR 192 or 195: how many, and how many examined.

A weld is made on the day that the log gives and counts as examined when its whole circumference
was; a weld that was cut out later stays among those made. Welds that the law does not ask to be
examined (192.241(b)) are left out.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from math import ceil

from dossier.calc.pipe import hoop_stress_mpa, percent_smys
from dossier.codes.cfr_192_examination import GirthWeld, day_examined, each_welder
from dossier.codes.cfr_192_examination import examination_needed as needed_by_192
from dossier.codes.cfr_195_construction import (
    ALL_OF,
    EACH_WELDER,
    least_tests_of_all,
    least_tests_of_welder,
    listed_place,
)
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.view import View
from dossier.records.joints import Line
from dossier.records.position import Position
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Range, Reason

GAS, LIQUID = "49 CFR 192", "49 CFR 195"
EXAMINED_BY = ("RT", "UT", "MT", "PT", "ET")
_NPS_IN = ((168.2, 5.0), (1e9, 6.0))  # outside diameter in mm below which the pipe is under NPS 6
_STRESS_UNKNOWN = 100.0  # % SMYS taken where pressure or pipe is not recorded: the strict side


@dataclass(frozen=True, slots=True)
class DayWeld:
    """One field butt weld, as far as the shares ask about it."""

    joint: str
    line: str
    day: date
    kind: str
    welders: frozenset[str]
    examined: bool
    impracticable: bool
    open: bool  # not yet in the ground: it can still be examined
    origin: Position = field(compare=False)


@dataclass(frozen=True, slots=True)
class Share:
    """One count of a day against the law: of a zone or of a welder."""

    line: str
    day: date
    kind: str  # "zone" or "welder"
    name: str
    welds: tuple[DayWeld, ...]
    reason: Reason


def stress_percent(file: JointFile) -> float:
    """Hoop stress at the design pressure in % of SMYS; 100 where it cannot be computed.

    Source: Barlow formula, as in 49 CFR 192.105.
    """
    line = file.line
    smys = min((i.smys_mpa for i in file.items if i.smys_mpa is not None), default=None)
    if line is None or line.design_pressure_bar is None or smys is None:
        return _STRESS_UNKNOWN
    if file.od_mm is None or file.wall_mm is None:
        return _STRESS_UNKNOWN
    stress = hoop_stress_mpa(line.design_pressure_bar / 10, file.od_mm, file.wall_mm)
    return percent_smys(stress, smys)


def shares(seen: View) -> Iterator[Share]:
    """All counts of all lines under one of the two laws, by line, day, then zone and welder."""
    found = (day_weld(joint_file(seen, joint)) for joint in seen.project.joints)
    yield from shares_of(seen, (weld for weld in found if weld is not None))


def shares_of(seen: View, welds: Iterable[DayWeld]) -> Iterator[Share]:
    """All counts of `welds`, which are all that were made on their days."""
    days: dict[tuple[str, date], list[DayWeld]] = defaultdict(list)
    for weld in welds:
        days[weld.line, weld.day].append(weld)
    for (name, day), own_day in sorted(days.items()):
        line = seen.known.lines[name]
        count = _gas if line.regulation == GAS else _liquid
        for kind, what, own, reason in count(line, own_day):
            yield Share(name, day, kind, what, own, _as_it_stands(reason, own))


def day_weld(file: JointFile) -> DayWeld | None:
    """The joint as a weld that the law counts; None where it does not."""
    joint, line = file.joint, file.line
    if line is None or line.regulation not in (GAS, LIQUID) or joint.weld_type != "butt":
        return None
    if joint.status not in ("welded", "cut out") or joint.welded_on is None:
        return None
    if line.regulation == LIQUID or _asked_by_192(file):
        return _day_weld(file, joint.welded_on)
    return None


def _asked_by_192(file: JointFile) -> bool:
    nominal = next(nps for below, nps in _NPS_IN if (file.od_mm or 1e6) < below)
    approved = any(r.method == "VT" and r.result == "accepted" for r in file.examinations)
    weld = GirthWeld(
        hoop_stress_percent=stress_percent(file),
        nominal_in=nominal,
        visually_approved=approved,
    )
    return needed_by_192(weld).verdict != CLEAR


def examined_whole(file: JointFile) -> bool:
    """A report, whatever its result, on the whole circumference by other than the eye."""
    return any(
        report.method in EXAMINED_BY and report.result and (report.extent_percent or 0) >= 100
        for report in file.examinations
    )


def lies_open(file: JointFile) -> bool:
    """The joint stands and is not in the ground: it can still be examined."""
    buried = any(row.lowered_at or row.backfilled_at for row in file.lowerings)
    return not buried and file.joint.status == "welded"


def _day_weld(file: JointFile, day: date) -> DayWeld:
    return DayWeld(
        file.number,
        file.joint.line,
        day,
        file.joint.kind,
        frozenset(made.welder for made in file.passes),
        examined_whole(file),
        bool(file.joint.impracticable),
        lies_open(file),
        file.joint.origin,
    )


Counted = tuple[str, str, tuple[DayWeld, ...], Reason]


def _gas(line: Line, welds: list[DayWeld]) -> Iterator[Counted]:
    zones: dict[str, list[DayWeld]] = defaultdict(list)
    for weld in welds:
        zones[_zone(line, weld)].append(weld)
    for zone, own in zones.items():
        left_out = sum(weld.impracticable and not weld.examined for weld in own)
        yield "zone", zone, tuple(own), day_examined(zone, len(own), _tested(own), left_out)
    for stamp, mine in _by_welder(welds).items():
        yield "welder", stamp, tuple(mine), each_welder(len(mine), _tested(mine))


def _zone(line: Line, weld: DayWeld) -> str:
    """The zone of 192.243(d); a line without a class is taken as class 3, the strict side."""
    if weld.kind in ("tie-in", "golden"):
        return "tie-in"
    if weld.kind == "crossing" or line.location_class not in (1, 2):
        return "class 3, 4 or crossing"
    return f"class {line.location_class}"


def _liquid(_: Line, welds: list[DayWeld]) -> Iterator[Counted]:
    ties = [weld for weld in welds if weld.kind in ("tie-in", "golden")]
    crossings = [weld for weld in welds if weld.kind == "crossing"]
    if ties:
        limit = Range(least_tests_of_all(len(ties)), float("inf"), ALL_OF, "")
        yield "zone", "tie-in", tuple(ties), _counted(ties, limit, "tie-ins examined that day")
    if crossings:
        left_out = sum(weld.impracticable and not weld.examined for weld in crossings)
        reason = listed_place(len(crossings), _tested(crossings), left_out)
        yield "zone", "crossing", tuple(crossings), reason
    for stamp, own in _by_welder(welds).items():
        limit = Range(least_tests_of_welder(len(own)), float("inf"), EACH_WELDER, "")
        counted = _counted(own, limit, "welder's welds examined that day")
        yield "welder", stamp, tuple(own), counted


def _counted(welds: list[DayWeld], limit: Range, name: str) -> Reason:
    tested = _tested(welds)
    verdict = CLEAR if tested in limit else NONCONFORMITY
    return Reason(name, f"{tested} of {len(welds)}", f"from {limit.low:g}", limit.basis, verdict)


def _by_welder(welds: list[DayWeld]) -> dict[str, list[DayWeld]]:
    own: dict[str, list[DayWeld]] = defaultdict(list)
    for weld in welds:
        for stamp in sorted(weld.welders):
            own[stamp].append(weld)
    return own


def _tested(welds: Iterable[DayWeld]) -> int:
    return sum(weld.examined for weld in welds)


def _as_it_stands(reason: Reason, welds: tuple[DayWeld, ...]) -> Reason:
    """A share that is short is a hold while enough of the welds can still be examined."""
    if reason.verdict == CLEAR:
        return reason
    least = ceil(float(reason.permitted.removeprefix("from ")))
    reachable = _tested(welds) + sum(weld.open and not weld.examined for weld in welds)
    verdict = HOLD if reachable >= least else NONCONFORMITY
    return Reason(reason.variable, reason.found, reason.permitted, reason.basis, verdict)
