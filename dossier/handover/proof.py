"""What a proof is made of: steps, each with what it looked at and what is wrong there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from dossier.units import counted

PROVED, REFUTED, LEFT_OUT = "proved", "refuted", "left out"


@dataclass(frozen=True, slots=True)
class Trouble:
    """One thing that is not as it should be: where, and what."""

    where: str
    what: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}"


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a proof. `told` says what was looked at; `left_out` why it was not."""

    name: str
    told: str
    troubles: tuple[Trouble, ...] = ()
    left_out: str = ""

    @property
    def state(self) -> str:
        """In one word."""
        if self.troubles:
            return REFUTED
        return LEFT_OUT if self.left_out else PROVED


@dataclass(frozen=True, slots=True)
class Packed:
    """What a package holds below `data`: its issue.json, and each file there with its checksum."""

    data: Path
    issue: Mapping[str, Any]
    sums: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Proof:
    """All steps of the proof of one package."""

    package: str
    steps: tuple[Step, ...]

    @property
    def holds(self) -> bool:
        """Whether nothing is wrong. A step left out for want of its subject does no harm."""
        return not any(step.troubles for step in self.steps)

    def as_data(self) -> dict[str, Any]:
        """As plain data."""
        steps = [{**asdict(step), "state": step.state} for step in self.steps]
        return {"package": self.package, "holds": self.holds, "steps": steps}

    def as_text(self) -> str:
        """For people: a line a step, troubles below it, the verdict last."""
        lines = []
        for step in self.steps:
            told = step.left_out or step.told
            lines.append(f"{step.state:<8}  {step.name}: {told}")
            lines += [f"          {trouble}" for trouble in step.troubles]
        count = sum(len(step.troubles) for step in self.steps)
        wrong = f"{counted(count, 'trouble')}: not proved."
        last = "The package proves itself." if self.holds else wrong
        return "\n".join([*lines, last])


def step(name: str, told: str, troubles: Sequence[Trouble] = ()) -> Step:
    """A step that was gone through."""
    return Step(name, told, tuple(troubles))
