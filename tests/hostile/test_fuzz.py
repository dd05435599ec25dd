"""A bounded share of the bad inputs of `tests.hostile.fuzz`, the same seeds each time."""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest

from dossier.errors import InputError
from tests.hostile import fuzz, inputs
from tests.hostile.fuzz import Tried, tried

SLOW = {"whole_project": 15, "every_document": 5, "template": 15, "evidence": 20, "proposal": 40,
        "settings_file": 30}  # fmt: skip
USUAL = 120
MORE = int(os.environ.get("FUZZ_TIMES", "1"))  # a longer run: so many times the seeds


@pytest.mark.parametrize("name", inputs.TARGETS)
def test_bad_inputs_are_taken_or_refused_in_our_words(name: str) -> None:
    seeds = range(MORE * SLOW.get(name, USUAL))
    found = tried([name], seeds)
    assert found.through == []
    assert found.taken.total() + found.refused.total() == len(seeds)


def test_a_seed_gives_the_same_input_again() -> None:
    def made(seed: int) -> list[object]:
        chance = random.Random(seed)  # noqa: S311
        registers = inputs.sound()
        inputs.spoil(registers, chance)
        inputs.nudge(registers, chance)
        return [repr(registers), inputs.text(chance), repr(inputs.value(chance))]

    assert made(4) == made(4) != made(5)


def test_what_gets_through_is_told_with_its_seed(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def target(folder: Path, chance: random.Random) -> None:
        (folder / "file").write_text("x", encoding="utf-8")
        if chance.random() < 0.5:
            raise InputError("x", found=1, expected="2")
        raise KeyError("through")

    monkeypatch.setitem(fuzz.TARGETS, "quantity", target)
    found = Tried()
    for seed in range(20):
        found.one("quantity", seed, tmp_path)
    assert found.refused["quantity"] + len(found.through) == 20
    assert 0 < len(found.through) < 20
    assert all("KeyError: 'through'" in one for one in found.through)
    assert found.through[0].startswith("quantity, seed ")
    assert found.told().endswith(f"{len(found.through)} got through")
    assert list(tmp_path.iterdir()) == []


def test_an_input_that_takes_too_long_is_told(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(fuzz, "SLOW_S", -1.0)
    found = Tried()
    found.one("designation", 1, tmp_path)
    assert [one.startswith("designation, seed 1: ") for one in found.through] == [True]
