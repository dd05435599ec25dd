"""The zip of stored files: others read it, and no byte of it can change or be lacking unseen."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator

import pytest

from dossier.handover import stored_zip
from dossier.handover.stored_zip import DamagedZipError, ZipWriter, read_through

FILES = {"bag/a.txt": b"first", "bag/data/ü.pdf": bytes(range(40)), "bag/empty": b""}


@pytest.fixture(scope="module")
def made() -> bytes:
    stream = io.BytesIO()
    writer = ZipWriter(stream)
    for name, data in FILES.items():
        writer.add(name, len(data), iter([data[:3], data[3:]]))
    writer.close()
    return stream.getvalue()


def _told(data: bytes) -> list[str]:
    """What reading tells: of the zip, and of content that is not what was put in."""
    held: dict[str, bytes] = {}

    def take(name: str, blocks: Iterator[bytes]) -> None:
        held[name] = b"".join(blocks)

    try:
        told = list(read_through(io.BytesIO(data), take))
    except DamagedZipError as error:
        return [error.place]
    return told if held == FILES else [*told, "other content"]


def test_others_read_it(made: bytes) -> None:
    with zipfile.ZipFile(io.BytesIO(made)) as archive:
        assert archive.testzip() is None
        assert {name: archive.read(name) for name in archive.namelist()} == FILES
        assert {one.compress_type for one in archive.infolist()} == {zipfile.ZIP_STORED}
        assert {one.external_attr >> 16 for one in archive.infolist()} == {0o100644}
    assert _told(made) == []


def test_every_byte_that_changes_is_told(made: bytes) -> None:
    for place in range(len(made)):
        for changed in (made[place] ^ 1, made[place] ^ 0x80):
            assert _told(made[:place] + bytes([changed]) + made[place + 1 :]), place


def test_wherever_it_is_cut_off_is_told(made: bytes) -> None:
    for length in range(len(made)):
        assert _told(made[:length]), length
    assert _told(made + b"\0")


def test_a_file_that_grows_while_it_is_packed_is_refused() -> None:
    with pytest.raises(OSError, match=r"a\.txt changed while it was packed: 5 bytes, not 4"):
        ZipWriter(io.BytesIO()).add("a.txt", 4, iter([b"first"]))


def test_large_files_get_fields_of_64_bits(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stored_zip, "_LARGE", 30)  # as if 30 bytes were 4 GB
    stream = io.BytesIO()
    writer = ZipWriter(stream)
    for name, data in FILES.items():
        writer.add(name, len(data), iter([data]))
    writer.close()
    assert b"PK\6\6" in stream.getvalue()
    assert _told(stream.getvalue()) == []
