"""What a procedure test qualifies and whether a WPS stays inside its tests: section 5.4.

The clause numbers of 5.4.2 are known from memory, the subjects from pages that list them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import inf

from dossier.codes.api_1104_21.fillers import group_name
from dossier.codes.api_1104_21.settings import basis, nominal_wall
from dossier.codes.api_1104_21.welders import ROLLED, axis, wall_group
from dossier.codes.face import Choices
from dossier.errors import InputError
from dossier.records.procedures import Pqr, PqrPass, Procedure, ProcedurePass, Span
from dossier.records.verdicts import (
    CLEAR,
    HOLD,
    NONCONFORMITY,
    Choice,
    Qualified,
    Range,
    Reason,
    worst,
)
from dossier.units import convert

NOT_RECORDED = "not recorded in the test"
PROCESS = basis("5.4.2.1")
MATERIAL = basis("5.4.2.2", "read")
GRADE_BY_GRADE = basis("5.4.2.2", "secondary")
JOINT = basis("5.4.2.3")
POSITION = basis("5.4.2.4")
WALL = basis("5.4.2.5", "secondary")
FILLER = basis("5.4.2.6", "secondary")
ELECTRICAL = basis("5.4.2.7")
TIME = basis("5.4.2.8", "secondary")
DIRECTION = basis("5.4.2.9", "secondary")
GAS = basis("5.4.2.10", "secondary")
SPEED = basis("5.4.2.12", "secondary")
PREHEAT = basis("5.4.2.13", "secondary")
PWHT = basis("5.4.2.14", "secondary")

_KSI42, _KSI65 = convert(42000, "psi", "MPa"), convert(65000, "psi", "MPa")
# Specified strengths as the metric grade names write them, and the psi figure they stand for.
_SAME_SMYS = (
    (_KSI42, (290.0, 289.6, _KSI42)),
    (_KSI65, (450.0, 448.0, 448.1, 448.2, _KSI65)),
)


def nominal_smys(smys_mpa: float) -> float:
    """The strength (MPa) that a recorded one stands for: 290 MPa is X42, 450 MPa is X65.

    A converted figure that was cut to three decimals stands for the psi figure as well.

    >>> round(nominal_smys(290), 3), nominal_smys(360)
    (289.58, 360)
    """
    for meant, written in _SAME_SMYS:
        if any(abs(smys_mpa - figure) <= 1e-3 for figure in written):
            return meant
    return smys_mpa


def smys_group(smys_mpa: float) -> Range:
    """Specified minimum yield strengths (MPa) that a test on `smys_mpa` qualifies.

    42,000 psi or less; above that and below 65,000 psi; from 65,000 psi each grade on its own.
    Within the highest group strengths are compared to 5 MPa, since one grade is written both in
    ksi and in rounded MPa.

    Source: API 1104, 21st edition, 5.4.2.2 (read; the highest group from a page that reports it).
    Raises InputError: smys_mpa <= 0.

    >>> 359 in smys_group(414), nominal_smys(290) in smys_group(414), 450 in smys_group(485)
    (True, False, False)
    """
    if not smys_mpa > 0:
        raise InputError("smys_mpa", found=smys_mpa, expected="more than 0 MPa")
    smys = nominal_smys(smys_mpa)
    low = Range(0, _KSI42, MATERIAL, "MPa")
    if smys in low:
        return low
    middle = Range(_KSI42, _KSI65, MATERIAL, "MPa", low_open=True, high_open=True)
    if smys in middle:
        return middle
    return Range(smys, smys, GRADE_BY_GRADE, "MPa", step=5)


def _each(passes: Iterable[PqrPass | ProcedurePass], name: str) -> tuple[str, ...]:
    """The distinct recorded values of one field, in order of welding."""
    values = (getattr(one, name) for one in passes)
    return tuple(dict.fromkeys(value for value in values if value))


def _fillers(passes: Iterable[PqrPass | ProcedurePass]) -> tuple[str, ...]:
    names = (group_name(one.filler, one.filler_group) for one in passes)
    return tuple(dict.fromkeys(name for name in names if name))


def _second_bead(passes: Sequence[PqrPass]) -> float | None:
    """Minutes from the end of the root to the start of the second bead, as measured."""
    roots = {one.number for one in passes if one.kind == "root"}
    later = [one for one in passes if one.kind != "root" and roots]
    return later[0].since_last_min if later else None


def _roll(position: str) -> str | None:
    lie = axis(position)
    return None if lie is None else (ROLLED if lie == ROLLED else "fixed")


def procedure_range(pqr: Pqr, choices: Choices) -> Qualified:
    """What one procedure test qualifies, variable by variable. Outside diameter does not bind.

    Source: API 1104, 21st edition, 5.4.2 (see each basis).
    """
    del choices  # no named reading bears on the ranges themselves
    time = _second_bead(pqr.passes)
    place, wall = _roll(pqr.position), pqr.wall_mm
    groove = pqr.groove.kind if pqr.groove else ""
    heat = "none" if pqr.pwht is None else "post-weld heat treated"
    none = NOT_RECORDED
    gases = _each(pqr.passes, "gas")
    return {
        "process": Choice(frozenset(_each(pqr.passes, "process")), PROCESS, none),
        "yield strength": (
            smys_group(pqr.smys_mpa) if pqr.smys_mpa else Range.none(MATERIAL, none, "MPa")
        ),
        "joint design": Choice(frozenset({groove} if groove else ()), JOINT, none),
        "position": Choice(frozenset({place} if place else ()), POSITION, none),
        "wall": (_wall(wall)) if wall else Range.none(WALL, none),
        "filler group": Choice(frozenset(_fillers(pqr.passes)), FILLER, none),
        "current": Choice(frozenset(_each(pqr.passes, "current")), ELECTRICAL, none),
        "root to second bead": (
            Range(0, time, TIME, "min") if time is not None else Range.none(TIME, none, "min")
        ),
        "direction": Choice(frozenset(_each(pqr.passes, "direction")), DIRECTION, none),
        "shielding gas": Choice(frozenset(gases or {"none"}), GAS, none),
        "preheat": (
            Range(pqr.preheat_c, inf, PREHEAT, "°C")
            if pqr.preheat_c is not None
            else Range.none(PREHEAT, none, "°C")
        ),
        "heat treatment": Choice(frozenset({heat}), PWHT),
    }


def _wall(wall_mm: float) -> Range:
    group = wall_group(wall_mm)
    return Range(group.low, group.high, WALL, low_open=group.low_open, high_open=group.high_open)


def _judge(variable: str, permitted: Range | Choice, value: str | float | None) -> Reason:
    """A value against its range; what the test does not record is held, not refused."""
    if isinstance(permitted, Range):
        worse = HOLD if permitted.nothing else NONCONFORMITY
        return permitted.judge(variable, value if isinstance(value, float | int) else None, worse)
    worse = NONCONFORMITY if permitted.values else HOLD
    return permitted.judge(variable, value if isinstance(value, str) else None, worse)


def _all_of(variable: str, permitted: Range | Choice, values: Iterable[str]) -> Reason:
    """One reason for several values: each must be permitted."""
    found = tuple(values)
    if not found or not isinstance(permitted, Choice):
        return _judge(variable, permitted, None)
    outside = [value for value in found if value not in permitted]
    worse = HOLD if not permitted.values else NONCONFORMITY
    verdict = worse if outside else CLEAR
    return Reason(variable, ", ".join(found), str(permitted), permitted.basis, verdict)


def _order(passes: Iterable[PqrPass | ProcedurePass]) -> tuple[str, ...]:
    """Processes in the order welded, each run of one process once."""
    return tuple(process for process, _ in groupby(one.process for one in passes) if process)


def _sequence(wps: Procedure, pqr: Pqr) -> Reason:
    """A combination of processes is qualified in the order in which it was tested."""
    asked, tested = _order(wps.passes), _order(pqr.passes)
    verdict = HOLD if not asked or not tested else CLEAR if asked == tested else NONCONFORMITY
    found, permitted = (" then ".join(order) for order in (asked, tested))
    return Reason(
        "order of processes", found or "not recorded", permitted or NOT_RECORDED, PROCESS, verdict
    )


def _classification(wps: Procedure, pqr: Pqr) -> tuple[Reason, ...]:
    """From 65,000 psi a change of filler classification is essential, not only of group."""
    if pqr.smys_mpa is None or nominal_smys(pqr.smys_mpa) < _KSI65 - 1e-6:
        return ()
    tested = Choice(frozenset(_each(pqr.passes, "filler")), basis("5.4.2.6 b)"), NOT_RECORDED)
    return (_all_of("filler classification", tested, _each(wps.passes, "filler")),)


def _time(wps: Procedure) -> float | None:
    later = [one for one in wps.passes if one.kind != "root"]
    return later[0].within_min if later else None


def _procedural(wps: Procedure, pqr: Pqr, choices: Choices) -> tuple[Reason, ...]:
    """Reasons of the variables that must all stand in one and the same test."""
    permitted = procedure_range(pqr, choices)
    groove = wps.groove.kind if wps.groove else None
    heat = "none" if wps.pwht is None else "post-weld heat treated"
    single_bead = len(wps.passes) == 1 and len(pqr.passes) == 1
    time = (
        Reason("root to second bead", "one bead", "no limit", TIME)
        if single_bead
        else _judge("root to second bead", permitted["root to second bead"], _time(wps))
    )
    return (
        _all_of("process", permitted["process"], _each(wps.passes, "process")),
        _sequence(wps, pqr),
        _judge("joint design", permitted["joint design"], groove),
        _all_of("filler group", permitted["filler group"], _fillers(wps.passes)),
        *_classification(wps, pqr),
        _all_of("current", permitted["current"], _each(wps.passes, "current")),
        time,
        _all_of("direction", permitted["direction"], _each(wps.passes, "direction")),
        _all_of("shielding gas", permitted["shielding gas"], _each(wps.passes, "gas") or ("none",)),
        _judge("preheat", permitted["preheat"], wps.preheat_min_c),
        _judge("heat treatment", permitted["heat treatment"], heat),
    )


@dataclass(frozen=True, slots=True)
class _Cell:
    """One combination that a WPS claims: a wall group, a strength, a position."""

    wall: float
    smys: float
    position: str


def _walls(span: Span | None) -> tuple[float, ...] | None:
    """One wall of each group that a span reaches into; None where an end is not recorded."""
    if span is None or span.low is None or span.high is None:
        return None
    low, high = nominal_wall(span.low) or 0.0, nominal_wall(span.high) or 0.0
    inner = [w for w in (4.7752, 19.05 + 1e-3) if low < w < high]
    return tuple(sorted({low, *inner, high}))


def _strengths(span: Span | None) -> tuple[float, ...] | None:
    """The ends of a span of strengths, and one inside each group between them."""
    if span is None or span.low is None or span.high is None:
        return None
    low, high = nominal_smys(span.low), nominal_smys(span.high)
    inner = [s for s in (_KSI42 + 1e-3, _KSI65) if low < s < high]
    return tuple(sorted({low, *inner, high}))


def _supported(cell: _Cell, tests: Sequence[Qualified]) -> bool:
    def held(permitted: Range | Choice, value: float | str) -> bool:
        if isinstance(permitted, Range):
            return isinstance(value, float | int) and value in permitted
        return isinstance(value, str) and value in permitted

    return any(
        held(test["wall"], cell.wall)
        and held(test["yield strength"], cell.smys)
        and held(test["position"], cell.position)
        for test in tests
    )


def _ranges(wps: Procedure, tests: Sequence[Qualified]) -> tuple[Reason, ...]:
    """Wall, strength and position of the WPS against the tests together."""
    walls, strengths = _walls(wps.wall_mm), _strengths(wps.smys_mpa)
    places = [_roll(one) for one in wps.positions]
    named: tuple[tuple[str, Sequence[float] | Sequence[str | None] | None], ...] = (
        ("wall", walls),
        ("yield strength", strengths),
        ("position", places or None),
    )
    reasons = [_together(variable, values, tests) for variable, values in named]
    if worst(reasons) > CLEAR or walls is None or strengths is None:
        return tuple(reasons)
    cells = [_Cell(w, s, p) for w in walls for s in strengths for p in places if p]
    gaps = [cell for cell in cells if not _supported(cell, tests)]
    found = "; ".join(f"wall {c.wall:.6g} mm, {c.smys:.6g} MPa, {c.position}" for c in gaps)
    return (
        *reasons,
        Reason(
            "combination of wall, strength and position",
            found or "each tested",
            "one test for each combination",
            basis("5.4.2"),
            NONCONFORMITY if gaps else CLEAR,
        ),
    )


def _together(
    variable: str,
    values: Sequence[float] | Sequence[str | None] | None,
    tests: Sequence[Qualified],
) -> Reason:
    permitted = " or ".join(dict.fromkeys(str(test[variable]) for test in tests))
    rests_on = tests[0][variable].basis
    if values is None or None in values:
        return Reason(variable, "not recorded", permitted, rests_on, HOLD)
    words = [_judge(variable, tests[0][variable], value).found for value in values]
    judged = [
        min(_judge(variable, test[variable], value).verdict for test in tests) for value in values
    ]
    return Reason(variable, ", ".join(words), permitted, rests_on, max(judged))


def supports(pqrs: Sequence[Pqr], wps: Procedure, choices: Choices) -> tuple[Reason, ...]:
    """Reasons, one for each variable of a WPS, against its procedure tests together.

    Process, filler, current, times, direction, gas, preheat and heat treatment must stand in one
    test; the walls, strengths and positions are the sum of all tests that agree in these. Each
    combination of wall group, strength group and position needs its own test.

    Source: API 1104, 21st edition, 5.4.2 (see each basis).
    """
    if not pqrs:
        return (Reason("procedure tests", "none", "at least one", basis("5.1"), NONCONFORMITY),)
    answers = [(_procedural(wps, pqr, choices), pqr) for pqr in pqrs]
    least = min(worst(reasons) for reasons, _ in answers)
    agreeing = [(reasons, pqr) for reasons, pqr in answers if worst(reasons) == least]
    best = min(agreeing, key=lambda answer: sum(reason.verdict for reason in answer[0]))[0]
    tests = [procedure_range(pqr, choices) for _, pqr in agreeing]
    return (*best, *_ranges(wps, tests))


def dissimilar_strength(smys_one_mpa: float, smys_other_mpa: float) -> Range:
    """Strengths (MPa) of which one must have been tested to join two members: the higher group.

    Source: API 1104, 21st edition, 5.4.2.2 (secondary).

    >>> 485 in dissimilar_strength(485, 360), 360 in dissimilar_strength(485, 360)
    (True, False)
    """
    return smys_group(max(smys_one_mpa, smys_other_mpa))


def travel_speed(actual_mm_min: float, stated: Span) -> Reason:
    """Speed of travel in mm/min against the range that the qualified procedure states.

    Source: API 1104, 21st edition, 5.4.2.12 (secondary). Raises InputError: a range without both
    ends.

    >>> str(travel_speed(360, Span(low=200, high=350)).verdict)
    'nonconformity'
    """
    if stated.low is None or stated.high is None:
        raise InputError("stated", found="an open end", expected="both ends of the range, mm/min")
    return Range(stated.low, stated.high, SPEED, "mm/min").judge("speed of travel", actual_mm_min)
