"""Pages of foreign PDFs put in order: credible size, right angles, RGB, nothing that acts or leaks.

Only what would spoil the dossier is touched: a page that is merely unusual stays as it is.
"""

from __future__ import annotations

import io
import zlib
from typing import cast

import pikepdf
from pikepdf import Array, Name

from dossier.handover.balance import in_own_space
from dossier.handover.harmless import made_harmless
from dossier.handover.pictures import A4, fit

_Box = tuple[float, float, float, float]
_A3_LONG = 1190.55
_PACKERS = frozenset({"/FlateDecode", "/Fl", "/LZWDecode", "/LZW", "/RunLengthDecode", "/RL"})
_PACKED_MAX = 20_000  # bytes of content of a page that is one picture


def normalise(pdf: pikepdf.Pdf) -> bool:
    """Put every page in order; returns whether anything was changed.

    Raises ValueError: a stream that was packed twice, which no scanner does and which may unpack
    to a million times its size.
    """
    changed = False
    for page in pdf.pages:
        _refuse_packed_twice(page)
        for step in (_box, _turn, _size, _colours, made_harmless):
            changed = step(page) or changed
        changed = in_own_space(pdf, page) or changed
    return changed


def _refuse_packed_twice(page: pikepdf.Page) -> None:
    drawn = page.resources.get("/XObject", None) if "/Resources" in page.obj else None
    shown = [drawn[name] for name in drawn.keys()] if drawn is not None else []  # noqa: SIM118
    for stream in (*_parts(page), *shown):
        packed = stream.get("/Filter", None)
        if isinstance(packed, Array) and sum(str(one) in _PACKERS for one in packed) > 1:
            raise ValueError("packed twice")


def _parts(page: pikepdf.Page) -> list[pikepdf.Object]:
    contents = page.obj.get("/Contents", None)
    if contents is None:
        return []
    return list(contents) if isinstance(contents, Array) else [contents]


def _box(page: pikepdf.Page) -> bool:
    """A page without a size, or with one of nothing, becomes A4; a crop to nothing is none."""
    sheet = _area(_own(page, "/MediaBox"))
    changed = sheet is None
    if sheet is None:
        sheet = 0.0, 0.0, *A4
        page.obj.MediaBox = Array(sheet)
    cropped = _own(page, "/CropBox")
    if cropped is None or _area(cropped, sheet):
        return changed
    page.obj.CropBox = Array(sheet)  # its own, as one from above would hold again
    return True


def _area(box: object, within: _Box | None = None) -> _Box | None:
    """The corners of a box, as far as it lies within another; None where that is nothing."""
    if not isinstance(box, Array) or len(box) != 4:
        return None
    left, low, right, high = (float(v) for v in box)
    left, low, right, high = min(left, right), min(low, high), max(left, right), max(low, high)
    if within:
        left, low = max(left, within[0]), max(low, within[1])
        right, high = min(right, within[2]), min(high, within[3])
    return (left, low, right, high) if right - left > 1 and high - low > 1 else None


def _own(page: pikepdf.Page, name: str) -> pikepdf.Object | None:
    """An entry of the page, or of the tree above it."""
    found = page.obj.get(name, None)
    return _inherited(page, name) if found is None else found


def _inherited(page: pikepdf.Page, name: str) -> pikepdf.Object | None:
    node, steps = page.obj.get("/Parent", None), 0
    while node is not None and steps < 50:
        if name in node:
            return node[name]
        node, steps = node.get("/Parent", None), steps + 1
    return None


def _turn(page: pikepdf.Page) -> bool:
    turn = _own(page, "/Rotate") or 0
    right = round(float(turn) / 90) * 90 % 360
    if float(turn) % 360 == right:
        return False
    page.obj.Rotate = right
    return True


def _size(page: pikepdf.Page) -> bool:
    """A lone picture of less than 100 dots an inch on a page beyond A3 was stored without its size.

    It is fitted onto A4. A drawing of that size stays: it is not made of one picture.
    """
    left, low, right, high = (float(v) for v in page.mediabox)
    width, height = abs(right - left), abs(high - low)
    images = list(page.get_images().values())
    if max(width, height) <= _A3_LONG or len(images) != 1:
        return False
    content = _content(page)
    if content is None or b"Tj" in content:
        return False
    if int(images[0].Width) * 72 / width >= 100:
        return False
    scale = fit(width, height)
    move = f"q {scale:.6f} 0 0 {scale:.6f} {-left * scale:.4f} {-low * scale:.4f} cm\n"
    page.contents_add(move.encode(), prepend=True)
    page.contents_add(b"\nQ")
    for name in ("/CropBox", "/TrimBox", "/BleedBox", "/ArtBox"):
        if name in page.obj:
            del page.obj[name]
    page.obj.MediaBox = Array([0, 0, round(width * scale, 3), round(height * scale, 3)])
    return True


def _content(page: pikepdf.Page) -> bytes | None:
    """What is drawn on a page; None where that is more than a lone picture asks for."""
    parts = _parts(page)
    if sum(len(part.read_raw_bytes()) for part in parts) > _PACKED_MAX:
        return None
    return b"\n".join(part.read_bytes() for part in parts)


def _colours(page: pikepdf.Page) -> bool:
    """Pictures in CMYK become RGB: the dossier has one output intent, sRGB."""
    changed = False
    for image in page.get_images().values():
        if image.get("/ColorSpace", None) == Name.DeviceCMYK:
            _to_rgb(cast("pikepdf.Stream", image))
            changed = True
    return changed


def _to_rgb(image: pikepdf.Stream) -> None:
    picture = pikepdf.PdfImage(image).as_pil_image().convert("RGB")
    packed = image.get("/Filter", None)
    filters = list(packed) if isinstance(packed, Array) else [packed]
    if Name.DCTDecode in filters:
        out = io.BytesIO()
        picture.save(out, "JPEG", quality=92, subsampling=0)
        image.write(out.getvalue(), filter=Name.DCTDecode)
    else:
        image.write(zlib.compress(picture.tobytes(), 6), filter=Name.FlateDecode)
    image.ColorSpace = Name.DeviceRGB
    image.BitsPerComponent = 8
    for name in ("/Decode", "/DecodeParms"):
        if name in image:
            del image[name]
