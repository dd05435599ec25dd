"""What changed between two revisions of a WPS, field by field."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass

from dossier.records.base import Record
from dossier.records.position import Position
from dossier.records.procedures import Procedure, Span

# Which revision it is, who signed it and where it stands: not what it prescribes.
_ADMINISTRATIVE = frozenset(
    {"revision", "status", "valid_from", "valid_until", "change", "approvals", "document"}
) | {field.name for field in fields(Record)}


@dataclass(frozen=True, slots=True)
class Change:
    """One field that differs: its dotted path ("passes.1.current_a"), before and after."""

    field: str
    before: str
    after: str

    def __str__(self) -> str:
        return f"{self.field}: {self.before}, now {self.after}"


def changes(old: Procedure, new: Procedure) -> tuple[Change, ...]:
    """What the sheet prescribes differently in `new`; signatures and dates are left aside.

    Passes are compared in their order. A blank is shown as "blank".

    >>> from dataclasses import replace
    >>> one = Procedure(number="WPS-1", revision="0", title="Butts", code="ISO 15614-1:2017")
    >>> two = replace(one, revision="1", preheat_min_c=100.0, wall_mm=Span(low=5, high=20))
    >>> [str(change) for change in changes(one, two)]
    ['wall_mm: blank, now 5 to 20', 'preheat_min_c: blank, now 100']
    """
    return tuple(_between(old, new, ""))


def _between(old: object, new: object, path: str) -> Iterator[Change]:
    if old == new:
        return
    if isinstance(old, tuple) and isinstance(new, tuple) and _nested(old, new):
        for place in range(max(len(old), len(new))):
            one = old[place] if place < len(old) else None
            other = new[place] if place < len(new) else None
            yield from _between(one, other, f"{path}.{place + 1}")
    elif _record(old) and type(old) is type(new):
        for part in fields(old):  # type: ignore[arg-type]
            if path or part.name not in _ADMINISTRATIVE:
                here = f"{path}.{part.name}" if path else part.name
                yield from _between(getattr(old, part.name), getattr(new, part.name), here)
    else:
        yield Change(path, _shown(old), _shown(new))


def _nested(*parts: tuple[object, ...]) -> bool:
    return any(_record(one) for part in parts for one in part)


def _record(value: object) -> bool:
    plain = isinstance(value, (type, Span, Position))
    return is_dataclass(value) and not plain


def _shown(value: object) -> str:
    if value in (None, "", ()):
        return "blank"
    if isinstance(value, Span):
        low = "any" if value.low is None else f"{value.low:g}"
        high = "any" if value.high is None else f"{value.high:g}"
        return f"{low} to {high}"
    if isinstance(value, tuple):
        return ", ".join(_shown(part) for part in value)
    if isinstance(value, float):
        return f"{value:g}"
    if _record(value):
        filled = [getattr(value, part.name) for part in fields(value)]  # type: ignore[arg-type]
        return " ".join(_shown(one) for one in filled if one not in (None, "", ()))
    return str(value)
