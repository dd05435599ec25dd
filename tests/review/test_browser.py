"""The page in a real browser: every view, by keyboard, narrow and wide, on paper, and hostile."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from dossier.coverage.audit_sample import draw
from dossier.documents.joint_history import history
from dossier.documents.record_code import deep_link
from tests.review.browser import axe_file
from tests.review.conftest import Checked
from tests.review.hostile import FORMULA, IMAGE, LONG, RIGHT_TO_LEFT

pytestmark = pytest.mark.browser

VIEWS = (
    "start", "joints", "joint=ML-048", "joint=ML-001", "welders", "welder=W14", "welder=W31",
    "coverage", "strip", "strip=BG-2&from=14200&to=14500", "figures", "completeness", "findings",
    "findings&by=finding", "findings&cure=0", "things", "heat=H41274", "batch=C-60-09",
    "wps=WPS-01", "film=RT-ML-048", "find=W0", "find=nothing+of+that+name", "sample=7&joints=12",
    "joint=not-there",
)  # fmt: skip
Opened = Callable[..., Any]


@pytest.fixture
def opened(browser: Any) -> Iterator[Opened]:
    """Open a page at an address inside it; talk and requests of any kind fail the test."""
    contexts, amiss = [], []

    def opening(path: Path, inside: str = "start", width: int = 1280) -> Any:
        context = browser.new_context(
            viewport={"width": width, "height": 800}, color_scheme="light", accept_downloads=True
        )
        contexts.append(context)
        tab = context.new_page()
        address = path.resolve().as_uri()
        tab.on("console", lambda message: amiss.append(f"console: {message.text}"))
        tab.on("pageerror", lambda error: amiss.append(f"error: {error}"))
        tab.on("request", lambda sent: sent.url.startswith(address) or sent.url.startswith("blob:")
               or amiss.append(f"request: {sent.url}"))  # fmt: skip
        tab.goto(f"{address}#{inside}")
        tab.wait_for_selector("html[data-ready=yes][data-searchable=yes]", state="attached")
        settled(tab)
        return tab

    yield opening
    for context in contexts:
        context.close()
    assert amiss == []


def settled(tab: Any) -> None:
    """Two frames later: long tables and drawings that follow their width are there."""
    tab.evaluate("() => new Promise((done) => requestAnimationFrame(() => "
                 "requestAnimationFrame(done)))")  # fmt: skip


def gone_to(tab: Any, inside: str) -> None:
    tab.evaluate("(to) => { location.hash = to; }", inside)
    tab.locator(f"html[data-shown='#{inside}']").wait_for(state="attached")


def heading(tab: Any) -> str:
    text: str = tab.locator("h1").inner_text()
    return text


@pytest.mark.parametrize("view", VIEWS)
def test_every_view_can_be_read_by_everybody(opened: Opened, sample_page: Path, view: str) -> None:
    tab = opened(sample_page, view)
    assert tab.locator("h1").count() == 1
    tab.evaluate(axe_file().read_text(encoding="utf-8"))
    for scheme in ("light", "dark"):
        tab.emulate_media(color_scheme=scheme)
        settled(tab)
        told = tab.evaluate("() => axe.run(document)")
        broken = [f"{v['id']}: {v['nodes'][0]['html'][:200]}" for v in told["violations"]]
        assert broken == [], scheme
        assert len(told["passes"]) > 20


@pytest.mark.parametrize("width", [320, 480, 768, 1024, 1440, 2560])
def test_no_view_is_wider_than_the_window(opened: Opened, sample_page: Path, width: int) -> None:
    tab = opened(sample_page, width=width)
    for view in VIEWS:
        gone_to(tab, view)
        settled(tab)
        over = tab.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert over <= 0, view


def test_a_joint_shows_what_its_sheet_shows(
    opened: Opened, sample_page: Path, sample: Checked
) -> None:
    seen, findings = sample
    place = next(n for n, j in enumerate(seen.project.joints) if j.number == "ML-048")
    own = [f for f in findings if f.about("joint") == "ML-048"]
    printed = history(seen, own, seen.project.joints[place], place + 1)
    tab = opened(sample_page, "joint=ML-048")
    shown = tab.locator("main").inner_text()
    for name in ("members", "passes", "welders", "examinations", "repairs", "after", "papers"):
        for line in printed[name]["rows"]:  # type: ignore[literal-required]
            for cell in line["cells"]:
                assert cell in shown, (name, cell)
    page_link = tab.locator("td a[href*='evidence/']").first
    assert re.search(r"\.pdf#page=\d+$", page_link.get_attribute("href"))
    assert page_link.get_attribute("rel") == "noopener"


def test_a_printed_code_leads_to_its_joint_and_is_compared(
    opened: Opened, sample_page: Path, sample: Checked
) -> None:
    seen, findings = sample
    joint = seen.project.joints[0]
    own = [f for f in findings if f.about("joint") == joint.number]
    printed = history(seen, own, joint, 1)
    code = deep_link(joint.number, printed["head"], printed["code"]["mark"]).removeprefix("#")
    tab = opened(sample_page, code)
    assert heading(tab) == f"Joint {joint.number}"
    assert "shows the same records" in tab.locator("main .fine").inner_text()
    tab = opened(sample_page, re.sub("hash=.*", "hash=0000000000", code))
    assert "made of other records" in tab.locator("main .warn").first.inner_text()


def test_all_of_it_by_keyboard(opened: Opened, sample_page: Path) -> None:
    tab = opened(sample_page, "joints")
    tab.keyboard.press("Tab")
    assert tab.evaluate("document.activeElement.textContent") == "Skip to the content"
    tab.keyboard.press("Tab")
    tab.keyboard.type("W03")
    tab.keyboard.press("Enter")
    tab.locator("html[data-shown='#find=W03']").wait_for(state="attached")
    assert tab.evaluate("document.activeElement.tagName") == "H1"
    tab.keyboard.press("Tab")
    tab.keyboard.press("Enter")
    tab.locator("html[data-shown='#welder=W03']").wait_for(state="attached")
    assert heading(tab) == "Welder W03"


def test_the_list_is_walked_by_arrows(opened: Opened, sample_page: Path) -> None:
    tab = opened(sample_page, "joints")
    tab.locator(".window").focus()
    for key in ("ArrowDown", "ArrowDown", "ArrowDown", "ArrowUp"):
        tab.keyboard.press(key)
    assert tab.evaluate("document.activeElement.textContent") == "ML-002"
    tab.keyboard.press("End")
    last = tab.evaluate("document.activeElement.closest('tr').getAttribute('aria-rowindex')")
    assert last == tab.locator("table.long").get_attribute("aria-rowcount")
    tab.keyboard.press("Home")
    tab.keyboard.press("PageDown")
    number = tab.evaluate("document.activeElement.textContent")
    tab.keyboard.press("Enter")
    tab.locator(f"html[data-shown='#joint={number}']").wait_for(state="attached")


def test_filters_search_and_the_address_agree(
    opened: Opened, sample_page: Path, sample: Checked
) -> None:
    seen, _ = sample
    tab = opened(sample_page, "joints")
    tab.get_by_role("combobox", name="Kind").select_option("tie-in")
    ties = [j.number for j in seen.project.joints if j.kind == "tie-in"]
    assert tab.locator(".count").inner_text() == f"{len(ties)} rows."
    assert tab.evaluate("location.hash") == "#joints&kind=tie-in"
    tab.get_by_label("Holds these words").fill("ti-2")
    assert tab.locator("tbody th").all_inner_texts() == ["TI-2"]
    again = opened(sample_page, "joints&kind=tie-in")
    assert again.locator("tbody th").all_inner_texts() == ties


def test_a_film_finds_its_joint(opened: Opened, sample_page: Path, sample: Checked) -> None:
    report = next(e for e in sample[0].project.examinations if e.films)
    tab = opened(sample_page)
    tab.get_by_label("Find a joint").fill(report.films[0])
    tab.get_by_role("button", name="Find").click()
    tab.get_by_role("link", name="Only these").click()
    tab.locator("html[data-shown^='#film']").wait_for(state="attached")
    assert report.joint in tab.locator("tbody th").all_inner_texts()


def test_shown_rows_are_saved_and_no_formula_survives(opened: Opened, hostile_page: Path) -> None:
    tab = opened(hostile_page, "joints")
    with tab.expect_download() as waiting:
        tab.get_by_role("button", name="Save shown rows as CSV").click()
    text = Path(waiting.value.path()).read_text(encoding="utf-8-sig")
    rows = list(csv.reader(io.StringIO(text)))
    assert [row[0] for row in rows] == ["Joint", "ML-001", "ML-002", "ST-001", "FW-001", "HW-001"]
    assert rows[2][rows[0].index("Kind")] == f"'{FORMULA}"
    assert not any(cell.startswith(("=", "+", "@")) for row in rows for cell in row)


def test_the_sample_is_the_one_of_the_command(
    opened: Opened, sample_page: Path, sample: Checked
) -> None:
    tab = opened(sample_page, "sample")
    for seed in (1, 7, 20260630, -3):
        tab.get_by_label("Seed").fill(str(seed))
        tab.get_by_label("Joints").fill("15")
        tab.get_by_role("button", name="Draw").click()
        settled(tab)
        wanted = [one.file.number for one in draw(sample[0], seed, 15)]
        assert tab.locator("tbody th").all_inner_texts() == wanted


def test_the_strip_map_zooms_by_key_and_button(opened: Opened, sample_page: Path) -> None:
    tab = opened(sample_page, "strip=BG-2")
    whole = tab.locator(".count").first.inner_text()
    tab.locator(".strip").focus()
    for key in ("+", "+", "ArrowRight"):
        tab.keyboard.press(key)
    settled(tab)
    near = tab.locator(".count").first.inner_text()
    assert near != whole
    assert "from=" in tab.evaluate("location.hash")
    assert tab.locator(".strip a[href^='#joint=']").count() > 5
    tab.get_by_role("button", name="Whole line").click()
    assert tab.locator(".count").first.inner_text() == whole
    settled(tab)
    tab.locator(".strip a[href='#strip']").first.click()
    assert tab.locator(".count").first.inner_text() != whole


def test_a_cell_of_the_matrix_says_why(opened: Opened, sample_page: Path) -> None:
    tab = opened(sample_page, "coverage")
    tab.get_by_role("button", name="W01, N1: not covered").click()
    told = tab.locator(".why").inner_text()
    assert "W01, N1: not covered" in told
    assert "API 1104" in told


def test_findings_by_cure_lead_to_reasons_and_clause(
    opened: Opened, sample_page: Path, sample: Checked
) -> None:
    tab = opened(sample_page, "findings")
    tab.get_by_role("combobox", name="Verdict").select_option("cut-out")
    tab.locator("tbody th a").first.click()
    tab.locator("html[data-shown^='#findings&cure=']").wait_for(state="attached")
    settled(tab)
    tab.locator("tbody th a").first.click()
    tab.locator("html[data-shown^='#finding=']").wait_for(state="attached")
    card = tab.locator(".card").inner_text()
    number = tab.evaluate("decodeURIComponent(location.hash.replace('#finding=', ''))")
    finding = next(f for f in sample[1] if f.id == number)
    assert finding.sentence in card
    for reason in finding.reasons:
        assert str(reason.basis) in card


def test_a_welder_has_bars_gaps_and_work(opened: Opened, sample_page: Path) -> None:
    tab = opened(sample_page, "welder=W14")
    for part in ("inforce", "broken", "cross"):
        assert tab.locator(f".chart .{part}").count() > 0, part
    tab.locator("summary").click()
    assert "not in force" in tab.locator("details").inner_text()


@pytest.mark.parametrize(("view", "most"), [("joints", 15), ("joint=ML-048", 8), ("start", 4)])
def test_paper_holds_the_view_and_no_blank_pages(
    opened: Opened, sample_page: Path, view: str, most: int
) -> None:
    tab = opened(sample_page, view)
    document = pypdfium2.PdfDocument(tab.pdf(format="A4", print_background=True))
    texts = [page.get_textpage().get_text_range() for page in document]
    document.close()
    assert len(texts) <= most
    assert all(len(text.strip()) > 40 for text in texts)
    wanted = {"joints": "PT-17", "start": "How far the joints have come"}
    assert wanted.get(view, "Three tests of the record") in " ".join(texts)
    assert "Save shown rows" not in " ".join(texts)


def test_colours_can_be_chosen(opened: Opened, sample_page: Path) -> None:
    tab = opened(sample_page)
    paper = "getComputedStyle(document.documentElement).backgroundColor"
    light = tab.evaluate(paper)
    tab.get_by_role("combobox", name="Colours").select_option("dark")
    assert tab.evaluate(paper) != light
    tab.get_by_role("combobox", name="Colours").select_option("light")
    assert tab.evaluate(paper) == light


def test_hostile_records_are_text(opened: Opened, hostile_page: Path) -> None:
    tab = opened(hostile_page, width=320)
    shown = ""
    for view in ("start", "joints", "joint=ML-001", "welders", "welder=W01", "coverage", "strip",
                 "figures", "completeness", "findings&by=finding", "things", "wps=WPS-A",
                 "find=onerror", f"batch={IMAGE}"):  # fmt: skip
        tab.evaluate("(to) => { location.hash = to; }", f"#{view}" if "<" not in view else
                     f"#batch={_encoded(IMAGE)}")  # fmt: skip
        settled(tab)
        settled(tab)
        shown += tab.locator("main").inner_text()
        assert tab.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0, view
        assert tab.locator("main img, main script").count() == 0
    assert tab.evaluate("window.harmed") is None
    for text in (IMAGE, LONG, RIGHT_TO_LEFT):
        assert text in shown
    hrefs = tab.evaluate("[...document.querySelectorAll('a')].map((a) => a.protocol)")
    assert "javascript:" not in hrefs


def _encoded(text: str) -> str:
    return "".join(f"%{byte:02X}" for byte in text.encode())


def test_a_damaged_page_says_so(browser: Any, sample_page: Path, tmp_path: Path) -> None:
    text = sample_page.read_text(encoding="utf-8")
    damaged = tmp_path / "damaged.html"
    damaged.write_text(re.sub('(id="data-core">).{40}', r"\1" + "A" * 40, text), encoding="utf-8")
    tab = browser.new_page()
    tab.goto(damaged.as_uri())
    tab.get_by_text("the file is damaged").wait_for()
    tab.close()
