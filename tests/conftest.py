"""Tests of whole dossiers, pages and browsers are marked, so that the others stay quick."""

from __future__ import annotations

from pathlib import Path

import pytest

# Each of these renders many pages, starts a browser, an office or a clock that has to run out, or
# writes the sample project anew.
_WHOLE = (
    "commands/test_plan_command.py",
    "docs/test_generated_pages.py",
    "documents/test_forms.py",
    "documents/test_language.py",
    "documents/test_layout.py",
    "documents/test_printed.py",
    "documents/test_strangers.py",
    "documents/test_welding_papers.py",
    "documents/test_whole_projects.py",
    "handover/",
    "hostile/test_soak.py",
    "intake/test_entry_",
    "projects/test_stream.py",
    "review/",
    "test_api.py",
    "test_sample_files.py",
)
_HERE = Path(__file__).parent


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        inside = item.path.is_relative_to(_HERE)
        if inside and item.path.relative_to(_HERE).as_posix().startswith(_WHOLE):
            item.add_marker("whole")
