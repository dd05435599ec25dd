"""Facts: what a question about the whole project keeps of each joint, in a few plain values.

Facts of one key are weighed together, and no others are needed for it. So a long project can be
asked piece by piece: its facts lie on the disk, spread by their keys over many small files, and
only one of these is in memory at a time.
"""

from __future__ import annotations

import marshal
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack
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


PARTS = 64
_HELD = 4_000  # facts in memory before they are written


class Shelf:
    """Facts of several questions on the disk, in blocks of those whose keys fall into one part."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.held: dict[int, list[tuple[object, ...]]] = defaultdict(list)
        self.count = 0
        self.blocks: dict[int, list[tuple[int, int]]] = defaultdict(list)  # start, length

    def put(self, question: str, facts: Iterable[Fact]) -> None:
        """Lay the facts of a question aside."""
        held, count = self.held, 0
        for key, origin, values in facts:
            part = crc32(marshal.dumps(key, 0)) % PARTS  # version 0: equal keys, equal bytes
            place = (origin.file, origin.line, origin.sheet, origin.column)
            held[part].append((question, key, place, values))
            count += 1
        self.count += count
        if self.count >= _HELD:
            self.write()

    def write(self) -> None:
        """Write what is still in memory."""
        with (self.folder / "facts").open("ab") as stream:
            for part, rows in self.held.items():
                block = marshal.dumps(rows)
                self.blocks[part].append((stream.tell(), len(block)))
                stream.write(block)
        (self.folder / "blocks").write_bytes(marshal.dumps(dict(self.blocks)))
        self.held.clear()
        self.count = 0


def taken(folders: Sequence[Path]) -> Iterator[dict[str, list[Fact]]]:
    """The facts of several shelves by their questions, part by part, in the order of `folders`."""
    blocks = [marshal.loads((folder / "blocks").read_bytes()) for folder in folders]  # noqa: S302
    with ExitStack() as files:
        streams = [files.enter_context((folder / "facts").open("rb")) for folder in folders]
        for part in range(PARTS):
            found: dict[str, list[Fact]] = defaultdict(list)
            for stream, own in zip(streams, blocks, strict=True):
                for start, length in own.get(part, ()):
                    stream.seek(start)
                    for question, key, place, values in marshal.loads(stream.read(length)):  # noqa: S302
                        found[question].append(Fact(key, Position(*place), values))
            yield found
