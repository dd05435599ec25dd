"""Which production welds a welder's test allows: API 1104, 21st edition, section 6."""

from __future__ import annotations

from collections.abc import Callable
from math import inf

from dossier.codes.api_1104_21.fillers import group_name, welder_filler_groups
from dossier.codes.api_1104_21.settings import (
    basis,
    choose,
    nominal_od,
    nominal_wall,
)
from dossier.codes.face import Choices
from dossier.errors import InputError
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
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Deposit

NOT_RECORDED = "not recorded on the certificate"
PROCESS = basis("6.2.2 a), 6.3.2 a)", "read")
DIRECTION = basis("6.2.2 b), 6.3.2 b)", "read")
DIAMETER = basis("6.2.2 d)", "read")
WALL = basis("6.2.2 e)", "read")
POSITION = basis("6.2.2 f)", "memory")
JOINT = basis("6.2.2 f), g)", "memory")
MULTIPLE = basis("6.3.2", "read")
MULTIPLE_TEST = basis("6.3.1", "read")
RESULT = basis("6.4 to 6.6", "memory")

ROLLED, HORIZONTAL, VERTICAL, INCLINED = (
    "rolled",
    "fixed, axis horizontal",
    "fixed, axis vertical",
    "fixed, axis inclined 45°",
)
_AXES = {
    ROLLED: ("PA", "1G", "1GR", "1F", "1FR", "2FR", "rolled", "roll"),
    HORIZONTAL: ("PH", "PJ", "PK", "5G", "5F", "fixed horizontal"),
    VERTICAL: ("PC", "PB", "PD", "2G", "2F", "4F", "fixed vertical"),
    INCLINED: ("H-L045", "J-L045", "K-L045", "6G", "6F", "fixed 45", "fixed inclined"),
}
_AXIS_OF = {name.lower(): axis for axis, names in _AXES.items() for name in names}


def axis(position: str) -> str | None:
    """How the pipe lies in a welding position; None for a position not known.

    The standard speaks of rolled and fixed pipe and of its axis; ISO 6947 and ASME symbols are
    translated. PB and PD on pipe are taken with the axis upright.

    Source: API 1104, 21st edition, 6.2.1 and 6.2.2 f) (memory).

    >>> axis("6G"), axis("PJ"), axis("2G"), axis("XX")
    ('fixed, axis inclined 45°', 'fixed, axis horizontal', 'fixed, axis vertical', None)
    """
    return _AXIS_OF.get(position.strip().lower())


def od_group(od_mm: float) -> Range:
    """Outside diameters (mm) that stand in one group with `od_mm` in single qualification.

    Below 2.375 in, from 2.375 in through 12.750 in, above 12.750 in.

    Source: API 1104, 21st edition, 6.2.2 d) (read). Raises InputError: od_mm <= 0.

    >>> str(od_group(114.3)), 323.85 in od_group(114.3), 323.85 in od_group(406.4)
    ('60.33 to 323.85 mm', True, False)
    """
    od = nominal_od(od_mm) or 0.0
    if not od > 0:
        raise InputError("od_mm", found=od_mm, expected="more than 0 mm")
    middle = Range(60.325, 323.85, DIAMETER)
    if od in middle:
        return middle
    if od < 60.325:
        return Range(0, 60.325, DIAMETER, high_open=True)
    return Range(323.85, inf, DIAMETER, low_open=True)


def wall_group(wall_mm: float) -> Range:
    """Wall thicknesses (mm) that stand in one group with `wall_mm` in single qualification.

    Below 0.188 in, from 0.188 in through 0.750 in, above 0.750 in.

    Source: API 1104, 21st edition, 6.2.2 e) (read). Raises InputError: wall_mm <= 0.

    >>> str(wall_group(7.1)), str(wall_group(21.15))
    ('4.78 to 19.05 mm', 'more than 19.05 mm')
    """
    wall = nominal_wall(wall_mm) or 0.0
    if not wall > 0:
        raise InputError("wall_mm", found=wall_mm, expected="more than 0 mm")
    middle = Range(4.7752, 19.05, WALL)
    if wall in middle:
        return middle
    if wall < 4.7752:
        return Range(0, 4.7752, WALL, high_open=True)
    return Range(19.05, inf, WALL, low_open=True)


def multiple_test(certificate: Certificate) -> tuple[Reason, ...]:
    """Reasons for a test being the butt and branch tests of multiple qualification.

    Butt weld on 6.625 in or larger with a wall of 0.250 in or more, axis horizontal or inclined
    up to 45 degrees, no backing strip, and the full-size branch test.

    Source: API 1104, 21st edition, 6.3.1 (read in the 20th; the backing strip from memory).
    """
    lie = [axis(position) for position in certificate.positions]
    fixed = Choice.of({HORIZONTAL, INCLINED}, MULTIPLE_TEST)
    found = lie[0] if len(set(lie)) == 1 else None
    if lie and None not in lie and all(one in fixed for one in lie if one):
        found = HORIZONTAL if HORIZONTAL in lie else INCLINED
    branch = "yes" if certificate.branch else "no"
    strip = {_backing(part.backing) or "none" for part in certificate.deposits}
    return (
        Choice.of({"yes"}, MULTIPLE_TEST).judge("branch test", branch),
        Range(168.275, inf, MULTIPLE_TEST).judge("outside diameter", nominal_od(certificate.od_mm)),
        Range(6.35, inf, MULTIPLE_TEST).judge("wall", nominal_wall(certificate.wall_mm)),
        fixed.judge("position", found),
        Choice.of({"none"}, MULTIPLE_TEST).judge("backing", ", ".join(sorted(strip)) or "none"),
    )


def is_multiple(certificate: Certificate) -> bool:
    """Whether a certificate shows a multiple qualification; else it counts as a single one."""
    return certificate.weld_type in ("butt", "") and worst(multiple_test(certificate)) == CLEAR


def multiple_diameters(test_od_mm: float) -> Range:
    """Outside diameters (mm) that a multiple qualification covers.

    Any from a test on 12.750 in or larger; up to the diameter tested from a smaller one. Diameters
    are compared to a tenth of a millimetre, since 168.275 mm is also written 168.3 mm.

    Source: API 1104, 21st edition, 6.3.2 (read; the limit of the smaller test from memory).

    >>> str(multiple_diameters(323.9)), str(multiple_diameters(168.275))
    ('any', 'up to 168.28 mm')
    """
    od = nominal_od(test_od_mm) or 0.0
    if od >= 323.85 - 1e-6:
        return Range(0, inf, MULTIPLE)
    return Range(0, od, basis("6.3.2", "memory"), step=0.06)


def _backing(text: str) -> str | None:
    """Backing as far as it is a change of joint design: a gas or weld metal is no strip."""
    return {"": None, "gas": "none", "weld metal": "none"}.get(text, text)


def _single_positions(certificate: Certificate, choices: Choices) -> Choice:
    lies = {axis(position) for position in certificate.positions} - {None}
    if INCLINED in lies:
        return Choice(frozenset({ROLLED, HORIZONTAL, VERTICAL, INCLINED}), POSITION)
    allowed = {lie for lie in lies if lie}
    if allowed and choose(choices, "fixed test covers rolled") == "yes":
        allowed.add(ROLLED)
    return Choice(frozenset(allowed), POSITION, NOT_RECORDED)


def _single_joints(certificate: Certificate, choices: Choices) -> Choice:
    if not certificate.weld_type:
        return Choice(frozenset(), JOINT, NOT_RECORDED)
    inclined = any(axis(position) == INCLINED for position in certificate.positions)
    wide = choose(choices, "butt test covers lap fillet") == "same position"
    if certificate.weld_type == "butt" and (inclined or wide):
        return Choice.of({"butt", "fillet"}, JOINT)
    return Choice.of({certificate.weld_type}, JOINT)


def _single(certificate: Certificate, deposit: Deposit, choices: Choices) -> Qualified:
    od, wall = certificate.od_mm, certificate.wall_mm
    backing = _backing(deposit.backing)
    return {
        "outside diameter": od_group(od) if od else Range.none(DIAMETER, NOT_RECORDED),
        "wall": wall_group(wall) if wall else Range.none(WALL, NOT_RECORDED),
        "position": _single_positions(certificate, choices),
        "joint": _single_joints(certificate, choices),
        "backing": Choice(frozenset({backing} if backing else ()), JOINT, NOT_RECORDED),
    }


def _multiple(certificate: Certificate) -> Qualified:
    return {
        "outside diameter": multiple_diameters(certificate.od_mm or 0.0),
        "wall": Range(0, inf, MULTIPLE),
        "position": Choice(None, MULTIPLE),
        "joint": Choice(None, MULTIPLE),
        "backing": Choice(None, MULTIPLE),
    }


def qualified_range(certificate: Certificate, deposit: Deposit, choices: Choices) -> Qualified:
    """What one deposit of a welder's test qualifies, variable by variable.

    A test that meets 6.3.1, full-size branch test included, is a multiple qualification; any
    other counts as a single one. Lengths in mm.

    Source: API 1104, 21st edition, 6.2.2 and 6.3.2.
    """
    group = group_name(deposit.filler, deposit.filler_group)
    direction = {certificate.direction} if certificate.direction else set()
    head: Qualified = {
        "process": Choice.of({deposit.process}, PROCESS),
        "direction": Choice(frozenset(direction), DIRECTION, NOT_RECORDED),
        "filler group": (
            welder_filler_groups(group)
            if group
            else Choice(frozenset(), basis("6.2.2 c), 6.3.2 c)"), NOT_RECORDED)
        ),
    }
    multiple = is_multiple(certificate)
    return head | (_multiple(certificate) if multiple else _single(certificate, deposit, choices))


def _judge(variable: str, permitted: Range | Choice, value: str | float | None) -> Reason:
    """A value against its range; what the certificate does not record is held, not refused."""
    if isinstance(permitted, Range):
        if value is None and str(permitted) == "any":
            return Reason(variable, "not recorded", "any", permitted.basis)
        worse = HOLD if permitted.nothing else NONCONFORMITY
        return permitted.judge(variable, value if isinstance(value, float | int) else None, worse)
    if permitted.values is None:
        return Reason(variable, str(value or "not recorded"), "any", permitted.basis)
    return permitted.judge(
        variable,
        value if isinstance(value, str) else None,
        NONCONFORMITY if permitted.values else HOLD,
    )


def _direction(permitted: Range | Choice, weld: Weld) -> Reason:
    """The direction binds only where the weld runs vertically."""
    level = axis(weld.position) in (ROLLED, VERTICAL)
    if level and not weld.direction:
        return Reason("direction", "not vertical", "no limit", permitted.basis)
    return _judge("direction", permitted, weld.direction or None)


def _root(certificate: Certificate, deposit: Deposit, weld: Weld) -> tuple[Reason, ...]:
    """In a test that combined processes, the one that made no root shows none."""
    if len(certificate.deposits) < 2 or deposit.root is not False:
        return ()
    worse = HOLD if weld.root is None else NONCONFORMITY
    found = {None: "not recorded", True: "root run", False: "no root run"}[weld.root]
    combination = basis("6.2.2 a)", "memory")
    verdict = CLEAR if weld.root is False else worse
    return (Reason("root run", found, "no root run with this process", combination, verdict),)


_Ranges = Callable[[Certificate, Deposit, Choices], Qualified]


def _against(
    certificate: Certificate, deposit: Deposit, weld: Weld, permitted: Qualified
) -> tuple[Reason, ...]:
    values: dict[str, str | float | None] = {
        "process": weld.process or None,
        "filler group": group_name(weld.filler, weld.filler_group),
        "outside diameter": nominal_od(weld.od_mm),
        "wall": nominal_wall(weld.wall_mm),
        "position": axis(weld.position),
        "joint": weld.weld_type or None,
        "backing": _backing(weld.backing),
    }
    reasons = [
        _direction(allowed, weld)
        if variable == "direction"
        else _judge(variable, allowed, values[variable])
        for variable, allowed in permitted.items()
    ]
    return (*reasons, *_root(certificate, deposit, weld))


def judge_against(
    certificate: Certificate, weld: Weld, choices: Choices, ranges: _Ranges
) -> tuple[Reason, ...]:
    """Reasons for a weld against a test whose deposits qualify `ranges`; the best deposit answers.

    Shared by the editions. Source: API 1104, 21st edition, 6.2.2 and 6.3.2.
    """
    passed = Choice.of({"passed"}, RESULT).judge("test result", certificate.result or None)
    parts = certificate.deposits
    same = [part for part in parts if part.process == weld.process] or parts
    if not same:
        nothing = Choice(frozenset(), PROCESS, NOT_RECORDED)
        return (passed, nothing.judge("process", weld.process or None, HOLD))
    answers = [
        _against(certificate, part, weld, ranges(certificate, part, choices)) for part in same
    ]
    best = min(answers, key=lambda reasons: (worst(reasons), sum(r.verdict for r in reasons)))
    return (passed, *best)


def covers(certificate: Certificate, weld: Weld, choices: Choices) -> tuple[Reason, ...]:
    """Reasons, one for each variable, for a weld against a welder's test.

    Where the test piece holds several deposits the best one answers. The joint of several
    processes is covered when each of its deposits is.

    Source: API 1104, 21st edition, 6.2.2 and 6.3.2.
    """
    return judge_against(certificate, weld, choices, qualified_range)
