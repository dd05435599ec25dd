"""Scanned pictures as PDF pages: the picture as it was stored, at the size its resolution gives.

A JPEG goes in byte for byte; other pictures are packed without loss. Colours outside of sRGB and
transparency would break PDF/A, so pictures of that kind become plain RGB.
"""

from __future__ import annotations

import io
import zlib
from pathlib import Path
from typing import TYPE_CHECKING

import pikepdf
from pikepdf import Array, Dictionary, Name, Stream

from dossier.intake.strict_pictures import strict_pictures

if TYPE_CHECKING:
    from PIL.Image import Image

ENDINGS = (".png", ".jpg", ".jpeg", ".tif", ".tiff")
A4 = (595.28, 841.89)
_A3_LONG = 1190.55
_CREDIBLE_DPI = (50.0, 4800.0)
_USUAL_DPI = 150.0
_TURNS = {3: 180, 6: 90, 8: 270}  # EXIF orientation -> degrees clockwise
_ORIENTATION = 0x0112
_DEVICES = {"1": (Name.DeviceGray, 1), "L": (Name.DeviceGray, 8), "RGB": (Name.DeviceRGB, 8)}


def picture_pdf(path: Path) -> bytes:
    """A PDF of a picture, each of its frames a page; equal bytes for equal files.

    Raises OSError, ValueError or the picture library's own errors: a file that it cannot read.
    """
    from PIL import Image, ImageSequence

    out = io.BytesIO()
    with strict_pictures(), Image.open(path) as picture, pikepdf.new() as pdf:
        stored = _whole_jpeg(path) if picture.format == "JPEG" else b""
        for frame in ImageSequence.Iterator(picture):
            _add_page(pdf, frame, stored if frame.mode in ("L", "RGB") else b"")
        pdf.save(out, deterministic_id=True)
    return out.getvalue()


def _whole_jpeg(path: Path) -> bytes:
    """The bytes of a JPEG; decoded once, small, as one cut short would be bound in half grey."""
    from PIL import Image

    with Image.open(path) as picture:
        picture.draft(None, (1, 1))
        picture.load()
    return path.read_bytes()


def _add_page(pdf: pikepdf.Pdf, frame: Image, stored: bytes) -> None:
    turn = _TURNS.get(frame.getexif().get(_ORIENTATION, 1), 0)
    resolution = frame.info.get("dpi", (_USUAL_DPI, _USUAL_DPI))
    plain = frame if stored or frame.mode in _DEVICES else flattened(frame)
    space, bits = _DEVICES[plain.mode]
    data, packing = (stored, Name.DCTDecode) if stored else (_packed(plain), Name.FlateDecode)
    image = Stream(
        pdf, data, Type=Name.XObject, Subtype=Name.Image, Width=plain.width, Height=plain.height,
        ColorSpace=space, BitsPerComponent=bits, Filter=packing,
    )  # fmt: skip
    width, height = page_size(plain.size, (float(resolution[0]), float(resolution[-1])))
    content = f"q {width:.3f} 0 0 {height:.3f} 0 0 cm /Scan Do Q".encode()
    page = Dictionary(
        Type=Name.Page, MediaBox=Array([0, 0, round(width, 3), round(height, 3)]), Rotate=turn,
        Resources=Dictionary(XObject=Dictionary(Scan=pdf.make_indirect(image))),
        Contents=Stream(pdf, content),
    )  # fmt: skip
    pdf.pages.append(pikepdf.Page(pdf.make_indirect(page)))


def _packed(picture: Image) -> bytes:
    return zlib.compress(picture.tobytes(), 6)


def flattened(picture: Image) -> Image:
    """The picture as RGB; what is transparent becomes white, sixteen bits become eight."""
    from PIL import Image as Pictures

    if picture.mode.startswith("I;16") or picture.mode == "I":
        return picture.point(lambda value: value / 256).convert("L").convert("RGB")
    if "A" in picture.getbands() or "transparency" in picture.info:
        whole = picture.convert("RGBA")
        ground = Pictures.new("RGBA", whole.size, "white")
        ground.alpha_composite(whole)
        return ground.convert("RGB")
    return picture.convert("RGB")


def page_size(pixels: tuple[int, int], dpi: tuple[float, float]) -> tuple[float, float]:
    """Width and height in points of a scan of so many pixels; a size beyond belief becomes A4.

    A scanner that states no resolution leaves pages of a metre; such a page is fitted onto A4.

    >>> page_size((2480, 3508), (300, 300))[0]
    595.2
    >>> page_size((2480, 3508), (72, 72))[1]
    841.89
    """
    low, high = _CREDIBLE_DPI
    across, down = (d if low <= d <= high else _USUAL_DPI for d in dpi)
    width, height = pixels[0] * 72 / across, pixels[1] * 72 / down
    if max(width, height) > _A3_LONG and min(across, down) < 100:
        scale = fit(width, height)
        return width * scale, height * scale
    return width, height


def fit(width: float, height: float) -> float:
    """The scale at which a page of this size lies on A4, upright or across."""
    short, long = A4
    return min(short / min(width, height), long / max(width, height))
