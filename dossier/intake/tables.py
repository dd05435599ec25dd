"""Rows under headings -> records: column maps, wide sheets, nested fields by dotted names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from dossier.errors import Fault, ProjectError
from dossier.intake.convert import did_you_mean
from dossier.intake.raw import Plain, Raw, Told, Unreadable, clip
from dossier.intake.shape import Shape
from dossier.intake.sources import Source, Unfold
from dossier.records.position import Position

Row = tuple[int, Sequence[str]]  # line or row number from 1, and the cells as text


@dataclass(slots=True)
class Plan:
    """How one record is taken from a row: columns by place, constants, and its own columns."""

    columns: list[tuple[int, str]]
    constants: list[tuple[str, str]] = field(default_factory=list)
    own: frozenset[int] = frozenset()  # of a wide sheet: the row tells of it when one is filled
    together: list[tuple[tuple[int, ...], str]] = field(default_factory=list)
    unfold: Unfold | None = None
    last: int = field(init=False)  # place of the last of its columns
    nested: bool = field(init=False)  # some fields lie inside of others

    def __post_init__(self) -> None:
        self.last = max((index for index, _ in self.columns), default=-1)
        self.nested = any("." in path for _, path in self.columns)

    @property
    def used(self) -> dict[int, str]:
        """The columns that the plan reads, each with its field."""
        joined = {index: path for places, path in self.together for index in places}
        return {**joined, **dict(self.columns)}


def heading(text: str) -> str:
    """A heading as it is compared: without case, line breaks, no-break and doubled spaces.

    >>> heading(" Weld\\u00a0No. ") == heading("WELD NO.")
    True
    """
    return " ".join(text.split()).casefold()


def plans(headings: Sequence[str], source: Source, shape: Shape, place: str) -> list[Plan]:
    """How records are taken from rows under these `headings`, which stand at `place`.

    Raises ProjectError: a declared heading is missing or stands there twice; or a heading is no
    field and no columns are declared.
    """
    found: dict[str, list[int]] = {}
    for index, text in enumerate(headings):
        if heading(text):
            found.setdefault(heading(text), []).append(index)
    faults: list[Fault] = []
    shared = _mapped(source.columns, found, headings, (source.file, place), faults)
    sets = [
        _mapped(part.columns, found, headings, (source.file, place), faults)
        for part in source.repeat
    ]
    joined = [
        _joined(together, found, headings, (source.file, place), faults)
        for together in (source.together, *(part.together for part in source.repeat))
    ]
    taken = {index for part in (shared, *sets) for index, _ in part}
    taken |= {index for part in joined for places, _ in part for index in places}
    declared = bool(source.columns or source.repeat or source.together)
    for name, places in found.items():
        path = headings[places[0]].strip()
        if places[0] in taken or path in source.columns:
            continue
        if shape.at(path) is not None:
            shared += _mapped({path: path}, found, headings, (source.file, place), faults)
        elif not declared:
            expected = f"a field of {source.register}, or columns in project.yaml"
            hint = did_you_mean(name, shape.fields)
            faults.append(
                Fault(source.file, place, "", f"the heading {clip(path)}", expected, hint)
            )
    if faults:
        raise ProjectError(faults)
    constants = list(source.constants.items())
    if not sets:
        return [Plan(shared, constants, together=joined[0], unfold=source.unfold)]
    return [
        Plan(
            [*shared, *own],
            [*constants, *part.constants.items()],
            frozenset([i for i, _ in own] + [i for places, _ in pairs for i in places]),
            [*joined[0], *pairs],
            part.unfold or source.unfold,
        )
        for own, pairs, part in zip(sets, joined[1:], source.repeat, strict=True)
    ]


def _joined(
    together: Mapping[str, list[str]],
    found: dict[str, list[int]],
    headings: Sequence[str],
    place: tuple[str, str],
    faults: list[Fault],
) -> list[tuple[tuple[int, ...], str]]:
    made = []
    for path, texts in together.items():
        parts = [_mapped({path: text}, found, headings, place, faults) for text in texts]
        made.append((tuple(index for part in parts for index, _ in part), path))
    return made


def _mapped(
    columns: Mapping[str, str],
    found: dict[str, list[int]],
    headings: Sequence[str],
    place: tuple[str, str],
    faults: list[Fault],
) -> list[tuple[int, str]]:
    mapped = []
    for path, text in columns.items():
        places = found.get(heading(text), [])
        if len(places) == 1:
            mapped.append((places[0], path))
            continue
        shown = f"the heading {clip(text)} {len(places)} times" if places else "no such heading"
        hint = "" if places else did_you_mean(text, [h for h in headings if h.strip()])
        faults.append(Fault(*place, path, shown, f"the heading {clip(text)} once", hint))
    return mapped


def records(rows: Iterable[Row], made: list[Plan], origin: Position, told: Told) -> Iterator[Raw]:
    """The records that `rows` hold. `origin` tells file and sheet; columns have letters there."""
    marked = [(plan, _letters(plan) if origin.sheet else {}) for plan in made]
    file, sheet = origin.file, origin.sheet
    for line, cells in rows:
        for plan, fields in marked:
            if plan.own and not any(
                cells[index].strip() for index in plan.own if index < len(cells)
            ):
                continue
            data = _data(plan, cells)
            for places, path in plan.together:
                _put(data, path, _in_one(cells, places))
            raw = Raw(data, Position(file, line, sheet, "", fields))
            if plan.unfold is None:
                yield raw
            else:
                yield from _unfolded(raw, plan.unfold, told)


def _data(plan: Plan, cells: Sequence[str]) -> dict[str, object]:
    data: dict[str, object] = {}
    for path, constant in plan.constants:
        _put(data, path, Plain(constant))
    if len(cells) > plan.last and not plan.nested:  # nearly every row of nearly every file
        for index, path in plan.columns:
            data[path] = cells[index]
        return data
    for index, path in plan.columns:
        if index < len(cells):
            _put(data, path, cells[index])
    return data


def _letters(plan: Plan) -> dict[str, str]:
    joined = {path: letter(places[0]) for places, path in plan.together if places}
    return {path: letter(index) for index, path in plan.columns} | joined


def _in_one(cells: Sequence[str], places: tuple[int, ...]) -> str:
    """The cells as one text; an unreadable one makes it unreadable, a blank one blank."""
    parts = [cells[index] if index < len(cells) else Plain("") for index in places]
    for part in parts:
        if isinstance(part, Unreadable):
            return part
    if not all(part.strip() for part in parts):
        return Plain("")
    return Plain(" ".join(part.strip() for part in parts))


def _unfolded(raw: Raw, unfold: Unfold, told: Told) -> Iterator[Raw]:
    """The records of one row whose cell may hold several values."""
    cell = raw.data.get(unfold.field)
    parts = [part.strip() for part in str(cell or "").split(unfold.mark)]
    if len(parts) < 2 or isinstance(cell, Unreadable):
        yield raw
        return
    if len(parts) > len(unfold.values) or not all(parts):
        found = f"{clip(cell)}, {len(parts)} parts"
        expected = f"up to {len(unfold.values)} parts, one for each of {', '.join(unfold.values)}"
        place = raw.origin.of(unfold.field).place
        told.faults.append(Fault(raw.origin.file, place, unfold.field, found, expected))
        return
    shown = ", ".join(f"{p} {v}" for p, v in zip(parts, unfold.values, strict=False))
    why = f"one record for each part, told apart by {unfold.into} as declared"
    told.doubt(raw.origin, unfold.field, str(cell), shown, why)
    for part, value in zip(parts, unfold.values, strict=False):
        data = {**raw.data, unfold.field: Plain(part), unfold.into: Plain(value)}
        yield Raw(data, raw.origin)


def _put(data: dict[str, object], path: str, value: object) -> None:
    if "." not in path:
        data[path] = value
        return
    *steps, last = path.split(".")
    here: dict[str, object] = data
    for step in steps:
        inner = here.setdefault(step, {})
        here = inner if isinstance(inner, dict) else {}
    here[last] = value


def letter(index: int) -> str:
    """The letter of a column by its place from 0.

    >>> letter(0), letter(27)
    ('A', 'AB')
    """
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(65 + rest) + text
    return text
