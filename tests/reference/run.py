"""Answer check values through thin adapters: python tests/reference/run.py FILE.yaml [FILE...]

Every module in `adapters/` has `ADAPTERS: dict[str, Callable]`, quantity -> function. The function
is given the entry's `inputs` (a mapping; where it takes a second argument, also the entry without
its expected value) and returns what compares with `expected`. An adapter translates; it holds no
figure of a standard.

- Several modules may answer a quantity of the same name. One that asks for an input which the
  entry lacks is not meant; of those left, the one that reads the most inputs answers. Reading
  with `[...]` says "this input is needed"; reading with `.get()` says it is optional.
- Only the keys of `expected` are compared; `reason` and `note...` are for people.
- A list compares in order; where an adapter returns a set, order does not count.
- None, "unlimited" and infinity are the same thing: no end.
- `tolerance`: {abs, rel}, a number (absolute), text ("0.5", "1 %", "exact"), or a mapping from a
  key of `expected` to one of these. Absent: exact, apart from the last bits of a binary number.
- An entry marked `disputed:` that differs is printed with its grounds and counted by itself.
"""

from __future__ import annotations

import importlib.util
import inspect
import re
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum
from math import inf, isclose
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parents[1]))  # the checkout's own package, installed or not

Adapter = Callable[..., Any]
Entry = Mapping[str, Any]
BINARY_NOISE = 1e-12


class _PlainLoader(yaml.SafeLoader):
    """Dates and times stay text; only true and false are booleans (YAML 1.2)."""


_PlainLoader.yaml_implicit_resolvers = {}
for _tag, _pattern, _first in (
    ("null", r"^(?:~|null|)$", ["~", "n", ""]),
    ("bool", r"^(?:true|false)$", list("tf")),
    ("int", r"^[-+]?[0-9]+$", list("-+0123456789")),
    ("float", r"^[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?$", list("-+.0123456789")),
    ("float", r"^[-+]?\.inf$", list("-+.")),
    ("merge", r"^<<$", ["<"]),
):
    _PlainLoader.add_implicit_resolver(f"tag:yaml.org,2002:{_tag}", re.compile(_pattern), _first)


class MissingInputError(LookupError):
    """An adapter asked for an input that the entry does not have."""


class Inputs(dict[str, Any]):
    """An entry's inputs, remembering which of them were read."""

    def __init__(self, values: Mapping[str, Any]) -> None:
        super().__init__(values)
        self.read: set[str] = set()

    def __getitem__(self, name: str) -> Any:
        self.read.add(name)
        return super().__getitem__(name)

    def __missing__(self, name: str) -> Any:
        raise MissingInputError(name)

    def get(self, name: str, default: Any = None) -> Any:
        if name in self:
            self.read.add(name)
        return super().get(name, default)

    def items(self) -> Any:
        self.read.update(self)
        return super().items()


@dataclass(frozen=True)
class Answer:
    """How one entry came out: "passed", "failed", "disputed" or "unsupported"."""

    id: str
    quantity: str
    outcome: str
    expected: Any = None
    got: Any = None
    why: str = ""

    def __str__(self) -> str:
        if self.outcome == "unsupported":
            return f"{self.id}  UNSUPPORTED  {self.quantity}{self.why and f': {self.why}'}"
        word = {"failed": "FAIL", "passed": "PASS", "disputed": "DISPUTED"}[self.outcome]
        return (
            f"{self.id}  {word}  expected {self.expected!r}  got {self.got!r}  {self.why}".rstrip()
        )


def load_entries(path: Path) -> list[Entry]:
    """The entries of one file of check values."""
    with path.open(encoding="utf-8") as stream:
        entries: list[Entry] = yaml.load(stream, Loader=_PlainLoader)  # noqa: S506 - a SafeLoader
    return entries


def load_adapters(folder: Path = HERE / "adapters") -> tuple[dict[str, list[Adapter]], list[str]]:
    """quantity -> adapters, from every module of `folder`; and the modules that did not load."""
    adapters: dict[str, list[Adapter]] = {}
    broken: list[str] = []
    for path in sorted(folder.glob("*.py")):
        if path.stem == "__init__":
            continue
        try:
            module = _module(path)
        except Exception as error:  # noqa: BLE001 - one broken module must not hide the others
            broken.append(f"{path.name}: {type(error).__name__}: {error}")
            continue
        for quantity, adapter in module.ADAPTERS.items():
            adapters.setdefault(quantity, []).append(adapter)
    return adapters, broken


def _module(path: Path) -> Any:
    spec = importlib.util.spec_from_file_location(f"reference_adapters_{path.stem}", path)
    if spec is None or spec.loader is None:
        raise ImportError(path)
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def answer(entry: Entry, adapters: Mapping[str, Sequence[Adapter]]) -> Answer:
    """Ask the adapters of the entry's quantity and compare what the best suited one returns."""
    asked = [_ask(adapter, entry) for adapter in adapters.get(entry["quantity"], ())]
    meant = [reply for reply in asked if not isinstance(reply[1], MissingInputError)]
    if not meant:
        missing = ", ".join(f"no input {reply[1]}" for reply in asked)
        return Answer(entry["id"], entry["quantity"], "unsupported", why=missing)
    _, got = max(meant, key=lambda reply: reply[0])
    differences = (
        [f"{type(got).__name__}: {got}"]
        if isinstance(got, Exception)
        else list(differing(entry["expected"], got, entry.get("tolerance")))
    )
    outcome = "passed"
    if differences:
        outcome = "disputed" if entry.get("disputed") else "failed"
    why = "; ".join([*differences, *([str(entry["disputed"])] if outcome == "disputed" else [])])
    return Answer(entry["id"], entry["quantity"], outcome, entry["expected"], got, why)


def _ask(adapter: Adapter, entry: Entry) -> tuple[int, Any]:
    inputs = Inputs(entry["inputs"])
    shown = {key: value for key, value in entry.items() if key not in ("expected", "tolerance")}
    arguments = [inputs, shown][: len(inspect.signature(adapter).parameters)]
    try:
        got = adapter(*arguments)
    except MissingInputError as missing:
        return 0, missing
    except Exception as error:  # noqa: BLE001 - an adapter that breaks is a failed entry
        got = error
    return len(inputs.read), got


def differing(expected: Any, got: Any, tolerance: Any, where: str = "") -> Iterator[str]:
    """What differs, in words; nothing when `got` answers `expected` within `tolerance`."""
    if isinstance(expected, Mapping):
        yield from _differing_keys(expected, got, tolerance, where)
    elif isinstance(expected, list) and isinstance(got, set | frozenset):
        if {_level(item) for item in expected} != {_level(item) for item in got}:
            yield f"{where}: {sorted(map(str, got))}"
    elif isinstance(expected, list):
        if not isinstance(got, list | tuple) or len(got) != len(expected):
            yield f"{where}: {got!r}"
            return
        for number, (want, have) in enumerate(zip(expected, got, strict=True)):
            yield from differing(want, have, tolerance, f"{where}[{number}]")
    elif not _same(_level(expected), _level(got), tolerance):
        yield f"{where}: {got!r}"


def _differing_keys(expected: Entry, got: Any, tolerance: Any, where: str) -> Iterator[str]:
    if not isinstance(got, Mapping):
        yield f"{where or 'answer'}: not a mapping"
        return
    for key, value in expected.items():
        if key == "reason" or str(key).startswith("note"):
            continue
        place = f"{where}.{key}" if where else str(key)
        if key not in got:
            yield f"{place}: not answered"
        else:
            yield from differing(value, got[key], _tolerance_of(tolerance, key), place)


def _tolerance_of(tolerance: Any, key: str) -> Any:
    if isinstance(tolerance, Mapping) and not {"abs", "rel"} & set(tolerance):
        return tolerance.get(key)
    return tolerance


def _level(value: Any) -> Any:
    """One form for each value: no end is infinity, a date is its ISO text."""
    if value is None or value == "unlimited":
        return inf
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Enum) and not isinstance(value, str):
        return str(value)
    return value.strip() if isinstance(value, str) else value


def _same(expected: Any, got: Any, tolerance: Any) -> bool:
    if isinstance(expected, bool) or isinstance(got, bool):
        return expected is got
    if isinstance(expected, int | float) and isinstance(got, int | float):
        absolute, relative = _limits(tolerance)
        # a difference that equals the tolerance passes, whatever its last binary digit
        absolute = max(absolute, relative * abs(expected)) * (1 + 1e-9)
        return expected == got or isclose(
            expected, got, rel_tol=BINARY_NOISE, abs_tol=max(absolute, BINARY_NOISE)
        )
    return bool(expected == got)


def _limits(tolerance: Any) -> tuple[float, float]:
    """Absolute and relative tolerance, from any of the forms they are written in."""
    if isinstance(tolerance, Mapping):
        return float(tolerance.get("abs") or 0), float(tolerance.get("rel") or 0)
    if isinstance(tolerance, int | float):
        return float(tolerance), 0.0
    figure = re.search(r"\d+(?:\.\d+)?(?:[eE][+-]?\d+)?", tolerance or "")
    if figure is None:
        return 0.0, 0.0
    size = float(figure.group())
    if "%" in tolerance:
        return 0.0, size / 100
    return (0.0, size) if "rel" in tolerance else (size, 0.0)


def main(paths: Sequence[str]) -> int:
    """Answer every entry of the files; print what is not right; 0 when none failed."""
    adapters, broken = load_adapters()
    for line in broken:
        print(f"adapters/{line}", file=sys.stderr)
    answers = [answer(entry, adapters) for path in paths for entry in load_entries(Path(path))]
    for one in answers:
        if one.outcome != "passed":
            print(one)
    count = {kind: sum(one.outcome == kind for one in answers) for kind in _OUTCOMES}
    if count["disputed"]:
        print(f"{count['disputed']} disputed, named above, in none of the counts below")
    print(f"{count['passed']} passed, {count['failed']} failed, {count['unsupported']} unsupported")
    return 1 if count["failed"] or broken else 0


_OUTCOMES = ("passed", "failed", "disputed", "unsupported")

if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit("usage: python tests/reference/run.py FILE.yaml [FILE...]")
    sys.exit(main(sys.argv[1:]))
