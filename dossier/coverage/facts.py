"""Facts: what a question about the whole project keeps of each joint, in a few plain values.

Facts of one key are weighed together, and no others are needed for it. So a long project can be
asked piece by piece: its facts lie on the disk, spread by their keys over many small files, and
only one of these is in memory at a time.
"""

from __future__ import annotations

import marshal
from array import array
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import Any, NamedTuple, Protocol
from zlib import crc32

from dossier.records.base import NOWHERE
from dossier.records.construction import Coating, Lowering
from dossier.records.examinations import Examination
from dossier.records.joints import Joint, Pass, Repair
from dossier.records.materials import Item
from dossier.records.position import Position

Plain = str | int | float | bool | None
Key = tuple[Plain, ...]
Values = tuple[Plain | tuple[Plain, ...], ...]
Place = tuple[str, int, str, str]  # a position as it lies on the disk
Told = tuple[Key, Position, Values]  # a fact as it is gathered: a plain tuple is made quickest
Row = tuple[Position | Place, Values]
# The facts of one question by what they bear on, each key and all of its facts in the order in
# which they came.
Groups = dict[Key, list[Row]]


class Fact(NamedTuple):
    """Some plain values of one record, what they bear on, and where they stand."""

    key: Key
    origin: Position
    values: Values


class Records(Protocol):
    """What facts are gathered from: a whole project, or the file on one joint."""

    @property
    def joints(self) -> tuple[Joint, ...]:
        """The joints on record."""
        ...

    @property
    def items(self) -> Iterable[Item]:
        """The items on record; of a joint, its members."""
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


# The facts that a question keeps of a joint, or of a whole project.
Gather = Callable[[Any, Records], Iterator[Told]]


def by_key(facts: Iterable[Told]) -> Groups:
    """The facts by what they bear on, both in the order in which they came."""
    groups: Groups = {}
    for key, origin, values in facts:
        groups.setdefault(key, []).append((origin, values))
    return groups


def shared(groups: Groups, least: int = 1) -> Iterator[tuple[Key, list[Fact]]]:
    """Each key that at least so many facts bear on, with these."""
    for key, own in groups.items():
        if len(own) >= least:
            yield key, [Fact(key, position_of(place), values) for place, values in own]


def position_of(place: Position | Place) -> Position:
    """Where a fact stands."""
    return place if isinstance(place, Position) else Position(*place)


PARTS = 512
_HELD = 20_000  # facts in memory before they are written


class Shelf:
    """Facts of several questions on the disk, in blocks of those whose keys fall into one part.

    Key, place and values of all facts of a question follow each other in one flat list: of many
    small tuples the making and the writing would cost more than what is in them.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.held: dict[str, list[Any]] = {}
        self.count = 0
        # Start and length of each block of a part, one after the other: a line of a million
        # joints leaves half a million blocks.
        self.blocks: dict[int, array[int]] = defaultdict(lambda: array("Q"))
        self.origin, self.place = NOWHERE, _place(NOWHERE)  # the last one: a joint has many facts

    def put(self, question: str, facts: Iterable[Told]) -> None:
        """Lay the facts of a question aside."""
        held = self.held.setdefault(question, [])
        before = len(held)
        origin, place = self.origin, self.place
        for key, own, values in facts:
            if own is not origin:
                origin, place = own, _place(own)
            held += (key, place, values)
        self.origin, self.place = origin, place
        self.count += len(held) - before
        if self.count >= _HELD * 3:
            self._write_held()

    def write(self) -> None:
        """Write what is still in memory, and where each block lies."""
        self._write_held()
        index = {part: own.tobytes() for part, own in self.blocks.items()}
        (self.folder / "blocks").write_bytes(marshal.dumps(index))

    def _write_held(self) -> None:
        parts: dict[int, list[tuple[str, list[Any]]]] = defaultdict(list)
        for question, held in self.held.items():
            spread: dict[int, list[Any]] = defaultdict(list)
            for fact in _facts(held):
                spread[_part(fact[0])] += fact
            for part, own in spread.items():
                parts[part].append((question, own))
        with (self.folder / "facts").open("ab") as stream:
            for part, rows in parts.items():
                block = marshal.dumps(rows)
                self.blocks[part].extend((stream.tell(), len(block)))
                stream.write(block)
        self.held.clear()
        self.count = 0


def _facts(flat: Iterable[Any]) -> Iterator[tuple[Key, Place, Values]]:
    """Key, place and values of each fact of a flat list."""
    items = iter(flat)
    return zip(items, items, items, strict=True)


def _part(key: Key) -> int:
    """The part that a key falls into, by its last value: equal keys, equal parts."""
    last = key[-1]
    if type(last) is int:
        return last % PARTS
    return crc32(str(last).encode()) % PARTS


def _place(origin: Position) -> Place:
    return origin.file, origin.line, origin.sheet, origin.column


def taken(folders: Sequence[Path], parts: Iterable[int]) -> Iterator[dict[str, Groups]]:
    """The facts of several shelves by their questions, part by part, in the order of `folders`."""
    blocks = [marshal.loads((folder / "blocks").read_bytes()) for folder in folders]  # noqa: S302
    with ExitStack() as files:
        streams = [files.enter_context((folder / "facts").open("rb")) for folder in folders]
        for part in parts:
            found: dict[str, Groups] = defaultdict(dict)
            for stream, own in zip(streams, blocks, strict=True):
                places = iter(array("Q", own.get(part, b"")))
                for start, length in zip(places, places, strict=True):
                    stream.seek(start)
                    for question, flat in marshal.loads(stream.read(length)):  # noqa: S302
                        groups = found[question]
                        for key, place, values in _facts(flat):
                            groups.setdefault(key, []).append((place, values))
            yield found
