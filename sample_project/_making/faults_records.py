"""Planted faults of the records against each other: times, sides, films, instruments, dates."""

from __future__ import annotations

from datetime import timedelta

from sample_project._making.base import Data, Row
from sample_project._making.planting import (
    Fault,
    Planted,
    finding,
    pass_of,
    report_of,
)

_NC, _HOLD = "nonconformity", "hold"


def _one_side(data: Data) -> Planted:
    gone = pass_of(data, "ML-012", 4, "right")
    kept = pass_of(data, "ML-012", 4, "left")
    data["passes"].remove(gone)
    expected = finding("side-record", _HOLD, joint="ML-012", run=str(gone["number"]))
    return Planted((expected,), kept, "side")


def _film_twice(data: Data) -> Planted:
    first, second = report_of(data, "ML-014", "RT"), report_of(data, "ML-015", "RT")
    second["films"] = list(first["films"])
    film = first["films"][0]
    expected = tuple(
        finding("film-numbers", _HOLD, joint=name, film=film) for name in ("ML-014", "ML-015")
    )
    return Planted(expected, second, "films")


def _report_before(data: Data) -> Planted:
    report = report_of(data, "ML-029", "RT")
    report["reported_on"] = report["examined_at"].date() - timedelta(days=1)
    return Planted((finding("paper-dates", _HOLD, joint="ML-029"),), report, "reported_on")


def _meter(data: Data) -> Planted:
    made = pass_of(data, "ML-034", 3, "left")
    made["instrument"] = "CM-07"
    expected = finding("instrument-calibration", _HOLD, joint="ML-034", instrument="CM-07")
    return Planted((expected,), made, "instrument")


def _two_places(data: Data) -> Planted:
    """The right cap of ML-056 is put down to W08, who was filling ML-055 at that time."""
    cap = pass_of(data, "ML-056", -1, "right")
    other = [p for p in data["passes"] if p["joint"] == "ML-055" and p["welder"] == "W08"]
    cap["started_at"] = other[-1]["finished_at"] - timedelta(minutes=6)
    cap["finished_at"] = other[-1]["finished_at"] + timedelta(minutes=9)
    cap["welder"] = "W08"
    day = str(cap["started_at"].date())
    expected = tuple(
        finding("welder-whereabouts", _HOLD, joint=name, welder="W08", day=day)
        for name in ("ML-055", "ML-056")
    )
    return Planted(expected, cap, "started_at")


def _own_reader(data: Data) -> Planted:
    report = report_of(data, "TI-3", "RT")
    report["examiner"] = "W09"
    held: list[Row] = next(e for e in data["examiners"] if e["id"] == "W09")["certificates"]
    held.append({**held[0], "number": "RT-2330", "method": "RT"})
    expected = finding("self-examination", _NC, joint="TI-3", report=report["report"])
    return Planted((expected,), report, "examiner")


FAULTS = [
    Fault("side-missing", "Pass 4 has a left half only.", _one_side),
    Fault("film-on-two-joints", "The film of ML-014 is named for ML-015 as well.", _film_twice),
    Fault("report-before-examination", "The report is a day older than the film.",
          _report_before),
    Fault("meter-unknown", "Clamp meter CM-07 is not in the register of instruments.", _meter),
    Fault("stamp-at-two-joints", "W08 is entered at ML-055 and at ML-056 at the same time.",
          _two_places),
    Fault("film-read-by-welder", "W09 read the film of a joint that he had welded.",
          _own_reader),
]  # fmt: skip
