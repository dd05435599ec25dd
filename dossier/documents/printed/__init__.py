"""Documents made of facts, drawings and tables only: one builder each, all of one shape."""

from __future__ import annotations

from pathlib import Path

from dossier.documents.printed import (
    after_welding,
    batch_use,
    dispositions,
    examination_summary,
    exchange,
    heat_map,
    pipe_book,
    pressure_sheets,
    repair_ledger,
    site_sheets,
    strip_maps,
    weld_maps,
    work_ahead,
)
from dossier.documents.printed.face import Kind

# Name of the section in a volume preset, of a project's own template, and of the files issued.
PRINTED: dict[str, Kind] = {
    "pipe-book": Kind(pipe_book.make),
    "strip-map": Kind(strip_maps.make, book=False),
    "weld-map": Kind(weld_maps.make, book=False),
    "fit-up-sheet": Kind(site_sheets.fit_up, "fit_up_sheet", form=True),
    "daily-sheet": Kind(site_sheets.daily, "daily_welding_sheet", form=True),
    "examination-summary": Kind(examination_summary.make),
    "repair-ledger": Kind(repair_ledger.make, "repair_ledger"),
    "heat-map": Kind(heat_map.make),
    "batch-use": Kind(batch_use.make),
    "heat-treatment-register": Kind(after_welding.heat_treatments, "heat_treatment_register"),
    "hardness-register": Kind(after_welding.hardness),
    "coating-register": Kind(after_welding.coatings, "holiday_report"),
    "lowering-register": Kind(after_welding.lowerings, "lowering_record"),
    "pressure-test-sheets": Kind(pressure_sheets.make, "pressure_test_sheet", book=False),
    "work-ahead": Kind(work_ahead.make),
    "nonconformity-sheets": Kind(dispositions.nonconformities, form=True),
    "concession-sheets": Kind(dispositions.concessions, form=True),
    "transmittal": Kind(exchange.transmittal, form=True),
    "comment-sheet": Kind(exchange.comment_sheet, form=True),
    "conformity-draft": Kind(exchange.conformity, form=True),
}


def template_of(name: str, overrides: Path | None) -> str:
    """The HTML template of a document: the project's own of that name, else the shared one."""
    own = f"{name}.html"
    return own if overrides is not None and (overrides / own).is_file() else "printed.html"
