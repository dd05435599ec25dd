"""The documentation site: every page is there, every link leads somewhere, nothing is fetched."""

from __future__ import annotations

from collections import defaultdict
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from docs.make_site import LinkError, read, sources, write_site


class Links(HTMLParser):
    """What a page points to, what it fetches, and the anchors in it."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.points: list[str] = []
        self.fetches: list[str] = []
        self.anchors: list[str] = []
        self.words: list[str] = []  # of the links
        self.tags: dict[str, int] = defaultdict(int)
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags[tag] += 1
        given = dict(attrs)
        if given.get("id"):
            self.anchors.append(str(given["id"]))
        address = given.get("href") or given.get("src")
        if tag == "a":
            self.words.append("")
        if address:
            (self.points if tag == "a" else self.fetches).append(address)

    def handle_data(self, data: str) -> None:
        if self.words and not self.words[-1]:
            self.words[-1] = data.strip()


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("site")
    write_site(out)
    return out


@pytest.fixture(scope="module")
def pages(site: Path) -> dict[str, Links]:
    return {path.name: Links(path.read_text(encoding="utf-8")) for path in site.glob("*.html")}


def test_every_source_is_a_page_and_has_one_heading(pages: dict[str, Links]) -> None:
    assert len(pages) == len(sources())
    assert {name: page.tags["h1"] for name, page in pages.items()} == dict.fromkeys(pages, 1)


def test_every_link_leads_to_a_file_and_an_anchor(site: Path, pages: dict[str, Links]) -> None:
    dead = []
    for name, page in pages.items():
        for address in (*page.points, *page.fetches):
            parts = urlsplit(address)
            if parts.scheme:
                continue
            target = unquote(parts.path) or name
            there = (site / target).is_file()
            anchored = not parts.fragment or unquote(parts.fragment) in pages[target].anchors
            if not (there and anchored):
                dead.append(f"{name}: {address}")
    assert dead == []


def test_nothing_is_fetched_from_elsewhere_and_nothing_runs(pages: dict[str, Links]) -> None:
    for name, page in pages.items():
        assert not [a for a in page.fetches if urlsplit(a).scheme or urlsplit(a).netloc], name
        assert not page.tags["script"], name


def test_anchors_are_unique(pages: dict[str, Links]) -> None:
    for name, page in pages.items():
        assert len(page.anchors) == len(set(page.anchors)), name


def test_every_page_is_in_the_navigation_of_every_page(pages: dict[str, Links]) -> None:
    for name, page in pages.items():
        assert set(pages) <= set(page.points), name
        assert "" not in page.words, name


def test_a_dead_link_stops_the_site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("docs.make_site.ROOT", tmp_path)
    (tmp_path / "README.md").write_text("# Title\n\n[gone](gone.md)\n", encoding="utf-8")
    with pytest.raises(LinkError, match=r"gone\.md is not there"):
        read("README.md")
