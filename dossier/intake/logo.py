"""The logo that the settings of a project name: a small picture that every PDF/A file may hold."""

from __future__ import annotations

import io
from pathlib import Path

from dossier.errors import InputError
from dossier.intake.paths import confined
from dossier.intake.strict_pictures import strict_pictures

BYTES_MAX = 200_000  # every document carries it
SIDE_MAX = 1_600  # pixels
_FORMATS = ("PNG", "JPEG")
_MODES = ("RGB", "RGBA", "L", "LA", "P", "1")  # CMYK breaks the colour profile of PDF/A


def read_logo(folder: Path, written: str) -> bytes:
    """The logo's bytes, b"" where none is named.

    Raises InputError: a path out of the folder, no file, no PNG or JPEG, more than BYTES_MAX bytes
    or SIDE_MAX pixels, colours other than RGB or grey.
    """
    if not written:
        return b""
    path = confined(folder, written)
    if not path.is_file():
        raise InputError("look.logo", found=f'"{written}", no file', expected="a PNG or JPEG")
    size = path.stat().st_size
    if size > BYTES_MAX:
        raise InputError("look.logo", found=f"{size:,} bytes", expected=f"at most {BYTES_MAX:,}")
    data = path.read_bytes()
    _judge(data, written)
    return data


def _judge(data: bytes, written: str) -> None:
    from PIL import Image

    try:
        with strict_pictures(), Image.open(io.BytesIO(data), formats=_FORMATS) as picture:
            sides, mode = picture.size, picture.mode
            if max(sides) <= SIDE_MAX:
                picture.load()
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombWarning):
        raise InputError(
            "look.logo", found=f'"{written}", not to be read', expected="a PNG or JPEG"
        ) from None
    if max(sides) > SIDE_MAX:
        found = f"{sides[0]} x {sides[1]} pixels"
        raise InputError("look.logo", found=found, expected=f"at most {SIDE_MAX} a side")
    if mode not in _MODES:
        raise InputError("look.logo", found=f"colours {mode}", expected="RGB or grey")
