"""Extreme projects on paper: nothing is outside of the page, no text lies on other text."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from dossier.coverage.view import view
from dossier.documents import front
from dossier.documents.pages import page
from dossier.documents.pdf import render
from dossier.handover.sections import CONTENTS, source
from dossier.records.project import Project
from tests.documents import example, extreme
from tests.documents.layout import troubles
from tests.documents.reading import pdf_text

PROJECTS: dict[str, Callable[[], Project]] = {
    "long names": extreme.long_names,
    "nothing": extreme.nothing,
    "bare": extreme.bare,
}


@pytest.mark.parametrize("name", PROJECTS)
def test_nothing_is_clipped_or_overprinted(name: str) -> None:
    seen = view(PROJECTS[name](), example.AS_OF)
    of = source(seen, example.findings() if name == "long names" else [], None)
    sheets = [(section, sheet) for section in CONTENTS for sheet in CONTENTS[section](of)]
    assert len(sheets) >= 25
    found = {section: told[:3] for section, sheet in sheets
             if (told := troubles(render([sheet.content.html()]).data))}  # fmt: skip
    assert found == {}


def test_sixty_passes_fit() -> None:
    of = source(view(extreme.sixty_passes(), example.AS_OF), [], None)
    kinds = ("procedure-sheets", "procedure-claims", "joint-histories", "daily-sheet")
    pages = [sheet.content.html() for kind in kinds for sheet in CONTENTS[kind](of)]
    assert [told[:3] for page in pages if (told := troubles(render([page]).data))] == []


@pytest.mark.parametrize("few", range(1, 4))
def test_no_heading_of_the_register_stands_last_on_a_sheet(few: int) -> None:
    def entry(level: int, title: str) -> front.Entry:
        return front.Entry(level=level, number=f"D-{title[:4]}", title=title, revision="A",
                           sheets="1", page="1", link="")  # fmt: skip

    entries = [
        one
        for volume in range(12)
        for one in (
            entry(1, f"Volume {volume}"),
            *(line for section in range(4) for line in (
                entry(2, f"Section {volume}.{section}"),
                *(entry(3, f"Sheet {volume}.{section}.{n}") for n in range(few)),
            )),
        )
    ]  # fmt: skip
    seen = view(example.project(), example.AS_OF)
    html = page("contents.html", front.contents(seen, "DOS-1", entries, ""))
    sheets = pdf_text(render([html]).data, how="-raw").split("\f")[:-1]
    told = [re.findall(r"(Volume|Section|Sheet) \d", sheet) for sheet in sheets]
    assert len(told) >= 3
    assert sum(map(len, told)) == len(entries)
    assert {kinds[-1] for kinds in told} == {"Sheet"}


def test_the_look_out_sees_what_it_looks_for() -> None:
    over = '<p style="position:absolute;top:30mm">Over</p><p style="position:absolute;top:30.5mm">'
    page = f"<html><head><title>t</title></head><body>{over}Under</p></body></html>"
    assert any("lies on" in told for told in troubles(render([page], None).data))
    beyond = "<p style='margin-right:-40mm;white-space:nowrap'>" + "wide " * 60 + "</p>"
    page = f"<html><head><title>t</title></head><body>{beyond}</body></html>"
    assert any("outside" in told for told in troubles(render([page], None).data))
