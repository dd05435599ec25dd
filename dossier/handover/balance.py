"""Whether the content of a page ends as it began, and a frame around it where it does not.

A page that saves the graphics state without restoring it, or that ends inside of a path, a text, a
mark or a string, would carry what is drawn after it away. Its content is put whole into a form,
which stands for itself (ISO 32000-2:2020, 8.4.2 and 8.10.1, memory); nothing of it changes.
"""

from __future__ import annotations

import re
import zlib

import pikepdf
from pikepdf import Array, Dictionary, Name, Stream

_LOOKED_AT = 32_000_000  # bytes of content, unpacked; what is longer is framed without a look
_BELIEVED = 1_000_000_000  # bytes that one page may unpack to
_BLOCK = 1_000_000
_MOST_PACKED = 1400  # times that packings other than Flate can shrink emptiness
_FORM = Name("/WholePage")

_PLAIN = rb"[^\s\0\[\]<>()/%{}]"
_WORD = re.compile(
    rb"""
    (?: [\s\0]++ | [-+.\d]PLAIN*+ | /PLAIN*+ | %[^\r\n]*+ | <(?!<)[^<>]*+> | [{})]
      | \((?:[^()\\]++|\\.|\((?:[^()\\]++|\\.|\((?:[^()\\]++|\\.)*+\))*+\))*+\)
      | (?!(?:[qQnSsmF]|BT|ET|BI|BMC|BDC|EMC|re|[fBbW]\*?)(?!PLAIN))PLAIN++ )*+
    ( <<? | >>? | [\[\](] | PLAIN++ | \Z)
    """.replace(b"PLAIN", _PLAIN),
    re.DOTALL | re.VERBOSE,
)
_IMAGE_ENDS = re.compile(rb"[\s\0]EI(?!PLAIN)".replace(b"PLAIN", _PLAIN))
_OPENS = {b"q": "state", b"BT": "text", b"BMC": "mark", b"BDC": "mark", b"[": "list", b"<<": "map"}
_CLOSES = {b"Q": "state", b"ET": "text", b"EMC": "mark", b"]": "list", b">>": "map"}
_BEGINS_PATH = frozenset({b"m", b"re", b"W", b"W*"})
_ENDS_PATH = frozenset({b"n", b"S", b"s", b"f", b"f*", b"F", b"B", b"B*", b"b", b"b*"})


def in_own_space(pdf: pikepdf.Pdf, page: pikepdf.Page) -> bool:
    """Frame the content of a page that does not end as it began; returns whether it was framed.

    Raises ValueError: content that unpacks beyond belief; PdfError: a part that cannot be unpacked.
    """
    contents = page.obj.get("/Contents", None)
    if contents is None:
        return False
    several = isinstance(contents, Array)
    parts = list(contents) if several else [contents]
    if _worth_a_look(parts) and _ends_as_it_began(parts):
        return False
    if several:
        page.contents_coalesce()
    _frame(pdf, page, page.obj.Contents if several else _copy(pdf, contents))
    return True


def _worth_a_look(parts: list[pikepdf.Object]) -> bool:
    total = 0
    for part in parts:
        total += _length(part)
        if total > _BELIEVED:
            raise ValueError("unpacks to more than a page holds")
    other = sum(len(part.read_raw_bytes()) for part in parts if not _measured(part))
    return total + other * _MOST_PACKED <= _LOOKED_AT


def _ends_as_it_began(parts: list[pikepdf.Object]) -> bool:
    try:
        return balanced(b"\n".join(part.read_bytes() for part in parts))
    except pikepdf.PdfError:
        if len(parts) > 1:
            raise
        return False


def balanced(content: bytes) -> bool:
    """Whether what is opened in a content stream is closed, and nothing besides.

    In doubt it is not.

    >>> balanced(b"q 1 0 0 1 9 9 cm BT (a q b) Tj ET Q")
    True
    >>> balanced(b"q q Q"), balanced(b"Q q"), balanced(b"0 0 9 9 re W"), balanced(b"(not ended")
    (False, False, False, False)
    """
    depth = dict.fromkeys(_CLOSES.values(), 0)
    path, at = False, 0
    while at < len(content) and (found := _WORD.match(content, at)):
        word, at = found[1], found.end()
        if word in _OPENS:
            depth[_OPENS[word]] += 1
        elif word in _CLOSES:
            depth[_CLOSES[word]] -= 1
            if depth[_CLOSES[word]] < 0:
                return False
        elif word in _BEGINS_PATH:
            path = True
        elif word in _ENDS_PATH:
            path = False
        elif word in (b"(", b"<"):
            return False
        elif word == b"BI":
            image = _IMAGE_ENDS.search(content, at)
            if image is None:
                return False
            at = image.end()
    return not path and not any(depth.values())


def _measured(part: pikepdf.Object) -> bool:
    packing = part.get("/Filter", None)
    if isinstance(packing, Array):
        return not len(packing) or (len(packing) == 1 and packing[0] == Name.FlateDecode)
    return packing is None or packing == Name.FlateDecode


def _length(part: pikepdf.Object) -> int:
    """How many bytes a stream unpacks to, counted as far as is believed; 0 if packed otherwise."""
    if not _measured(part):
        return 0
    raw = part.read_raw_bytes()
    if not part.get("/Filter", None):
        return len(raw)
    total, unpacking = 0, zlib.decompressobj()
    try:
        while raw and not unpacking.eof and total <= _BELIEVED:
            total += len(unpacking.decompress(raw, _BLOCK))
            raw = unpacking.unconsumed_tail
    except zlib.error:
        return total
    return total


def _copy(pdf: pikepdf.Pdf, stream: pikepdf.Object) -> pikepdf.Object:
    """The stream again, packed as it is: other pages may show it too."""
    made = Stream(pdf, stream.read_raw_bytes())
    for name in ("/Filter", "/DecodeParms"):
        if name in stream:
            made[name] = stream[name]
    return made


def _frame(pdf: pikepdf.Pdf, page: pikepdf.Page, form: pikepdf.Object) -> None:
    form.Type, form.Subtype = Name.XObject, Name.Form
    form.BBox = Array([float(v) for v in page.mediabox])
    form.Resources = page.resources
    if "/Group" in page.obj:
        form.Group = page.obj.Group
    page.obj.Resources = Dictionary(XObject=Dictionary({str(_FORM): form}))
    page.obj.Contents = pdf.make_stream(f"{_FORM} Do".encode())
