"""49 CFR 192.241, 192.243: which girth welds of gas lines are examined, and the record of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil

from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Basis, Reason

STANDARD = "49 CFR 192"
NEEDED = Basis(STANDARD, "2015", "192.241(b)", "read")
APPENDIX_A = Basis(STANDARD, "2015", "192.241(c)", "read")
METHOD = Basis(STANDARD, "2015", "192.243(a)", "read")
SHARES = Basis(STANDARD, "2015", "192.243(d)", "read")
EACH_WELDER = Basis(STANDARD, "2015", "192.243(e)", "read")
RECORD = Basis(STANDARD, "2015", "192.243(f)", "read")

# Zone: share of each day's field butt welds, and the share where some are impracticable.
SHARE_PERCENT = {"class 1": 10, "class 2": 15, "class 3, 4 or crossing": 100, "tie-in": 100}
RELIEF_PERCENT = {"class 3, 4 or crossing": 90}
RECORD_FIELDS = (
    "location", "girth_welds_made", "number_tested", "number_rejected", "disposition_of_rejects",
)  # fmt: skip
RETENTION = "life_of_pipeline"


@dataclass(frozen=True, slots=True, kw_only=True)
class GirthWeld:
    """What decides whether a weld must be examined."""

    hoop_stress_percent: float  # of SMYS, at the maximum pressure
    nominal_in: float
    visually_approved: bool  # by a qualified welding inspector
    few_and_impractical: bool = False  # so few welds that examination is impractical


def examination_needed(weld: GirthWeld) -> Reason:
    """Whether a weld needs nondestructive testing: its verdict is clear where it may be left out.

    Needed at 20 % of SMYS or more, unless approved by eye and either below NPS 6 or, below 40 %,
    of so few that testing is impractical.

    Source: 49 CFR 192.241(b) (read).
    """
    found = f"{weld.hoop_stress_percent:.6g} % SMYS, NPS {weld.nominal_in:g}"
    if weld.hoop_stress_percent < 20:
        return Reason("need of examination", found, "none below 20 % SMYS", NEEDED)
    small = weld.nominal_in < 6
    few = weld.hoop_stress_percent < 40 and weld.few_and_impractical
    if weld.visually_approved and (small or few):
        return Reason("need of examination", found, "visual approval is enough", NEEDED)
    return Reason("need of examination", found, "examined", NEEDED, NONCONFORMITY)


def _share(zone: str) -> int:
    if zone not in SHARE_PERCENT:
        raise InputError("zone", found=zone, expected=", ".join(SHARE_PERCENT))
    return SHARE_PERCENT[zone]


def least_tests(zone: str, welds_that_day: int, impracticable: int = 0) -> int:
    """Least number of a day's field butt welds to examine around their whole circumference.

    Welds that are impracticable one by one may be left out in classes 3 and 4 and at crossings,
    down to 90 % of the day. Tie-ins have no relief.

    Source: 49 CFR 192.243(d) (read). Raises InputError: an unknown zone, a negative number.

    >>> least_tests("class 1", 41), least_tests("class 3, 4 or crossing", 40, 5)
    (5, 36)
    """
    if welds_that_day < 0 or not 0 <= impracticable <= welds_that_day:
        raise InputError("welds", found=(welds_that_day, impracticable), expected="0 or more")
    percent = _share(zone)
    relief = RELIEF_PERCENT.get(zone)
    if relief is None:
        return ceil(welds_that_day * percent / 100)
    return max(ceil(welds_that_day * relief / 100), welds_that_day - impracticable)


def day_examined(zone: str, welds: int, tested: int, impracticable: int = 0) -> Reason:
    """A day's examined field butt welds against the least number.

    Source: 49 CFR 192.243(d) (read). Raises InputError: as `least_tests`.
    """
    least = least_tests(zone, welds, impracticable)
    verdict = CLEAR if tested >= least else NONCONFORMITY
    return Reason(
        "welds examined that day", f"{tested} of {welds}", f"from {least}", SHARES, verdict
    )


def each_welder(welds: int, tested: int, *, isolated: bool = False) -> Reason:
    """A sample of each welder's work each day, unless it is isolated from the main welding.

    Source: 49 CFR 192.243(e) (read).
    """
    met = tested > 0 or welds == 0 or isolated
    found = f"{tested} of {welds}" + (", isolated" if isolated else "")
    verdict = CLEAR if met else NONCONFORMITY
    return Reason("welder's welds examined that day", found, "from 1", EACH_WELDER, verdict)


def method_allowed(method: str) -> Reason:
    """Any process that clearly shows defects, trepanning apart.

    Source: 49 CFR 192.243(a) (read).
    """
    verdict = NONCONFORMITY if method == "trepanning" else CLEAR
    return Reason("method", method, "any but trepanning", METHOD, verdict)


def accepted_by_appendix_a(imperfection: str) -> Reason:
    """Appendix A of API 1104 may accept a weld that section 9 rejects, but never a crack.

    Source: 49 CFR 192.241(c) (read).
    """
    crack = imperfection == "crack"
    verdict = NONCONFORMITY if crack else CLEAR
    return Reason("accepted by Appendix A", imperfection, "no crack", APPENDIX_A, verdict)


def missing_of_record(stated: Iterable[str]) -> tuple[str, ...]:
    """Fields of the examination record that are not stated; it is kept for the line's life.

    Source: 49 CFR 192.243(f) (read).

    >>> missing_of_record(["location", "girth_welds_made", "number_tested", "number_rejected"])
    ('disposition_of_rejects',)
    """
    have = set(stated)
    return tuple(field for field in RECORD_FIELDS if field not in have)
