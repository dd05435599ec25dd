"""Invented evidence files: a turned scan, a picture, a page of odd size."""

from __future__ import annotations

from pathlib import Path

import pikepdf
from PIL import Image, ImageDraw


def make_papers(folder: Path) -> Path:
    """Papers of the example project below `folder`; D-003 is left out on purpose."""
    papers = folder / "papers"
    papers.mkdir(parents=True)
    _pdf(papers / "mc.pdf", [(595, 842, 0), (842, 595, 90)])
    _pdf(papers / "wq.pdf", [(400, 700, 270)])
    _pdf(papers / "rt.pdf", [(612, 792, 180)])
    return folder


def _pdf(path: Path, pages: list[tuple[int, int, int]]) -> None:
    with pikepdf.new() as pdf:
        for width, height, turn in pages:
            page = pdf.add_blank_page(page_size=(width, height))
            font = pikepdf.Dictionary(Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1,
                                      BaseFont=pikepdf.Name.Helvetica)  # fmt: skip
            page.add_resource(font, pikepdf.Name.Font, name=pikepdf.Name.F1)
            frame = f"0 0 {width} {height} re S BT /F1 14 Tf 20 20 Td (scan {path.stem}) Tj ET"
            page.contents_add(frame.encode())
            page.rotate(turn, relative=False)
        pdf.save(path)


def make_picture(path: Path) -> None:
    picture = Image.new("RGB", (600, 400), "white")
    ImageDraw.Draw(picture).rectangle((0, 0, 599, 399), outline="black")
    picture.save(path, dpi=(150, 150))
