"""The place of every field: two readers that know nothing of each other must agree."""

from __future__ import annotations

import json
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dossier.intake import read_json, read_yaml
from dossier.intake.raw import Raw

NAMES = st.text(alphabet="abcdef_", min_size=1, max_size=4)
SCALARS = st.one_of(
    st.integers(-99, 99), st.text(alphabet='ab ,:[]{}"\\é', min_size=1, max_size=6), st.booleans()
)
RECORDS = st.dictionaries(
    NAMES,
    st.recursive(
        SCALARS,
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(NAMES, inner, max_size=3),
        max_leaves=8,
    ),
    max_size=4,
)


@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(records=st.lists(RECORDS, max_size=3), indent=st.sampled_from([None, 1]), head=st.booleans())
def test_json_and_yaml_find_every_field_at_the_same_line(
    tmp_path: Path, records: list[dict[str, object]], indent: int | None, head: bool
) -> None:
    whole = {"schema": "1.0", "records": records} if head else records
    path = tmp_path / "records.json"
    path.write_text(json.dumps(whole, indent=indent, ensure_ascii=False), encoding="utf-8")
    as_yaml, yaml_faults = read_yaml.read_records(path, "f", "1.0")
    as_json, json_faults = read_json.read_records(path, "f", "1.0")
    assert yaml_faults == json_faults == []
    assert [raw.origin.line for raw in as_yaml] == [raw.origin.line for raw in as_json]
    for one, other in zip(as_yaml, as_json, strict=True):
        for field in one.origin.fields:
            assert one.origin.of(field) == other.origin.of(field), field
        assert texts(one) == texts(other)


def texts(raw: Raw) -> object:
    """The data with every scalar as its text: YAML leaves true and false to the schema."""

    def text(value: object) -> object:
        if isinstance(value, dict):
            return {name: text(part) for name, part in value.items()}
        if isinstance(value, list):
            return [text(part) for part in value]
        return str(value).lower() if isinstance(value, bool) else str(value)

    return text(raw.data)


def test_json_lines_are_counted(tmp_path: Path) -> None:
    path = tmp_path / "records.jsonl"
    path.write_text('{"number": "1"}\n\n{"number": "2"}\r\n', encoding="utf-8")
    raws, faults = read_json.read_lines(path, "f")
    assert [(raw.data["number"], raw.origin.line) for raw in raws] == [("1", 1), ("2", 3)]
    assert faults == []
