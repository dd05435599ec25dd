"""Procedures, lapses, examinations and consumables in the plan."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from dossier.calc.consumables import to_buy_kg
from dossier.calc.weld_metal import mass_kg_m
from dossier.coverage.plan import Plan
from dossier.coverage.plan.lapses import Lapse
from dossier.coverage.plan.procedure_tests import ProposedPiece
from dossier.coverage.view import View
from dossier.documents.amounts import amount
from dossier.documents.planning import efficiency, estimate, sizes_of
from dossier.documents.printed.face import Part, part
from dossier.documents.printed.work_ahead.people import named, why
from dossier.documents.sheet import Row, coded, columns, day, row, system_of, table, words
from dossier.records.procedures import Procedure, ProcedurePass
from dossier.units import System, show


def lacking_part(plan: Plan) -> Part:
    """The sheets that their tests do not support."""
    heads = columns(("WPS", 14), ("Variable", 18), ("Asks", 22), ("Tested", 24), ("Basis", 22))
    rows = [
        row([lack.name, r.variable, r.found, r.permitted, str(r.basis)])
        for lack in plan.procedures.lacking
        for r in lack.reasons
    ]
    told = f"All {plan.procedures.sheets} procedures in use are supported by their tests."
    return part(table("Procedures beyond their tests", heads, rows), told)


def pieces_part(plan: Plan, system: System) -> Part:
    """The proposed procedure tests and the sheets that they support."""
    heads = columns(
        ("Test", 5), ("Code", 14), ("Weld", 10), ("Position", 8), ("Material", 9),
        ("Wall", 8, "right"), ("Diameter", 9, "right"), ("Passes", 26), ("Heat input", 14),
        ("Supports", 20),
    )  # fmt: skip
    found = plan.procedures
    note = (
        f"Tests: {found.choice.proof}. Beside the tests that each WPS names; chosen among "
        f"{found.looked_at} test pieces at points of the ranges that the sheets permit, pairs only "
        "where no single one serves. Each support is the answer of the code."
    )
    rows = [_piece_row(piece, system) for piece in found.pieces]
    told = table("Further procedure tests", heads, rows, note if rows else "")
    return part(told, "No procedure test is lacking or helps.")


def _piece_row(piece: ProposedPiece, system: System) -> Row:
    pqr = piece.pqr
    passes = "; ".join(
        dict.fromkeys(f"{p.kind} {p.process} {p.filler}".strip() for p in pqr.passes)
    )
    heat = next((str(v) for n, v in piece.qualified.items() if n.startswith("heat input")), "-")
    return row([
        piece.name, coded(pqr.code, pqr.level), words([pqr.weld_type, pqr.product]), pqr.position,
        words(dict.fromkeys(pqr.material_groups)), amount(pqr.wall_mm, "mm", system),
        amount(pqr.od_mm, "mm", system), passes, heat, words(piece.supports),
    ])  # fmt: skip


def unsupported_part(plan: Plan) -> Part:
    """The sheets that neither one further test nor a pair of them supports."""
    heads = columns(("WPS", 20), ("What the nearest test leaves open", 80))
    rows = [row([name, why(reasons)], ["bad", ""]) for name, reasons in plan.procedures.impossible]
    told = "A test or a pair of tests serves every procedure that lacks one."
    return part(table("Procedures without a test that helps", heads, rows), told)


def lapses_part(plan: Plan) -> Part:
    """Certificates that end in the days ahead."""
    heads = columns(
        ("Stamp", 6), ("Name", 16), ("Certificate", 11), ("Code", 14), ("Last day", 10),
        ("Missed after it", 30), ("What helps", 14), ("Then in force to", 12),
    )  # fmt: skip
    rows = [_lapse_row(lapse) for lapse in plan.ahead.lapses]
    note = "If it is done on the last day; the date on which it is signed decides."
    told = table(f"Lapses in the next {plan.ahead.days} days", heads, rows, note if rows else "")
    return part(told, f"No certificate ends in the next {plan.ahead.days} days.")


def _lapse_row(lapse: Lapse) -> Row:
    held = lapse.holding
    missed = "; ".join(f"{r.variable}: {r.permitted} ({r.basis.clause})" for r in lapse.missed)
    return row([
        held.stamp, held.name, held.certificate.number, coded(held.certificate.code),
        day(lapse.until), missed, lapse.helps or "a new certificate", day(lapse.until_then),
    ])  # fmt: skip


def confirmations_part(plan: Plan) -> Part:
    """Which planned joint confirms whom."""
    heads = columns(("Joint", 16), ("Confirms", 54), ("Why not", 30))
    found = plan.ahead.confirmations
    rows = [row([joint, "; ".join(names), ""]) for joint, names in found.by_joint.items()]
    rows += [row(["none", name, reason], ["hold", "", ""]) for name, reason in found.without]
    proof = (
        "no choice takes fewer"
        if found.proven
        else f"at least {found.least} would be needed; not proven the fewest"
    )
    note = (
        f"Joints: {len(found.by_joint)}, {proof}. Each welder makes that pass group inside the "
        "range of the certificate; weld it, and have it signed, before the last day."
    )
    told = table("Planned joints that confirm", heads, rows, note if rows else "")
    return part(told, "No confirmation is due in these days.")


def owed_part(plan: Plan) -> Part:
    """Shares of the law and tracers still owed."""
    heads = columns(
        ("Line", 8), ("Day or lot", 12), ("Of", 16), ("Examined", 14), ("Permitted", 12),
        ("Still owed", 8, "right"), ("May still be examined", 20), ("Basis", 18),
    )  # fmt: skip
    found = plan.examinations
    rows = [
        row([one.line, day(one.day), f"{one.kind} {one.name}", one.reason.found,
             one.reason.permitted, str(one.more), named(one.possible), str(one.reason.basis)],
            ["", "", "", "", "", "hold" if len(one.possible) >= one.more else "bad", "", ""])
        for one in found.shares
    ]  # fmt: skip
    rows += [
        row([one.lot.key.line, one.lot.key.period, f"tracers of {one.lot.key.welder}",
             str(one.lot.shot), one.lot.progress.state, str(one.more), named(one.possible),
             "ASME B31.3, 341.3.4"], ["", "", "", "", "", "hold", "", ""])
        for one in found.tracers
    ]  # fmt: skip
    return part(table("Examinations still owed", heads, rows), _nothing_owed(plan))


def _nothing_owed(plan: Plan) -> str:
    found = plan.examinations
    law = (
        f"No share is short on {words(found.lines_under_law)}."
        if found.lines_under_law
        else "No line of the project is under a law that asks for daily shares."
    )
    lots = "No tracer is due." if found.progressive else "The project asks for no tracers."
    return f"{law} {lots}"


def films_part(plan: Plan, system: System) -> Part:
    """Examinations and films that the planned joints will take."""
    heads = columns(
        ("Method", 8), ("Kind", 12), ("Diameter", 12, "right"), ("Joints", 40),
        ("Reports", 8, "right"), ("Films a joint", 10, "right"), ("Films", 8, "right"),
    )  # fmt: skip
    rows = []
    for one in plan.examinations.films:
        each = one.each if one.method == "RT" else None
        total = "-" if each is None else str(each * len(one.joints))
        size = amount(one.od_mm, "mm", system)
        count, films = str(len(one.joints)), "-" if each is None else str(each)
        rows.append(row([one.method, one.kind, size, named(one.joints), count, films, total]))
    note = (
        "Methods by the project's own list. Films a joint: the middle of the reports on record of "
        "that diameter, as their film numbers count them; none where no such report is on record. "
        "Repeats and repairs are not counted."
    )
    told = table("Examinations of the planned joints", heads, rows, note if rows else "")
    return part(told, "The project's list of examinations names none for the planned joints.")


def consumables_part(seen: View) -> Part:
    """Consumables for the planned joints, over all procedures."""
    system = system_of(seen.project.settings)
    heads = columns(
        ("Consumable", 24), ("Size", 10, "right"), ("Process", 9), ("WPS", 18),
        ("Weld metal", 12, "right"), ("To buy", 12, "right"), ("Efficiency of", 20),
    )  # fmt: skip
    groups: dict[tuple[str, float | None, str], list[_Part]] = defaultdict(list)
    unknown: dict[str, None] = {}
    for wps in {w.number: w for w in seen.project.procedures}.values():
        for one in _parts(seen, wps, unknown):
            groups[one[0].filler, one[0].filler_mm, one[0].process].append(one)
    rows = [_consumable(found, system) for _, found in sorted(groups.items(), key=str)]
    note = (
        "Estimate from preparation and walls, as the planning sheet of each procedure shows it. "
        "Spoilt electrodes, tack welds, repairs and tests are not counted."
    )
    if unknown:
        note = f"{note} No figure: {'; '.join(unknown)}."
    told = table("Consumables for the planned joints", heads, rows, note if rows or unknown else "")
    return part(told, "No joint is planned whose consumables can be estimated.")


_Part = tuple[ProcedurePass, str, float]  # pass, WPS, weld metal in kg


def _parts(seen: View, wps: Procedure, unknown: dict[str, None]) -> Iterator[_Part]:
    for size in sizes_of(seen, wps):
        if not size.planned:
            continue
        found = estimate(wps, size)
        if isinstance(found, str):
            unknown[f"{wps.number}: {found}"] = None
            continue
        for one in found.parts:
            mass = size.planned * found.length_m * mass_kg_m(one.section_mm2)
            yield one.planned, wps.number, mass


def _consumable(found: list[_Part], system: System) -> Row:
    first = found[0][0]
    mass = sum(kg for _, _, kg in found)
    known = efficiency(first)
    bought, basis = "not computed", "no figure published for the process"
    if known is not None:
        bought, basis = show(to_buy_kg(mass, known[0]), "kg", system), known[1]
    return row([
        first.filler, amount(first.filler_mm, "mm", system), first.process,
        words(dict.fromkeys(number for _, number, _ in found)),
        show(round(mass, 2), "kg", system), bought, basis,
    ])  # fmt: skip
