"""The browser that the page is tried in: Debian's Chromium, cut off from everything."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import Any

_SWITCHES = (
    "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip


def program() -> str | None:
    return shutil.which("chromium") or shutil.which("chromium-browser")


def axe_file() -> Path:
    """axe-core as the package of the development tools brings it."""
    found = find_spec("axe_playwright_python")
    return Path(found.origin or "").with_name("axe.min.js") if found else Path()


def missing() -> list[str]:
    """What the browser tests need and this machine lacks."""
    lacks = [] if program() else ["Chromium"]
    lacks += [] if find_spec("playwright") else ["Playwright"]
    return lacks + ([] if axe_file().is_file() else ["axe-core"])


@contextmanager
def chromium() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program(), args=list(_SWITCHES))
        try:
            yield browser
        finally:
            browser.close()
