"""A zip of stored files with one possible form, so that every byte of it can be proved.

Written by hand because the zip library does not promise equal bytes from one version to the next,
and reading with it overlooks bytes that nobody needs. The form: local headers with known sizes,
names in UTF-8, the oldest date that a zip can hold, no comment, 64-bit fields only where needed.
Source: APPNOTE.TXT 6.3.9 of the zip format, 4.3 and 4.5.3 (memory).
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import BinaryIO

BLOCK = 1 << 22
_MANY, _LARGE = 0xFFFF, 0xFFFFFFFF
_UTF8, _STORED, _MIDNIGHT, _FIRST_DAY = 0x0800, 0, 0, 0x21
_UNIX, _RIGHTS = 3 << 8, 0o100644 << 16
_LOCAL = struct.Struct("<4s5H3L2H")
_CENTRAL = struct.Struct("<4s6H3L5H2L")


@dataclass(frozen=True, slots=True)
class Stored:
    """One file of the zip."""

    name: str
    size: int
    crc: int
    offset: int


def local_header(entry: Stored) -> bytes:
    """The header in front of a file's bytes."""
    name = entry.name.encode()
    large = entry.size >= _LARGE
    extra = struct.pack("<HHQQ", 1, 16, entry.size, entry.size) if large else b""
    shown = _LARGE if large else entry.size
    head = _LOCAL.pack(b"PK\3\4", 45 if large else 20, _UTF8, _STORED, _MIDNIGHT, _FIRST_DAY,
                       entry.crc, shown, shown, len(name), len(extra))  # fmt: skip
    return head + name + extra


def directory(entries: list[Stored]) -> bytes:
    """What stands after the last file: the central directory and its end."""
    listed = b"".join(_central_header(entry) for entry in entries)
    at = entries[-1].offset + len(local_header(entries[-1])) + entries[-1].size if entries else 0
    count, size = len(entries), len(listed)
    end64 = b""
    if count >= _MANY or size >= _LARGE or at >= _LARGE:
        end64 = struct.pack("<4sQ2H2L4Q", b"PK\6\6", 44, _UNIX | 45, 45, 0, 0, count, count,
                            size, at)  # fmt: skip
        end64 += struct.pack("<4sLQL", b"PK\6\7", 0, at + size, 1)
    few = min(count, _MANY)
    end = struct.pack("<4s4H2LH", b"PK\5\6", 0, 0, few, few, min(size, _LARGE), min(at, _LARGE), 0)
    return listed + end64 + end


def _central_header(entry: Stored) -> bytes:
    name = entry.name.encode()
    sizes = [entry.size] * 2 if entry.size >= _LARGE else []
    wide = sizes + ([entry.offset] if entry.offset >= _LARGE else [])
    extra = struct.pack(f"<HH{len(wide)}Q", 1, 8 * len(wide), *wide) if wide else b""
    needed = 45 if wide else 20
    shown = min(entry.size, _LARGE)
    head = _CENTRAL.pack(
        b"PK\1\2", _UNIX | needed, needed, _UTF8, _STORED, _MIDNIGHT, _FIRST_DAY, entry.crc, shown,
        shown, len(name), len(extra), 0, 0, 0, _RIGHTS, min(entry.offset, _LARGE),
    )  # fmt: skip
    return head + name + extra


class ZipWriter:
    """Writes files one after the other; `close` ends the zip."""

    def __init__(self, stream: BinaryIO) -> None:
        self._stream = stream
        self._entries: list[Stored] = []

    def add(self, name: str, size: int, blocks: Iterator[bytes | memoryview]) -> None:
        """Add a file of `size` bytes. Raises OSError: it has another size by now."""
        offset = self._stream.tell()
        self._stream.write(local_header(Stored(name, size, 0, offset)))
        crc = written = 0
        for block in blocks:
            crc = zlib.crc32(block, crc)
            written += len(block)
            self._stream.write(block)
        if written != size:
            raise OSError(f"{name} changed while it was packed: {written} bytes, not {size}")
        entry = Stored(name, size, crc, offset)
        end = self._stream.tell()
        self._stream.seek(offset)
        self._stream.write(local_header(entry))
        self._stream.seek(end)
        self._entries.append(entry)

    def close(self) -> None:
        """Write the directory."""
        self._stream.write(directory(self._entries))


class DamagedZipError(Exception):
    """A byte that this form of zip does not have; `place` says where."""

    def __init__(self, place: str) -> None:
        super().__init__(place)
        self.place = place


Take = Callable[[str, Iterator[bytes]], None]


def read_through(stream: BinaryIO, take: Take) -> Iterator[str]:
    """Read the zip from its first byte to its last; yields what is wrong with each place.

    `take` is given the name and the bytes of every file and must use them up. Raises
    DamagedZipError where the damage hides what follows.
    """
    entries: list[Stored] = []
    while True:
        offset = stream.tell()
        fixed = stream.read(_LOCAL.size)
        if fixed[:4] in (b"PK\1\2", b"PK\5\6"):
            stream.seek(offset)
            break
        name, size, read = _opened(stream, fixed, offset)
        crc = 0

        def blocks(left: int = size) -> Iterator[bytes]:
            nonlocal crc
            while left:
                block = stream.read(min(left, BLOCK))
                if not block:
                    raise DamagedZipError(f"the zip ends inside {name}")  # noqa: B023 - used at once
                crc = zlib.crc32(block, crc)
                left -= len(block)
                yield block

        take(name, blocks())
        entry = Stored(name, size, crc, offset)
        if (wanted := local_header(entry)) != read:
            yield f"header of {name}, byte {offset + _differs(wanted, read)} of the zip"
        entries.append(entry)
    yield from _end(stream, entries)


def _opened(stream: BinaryIO, fixed: bytes, offset: int) -> tuple[str, int, bytes]:
    """Name, size and all bytes of a local header."""
    if len(fixed) < _LOCAL.size or fixed[:4] != b"PK\3\4":
        raise DamagedZipError(f"no header of a file at byte {offset} of the zip")
    parts = _LOCAL.unpack(fixed)
    size, name_length, extra_length = parts[8], parts[9], parts[10]
    rest = stream.read(name_length + extra_length)
    extra = rest[name_length:]
    if size == _LARGE and len(extra) == 20:
        size = struct.unpack("<HHQQ", extra)[3]
    try:
        name = rest[:name_length].decode()
    except UnicodeDecodeError:
        raise DamagedZipError(f"name of a file at byte {offset} of the zip") from None
    return name, size, fixed + rest


def _end(stream: BinaryIO, entries: list[Stored]) -> Iterator[str]:
    offset = stream.tell()
    wanted = directory(entries)
    read = stream.read(len(wanted) + 1)
    if read != wanted:
        yield f"directory of the zip, byte {offset + _differs(wanted, read)}"


def _differs(wanted: bytes, read: bytes) -> int:
    pairs = zip(wanted, read, strict=False)
    return next((i for i, (a, b) in enumerate(pairs) if a != b), min(len(wanted), len(read)))
