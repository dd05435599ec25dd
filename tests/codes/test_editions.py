"""Every registered edition answers to its name, and every rule it lists can be found."""

from __future__ import annotations

from importlib import import_module
from typing import Any

import pytest

from dossier.codes import editions
from dossier.errors import InputError

REGISTERED = [
    *[(name, editions.welder_code) for name in editions.WELDER_CODES],
    *[(name, editions.procedure_code) for name in editions.PROCEDURE_CODES],
    *[(name, editions.acceptance_code) for name in editions.ACCEPTANCE_CODES],
]
FACES = {
    editions.welder_code: ("qualified_range", "covers", "valid_on", "valid_until"),
    editions.procedure_code: ("procedure_range", "supports"),
    editions.acceptance_code: ("accept",),
}


@pytest.mark.parametrize(("name", "find"), REGISTERED)
def test_edition_answers_to_its_name(name: str, find: Any) -> None:
    module = find(name)
    assert name == module.EDITION
    assert all(callable(getattr(module, function)) for function in FACES[find])
    assert module.RULES
    assert module.NOT_COVERED


@pytest.mark.parametrize(("name", "find"), REGISTERED)
def test_every_listed_rule_can_be_found(name: str, find: Any) -> None:
    for rule in find(name).RULES:
        module, _, function = rule.function.rpartition(".")
        assert callable(getattr(import_module(module), function)), rule.function
        assert rule.known in {"read", "secondary", "memory", "practice", "project"}
        assert rule.title
        assert rule.clause


@pytest.mark.parametrize("find", list(FACES))
def test_unknown_edition_is_refused_with_the_known_ones(find: Any) -> None:
    with pytest.raises(InputError, match=r"found 'ISO 1:1900', expected .*[0-9]"):
        find("ISO 1:1900")
