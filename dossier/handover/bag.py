"""A BagIt bag: payload below data/, manifests of its checksums, and checksums of the manifests.

Source: RFC 8493 (BagIt 1.0), 2.1 to 2.4 (read).
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from dossier.handover.checksums import ALGORITHMS, Block, checksums
from dossier.handover.stored_zip import ZipWriter

DECLARATION = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"


@dataclass(frozen=True, slots=True)
class Item:
    """A file of the payload: its name below data/ and its bytes, in memory or on the disk."""

    name: str
    content: bytes | Path

    @property
    def size(self) -> int:
        """Size in bytes."""
        return len(self.content) if isinstance(self.content, bytes) else self.content.stat().st_size


class Sink(Protocol):
    """Where the files of a bag go."""

    def add(self, name: str, size: int, blocks: Iterator[Block]) -> None:
        """Add one file."""


@dataclass(frozen=True, slots=True)
class FolderSink:
    """A bag as a folder."""

    root: Path

    def add(self, name: str, size: int, blocks: Iterator[Block]) -> None:
        """Write one file. Raises OSError: it has another size than said."""
        path = self.root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as stream:
            for block in blocks:
                stream.write(block)
            if stream.tell() != size:
                raise OSError(f"{name} changed while it was packed")
        path.chmod(0o644)


@contextmanager
def zip_sink(path: Path, root: str) -> Iterator[Sink]:
    """A bag as a zip with everything below the folder `root`."""
    with path.open("xb") as stream:
        writer = ZipWriter(stream)

        class Below:
            def add(self, name: str, size: int, blocks: Iterator[Block]) -> None:
                writer.add(f"{root}/{name}", size, blocks)

        yield Below()
        writer.close()


def write_bag(
    sink: Sink, items: Sequence[Item], info: Sequence[tuple[str, str]], notes: Mapping[str, bytes]
) -> None:
    """Write a bag: payload in order of its names, each file read once, then the tag files.

    `info` are the lines of bag-info.txt, `notes` further tag files. Equal content, equal bytes.
    """
    listing = sorted(items, key=lambda one: one.name)
    with checksums() as reading:
        for item in listing:
            path = f"data/{item.name}"
            sink.add(path, item.size, reading.blocks(path, item.content))
        sums = reading.found()
    total = sum(item.size for item in listing)
    oxum = ("Payload-Oxum", f"{total}.{len(items)}")
    tags = {"bagit.txt": DECLARATION, "bag-info.txt": info_text([*info, oxum]), **notes}
    tags |= {f"manifest-{name}.txt": manifest(sums[name]) for name in ALGORITHMS}
    for algorithm in ALGORITHMS:
        listed = {name: hashlib.new(algorithm, data).hexdigest() for name, data in tags.items()}
        tags_name = f"tagmanifest-{algorithm}.txt"
        sink.add(tags_name, len(manifest(listed)), iter([manifest(listed)]))
    for name, data in sorted(tags.items()):
        sink.add(name, len(data), iter([data]))


def manifest(sums: Mapping[str, str]) -> bytes:
    """A manifest: checksum and name of each file, by name.

    >>> manifest({"data/100%.txt": "ab"})
    b'ab  data/100%25.txt\\n'
    """
    return "".join(f"{sums[name]}  {encoded(name)}\n" for name in sorted(sums)).encode()


def encoded(name: str) -> str:
    """A name as manifests write it: line ends and the percent sign escaped (RFC 8493, 2.1.3)."""
    return name.replace("%", "%25").replace("\n", "%0A").replace("\r", "%0D")


def read_manifest(data: bytes) -> dict[str, str]:
    """Name -> checksum. Raises ValueError: a line that is not of that form."""
    sums: dict[str, str] = {}
    for line in data.decode("utf-8").splitlines():
        digest, gap, name = line.partition("  ")
        if not (gap and name and digest.isalnum()):
            raise ValueError(line)
        plain = name.replace("%0D", "\r").replace("%0A", "\n").replace("%25", "%")
        sums[plain] = digest
    return sums


def info_text(info: Sequence[tuple[str, str]]) -> bytes:
    """Lines of bag-info.txt; line ends inside a value become blanks."""
    return "".join(f"{key}: {' '.join(value.split())}\n" for key, value in info).encode()
