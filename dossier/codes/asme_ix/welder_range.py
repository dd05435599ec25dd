"""What one deposit of a welder's test qualifies, variable by variable (QW-350 to QW-461)."""

from __future__ import annotations

from math import inf

from dossier.codes.asme_ix.common import Edition, chosen, clause, dated_limit, size
from dossier.codes.asme_ix.fillers import fillers_covered, product_form, written_number
from dossier.codes.asme_ix.metals import metal, welder_metals
from dossier.codes.asme_ix.positions import COLUMNS, POSITIONS, places_qualified, progression
from dossier.codes.asme_ix.variables import process_name, welder_variables
from dossier.codes.asme_ix.welder_limits import (
    DEPOSIT,
    DIAMETER,
    PLATE_DIAMETER,
    SHORT,
    FilletLimits,
    Root,
    deposit_range,
    diameter_range,
    fillets_after_groove,
    fillets_after_pipe_fillet,
    fillets_after_plate_fillet,
    modes_covered,
    transfer_mode,
    with_backing,
)
from dossier.codes.face import DEPOSIT as DEPOSITED
from dossier.codes.face import PROCESS, Choices
from dossier.records.verdicts import Basis, Choice, Qualified, Range
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
    if "QW-409.2" in binds:
        mode = transfer_mode(deposit.process, deposit.transfer)
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
    bound = "QW-402.4" in welder_variables(deposit.process)
    backed = bound and tested_with_backing(certificate, deposit, choices) is not False
    return fillers_covered(f, backing=backed)


def tested_with_backing(
    certificate: Certificate, deposit: Deposit, choices: Choices
) -> bool | None:
    """Whether the deposit of the test counts as with backing; None where it is not recorded."""
    root = Root(certificate.weld_type, deposit.backing, certificate.sides, deposit.root)
    return with_backing(root, choices)
