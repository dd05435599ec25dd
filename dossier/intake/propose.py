"""A column map for a foreign table, proposed from its headings for a person to review."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from dossier.intake.csv_writing import decimal_mark
from dossier.intake.heading_match import Heading, field_words, heading_of, pass_heading
from dossier.intake.headings import stacked
from dossier.intake.odd_text import two_welders
from dossier.intake.raw import refuse
from dossier.intake.registers import register_shape
from dossier.intake.rows import TOTALS, USUAL_MARKS
from dossier.intake.sample_rows import Sample, samples
from dossier.intake.schemas import REGISTERS
from dossier.units import UNITS

_HEAD_ROWS = 20  # headings stand in the first rows or nowhere
_DATE = re.compile(r"([0-9]{1,4})[./-]([0-9]{1,2})[./-]([0-9]{1,4})(?:\D.*)?")
_FIGURE = re.compile(r"[0-9][0-9.,:/+T -]*")
_LEAST = 2  # fields that a table must show to be taken for a register


@dataclass(slots=True)
class Match:
    """How one sheet reads as one register."""

    register: str
    sample: Sample
    row: int  # of the headings, from 1
    height: int
    headings: list[Heading]
    columns: dict[str, int] = field(default_factory=dict)  # field -> place of its column
    sets: dict[tuple[str, int, str], dict[str, int]] = field(default_factory=dict)

    @property
    def score(self) -> int:
        """Fields found, those that a record must have counting three times."""
        required = register_shape(self.register).required
        found = len(self.columns) + sum(len(columns) for columns in self.sets.values())
        return found + 2 * len(required & set(self.columns)) - 2 * (self.height - 1)


def propose(path: Path, register: str = "") -> str:
    """A commented fragment of `project.yaml` that reads the table `path`.

    `register` names what the table holds; left out, the register whose fields the headings name
    best. Raises ProjectError: no table, or no headings that are known.
    """
    found = [match for sample in samples(path) if (match := _best(sample, register)) is not None]
    if not found:
        raise refuse(
            path.name, "", found="no row with known headings",
            expected="headings such as Weld no., Welder, Date",
        )  # fmt: skip
    best = max(found, key=lambda match: match.score)
    lines = [f"# Proposed from the headings of {path.name}: look at every line before you use it."]
    others = [m for m in found if m is not best and m.sample.page]
    for match in others:
        name = match.sample.page.name if match.sample.page else ""
        lines.append(
            f"# The sheet {json.dumps(name, ensure_ascii=False)} reads as {match.register} too."
        )
    lines.append("registers:")
    lines += _fragment(path.name, best)
    if best.sets and best.register != "passes":
        lines += _fragment(path.name, _as_passes(best))
    return "\n".join(lines) + "\n"


def _best(sample: Sample, register: str) -> Match | None:
    matches = []
    for row in range(1, min(_HEAD_ROWS, len(sample.rows)) + 1):
        for height in (1, 2):
            heads = sample.rows[row - 1 : row - 1 + height]
            if len(heads) < height or not any(cell.strip() for cell in heads[-1]):
                continue
            if height > 1 and any(_FIGURE.fullmatch(cell.strip()) for cell in heads[-1]):
                continue  # figures alone are values, not headings
            merged = sample.page.merged if sample.page else []
            texts = list(heads[0]) if height == 1 else stacked(heads, merged, row)
            for name in (register,) if register else REGISTERS:
                matches.append(_match(sample, name, (row, height), texts))
    sound = [match for match in matches if len(match.columns) + len(match.sets) >= _LEAST]
    return max(sound, key=lambda match: (match.score, -match.row), default=None)


def _match(sample: Sample, register: str, where: tuple[int, int], texts: Iterable[str]) -> Match:
    headings = [heading_of(text) for text in texts]
    match = Match(register, sample, *where, headings)
    words = field_words(register)
    for index, heading in enumerate(headings):
        name = words.get(heading.words) or words.get(
            heading.words.rpartition(" ")[2] if where[1] > 1 else ""
        )
        if name and heading.words:
            match.columns.setdefault(name, index)
        elif register in ("joints", "passes") and (part := pass_heading(heading)) is not None:
            key = (part.kind, part.place, part.side)
            match.sets.setdefault(key, {}).setdefault(part.field, index)
    return match


def _as_passes(match: Match) -> Match:
    """The passes of a wide sheet of joints: only the joint number is shared by all."""
    joint = {"joint": match.columns["number"]} if "number" in match.columns else {}
    return Match("passes", match.sample, match.row, match.height, match.headings, joint, match.sets)


def _quoted(text: str) -> str:
    return json.dumps(" ".join(text.split()), ensure_ascii=False)


def _fragment(file: str, match: Match) -> list[str]:
    sample, body = match.sample, match.sample.rows[match.row + match.height - 1 :]
    lines = [f"  {match.register}:", f"    file: {_quoted(file)}"]
    if sample.page:
        lines.append(f"    sheet: {_quoted(sample.page.name)}")
    lines.append(f"    header_row: {match.row}")
    if match.height > 1:
        lines.append(f"    header_rows: {match.height}")
    lines += _columns(match)
    lines += _units(match)
    lines += _sets(match)
    lines += _written(match, body)
    return lines


def _columns(match: Match) -> list[str]:
    shown = {match.headings[index].text for index in match.columns.values()}
    lines = ["    columns:"] if match.columns else ["    columns: {}"]
    lines += [
        f"      {name}: {_quoted(match.headings[index].text)}"
        for name, index in match.columns.items()
    ]
    missing = register_shape(match.register).required - set(match.columns)
    missing -= {name for columns in match.sets.values() for name in columns}
    missing -= {"number", "kind"} if match.sets else set()
    lines += [
        f"      # {name}: no heading found, and every record needs it" for name in sorted(missing)
    ]
    in_sets = {index for columns in match.sets.values() for index in columns.values()}
    left = [
        heading.text
        for index, heading in enumerate(match.headings)
        if heading.text.strip() and heading.text not in shown and index not in in_sets
    ]
    if left and not (match.register == "passes" and match.sets):
        lines.append(f"    # Not read: {', '.join(_quoted(text) for text in left)}")
    return lines


def _units(match: Match) -> list[str]:
    """The units of headings that differ from the field's own."""
    form, units = register_shape(match.register), {}
    wide = register_shape("passes")
    placed = [(form, name, index) for name, index in match.columns.items()]
    if match.register == "passes":
        placed += [(wide, n, i) for columns in match.sets.values() for n, i in columns.items()]
    for shape, name, index in placed:
        part, stated = shape.at(name), match.headings[index].unit
        own = part.unit if part else ""
        if own and stated and stated != own and UNITS[stated].kind == UNITS[own].kind:
            units[name] = stated
    return ["    units:", *(f"      {n}: {_quoted(u)}" for n, u in units.items())] if units else []


def _sets(match: Match) -> list[str]:
    if not match.sets or match.register != "passes":
        return []
    lines = [
        "    # One record for each set of columns that is filled. Check the numbers and kinds."
    ]
    lines.append("    repeat:")
    numbers: dict[tuple[str, int], int] = {}
    for (kind, place, side), columns in match.sets.items():
        number = numbers.setdefault((kind, place), place if not kind else len(numbers) + 1)
        held = ", ".join(f"{n}: {_quoted(match.headings[i].text)}" for n, i in columns.items())
        constants = [f'number: "{number}"']
        constants += [f"kind: {kind}"] if kind else []
        constants += [f"side: {side}"] if side else []
        lines.append(f"      - columns: {{{held}}}")
        lines.append(f"        constants: {{{', '.join(constants)}}}")
        if "process" not in columns and "process" not in match.columns:
            lines.append("        # process: no heading found; add it to the constants")
    return lines


def _written(match: Match, body: Sequence[Sequence[str]]) -> list[str]:
    """How the values are written: decimal mark, order of dates, marks, titles and totals."""
    form = register_shape(match.register)
    columns = dict(match.columns)
    kinds = {i: part.kind for n, i in columns.items() if (part := form.at(n)) is not None}
    lines = [f"    # {subject}: {what}" for subject, (what, _) in match.sample.writing.items()]
    mark = decimal_mark(body, [i for i, kind in kinds.items() if kind == "number"])
    if mark:
        lines.append(f'    decimal: "{mark}"')
    lines += _date_order(body, [i for i, kind in kinds.items() if kind in ("date", "time")])
    used = set(columns.values())
    cells = {row[i].strip() for row in body for i in used if i < len(row)}
    marks = sorted(cell for cell in cells if cell.casefold() in USUAL_MARKS)
    if marks:
        lines.append("    # Marks that look as if they stand for the value above; confirm them:")
        lines.append(f"    # as_above: [{', '.join(_quoted(m) for m in marks)}]")
    own = (match.columns, *match.sets.values()) if "welder" in form.fields else ()
    stamps = [part["welder"] for part in own if "welder" in part]
    if any(two_welders(row[i].strip(), "welder") for row in body for i in stamps if i < len(row)):
        lines.append("    # Cells name two welders; say what tells these apart, side or number:")
        lines.append("    # unfold: {field: welder, into: side, values: [left, right]}")
    skip = _between(body)
    if skip:
        lines.append("    # Rows that look like titles or totals; confirm that they are none:")
        lines.append(f"    # skip: [{', '.join(_quoted(text) for text in skip)}]")
    if match.sample.page and match.sample.page.merged:
        lines.append("    # The sheet has merged cells; fill counts a value for all of them:")
        lines.append("    # merged: fill")
    return lines


def _date_order(body: Sequence[Sequence[str]], columns: list[int]) -> list[str]:
    """The order of day and month that the text dates allow; commented out where two do."""
    parts = [
        match.groups()
        for row in body
        for index in columns
        if index < len(row) and (match := _DATE.fullmatch(row[index].strip()))
    ]
    parts = [p for p in parts if len(p[0]) < 4]  # ISO dates are read whatever the order
    if not parts:
        return []
    able = [order for order, day, month in (("dmy", 0, 1), ("mdy", 1, 0))
            if all(int(p[day]) <= 31 and int(p[month]) <= 12 for p in parts)]  # fmt: skip
    if len(able) == 1:
        return [f"    date_order: {able[0]}"]
    why = "every date fits both orders" if able else "the dates fit no single order"
    return [f"    # Date order: {why}; ask who wrote them.", "    # date_order: dmy or mdy"]


def _between(body: Sequence[Sequence[str]]) -> list[str]:
    found: dict[str, None] = {}
    for row in body:
        filled = [cell.strip() for cell in row if cell.strip()]
        if not filled:
            continue
        word = filled[0].rstrip(":. ").casefold().partition(" ")[0]
        if word in TOTALS:
            found.setdefault(f"{filled[0].split()[0].rstrip(':')}*")
        elif len(filled) == 1 and " " in filled[0]:
            found.setdefault(f"{filled[0].split()[0]} *")
    return list(found)
