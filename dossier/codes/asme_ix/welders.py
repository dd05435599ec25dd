"""Whether a welder's test covers a production weld (QW-350 to QW-461).

A weld is answered variable by variable. What a record does not hold is a hold, never a guess.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import inf

from dossier.codes.asme_ix.common import Edition, chosen, dated_reasons
from dossier.codes.asme_ix.fillers import product_form, written_number
from dossier.codes.asme_ix.metals import metal
from dossier.codes.asme_ix.positions import FILLET, column_of, places_needed, progression
from dossier.codes.asme_ix.variables import process_name
from dossier.codes.asme_ix.welder_limits import (
    JOINED,
    SHORT,
    Root,
    deposit_range,
    leg_mm,
    transfer_mode,
    with_backing,
)
from dossier.codes.asme_ix.welder_range import (
    ONE_PROCESS,
    UNRECORDED,
    filler_used,
    insert_used,
    processes_of_one_table,
    qualified_range,
    tested_deposit_mm,
    tested_with_backing,
)
from dossier.codes.face import DEPOSIT as DEPOSITED
from dossier.codes.face import PROCESS, Choices
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


def covers(
    edition: Edition, certificate: Certificate, weld: Weld, choices: Choices
) -> tuple[Reason, ...]:
    """Reasons, one for each variable, for a weld against a certificate; dates are not asked.

    Of several deposits by the process of the weld, the one that answers best is taken.

    Source: Section IX, QW-351 and the table of the process.
    """
    alike = processes_of_one_table(weld.process, choices)
    same = [d for d in certificate.deposits if process_name(d.process) in alike]
    if not same:
        tested = Choice.of((process_name(d.process) for d in certificate.deposits), ONE_PROCESS)
        reasons: tuple[Reason, ...] = (tested.judge(PROCESS, process_name(weld.process)),)
        return dated_reasons(reasons, edition)
    answers = [tuple(_reasons(edition, certificate, d, weld, choices)) for d in same]
    return min(answers, key=_ill)


def _ill(reasons: tuple[Reason, ...]) -> tuple[int, int]:
    """How badly a weld is answered: the worst verdict, then how many variables are not clear."""
    return worst(reasons), sum(reason.verdict is not CLEAR for reason in reasons)


def _judge(name: str, limit: Range | Choice, value: float | str | None) -> Reason:
    if limit.nothing == UNRECORDED:
        found = "not recorded" if value is None else str(value)
        return Reason(name, found, str(limit), limit.basis, HOLD)
    if isinstance(limit, Range):
        return limit.judge(name, value if isinstance(value, int | float) else None)
    return limit.judge(name, value if isinstance(value, str) and value else None)


def _reasons(
    edition: Edition, certificate: Certificate, deposit: Deposit, weld: Weld, choices: Choices
) -> Iterator[Reason]:
    limits = qualified_range(edition, certificate, deposit, choices)
    yield _judge(PROCESS, limits[PROCESS], process_name(weld.process))
    yield _judge("weld type", limits["weld type"], weld.weld_type)
    units = chosen(choices, "ix units")
    column = column_of(weld.weld_type, weld.product, weld.od_mm, units)
    yield from _position_reasons(limits, weld, column)
    yield from _metal_reasons(limits["base metal"], weld.material_group)
    yield _filler_reason(limits["filler"], certificate, deposit, weld, choices)
    if weld.weld_type == "fillet":
        yield from _fillet_reasons(limits, weld)
    else:
        yield from _groove_reasons(limits, certificate, deposit, weld)
    yield from _process_reasons(limits, weld, choices)


def _position_reasons(limits: Qualified, weld: Weld, column: str | None) -> Iterator[Reason]:
    fillet = weld.weld_type == "fillet"
    needed = places_needed(weld.position, fillet=fillet)
    limit = limits[f"position, {column or FILLET}"]
    if needed is None or column is None:
        found = weld.position or "not recorded"
        yield Reason("position", found, str(limit), limit.basis, HOLD)
        return
    inside = all(place in limit for place in needed if isinstance(limit, Choice))
    found = f"{weld.position} ({', '.join(sorted(needed))})"
    yield Reason("position", found, str(limit), limit.basis, CLEAR if inside else NONCONFORMITY)
    if "V" in needed and "progression" in limits:
        way = progression(weld.position, weld.direction)
        yield _judge("progression", limits["progression"], way or None)


def _metal_reasons(limit: Range | Choice, group: str) -> Iterator[Reason]:
    for part in group.split("+"):
        member = metal(part)
        yield _judge("base metal", limit, member.p if member else None)


def _filler_reason(
    limit: Range | Choice,
    certificate: Certificate,
    deposit: Deposit,
    weld: Weld,
    choices: Choices,
) -> Reason:
    f = written_number("F", weld.filler_group, weld.filler)
    backed = with_backing(Root(weld.weld_type, weld.backing, weld.sides, weld.root), choices)
    if f is None or backed is None:
        return _judge("filler", limit, None)
    reason = _judge("filler", limit, f"F{f} {'with' if backed else 'without'} backing")
    unproved = tested_with_backing(certificate, deposit, choices) is None and not backed
    return replace(reason, verdict=HOLD) if unproved and reason.verdict else reason


def _fillet_reasons(limits: Qualified, weld: Weld) -> Iterator[Reason]:
    if "fillet" in limits:
        yield _judge("fillet", limits["fillet"], None)
        return
    if weld.product != "plate":
        yield from _where_bound("outside diameter", limits["outside diameter, fillet"], weld.od_mm)
    base = limits["base metal thickness, fillet"]
    yield from _where_bound("base metal thickness", base, weld.wall_mm)
    leg = leg_mm(weld.throat_mm) if weld.throat_mm else None
    yield from _where_bound("leg", limits["leg, fillet"], leg)


def _where_bound(name: str, limit: Range | Choice, value: float | None) -> Iterator[Reason]:
    if str(limit) != "any":
        yield _judge(name, limit, value)


def _groove_reasons(
    limits: Qualified, certificate: Certificate, deposit: Deposit, weld: Weld
) -> Iterator[Reason]:
    if weld.product != "plate" and "outside diameter" in limits:
        yield _judge("outside diameter", limits["outside diameter"], weld.od_mm)
    if DEPOSITED not in limits:  # a fillet test: the reason on the weld type has said so
        return
    reason = _judge(DEPOSITED, limits[DEPOSITED], weld.deposit_mm)
    t = tested_deposit_mm(certificate, deposit)
    if reason.verdict is NONCONFORMITY and t and deposit.layers is None:
        unlimited = deposit_range(t, 3, short_arc=deposit.transfer == SHORT).high == inf
        reason = replace(reason, verdict=HOLD) if unlimited else reason
    yield reason


def _process_reasons(limits: Qualified, weld: Weld, choices: Choices) -> Iterator[Reason]:
    backed = with_backing(Root(weld.weld_type, weld.backing, weld.sides, weld.root), choices)
    if "filler metal" in limits:
        yield _judge("filler metal", limits["filler metal"], filler_used(weld))
    if "insert" in limits and not backed:
        yield _judge("insert", limits["insert"], insert_used(weld.backing))
    if "product form" in limits:
        yield _judge("product form", limits["product form"], product_form(weld.covering))
    if "gas backing" in limits and not backed:
        gas = {"": None, "gas": "with gas"}.get(weld.backing, "without gas")
        yield _judge("gas backing", limits["gas backing"], gas)
    if "transfer" in limits:
        mode = transfer_mode(weld.process, weld.transfer)
        yield _judge("transfer", limits["transfer"], mode)
    if "current" in limits:
        yield _judge("current", limits["current"], weld.current)


def covers_together(
    edition: Edition, certificates: Sequence[Certificate], weld: Weld, choices: Choices
) -> tuple[Reason, ...]:
    """The best answer that one certificate, or two pipe tests joined, give for a weld.

    The deposit earned on one pipe coupon may be used with the diameter earned on another.

    Source: Section IX, Table QW-452.1(b), note 2 (secondary). Raises InputError: no certificate.
    """
    answers = [covers(edition, certificate, weld, choices) for certificate in certificates]
    pipes = [
        {reason.variable: reason for reason in answer}
        for certificate, answer in zip(certificates, answers, strict=True)
        if certificate.product == "pipe" and len(answer) > 1
    ]
    for thin in pipes:
        for thick in pipes:
            both = DEPOSITED in thin and DEPOSITED in thick
            od = thick.get("outside diameter")
            others = [r for n, r in thick.items() if n not in ("outside diameter", DEPOSITED)]
            if both and od and worst(others) is CLEAR:
                joined = replace(thick[DEPOSITED], basis=JOINED)
                answers.append(dated_reasons(tuple((thin | {DEPOSITED: joined}).values()), edition))
    return min(answers, key=_ill)
