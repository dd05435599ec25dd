"""Grammars of different jobs: the same mark means different things."""

from __future__ import annotations

import pytest

from dossier.errors import InputError
from dossier.intake.numbering import grammar_faults, joint_name, reader
from dossier.records.position import Position
from dossier.records.project import Numbering

PIPELINE = Numbering(
    pattern=r"(?P<series>J|T|FT)-(?P<sequence>\d+)(?P<event>RW|R|A)?(?P<order>\d+)?",
    events={"R": "repair", "RW": "cut-out", "A": "re-weld"},
    void={"J-31": "skipped"},
    example="J-30R",
)
PLANT = Numbering(  # R0 is the first repair; A and B are inserted joints of their own
    pattern=r"(?P<sequence>\d+)(?P<part>[AB])?(?P<event>RW|R|M)?(?P<order>\d+)?",
    events={"R": "repair", "RW": "re-weld", "M": "changed by drawing"},
)


@pytest.mark.parametrize(
    ("grammar", "written", "base", "series", "sequence", "event", "order"),
    [
        (PIPELINE, "J-30", "J-30", "J", 30, "", 0),
        (PIPELINE, "FT-007", "FT-007", "FT", 7, "", 0),
        (PIPELINE, "T-30R", "T-30", "T", 30, "repair", 1),
        (PIPELINE, "J-30R2", "J-30", "J", 30, "repair", 2),
        (PIPELINE, "J-30RW", "J-30", "J", 30, "cut-out", 1),
        (PIPELINE, "J-30A", "J-30", "J", 30, "re-weld", 1),
        (PLANT, "12R0", "12", "", 12, "repair", 0),
        (PLANT, "8RW1", "8", "", 8, "re-weld", 1),
        (PLANT, "5A", "5A", "", 5, "", 0),
        (PLANT, "5BR1", "5B", "", 5, "repair", 1),
    ],
)
def test_numbers_are_read(
    grammar: Numbering,
    written: str,
    base: str,
    series: str,
    sequence: int,
    event: str,
    order: int,
) -> None:
    name = reader(grammar)(written)
    found = (name.written, name.base, name.series, name.sequence, name.event, name.order)
    assert found == (written, base, series, sequence, event, order)


@pytest.mark.parametrize("written", ["j-30", "J-30 ", "J-3O", "J-30X", "X-1", "", "J-30\n"])
def test_what_the_grammar_does_not_read_is_refused(written: str) -> None:
    with pytest.raises(InputError, match="by the grammar such as J-30R"):
        joint_name(written, PIPELINE)


def test_a_mark_without_a_meaning_is_refused() -> None:
    grammar = Numbering(pattern=r"(?P<sequence>\d+)(?P<event>[A-Z])?", events={"R": "repair"})
    with pytest.raises(InputError, match=r'event mark "C", expected one of the declared'):
        joint_name("3C", grammar)


@pytest.mark.parametrize(
    "pattern", ["(", "[0-9]+", r"(?P<number>\d+)", r"(?P<event>R)", r"(?P<sequence>\d+)(?P<x>y)?"]
)
def test_grammars_that_cannot_be_used(pattern: str) -> None:
    faults = grammar_faults(Numbering(pattern=pattern), Position("project.yaml", 6))
    assert [fault.field for fault in faults] == ["numbering.pattern"]


def test_a_sound_grammar_has_no_faults() -> None:
    assert grammar_faults(PIPELINE, Position("project.yaml", 6)) == []
