"""Progressive sampling: lots, rejections, the further welds each asked for, and what is still due.

A lot is what one welder made on one line in one period. A rejection in the first sample asks for
two more welds of that welder and lot; each that fails for two more again; a failure among those
condemns the lot, which is then examined in full. Which report was made for which rejection is
recorded with the report (`tracer_for`).

Source: ASME B31.3, 341.3.4 (secondary, 2008), where the project asks for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from dossier.codes.asme_b31_3.sampling import Progress, Sample, sampling_of
from dossier.coverage.view import View
from dossier.records.examinations import Examination
from dossier.records.joints import Joint
from dossier.records.project import Progressive

REJECTED = "rejected"


@dataclass(frozen=True, slots=True, order=True)
class LotKey:
    """Welder, line and period of a lot; the period is "all", "2026-05" or "2026-W19"."""

    welder: str
    line: str
    period: str


@dataclass(frozen=True, slots=True)
class Lot:
    """One lot that has a rejection: the rejections, both tiers of tracers, where it stands."""

    key: LotKey
    rejections: tuple[Examination, ...]
    tracers: tuple[tuple[Examination, ...], tuple[Examination, ...]]
    progress: Progress

    @property
    def shot(self) -> int:
        """Further welds examined for the lot, in both tiers."""
        return sum(len(tier) for tier in self.tracers)


def lots(seen: View, rules: Progressive) -> list[Lot]:
    """Every lot with an attributed rejection, by welder, line and period."""
    reports = list(_reports(seen, rules))
    first: dict[LotKey, list[Examination]] = {}
    for report in reports:
        key = lot_of(seen, rules, report)
        if key is not None and opens_lot(seen, rules, report, reports):
            first.setdefault(key, []).append(report)
    return [_lot(seen, rules, key, first[key], reports) for key in sorted(first)]


def unattributed(seen: View, rules: Progressive) -> Iterator[Examination]:
    """Rejections of joints of several welders that name no welder."""
    for report in _reports(seen, rules):
        if report.result == REJECTED and not responsible(seen, report):
            yield report


def responsible(seen: View, report: Examination) -> str:
    """The stamp in whose part a rejection lies: as recorded, else the joint's only welder."""
    if report.rejected_welder:
        return report.rejected_welder
    stamps = welders_of(seen, report.joint)
    return next(iter(stamps)) if len(stamps) == 1 else ""


def welders_of(seen: View, joint: str) -> set[str]:
    """The stamps of the passes of a joint."""
    return {made.welder for made in seen.known.passes.get(joint, [])}


def lot_of(seen: View, rules: Progressive, report: Examination) -> LotKey | None:
    """The lot that a rejection falls into, None where no welder or no joint is known."""
    joint = _joint(seen, report.joint)
    welder = responsible(seen, report)
    if report.result != REJECTED or joint is None or not welder:
        return None
    return LotKey(welder, joint.line, period_of(rules, joint.welded_on))


def period_of(rules: Progressive, day: date | None) -> str:
    """The period of a lot that a day falls into."""
    if rules.period == "all" or day is None:
        return "all"
    if rules.period == "month":
        return f"{day:%Y-%m}"
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"


def opens_lot(
    seen: View, rules: Progressive, report: Examination, reports: Sequence[Examination]
) -> bool:
    """A rejection opens a lot unless it is a tracer that failed in its own lot.

    One in the part of another welder opens that welder's own lot.
    """
    if not report.tracer_for:
        return True
    root = next((one for one in reports if one.report == report.tracer_for), None)
    while root is not None and root.tracer_for:
        above = root.tracer_for
        root = next((one for one in reports if one.report == above and one is not root), None)
    if root is None:
        return True
    return lot_of(seen, rules, root) != lot_of(seen, rules, report)


def members(seen: View, rules: Progressive, key: LotKey) -> list[Joint]:
    """The joints of a lot."""
    return [
        joint
        for joint in seen.project.joints
        if joint.line == key.line
        and joint.status == "welded"
        and period_of(rules, joint.welded_on) == key.period
        and key.welder in welders_of(seen, joint.number)
    ]


def is_settled(seen: View, report: Examination) -> bool:
    """The rejected weld itself was cut out, or repaired and accepted by the same method."""
    joint = _joint(seen, report.joint)
    if joint is not None and joint.status == "cut out":
        return True
    answered = any(r.examination == report.report for r in seen.known.repairs.get(report.joint, []))
    later = (
        other
        for other in seen.known.examinations.get(report.joint, [])
        if other.method == report.method and other.result == "accepted"
        and other.examined_at and report.examined_at and other.examined_at > report.examined_at
    )  # fmt: skip
    return answered and any(later)


def _joint(seen: View, number: str) -> Joint | None:
    found = seen.known.joints.get(number)
    return found[0] if found else None


def _reports(seen: View, rules: Progressive) -> Iterator[Examination]:
    """Reports that count, without those made after a repair: a repair opens no new round."""
    after_repair = {repair.examined_by for repair in seen.project.repairs if repair.examined_by}
    for report in seen.project.examinations:
        joint = _joint(seen, report.joint)
        if joint is None or report.method not in rules.methods or not report.result:
            continue
        if report.report not in after_repair and (not rules.lines or joint.line in rules.lines):
            yield report


def _lot(
    seen: View,
    rules: Progressive,
    key: LotKey,
    rejections: list[Examination],
    reports: list[Examination],
) -> Lot:
    roots = {report.report for report in rejections}
    second = tuple(r for r in reports if r.tracer_for in roots and r.joint not in _of(rejections))
    failed = {r.report for r in second if _fails(seen, rules, key, r)}
    third = tuple(r for r in reports if r.tracer_for in failed)
    samples = [
        [_sample(seen, rules, key, report) for report in tier]
        for tier in (rejections, _fit(seen, key, second), _fit(seen, key, third))
    ]
    first = [Sample(one.joint, key.welder, defective=True) for one in samples[0]]
    progress = sampling_of(first, samples[1], samples[2], choices=seen.choices)[key.welder]
    return Lot(key, tuple(rejections), (second, third), progress)


def _of(reports: Iterable[Examination]) -> set[str]:
    return {report.joint for report in reports}


def _fit(seen: View, key: LotKey, tier: Iterable[Examination]) -> Iterator[Examination]:
    """Tracers of the lot's welder; others are no tracers."""
    return (one for one in tier if key.welder in welders_of(seen, one.joint))


def _fails(seen: View, rules: Progressive, key: LotKey, report: Examination) -> bool:
    own = responsible(seen, report) in (key.welder, "")
    return report.result == REJECTED and (own or rules.other_welder == "same lot")


def _sample(seen: View, rules: Progressive, key: LotKey, report: Examination) -> Sample:
    return Sample(report.joint, key.welder, defective=_fails(seen, rules, key, report))
