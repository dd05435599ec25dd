"""What one procedure test qualifies, variable by variable (QW-250 to QW-410).

A variable that belongs to one process is named "variable, PROCESS", because several tests may
support one WPS process by process (QW-200.4).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from math import inf

from dossier.calc.heat_input import arc_energy_kj_mm
from dossier.codes.asme_ix.common import (
    Edition,
    chosen,
    clause,
    dated_limit,
    size,
)
from dossier.codes.asme_ix.conditions import (
    HEAT_INPUT,
    INTERPASS,
    PREHEAT,
    PWHT,
    PWHT_TIME,
    heat_input_range,
    interpass_range,
    preheat_range,
    pwht_time_range,
)
from dossier.codes.asme_ix.fillers import a_numbers_covered, product_form, written_number
from dossier.codes.asme_ix.metals import GROUPS, PAIRS, Pair, covered_pairs, metal
from dossier.codes.asme_ix.positions import places_needed, progression
from dossier.codes.asme_ix.thickness import (
    BASE,
    DEPOSIT,
    base_metal_range,
    deposit_range,
    short_arc_deposit,
    short_arc_range,
    thick_pass_range,
    toughness_range,
)
from dossier.codes.asme_ix.variables import procedure_variables, process_name
from dossier.codes.asme_ix.welder_limits import SHORT, modes_covered
from dossier.codes.face import DEPOSIT as DEPOSITED
from dossier.codes.face import PROCESS, Choices
from dossier.records.procedures import HeatTreatment, Pqr, PqrPass, ProcedurePass
from dossier.records.verdicts import Basis, Choice, Qualified, Range

KINDS = clause("QW-202.2, QW-451.3, QW-451.4", "read")
EACH_PROCESS = clause("QW-200.4, QW-250", "memory")
F_NUMBER = clause("QW-404.4")
A_NUMBER = clause("QW-404.5")
ELECTRODE = clause("QW-404.7", "memory")
CLASSIFICATION = clause("QW-404.12", "memory")
FILLER_USED = clause("QW-404.14")
FORM = clause("QW-404.23")
UPHILL = clause("QW-405.2", "memory")
GAS = clause("QW-408.2")
TRANSFER = clause("QW-409.2", "memory")
CURRENT = clause("QW-409.4", "memory")

UNRECORDED = "not recorded in the test"
# Lower transformation temperature in °C, approximate, by P-Number (memory, common practice).
LOWER_TRANSFORMATION_C = {
    "1": 725.0, "3": 730.0, "4": 745.0, "5A": 805.0, "5B": 810.0, "9A": 725.0, "9B": 725.0,
    "15E": 800.0,
}  # fmt: skip

AnyPass = PqrPass | ProcedurePass
Limit = Callable[[float], Range]


def toughness_counts(pqrs: Iterable[Pqr], choices: Choices) -> bool:
    """Whether supplementary essential variables count, after the choice "ix toughness"."""
    wanted = chosen(choices, "ix toughness")
    return wanted == "required" or (wanted == "as tested" and any(p.impact_tested for p in pqrs))


def pair_of(groups: Iterable[str]) -> Pair | None:
    """The two members of a coupon or joint: "P1.1", or "P1.1+P8.1"; None if not P-Numbers.

    >>> pair_of(["P1.1"]) == pair_of(["P1.1", "P1.1"]), pair_of(["1.2"])
    (True, None)
    """
    members = [metal(part) for group in groups for part in group.split("+")]
    found = [member for member in members if member is not None]
    if not found or len(found) != len(members) or len(found) > 2:
        return None
    return found[0], found[-1]


def pair_name(pair: Iterable[str]) -> str:
    """A pair of P-Numbers in words, in a fixed order.

    >>> pair_name({"8", "1"}), pair_name({"1"})
    ('P1 to P8', 'P1 to P1')
    """
    names = sorted(pair)
    return f"P{names[0]} to P{names[-1]}"


def passes_of(passes: Iterable[AnyPass], process: str) -> list[AnyPass]:
    """The passes welded with `process`, named in the letters of Section IX."""
    return [one for one in passes if process_name(one.process) == process]


def arc_energy_of(one: AnyPass) -> float | None:
    """Arc energy of a pass in kJ/mm, the highest that its ranges allow; None if not recorded."""
    if isinstance(one, PqrPass):
        figures = (one.voltage_v, one.current_a, one.travel_mm_min)
    else:
        figures = (
            one.voltage_v.high if one.voltage_v else None,
            one.current_a.high if one.current_a else None,
            one.travel_mm_min.low if one.travel_mm_min else None,
        )
    volts, amperes, travel = figures
    return arc_energy_kj_mm(volts, amperes, travel) if volts and amperes and travel else None


def heat_condition(pwht: HeatTreatment | None, p_number: str) -> str:
    """The heat-treatment condition of QW-407.1 as far as the record tells; "" where it does not.

    Over the lower transformation temperature the record cannot tell the other conditions apart.

    >>> heat_condition(None, "1")
    'none'
    """
    if pwht is None:
        return "none"
    if p_number not in LOWER_TRANSFORMATION_C:
        return "heat treated"
    high = pwht.temperature_c.high if pwht.temperature_c else None
    return "below lower" if high and high <= LOWER_TRANSFORMATION_C[p_number] else ""


def _nothing(basis: Basis) -> Choice:
    return Choice(frozenset(), basis, UNRECORDED)


def _given(values: Iterable[str], basis: Basis) -> Choice:
    known = set(values)
    return _nothing(basis) if "" in known or not known else Choice.of(known, basis)


def procedure_range(edition: Edition, pqr: Pqr, choices: Choices) -> Qualified:
    """What one procedure test qualifies, variable by variable, in sheet order.

    Source: Section IX, QW-250 to QW-410 and QW-451 (see the rules). Raises InputError: a process
    without a table of variables here.
    """
    tough = toughness_counts([pqr], choices)
    fillet = pqr.weld_type == "fillet"
    processes = list(dict.fromkeys(process_name(one.process) for one in pqr.passes))
    kinds = {"fillet"} if fillet else {"butt", "branch", "fillet"}
    limits: Qualified = {
        PROCESS: _given(processes, EACH_PROCESS),
        "weld type": Choice.of(kinds, KINDS),
    }
    limits |= _metal_limits(pqr, tough)
    if not fillet:
        limits["base metal thickness"] = _base(pqr, tough, choices)
    limits |= _heat_limits(pqr, tough)
    for process in processes:
        if not fillet:
            limits |= _deposits(pqr, process, chosen(choices, "ix units"))
        for name, limit in _process_limits(edition, pqr, process, choices):
            limits[f"{name}, {process}"] = limit
    return {name: dated_limit(limit, edition) for name, limit in limits.items()}


def _metal_limits(pqr: Pqr, tough: bool) -> Qualified:
    pair = pair_of(pqr.material_groups)
    if pair is None:
        return {"base metal": _nothing(PAIRS)}
    limits: Qualified = {
        "base metal": Choice.of((pair_name(p) for p in covered_pairs(pair)), PAIRS)
    }
    if tough:
        known = all(member.group for member in pair)
        names = (str(member) for member in pair)
        limits["group numbers"] = Choice.of(names, GROUPS) if known else _nothing(GROUPS)
    return limits


def _base(pqr: Pqr, tough: bool, choices: Choices) -> Range:
    if not pqr.wall_mm:
        return Range.none(BASE, UNRECORDED)
    units = chosen(choices, "ix units")
    ranges = [base_metal_range(pqr.wall_mm, one.process, units) for one in pqr.passes]
    limit = min(ranges, key=lambda r: r.high, default=base_metal_range(pqr.wall_mm, units=units))
    thickest = max((one.deposit_mm or 0 for one in pqr.passes), default=0)
    limit = thick_pass_range(limit, pqr.wall_mm, thickest, units)
    if any(one.transfer == SHORT for one in pqr.passes):
        limit = short_arc_range(limit, pqr.wall_mm, units)
    return toughness_range(limit, pqr.wall_mm, units) if tough else limit


def _heat_limits(pqr: Pqr, tough: bool) -> Qualified:
    pair = pair_of(pqr.material_groups)
    limits: Qualified = {
        "preheat": _range(pqr.preheat_c, preheat_range, PREHEAT, "°C"),
        "post-weld heat treatment": _given(
            [heat_condition(pqr.pwht, pair[0].p)] if pair else [""], PWHT
        ),
    }
    if tough:
        limits["interpass"] = _range(pqr.interpass_max_c, interpass_range, INTERPASS, "°C")
        if pqr.pwht:
            held = pqr.pwht.holding_min
            hours = held / 60 if held else None
            limits["heat treatment time"] = _range(hours, pwht_time_range, PWHT_TIME, "h")
    return limits


def _range(value: float | None, rule: Limit, basis: Basis, unit: str) -> Range:
    return Range.none(basis, UNRECORDED, unit) if value is None else rule(value)


def _process_limits(
    edition: Edition, pqr: Pqr, process: str, choices: Choices
) -> Iterator[tuple[str, Range | Choice]]:
    passes = [one for one in pqr.passes if process_name(one.process) == process]
    units = chosen(choices, "ix units")
    binds = procedure_variables(process, edition)
    yield "F-Number", _numbers("F", passes, F_NUMBER)
    yield "A-Number", _numbers("A", passes, A_NUMBER)
    if "QW-404.14" in binds:
        yield "filler metal", _given(map(filler_used, passes), FILLER_USED)
    if "QW-404.23" in binds:
        yield "product form", _given((product_form(p.covering) for p in passes), FORM)
    if "QW-408.2" in binds:
        yield "shielding gas", _given((p.gas for p in passes), GAS)
    if "QW-409.2" in binds and process == "GMAW":
        yield "transfer", _modes(passes)
    if toughness_counts([pqr], choices):
        yield from _tough_limits(pqr, passes, binds, units)


def filler_used(one: AnyPass) -> str:
    """ "with filler" or "without filler" for a pass; "" where nothing was recorded."""
    if one.filler.lower() == "none":
        return "without filler"
    return "with filler" if one.filler or one.filler_group else ""


def process_and_f(process: str, f: int | None) -> str:
    """A process with its F-Number, which one deposit of a test or a WPS is named by.

    >>> process_and_f("SMAW", 4), process_and_f("GTAW", None)
    ('SMAW F4', 'GTAW')
    """
    return f"{process} F{f}" if f is not None else process


def _deposits(pqr: Pqr, process: str, units: str) -> Qualified:
    """Deposit by F-Number: each filler carries its own thickness (the stricter reading)."""
    found: dict[int | None, list[PqrPass]] = {}
    for one in pqr.passes:
        if process_name(one.process) == process:
            f = written_number("F", one.filler_group, one.filler)
            found.setdefault(f, []).append(one)
    return {
        f"{DEPOSITED}, {process_and_f(process, f)}": _deposit(pqr, passes, units)
        for f, passes in found.items()
    }


def _deposit(pqr: Pqr, passes: list[PqrPass], units: str) -> Range:
    parts = [one.deposit_mm for one in passes]
    whole = sum(part for part in parts if part) if all(parts) else 0.0
    t = whole or (pqr.wall_mm if len(passes) == len(pqr.passes) else None)
    if not t or not pqr.wall_mm:
        return Range.none(DEPOSIT, UNRECORDED)
    limit = deposit_range(t, pqr.wall_mm, passes[0].process, units)
    short = any(one.transfer == SHORT for one in passes)
    return short_arc_deposit(limit, t, units) if short else limit


def _numbers(letter: str, passes: Iterable[PqrPass], basis: Basis) -> Choice:
    found = [written_number(letter, p.filler_group, p.filler) for p in passes if filled(p)]
    known = {n for n in found if n is not None}
    if not known:
        return _nothing(basis)
    if letter == "A":
        known = {n for one in known for n in a_numbers_covered(one)}
    return Choice.of((f"{letter}{n}" for n in known), basis)


def filled(one: AnyPass) -> bool:
    """The pass was not welded without filler metal."""
    return one.filler.lower() != "none"


def _modes(passes: Iterable[PqrPass]) -> Choice:
    modes = {one.transfer for one in passes}
    if "" in modes:
        return _nothing(TRANSFER)
    allowed = (modes_covered(mode).values or frozenset() for mode in modes)
    return Choice.of(frozenset().union(*allowed), TRANSFER)


def _tough_limits(
    pqr: Pqr, passes: list[PqrPass], binds: dict[str, str], units: str
) -> Iterator[tuple[str, Range | Choice]]:
    if "QW-404.12" in binds:
        yield "classification", _given((p.filler for p in passes), CLASSIFICATION)
    if "QW-404.7" in binds:
        large = any(p.filler_mm and p.filler_mm > size(6, 1 / 4, units) for p in passes)
        yield "electrode diameter", Range(0, inf if large else size(6, 1 / 4, units), ELECTRODE)
    if "QW-405.2" in binds:
        yield "progression", _uphill(pqr, passes)
    yield "current", _given((p.current for p in passes), CURRENT)
    energies = [arc_energy_of(one) for one in passes]
    known = [energy for energy in energies if energy]
    complete = len(known) == len(energies) and bool(known)
    yield (
        "heat input",
        _range(max(known) if complete else None, heat_input_range, HEAT_INPUT, "kJ/mm"),
    )


def _uphill(pqr: Pqr, passes: Iterable[PqrPass]) -> Choice:
    needed = places_needed(pqr.position, fillet=pqr.weld_type == "fillet")
    if needed is None:
        return _nothing(UPHILL)
    ways = {progression(pqr.position, one.direction) for one in passes}
    if "V" in needed and "" in ways:
        return _nothing(UPHILL)
    return Choice.of(
        {"not uphill", *({"uphill"} if "V" in needed and "up" in ways else ())}, UPHILL
    )
