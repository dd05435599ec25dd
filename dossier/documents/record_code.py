"""A square code on a printed page that leads back to the record, readable by any telephone."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import Any, TypedDict
from urllib.parse import quote

from dossier.documents.sheet import Head
from dossier.drawings.svg import INK, drawing, number, tag


class Code(TypedDict):
    """A square code that is drawn when its page is made: where it leads, in words and letters."""

    link: str
    title: str
    mark: str


_QUIET = 4  # white modules all around, ISO/IEC 18004 (practice)


def fingerprint(context: Mapping[str, Any]) -> str:
    """Ten characters that change when anything printed in `context` changes but the day.

    The day to which the records run is left out: equal records give equal pages on any day.

    >>> head = {"number": "A", "as_of": "2026-05-01"}
    >>> fingerprint({"head": head}) == fingerprint({"head": {**head, "as_of": "2026-05-02"}})
    True
    """
    timeless = {**context, "head": {**context.get("head", {}), "as_of": ""}}
    text = json.dumps(timeless, sort_keys=True, ensure_ascii=False, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:10]


def deep_link(joint: str, head: Head, mark: str) -> str:
    """What the code says: the joint as a link into the review page, the document, its fingerprint.

    The link begins with "#", so that it works wherever the page lies.
    """
    return (
        f"#joint={quote(joint, safe='')}&document={quote(head['number'], safe='')}"
        f"&revision={quote(head['revision'], safe='')}&hash={mark}"
    )


def record_code(joint: str, head: Head, mark: str) -> Code:
    """The code of a joint's document, with its fingerprint in plain letters."""
    return Code(
        link=deep_link(joint, head, mark), title=f"Code that leads to joint {joint}", mark=mark
    )


def drawn(code: Code) -> str:
    """The code as SVG."""
    return square_code(code["link"], code["title"])


def square_code(text: str, title: str) -> str:
    """A QR code (ISO/IEC 18004) as SVG, one user unit a module, equal for equal text.

    The mask is fixed: trying all eight takes four times as long and any of them can be read.
    """
    import segno

    made = segno.make(text, error="m", micro=False, boost_error=False, mask=3)
    path = []
    for y, line in enumerate(made.matrix):
        x = 0
        while x < len(line):
            length = 0
            while x + length < len(line) and line[x + length]:
                length += 1
            if length:
                path.append(f"M{number(x + _QUIET)} {number(y + _QUIET)}h{length}v1h-{length}z")
            x += length or 1
    size = len(made.matrix) + 2 * _QUIET
    return drawing(size, size, title, tag("path", d="".join(path), fill=INK))
