"""The audit sample: the same by its seed, whatever the order of the register; repairs first."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dossier.coverage.audit_sample import REPAIRED, SPECIAL, draw
from dossier.coverage.view import View, view
from dossier.errors import InputError
from dossier.records.joints import Joint, JointName, Repair
from dossier.records.project import Numbering, Project, Settings

SETTINGS = Settings(number="1", title="", client="", contractor="", numbering=Numbering(pattern=""))


def joint(number: int, kind: str = "mainline", status: str = "welded") -> Joint:
    name = f"J-{number:03d}"
    return Joint(number=name, name=JointName(written=name, base=name), line="L", kind=kind,
                 status=status)  # fmt: skip


PROJECT = Project(
    settings=SETTINGS,
    joints=(*(joint(n) for n in range(1, 201)), joint(201, "tie-in"), joint(202, status="planned")),
    repairs=tuple(Repair(number=f"R-{n}", joint=f"J-{n:03d}", examination="") for n in (5, 77)),
)


def numbers(seen: View, seed: int, count: int) -> list[str]:
    return [one.file.number for one in draw(seen, seed, count)]


def test_the_seed_alone_repeats_it_and_the_order_of_the_rows_does_not_matter() -> None:
    seen, turned = view(PROJECT), view(replace(PROJECT, joints=PROJECT.joints[::-1]))
    assert numbers(seen, 7, 20) == numbers(turned, 7, 20)
    assert numbers(seen, 7, 20) != numbers(seen, 8, 20)
    assert numbers(seen, 7, 5) == numbers(seen, 7, 20)[:5]
    # Pinned, so that no change of the method goes unseen: an auditor repeats a draw years later.
    assert numbers(seen, 7, 4) == ["J-093", "J-004", "J-088", "J-016"]


def test_no_joint_twice_and_none_that_was_not_welded() -> None:
    every = numbers(view(PROJECT), 1, 999)
    assert len(every) == len(set(every)) == 201
    assert "J-202" not in every


def test_weights_tell_why() -> None:
    drawn = {one.file.number: one for one in draw(view(PROJECT), 1, 999)}
    assert (drawn["J-005"].weight, drawn["J-005"].because) == (1 + REPAIRED, ("repaired",))
    assert (drawn["J-201"].weight, drawn["J-201"].because) == (1 + SPECIAL, ("tie-in",))
    assert (drawn["J-001"].weight, drawn["J-001"].because) == (1, ())


def test_repaired_joints_come_about_as_often_as_their_weight_says() -> None:
    seen = view(PROJECT)
    first = [numbers(seen, seed, 1)[0] for seed in range(400)]
    share = sum(name in ("J-005", "J-077") for name in first) / 400
    expected = 2 * (1 + REPAIRED) / (198 + 2 * (1 + REPAIRED) + 1 + SPECIAL)
    assert share == pytest.approx(expected, abs=0.04)


def test_less_than_one_joint_is_refused() -> None:
    with pytest.raises(InputError):
        draw(view(PROJECT), 1, 0)
