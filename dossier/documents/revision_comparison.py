"""What changed from one revision of a WPS to the next, and what that means for its tests."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import TypedDict

from dossier.coverage.revisions import Change, changes
from dossier.coverage.view import View
from dossier.documents.answers import Answers
from dossier.documents.sheet import (
    Fact,
    Head,
    Row,
    Table,
    columns,
    day,
    fact,
    head,
    row,
    system_of,
    table,
    words,
)
from dossier.drawings.words import show_span
from dossier.errors import InputError
from dossier.records.procedures import Procedure, Span
from dossier.records.verdicts import worst
from dossier.units import System, show

# How the name of a field ends -> its unit. The longer endings come first.
_UNITS = {
    "_mm_min": "mm/min", "_m_min": "m/min", "_l_min": "l/min", "_kj_mm": "kJ/mm",
    "_ml_100g": "ml/100 g", "_c_h": "°C/h", "_percent": "%", "_mpa": "MPa", "_deg": "deg",
    "_min": "min", "_mm": "mm", "_hv": "HV", "_a": "A", "_v": "V", "_c": "°C",
}  # fmt: skip
_WORDS = {
    "smys_mpa": "minimum yield strength", "od_mm": "outside diameter", "wall_mm": "wall thickness",
    "pqrs": "supporting tests", "pwht": "post-weld heat treatment", "ce_formula":
    "carbon equivalent formula", "ce_max_percent": "carbon equivalent, at most", "filler_mm":
    "filler size", "preheat_min_c": "preheat, at least", "interpass_max_c": "interpass, at most",
    "within_min": "start within", "hardness_max_hv": "hardness, at most", "hi_lo_max_mm":
    "hi-lo, at most", "cap_height_max_mm": "cap height, at most", "travel_mm_min": "travel speed",
    "hydrogen_ml_100g": "diffusible hydrogen",
}  # fmt: skip


class Comparison(TypedDict):
    """All data of the comparison of two revisions."""

    head: Head
    summary: list[Fact]
    rows: Table


def pairs(seen: View) -> Iterator[tuple[Procedure, Procedure]]:
    """Each revision of a WPS with the one listed after it, drafts included."""
    for revisions in seen.known.procedures.values():
        yield from pairwise(revisions)


def context(
    seen: View, old: Procedure, new: Procedure, answers: Answers, number: str
) -> Comparison:
    """Plain data of the comparison of two revisions. Reads no clock and no file."""
    system = system_of(seen.project.settings)
    found = changes(old, new)
    heads = columns(
        ("What", 34), (f"Revision {old.revision}", 33), (f"Revision {new.revision}", 33)
    )
    rows = [_row(change, old, new, system) for change in found]
    note = "Signatures, dates and status are left aside. Passes are compared in their order."
    welded = [j for j in seen.project.joints if j.wps == new.number and j.status == "welded"]
    return Comparison(
        head=head(
            seen, number=number, revision=new.revision,
            title=f"{new.number}: revision {old.revision} against revision {new.revision}",
        ),
        summary=[
            fact("Reason given", new.change),
            fact("Differences", str(len(found)) if found else "none"),
            fact(f"In force, revision {old.revision}", _term(old)),
            fact(f"In force, revision {new.revision}", _term(new)),
            fact(f"Welded to revision {old.revision}",
                 str(sum(j.wps_revision == old.revision for j in welded))),
            fact(f"Welded to revision {new.revision}",
                 str(sum(j.wps_revision == new.revision for j in welded))),
            fact(f"Tests of revision {old.revision}", _support(seen, old, answers)),
            fact(f"Tests of revision {new.revision}", _support(seen, new, answers)),
        ],
        rows=table("What the sheet prescribes differently", heads, rows, note),
    )  # fmt: skip


def _term(wps: Procedure) -> str:
    if wps.status == "draft":
        return "preliminary"
    until = day(wps.valid_until) if wps.valid_until else "open"
    return f"{day(wps.valid_from)} to {until}"


def _support(seen: View, wps: Procedure, answers: Answers) -> str:
    tests = [pqr for pqr in seen.project.pqrs if pqr.number in wps.pqrs]
    if not tests:
        return "none on record"
    verdict = worst(answers.supports(wps, tests))
    return f"{words(pqr.number for pqr in tests)}: {verdict}"


def named(path: str, old: Procedure, new: Procedure) -> str:
    """A field in words: "pass 2 (hot), current".

    >>> from dataclasses import replace
    >>> one = Procedure(number="WPS-1", revision="0", title="Butts", code="ISO 15614-1:2017")
    >>> named("wall_mm", one, one), named("groove.gap_mm", one, one)
    ('wall thickness', 'groove, gap')
    """
    told: list[str] = []
    parts = path.split(".")
    for place, part in enumerate(parts):
        if part.isdigit() and place and parts[place - 1] == "passes":
            number = int(part)
            passes = new.passes if number <= len(new.passes) else old.passes
            told[-1] = f"pass {number} ({passes[number - 1].kind})"
        else:
            told.append(_WORDS.get(part) or _plain(part))
    return ", ".join(told)


def _plain(part: str) -> str:
    for ending in _UNITS:
        if part.endswith(ending):
            part = part.removesuffix(ending)
            break
    return part.replace("_", " ")


def _row(change: Change, old: Procedure, new: Procedure, system: System) -> Row:
    unit = next((u for end, u in _UNITS.items() if change.field.endswith(end)), "")
    cells = [_value(text, unit, system) for text in (change.before, change.after)]
    if whole := re.fullmatch(r"passes\.(\d+)", change.field):  # a pass added or left out
        cells = [_pass(wps, int(whole.group(1))) for wps in (old, new)]
    return row([named(change.field, old, new), *cells])


def _pass(wps: Procedure, number: int) -> str:
    if number > len(wps.passes):
        return "not there"
    planned = wps.passes[number - 1]
    return words([planned.kind, planned.process, planned.filler])


_SPAN = re.compile(r"(any|-?[\d.e+]+) to (any|-?[\d.e+]+)")


def _value(text: str, unit: str, system: System) -> str:
    """A value of a change with its unit, in the system of the project."""
    if not unit or text == "blank":
        return text
    span = _SPAN.fullmatch(text)
    try:
        if span:
            low, high = (None if end == "any" else float(end) for end in span.groups())
            return show_span(Span(low=low, high=high), unit, system)
        return show(float(text), unit, system)
    except (ValueError, InputError):
        return text
