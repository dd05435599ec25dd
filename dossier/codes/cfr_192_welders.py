"""49 CFR 192.227, 192.229 and Appendix C: who may weld on gas lines, and for how long."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import pairwise

from dossier.codes.cfr_clocks import CHOICES, through, through_seven_and_a_half
from dossier.codes.face import Choices
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Basis, Choice, Range, Reason, worst

STANDARD = "49 CFR 192"
QUALIFIED = Basis(STANDARD, "2015", "192.227(a)", "read")
LOW_STRESS = Basis(STANDARD, "2015", "192.227(b)", "read")
STATION = Basis(STANDARD, "2021", "192.229(a)", "memory")
PROCESS = Basis(STANDARD, "2021", "192.229(b)", "memory")
TESTED = Basis(STANDARD, "1995", "192.229(c)(1)", "secondary")
TWICE = Basis(STANDARD, "2021", "192.229(c)(1)", "memory")
ENTIRE = Basis(STANDARD, "1995", "192.229(c)", "read")
REQUALIFIED = Basis(STANDARD, "2021", "192.229(d)(1)", "memory")
APPENDIX_C = Basis(STANDARD, "2015", "Appendix C, I", "read")

# Ways to qualify a welder: under these there is no ceiling of stress.
FULL_QUALIFICATIONS = ("API 1104 section 6", "API 1104 section 12", "ASME IX")
APPENDIX_C_TEST = "Part 192 Appendix C"

__all__ = ["CHOICES"]


def qualification_for_stress(qualified_under: str, hoop_stress_percent: float) -> Reason:
    """Qualification against hoop stress in % of SMYS: Appendix C reaches only below 20 %.

    Source: 49 CFR 192.227(a), (b) (read). Raises InputError: a way to qualify not known.

    >>> str(qualification_for_stress("Part 192 Appendix C", 20.0).verdict)
    'nonconformity'
    """
    if qualified_under in FULL_QUALIFICATIONS:
        found = f"{hoop_stress_percent:.6g} % SMYS"
        return Reason(f"stress, {qualified_under}", found, "any", QUALIFIED)
    if qualified_under != APPENDIX_C_TEST:
        known = ", ".join((*FULL_QUALIFICATIONS, APPENDIX_C_TEST))
        raise InputError("qualified_under", found=qualified_under, expected=known)
    permitted = Range(0, 20, LOW_STRESS, "% SMYS", high_open=True)
    return permitted.judge(f"stress, {qualified_under}", hoop_stress_percent)


def earlier_edition(act: str) -> Reason:
    """Qualified to an edition before the one incorporated: may "weld", not "requalify" to it.

    Source: 49 CFR 192.227(a) (read).
    """
    return Choice.of({"weld"}, QUALIFIED).judge("use of an earlier edition", act)


def compressor_station(tested_by: str) -> Reason:
    """Station pipe and components need a welder whose test was "destructive".

    Source: 49 CFR 192.229(a) (memory).
    """
    return Choice.of({"destructive"}, STATION).judge("test of the welder", tested_by)


def _within(
    variable: str, last: date | None, until: date | None, day: date, basis: Basis
) -> Reason:
    if last is None or until is None:
        return Reason(variable, "none shown", "one in the time before", basis, NONCONFORMITY)
    inside = last <= day <= until
    verdict = CLEAR if inside else NONCONFORMITY
    return Reason(variable, f"{last}, welding on {day}", f"through {until}", basis, verdict)


def process_currency(
    last_used: date | None, last_tested: date | None, day: date, choices: Choices
) -> tuple[Reason, ...]:
    """Use of a process: within 6 calendar months, or a weld with it tested within 7 1/2.

    One of the two is enough: the milder verdict of the reasons answers, and only that one is
    returned where it is clear.

    Source: 49 CFR 192.229(b) (memory).
    """
    used_until = through(last_used, 6, choices) if last_used else None
    tested_until = through_seven_and_a_half(last_tested, choices) if last_tested else None
    used = _within("process used", last_used, used_until, day, PROCESS)
    tested = _within("weld with the process tested", last_tested, tested_until, day, PROCESS)
    clear = tuple(reason for reason in (used, tested) if reason.verdict == CLEAR)
    return clear or (used, tested)


def _intervals(days: Sequence[date], choices: Choices) -> list[Reason]:
    name = "interval between tested welds"
    return [
        _within(name, one, through_seven_and_a_half(one, choices), other, TWICE)
        for one, other in pairwise(days)
    ]


def _counts(days: Sequence[date], years: Sequence[int]) -> list[Reason]:
    counted = {year: sum(day.year == year for day in days) for year in years}
    return [
        Reason(
            f"tested welds in {year}",
            str(number),
            "2 or more",
            TWICE,
            CLEAR if number >= 2 else NONCONFORMITY,
        )
        for year, number in counted.items()
    ]


def twice_a_year(
    tests: Sequence[date], years: Sequence[int], choices: Choices
) -> tuple[Reason, ...]:
    """At least two accepted tested welds in each calendar year, not over 7 1/2 months apart.

    Ask it for years that are over. The interval that leads into a year counts with it.

    Source: 49 CFR 192.229(c)(1) (memory).
    """
    days = sorted(tests)
    near = [
        one
        for i, one in enumerate(days)
        if one.year in years or (i + 1 < len(days) and days[i + 1].year in years)
    ]
    return (*_counts(days, years), *_intervals(near, choices))


def weld_test_currency(
    tests: Sequence[date], day: date, hoop_stress_percent: float, choices: Choices
) -> tuple[Reason, ...]:
    """At 20 % SMYS or more: a weld tested and accepted within 6 calendar months before `day`.

    Or two a calendar year: the last within 7 1/2 months, no interval since the first test over
    that, and two in each year that is over (`twice_a_year`), or in the first year. A new accepted
    test renews the first of these after any gap, since the rule looks back six months only.

    Source: 49 CFR 192.229(c)(1) (secondary; the alternative from memory).
    """
    if hoop_stress_percent < 20:
        return (Reason("hoop stress", f"{hoop_stress_percent:.6g} % SMYS", "below 20 %", TESTED),)
    past = sorted(test for test in tests if test <= day)
    last = past[-1] if past else None
    six = _within("tested weld", last, through(last, 6, choices) if last else None, day, TESTED)
    if six.verdict == CLEAR or last is None:
        return (six,)
    until = through_seven_and_a_half(last, choices)
    now = _within("tested weld, two a year", last, until, day, TWICE)
    over = range(past[0].year, day.year) or [day.year]
    alternative = (now, *_counts(past, over), *_intervals(past, choices))
    return alternative if worst(alternative) == CLEAR else (six, *alternative)


def credit_for_joint(welders_on_joint: int) -> Reason:
    """A tested weld counts for a welder only as one entire weld by that welder.

    Source: 49 CFR 192.229(c), interpretation of 1995 (read). Raises InputError: no welder.
    """
    if welders_on_joint < 1:
        raise InputError("welders_on_joint", found=welders_on_joint, expected="1 or more")
    verdict = CLEAR if welders_on_joint == 1 else NONCONFORMITY
    return Reason("welders on the tested joint", str(welders_on_joint), "1", ENTIRE, verdict)


def appendix_c_requalification(
    last: date, day: date, each_year: bool, choices: Choices
) -> tuple[Reason, ...]:
    """Appendix C welders: requalified within 15 calendar months, and once each calendar year.

    Source: 49 CFR 192.229(d)(1) (memory).
    """
    yearly = CLEAR if each_year else NONCONFORMITY
    found = "yes" if each_year else "no"
    return (
        _within("requalification", last, through(last, 15, choices), day, REQUALIFIED),
        Reason("requalified in each calendar year", found, "yes", REQUALIFIED, yearly),
    )


def appendix_c_bend(longest_cracks_mm: Sequence[float]) -> Reason:
    """Root bend coupons of the basic test: it fails when two or more crack over 1/8 in.

    Cracks at the corners are not given. Four coupons are needed.

    Source: 49 CFR 192, Appendix C, I (read). Raises InputError: other than four coupons.
    """
    if len(longest_cracks_mm) != 4:
        raise InputError("coupons", found=len(longest_cracks_mm), expected="4")
    cracked = sum(crack > 3.175 + 1e-6 for crack in longest_cracks_mm)
    verdict = CLEAR if cracked < 2 else NONCONFORMITY
    return Reason("coupons cracked over 1/8 in", str(cracked), "up to 1", APPENDIX_C, verdict)


def appendix_c_diameter(nominal_in: float) -> Reason:
    """Nominal diameter (in) that the basic test of Appendix C covers: 12 in or less.

    NPS 12 (12.750 in) counts as 12: an interpretation.

    Source: 49 CFR 192, Appendix C, I (read).
    """
    return Range(0, 12, APPENDIX_C, "in").judge("nominal diameter", nominal_in)
