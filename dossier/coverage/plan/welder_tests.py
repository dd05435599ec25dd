"""The fewest further welder tests that let every planned joint be welded."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from dossier.codes.editions import welder_code
from dossier.codes.face import PROCESS, Choices
from dossier.coverage.plan.coupons import (
    BRANCH_MM,
    THICK_MM,
    Part,
    Size,
    coupon,
    effort,
    part_of,
    pieces,
    recipes,
    settings,
    sizes,
    weldable,
)
from dossier.coverage.plan.dominance import limits_of, widest
from dossier.coverage.plan.needs import Need, Needs
from dossier.coverage.plan.rules import alike, covered_by, reasons_for
from dossier.coverage.plan.solve import Choice, fewest
from dossier.coverage.plan.staff import Staff
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Qualified, Reason, worst
from dossier.records.welders import Certificate

_COMPARED = 10  # needs of a test that the welders on the project are held against


@dataclass(frozen=True, slots=True)
class Candidate:
    """A test that could be welded and the places of the open needs that its code says it covers."""

    name: str
    certificate: Certificate
    covers: frozenset[int]


@dataclass(frozen=True, slots=True)
class Offer:
    """A welder who could take a test: what today's nearest certificate lacks for it."""

    stamp: str
    name: str
    lacks: tuple[str, ...]  # variables


@dataclass(frozen=True, slots=True)
class ProposedTest:
    """One test of the plan: the coupon, what it qualifies, what it unlocks, who could take it."""

    name: str
    certificate: Certificate
    pieces: int
    covers: tuple[int, ...]
    alone: tuple[int, ...]  # covered by no other test of the plan
    joints: tuple[str, ...]  # that wait for it
    freed: tuple[str, ...]  # that need nothing else
    qualified: tuple[Qualified, ...]  # for each deposit
    offers: tuple[Offer, ...]


@dataclass(frozen=True, slots=True)
class WelderTests:
    """The plan, its proof, how many coupons were looked at, and needs that no test covers."""

    open: tuple[int, ...]
    tests: tuple[ProposedTest, ...]
    choice: Choice
    coupons: int  # that differ in what they cover
    impossible: tuple[tuple[int, tuple[Reason, ...]], ...]


def welder_tests(asked: Needs, staff: Staff, choices: Choices) -> WelderTests:
    """Plan the fewest tests for the needs that nobody may weld on the day of `staff`."""
    lacking = staff.open(asked.needs)
    needs = [asked.needs[place] for place in lacking]
    together = _together(asked, lacking)
    found = candidates(needs, together, choices)
    ways = {
        str(n): [frozenset({c.name}) for c in found if n in c.covers] for n in range(len(needs))
    }
    impossible = [n for n in range(len(needs)) if not ways[str(n)]]
    choice = fewest(
        {name: way for name, way in ways.items() if way},
        {c.name: float(pieces(c.certificate) - 1) for c in found},
    )
    chosen = [c for c in found if c.name in choice.names]
    return WelderTests(
        tuple(lacking),
        tuple(_proposed(asked, staff, lacking, chosen, choices)),
        choice,
        len(found),
        tuple((lacking[n], _why(needs[n], found, choices)) for n in impossible),
    )


def _together(asked: Needs, lacking: Sequence[int]) -> list[tuple[int, ...]]:
    """The open needs of each joint, as places among the open ones."""
    place = {need: n for n, need in enumerate(lacking)}
    groups = {tuple(place[n] for n in needs if n in place) for needs in asked.of_joint.values()}
    return sorted(group for group in groups if group)


def candidates(
    needs: Sequence[Need], together: Iterable[Sequence[int]], choices: Choices
) -> list[Candidate]:
    """Tests worth taking for `needs`, each with what it covers; none covers less than another."""
    groups = [tuple(group) for group in together]
    made: list[Certificate] = []
    for code in dict.fromkeys(need.code for need in needs):
        own = {n for n, need in enumerate(needs) if need.code == code}
        mine = [group for group in groups if own.issuperset(group)]
        found = recipes_of(needs, sorted(own), mine)
        made += widest(_coupons(code, [needs[n] for n in sorted(own)], found, choices), choices)
    covers = covered_by(made, needs, choices)
    best: list[tuple[Certificate, frozenset[int]]] = []
    for certificate, held in sorted(covers.items(), key=lambda p: (-len(p[1]), effort(p[0]))):
        extra = pieces(certificate)
        if held and not any(held <= wide and pieces(c) <= extra for c, wide in best):
            best.append((certificate, held))
    return [Candidate(f"C{n}", *pair) for n, pair in enumerate(best, 1)]


def recipes_of(
    needs: Sequence[Need], own: Sequence[int], together: Iterable[Sequence[int]]
) -> list[tuple[Part, ...]]:
    """The recipes of the needs of one code, whose places are `own`."""
    place = {n: index for index, n in enumerate(own)}
    return recipes([needs[n] for n in own], [[place[n] for n in group] for group in together])


def _coupons(
    code: str, needs: Sequence[Need], found: Iterable[tuple[Part, ...]], choices: Choices
) -> Iterator[Certificate]:
    for parts in found:
        processes = {part.process for part in parts}
        related = [need for need in needs if need.weld.process in processes]
        for setting in settings(code, related):
            ods, walls = sizes(setting, parts, related)
            for od in ods:
                made = (Size(od, *wall) for wall in walls)
                fitting = [coupon(setting, parts, size) for size in made if weldable(size, related)]
                yield from widest(fitting, choices)


def _proposed(
    asked: Needs,
    staff: Staff,
    lacking: Sequence[int],
    chosen: Sequence[Candidate],
    choices: Choices,
) -> Iterator[ProposedTest]:
    for number, one in enumerate(chosen, 1):
        others = frozenset[int]().union(*(c.covers for c in chosen if c is not one))
        covers = tuple(sorted(lacking[n] for n in one.covers))
        opened = set(covers)
        waiting = [j for j, needs in asked.of_joint.items() if opened.intersection(needs)]
        shut = set(lacking) - opened
        code = welder_code(one.certificate.code)
        yield ProposedTest(
            f"T{number}",
            replace(one.certificate, number=f"T{number}"),
            pieces(one.certificate),
            covers,
            tuple(sorted(lacking[n] for n in one.covers - others)),
            tuple(waiting),
            tuple(j for j in waiting if not shut.intersection(asked.of_joint[j])),
            tuple(
                code.qualified_range(one.certificate, part, choices)
                for part in one.certificate.deposits
            ),
            tuple(_offers(asked, staff, covers, choices)),
        )


def _offers(
    asked: Needs, staff: Staff, covers: Sequence[int], choices: Choices, most: int = 3
) -> Iterator[Offer]:
    """The welders whose certificates in force come nearest to what the test would cover."""
    needs = [asked.needs[place] for place in covers[:_COMPARED]]
    lacks: dict[Certificate, tuple[str, ...] | None] = {}
    near: dict[str, Offer] = {}
    for held in staff.holdings:
        if not held.in_force or held.certificate.code != needs[0].code:
            continue
        kind = alike(held.certificate)
        if kind not in lacks:
            lacks[kind] = _nearest(kind, needs, choices)
        found = lacks[kind]
        known = near.get(held.stamp)
        if found is not None and (known is None or len(found) < len(known.lacks)):
            near[held.stamp] = Offer(held.stamp, held.name, found)
    ranked = sorted(near.values(), key=lambda offer: (len(offer.lacks), offer.stamp))
    yield from ranked[:most]


def _nearest(kind: Certificate, needs: Sequence[Need], choices: Choices) -> tuple[str, ...] | None:
    """The fewest variables that a certificate lacks for one of the needs; None: other process."""
    answers = [_lacks(reasons_for(kind, need.weld, choices)) for need in needs]
    return min((a for a in answers if PROCESS not in a), key=len, default=None)


def _lacks(reasons: Iterable[Reason]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(r.variable for r in reasons if r.verdict != CLEAR))


def _why(need: Need, found: Sequence[Candidate], choices: Choices) -> tuple[Reason, ...]:
    """What stands against a need in the test that comes nearest to it: its own, or a wider one."""
    parts = (part_of(need.weld),)
    own = [
        coupon(setting, parts, Size(od, *wall))
        for setting in settings(need.code, [need])
        for ods, walls in [sizes(setting, parts, [need])]
        for od in ods or [BRANCH_MM]  # a size that is not recorded still needs a coupon
        for wall in walls or [(THICK_MM, (None,))]
    ]
    wider = [c.certificate for c in found if c.certificate.code == need.code]
    tests = [test for test in (*own, *wider) if limits_of(test, choices) is not None]
    answers = [reasons_for(test, need.weld, choices) for test in tests]
    if not answers:
        return ()
    best = min(answers, key=lambda rs: (sum(r.verdict != CLEAR for r in rs), worst(rs)))
    return tuple(r for r in best if r.verdict != CLEAR)


def cannot_be_judged(reasons: Iterable[Reason]) -> bool:
    """Whether a need is open only because the records lack a value that the code asks for."""
    return all(reason.verdict < NONCONFORMITY for reason in reasons)
