"""Joints that are alike in all that some checks look at: what was sound once is not asked again.

In a long line the same crew welds the same pipe to the same WPS many times a day. A check that
found nothing on one of these joints finds nothing on the others. Each question here tells all that
its checks look at; None stands for a joint that is like no other. Where no two joints are alike,
as in their readings, a quick question tells whether all is surely well.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from datetime import date, datetime
from operator import attrgetter

from dossier.coverage.joint_file import JointFile
from dossier.coverage.order_of_work import done_in_order
from dossier.coverage.procedures import undirected
from dossier.coverage.readings import intervals_inside, readings_inside
from dossier.coverage.view import View

Question = Callable[[JointFile], Hashable | None]
Surely = Callable[[View, JointFile], bool]

_JOINT = attrgetter(
    "line", "wps", "wps_revision", "position_code", "weld_type", "branch_angle_deg", "welded_on"
)
_MEMBER = attrgetter(
    "kind", "od_mm", "wall_mm", "smys_mpa", "material_group", "grade", "not_applicable"
)
_HEATS = attrgetter("wps", "wps_revision", "upstream_heat", "downstream_heat")
_TRACED = attrgetter("kind", "heat", "certificate", "parent", "grade", "smys_mpa")
_PASS = attrgetter(
    "welder", "process", "number", "kind", "side", "batch", "deposit_mm", "direction"
)
_LAYER = attrgetter("process", "number", "kind", "side", "direction")
_REPORT = attrgetter(
    "method", "procedure", "technique", "examiner", "result", "extent_percent", "film_mm", "iqi",
    "density", "reported_on",
)  # fmt: skip
_CLIMATE = attrgetter(
    "air_c", "steel_c", "dew_point_c", "humidity_percent", "not_applicable", "batch"
)
_FIT_UP = attrgetter("line", "wps", "wps_revision", "fit_up_gap_mm", "hi_lo_mm")


def welding(file: JointFile) -> Hashable | None:
    """Who welded each pass, with what, how thick and on which day; the pipe; WPS and place."""
    if file.repairs:
        return None
    sizes = tuple([item and _MEMBER(item) for _, item in file.members])
    passes = tuple(
        [(_PASS(p), (at := p.finished_at or p.started_at) and at.date()) for p in file.passes]
    )
    return _JOINT(file.joint), sizes, passes, undirected(file)


def members(file: JointFile) -> Hashable | None:
    """The heat of each member in the log, and what its own record says of its steel."""
    traced = tuple([item and _TRACED(item) for _, item in file.members])
    return _HEATS(file.joint), traced


def examining(file: JointFile) -> Hashable | None:
    """How, by whom and on which day the joint was examined, and what the films show."""
    reports = tuple([(_REPORT(r), len(r.films), _day(r.examined_at)) for r in file.examinations])
    return file.joint.line, file.joint.weld_type, file.od_mm, reports


def coating(file: JointFile) -> Hashable | None:
    """In which climate, with which batch and on which day the joint was coated."""
    return tuple([(_CLIMATE(row), _day(row.coated_at)) for row in file.coatings])


def fit_up(file: JointFile) -> Hashable | None:
    """Gap and misalignment, and the WPS and line that bound them."""
    return _FIT_UP(file.joint)


def instruments(file: JointFile) -> Hashable | None:
    """Which instrument was used on which day."""
    used = {
        (made.instrument, _day(made.started_at or made.finished_at) or file.joint.welded_on)
        for made in file.passes
        if made.instrument
    }
    for report in file.examinations:
        if report.instrument:
            used.add((report.instrument, _day(report.examined_at) or report.reported_on))
    for row in file.coatings:
        if row.instrument:
            used.add((row.instrument, _day(row.holiday_tested_at or row.coated_at)))
    for chart in file.heat_treatments:
        if chart.instrument:
            used.add((chart.instrument, _day(chart.started_at or chart.finished_at)))
    for test in file.hardness_tests:
        if test.instrument:
            used.add((test.instrument, _day(test.tested_at)))
    return frozenset(used)


def _day(moment: datetime | None) -> date | None:
    return moment and moment.date()


def welded_as_told(file: JointFile) -> Hashable | None:
    """What `welding` asks, whoever welded it and on whatever day."""
    if file.repairs:
        return None
    sizes = tuple([item and _MEMBER(item) for _, item in file.members])
    joint = file.joint
    passes = tuple([_LAYER(p) for p in file.passes])
    told = joint.wps, joint.wps_revision, joint.position_code, joint.weld_type
    return told, sizes, passes, undirected(file)


def untreated(_: View, file: JointFile) -> bool:
    """Neither heat treated nor to be, and no hardness measured."""
    wps = file.wps
    return not (file.heat_treatments or file.hardness_tests or (wps is not None and wps.pwht))


# A question, the checks that it answers, and wider ones: asked only where it is not answered yet.
OnceAsked = tuple[Question, frozenset[str], Sequence["OnceAsked"]]
ASKED_ONCE: tuple[OnceAsked, ...] = (
    (welding, frozenset({
        "welder-certificate", "welder-range", "welder-deposit", "welder-continuity",
        "consumable-batch", "procedure-in-force", "joint-line",
    }), ((welded_as_told, frozenset({
        "joint-inside-procedure", "pass-sequence", "side-record",
    }), ()),)),
    (members, frozenset({"item-heat-certificate", "carbon-equivalent"}), ()),
    (examining, frozenset({
        "examination-technique", "circumference-closed", "examiner-certificate",
    }), ()),
    (coating, frozenset({"coating-conditions"}), ()),
    (fit_up, frozenset({"fit-up"}), ()),
    (instruments, frozenset({"instrument-calibration"}), ()),
)  # fmt: skip
# Checks that find nothing on a joint for which the quick question is answered with yes.
SURELY: tuple[tuple[Surely, frozenset[str]], ...] = (
    (readings_inside, frozenset({"pass-parameters", "heat-input", "preheat-and-interpass"})),
    (intervals_inside, frozenset({"pass-interval"})),
    (untreated, frozenset({"heat-treatment", "hardness-test"})),
    (done_in_order, frozenset({
        "paper-dates", "visual-examination", "self-examination", "examination-complete",
        "examination-delay", "indication-acceptance", "repair-closed", "sequence-of-work",
        "cover-and-backfill", "accepted-before-test",
    })),
)  # fmt: skip
