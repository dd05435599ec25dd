"""The fast validator only makes it faster: every message is the same without it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from dossier.errors import Fault
from dossier.intake import validate
from dossier.intake.convert import Converted
from dossier.intake.schemas import REGISTERS, schema
from dossier.records.position import Position


def spoiled(name: str) -> Iterator[dict[str, Any]]:
    """Records of examples with one field missing, unknown or wrong, and with two of these."""
    properties = schema(name)["properties"]
    full = {field: own["examples"][0] for field, own in properties.items()}
    yield full
    yield {}
    for field in properties:
        missing = {key: value for key, value in full.items() if key != field}
        yield missing
        for wrong in (None, "", "x", -1, 1e9, True, [], [1], {}, {"x": 1}):
            yield {**full, field: wrong}
        yield {**missing, "colour": 1}
        yield {**dict.fromkeys(properties, -1), field: full[field]}


@pytest.mark.parametrize("name", REGISTERS)
def test_messages_are_the_same_both_ways(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("jsonschema_rs")
    records = [Converted(data, Position("f", n)) for n, data in enumerate(spoiled(name))]

    def messages() -> list[list[Fault]]:
        return [validate.faults(record, schema(name)) for record in records]

    fast = messages()
    monkeypatch.setattr(validate, "_GATES", {})
    monkeypatch.setattr(validate, "fast_gate", lambda _whole: None)
    assert messages() == fast
    assert fast[0] == []
    assert all(fast[1:2])
    assert sum(map(bool, fast)) > len(schema(name)["properties"])
