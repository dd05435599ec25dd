"""Pages that are made from the code are as the code would make them now."""

from __future__ import annotations

import importlib
from pathlib import Path
from types import ModuleType

import pytest

DOCS = Path(__file__).parents[2] / "docs"


def maker(name: str) -> ModuleType:
    return importlib.import_module(f"docs.{name}")


@pytest.mark.parametrize("name", sorted(path.stem for path in DOCS.glob("make_*.py")))
def test_the_committed_page_is_up_to_date(name: str) -> None:
    module = maker(name)
    if hasattr(module, "pages"):
        made = module.pages()
    elif hasattr(module, "PAGE"):
        made = {module.PAGE: module.page()}
    else:
        assert name in (
            "make_own_form",
            "make_pictures",
            "make_site",
            "make_third_party",
        )  # of other tests
        return
    for path, text in made.items():
        assert path.read_text(encoding="utf-8") == text, f"run docs/{name}.py"


def test_every_rule_of_the_codes_page_names_a_function_that_exists() -> None:
    for module in maker("make_codes").modules():
        for rule in getattr(module, "RULES", ()):
            home, _, name = rule.function.rpartition(".")
            assert hasattr(importlib.import_module(home), name), rule
            assert rule.known in ("read", "secondary", "memory", "practice"), rule
