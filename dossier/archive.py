"""Office files with equal bytes for equal content: fixed times, order and attributes in the zip."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import date

FIRST = ("[Content_Types].xml", "_rels/.rels")
_EPOCH = (1980, 1, 1, 0, 0, 0)
_MOMENT = re.compile(rb"(<dcterms:(created|modified)[^>]*>)[^<]*(</dcterms:\2>)")


def canonical(data: bytes, day: date) -> bytes:
    """The zip `data` rewritten: content types first, names sorted, no clock in it.

    `day` is the date of the records; it becomes the created and modified date of the properties.

    >>> buffer = io.BytesIO()
    >>> with zipfile.ZipFile(buffer, "w") as archive:
    ...     archive.writestr("b.xml", "<b/>")
    >>> canonical(buffer.getvalue(), date(2026, 1, 2)) == canonical(buffer.getvalue(), date.max)
    True
    """
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(out, "w") as target:
        for name in sorted(source.namelist(), key=lambda n: (n not in FIRST, n)):
            target.writestr(entry_of(name), with_day(name, source.read(name), day))
    return out.getvalue()


def entry_of(name: str) -> zipfile.ZipInfo:
    """The entry of a part: no clock, no owner, the same on every system."""
    entry = zipfile.ZipInfo(name, _EPOCH)
    entry.compress_type = zipfile.ZIP_DEFLATED
    entry._compresslevel = 6  # type: ignore[attr-defined] # what zipfile itself sets and reads
    entry.external_attr = 0o644 << 16
    entry.create_system = 3
    return entry


def with_day(name: str, content: bytes, day: date) -> bytes:
    """The content of a part; the properties get `day` as created and modified date."""
    stamp = f"{day.isoformat()}T00:00:00Z".encode()
    if name == "docProps/core.xml":
        return _MOMENT.sub(rb"\g<1>" + stamp + rb"\g<3>", content)
    return content
