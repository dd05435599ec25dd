"""What is marked on the sheet of the work ahead, with its days, figures and words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise
from math import pi, radians, tan

import pytest

from dossier.calc.groove_section import groove_section
from dossier.calc.weld_metal import mass_kg_m
from dossier.coverage.plan import Plan, plan
from dossier.coverage.plan.examinations import Films, Owed
from dossier.coverage.plan.procedure_tests import ProposedPiece
from dossier.coverage.view import view
from dossier.documents import planning
from dossier.documents.planning import Size, estimate
from dossier.documents.printed.face import Asked, Printed
from dossier.documents.printed.work_ahead import context, make
from dossier.documents.printed.work_ahead.papers import consumables_part
from dossier.documents.printed.work_ahead.people import deposit_words
from dossier.records.procedures import Span
from dossier.records.verdicts import HOLD, Basis, Reason
from dossier.records.welders import Welder
from tests.documents import example
from tests.documents.rows import column

# A sheet that its test supports in full, so that no further test is looked for.
WPS = replace(
    example.WPS, preheat_min_c=85.0, smys_mpa=Span(low=415, high=415), positions=("5G",),
    passes=tuple(replace(p, within_min=6.0 if p.kind == "hot" else None)
                 for p in example.WPS.passes),
)  # fmt: skip


def _asked(welders: Sequence[Welder], wps: str = "WPS-01") -> Asked:
    made = example.project(3)
    waiting = replace(made.joints[2], status="planned", welded_on=None, finished_at=None, wps=wps)
    done = tuple(p for p in made.passes if p.joint != "ML-003")
    project = replace(made, procedures=(WPS,), joints=(*made.joints[:2], waiting), passes=done,
                      welders=tuple(welders), repairs=())  # fmt: skip
    return Asked(view(project, example.AS_OF))


def _sheet(of: Asked, made: Plan | None = None) -> Printed:
    return context(of, made or plan(of.seen, days=60))


@pytest.mark.parametrize(
    ("welders", "may", "away", "mark"),
    [
        (example.WELDERS, "W01, W02", "-", ""),
        (example.WELDERS[:1], "W01", "W02", "soon"),
        (example.WELDERS[2:], "nobody", "W01, W02", "bad"),
    ],
)
def test_a_need_that_one_or_nobody_may_weld_is_marked(
    welders: Sequence[Welder], may: str, away: str, mark: str
) -> None:
    made = _sheet(_asked(welders))
    part = made["content"]["staff"]["rows"]
    assert part["title"] == "Who may weld what on 2026-07-01"
    assert column(part, "Joints") == ["ML-003"] * 2
    assert column(part, "May weld it") == [may] * 2
    assert column(part, "May weld it", "marks") == [mark] * 2
    assert column(part, "Of these not now") == [away] * 2
    told = {f["label"]: f["value"] for f in made["facts"]}
    assert told["Planned joints"] == "1"
    covered = 0 if may == "nobody" else 2
    assert told["Distinct needs"] == f"2, of which {covered} are covered"
    open_joints = [] if covered else ["Joints that nobody may weld yet: ML-003."]
    assert made["words"] == open_joints


def test_a_joint_that_cannot_be_planned_is_marked_and_counted() -> None:
    made = _sheet(_asked(example.WELDERS, wps="WPS-77"))
    part = made["content"]["without"]["rows"]
    assert [line["cells"] for line in part["rows"]] == [
        ["ML-003", "ML-003", "WPS-77 is not on record"],
    ]  # fmt: skip
    assert column(part, "Need or joint", "marks") == ["hold"]
    assert {f["label"]: f["value"] for f in made["facts"]}["Planned joints"] == "1"


@pytest.mark.parametrize(
    ("groups", "told"), [((), "-"), (("1.2", "1.2"), "1.2"), (("1.2", "8.1"), "1.2, 8.1")]
)
def test_a_proposed_test_names_the_material_of_both_members(
    groups: tuple[str, ...], told: str
) -> None:
    of = _asked(example.WELDERS)
    made = plan(of.seen, days=60)
    piece = ProposedPiece("P1", replace(example.PQR, material_groups=groups), ("WPS-01",), {})
    more = replace(made, procedures=replace(made.procedures, pieces=(piece,)))
    part = _sheet(of, more)["content"]["pieces"]["rows"]
    assert column(part, "Material") == [told]
    assert column(part, "Supports") == ["WPS-01"]


@pytest.mark.parametrize(
    ("possible", "mark"), [((), "bad"), (("A",), "bad"), (("A", "B"), "hold"), ((*"ABC",), "hold")]
)
def test_a_share_that_can_no_longer_be_made_good_is_marked(
    possible: tuple[str, ...], mark: str
) -> None:
    of = _asked(example.WELDERS)
    made = plan(of.seen, days=60)
    reason = Reason("share", "1", "from 3", Basis("49 CFR 192", "2015", "192.243"), HOLD)
    owed = Owed("L1", date(2026, 3, 1), "zone", "class 2", 2, reason, possible)
    films = (Films("RT", "mainline", 323.9, ("A", "B", "C"), 4),
             Films("UT", "mainline", 323.9, ("A",), 4),
             Films("RT", "tie-in", None, ("D",), None))  # fmt: skip
    due = replace(made.examinations, shares=(owed,), films=films)
    content = _sheet(of, replace(made, examinations=due))["content"]
    part = content["owed"]["rows"]
    assert column(part, "Still owed") == ["2"]
    assert column(part, "Still owed", "marks") == [mark]
    assert (column(part, "Day or lot"), column(part, "Of")) == (["2026-03-01"], ["zone class 2"])
    part = content["films"]["rows"]
    assert column(part, "Reports") == ["3", "1", "1"]
    assert column(part, "Films a joint") == ["4", "-", "-"]
    assert column(part, "Films") == ["12", "-", "-"]


@pytest.mark.parametrize(
    ("least", "told"),
    [
        (1, "Joints: 1, no choice takes fewer."),
        (0, "Joints: 1, at least 0 would be needed; not proven the fewest."),
    ],
)
def test_a_certificate_that_no_planned_joint_confirms_is_marked(least: int, told: str) -> None:
    of = _asked(example.WELDERS)
    made = plan(of.seen, days=60)
    found = replace(
        made.ahead.confirmations, by_joint={"ML-003": ("W01 WQ-01, 111",)},
        without=(("W02 WQ-02", "no joint"),), least=least,
    )  # fmt: skip
    ahead = replace(made.ahead, confirmations=found)
    part = _sheet(of, replace(made, ahead=ahead))["content"]["confirmations"]["rows"]
    assert column(part, "Joint") == ["ML-003", "none"]
    assert column(part, "Joint", "marks") == ["", "hold"]
    assert part["note"].startswith(told)


def test_consumables_are_those_of_the_planned_joints() -> None:
    seen = _asked(example.WELDERS).seen
    again = replace(seen.project.joints[2], number="ML-009")
    metal = {}
    for count, joints in enumerate(
        (seen.project.joints[:2], seen.project.joints, (*seen.project.joints, again))
    ):
        project = replace(seen.project, joints=joints)
        metal[count] = consumables_part(view(project, example.AS_OF))["rows"]
    assert (metal[0]["rows"], metal[0]["note"]) == ([], "")
    assert column(metal[1], "Consumable") == ["E6010", "E8010-P1"]
    assert column(metal[1], "WPS") == ["WPS-01"] * 2
    one, two = ([float(cell.split()[0]) for cell in column(metal[n], "Weld metal")] for n in (1, 2))
    assert two == pytest.approx([2 * kg for kg in one], abs=0.011)


@pytest.mark.parametrize(
    ("layers", "root", "told"),
    [
        (None, True, "111, 3 mm, E6010, root, backing none"),
        (1, True, "111, 3 mm, E6010, root, backing none"),
        (2, False, "111, 3 mm, E6010, above the root, 2 layers or more"),
    ],
)
def test_a_deposit_of_a_proposed_test_is_told_in_words(
    layers: int | None, root: bool, told: str
) -> None:
    held = example.WELDERS[0].certificates[0].deposits[0]
    assert deposit_words(replace(held, deposit_mm=3.0, layers=layers, root=root), "SI") == told


def test_metal_and_arc_time_are_shared_by_the_heights_of_the_passes() -> None:
    made = estimate(example.WPS, Size(323.9, 12.7, ()))
    assert not isinstance(made, str)
    slope, ends = tan(radians(30)), (0.0, 3.0, 5.5, 10.2, 12.7)  # gap and root face 1.5 mm
    areas = [
        1.5 * (top - low) + slope * (max(top - 1.5, 0) ** 2 - max(low - 1.5, 0) ** 2)
        for low, top in pairwise(ends)
    ]
    areas[-1] += groove_section(example.GROOVE, 12.7).cap_mm2
    assert [part.section_mm2 for part in made.parts] == pytest.approx(areas)
    length_mm = pi * (323.9 - 12.7)
    assert made.length_m * 1000 == pytest.approx(length_mm)
    speeds = (250, 300, 225, 190)  # the middle of what the sheet permits
    times = [p.runs * length_mm / speed for p, speed in zip(made.parts, speeds, strict=True)]
    assert [part.arc_min for part in made.parts] == pytest.approx(times)
    assert made.arc_min == pytest.approx(sum(times))


@pytest.mark.parametrize(
    ("status", "wps", "sheets"),
    [("planned", "WPS-01", 1), ("planned", "WPS-77", 1), ("welded", "WPS-01", 0)],
)
def test_there_is_a_sheet_only_where_something_lies_ahead(
    status: str, wps: str, sheets: int
) -> None:
    of = _asked(example.WELDERS, wps)
    joints = (*of.seen.project.joints[:2], replace(of.seen.project.joints[2], status=status))
    seen = view(replace(of.seen.project, joints=joints), example.AS_OF)
    assert len(list(make(Asked(seen)))) == sheets


def test_each_consumable_takes_the_metal_of_its_own_passes() -> None:
    seen = _asked(example.WELDERS).seen
    some = tuple(replace(seen.project.joints[2], number=f"ML-{n}") for n in range(100, 200))
    many = view(replace(seen.project, joints=some), example.AS_OF)
    part = planning.context(many, WPS, "N")["consumables"]
    made = estimate(WPS, Size(323.9, 12.7, ()))
    assert not isinstance(made, str)
    root, *others = (100 * made.length_m * mass_kg_m(one.section_mm2) for one in made.parts)
    assert column(part, "Consumable") == ["E6010", "E8010-P1"]
    assert column(part, "Weld metal") == [f"{root:.1f} kg", f"{sum(others):.1f} kg"]


def test_joints_whose_metal_cannot_be_told_are_named() -> None:
    seen = _asked(example.WELDERS).seen
    items = tuple(replace(item, wall_mm=None) for item in seen.project.items)
    part = consumables_part(view(replace(seen.project, items=items), example.AS_OF))["rows"]
    assert part["rows"] == []
    assert part["note"].endswith("No figure: WPS-01: diameter or wall is not recorded.")
