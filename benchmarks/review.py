"""The review page of a long line: time to make, size, and what a browser needs for it.

    .venv/bin/python -m benchmarks.review [--joints 100000] [--keep FOLDER]

Needs Playwright and Chromium (see DEVELOPERS.md). Times are medians of several turns on this
machine; the limits stand beside them.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

from benchmarks.generate import written
from dossier.checks import run
from dossier.coverage.view import view
from dossier.intake import load_project
from dossier.review import page
from tests.review.browser import chromium

TURNS = 5


def made(folder: Path, joints: int) -> Path:
    """The page of a generated project; kept where it was made before."""
    target = folder / f"review-{joints}.html"
    if target.exists():
        return target
    project = folder / f"project-{joints}"
    if not project.exists():
        written(project, joints)
    start = time.perf_counter()
    seen = view(load_project(project))
    read = time.perf_counter()
    findings = run(seen)
    checked = time.perf_counter()
    target.write_bytes(page(seen, findings))
    print(f"read {read - start:.0f} s, check {checked - read:.0f} s ({len(findings)} findings), "
          f"page {time.perf_counter() - checked:.0f} s", flush=True)  # fmt: skip
    return target


def told(name: str, value: float, unit: str, limit: str) -> None:
    print(f"{name:44} {value:8.3f} {unit:3} {limit}", flush=True)


def timed(work: Callable[[], Any]) -> float:
    """Median seconds of several turns."""
    taken = []
    for _ in range(TURNS):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return median(taken)


# Typed into the field of the joints view; the page marks the moment at which its list is drawn.
SEARCH = """(text) => new Promise((done) => {
  const field = document.querySelector(".filters input");
  const count = document.querySelector(".count");
  const start = performance.now();
  field.value = text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  requestAnimationFrame(() => done([performance.now() - start, count.textContent]));
})"""
SORT = """() => new Promise((done) => {
  const start = performance.now();
  document.querySelectorAll(".sort")[0].click();
  requestAnimationFrame(() => done(performance.now() - start));
})"""


def measured(path: Path, joints: int) -> None:
    told("size", path.stat().st_size / 1e6, "MB", "under 20")
    with chromium() as browser:
        tab = browser.new_page(bypass_csp=True)  # to ask the page for its own clock
        address = path.resolve().as_uri()

        def load(until: str) -> None:
            tab.goto("about:blank")
            tab.goto(f"{address}#joints", wait_until="commit")
            tab.wait_for_selector(f"html[data-{until}=yes]", state="attached")

        load("searchable")
        told("ready, list of joints drawn", timed(lambda: load("ready")), "s", "under 1")
        told("ready to search", timed(lambda: load("searchable")), "s", "")
        for text in (
            f"ML-{joints:07d}",
            f"RT-{joints // 2:07d}",
            "W017",
            "h42 b-6",
            "no such joint",
        ):
            answers = [tab.evaluate(SEARCH, text) for _ in range(TURNS)]
            told(f"search {text!r}: {answers[0][1]}", median(a[0] for a in answers) / 1000, "s",
                 "under 0.2")  # fmt: skip
        tab.evaluate(SEARCH, "")
        told("sort by joint", median(tab.evaluate(SORT) for _ in range(TURNS)) / 1000, "s", "")
        for name, hash_ in (("first joint opened", f"#joint=ML-{joints // 2:07d}"),
                            ("strip map", "#strip=ML"), ("findings", "#findings"),
                            ("welder", "#welder=W017"),
                            ("sample", "#sample=7&joints=20")):  # fmt: skip
            start = time.perf_counter()
            tab.evaluate("(to) => { location.hash = to; }", hash_)
            tab.wait_for_selector(f"html[data-shown^='{hash_.split('&')[0]}'] h1")
            told(name, time.perf_counter() - start, "s", "")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--joints", type=int, default=100_000)
    parser.add_argument("--keep", type=Path)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        folder = given.keep or Path(place)
        folder.mkdir(parents=True, exist_ok=True)
        measured(made(folder, given.joints), given.joints)


if __name__ == "__main__":
    main()
