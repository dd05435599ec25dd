"""Is a production weld inside what a certificate qualifies? One reason for each variable."""

from __future__ import annotations

from dataclasses import replace

from dossier.codes.face import Choices
from dossier.codes.iso_6947 import position_or_blank
from dossier.codes.iso_9606_1_2012 import detail, dimensions, filler, process
from dossier.codes.iso_9606_1_2012.basis import CHOICES
from dossier.codes.iso_9606_1_2012.ranges import joined_range, qualified_range
from dossier.codes.readings import reading
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, HOLD, Choice, Qualified, Range, Reason, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Deposit


def covers(certificate: Certificate, weld: Weld, choices: Choices) -> tuple[Reason, ...]:
    """Reasons, one for each variable, for a weld against the deposit of the test that suits best.

    Clear, hold (a value is not recorded) or nonconformity. Dates are not asked.
    Source: ISO 9606-1:2012, 5.2 to 5.9. Raises InputError: a value that the code does not know.

    >>> from datetime import date
    >>> test = Certificate(
    ...     number="Q1", code="ISO 9606-1:2012", welded_on=date(2025, 3, 3), product="pipe",
    ...     weld_type="butt", positions=("PH",), od_mm=168.3, wall_mm=7.1, sides="single",
    ...     deposits=(Deposit(process="111", filler="E7018", backing="none", layers=3, root=True),),
    ... )
    >>> weld = Weld(process="111", product="pipe", weld_type="butt", position="PC", filler="E7018",
    ...             deposit_mm=8.0, od_mm=168.3, sides="single", backing="none", root=True)
    >>> [one.variable for one in covers(test, weld, {}) if one.verdict]
    ['position']
    """
    if not certificate.deposits:
        return (Reason("process", weld.process, "test without deposits", process.PROCESS, HOLD),)
    answers = [_judge(certificate, part, weld, choices) for part in certificate.deposits]
    return min(answers, key=lambda reasons: (worst(reasons), _open_points(reasons)))


def _open_points(reasons: tuple[Reason, ...]) -> int:
    return sum(reason.verdict != CLEAR for reason in reasons)


def _judge(
    certificate: Certificate, part: Deposit, weld: Weld, choices: Choices
) -> tuple[Reason, ...]:
    ranges = qualified_range(certificate, part, choices)
    reasons = [
        _worded(ranges, "process", weld.process),
        *_transfer(ranges, weld),
        _worded(ranges, "product", weld.product),
        *_diameter(ranges, certificate, weld, choices),
        _worded(ranges, "weld type", weld.weld_type),
        _group(ranges, weld),
        *_covering(ranges, weld),
    ]
    if weld.weld_type and weld.weld_type in ranges["weld type"]:  # type: ignore[operator]
        by_type = _fillet if weld.weld_type == "fillet" else _butt
        reasons += by_type(ranges, certificate, weld, choices)
    return tuple(reasons)


def _worded(ranges: Qualified, name: str, value: str | None) -> Reason:
    permitted = ranges[name]
    assert isinstance(permitted, Choice)  # noqa: S101 - worded variables have worded ranges
    reason = permitted.judge(name, value or None)
    return _unproved(reason, permitted.nothing)


def _numbered(ranges: Qualified, name: str, value: float | None) -> Reason:
    permitted = ranges[name]
    assert isinstance(permitted, Range)  # noqa: S101 - numeric variables have numeric ranges
    return _unproved(permitted.judge(name, value), permitted.nothing)


def _unproved(reason: Reason, nothing: str) -> Reason:
    """A range that is empty because the test record has a gap proves nothing: hold."""
    return replace(reason, verdict=HOLD) if nothing.endswith("not recorded") else reason


def _transfer(ranges: Qualified, weld: Weld) -> list[Reason]:
    if weld.process not in ("131", "135", "138"):
        return []
    return [_worded(ranges, "transfer", weld.transfer)]


def _diameter(
    ranges: Qualified, certificate: Certificate, weld: Weld, choices: Choices
) -> list[Reason]:
    if weld.product != "pipe":
        return []
    if certificate.product == "plate" and _rotates(weld, choices):
        return [_numbered(ranges, "outside diameter, rotating pipe", weld.od_mm)]
    return [_numbered(ranges, "outside diameter", weld.od_mm)]


def _rotates(weld: Weld, choices: Choices) -> bool:
    """Whether the position shows that the pipe turns; a flat weld on a pipe can only be turned."""
    shown = {"PA"}
    if reading(choices, CHOICES, "plate to pipe") == "position":
        shown |= {"PB", "PC", "PD"}
    return _position(weld) in shown


def _position(weld: Weld) -> str:
    return position_or_blank(weld.position, weld.direction)


def _placed(ranges: Qualified, name: str, weld: Weld) -> Reason:
    """The position; text that names none (6G without a direction) is shown and holds."""
    place = _position(weld)
    reason = _worded(ranges, name, place)
    return reason if place or not weld.position else replace(reason, found=weld.position)


def _group(ranges: Qualified, weld: Weld) -> Reason:
    if weld.process == "142" or weld.covering in ("none", "nm"):
        found = ranges["filler group"]
        return Reason("filler group", "no filler", "no filler needed", found.basis)
    return _worded(ranges, "filler group", filler.group_of(weld.filler_group, weld.filler))


def _covering(ranges: Qualified, weld: Weld) -> list[Reason]:
    recorded = weld.covering or ("none" if weld.process == "142" else "")
    try:
        word = filler.covering_of(recorded, weld.filler, weld.process)
    except InputError:  # free text of a register that names no type: it proves nothing
        return [replace(_worded(ranges, "covering", None), found=recorded)]
    reasons = [_worded(ranges, "covering", word)]
    tied = "covering, root without backing"
    bare_root = detail.weld_detail(weld.sides, weld.backing, weld.root) == "ss nb"
    # Without filler there is no type to be tied to; 5.2 lets 141 cover 142.
    if tied in ranges and bare_root and weld.weld_type != "fillet" and word != "none":
        reasons.append(_worded(ranges, tied, word))
    return reasons


def _fillet(
    ranges: Qualified, certificate: Certificate, weld: Weld, choices: Choices
) -> list[Reason]:
    del certificate, choices
    return [
        _numbered(ranges, "material thickness, fillet", weld.wall_mm),
        _placed(ranges, "position, fillet", weld),
        _worded(ranges, "layers, fillet", detail.layer_word(weld.layers)),
    ]


def _butt(
    ranges: Qualified, certificate: Certificate, weld: Weld, choices: Choices
) -> list[Reason]:
    reasons = [
        _deposit(ranges, certificate, weld, choices),
        _placed(ranges, "position", weld),
        _worded(ranges, "weld detail", detail.weld_detail(weld.sides, weld.backing, weld.root)),
    ]
    if weld.weld_type == "branch" and "branch angle" in ranges:
        reasons.append(_numbered(ranges, "branch angle", weld.branch_angle_deg))
    return reasons


def _deposit(ranges: Qualified, certificate: Certificate, weld: Weld, choices: Choices) -> Reason:
    own = _numbered(ranges, "deposited thickness", weld.deposit_mm)
    deposit_mm, wall_mm = weld.deposit_mm, weld.wall_mm
    if own.verdict == CLEAR or deposit_mm is None or wall_mm is None or deposit_mm >= wall_mm:
        return own
    if reading(choices, CHOICES, "deposit below range") == "joint":
        permitted = ranges["deposited thickness"]
        assert isinstance(permitted, Range)  # noqa: S101
        if not permitted.nothing and deposit_mm < permitted.low and wall_mm in permitted:
            found = f"{deposit_mm:g} mm in a joint of {wall_mm:g} mm"
            return replace(own, found=found, verdict=CLEAR)
    if reading(choices, CHOICES, "multi-process join") == "sum" and len(certificate.deposits) > 1:
        together = joined_range(certificate)
        if deposit_mm in together and wall_mm in together:
            found = f"{deposit_mm:g} mm in a joint of {wall_mm:g} mm, all processes of the test"
            return Reason("deposited thickness", found, str(together), dimensions.BUTT_DEPOSIT)
    return own
