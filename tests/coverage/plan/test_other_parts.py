"""Needs, procedures, lapses, examinations owed and what-if, on the sample and small projects."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from dossier.codes.editions import procedure_code, welder_code
from dossier.coverage.continuity import history_of
from dossier.coverage.passes import heat_input_of
from dossier.coverage.plan import Plan, plan
from dossier.coverage.plan.hypothetical import with_records
from dossier.coverage.plan.needs import needs_of, pass_groups
from dossier.coverage.plan.procedure_pieces import pieces_for
from dossier.coverage.plan.procedure_tests import lack_of
from dossier.coverage.view import View, view
from dossier.errors import InputError
from dossier.intake import load_project
from dossier.records.procedures import Procedure, ProcedurePass, Span
from dossier.records.project import Progressive
from dossier.records.verdicts import CLEAR, worst
from dossier.records.welders import Confirmation, Welder

SAMPLE = Path(__file__).parents[3] / "sample_project"


@pytest.fixture(scope="module")
def seen() -> View:
    return view(load_project(SAMPLE))


@pytest.fixture(scope="module")
def made(seen: View) -> Plan:
    return plan(seen, days=120)


def _changed(seen: View, **registers: object) -> View:
    return view(replace(seen.project, **registers), seen.as_of)  # type: ignore[arg-type]


def test_each_pass_group_is_a_need_with_what_it_deposits(made: Plan) -> None:
    (root, above) = (
        made.asked.needs[place].weld for place in made.asked.of_joint["PT-27"]
    )  # fmt: skip
    assert (root.process, root.deposit_mm, root.root, root.backing) == ("141", 3.0, True, "none")
    assert (above.process, above.deposit_mm, above.root) == ("111", 8.0, False)
    assert (above.filler_group, above.covering, above.backing) == ("FM1", "basic", "weld metal")


def test_joints_alike_ask_for_the_same_need(made: Plan) -> None:
    assert made.asked.of_joint["TI-4"] == made.asked.of_joint["TI-6"]
    (place,) = made.asked.of_joint["TI-4"]
    assert made.asked.needs[place].joints == ("TI-4", "TI-5", "TI-6")


def test_passes_of_one_process_and_another_filler_group_are_two_groups(seen: View) -> None:
    (sheet,) = seen.known.procedures["WPS-02"]
    assert [len(group) for group in pass_groups(sheet)] == [3]
    other = replace(sheet, passes=(replace(sheet.passes[0], filler_group="1"), *sheet.passes[1:]))
    assert [len(group) for group in pass_groups(other)] == [1, 2]


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"wps": ""}, "no WPS is named"),
        ({"wps": "WPS-99"}, "WPS-99 is not on record"),
        ({"line": "BX-9"}, "line BX-9 is not on record"),
    ],
)
def test_a_joint_that_cannot_be_planned_says_why(
    change: dict[str, str], why: str, seen: View
) -> None:
    joints = tuple(
        replace(joint, **change) if joint.number == "TI-4" else joint  # type: ignore[arg-type]
        for joint in seen.project.joints
    )
    assert needs_of(_changed(seen, joints=joints)).unplanned == (("TI-4", why),)


def test_the_proposed_procedure_tests_support_the_sheets_by_their_code(made: Plan) -> None:
    found = made.procedures
    assert {lack.name for lack in found.lacking} == {
        "WPS-05 rev. 0", "WPS-07 rev. 0", "WPS-08 rev. 0",
    }  # fmt: skip
    assert {name for piece in found.pieces for name in piece.supports} == {
        lack.name for lack in found.lacking
    }
    for lack in found.lacking:
        extra = [piece.pqr for piece in found.pieces if lack.name in piece.supports]
        code = procedure_code(lack.wps.code)
        assert worst(code.supports(lack.tested, lack.wps, {})) > CLEAR
        assert worst(code.supports((*lack.tested, *extra), lack.wps, {})) == CLEAR


def test_no_single_procedure_test_serves_all(made: Plan) -> None:
    """Two codes are in use, and no test is one of both."""
    assert (len(made.procedures.choice.names), made.procedures.choice.least) == (2, 2)
    assert len({piece.pqr.code for piece in made.procedures.pieces}) == 2


def test_with_the_proposed_procedure_tests_no_sheet_lacks_one(seen: View, made: Plan) -> None:
    extra = [
        replace(piece.pqr, number=f"{piece.name}-{sheet}", wps=sheet.partition(" ")[0])
        for piece in made.procedures.pieces
        for sheet in piece.supports
    ]
    tried = view(with_records(seen.project, extra, seen.as_of), seen.as_of)
    assert [lack_of(tried, wps) for wps in tried.project.procedures] == [None] * 9


def test_two_joined_tests_are_proposed_where_one_is_not_enough(seen: View) -> None:
    wide = replace(seen.known.procedures["WPS-07"][0], wall_mm=Span(low=3.0, high=25.4), pqrs=())
    found = plan(_changed(seen, procedures=(wide,), joints=())).procedures
    assert (len(found.pieces), [name for name, _ in found.impossible]) == (0, ["WPS-07 rev. 0"])
    narrower = replace(wide, wall_mm=Span(low=9.5, high=25.4))
    both = plan(_changed(seen, procedures=(narrower,), joints=())).procedures
    assert len(both.pieces) == 2
    tests = [piece.pqr for piece in both.pieces]
    assert worst(procedure_code(wide.code).supports(tests, narrower, {})) == CLEAR


def test_test_pieces_reach_both_ends_of_the_heat_input_and_never_leave_it() -> None:
    row = ProcedurePass(
        kind="fill", process="111", filler="E 42", current_a=Span(low=90.0, high=130.0),
        voltage_v=Span(low=20.0, high=26.0), heat_input_kj_mm=Span(low=0.6, high=1.3),
    )  # fmt: skip
    code = "ISO 15614-1:2017"
    wps = Procedure(number="W", revision="0", title="", code=code, product="plate", passes=(row,))
    heats = [heat_input_of(made) or 0.0 for piece in pieces_for(wps, ()) for made in piece.passes]
    assert min(heats) == pytest.approx(0.6, abs=1e-4)
    assert max(heats) == pytest.approx(1.3, abs=1e-4)


def test_a_sheet_that_states_too_little_is_explained(seen: View) -> None:
    blank = replace(seen.known.procedures["WPS-07"][0], wall_mm=None)
    ((name, reasons),) = plan(_changed(seen, procedures=(blank,), joints=())).procedures.impossible
    assert name == "WPS-07 rev. 0"
    assert "wall" in {reason.variable for reason in reasons}


def test_lapses_and_what_the_code_takes_against_them(seen: View, made: Plan) -> None:
    assert [lapse.name for lapse in made.ahead.lapses] == [
        "W12 WC-12-1", "W12 WC-12-2", "W13 WC-13-1", "W13 WC-13-2",
    ]  # fmt: skip
    for lapse in made.ahead.lapses:
        certificate = lapse.holding.certificate
        code = welder_code(certificate.code)
        history = history_of(seen, lapse.holding.stamp, certificate)
        signed = Confirmation(signed_on=lapse.until, by="inspector")
        later = lapse.until + timedelta(days=1)
        assert worst(code.valid_on(certificate, lapse.until, history, {})) == CLEAR
        assert worst(code.valid_on(certificate, later, history, {})) > CLEAR
        assert worst(code.valid_on(certificate, later, (*history, signed), {})) == CLEAR
        assert lapse.helps == "signed confirmation"


def test_no_lapse_within_a_month(seen: View) -> None:
    assert plan(seen, days=30).ahead.lapses == ()


def test_each_joint_confirms_welders_inside_their_range(made: Plan) -> None:
    found = made.ahead.confirmations
    assert found.without == ()
    assert (len(found.by_joint), found.proven) == (4, True)
    held = {f"{h.stamp} {h.certificate.number}": h for h in made.staff.holdings}
    for joint, names in found.by_joint.items():
        for name in names:
            certificate, process = name.split(", ")
            needs = [made.asked.needs[n] for n in made.asked.of_joint[joint]]
            (weld,) = (need.weld for need in needs if need.weld.process == process)
            own = held[certificate].certificate
            assert worst(welder_code(own.code).covers(own, weld, {})) == CLEAR


def test_a_certificate_without_a_planned_joint_is_named(seen: View) -> None:
    joints = tuple(joint for joint in seen.project.joints if joint.number != "PT-32")
    found = plan(_changed(seen, joints=joints), days=120).ahead.confirmations
    assert [why for _, why in found.without] == ["the joints in its range have no place left"]
    none = tuple(joint for joint in seen.project.joints if joint.status != "planned")
    missing = plan(_changed(seen, joints=none), days=120).ahead.confirmations
    assert len(missing.without) == 6
    assert {why for _, why in missing.without} == {
        "no planned joint lies in the range of the certificate"
    }


def test_renewal_is_told_where_a_signature_does_not_help(seen: View) -> None:
    def aged(welder: Welder) -> Welder:
        if welder.stamp != "W12":
            return welder
        signed = tuple(
            Confirmation(signed_on=day, by="inspector")
            for day in (date(2023, 12, 1), date(2024, 5, 1), date(2024, 10, 1), date(2025, 3, 1),
                        date(2025, 8, 1), date(2026, 1, 15), date(2026, 6, 15))
        )  # fmt: skip
        first = replace(welder.certificates[0], welded_on=date(2023, 7, 10), confirmations=signed)
        return replace(welder, certificates=(first,))

    changed = _changed(seen, welders=tuple(map(aged, seen.project.welders)))
    (lapse,) = plan(changed, days=30).ahead.lapses
    assert (lapse.until, lapse.helps) == (date(2026, 7, 10), "renewal test")


def test_shares_of_the_law_still_owed(seen: View) -> None:
    lines = tuple(
        replace(line, regulation="49 CFR 192", location_class=2) for line in seen.project.lines
    )
    reports = tuple(e for e in seen.project.examinations if e.method != "RT")
    found = plan(_changed(seen, lines=lines, examinations=reports, lowerings=())).examinations
    assert found.lines_under_law == ("BG-2", "BS-1")
    zone = next(owed for owed in found.shares if owed.kind == "zone" and owed.name == "class 2")
    assert zone.more == int(zone.reason.permitted.removeprefix("from "))
    assert len(zone.possible) >= zone.more
    assert all(seen.known.joints[joint][0].status == "welded" for joint in zone.possible)
    assert any(owed.kind == "welder" and owed.more == 1 for owed in found.shares)


def test_tracers_still_owed(seen: View) -> None:
    limits = replace(seen.project.settings.requirements, progressive=Progressive(methods=("RT",)))
    settings = replace(seen.project.settings, requirements=limits)
    rejected = next(e for e in seen.project.examinations if e.result == "rejected")
    named = tuple(
        replace(e, rejected_welder=seen.known.passes[e.joint][0].welder) if e is rejected else e
        for e in seen.project.examinations
    )
    found = plan(_changed(seen, settings=settings, examinations=named)).examinations
    assert found.progressive
    owed = next(one for one in found.tracers if one.lot.rejections[0].report == rejected.report)
    assert owed.more == 2
    assert rejected.joint not in owed.possible


def test_films_of_planned_joints_follow_the_reports_on_record(made: Plan) -> None:
    films = {(one.method, one.kind): one for one in made.examinations.films}
    assert films["RT", "station"].each == 3
    assert films["RT", "station"].joints == ("PT-25", "PT-26", "PT-27")
    assert ("UT", "tie-in") not in films


def test_a_hypothetical_welder_is_a_new_person_where_nobody_holds_the_stamp(seen: View) -> None:
    extra = replace(seen.project.welders[0], stamp="W99", until=None)
    tried = with_records(seen.project, [extra], seen.as_of)
    assert len(tried.welders) == len(seen.project.welders) + 1


def test_a_certificate_of_next_week_counts_from_today_in_a_trial(seen: View) -> None:
    held = replace(seen.project.welders[8].certificates[0], number="T", welded_on=date(2026, 7, 9))
    extra = replace(seen.project.welders[8], certificates=(held,))
    tried = with_records(seen.project, [extra], seen.as_of)
    gained = tried.welders[8].certificates[-1]
    assert (gained.number, gained.welded_on) == ("T", seen.as_of)


def test_other_records_are_refused_in_a_trial(seen: View) -> None:
    with pytest.raises(InputError, match="what-if record"):
        with_records(seen.project, [seen.project.joints[0]], seen.as_of)
