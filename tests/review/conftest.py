from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from dossier.checks import run
from dossier.coverage.view import View, view
from dossier.intake import load_project
from dossier.records.verdicts import Finding
from dossier.review import page
from dossier.review.evidence import evidence_paths, links_from
from tests.review.browser import chromium, missing
from tests.review.hostile import hostile_project

SAMPLE = Path(__file__).parents[2] / "sample_project"
Checked = tuple[View, list[Finding]]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    lacks = missing()
    if not lacks or os.environ.get("CI") == "true":
        return  # under CI a missing browser fails the tests that need it
    left_out = pytest.mark.skip(reason=f"not on this machine: {', '.join(lacks)}")
    for item in items:
        if item.get_closest_marker("browser"):
            item.add_marker(left_out)


def checked(folder: Path) -> Checked:
    seen = view(load_project(folder))
    return seen, run(seen)


@pytest.fixture(scope="session")
def sample() -> Checked:
    return checked(SAMPLE)


@pytest.fixture(scope="session")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Checked:
    return checked(hostile_project(tmp_path_factory.mktemp("hostile")))


@pytest.fixture(scope="session")
def sample_page(sample: Checked, tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("page") / "review.html"
    links = links_from(target.parent, evidence_paths(sample[0], SAMPLE))
    target.write_bytes(page(*sample, links))
    return target


@pytest.fixture(scope="session")
def hostile_page(hostile: Checked, tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("page") / "hostile.html"
    target.write_bytes(page(*hostile))
    return target


@pytest.fixture(scope="module")  # its loop of events would be in the way of other tests
def browser() -> Iterator[Any]:
    with chromium() as opened:
        yield opened
