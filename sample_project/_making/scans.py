"""Writing the evidence as small PDF files that look like filled-in papers, each marked DEMO."""

from __future__ import annotations

from math import cos, radians, sin
from pathlib import Path

import pikepdf

from sample_project._making.base import dice

_WIDE, _HIGH = 595, 842
_MARK_DEG = 55


def write(path: Path, number: str, pages: list[list[str]]) -> None:
    """Write one paper. The same arguments give the same bytes."""
    path.parent.mkdir(parents=True, exist_ok=True)
    pdf = pikepdf.new()
    font = pdf.make_indirect(
        pikepdf.Dictionary(
            Type=pikepdf.Name.Font,
            Subtype=pikepdf.Name.Type1,
            BaseFont=pikepdf.Name.Helvetica,
            Encoding=pikepdf.Name.WinAnsiEncoding,
        )
    )
    for page, lines in enumerate(pages, 1):
        foot = f"{number}   page {page} of {len(pages)}"
        content = "\n".join(_page(number, page, lines, foot)).encode("cp1252", "replace")
        pdf.pages.append(
            pikepdf.Page(
                pikepdf.Dictionary(
                    Type=pikepdf.Name.Page,
                    MediaBox=[0, 0, _WIDE, _HIGH],
                    Resources=pikepdf.Dictionary(Font=pikepdf.Dictionary(F1=font)),
                    Contents=pdf.make_stream(content),
                )
            )
        )
    pdf.save(
        path,
        deterministic_id=True,
        compress_streams=True,
        object_stream_mode=pikepdf.ObjectStreamMode.generate,
        linearize=False,
    )


def _page(number: str, page: int, lines: list[str], foot: str) -> list[str]:
    draw = dice("scan", number, page)
    tilt = radians(draw.uniform(-0.6, 0.6))  # a paper never lies quite straight on the glass
    c, s = cos(tilt), sin(tilt)
    out = [
        "q 0.975 0.97 0.95 rg 0 0 595 842 re f Q",
        f"q {c:.5f} {s:.5f} {-s:.5f} {c:.5f} {draw.uniform(-3, 3):.2f} 0 cm",
        "0.25 0.25 0.3 RG 0.8 w 40 60 515 730 re S 40 745 515 45 re S 40 60 515 90 re S",
        "0.15 0.15 0.2 rg",
        _text(52, 762, 13, lines[0]),
    ]
    y = 724.0
    for line in lines[1:]:
        for part in _fold(line):
            out.append(_text(52, y, 9, part))
            y -= 14
        if y < 170:
            break
    out += [*_signature(draw.uniform(60, 110), 92, number), *_stamp(draw.uniform(420, 470), 105)]
    out += [_text(52, 134, 8, "Signed"), _text(52, 66, 8, foot), "Q", *_demo()]
    return out


def _fold(line: str, width: int = 104) -> list[str]:
    return [line[k : k + width] for k in range(0, max(len(line), 1), width)]


def _text(x: float, y: float, size: float, words: str) -> str:
    safe = words.replace("\\", r"\\").replace("(", r"\(").replace(")", r"\)")
    return f"BT /F1 {size} Tf {x:.1f} {y:.1f} Td ({safe}) Tj ET"


def _signature(x: float, y: float, name: str) -> list[str]:
    draw = dice("signature", name)
    parts = [f"q 0.1 0.15 0.5 RG 1.1 w {x:.1f} {y:.1f} m"]
    for _ in range(7):
        ends = [draw.uniform(0, 14) for _ in range(3)]
        x += draw.uniform(10, 20)
        parts.append(
            f"{x - 12:.1f} {y + ends[0] * 2:.1f} {x - 5:.1f} {y - ends[1]:.1f} "
            f"{x:.1f} {y + ends[2] / 2:.1f} c"
        )
    return [*parts, "S Q"]


def _stamp(x: float, y: float) -> list[str]:
    k = 0.5523
    ring = []
    for r in (34.0, 27.0):
        d = r * k
        ring.append(
            f"{x + r:.1f} {y:.1f} m "
            f"{x + r:.1f} {y + d:.1f} {x + d:.1f} {y + r:.1f} {x:.1f} {y + r:.1f} c "
            f"{x - d:.1f} {y + r:.1f} {x - r:.1f} {y + d:.1f} {x - r:.1f} {y:.1f} c "
            f"{x - r:.1f} {y - d:.1f} {x - d:.1f} {y - r:.1f} {x:.1f} {y - r:.1f} c "
            f"{x + d:.1f} {y - r:.1f} {x + r:.1f} {y - d:.1f} {x + r:.1f} {y:.1f} c S"
        )
    words = (
        "BT 0.6 0.15 0.2 rg /F1 8 Tf 1 0 0 1 " + f"{x - 18.5:.1f} {y - 3:.1f} Tm (RECEIVED) Tj ET"
    )
    return ["q 0.6 0.15 0.2 RG 1.4 w", *ring, words, "Q"]


def _demo() -> list[str]:
    c, s = cos(radians(_MARK_DEG)), sin(radians(_MARK_DEG))
    return [
        "q 0.85 0.82 0.8 rg BT /F1 150 Tf",
        f"1 Tr 0.75 0.6 0.6 RG {c:.4f} {s:.4f} {-s:.4f} {c:.4f} 190 190 Tm (DEMO) Tj ET Q",
    ]
