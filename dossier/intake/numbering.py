"""Joint numbers by the project's own grammar.

The same mark means different things on different jobs (R0 is a first repair here and none
there), so the project declares a regular expression with named groups and what each mark means.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Callable

from dossier.errors import Fault, InputError
from dossier.intake.raw import clip
from dossier.patterns import LONGEST, SlowPatternError, fullmatch
from dossier.records.joints import JointName
from dossier.records.position import Position
from dossier.records.project import Numbering

_GROUPS = frozenset({"series", "sequence", "part", "event", "order"})
_BASE = ("series", "sequence", "part")


def joint_name(number: str, numbering: Numbering) -> JointName:
    """The joint number `number` read by the grammar `numbering`.

    The base is the written text from the first to the last of the groups series, sequence and
    part (a part is a mark that makes another joint, such as the letter of an inserted one). An
    event without a written order is the first. Raises InputError: the number does not match as a
    whole, is longer than any number, or its event mark has no meaning; SlowPatternError.

    >>> grammar = Numbering(
    ...     pattern=r"(?P<series>[A-Z]+)-(?P<sequence>\\d+)(?:(?P<event>R)(?P<order>\\d+)?)?",
    ...     events={"R": "repair"},
    ... )
    >>> name = joint_name("ML-117R2", grammar)
    >>> name.base, name.sequence, name.event, name.order
    ('ML-117', 117, 'repair', 2)
    """
    match = fullmatch(numbering.pattern, number) if len(number) <= LONGEST else None
    if match is None:
        example = f" such as {numbering.example}" if numbering.example else ""
        raise InputError(
            "number", found=clip(number), expected=f"a joint number by the grammar{example}"
        )
    groups = match.groupdict()
    mark = groups.get("event") or ""
    if mark and mark not in numbering.events:
        marks = ", ".join(numbering.events) or "none"
        raise InputError(
            "number", found=f"{clip(number)} with the event mark {clip(mark)}",
            expected=f"one of the declared event marks ({marks})",
        )  # fmt: skip
    spans = [match.span(group) for group in _BASE if groups.get(group)]
    if not spans:
        raise InputError("number", found=clip(number), expected="a series or sequence in it")
    base = number[min(start for start, _ in spans) : max(end for _, end in spans)]
    order = _whole(groups.get("order"), number)
    sequence = _whole(groups.get("sequence"), number)
    event = numbering.events[mark] if mark else ""
    first = 1 if mark else 0
    return JointName(
        written=number,
        base=base,
        series=groups.get("series") or "",
        sequence=sequence,
        event=event,
        order=first if order is None else order,
    )


def _whole(text: str | None, number: str) -> int | None:
    if not text:
        return None
    if len(text) > 9 or not (text.isascii() and text.isdecimal()):
        raise InputError("number", found=clip(number), expected="figures as sequence and order")
    return int(text)


def reader(numbering: Numbering) -> Callable[[str], JointName]:
    """`joint_name` with this grammar. Raises InputError: the grammar itself cannot be used.

    A pattern that once did not end in time is not tried again: every further number is refused.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")  # of what later versions will read in another way
            pattern = re.compile(numbering.pattern)
    except (re.error, OverflowError, RecursionError, Warning) as error:
        raise InputError(
            "pattern", found=f"{clip(numbering.pattern)} ({error})", expected="a regular expression"
        ) from None
    groups = set(pattern.groupindex)
    if not groups & set(_BASE) or groups - _GROUPS:
        raise InputError(
            "pattern", found=f"the groups {', '.join(sorted(groups)) or '(none)'}",
            expected="series or sequence, and of the rest only part, event and order",
        )  # fmt: skip
    slow: list[SlowPatternError] = []

    def read(number: str) -> JointName:
        if slow:
            raise slow[0]
        try:
            return joint_name(number, numbering)
        except SlowPatternError as error:
            slow.append(error)
            raise

    return read


def grammar_faults(numbering: Numbering, origin: Position) -> list[Fault]:
    """What is wrong with the grammar, its example and its void numbers."""
    place = origin.of("numbering").place
    try:
        read = reader(numbering)
    except InputError as error:
        field = "numbering.pattern"
        place = origin.of(field).place
        return [Fault(origin.file, place, field, str(error.found), error.expected)]
    faults = []
    samples = [("example", numbering.example)] if numbering.example else []
    for field, number in [*samples, *((f"void.{number}", number) for number in numbering.void)]:
        try:
            read(number)
        except InputError as error:
            path = f"numbering.{field}"
            place = origin.of(path).place
            faults.append(Fault(origin.file, place, path, str(error.found), error.expected))
    return faults
