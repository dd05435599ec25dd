"""What a welder's test qualifies, and whether it covers a production weld (QW-350 to QW-461).

A weld is answered variable by variable. What a record does not hold is a hold, never a guess.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import inf

from dossier.codes.asme_ix.common import (
    Edition,
    chosen,
    clause,
    dated_limit,
    dated_reasons,
    size,
)
from dossier.codes.asme_ix.fillers import fillers_covered, product_form, written_number
from dossier.codes.asme_ix.metals import metal, welder_metals
from dossier.codes.asme_ix.positions import (
    COLUMNS,
    FILLET,
    POSITIONS,
    column_of,
    places_needed,
    places_qualified,
    progression,
)
from dossier.codes.asme_ix.variables import process_name, welder_variables
from dossier.codes.asme_ix.welder_limits import (
    DEPOSIT,
    DIAMETER,
    JOINED,
    PLATE_DIAMETER,
    SHORT,
    FilletLimits,
    Root,
    deposit_range,
    diameter_range,
    fillets_after_groove,
    fillets_after_pipe_fillet,
    fillets_after_plate_fillet,
    leg_mm,
    modes_covered,
    with_backing,
)
from dossier.codes.face import DEPOSIT as DEPOSITED
from dossier.codes.face import PROCESS, Choices
from dossier.records.verdicts import (
    CLEAR,
    HOLD,
    NONCONFORMITY,
    Basis,
    Choice,
    Qualified,
    Range,
    Reason,
    worst,
)
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Deposit

ONE_PROCESS = clause("QW-351", "read")
KINDS = clause("QW-303")
PROGRESSION = clause("QW-405.3", "read")
METAL = clause("QW-403.18, QW-423.1", "read")
FILLER = clause("QW-404.15, Table QW-433", "memory")
FILLER_USED = clause("QW-404.14", "memory")
INSERT = clause("QW-404.22", "memory")
FORM = clause("QW-404.23", "memory")
PURGE = clause("QW-408.8", "memory")
CURRENT = clause("QW-409.4", "memory")

UNRECORDED = "not recorded in the test"


def processes_of_one_table(process: str, choices: Choices) -> frozenset[str]:
    """Processes that are one and the same for a welder of `process`.

    Tables QW-255 and QW-355 hold flux-cored with gas metal-arc (choice "ix flux-cored arc").

    >>> sorted(processes_of_one_table("136", {}))
    ['FCAW', 'GMAW']
    """
    name = process_name(process)
    together = frozenset({"GMAW", "FCAW"})
    if name in together and chosen(choices, "ix flux-cored arc") == "with gas metal-arc":
        return together
    return frozenset({name})


def qualified_range(
    edition: Edition, certificate: Certificate, deposit: Deposit, choices: Choices
) -> Qualified:
    """What one deposit of a test qualifies, variable by variable, in sheet order.

    Source: Section IX, QW-303, QW-350, QW-452, QW-461.9 (see the rules). Raises InputError: a
    process without a table of variables here.
    """
    fillet = certificate.weld_type == "fillet"
    kinds = {"fillet"} if fillet else {"butt", "branch", "fillet"}
    limits: Qualified = {
        PROCESS: Choice.of(processes_of_one_table(deposit.process, choices), ONE_PROCESS),
        "weld type": Choice.of(kinds, KINDS),
    }
    places = places_qualified(certificate.product, certificate.positions, fillet=fillet)
    for column in COLUMNS:
        limits[f"position, {column}"] = Choice.of(places[column], POSITIONS)
    limits["base metal"] = _metals(certificate.material_group)
    limits |= _sizes(certificate, deposit, choices)
    limits |= _by_process(certificate, deposit, choices)
    return {name: dated_limit(limit, edition) for name, limit in limits.items()}


def _nothing(basis: Basis) -> Choice:
    return Choice(frozenset(), basis, UNRECORDED)


def _metals(group: str) -> Choice:
    members = [metal(part) for part in group.split("+")]
    found = [welder_metals(member.p).values or frozenset() for member in members if member]
    return Choice.of(frozenset().union(*found), METAL) if found else _nothing(METAL)


def _sizes(certificate: Certificate, deposit: Deposit, choices: Choices) -> Qualified:
    units = chosen(choices, "ix units")
    limits: Qualified = {}
    if certificate.weld_type != "fillet":
        limits[DEPOSITED] = _deposit(certificate, deposit, units)
        limits["outside diameter"] = _diameter(certificate, units)
    fillets = _fillets(certificate, choices, units)
    if fillets is None:
        return limits | {"fillet": Range.none(KINDS, UNRECORDED)}
    return limits | {
        "outside diameter, fillet": fillets.od_mm,
        "base metal thickness, fillet": fillets.base_mm,
        "leg, fillet": fillets.leg_mm,
    }


def tested_deposit_mm(certificate: Certificate, deposit: Deposit) -> float | None:
    """What the welder put in: as recorded, else the wall of a test with a single deposit."""
    alone = len(certificate.deposits) == 1
    return deposit.deposit_mm or (certificate.wall_mm if alone else None)


def _deposit(certificate: Certificate, deposit: Deposit, units: str) -> Range:
    t = tested_deposit_mm(certificate, deposit)
    if not t:
        return Range.none(DEPOSIT, UNRECORDED)
    short = deposit.transfer == SHORT
    return deposit_range(t, deposit.layers, short_arc=short, units=units)


def _diameter(certificate: Certificate, units: str) -> Range:
    if certificate.product == "plate":
        return Range(size(73, 2.875, units), inf, PLATE_DIAMETER)
    if not certificate.od_mm:
        return Range.none(DIAMETER, UNRECORDED)
    return diameter_range(certificate.od_mm, units)


def _fillets(certificate: Certificate, choices: Choices, units: str) -> FilletLimits | None:
    if certificate.weld_type != "fillet":
        return fillets_after_groove(certificate.product, choices)
    if certificate.product == "plate":
        wall = certificate.wall_mm
        return fillets_after_plate_fillet(wall, units) if wall else None
    return fillets_after_pipe_fillet(certificate.od_mm, units) if certificate.od_mm else None


def _by_process(certificate: Certificate, deposit: Deposit, choices: Choices) -> Qualified:
    name = process_name(deposit.process)
    binds = welder_variables(deposit.process)
    limits: Qualified = {}
    if "QW-405.3" in binds:
        ways = {progression(p, certificate.direction) for p in certificate.positions} - {""}
        limits["progression"] = Choice.of(ways, PROGRESSION) if ways else _nothing(PROGRESSION)
    limits["filler"] = _fillers(certificate, deposit, choices)
    if "QW-404.14" in binds:
        limits["filler metal"] = _one(filler_used(deposit), FILLER_USED)
    if "QW-404.22" in binds:
        limits["insert"] = _one(insert_used(deposit.backing), INSERT)
    if "QW-404.23" in binds:
        limits["product form"] = _one(product_form(deposit.covering), FORM)
    if "QW-408.8" in binds:
        gas = {"gas": {"with gas"}, "": set()}.get(deposit.backing, {"with gas", "without gas"})
        limits["gas backing"] = Choice.of(gas, PURGE) if gas else _nothing(PURGE)
    if "QW-409.2" in binds and name == "GMAW":
        mode = deposit.transfer
        limits["transfer"] = modes_covered(mode) if mode else _nothing(modes_covered("").basis)
    if "QW-409.4" in binds:
        limits["current"] = _one(deposit.current, CURRENT)
    return limits


def _one(value: str, basis: Basis) -> Choice:
    return Choice.of({value}, basis) if value else _nothing(basis)


def filler_used(deposit: Deposit | Weld) -> str:
    """ "with filler" or "without filler"; "" where nothing was recorded."""
    if deposit.filler.lower() == "none":
        return "without filler"
    return "with filler" if deposit.filler or deposit.filler_group else ""


def insert_used(backing: str) -> str:
    """ "insert" or "no insert"; "" where the root was not recorded."""
    return {"": "", "consumable insert": "insert"}.get(backing, "no insert")


def _fillers(certificate: Certificate, deposit: Deposit, choices: Choices) -> Choice:
    f = written_number("F", deposit.filler_group, deposit.filler)
    if f is None:
        return _nothing(FILLER)
    backed = _test_backing(certificate, deposit, choices)
    return fillers_covered(f, backing=backed is not False)


def _test_backing(certificate: Certificate, deposit: Deposit, choices: Choices) -> bool | None:
    root = Root(certificate.weld_type, deposit.backing, certificate.sides, deposit.root)
    return with_backing(root, choices)


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
    return min(answers, key=worst)


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
    unproved = _test_backing(certificate, deposit, choices) is None and not backed
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
    if "transfer" in limits and process_name(weld.process) == "GMAW":
        yield _judge("transfer", limits["transfer"], weld.transfer)
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
    return min(answers, key=worst)
