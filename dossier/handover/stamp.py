"""The line that the dossier prints at the foot of every page, scans included.

Our own sheets leave room for it. A page of somebody else's is made longer by a strip at its foot,
so that nothing on it is covered and nothing is scaled; its turn and its annotations stay.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

import pikepdf
from pikepdf import Array, Dictionary, Name, Stream

from dossier.resources import shared

SIZE = 7.0  # points
STRIP = 26.0  # points added below a foreign page
_MARGIN = 45.0
_LINE = 8.5  # from line to line
_GAP = 8.0  # at least, between two texts
_FONT = Name("/DossierStamp")
_BLACK, _RED = "0.27 0.33 0.36 rg", "0.64 0.16 0.13 rg"


@dataclass(frozen=True, slots=True)
class Line:
    """What stands on one page: at the left, in the middle (in red) and at the right."""

    left: str
    middle: str
    right: str


@dataclass(frozen=True, slots=True)
class Subset:
    """The bundled font with few characters: its file, its measures, the glyph of each character."""

    data: bytes
    per_em: int
    box: tuple[int, int, int, int]  # xMin, yMin, xMax, yMax, in units of the font
    ascent: int
    descent: int
    glyphs: Mapping[int, int]  # by code point
    widths: Mapping[int, float]  # by glyph, in thousandths of the size


_ALWAYS = frozenset(chr(code) for code in (*range(0x20, 0x7F), 0xB7))


@lru_cache(maxsize=2)
def subset(characters: frozenset[str] = _ALWAYS) -> Subset:
    """The font with these characters; those of nearly every dossier, unless others are asked for.

    It takes a fifth of a second, so that it is worth being asked for while others work.
    """
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    font = TTFont(shared("templates") / "fonts" / "DejaVuSansCondensed.ttf",
                  recalcTimestamp=False)  # fmt: skip
    options = Options(hinting=False, notdef_outline=True, layout_features=[])
    options.drop_tables += ["FFTM"]
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=sorted(map(ord, characters)))
    subsetter.subset(font)
    head, lines, names = font["head"], font["hhea"], font.getBestCmap()
    widths = {font.getGlyphID(name): font["hmtx"][name][0] * 1000 / head.unitsPerEm
              for name in font.getGlyphOrder()}  # fmt: skip
    data = io.BytesIO()
    font.save(data)
    return Subset(
        data.getvalue(), head.unitsPerEm, (head.xMin, head.yMin, head.xMax, head.yMax),
        lines.ascent, lines.descent,
        {code: font.getGlyphID(name) for code, name in names.items()}, widths,
    )  # fmt: skip


class StampFont:
    """A subset of the bundled font, embedded once in the file, and its widths."""

    def __init__(self, pdf: pikepdf.Pdf, texts: Iterable[str]) -> None:
        made = subset(_ALWAYS.union(*texts))
        self.glyphs = made.glyphs
        self.codes = {chr(code): f"{glyph:04X}" for code, glyph in made.glyphs.items()}
        self.advances = {chr(code): made.widths[glyph] for code, glyph in made.glyphs.items()}
        self.pdf = pdf
        self.opening = pdf.make_stream(b"q\n")  # shared by all pages
        self.object = self._embed(pdf, made)

    def _embed(self, pdf: pikepdf.Pdf, made: Subset) -> pikepdf.Object:
        scale = 1000 / made.per_em
        base = Name("/DOSSTP+DejaVuSansCondensed")
        descriptor = pdf.make_indirect(
            Dictionary(
                Type=Name.FontDescriptor, FontName=base, Flags=4,
                FontBBox=Array([round(v * scale) for v in made.box]), ItalicAngle=0,
                Ascent=round(made.ascent * scale), Descent=round(made.descent * scale),
                CapHeight=730, StemV=80,
                FontFile2=pdf.make_indirect(Stream(pdf, made.data, Length1=len(made.data))),
            )
        )  # fmt: skip
        widths = Array([round(w) for _, w in sorted(made.widths.items())])
        inner = pdf.make_indirect(
            Dictionary(
                Type=Name.Font, Subtype=Name.CIDFontType2, BaseFont=base,
                CIDSystemInfo=Dictionary(Registry=b"Adobe", Ordering=b"Identity", Supplement=0),
                FontDescriptor=descriptor, CIDToGIDMap=Name.Identity, W=Array([0, widths]),
            )
        )  # fmt: skip
        return pdf.make_indirect(
            Dictionary(
                Type=Name.Font, Subtype=Name.Type0, BaseFont=base, Encoding=Name("/Identity-H"),
                DescendantFonts=Array([inner]),
                ToUnicode=pdf.make_indirect(Stream(pdf, self._to_unicode())),
            )
        )  # fmt: skip

    def _to_unicode(self) -> bytes:
        pairs = sorted((glyph, code) for code, glyph in self.glyphs.items())
        lines = ["/CIDInit /ProcSet findresource begin 12 dict begin begincmap",
                 "/CMapName /Stamp def /CMapType 2 def",
                 "1 begincodespacerange <0000> <FFFF> endcodespacerange"]  # fmt: skip
        for start in range(0, len(pairs), 100):
            part = pairs[start : start + 100]
            lines.append(f"{len(part)} beginbfchar")
            for glyph, code in part:
                lines.append(f"<{glyph:04X}> <{chr(code).encode('utf-16-be').hex().upper()}>")
            lines.append("endbfchar")
        lines.append("endcmap CMapName currentdict /CMap defineresource pop end end")
        return "\n".join(lines).encode()

    def width(self, text: str) -> float:
        """Width of a text at the stamp's size, in points."""
        other = self.advances["?"]
        return sum([self.advances.get(c, other) for c in text]) * SIZE / 1000

    def show(self, text: str, x: float, y: float, colour: str) -> str:
        """Operators that print a text with its left end at a place; "?" for what the font lacks."""
        other = self.codes["?"]
        codes = "".join([self.codes.get(c, other) for c in text])
        return f"{colour} 1 0 0 1 {x:.2f} {y:.2f} Tm <{codes}> Tj"


def _upright(page: pikepdf.Page) -> tuple[list[float], int]:
    """The visible box of a page and how far it is turned, clockwise, in degrees."""
    box = [float(v) for v in page.cropbox]
    left, right = sorted((box[0], box[2]))
    low, high = sorted((box[1], box[3]))
    return [left, low, right, high], page.rotation % 360


def _lengthened(box: list[float], turn: int) -> list[float]:
    """The box with a strip added at the side that is its foot when shown."""
    left, low, right, high = box
    return {
        0: [left, low - STRIP, right, high],
        90: [left, low, right + STRIP, high],
        180: [left, low, right, high + STRIP],
        270: [left - STRIP, low, right, high],
    }[turn]


def _frame(box: list[float], turn: int) -> tuple[str, float]:
    """The matrix that makes the shown lower left corner the origin, and the shown width."""
    left, low, right, high = box
    matrix = {
        0: f"1 0 0 1 {left:.3f} {low:.3f} cm",
        90: f"0 1 -1 0 {right:.3f} {low:.3f} cm",
        180: f"-1 0 0 -1 {right:.3f} {high:.3f} cm",
        270: f"0 -1 1 0 {left:.3f} {high:.3f} cm",
    }[turn]
    return matrix, right - left if turn in (0, 180) else high - low


def _row(line: Line, font: StampFont, width: float, y: float) -> str:
    """Operators of the line. On a narrow page the middle goes above, and letters are narrowed."""
    left, middle, right = (font.width(text) for text in (line.left, line.middle, line.right))
    margin = min(_MARGIN, width / 12)
    room = width - 2 * margin
    above = _LINE if left + middle + right + 2 * _GAP > room else 0.0
    wide = max(left + right + _GAP, middle)
    narrowed = min(1.0, room / wide)
    texts = [f"{narrowed * 100:.1f} Tz"] if narrowed < 1 else []
    texts.append(font.show(line.left, margin, y, _BLACK))
    if line.middle:
        at = (width - middle * narrowed) / 2
        texts.append(font.show(line.middle, at, y + above, _RED))
    texts.append(font.show(line.right, width - margin - right * narrowed, y, _BLACK))
    return " ".join(texts)


def stamp(page: pikepdf.Page, line: Line, font: StampFont, *, own: bool) -> None:
    """Print a line at the foot of a page; a page that is not our own is lengthened first."""
    box, turn = _upright(page)
    paint = ""
    if not own:
        box = _lengthened(box, turn)
        page.mediabox = page.cropbox = Array(box)
        for name in ("/TrimBox", "/BleedBox", "/ArtBox"):
            if name in page.obj:
                del page.obj[name]
    matrix, width = _frame(box, turn)
    if not own:  # what lay outside the visible page must not show in the strip
        paint = f"1 g 0 0 {width:.2f} {STRIP:.2f} re f "
    y = 9.0 if not own else 20.0
    body = f"BT {_FONT} {SIZE} Tf {_row(line, font, width, y)} ET"
    page.add_resource(font.object, Name.Font, name=_FONT, replace_existing=True)
    drawn = font.pdf.make_stream(f"\nQ\nq {matrix} {paint}{body} Q\n".encode())
    contents = page.obj.get("/Contents", None)
    before = list(contents) if isinstance(contents, Array) else [contents] if contents else []
    page.obj.Contents = Array([font.opening, *before, drawn])
