"""Welders in the plan: what the joints ask for, who may weld it, which tests are lacking."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from dossier.coverage.plan import Plan
from dossier.coverage.plan.needs import Need
from dossier.coverage.plan.welder_tests import Offer, ProposedTest, cannot_be_judged
from dossier.documents.amounts import amount, permitted
from dossier.documents.printed.face import Part, part
from dossier.documents.sheet import Row, coded, columns, row, table, words
from dossier.records.verdicts import CLEAR, Reason
from dossier.records.welders import Certificate, Deposit
from dossier.units import System

_SHOWN = 8  # joints named before the rest is counted


def named(joints: Sequence[str]) -> str:
    """Joints by number; of many the first ones and how many more.

    >>> named(["J-1", "J-2"]), named([f"J-{n}" for n in range(1, 12)])
    ('J-1, J-2', 'J-1, J-2, J-3, J-4, J-5, J-6, J-7, J-8 and 3 more')
    """
    more = len(joints) - _SHOWN
    return words(joints[:_SHOWN]) + (f" and {more} more" if more > 0 else "")


def why(reasons: Iterable[Reason]) -> str:
    """What is not clear among reasons: variable, found, permitted, clause."""
    return "; ".join(
        f"{r.variable}: {r.found}, permitted {r.permitted} ({r.basis})"
        for r in reasons
        if r.verdict != CLEAR
    )


def needs_part(plan: Plan, system: System) -> Part:
    """The distinct welds that the planned joints ask for."""
    heads = columns(
        ("Need", 5), ("Code", 12), ("Process", 6), ("Weld", 9), ("Position", 8), ("Way", 5),
        ("Diameter", 9, "right"), ("Wall", 8, "right"), ("Deposit", 8, "right"), ("Filler", 15),
        ("Root", 9), ("Passes", 10), ("WPS", 8), ("Joints", 5, "right"),
    )  # fmt: skip
    note = (
        "One welder makes all passes of a pass group: same process, filler group, covering, "
        "transfer and direction. The filling group takes what the other groups leave of the wall."
    )
    rows = [_need_row(need, system) for need in plan.asked.needs]
    told = table("What the planned joints ask for", heads, rows, note if rows else "")
    return part(told, "No joint is planned.")


def _need_row(need: Need, system: System) -> Row:
    weld = need.weld
    filler = words([weld.filler, weld.filler_group and f"group {weld.filler_group}"])
    return row([
        need.name, coded(need.code), weld.process, words([weld.weld_type, weld.product]),
        weld.position, weld.direction, amount(weld.od_mm, "mm", system),
        amount(weld.wall_mm, "mm", system), amount(weld.deposit_mm, "mm", system), filler,
        f"backing {weld.backing}" if weld.root is not False and weld.backing else "on weld metal"
        if weld.root is False else "-", words(need.kinds), words(need.wps), str(len(need.joints)),
    ])  # fmt: skip


def staff_part(plan: Plan) -> Part:
    """Who may weld each need tomorrow, beside who welded to that WPS so far."""
    heads = columns(
        ("Need", 5), ("Passes", 12), ("Joints", 24), ("May weld it", 22),
        ("Ended, would cover", 14),
        ("Welded to the WPS so far", 14), ("Of these not now", 12),
    )  # fmt: skip
    rows = []
    for place, need in enumerate(plan.asked.needs):
        may = plan.staff.may(place)
        usual = plan.staff.usual[place]
        ended = [f"{h.stamp} {h.certificate.number}" for h in plan.staff.lapsed(place)]
        mark = "bad" if not may else "soon" if len(may) == 1 else ""
        cells = [need.name, words(need.kinds), named(need.joints), words(may, "nobody"),
                 words(ended), words(usual), words([s for s in usual if s not in may])]  # fmt: skip
        rows.append(row(cells, ["", "", "", mark, "", "", ""]))
    smallest = plan.staff.smallest
    note = (
        f"Certificates that cover the need by the code and are in force on {plan.staff.day}. A "
        "joint may be given to any of them instead of waiting for a test. Fewest welders who "
        f"together may weld all that is covered: {words(smallest.names)} ({smallest.proof})."
    )
    told = table(f"Who may weld what on {plan.staff.day}", heads, rows, note if rows else "")
    return part(told, "No joint is planned.")


def tests_part(plan: Plan, system: System) -> Part:
    """The proposed tests: coupon, what each unlocks, who could take it."""
    heads = columns(
        ("Test", 4), ("Code", 11), ("Weld", 9), ("Position", 8), ("Way", 5),
        ("Diameter", 9, "right"), ("Wall", 8, "right"), ("Deposits", 24), ("Pieces", 7, "right"),
        ("Covers", 8), ("Joints that wait", 16), ("Then need nothing else", 16),
        ("Nearest welders", 20),
    )  # fmt: skip
    rows = [_test_row(plan, test, system) for test in plan.welders.tests]
    told = table("Further welder tests", heads, rows, _proof(plan))
    return part(told, "Every need is covered by somebody in force: no test is lacking.")


def _proof(plan: Plan) -> str:
    welders = plan.welders
    if not welders.open:
        return ""
    several = any(test.pieces > 1 for test in welders.tests)
    return (
        f"Tests: {welders.choice.proof}. Chosen among all coupons made of the values of the needs "
        f"and the steps of the codes; {welders.coupons} of them are not outdone by another. What "
        "each covers is the answer of the code, not of the planner."
        + (" Two pieces: the further piece that the code asks of such a test." if several else "")
    )


def _test_row(plan: Plan, test: ProposedTest, system: System) -> Row:
    piece: Certificate = test.certificate
    return row([
        test.name, coded(piece.code), words([*_kinds(piece), piece.product]),
        words(piece.positions), piece.direction, amount(piece.od_mm, "mm", system),
        amount(piece.wall_mm, "mm", system),
        "; ".join(deposit_words(part, system) for part in piece.deposits), str(test.pieces),
        words(plan.asked.needs[place].name for place in test.covers), named(test.joints),
        named(test.freed), "; ".join(map(_offer, test.offers)) or "no welder of the process",
    ])  # fmt: skip


def _kinds(piece: Certificate) -> Iterator[str]:
    yield piece.weld_type
    if piece.branch:
        yield "and full-size branch"
    if piece.supplementary_fillet:
        yield "and fillet piece"


def deposit_words(deposit: Deposit, system: System) -> str:
    """One deposit of a coupon in words."""
    layers = f"{deposit.layers} layers or more" if deposit.layers and deposit.layers > 1 else ""
    root = f"root, backing {deposit.backing}" if deposit.root else "above the root"
    size = amount(deposit.deposit_mm, "mm", system) if deposit.deposit_mm else ""
    kept = (deposit.process, size, deposit.filler, deposit.transfer, root, layers)
    return ", ".join(part for part in kept if part)


def _offer(offer: Offer) -> str:
    return f"{offer.stamp} lacks {words(offer.lacks, 'nothing')}"


def ranges_part(plan: Plan, system: System) -> Part:
    """What each proposed test would qualify, variable by variable."""
    heads = columns(("Test", 6), ("Process", 8), ("Variable", 22), ("Qualifies", 40), ("Basis", 24))
    rows = [
        row([test.name, deposit.process, name, permitted(limit, system), str(limit.basis)])
        for test in plan.welders.tests
        for deposit, found in zip(test.certificate.deposits, test.qualified, strict=True)
        for name, limit in found.items()
    ]
    return part(table("What these tests would qualify", heads, rows), "No test is proposed.")


def open_part(plan: Plan) -> Part:
    """Needs that no single test covers and joints that cannot be planned, each with why."""
    heads = columns(("Need or joint", 12), ("Joints", 24), ("Why no single test helps", 64))
    rows = []
    for place, reasons in plan.welders.impossible:
        need = plan.asked.needs[place]
        start = "cannot be judged until it is recorded: " if cannot_be_judged(reasons) else ""
        rows.append(
            row(
                [need.name, named(need.joints), f"{start}{why(reasons) or 'position'}"],
                ["bad", "", ""],
            )
        )
    rows += [
        row([joint, joint, reason], ["hold", "", ""]) for joint, reason in plan.asked.unplanned
    ]
    return part(table("Needs without a test", heads, rows), "Every need can be met by a test.")
