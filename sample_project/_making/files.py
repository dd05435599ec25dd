"""Writing the registers in the mixed forms of a real site, and telling where each cell stands."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Any

import yaml
from openpyxl import Workbook
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.utils import get_column_letter

from sample_project._making import settings
from dossier.intake.editor_help import first_line, write_editor_help
from sample_project._making.base import Data, Row

# Where each record was written: identity of the row -> (file, sheet, line, field -> column).
Places = dict[int, tuple[str, str, int, dict[str, str]]]


def write(data: Data, folder: Path) -> Places:
    """Write all registers below `folder`; return where every row of a table stands."""
    (folder / "registers").mkdir(parents=True, exist_ok=True)
    places: Places = {}
    _write_yaml(folder, "project", "project.yaml", data["settings"])
    for register, name in _YAML.items():
        _write_yaml(folder, register, f"registers/{name}", [_plain(row) for row in data[register]])
    heats = [
        {"certificate": paper["number"], **heat}
        for paper in data["material_certificates"]
        for heat in paper["heats"]
    ]
    papers = [
        {key: value for key, value in row.items() if key != "heats"}
        for row in data["material_certificates"]
    ]
    mills = [_plain(row) for row in papers]
    _write_yaml(folder, "material_certificates", "registers/mill-certificates.yaml", mills)
    for name, rows in (("heats", heats), *((n, data[n]) for n in ("items", "batches"))):
        _table(folder, f"registers/{name}.csv", rows, places)
    for name in ("instruments", "documents"):
        _table(folder, f"registers/{name}.csv", data[name], places)
    _examinations(folder, data, places)
    lowerings = [{k: _dmy(v) if v else "n/a" for k, v in row.items()} for row in data["lowerings"]]
    _table(folder, "registers/lowering.csv", lowerings, places, data["lowerings"])
    _weld_log(folder, data, places)
    _station_log(folder, data, places)
    _coating_log(folder, data, places)
    write_editor_help(folder)
    return places


_YAML = {
    "lines": "lines.yaml", "procedures": "procedures.yaml", "pqrs": "procedure-tests.yaml",
    "welders": "welders.yaml", "examiners": "examiners.yaml", "repairs": "repairs.yaml",
    "concessions": "concessions.yaml", "pressure_tests": "pressure-tests.yaml",
}  # fmt: skip


class _Dumper(yaml.SafeDumper):
    """YAML without anchors: the same mapping may stand in two records."""

    def ignore_aliases(self, data: Any) -> bool:
        """Never refer back to what was written before."""
        del data
        return True


def _plain(value: Any) -> Any:
    """A value without what was left blank."""
    if isinstance(value, dict):
        kept = {key: _plain(inner) for key, inner in value.items()}
        return {key: inner for key, inner in kept.items() if inner is not None and inner != ""}
    if isinstance(value, (list, tuple)):
        return [_plain(inner) for inner in value]
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    return value


def _write_yaml(folder: Path, schema: str, file: str, value: Any) -> None:
    text = yaml.dump(
        value,
        Dumper=_Dumper,
        sort_keys=False,
        allow_unicode=True,
        width=98,
        default_flow_style=None,
    )
    text = f"{first_line(schema, file)}\n{text}"
    (folder / file).write_text(text, encoding="utf-8", newline="\n")


def _flat(row: Row) -> Row:
    flat: Row = {}
    for key, value in row.items():
        if isinstance(value, dict):
            flat |= {f"{key}.{inner}": part for inner, part in value.items()}
        else:
            flat[key] = value
    return flat


def _cell(value: Any, decimal: str = ".") -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    if isinstance(value, float):
        return f"{value:.10g}".replace(".", decimal)
    return str(value)


def _dmy(value: Any) -> Any:
    if isinstance(value, datetime):
        return f"{value:%d.%m.%Y %H:%M}"
    return f"{value:%d.%m.%Y}" if isinstance(value, date) else value


def _table(
    folder: Path,
    file: str,
    rows: Sequence[Row],
    places: Places,
    names: Sequence[Row] = (),
    marks: tuple[str, str] = (",", "."),
) -> None:
    """A CSV file; `names` are the records that the rows stand for, where these are not the same.

    `marks` are the delimiter and the decimal mark.
    """
    delimiter, decimal = marks
    flat = [_flat(row) for row in rows]
    fields = list(dict.fromkeys(key for row in flat for key in row))
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\n")
    writer.writerow(fields)
    for line, row in enumerate(flat, 2):
        writer.writerow([_cell(row.get(name), decimal) for name in fields])
        places[id((names or rows)[line - 2])] = (file, "", line, {})
    (folder / file).write_text(out.getvalue(), encoding="utf-8", newline="")


def _examinations(folder: Path, data: Data, places: Places) -> None:
    words = {"accepted": "ACC", "rejected": "REJ"}
    rows, indications = [], []
    for report in data["examinations"]:
        flat = {k: _dmy(v) for k, v in _flat(report).items() if k != "indications"}
        flat["films"] = "|".join(report.get("films", ()))
        flat["result"] = words.get(report["result"], "")
        rows.append({head: flat.get(name) for name, head in settings.NDT_COLUMNS.items()})
        indications += [
            {"report": report["report"], "joint": report["joint"], **one}
            for one in report["indications"]
        ]
    marks = (";", ",")
    _table(folder, "registers/ndt-log.csv", rows, places, data["examinations"], marks)
    _table(folder, "registers/ndt-indications.csv", indications, places, marks=marks)


_HEAD, _FILL = Font(bold=True), PatternFill("solid", fgColor="FFE3E9EC")


def _sheet(book: Workbook, title: str, head: Sequence[str], columns: dict[str, str]) -> Any:
    """A sheet with its title lines and its heading row; the cell under the headings is frozen."""
    sheet = book.create_sheet(title)
    for line in head:
        sheet.append([line])
    sheet["A1"].font = Font(bold=True, size=13)
    sheet.append(list(columns.values()))
    row = len(head) + 1
    for nth, heading in enumerate(columns.values(), 1):
        cell = sheet.cell(row, nth)
        cell.font, cell.fill, cell.alignment = _HEAD, _FILL, Alignment(wrap_text=True)
        sheet.column_dimensions[get_column_letter(nth)].width = max(9, min(len(heading) + 3, 18))
    sheet.freeze_panes = sheet.cell(row + 1, 2)
    return sheet


def _append(sheet: Any, file: str, row: Row, columns: dict[str, str], places: Places) -> None:
    """One row of a sheet from a flat record; `places` learns where it and its fields stand."""
    values = [row.get(name) for name in columns]
    sheet.append([None if value == "" else value for value in values])
    line = sheet.max_row
    for nth, value in enumerate(values, 1):
        if isinstance(value, datetime):
            sheet.cell(line, nth).number_format = "yyyy-mm-dd hh:mm"
        elif isinstance(value, date):
            sheet.cell(line, nth).number_format = "yyyy-mm-dd"
    letters = {name: get_column_letter(nth) for nth, name in enumerate(columns, 1)}
    places[row["_of"]] = (file, sheet.title, line, letters)


def _joint_row(joint: Row) -> Row:
    kp = joint.get("kp_m")
    written = None if kp is None else f"{int(kp) // 1000}+{int(kp) % 1000:03d}"
    return {**joint, "kp_m": written, "_of": id(joint)}


def _weld_log(folder: Path, data: Data, places: Places) -> None:
    file, book = "registers/weld-log.xlsx", _book()
    head = ["Weld log, section BG-2", "Left and right: looking along the flow of the gas"]
    sheet = _sheet(book, "Welds", head, settings.JOINT_COLUMNS)
    for joint in data["joints"]:
        if joint["line"] == "BG-2":
            _append(sheet, file, _joint_row(joint), settings.JOINT_COLUMNS, places)
    head = ["Runs of the welds, section BG-2", "One row for each run and half of the pipe"]
    sheet = _sheet(book, "Runs", head, settings.PASS_COLUMNS)
    for made in data["passes"]:
        if not made["joint"].startswith("PT"):
            _append(sheet, file, {**made, "_of": id(made)}, settings.PASS_COLUMNS, places)
    _save(book, folder / file)


def _station_log(folder: Path, data: Data, places: Places) -> None:
    """One row a weld, its runs side by side."""
    file, book = "registers/station-log.xlsx", _book()
    columns = dict(settings.JOINT_COLUMNS)
    for run in range(1, settings.RUNS + 1):
        columns |= {
            f"{name}.{run}": settings.run_heading(run, name) for name in settings.wide_fields()
        }
    head = ["Weld log, station BS-1", "Runs from the root outwards, R1 is the root"]
    sheet = _sheet(book, "Welds", head, columns)
    for joint in data["joints"]:
        if joint["line"] != "BS-1":
            continue
        runs = [made for made in data["passes"] if made["joint"] == joint["number"]]
        row = _joint_row(joint)
        for made in runs:
            row |= {f"{name}.{made['number']}": made.get(name) for name in settings.wide_fields()}
        _append(sheet, file, row, columns, places)
        for made in runs:
            mine = f".{made['number']}"
            _, _, line, letters = places[id(joint)]
            own = {k.removesuffix(mine): v for k, v in letters.items() if k.endswith(mine)}
            places[id(made)] = (file, sheet.title, line, own)
    _save(book, folder / file)


def _coating_log(folder: Path, data: Data, places: Places) -> None:
    file, book = "registers/field-coating.xlsx", _book()
    words = {"accepted": "ACC", "rejected": "REJ"}
    head = ["Field coating, section BG-2. Spark test: high voltage, trained people only."]
    sheet = _sheet(book, "Joints", head, settings.COATING_COLUMNS)
    for coating in data["coatings"]:
        row = {**_flat(coating), "result": words.get(coating["result"], ""), "_of": id(coating)}
        _append(sheet, file, row, settings.COATING_COLUMNS, places)
    _save(book, folder / file)


def _book() -> Workbook:
    book = Workbook()
    book.remove(book.worksheets[0])
    return book


_FIXED = (2026, 6, 30, 12, 0, 0)
_STAMPS = re.compile(rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*")


def _save(book: Workbook, path: Path) -> None:
    """Save without a clock: fixed times inside, entries in order, one packing."""
    memory = io.BytesIO()
    book.save(memory)
    with zipfile.ZipFile(memory) as read, zipfile.ZipFile(path, "w") as made:
        for name in sorted(read.namelist(), key=lambda n: (n != "[Content_Types].xml", n)):
            content = _STAMPS.sub(rb"\g<1>2026-06-30T12:00:00Z", read.read(name))
            info = zipfile.ZipInfo(name, _FIXED)
            info.external_attr = 0o600 << 16
            made.writestr(info, content, zipfile.ZIP_DEFLATED, 9)
