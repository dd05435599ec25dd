"""Verdicts and what they rest on: Basis, Range, Choice, Reason, Evidence, Finding.

A rule answers with reasons, never with a bare bool. The five verdicts are ordered from mild to
severe, so that the worst of several is their maximum.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import IntEnum
from math import inf, isinf

from dossier.records.position import Position
from dossier.units import figure


class Verdict(IntEnum):
    """What a reason or a finding amounts to, mildest first."""

    CLEAR = 0
    NOTE = 1  # worth knowing
    HOLD = 2  # evidence missing or contradictory: paper may cure it
    NONCONFORMITY = 3  # a requirement is broken: needs a signed disposition
    CUT_OUT = 4  # the weld must come out

    def __str__(self) -> str:
        return self.name.lower().replace("_", "-")

    @classmethod
    def parse(cls, text: str) -> Verdict:
        """The verdict written as `text` ("cut-out"). Raises KeyError for any other word."""
        return cls[text.upper().replace("-", "_")]


CLEAR, NOTE, HOLD, NONCONFORMITY, CUT_OUT = Verdict


@dataclass(frozen=True, slots=True, order=True)
class Basis:
    """What asks for it: a standard with edition and clause, or the project's own requirement.

    `known` tells how the rule is known: "read" in the standard's text, "secondary" (a page that
    reports it), "memory", "practice" (common practice of the trade) or "project".
    """

    standard: str
    edition: str
    clause: str
    known: str = "secondary"

    @property
    def title(self) -> str:
        """Standard and edition as the trade writes them.

        >>> Basis("ISO 9606-1", "2012", "5.7").title, Basis("API 1104", "21st", "6.2").title
        ('ISO 9606-1:2012', 'API 1104, 21st edition')
        """
        if not self.edition:
            return self.standard
        if self.standard.startswith(("ISO", "EN")):
            return f"{self.standard}:{self.edition}"
        if self.edition[0].isdigit() and self.edition[-2:] in ("st", "nd", "rd", "th"):
            return f"{self.standard}, {self.edition} edition"
        return f"{self.standard}, {self.edition}"

    def __str__(self) -> str:
        return f"{self.title}, {self.clause}" if self.clause else self.title


def code_title(code: str) -> str:
    """A code edition as the trade writes it, from the value that records name it by.

    >>> code_title("API 1104:21st"), code_title("ISO 5817:2014 B"), code_title("ASME IX:2021")
    ('API 1104, 21st edition', 'ISO 5817:2014, level B', 'ASME IX, 2021')
    """
    standard, _, year = code.rpartition(":")
    edition, _, level = year.partition(" ")
    title = Basis(standard, edition, "").title if standard else code
    return f"{title}, level {level}" if standard and level else title


@dataclass(frozen=True, slots=True)
class Reason:
    """One comparison: the variable, what was found, what is permitted, and the basis of that."""

    variable: str
    found: str
    permitted: str
    basis: Basis
    verdict: Verdict = CLEAR


def worst(reasons: Iterable[Reason]) -> Verdict:
    """The severest verdict among `reasons`; clear when there are none."""
    return max((reason.verdict for reason in reasons), default=CLEAR)


@dataclass(frozen=True, slots=True)
class Range:
    """The values of a numeric variable that something permits, both ends included unless open.

    `low` and `high` in `unit`; `inf` is "no upper end". An empty range says why in `nothing`.
    Comparisons are made at the precision `step`, so that rounding noise never decides.
    """

    low: float
    high: float
    basis: Basis
    unit: str = "mm"
    low_open: bool = False
    high_open: bool = False
    nothing: str = ""
    step: float = 1e-6

    @classmethod
    def none(cls, basis: Basis, why: str, unit: str = "mm") -> Range:
        """A range that permits nothing, with the reason why."""
        return cls(inf, -inf, basis, unit, nothing=why)

    def __contains__(self, value: float) -> bool:
        if self.nothing:
            return False
        above = value > self.low + self.step if self.low_open else value >= self.low - self.step
        below = value < self.high - self.step if self.high_open else value <= self.high + self.step
        return above and below

    def __str__(self) -> str:
        if self.nothing:
            return f"nothing: {self.nothing}"
        return self._words(exact=False)

    def _words(self, *, exact: bool) -> str:
        unit = f" {self.unit}" if self.unit else ""
        low, high = self._figure(self.low, exact=exact), self._figure(self.high, exact=exact)
        if self.low in (0, -inf) and not self.low_open:
            if self.high == inf:
                return "any"
            return f"{'less than' if self.high_open else 'up to'} {high}{unit}"
        if self.high == inf:
            return f"{'more than' if self.low_open else 'from'} {low}{unit}"
        first = f"more than {low}" if self.low_open else low
        last = f"less than {high}" if self.high_open else high
        return f"{first} to {last}{unit}"

    def judge(self, variable: str, value: float | None, worse: Verdict = NONCONFORMITY) -> Reason:
        """The reason for `value` against this range; `worse` is the verdict when it is outside.

        A value that is not recorded (None) cannot be proved: hold.
        """
        if value is None:
            return Reason(variable, "not recorded", str(self), self.basis, HOLD)
        unit = f" {self.unit}" if self.unit else ""
        inside = value in self
        # Rounding must not make a value outside read as if it stood on the limit.
        ends = (self._figure(end, exact=False) for end in (self.low, self.high))
        exact = not inside and self._figure(value, exact=False) in ends
        found = f"{self._figure(value, exact=exact)}{unit}"
        words = str(self) if self.nothing else self._words(exact=exact)
        return Reason(variable, found, words, self.basis, CLEAR if inside else worse)

    def _figure(self, value: float, *, exact: bool) -> str:
        """A number of the range, rounded as its unit is printed, or with six figures."""
        return f"{value:.6g}" if exact or isinf(value) else figure(value, self.unit)


@dataclass(frozen=True, slots=True)
class Choice:
    """The values of a worded variable that something permits (processes, positions, groups).

    `values` None means any value is permitted (the variable does not bind).
    """

    values: frozenset[str] | None
    basis: Basis
    nothing: str = ""

    @classmethod
    def of(cls, values: Iterable[str], basis: Basis) -> Choice:
        """The permitted `values` with their `basis`."""
        return cls(frozenset(values), basis)

    def __contains__(self, value: str) -> bool:
        return self.values is None or value in self.values

    def __str__(self) -> str:
        if self.values is None:
            return "any"
        return ", ".join(sorted(self.values)) or f"nothing: {self.nothing or 'none qualifies'}"

    def judge(self, variable: str, value: str | None, worse: Verdict = NONCONFORMITY) -> Reason:
        """The reason for `value` against this choice; not recorded (None) is a hold."""
        if value is None:
            return Reason(variable, "not recorded", str(self), self.basis, HOLD)
        return Reason(variable, value, str(self), self.basis, CLEAR if value in self else worse)


# What a test qualifies, variable by variable ("outside diameter" -> Range, ...), in sheet order.
Qualified = dict[str, "Range | Choice"]


@dataclass(frozen=True, slots=True)
class Evidence:
    """What proves it: the record's position, or a document and the page in it."""

    position: Position | None = None
    document: str = ""
    page: int | None = None

    def __str__(self) -> str:
        where = str(self.position) if self.position else ""
        paper = f"{self.document}, page {self.page}" if self.page else self.document
        return "; ".join(part for part in (where, paper) if part)


@dataclass(frozen=True, slots=True)
class Finding:
    """What a check found of a subject, with its reasons, the evidence and what would cure it."""

    check: str
    verdict: Verdict
    subject: tuple[tuple[str, str], ...]  # (("joint", "J-117"), ("welder", "W07"))
    sentence: str
    reasons: tuple[Reason, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    cure: str = ""
    conceded_by: str = ""  # number of the concession that answers it
    id: str = field(init=False, default="")

    def __post_init__(self) -> None:
        text = "|".join([self.check, *(f"{kind}={name}" for kind, name in self.subject)])
        digest = hashlib.sha256(text.encode()).hexdigest()[:10]
        object.__setattr__(self, "id", f"{self.check}-{digest}")

    def about(self, kind: str) -> str:
        """The subject's name of one kind ("joint"), "" when the finding is not about one."""
        return dict(self.subject).get(kind, "")
