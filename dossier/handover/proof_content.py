"""What a derived file says apart from how its parts are compressed.

Two builds of the compressing library may pack the same text into other bytes. Checksums prove the
bytes; a file made again on another machine is compared by what it holds.
"""

from __future__ import annotations

import base64
import io
import re
import zipfile
import zlib

_BLOCK = re.compile(rb'(<script type="text/plain" id="[a-z0-9-]+">)([A-Za-z0-9+/=]*)(</script>)')


def same_content(name: str, one: bytes, other: bytes) -> bool:
    """Whether two files of this name say the same.

    >>> same_content("a.csv", b"1", b"1"), same_content("a.csv", b"1", b"2")
    (True, False)
    """
    if one == other:
        return True
    try:
        if name.endswith(".xlsx"):
            return _members(one) == _members(other)
        if name.endswith(".html"):
            return _unpacked(one) == _unpacked(other)
    except (ValueError, OSError, zlib.error, zipfile.BadZipFile, RuntimeError):
        return False  # damaged, or packed in a way that the tool never packs
    return False


def _members(data: bytes) -> list[tuple[str, bytes]]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return [(info.filename, archive.read(info)) for info in archive.infolist()]


def _unpacked(data: bytes) -> bytes:
    return _BLOCK.sub(lambda m: m[1] + zlib.decompress(base64.b64decode(m[2])) + m[3], data)
