"""Facts: what a question about the whole project keeps of each joint, in a few plain values.

Facts of one key are weighed together, and no others are needed for it. So a long project can be
asked piece by piece: its facts lie on the disk, spread by their keys over many small files, and
only one of these is in memory at a time.
"""

from __future__ import annotations

import marshal
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple, Protocol
from zlib import crc32

from dossier.records.construction import Coating, Lowering
from dossier.records.examinations import Examination
from dossier.records.joints import Joint, Pass, Repair
from dossier.records.position import Position

Plain = str | int | float | bool | None
Key = tuple[Plain, ...]


class Fact(NamedTuple):
    """Some plain values of one record, what they bear on, and where they stand."""

    key: Key
    origin: Position
    values: tuple[Plain | tuple[Plain, ...], ...]


class Records(Protocol):
    """What facts are gathered from: a whole project, or the file on one joint."""

    @property
    def joints(self) -> tuple[Joint, ...]:
        """The joints on record."""
        ...

    @property
    def passes(self) -> Iterable[Pass]:
        """The passes on record."""
        ...

    @property
    def repairs(self) -> Iterable[Repair]:
        """The repairs on record."""
        ...

    @property
    def examinations(self) -> Iterable[Examination]:
        """The examinations on record."""
        ...

    @property
    def coatings(self) -> Iterable[Coating]:
        """The coatings on record."""
        ...

    @property
    def lowerings(self) -> Iterable[Lowering]:
        """The lowerings on record."""
        ...


def by_key(facts: Iterable[Fact]) -> dict[Key, list[Fact]]:
    """The facts by what they bear on, both in the order in which they came."""
    groups: dict[Key, list[Fact]] = {}
    for fact in facts:
        groups.setdefault(fact.key, []).append(fact)
    return groups


PARTS = 128
_HELD = 30_000  # facts in memory before they are written


class Shelf:
    """Facts of several questions on the disk, spread by their keys over `PARTS` files."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.held: dict[int, list[tuple[object, ...]]] = defaultdict(list)
        self.count = 0

    def put(self, question: str, facts: Iterable[Fact]) -> None:
        """Lay the facts of a question aside."""
        held = self.held
        for key, origin, values in facts:
            part = crc32(marshal.dumps(key, 0)) % PARTS  # version 0: equal keys, equal bytes
            place = (origin.file, origin.line, origin.sheet, origin.column)
            held[part].append((question, key, place, values))
            self.count += 1
        if self.count >= _HELD:
            self.write()

    def write(self) -> None:
        """Write what is still in memory."""
        for part, rows in self.held.items():
            with (self.folder / f"{part}.facts").open("ab") as stream:
                block = marshal.dumps(rows)
                stream.write(len(block).to_bytes(8, "big") + block)
        self.held.clear()
        self.count = 0


def taken(folders: Iterable[Path], part: int) -> dict[str, list[Fact]]:
    """The facts of one part of several shelves, by their questions, in the order of `folders`."""
    found: dict[str, list[Fact]] = {}
    for folder in folders:
        for rows in _blocks(folder / f"{part}.facts"):
            for question, key, place, values in rows:
                fact = Fact(key, Position(*place), values)
                found.setdefault(question, []).append(fact)
    return found


def _blocks(path: Path) -> Iterator[list[tuple[str, Key, tuple[str, int, str, str], Key]]]:
    if not path.exists():
        return
    with path.open("rb") as stream:
        while size := stream.read(8):
            yield marshal.loads(stream.read(int.from_bytes(size, "big")))  # noqa: S302  our own
