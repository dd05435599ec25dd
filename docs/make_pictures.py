"""The README's pictures: pages of the sample dossier, found by their bookmarks.

Usage: python docs/make_pictures.py OUT/dossier.pdf   (needs pdftoppm of poppler-utils)
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pikepdf

PICTURES = Path(__file__).parent / "pictures"
# Picture -> words of the bookmark whose first page it shows; "" is the first page of all.
WANTED = {
    "cover": "",
    "procedure-sheet": "Welding procedure specification WPS-01",
    "welder-matrix": "Welder qualification matrix",
    "joint-register": "Joint register",
    "joint-history": "Joint history ML-101",
    "cross-check-report": "Cross-check report",
}
_RESOLUTION = "64"


def bookmarks(pdf: pikepdf.Pdf) -> Iterator[tuple[str, int]]:
    """Title and page, from 1, of every bookmark."""
    numbers = {page.objgen: number for number, page in enumerate(pdf.pages, start=1)}
    with pdf.open_outline() as outline:
        waiting = list(outline.root)
        while waiting:
            item = waiting.pop(0)
            waiting = [*item.children, *waiting]
            destination = item.destination
            if destination is not None:
                yield item.title, numbers[pikepdf.Array(destination)[0].objgen]


def main(dossier: Path) -> None:
    """Write one picture for each wanted page."""
    PICTURES.mkdir(exist_ok=True)
    with pikepdf.open(dossier) as pdf:
        pages = list(bookmarks(pdf))
    for name, words in WANTED.items():
        page = next((page for title, page in pages if words in title), None) if words else 1
        if page is None:
            sys.exit(f"no bookmark says {words!r}")
        number = str(page)
        command = ["pdftoppm", "-png", "-singlefile", "-r", _RESOLUTION, "-f", number, "-l", number]
        subprocess.run([*command, str(dossier), str(PICTURES / name)], check=True)  # noqa: S603
        print(PICTURES / f"{name}.png")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
