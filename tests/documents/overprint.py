"""Is anything printed outside the page, over other text, or cut off? Asked of the finished PDF.

`faults(data)` gives one line for each fault with the page and the text, none for a sound PDF:
    assert faults(pdf) == []
"""

from __future__ import annotations

import ctypes
from collections import defaultdict
from collections.abc import Iterator

import pypdfium2
import pypdfium2.raw as pdfium

Box = tuple[float, float, float, float]  # left, bottom, right, top, in points
_CELL = 12.0  # points: side of the squares in which neighbours are sought
_COVERED = 0.35  # share of the smaller letter that another one may cover: kerning stays below
_SLACK = 1.0  # points


def faults(data: bytes, at_most: int = 20) -> list[str]:
    """What is outside the page, overprinted or clipped; the first `at_most` faults."""
    found: list[str] = []
    with pypdfium2.PdfDocument(data) as document:
        for index in range(len(document)):
            page = document[index]
            told = f"page {index + 1}"
            found += [f"{told}: {fault}" for fault in _letters(page)]
            found += [f"{told}: {fault}" for fault in _clipped(page)]
            page.close()
            if len(found) >= at_most:
                break
    return found[:at_most]


def _letters(page: pypdfium2.PdfPage) -> Iterator[str]:
    text = page.get_textpage()
    whole = text.get_text_range()
    boxes: list[tuple[int, Box]] = []
    left, low, right, high = page.get_bbox()
    for index in range(text.count_chars()):
        code = pdfium.FPDFText_GetUnicode(text, index)
        if code <= 32 or code in (0xA0, 0xFFFE) or pdfium.FPDFText_IsGenerated(text, index) == 1:
            continue
        box = text.get_charbox(index)
        boxes.append((index, box))
        if (box[0] < left - _SLACK or box[1] < low - _SLACK
                or box[2] > right + _SLACK or box[3] > high + _SLACK):  # fmt: skip
            yield f"outside the page: {_around(whole, index)!r}"
            break
    for one, other in _overlaps(boxes):
        yield f"{_around(whole, one)!r} printed over {_around(whole, other)!r}"
    text.close()


def _around(whole: str, index: int) -> str:
    return " ".join(whole[max(0, index - 18) : index + 18].split())


def _overlaps(boxes: list[tuple[int, Box]]) -> Iterator[tuple[int, int]]:
    """Letters that cover each other, once for each pair of runs."""
    squares: dict[tuple[int, int], list[tuple[int, Box]]] = defaultdict(list)
    told: set[tuple[int, int]] = set()
    for index, box in boxes:
        places = {
            (int(x // _CELL), int(y // _CELL)) for x in (box[0], box[2]) for y in (box[1], box[3])
        }
        for place in places:
            for other, there in squares[place]:
                run = (index // 24, other // 24)
                near = index - other <= 2  # kerned, or one glyph for two letters
                if not near and run not in told and _share(box, there) > _COVERED:
                    told.add(run)
                    yield index, other
            squares[place].append((index, box))


def _share(one: Box, other: Box) -> float:
    width = min(one[2], other[2]) - max(one[0], other[0])
    height = min(one[3], other[3]) - max(one[1], other[1])
    if width <= 0 or height <= 0:
        return 0.0
    smaller = min((b[2] - b[0]) * (b[3] - b[1]) for b in (one, other))
    return width * height / smaller if smaller > 0.01 else 0.0


def _clipped(page: pypdfium2.PdfPage) -> Iterator[str]:
    """Text that a clip path cuts: what overflows a drawing."""
    text = page.get_textpage()
    for item in page.get_objects(filter=(pdfium.FPDF_PAGEOBJ_TEXT,), max_depth=6):
        clip = _clip_box(item)
        if clip is None:
            continue
        box = item.get_bounds()
        if (box[0] < clip[0] - _SLACK or box[1] < clip[1] - _SLACK
                or box[2] > clip[2] + _SLACK or box[3] > clip[3] + _SLACK):  # fmt: skip
            said = " ".join(text.get_text_bounded(*box).split())
            yield f"cut off: {said!r}"
    text.close()


def _clip_box(item: pypdfium2.PdfObject) -> Box | None:
    """The box in which an object may be seen; None without a clip path."""
    clip = pdfium.FPDFPageObj_GetClipPath(item)
    count = pdfium.FPDFClipPath_CountPaths(clip) if clip else -1
    box: Box | None = None
    x, y = ctypes.c_float(), ctypes.c_float()
    for path in range(max(count, 0)):
        points = []
        for segment in range(pdfium.FPDFClipPath_CountPathSegments(clip, path)):
            part = pdfium.FPDFClipPath_GetPathSegment(clip, path, segment)
            if pdfium.FPDFPathSegment_GetPoint(part, x, y):
                points.append((x.value, y.value))
        if points:
            xs, ys = [p[0] for p in points], [p[1] for p in points]
            one = (min(xs), min(ys), max(xs), max(ys))
            box = one if box is None else (
                max(box[0], one[0]), max(box[1], one[1]), min(box[2], one[2]), min(box[3], one[3])
            )  # fmt: skip
    return box
