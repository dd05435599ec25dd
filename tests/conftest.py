"""Tests of whole dossiers, pages and browsers are marked, so that the others stay quick."""

from __future__ import annotations

from pathlib import Path

import pytest

# Each of these renders many pages, starts a browser, an office or a clock that has to run out, or
# writes the sample project anew.
_WHOLE = (
    "dossier/api.py",
    "tests/commands/test_plan_command.py",
    "tests/docs/test_generated_pages.py",
    "tests/documents/test_accessible.py",
    "tests/documents/test_figures.py",
    "tests/documents/test_forms.py",
    "tests/documents/test_held_memory.py",
    "tests/documents/test_language.py",
    "tests/documents/test_layout.py",
    "tests/documents/test_overprint.py",
    "tests/documents/test_own_form.py",
    "tests/documents/test_printed.py",
    "tests/documents/test_strangers.py",
    "tests/documents/test_welding_papers.py",
    "tests/documents/test_whole_projects.py",
    "tests/documents/test_windows.py",
    "tests/handover/",
    "tests/hostile/",
    "tests/intake/test_entry_",
    "tests/intake/test_hostile_books.py",
    "tests/intake/test_one_register.py",
    "tests/intake/test_propose.py",
    "tests/intake/test_radiograph_headers.py",
    "tests/projects/test_asked_once.py",
    "tests/projects/test_stream.py",
    "tests/review/",
    "tests/test_api.py",
    "tests/test_sample_files.py",
)
_ROOT = Path(__file__).parent.parent


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        inside = item.path.is_relative_to(_ROOT)
        if inside and item.path.relative_to(_ROOT).as_posix().startswith(_WHOLE):
            item.add_marker("whole")
