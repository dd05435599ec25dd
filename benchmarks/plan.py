"""How long the planner takes: 200 welders against 2,000 distinct needs, three codes together.

python -m benchmarks.plan [NEEDS [WELDERS]]
"""

from __future__ import annotations

import random
import sys
import time
from datetime import date
from itertools import product

from dossier.codes.editions import welder_code
from dossier.coverage.plan.needs import Need, Needs
from dossier.coverage.plan.rules import alike, covered_by
from dossier.coverage.plan.solve import Choice
from dossier.coverage.plan.staff import Holding, Staff
from dossier.coverage.plan.welder_tests import welder_tests
from dossier.records.verdicts import CLEAR, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Deposit, Welder

_KINDS = {
    "ISO 9606-1:2012": (("PA", "PC", "PF", "PH", "H-L045"), ("FM1", "FM2", "FM5"), "1.2"),
    "API 1104:21st": (("PH", "PC", "H-L045"), ("1", "2", "3"), "2.1"),
    "ASME IX:2021": (("1G", "2G", "5G", "6G"), ("F3", "F4", "F43"), "P1.1"),
}
_ODS = (21.3, 33.7, 48.3, 60.3, 88.9, 114.3, 168.3, 219.1, 323.9, 406.4, 610.0)
_WALLS = (2.3, 2.9, 3.6, 4.5, 5.6, 7.1, 8.8, 11.0, 14.2, 17.5, 20.6, 25.4)
_BASE = {"product": "pipe", "weld_type": "butt", "direction": "up", "sides": "single"}
_HOW = {"111": ("basic", "", "DC+"), "141": ("solid", "", "DC-"), "135": ("solid", "spray", "DC+")}


def all_welds() -> list[tuple[str, Weld]]:
    """Every sensible weld of the three codes, in an order drawn once and for all."""
    found = []
    for code, (positions, fillers, metal) in _KINDS.items():
        cells = product(positions, fillers, _ODS, _WALLS, _HOW, ("none", "material"))
        for position, group, od, wall, process, backing in cells:
            covering, transfer, current = _HOW[process]
            weld = Weld(
                **_BASE, process=process, position=position, filler_group=group, filler="x",
                covering=covering, transfer=transfer, current=current, material_group=metal,
                wall_mm=wall, od_mm=od, deposit_mm=wall, backing=backing, layers=2, root=True,
            )  # fmt: skip
            if wall <= od / 4:
                found.append((code, weld))
    random.Random("benchmark").shuffle(found)
    return found


def asked(count: int) -> Needs:
    """`count` distinct needs, each of one joint."""
    needs = tuple(
        Need(f"N{n}", code, weld, ("WPS-1",), ("root",), (f"J-{n}",))
        for n, (code, weld) in enumerate(all_welds()[:count], 1)
    )
    return Needs(needs, {f"J-{n}": (n - 1,) for n in range(1, count + 1)}, ())


def crew(count: int) -> list[Welder]:
    """Welders with one or two certificates each, of medium sizes and plain positions."""
    draw = random.Random("crew")
    welders = []
    for n in range(1, count + 1):
        held = []
        for place in range(draw.choice((1, 2))):
            code = draw.choice(sorted(_KINDS))
            positions, fillers, metal = _KINDS[code]
            process = draw.choice(sorted(_HOW))
            covering, transfer, current = _HOW[process]
            wall = draw.choice((4.5, 7.1))
            part = Deposit(process=process, deposit_mm=wall, filler="x", covering=covering,
                           filler_group=draw.choice(fillers), transfer=transfer, layers=2,
                           backing="material", root=True, current=current)  # fmt: skip
            held.append(Certificate(
                number=f"C-{n}-{place}", code=code, welded_on=date(2026, 1, 5), **_BASE,
                positions=(draw.choice(positions[:2]),), material_group=metal, wall_mm=wall,
                od_mm=draw.choice((114.3, 168.3)), deposits=(part,)))  # fmt: skip
        welders.append(Welder(stamp=f"W{n:03d}", name=f"Welder {n}", certificates=tuple(held)))
    return welders


def main() -> None:
    """Time each step and print one line for it."""
    count, people = (int(text) for text in [*sys.argv[1:], "2000", "200"][:2])
    needs = asked(count)
    start = time.perf_counter()
    welders = crew(people)
    kinds = {c: alike(c) for w in welders for c in w.certificates}
    covers = covered_by(kinds.values(), needs.needs, {})
    holdings = tuple(
        Holding(w.stamp, w.name, c, covers[kinds[c]], ()) for w in welders for c in w.certificates
    )
    staff = Staff(date(2026, 7, 1), holdings, {}, Choice((), 0, ""))
    there = time.perf_counter()
    print(f"{people} welders, {len(kinds)} certificates, {len(covers)} of them differ: "
          f"{there - start:.1f} s against {count} needs")  # fmt: skip
    found = welder_tests(needs, staff, {})
    done = time.perf_counter()
    print(f"open {len(found.open)}, coupons not outdone {found.coupons}, "
          f"no test for {len(found.impossible)}")  # fmt: skip
    print(f"tests: {found.choice.proof}")
    print(f"plan {done - there:.1f} s, in all {done - start:.1f} s")
    verified = all(
        worst(welder_code(test.certificate.code).covers(test.certificate, need.weld, {})) == CLEAR
        for test in found.tests
        for need in (needs.needs[place] for place in test.covers)
    )
    met = {n for t in found.tests for n in t.covers} | {n for n, _ in found.impossible}
    print(f"covers verified by the codes: {verified}; open needs left over: "
          f"{len(set(found.open) - met)}")  # fmt: skip


if __name__ == "__main__":
    main()
