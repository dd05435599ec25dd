"""The logo of a project: what is taken, and what is refused with the reason."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

from dossier.errors import InputError
from dossier.intake.logo import BYTES_MAX, read_logo


def _picture(mode: str, side: int, kind: str) -> bytes:
    out = io.BytesIO()
    Image.new(mode, (side, 8)).save(out, kind)
    return out.getvalue()


@pytest.mark.parametrize(("mode", "kind"), [("RGB", "PNG"), ("L", "JPEG"), ("RGBA", "PNG")])
def test_small_pictures_in_rgb_or_grey_are_taken(tmp_path: Path, mode: str, kind: str) -> None:
    data = _picture(mode, 40, kind)
    (tmp_path / "logo").write_bytes(data)
    assert read_logo(tmp_path, "logo") == data
    assert read_logo(tmp_path, "") == b""


@pytest.mark.parametrize(
    ("data", "word"),
    [
        (b"\x89PNG" + bytes(BYTES_MAX), "bytes"),
        (_picture("RGB", 1601, "PNG"), "pixels"),
        (_picture("CMYK", 40, "JPEG"), "CMYK"),
        (_picture("RGB", 40, "GIF"), "not to be read"),
        (b"<svg/>", "not to be read"),
        (_picture("RGB", 40, "PNG")[:44], "not to be read"),
    ],
)
def test_other_files_are_refused(tmp_path: Path, data: bytes, word: str) -> None:
    (tmp_path / "logo").write_bytes(data)
    with pytest.raises(InputError, match=word):
        read_logo(tmp_path, "logo")


@pytest.mark.parametrize("written", ["../logo", "/etc/hostname", "absent.png", "out.png"])
def test_a_logo_lies_in_the_project(tmp_path: Path, written: str) -> None:
    (tmp_path / "out.png").symlink_to("/etc/hostname")
    with pytest.raises(InputError):
        read_logo(tmp_path, written)
