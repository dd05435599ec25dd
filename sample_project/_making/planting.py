"""What a planted fault is, and the tools that plant it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from sample_project._making.base import Data, Row, find
from sample_project._making.files import Places


@dataclass(frozen=True)
class Expected:
    """A finding that a fault must give: check, verdict and subject."""

    check: str
    verdict: str
    subject: tuple[tuple[str, str], ...]
    conceded_by: str = ""

    def __str__(self) -> str:
        about = ", ".join(f"{kind} {name}" for kind, name in self.subject)
        conceded = f" (conceded by {self.conceded_by})" if self.conceded_by else ""
        return f"`{self.check}`: {self.verdict}, {about}{conceded}"


@dataclass(frozen=True)
class Planted:
    """Where a fault stands, and what it must give.

    Either a row of a table with the field, or a YAML file and the texts that lead to the line.
    """

    expected: tuple[Expected, ...]
    row: Row | None = None
    field: str = ""
    file: str = ""
    trail: tuple[str, ...] = ()

    def where(self, places: Places, folder: Path) -> str:
        """File and line or cell, once the files are written."""
        if self.row is None:
            return f"{self.file}, line {_line(folder / self.file, self.trail)}"
        file, sheet, line, letters = places[id(self.row)]
        if sheet:
            return f"{file}, {sheet}!{letters.get(self.field, 'A')}{line}"
        return f"{file}, line {line}" + (f", {self.field}" if self.field else "")


def _line(path: Path, trail: tuple[str, ...]) -> int:
    """The line that the texts of `trail` lead to, each searched after the one before."""
    lines = path.read_text(encoding="utf-8").splitlines()
    at = 0
    for text in trail:
        at = next(n for n in range(at, len(lines)) if text in lines[n])
    return at + 1


Plant = Callable[[Data], Planted]


@dataclass(frozen=True)
class Fault:
    """One planted fault: key, what is wrong in plain words, and the change that plants it."""

    key: str
    wrong: str
    plant: Plant


def finding(check: str, verdict: str, conceded_by: str = "", **subject: str) -> Expected:
    """An expected finding; `run` stands for the subject "pass", a word of the language."""
    about = tuple(("pass" if kind == "run" else kind, name) for kind, name in subject.items())
    return Expected(check, verdict, about, conceded_by)


def joint_of(data: Data, number: str) -> Row:
    """The joint with this number."""
    return find(data["joints"], number=number)


def pass_of(data: Data, joint: str, number: int, side: str = "") -> Row:
    """One pass of a joint; a negative number counts from the last (-1 is the cap)."""
    made: list[Row] = [p for p in data["passes"] if p["joint"] == joint and p["side"] == side]
    return made[number - 1 if number > 0 else number]


def mark_of(made: Row) -> str:
    """How findings name a pass: its number and the first letter of its side."""
    return f"{made['number']}{made['side'][:1]}"


def report_of(data: Data, joint: str, method: str) -> Row:
    """The first report of a method on a joint."""
    reports: list[Row] = data["examinations"]
    return next(e for e in reports if (e["joint"], e["method"]) == (joint, method))


def rename(data: Data, old: str, new: str) -> Row:
    """Give a joint another number in every register."""
    joint = joint_of(data, old)
    joint["number"] = new
    for register in ("passes", "examinations", "repairs", "coatings", "lowerings"):
        for row in data[register]:
            if row["joint"] == old:
                row["joint"] = new
    return joint
