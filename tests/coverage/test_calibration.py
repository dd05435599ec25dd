"""An instrument on a day: due days to the day, and the look back after a bad finding."""

from __future__ import annotations

from datetime import date

import pytest

from dossier.coverage.calibration import use_reasons
from dossier.records.examinations import Instrument
from dossier.records.verdicts import HOLD, NOTE, Basis, Verdict

BASIS = Basis("PS-1", "", "calibration", "project")


def calibration(on: date | None, due: date | None, found: str = "") -> Instrument:
    return Instrument(number="M-1", kind="meter", calibrated_on=on, due_on=due, as_found=found)


FIRST = calibration(date(2026, 1, 10), date(2026, 4, 1), "in tolerance")
GOOD = calibration(date(2026, 5, 1), date(2026, 8, 1), "in tolerance")
BAD = calibration(date(2026, 5, 1), date(2026, 8, 1), "out of tolerance")
SILENT = calibration(date(2026, 5, 1), date(2026, 8, 1))


@pytest.mark.parametrize(
    ("calibrations", "day", "verdicts"),
    [
        ([], date(2026, 3, 1), [HOLD]),
        ([FIRST], date(2026, 1, 9), [HOLD]),
        ([FIRST], date(2026, 1, 10), []),
        ([FIRST], date(2026, 4, 1), []),
        ([FIRST], date(2026, 4, 2), [HOLD]),
        ([FIRST, GOOD], date(2026, 4, 2), [NOTE]),
        ([FIRST, SILENT], date(2026, 4, 2), [HOLD]),
        ([FIRST, BAD], date(2026, 3, 1), [HOLD]),
        ([FIRST, BAD], date(2026, 4, 2), [HOLD, HOLD]),
        ([FIRST, BAD], date(2026, 5, 1), [HOLD]),
        ([FIRST, BAD], date(2026, 5, 2), []),
        ([FIRST, BAD, GOOD], date(2026, 5, 1), [HOLD]),
        ([BAD], date(2026, 5, 1), []),
        ([FIRST, GOOD, calibration(date(2026, 7, 1), None, "out of tolerance")],
         date(2026, 3, 1), []),
        ([calibration(date(2026, 1, 10), None)], date(2026, 3, 1), [HOLD]),
        ([calibration(None, date(2026, 4, 1))], date(2026, 3, 1), [HOLD]),
    ],
)  # fmt: skip
def test_use_on_a_day(calibrations: list[Instrument], day: date, verdicts: list[Verdict]) -> None:
    assert [r.verdict for r in use_reasons(calibrations, "M-1", day, BASIS)] == verdicts


def test_where_no_due_day_is_recorded_the_interval_of_its_kind_governs() -> None:
    meter = Instrument(number="D-1", kind="densitometer", calibrated_on=date(2025, 1, 10))
    assert not list(use_reasons([meter], "D-1", date(2025, 4, 10), BASIS))
    (reason,) = use_reasons([meter], "D-1", date(2025, 4, 11), BASIS)
    assert (reason.verdict, reason.basis.clause) == (HOLD, "Article 2, T-262.1")
