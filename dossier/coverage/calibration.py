"""Whether an instrument was good on the day of use, by all that its calibrations tell.

A calibration says two things: from its day on the instrument measures as it should until it is
due again, and, by the condition as found, how it had measured since the calibration before. An
instrument found out of tolerance leaves every use since the last good calibration in doubt.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from dossier.codes.instruments import INTERVALS, due_on
from dossier.records.examinations import Instrument
from dossier.records.verdicts import HOLD, NOTE, Basis, Reason

LOOK_BACK = Basis("ISO 9001", "2015", "7.1.5.2", "secondary")
OUT, IN = "out of tolerance", "in tolerance"


def use_reasons(
    calibrations: Sequence[Instrument], number: str, day: date, basis: Basis
) -> Iterator[Reason]:
    """Reasons against the use of instrument `number` on `day`; none when it was good.

    `calibrations` are those of the instrument, oldest first; `basis` asks for calibration. A use
    after the due day is a note where the next calibration found it in tolerance. Where no due day
    is recorded, the interval of `codes.instruments` for that kind governs. An instrument found out
    of tolerance on the very day of use may have been used before that; its first calibration
    tells of no use before it.

    Source: ISO 9001:2015, 7.1.5.2 (secondary) for the look back; otherwise `basis`.
    """
    if not calibrations:
        yield Reason("instrument", f"{number} not on record", "on record", basis, HOLD)
        return
    before = [c for c in calibrations if c.calibrated_on is None or c.calibrated_on <= day]
    after = [c for c in calibrations if c.calibrated_on is not None and c.calibrated_on > day]
    following = after[0] if after else None
    if not before:
        first = calibrations[0].calibrated_on
        yield Reason("first calibration", str(first), f"on or before {day}", basis, HOLD)
        return
    yield from _in_time(before[-1], following, day, basis)
    if any(c.calibrated_on == day and c.as_found == OUT for c in before[1:]):
        wanted = f"{IN}, or proof that it was used after the calibration"
        yield Reason("as found that day", f"{OUT} on {day}", wanted, LOOK_BACK, HOLD)
    if following is not None and following.as_found == OUT:
        found = f"{OUT} on {following.calibrated_on}"
        yield Reason("as found next", found, IN, LOOK_BACK, HOLD)


def _in_time(
    last: Instrument, following: Instrument | None, day: date, basis: Basis
) -> Iterator[Reason]:
    due, asked_by = _due(last, basis)
    if due is None:
        found = "due day" if last.calibrated_on else "day of calibration"
        yield Reason("calibration", f"{found} not recorded", "recorded", basis, HOLD)
    elif day > due:
        healed = following is not None and following.as_found == IN
        verdict = NOTE if healed else HOLD
        yield Reason("used on", str(day), f"up to {due}", asked_by, verdict)


def _due(last: Instrument, basis: Basis) -> tuple[date | None, Basis]:
    """The due day as recorded, else by the interval known for that kind of instrument."""
    if last.calibrated_on is None:
        return None, basis
    if last.due_on is None and last.kind in INTERVALS:
        return due_on(last.kind, last.calibrated_on), INTERVALS[last.kind].basis
    return last.due_on, basis
