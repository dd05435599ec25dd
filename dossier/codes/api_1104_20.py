"""API Standard 1104, 20th edition (2005, printings to 2010): what differs from the 21st.

An unchanged rule calls the 21st edition's and names this edition as its basis. What is known to
differ: the filler groups that bind a welder (only groups 1, 2 and 3 are named), and the items of
a WPS (cooling after welding came with the 21st).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from dossier.codes import api_1104_21 as later
from dossier.codes.api_1104_21.fillers import group_name
from dossier.codes.api_1104_21.welders import judge_against
from dossier.codes.face import Choices, Rule
from dossier.records.examinations import Indication
from dossier.records.procedures import Pqr, Procedure
from dossier.records.verdicts import Basis, Choice, Qualified, Reason
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Confirmation, Deposit

EDITION = "API 1104:20th"
CHOICES = later.CHOICES
_LATER = "dossier.codes.api_1104_21"
_OWN = {f"{_LATER}.fillers.welder_filler_groups": ("welder_filler_groups", "read")}
_OWN |= {f"{_LATER}.welders.qualified_range": ("qualified_range", "read")}
_OWN |= {f"{_LATER}.welders.covers": ("covers", "read")}
RULES: Sequence[Rule] = tuple(
    replace(rule, function=f"dossier.codes.api_1104_20.{_OWN[rule.function][0]}", known="read")
    if rule.function in _OWN
    else rule
    for rule in later.RULES
)
NOT_COVERED: Sequence[str] = tuple(
    line for line in later.NOT_COVERED if not line.startswith("The 22nd")
)

_ALL_GROUPS = frozenset("123456789")
FILLER = Basis("API 1104", "20th", "6.2.2 c), 6.3.2 c)", "read")


def _own(basis: Basis) -> Basis:
    return replace(basis, edition="20th") if basis.standard == "API 1104" else basis


def _reasons(reasons: Iterable[Reason]) -> tuple[Reason, ...]:
    return tuple(replace(reason, basis=_own(reason.basis)) for reason in reasons)


def _qualified(found: Qualified) -> Qualified:
    return {name: replace(value, basis=_own(value.basis)) for name, value in found.items()}


def welder_filler_groups(group: str) -> Choice:
    """Filler groups that a welder tested with `group` may use.

    A change between groups 1 or 2 and group 3 needs another test; other groups are not named, so
    that the change of process binds them.

    Source: API 1104, 20th edition, 6.2.2 c), 6.3.2 c) (read).

    >>> str(welder_filler_groups("1")), str(welder_filler_groups("3"))
    ('1, 2, 4, 5, 6, 7, 8, 9', '3, 4, 5, 6, 7, 8, 9')
    """
    if group in ("1", "2"):
        return Choice(_ALL_GROUPS - {"3"}, FILLER)
    if group == "3":
        return Choice(_ALL_GROUPS - {"1", "2"}, FILLER)
    return Choice(_ALL_GROUPS, FILLER) if group in _ALL_GROUPS else Choice.of({group}, FILLER)


def qualified_range(certificate: Certificate, deposit: Deposit, choices: Choices) -> Qualified:
    """What one deposit of a welder's test qualifies; see the 21st edition.

    Source: API 1104, 20th edition, 6.2.2 and 6.3.2.
    """
    found = _qualified(later.qualified_range(certificate, deposit, choices))
    group = group_name(deposit.filler, deposit.filler_group)
    return found | {"filler group": welder_filler_groups(group)} if group else found


def covers(certificate: Certificate, weld: Weld, choices: Choices) -> tuple[Reason, ...]:
    """Reasons, one for each variable, for a weld against a welder's test; see the 21st edition.

    Source: API 1104, 20th edition, 6.2.2 and 6.3.2.
    """
    return _reasons(judge_against(certificate, weld, choices, qualified_range))


def valid_on(
    certificate: Certificate, day: date, history: Sequence[Confirmation], choices: Choices
) -> tuple[Reason, ...]:
    """Reasons for a qualification being in force on `day`; see the 21st edition.

    Source: API 1104, 20th edition, 6.1, 6.8 (secondary).
    """
    return _reasons(later.valid_on(certificate, day, history, choices))


valid_until = later.valid_until


def procedure_range(pqr: Pqr, choices: Choices) -> Qualified:
    """What one procedure test qualifies; see the 21st edition.

    Source: API 1104, 20th edition, 5.4.2.
    """
    return _qualified(later.procedure_range(pqr, choices))


def supports(pqrs: Sequence[Pqr], wps: Procedure, choices: Choices) -> tuple[Reason, ...]:
    """Reasons, one for each variable of a WPS, against its tests; see the 21st edition.

    Source: API 1104, 20th edition, 5.4.2.
    """
    return _reasons(later.supports(pqrs, wps, choices))


def accept(
    method: str,
    indications: Sequence[Indication],
    *,
    od_mm: float,
    wall_mm: float,
    choices: Choices,
) -> tuple[Reason, ...]:
    """Reasons for the indications of one weld; see the 21st edition.

    Source: API 1104, 20th edition, 9.3 to 9.7.
    """
    return _reasons(
        later.accept(method, indications, od_mm=od_mm, wall_mm=wall_mm, choices=choices)
    )
