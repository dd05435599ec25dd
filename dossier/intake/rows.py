"""What lies between the records of a sheet: titles, totals, marks for the value above."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fnmatch import fnmatchcase

from dossier.errors import Fault
from dossier.intake.raw import Plain, Told, clip
from dossier.intake.sources import Layout
from dossier.intake.tables import Row, letter
from dossier.records.position import Position

# Read as the value above even where they are not declared; a person then has to look.
USUAL_MARKS = frozenset(
    {'"', '""', "''", "〃", "″", "-\"-", "- \" -", "do", "do.", "ditto", "dito", "id.", "idem",
     "same", "same as above", "as above", "s.o.", "wie oben", "ebenso", "ídem", "igual", "-//-",
     "то же", "так же"}
)  # fmt: skip
TOTALS = ("total", "sum", "subtotal", "summe", "gesamt", "somme", "suma", "soma", "итого", "всего")
_PROSE_ENDINGS = ("remarks", "title")


@dataclass(slots=True)
class Sheet:
    """How the rows of one sheet are taken: where it is, which columns count, what is declared."""

    origin: Position
    columns: Mapping[int, str]  # place of each column that is used, and its field
    layout: Layout
    told: Told
    needed: int = 1  # fields that a record must have: a row of one cell is a title where more are
    above: Sequence[str] = ()  # the record before, marks replaced
    letters: dict[str, str] = field(init=False)
    declared: frozenset[str] = field(init=False)
    marks: frozenset[str] = field(init=False)  # as they may stand in a cell

    def __post_init__(self) -> None:
        columns = self.columns.items() if self.origin.sheet else ()
        self.letters = {name: letter(index) for index, name in columns}
        self.declared = frozenset(mark.strip().casefold() for mark in self.layout.as_above)
        every = {form for mark in self.declared | USUAL_MARKS for form in _cases(mark)}
        self.marks = frozenset(
            f"{a}{form}{b}" for form in every for a in ("", " ") for b in ("", " ")
        )

    def at(self, row: int) -> Position:
        """The position of a row, with the columns of its fields."""
        return Position(self.origin.file, row, self.origin.sheet, fields=self.letters)


def _cases(mark: str) -> tuple[str, ...]:
    return mark, mark.capitalize(), mark.title(), mark.upper()


def data_rows(rows: Iterable[Row], sheet: Sheet) -> Iterator[Row]:
    """The rows that hold records, each mark for the value above replaced by that value."""
    skip, columns = sheet.layout.skip, sheet.columns
    for number, cells in rows:
        start = next((place for place, cell in enumerate(cells) if cell.strip()), -1)
        first = cells[start].strip() if start >= 0 else ""
        if skip and any(fnmatchcase(first, pattern) for pattern in skip):
            _left_out(sheet, number, first)
        elif start not in columns and not any(cells[i].strip() for i in columns if i < len(cells)):
            continue
        elif _is_title(cells, sheet, start):
            expected = "a record, or a pattern of skip in project.yaml for titles and totals"
            place = sheet.at(number).place
            found = f"a row that reads like a title or a total ({clip(first)})"
            sheet.told.faults.append(Fault(sheet.origin.file, place, "", found, expected))
        else:
            yield number, _with_values_above(number, cells, sheet)


def _left_out(sheet: Sheet, number: int, first: str) -> None:
    why = "a title or a total between the records, as declared"
    sheet.told.doubt(sheet.at(number), "", first, "no record", why)


def _is_title(cells: Sequence[str], sheet: Sheet, start: int) -> bool:
    """Whether the row says a title or a total; `start` is the place of its first filled cell."""
    first = cells[start].strip()
    if not any(map(str.strip, cells[start + 1 :])):
        return sheet.needed > 1 and (" " in first or first.isalpha())
    word = first.rstrip(":. ").casefold().partition(" ")[0]
    return word in TOTALS


def _with_values_above(number: int, cells: Sequence[str], sheet: Sheet) -> Sequence[str]:
    """The cells with each mark for the value above replaced by that value, and told."""
    if not sheet.marks.isdisjoint(cells):
        changed = list(cells)
        for index, name in sheet.columns.items():
            text = cells[index].strip() if index < len(cells) else ""
            certain = text.casefold() in sheet.declared
            usual = text.casefold() in USUAL_MARKS and not name.endswith(_PROSE_ENDINGS)
            if text and (certain or usual):
                changed[index] = _above(number, index, text, sheet, certain=certain)
        cells = changed
    sheet.above = cells
    return cells


def _above(number: int, index: int, mark: str, sheet: Sheet, *, certain: bool) -> str:
    origin, name = sheet.at(number), sheet.columns[index]
    value = sheet.above[index] if index < len(sheet.above) else ""
    if not value.strip():
        place = origin.of(name).place
        found = f"{clip(mark)} below an empty cell"
        sheet.told.faults.append(
            Fault(origin.file, place, name, found, "a value in the cell above, or here")
        )
        return Plain("")
    why = "the mark stands for the value above"
    why += ", as declared" if certain else ", which as_above in project.yaml would confirm"
    sheet.told.doubt(origin, name, mark, value, why, certain=certain)
    return value
