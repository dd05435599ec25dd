"""The helper sees what it is there to see, and nothing on sound pages."""

from __future__ import annotations

import pytest

from dossier.documents.pdf import render
from tests.documents.overprint import faults

SVG = 'xmlns="http://www.w3.org/2000/svg"'


def _pdf(body: str) -> bytes:
    return render([f"<html lang=en><title>t</title><body>{body}</body></html>"]).data


def test_a_sound_page_has_no_fault() -> None:
    svg = f'<svg {SVG} width="200" height="40"><text x="4" y="20">in</text></svg>'
    assert faults(_pdf("<h1>Kept & whole</h1><p>AVAVA fi ffl Ünter ÅÄ</p>" + svg)) == []


OVER = (
    "<p style='position:absolute;top:0'>first line</p>"
    "<p style='position:absolute;top:2pt;left:3pt'>other words</p>"
)
CUT = f'<svg {SVG} width="60" height="30"><text x="4" y="20">too long for its drawing</text></svg>'


@pytest.mark.parametrize(
    ("body", "word"),
    [
        ('<p style="position:absolute;left:700pt;width:90pt">beyond the edge</p>', "outside"),
        (OVER, "printed over"),
        (CUT, "cut off"),
        ("<div style='overflow:hidden;height:9pt;width:60pt'>one two three four five</div>", "cut"),
    ],
)
def test_each_kind_of_fault_is_seen(body: str, word: str) -> None:
    assert word in " ".join(faults(_pdf(body)))
