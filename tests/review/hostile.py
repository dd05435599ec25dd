"""A project whose texts try to be more than text."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.trial import CLEAN, changed, read, written

BREAKS_OUT = "</script><script>window.harmed = 1</script>{data}{script}"
IMAGE = "<img src=x onerror='window.harmed = 2'>"
FORMULA = '=HYPERLINK("http://harm.invalid","look")'
LONG = "Long" * 120
RIGHT_TO_LEFT = "خط الأنابيب الرئيسي"
LINK = "javascript:window.harmed=3"

_CHANGES: list[dict[str, Any]] = [
    {"in": "project", "set": {"title": BREAKS_OUT, "client": IMAGE}},
    {"in": "lines", "where": {"id": "ML"}, "set": {"title": RIGHT_TO_LEFT}},
    {"in": "welders", "where": {"stamp": "W01"}, "set": {"name": IMAGE}},
    {"in": "joints", "where": {"number": "ML-001"}, "set": {"remarks": LONG, "drawing": LINK}},
    {"in": "joints", "where": {"number": "ML-002"}, "set": {"kind": FORMULA}},
    {"in": "coatings", "where": {"joint": "ML-002"}, "set": {"coated_at": "2026-05-04T09:00"}},
    {"in": "batches", "where": {"number": "B-10"}, "set": {"number": IMAGE}},
    {"in": "passes", "where": {"batch": "B-10"}, "set": {"batch": IMAGE}},
    {"in": "documents", "where": {"number": "D-1"}, "set": {"title": BREAKS_OUT}},
    {"in": "procedures", "where": {"number": "WPS-A"}, "set": {"title": RIGHT_TO_LEFT}},
]


def hostile_project(folder: Path) -> Path:
    return written(changed(read(CLEAN), _CHANGES), folder)
