"""Certificates that end in the days ahead, and which planned joints could confirm them.

What helps is asked of the code: a confirmation, or a renewal test, is put into the history of
the certificate, and counts only if the code's own last day moves. A joint confirms a welder who
makes one of its pass groups inside the range of the certificate; one joint may confirm as many
welders as it has places (pass groups, and halves of the pipe where these are welded apart).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from dossier.codes.editions import welder_code
from dossier.coverage.continuity import history_of
from dossier.coverage.plan.needs import Needs
from dossier.coverage.plan.staff import Holding, Staff
from dossier.coverage.view import View
from dossier.records.verdicts import CLEAR, Reason
from dossier.records.welders import Confirmation

SIGNATURE, TEST = "signed confirmation", "renewal test"
_SIGNER = "planned"


@dataclass(frozen=True, slots=True)
class Lapse:
    """One certificate whose last day lies ahead: what is missed after it, what the code takes."""

    holding: Holding
    until: date
    missed: tuple[Reason, ...]
    helps: str  # SIGNATURE, TEST, or "" where only a new certificate helps
    until_then: date | None  # last day if that is done on the last day
    processes: tuple[str, ...]  # that must each be confirmed

    @property
    def name(self) -> str:
        """The welder's stamp and the certificate."""
        return f"{self.holding.stamp} {self.holding.certificate.number}"


@dataclass(frozen=True, slots=True)
class Confirmations:
    """Which joint confirms whom, and what stays unconfirmed by any planned joint."""

    by_joint: dict[str, tuple[str, ...]]  # joint -> "stamp certificate, process"
    without: tuple[tuple[str, str], ...]  # the same, why no planned joint serves
    least: int  # joints that any choice takes

    @property
    def proven(self) -> bool:
        """No choice takes fewer joints."""
        return len(self.by_joint) <= self.least


@dataclass(frozen=True, slots=True)
class Ahead:
    """All lapses of the days ahead, soonest first, with the joints that confirm them."""

    days: int
    lapses: tuple[Lapse, ...]
    confirmations: Confirmations


def lapses_ahead(seen: View, asked: Needs, staff: Staff, days: int) -> Ahead:
    """Lapses not later than `days` after the day of the view; renewals by test are not planned."""
    last = seen.as_of + timedelta(days=days)
    found = sorted(_lapses(seen, staff, last), key=lambda one: (one.until, one.name))
    return Ahead(days, tuple(found), _confirmations(seen, asked, found))


def _lapses(seen: View, staff: Staff, last: date) -> Iterator[Lapse]:
    for held in staff.holdings:
        certificate = held.certificate
        code = welder_code(certificate.code)
        history = history_of(seen, held.stamp, certificate)
        until = code.valid_until(certificate, history, seen.choices)
        if not seen.as_of <= until <= last:
            continue
        after = code.valid_on(certificate, until + timedelta(days=1), history, seen.choices)
        missed = tuple(reason for reason in after if reason.verdict > CLEAR)
        for helps in (SIGNATURE, TEST):
            entry = Confirmation(signed_on=until, by=_SIGNER, renewal=helps == TEST)
            then = code.valid_until(certificate, (*history, entry), seen.choices)
            if then > until:
                yield Lapse(held, until, missed, helps, then, _processes(held, helps))
                break
        else:
            yield Lapse(held, until, missed, "", None, ())


def _processes(held: Holding, helps: str) -> tuple[str, ...]:
    if helps != SIGNATURE:
        return ()
    return tuple(dict.fromkeys(part.process for part in held.certificate.deposits))


Asking = tuple[str, str, str]  # "stamp certificate", process, stamp


def _confirmations(seen: View, asked: Needs, found: Sequence[Lapse]) -> Confirmations:
    wanted: dict[Asking, list[int]] = {}
    for lapse in found:
        for process in lapse.processes:
            key = (lapse.name, process, lapse.holding.stamp)
            wanted[key] = [
                place
                for place in sorted(lapse.holding.covers)
                if asked.needs[place].weld.process == process
            ]
    without = tuple(
        (f"{name}, {process}", "no planned joint lies in the range of the certificate")
        for (name, process, _), places in wanted.items()
        if not places
    )
    given = _placed(seen, asked, {key: places for key, places in wanted.items() if places})
    missed = tuple(
        (f"{name}, {process}", "the joints in its range have no place left")
        for (name, process, stamp), places in wanted.items()
        if places and (name, process, stamp) not in given
    )
    by_joint: dict[str, list[str]] = defaultdict(list)
    for (name, process, _), joint in given.items():
        by_joint[joint].append(f"{name}, {process}")
    order = {joint: tuple(sorted(names)) for joint, names in by_joint.items()}
    return Confirmations(order, (*without, *missed), _least(seen, asked, wanted, given))


def _least(
    seen: View, asked: Needs, wanted: Mapping[Asking, Sequence[int]], given: Mapping[Asking, str]
) -> int:
    """Joints that those confirmed take at the least: askings over places, kind by kind of joint.

    Kinds of joint that share a need are counted together.
    """
    sides = _sides(seen, asked)
    kinds: list[tuple[set[int], int]] = []  # needs that hang together, most places of a joint
    for joint, needs in asked.of_joint.items():
        kinds = _merged(kinds, set(needs), len(needs) * sides.get(joint, 1))
    for key in given:
        kinds = _merged(kinds, set(wanted[key]), 1)
    counts = [sum(bool(held & set(wanted[key])) for key in given) for held, _ in kinds]
    return sum(ceil(n / places) for n, (_, places) in zip(counts, kinds, strict=True) if n)


def _merged(
    kinds: list[tuple[set[int], int]], needs: set[int], most: int
) -> list[tuple[set[int], int]]:
    apart = []
    for held, places in kinds:
        if needs & held:
            needs, most = needs | held, max(most, places)
        else:
            apart.append((held, places))
    return [*apart, (needs, most)]


def _placed(seen: View, asked: Needs, wanted: Mapping[Asking, Sequence[int]]) -> dict[Asking, str]:
    """Each asking in a joint with a place for it; a joint in use is filled up before a new one.

    Largest gain first, which is not always the fewest joints: the plan says so.
    """
    sides = _sides(seen, asked)
    joints: dict[int, int] = defaultdict(int)
    for needs in asked.of_joint.values():
        for place in needs:
            joints[place] += 1
    # Who has the fewest joints to choose from comes first.
    order = sorted(wanted, key=lambda key: (sum(joints[n] for n in wanted[key]), key))
    left = {key: wanted[key] for key in order}
    given: dict[Asking, str] = {}
    free = dict.fromkeys(asked.of_joint)
    while left and free:
        best: dict[Asking, int] = {}
        chosen = ""
        for joint in free:
            fits = _fits(asked.of_joint[joint], left, sides.get(joint, 1))
            if len(fits) > len(best):
                best, chosen = fits, joint
        if not best:
            break
        del free[chosen]
        for key in best:
            given[key] = chosen
            del left[key]
    return given


def _fits(
    needs: Sequence[int], left: Mapping[Asking, Sequence[int]], sides: int
) -> dict[Asking, int]:
    """Who can be confirmed in one joint, in the order given: one welder a place."""
    places = dict.fromkeys(needs, sides)
    stamps: dict[int, set[str]] = defaultdict(set)
    fits: dict[Asking, int] = {}
    for key in left:
        for place in left[key]:
            if places.get(place, 0) and key[2] not in stamps[place]:
                places[place] -= 1
                stamps[place].add(key[2])
                fits[key] = place
                break
    return fits


def _sides(seen: View, asked: Needs) -> dict[str, int]:
    """How many welders share a pass: as many as the joints welded to the same WPS show."""
    wps = {joint.number: joint.wps for joint in seen.project.joints}
    seen_sides: dict[str, set[str]] = defaultdict(set)
    for made in seen.project.passes:
        seen_sides[wps.get(made.joint, "")].add(made.side)
    return {joint: max(1, len(seen_sides.get(wps[joint], ()))) for joint in asked.of_joint}
