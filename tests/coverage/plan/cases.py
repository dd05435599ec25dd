"""Small invented planning cases, made from a number, for three welder codes."""

from __future__ import annotations

import random
from dataclasses import dataclass
from itertools import combinations

from dossier.coverage.plan.coupons import Size, coupon, settings, sizes, weldable
from dossier.coverage.plan.needs import Need
from dossier.coverage.plan.rules import covered_by
from dossier.coverage.plan.welder_tests import recipes_of
from dossier.records.weld import Weld

CODES = {
    "ISO 9606-1:2012": {
        "positions": ("PA", "PC", "PF", "PH", "H-L045"),
        "fillers": (("FM1", "basic"), ("FM2", "basic"), ("FM1", "rutile")),
        "material": "1.2",
    },
    "API 1104:21st": {
        "positions": ("PH", "PC", "H-L045"),
        "fillers": (("1", "cellulosic"), ("2", "cellulosic"), ("3", "basic")),
        "material": "2.1",
    },
    "ASME IX:2021": {
        "positions": ("1G", "2G", "5G", "6G"),
        "fillers": (("F3", "cellulosic"), ("F4", "basic")),
        "material": "P1.1",
    },
}
OTHERS = {"ISO 9606-1:2012": "141", "API 1104:21st": "135", "ASME IX:2021": "141"}
_OTHER_FILLER = {
    "ISO 9606-1:2012": ("FM1", "solid"),
    "API 1104:21st": ("5", "solid"),
    "ASME IX:2021": ("F6", "solid"),
}
_FILLETS = {
    "ISO 9606-1:2012": ("PA", "PB", "PD"),
    "API 1104:21st": ("PB",),
    "ASME IX:2021": ("1F", "2F", "4F"),
}


@dataclass(frozen=True)
class Case:
    """Open needs of one project, and which of them hang together in a joint."""

    needs: tuple[Need, ...]
    together: tuple[tuple[int, ...], ...]


def weld(draw: random.Random, code: str, *, combined: bool) -> list[Weld]:
    """The welds of one joint: one process for all of it, or a root by another process below."""
    rules = CODES[code]
    group, covering = draw.choice(rules["fillers"])
    od = draw.choice((21.3, 33.7, 60.3, 88.9, 168.3, 406.4))
    wall = draw.choice([w for w in (2.5, 4.0, 7.1, 12.7, 20.6) if w <= od / 4])
    shared = {
        "product": "pipe",
        "weld_type": "butt",
        "position": draw.choice(rules["positions"]),
        "direction": "up",
        "material_group": rules["material"],
        "smys_mpa": 360.0,
        "wall_mm": wall,
        "od_mm": od,
        "sides": "single",
    }
    above = {"process": "111", "filler_group": group, "covering": covering, "current": "DC+"}
    kind = draw.choice(("butt", "butt", "butt", "branch", "fillet"))
    if kind == "fillet":
        plate = {"product": "plate", "od_mm": None, "wall_mm": draw.choice((2.5, 10.0)),
                 "position": draw.choice(_FILLETS[code])}  # fmt: skip
        return [Weld(**{**shared, **plate, "weld_type": kind}, **above, throat_mm=5.0,
                     backing="none", layers=draw.choice((1, 2)), root=True)]  # fmt: skip
    if kind == "branch":
        shared |= {"weld_type": kind, "branch_angle_deg": draw.choice((45.0, 90.0))}
    if not combined or wall <= 3:
        return [Weld(**shared, **above, deposit_mm=wall, backing="none", layers=2, root=True)]
    other, form = _OTHER_FILLER[code]
    root = {"process": OTHERS[code], "filler_group": other, "covering": form, "current": "DC-",
            "filler": "ER70S-6"}  # fmt: skip
    if OTHERS[code] == "135":
        root["transfer"] = "short circuit"
    return [
        Weld(**shared, **root, deposit_mm=3.0, backing="none", layers=1, root=True),
        Weld(**shared, **above, deposit_mm=round(wall - 3.0, 6), backing="weld metal", layers=2,
             root=False),
    ]  # fmt: skip


def case(number: int) -> Case:
    """Two to four joints under one code, always the same for one number."""
    draw = random.Random(f"plan/{number}")  # noqa: S311 - no secret
    code = sorted(CODES)[number % len(CODES)]
    found: dict[Weld, int] = {}
    together = []
    for joint in range(draw.choice((2, 3, 4))):
        made = weld(draw, code, combined=joint == 0 and draw.random() < 0.4)
        together.append(tuple(found.setdefault(one, len(found)) for one in made))
    needs = tuple(
        Need(f"N{n + 1}", code, one, ("WPS-1",), ("root",), (f"J-{n}",)) for one, n in found.items()
    )
    return Case(needs, tuple(sorted(set(together))))


def every_cover(made: Case) -> set[frozenset[int]]:
    """What each coupon covers, nothing left out: no test is ruled out by another here."""
    needs = made.needs
    covers: set[frozenset[int]] = set()
    for parts in recipes_of(needs, range(len(needs)), made.together):
        related = [n for n in needs if n.weld.process in {part.process for part in parts}]
        for setting in settings(needs[0].code, related):
            ods, walls = sizes(setting, parts, related)
            made_ = (Size(od, *wall) for od in ods for wall in walls)
            tests = [coupon(setting, parts, size) for size in made_ if weldable(size, related)]
            covers |= set(covered_by(tests, needs, {}).values())
    return covers - {frozenset()}


def fewest_by_trying(covers: set[frozenset[int]]) -> tuple[int, frozenset[int]]:
    """The size of the smallest choice, found by trying all, and what can be covered at all."""
    whole = frozenset[int]().union(*covers)
    count = 0
    while True:
        for chosen in combinations(covers, count):
            if frozenset[int]().union(*chosen) == whole:
                return count, whole
        count += 1
