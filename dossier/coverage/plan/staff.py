"""Who may weld what: which welders cover each need with a certificate in force on a day."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from dossier.coverage.lookup import holder_on
from dossier.coverage.plan.needs import Need, Needs
from dossier.coverage.plan.rules import alike, covered_by
from dossier.coverage.plan.solve import Choice, fewest
from dossier.coverage.view import View
from dossier.coverage.welders import in_force
from dossier.records.verdicts import CLEAR, Reason, worst
from dossier.records.welders import Certificate, Welder


@dataclass(frozen=True, slots=True)
class Holding:
    """A certificate of a welder who is on the project that day, and the needs that it covers."""

    stamp: str
    name: str
    certificate: Certificate
    covers: frozenset[int]
    dated: tuple[Reason, ...]  # on its being in force that day

    @property
    def in_force(self) -> bool:
        """In force on the day, by the code's own rule."""
        return worst(self.dated) == CLEAR


@dataclass(frozen=True, slots=True)
class Staff:
    """Every holding of the welders on the project, and what follows for each need."""

    day: date
    holdings: tuple[Holding, ...]
    usual: dict[int, tuple[str, ...]]  # need -> stamps that welded to its WPS so far
    smallest: Choice  # the fewest welders who together may weld all that is covered

    def may(self, need: int) -> list[str]:
        """The stamps that may weld a need on the day, sorted."""
        return sorted({h.stamp for h in self.holdings if need in h.covers and h.in_force})

    def lapsed(self, need: int) -> list[Holding]:
        """Holdings that cover a need and are not in force."""
        able = set(self.may(need))
        return [
            h for h in self.holdings if need in h.covers and not h.in_force and h.stamp not in able
        ]

    def open(self, needs: Sequence[Need]) -> list[int]:
        """The needs that nobody may weld on the day."""
        held = frozenset[int]().union(*(h.covers for h in self.holdings if h.in_force))
        return [place for place in range(len(needs)) if place not in held]


def staff_on(seen: View, asked: Needs, day: date) -> Staff:
    """The welders who hold a stamp on `day` against all needs."""
    held = list(_held(seen, day))
    kinds = {id(certificate): alike(certificate) for _, certificate in held}
    covers = covered_by(kinds.values(), asked.needs, seen.choices)
    holdings = tuple(
        Holding(welder.stamp, welder.name, certificate, covers[kinds[id(certificate)]],
                in_force(seen, welder.stamp, certificate, day))
        for welder, certificate in held
    )  # fmt: skip
    able: dict[int, set[str]] = defaultdict(set)
    for one in holdings:
        if one.in_force:
            for place in one.covers:
                able[place].add(one.stamp)
    ways = {str(place): [frozenset({s}) for s in sorted(able[place])] for place in sorted(able)}
    return Staff(day, holdings, _usual(seen, asked.needs), fewest(ways))


def _held(seen: View, day: date) -> Iterator[tuple[Welder, Certificate]]:
    for stamp in sorted(seen.known.welders):
        welder = holder_on(seen.known.welders[stamp], day)
        for certificate in welder.certificates if welder else ():
            ended = certificate.ended_on is not None and certificate.ended_on <= day
            if welder and certificate.result == "passed" and not ended:
                yield welder, certificate


def _usual(seen: View, needs: Sequence[Need]) -> dict[int, tuple[str, ...]]:
    """Stamps by WPS and kind of pass in the joints welded so far, most frequent first."""
    wps = {joint.number: joint.wps for joint in seen.project.joints if joint.status == "welded"}
    counted: dict[tuple[str, str, str], Counter[str]] = defaultdict(Counter)
    for made in seen.project.passes:
        if made.joint in wps:
            counted[wps[made.joint], made.kind, made.process][made.welder] += 1
    usual = {}
    for place, need in enumerate(needs):
        stamps: Counter[str] = Counter()
        for number in need.wps:
            for kind in need.kinds:
                stamps += counted[number, kind, need.weld.process]
        usual[place] = tuple(
            stamp for stamp, _ in sorted(stamps.items(), key=lambda p: (-p[1], p[0]))
        )
    return usual
