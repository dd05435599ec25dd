"""Sound records with places spoilt: values that trouble somewhere, and the files they stand in."""

from __future__ import annotations

import copy
import csv
import io
import json
import random
from pathlib import Path
from typing import Any

from tests.trial import CLEAN, read

Chance = random.Random

NASTY: tuple[Any, ...] = (
    "", " ", "n/a", "=1+1", "+1", "-1", "@x", "\t=1", "NaN", "nan", "Infinity", "-inf", "1e999",
    "1e-999", "9" * 400, "0x10", "1_000", "1.270,5", "1,270", "1/0 in", "½", "٣", "²", "--5",
    "\ud800", "a\x00b", "\x1b[31m", "\u202eabc", "\u2066x", "\ufeff", "\u0301", "ＷＰＳ",
    "x" * 5000,
    "<script>alert(1)</script>", "{{ 7*7 }}", "{% for", "../../etc/passwd", "/dev/zero", "C:\\x",
    "%s%n", "0000-00-00", "9999-12-31", "0001-01-01", "2026-13-40", "2026-05-04T25:61",
    "9999-12-31T23:59", "2026-05-04T10:00Z", "12+450", "ML-001", "ML-001R9", "W01", "WPS-A", "111",
    True, False, None, 0, -1, -0.0, 1, 1e308, -1e308, 5e-324, 10**30, 10**400, float("nan"),
    float("inf"), [], {}, [[]], {"a": 1}, ["x", "x"], [None], {"low": 5, "high": 1},
    {"low": float("nan")},
)  # fmt: skip
PIECES = (
    *'[]{}:,"\\-?&*!|>%@`#\n\t \'()^$.+|/;=<', "\r\n", "\x00", "\ud800", "a", "b", "0", "1", "9",
    "-", "+", "e", ".", ",", "mm", "in", '"', "°C", "kJ/mm", "A", "ML", "true", "no", "~", "null",
    "number", "line", "&a", "*a", "<<", "!!python/object:os.system", "---", "...", "\u202e", "é",
)  # fmt: skip
_CLEAN: dict[str, Any] = {}


def sound() -> dict[str, Any]:
    """The sound trial project, to be spoilt."""
    if not _CLEAN:
        _CLEAN.update(read(CLEAN))
    return copy.deepcopy(_CLEAN)


def text(chance: Chance, longest: int = 30) -> str:
    """Any text: pieces that mean something somewhere, or characters of any plane."""
    if chance.random() < 0.3:
        return "".join(chr(chance.randrange(0x110000)) for _ in range(chance.randrange(longest)))
    return "".join(chance.choice(PIECES) for _ in range(chance.randrange(longest)))


def value(chance: Chance) -> Any:
    return chance.choice(NASTY) if chance.random() < 0.7 else text(chance)


def spoil(data: Any, chance: Chance) -> None:
    """Change one place somewhere inside of plain data."""
    while True:
        keys = list(data) if isinstance(data, dict) else list(range(len(data)))
        if not keys:
            return
        key = chance.choice(keys)
        inner = data[key]
        if not (isinstance(inner, dict | list) and inner and chance.random() < 0.8):
            break
        data = inner
    kind = chance.randrange(10)
    if kind == 0:
        del data[key]
    elif kind == 1 and isinstance(data, list):
        data.append(copy.deepcopy(data[key]))
    elif kind == 2 and isinstance(data, dict):
        data[text(chance, 8)] = value(chance)
    elif kind == 3:
        data[key] = copy.deepcopy(data[chance.choice(keys)])
    else:
        data[key] = value(chance)


_FIGURES = (0, -1, 1, 1e-9, 5e-324, 0.1, 3.999, 12.7, 360, 1e6, 1e9, 1e15, 1e308, -1e308)
_DAYS = ("0001-01-01", "1582-10-10", "2024-02-29", "2025-12-31", "2026-05-04", "2026-05-05",
         "2026-06-30", "2027-01-01", "9999-12-31")  # fmt: skip


def nudge(data: Any, chance: Chance) -> None:
    """Change one value into another of its kind, so that the schema seldom minds."""
    places: list[tuple[Any, Any]] = []
    alike: dict[Any, list[Any]] = {}
    waiting = [data]
    while waiting:
        held = waiting.pop()
        for key in list(held) if isinstance(held, dict) else range(len(held)):
            if isinstance(held[key], dict | list):
                waiting.append(held[key])
            else:
                places.append((held, key))
                alike.setdefault(key, []).append(held[key])
    held, key = chance.choice(places)
    old = held[key]
    if chance.random() < 0.1 and isinstance(held, dict):
        del held[key]
    elif isinstance(old, bool):
        held[key] = not old
    elif isinstance(old, int | float):
        held[key] = chance.choice((*_FIGURES, -old, old * 1000, *alike[key]))
    elif isinstance(old, str) and old[:4].isdigit() and old[4:5] == "-":
        clock = old[10:] and chance.choice(("T00:00", "T23:59", old[10:]))
        held[key] = chance.choice(_DAYS) + clock
    else:
        texts = [one for one in NASTY if isinstance(one, str) and one.strip()]
        held[key] = chance.choice((*texts, *alike[key], *alike[key]))


def write_spoilt(folder: Path, chance: Chance, registers: dict[str, Any]) -> None:
    """The registers as files of chosen kinds; JSON keeps every value, lone surrogates too."""
    head = registers.get("project")
    named: dict[str, Any] = {}
    for name, records in registers.items():
        if name == "project":
            continue
        rows = isinstance(records, list) and all(isinstance(one, dict) for one in records)
        flat = rows and not any(isinstance(v, dict | list) for one in records for v in one.values())
        kinds = ["yaml", "json", "json", *["jsonl"] * rows, *["csv"] * flat]
        kind = chance.choice(kinds)
        named[name] = f"{name}.{kind}"
        if kind == "jsonl":
            content = "\n".join(json.dumps(one) for one in records)
        elif kind == "csv":
            content = as_csv(records)
        else:
            content = json.dumps(records, indent=chance.choice([None, 1]))
        if chance.random() < 0.05:
            content = chance.choice(["\n", "\r\n"]).join(content.split("\n"))
        (folder / named[name]).write_bytes(content.encode("utf-8", "surrogatepass"))
    if isinstance(head, dict):
        head["registers"] = named if chance.random() < 0.95 else value(chance)
    (folder / "project.yaml").write_text(json.dumps(head), encoding="utf-8")


def as_csv(records: list[dict[str, Any]]) -> str:
    names = list(dict.fromkeys(name for one in records for name in one))
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(names)
    for one in records:
        writer.writerow(["" if one.get(n) is None else one.get(n, "") for n in names])
    return out.getvalue()
