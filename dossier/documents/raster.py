"""Drawings as PNG for the forms that cannot hold SVG: the same renderer and fonts as the PDF."""

from __future__ import annotations

import io
import re
from functools import lru_cache

from dossier.errors import InputError, MissingToolError

DOTS_PER_INCH = 220


@lru_cache(maxsize=64)
def png(svg: str) -> bytes:
    """A drawing as PNG. Raises InputError: not a drawing; MissingToolError: no PDF rasteriser."""
    from dossier.documents.pdf import render

    size = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    if size is None:
        raise InputError("svg", found=repr(svg[:40]), expected="a drawing with its size")
    width, height = size.groups()
    style = f"@page{{size:{width}px {height}px;margin:0}}html{{font-size:0;line-height:0}}"
    pdf = render([f"<!DOCTYPE html><style>{style}</style>{svg}"], variant=None).data
    try:
        import pypdfium2
    except ImportError:
        raise MissingToolError(
            "pypdfium2", needed_for="drawings inside docx", remedy="pip install pypdfium2"
        ) from None
    document = pypdfium2.PdfDocument(pdf)
    try:
        picture = document[0].render(scale=DOTS_PER_INCH / 72).to_pil()
    finally:
        document.close()
    out = io.BytesIO()
    picture.convert("RGB").quantize(64).save(out, "PNG", optimize=True)
    return out.getvalue()


def title_of(svg: str) -> str:
    """What the drawing shows, for readers who cannot see it.

    >>> title_of('<svg viewBox="0 0 1 1"><title>V &amp; J</title></svg>')
    'V & J'
    """
    from html import unescape

    found = re.search(r"<title>(.*?)</title>", svg, re.DOTALL)
    return unescape(found.group(1)) if found else ""
