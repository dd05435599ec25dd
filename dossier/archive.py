"""Office files with equal bytes for equal content: fixed times, order and attributes in the zip."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import date

_FIRST = ("[Content_Types].xml", "_rels/.rels")
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
    stamp = f"{day.isoformat()}T00:00:00Z".encode()
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(out, "w") as target:
        for name in sorted(source.namelist(), key=lambda n: (n not in _FIRST, n)):
            content = source.read(name)
            if name == "docProps/core.xml":
                content = _MOMENT.sub(rb"\g<1>" + stamp + rb"\g<3>", content)
            entry = zipfile.ZipInfo(name, _EPOCH)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            entry.create_system = 3
            target.writestr(entry, content, compresslevel=6)
    return out.getvalue()
