"""Bad inputs by the thousand, counted: each is taken or refused by the tool's own errors.

nice .venv/bin/python -m tests.hostile.fuzz --minutes 5
.venv/bin/python -m tests.hostile.fuzz --target evidence --seed 417 --count 1   # one again
"""

from __future__ import annotations

import argparse
import random
import shutil
import sys
import time
import traceback
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

from dossier.errors import DossierError
from tests.hostile.inputs import TARGETS

QUICK = frozenset(
    {"anything_as_file", "column_map", "quantity", "designation", "volume_preset",
     "number_pattern", "earlier_issue"}
)  # fmt: skip
OFTEN = 20  # inputs of the quick targets to one of the others, where time is the limit
SLOW_S = 20.0  # an input that takes longer is a fault too


@dataclass
class Tried:
    """What became of the inputs so far."""

    taken: Counter[str] = field(default_factory=Counter)
    refused: Counter[str] = field(default_factory=Counter)
    through: list[str] = field(default_factory=list)

    def one(self, name: str, seed: int, folder: Path) -> None:
        """One input of a target."""
        own = folder / name
        own.mkdir()
        began = time.monotonic()
        try:
            TARGETS[name](own, random.Random(f"{name} {seed}"))  # noqa: S311
            self.taken[name] += 1
        except DossierError:
            self.refused[name] += 1
        except Exception:  # noqa: BLE001 - this is what is looked for
            self.through.append(f"{name}, seed {seed}: {traceback.format_exc()}")
        if time.monotonic() - began > SLOW_S:
            self.through.append(f"{name}, seed {seed}: {time.monotonic() - began:.0f} s")
        shutil.rmtree(own)

    def told(self) -> str:
        """A line a target, and the sum."""
        lines = [
            f"{name}: {self.taken[name]} taken, {self.refused[name]} refused" for name in TARGETS
        ]
        count = self.taken.total() + self.refused.total()
        return "\n".join([*lines, f"{count} inputs tried, {len(self.through)} got through"])


def tried(names: list[str], seeds: range, minutes: float = 0.0) -> Tried:
    """All targets with each seed in turn; with `minutes`, until they are over, quick ones often."""
    found = Tried()
    end = time.monotonic() + 60 * minutes if minutes else float("inf")
    with TemporaryDirectory(prefix="fuzz-") as folder:
        for seed in seeds:
            if time.monotonic() > end:
                break
            for name in names:
                often = OFTEN if minutes and name in QUICK else 1
                for own in range(seed * often, (seed + 1) * often):
                    found.one(name, own, Path(folder))
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0] if __doc__ else "")
    parser.add_argument("--target", choices=sorted(TARGETS), action="append")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--count", type=int, default=10_000_000, help="seeds at most")
    parser.add_argument("--minutes", type=float, default=0.0)
    wanted = parser.parse_args()
    seeds = range(wanted.seed, wanted.seed + wanted.count)
    found = tried(wanted.target or list(TARGETS), seeds, wanted.minutes)
    print(*found.through, found.told(), sep="\n")
    sys.exit(bool(found.through))


if __name__ == "__main__":
    main()
