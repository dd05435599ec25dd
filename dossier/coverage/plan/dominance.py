"""Which hypothetical tests need not be looked at: another qualifies all that they do.

Ranges are those of the code itself. A code judges variable by variable against these ranges
(`codes/face.py`), so a test whose every range lies inside that of another covers no weld more.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from dossier.codes.editions import welder_code
from dossier.codes.face import Choices
from dossier.coverage.plan.coupons import effort, pieces
from dossier.errors import InputError
from dossier.records.verdicts import Choice, Qualified, Range
from dossier.records.welders import Certificate

Limits = tuple[tuple[bool, Qualified], ...]  # for each deposit: whether it holds the root, ranges


def limits_of(certificate: Certificate, choices: Choices) -> Limits | None:
    """What each deposit qualifies, by the code; None for a test that the code does not know."""
    code = welder_code(certificate.code)
    try:
        return tuple(
            (part.root is not False, code.qualified_range(certificate, part, choices))
            for part in certificate.deposits
        )
    except InputError:
        return None


def inside(inner: Limits, outer: Limits) -> bool:
    """Whether every deposit of one test qualifies no more than some deposit of the other."""
    return all(
        any(root == other and _ranges_inside(own, wide) for other, wide in outer)
        for root, own in inner
    )


def _ranges_inside(own: Qualified, wide: Qualified) -> bool:
    return own.keys() == wide.keys() and all(_one_inside(own[n], wide[n]) for n in own)


def _one_inside(own: Range | Choice, wide: Range | Choice) -> bool:
    if isinstance(own, Choice) and isinstance(wide, Choice):
        if wide.values is None:
            return True
        return own.values is not None and own.values <= wide.values
    if isinstance(own, Range) and isinstance(wide, Range):
        if own.nothing or wide.nothing:
            return bool(own.nothing)
        low = wide.low < own.low or (wide.low == own.low and (own.low_open or not wide.low_open))
        high = own.high < wide.high or (
            own.high == wide.high and (own.high_open or not wide.high_open)
        )
        return low and high
    return False


def widest(certificates: Iterable[Certificate], choices: Choices) -> list[Certificate]:
    """The tests that no other of them makes superfluous; of equal ones that of least effort.

    A test of more pieces makes none of fewer pieces superfluous.
    """
    kept: list[tuple[Certificate, Limits]] = []
    equal: dict[str, tuple[Certificate, Limits]] = {}
    for certificate in sorted(certificates, key=effort):
        limits = limits_of(certificate, choices)
        if limits is not None:
            equal.setdefault(_key(limits), (certificate, limits))
    for certificate, limits in equal.values():
        count = pieces(certificate)
        if any(pieces(c) <= count and inside(limits, other) for c, other in kept):
            continue
        kept = [one for one in kept if pieces(one[0]) < count or not inside(one[1], limits)]
        kept.append((certificate, limits))
    return [certificate for certificate, _ in kept]


def _key(limits: Sequence[tuple[bool, Qualified]]) -> str:
    return repr([
        (root, [(name, _values(limit)) for name, limit in sorted(found.items())])
        for root, found in limits
    ])  # fmt: skip


def _values(limit: Range | Choice) -> object:
    if isinstance(limit, Choice):
        return None if limit.values is None else sorted(limit.values)
    return (limit.low, limit.high, limit.low_open, limit.high_open, bool(limit.nothing))
