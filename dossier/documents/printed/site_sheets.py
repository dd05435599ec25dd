"""Fit-up and daily welding sheets, prefilled for the joints that come next.

What the records know is printed; what the crew will know is an empty box.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta

from dossier.coverage.joint_file import JointFile, joint_file
from dossier.documents.amounts import amount
from dossier.documents.printed.face import (
    Asked,
    Name,
    Part,
    Printed,
    boxes,
    form_table,
    part,
    printed,
)
from dossier.documents.sheet import Fact, Row, fact, words
from dossier.drawings.words import show_span
from dossier.records.procedures import Procedure, ProcedurePass

AT_MOST = 24  # joints on one day's sheets: more than a crew welds in a day
_SPARE = 2  # rows for passes that the WPS does not number
_EMPTY = "No planned joint is on record."
_FIT_UP = (
    ("Joint", 10), ("Upstream, downstream", 14), ("WPS and limits", 20), ("Gap", 7), ("Hi-lo", 7),
    ("Heats seen", 11), ("Ends and clamp", 10), ("Fitted by, at", 11), ("Result", 10),
)  # fmt: skip
_DAILY = (
    ("Pass", 8), ("Filler", 10), ("Limits of the WPS", 21), ("Welder", 8), ("Batch", 9),
    ("Begun", 7), ("Ended", 7), ("A", 6), ("V", 6), ("Speed", 7), ("Temp.", 6), ("Seen by", 7),
)  # fmt: skip


def fit_up(of: Asked) -> Iterator[Printed]:
    """One fit-up sheet for the next day."""
    files, facts = _next(of)
    rows = [_fitted(of, file) for file in files]
    yield printed(
        of,
        Name("FUS", "Fit-up sheet", caution="fit_up_sheet", status="to be filled in"),
        {"joints": part(form_table("Joints", _FIT_UP, rows), _EMPTY)},
        lead="Before the root: measure all around, write the greatest gap and hi-lo, and read the "
        "heats from the pipe itself.",
        facts=facts,
    )


def daily(of: Asked) -> Iterator[Printed]:
    """One welding sheet for the next day, with a table for each joint."""
    files, facts = _next(of)
    content = {f"joint_{place}": _welding(of, file) for place, file in enumerate(files, start=1)}
    yield printed(
        of,
        Name("DWS", "Daily welding sheet", caution="daily_welding_sheet",
             status="to be filled in"),
        content or {"joints": part(form_table("", _DAILY, []), _EMPTY)},
        lead="One line a welder and pass. Write what was measured, not what the WPS says.",
        facts=[*facts, fact("Weather", "____________"), fact("Shift", "____________")],
        form="keep",
    )  # fmt: skip


def _next(of: Asked) -> tuple[list[JointFile], list[Fact]]:
    planned = [joint for joint in of.seen.project.joints if joint.status == "planned"]
    tomorrow = of.seen.as_of + timedelta(days=1)
    due = [j for j in planned if j.welded_on is None or j.welded_on <= tomorrow]
    files = [joint_file(of.seen, joint) for joint in due[:AT_MOST]]
    return files, [
        fact("For", tomorrow.isoformat()),
        fact("Joints", f"the first {len(files)} of {len(planned)} planned" if planned else "none"),
    ]


def _fitted(of: Asked, file: JointFile) -> Row:
    joint = file.joint
    groove = file.wps.groove if file.wps else None
    limits = [f"{joint.wps} rev. {joint.wps_revision}" if joint.wps else "WPS not named"]
    if groove is not None and groove.gap_mm is not None:
        limits.append(f"gap {show_span(groove.gap_mm, 'mm', of.system)}")
    if groove is not None and groove.hi_lo_max_mm is not None:
        limits.append(f"hi-lo up to {amount(groove.hi_lo_max_mm, 'mm', of.system)}")
    walls = words(dict.fromkeys(amount(item.wall_mm, "mm", of.system) for item in file.items))
    ends = [words([joint.upstream_item, joint.upstream_heat]),
            words([joint.downstream_item, joint.downstream_heat]), f"wall {walls}"]  # fmt: skip
    kp = "" if joint.kp_m is None else f"KP\N{NO-BREAK SPACE}{joint.kp_m / 1000:.3f}"
    return boxes([words([joint.number, kp, joint.drawing]), "; ".join(ends), "; ".join(limits),
                  *[""] * 6])  # fmt: skip


def _welding(of: Asked, file: JointFile) -> Part:
    joint, wps = file.joint, file.wps
    rows = [_pass(of, wps, planned) for planned in wps.passes] if wps else []
    rows += [boxes([""] * len(_DAILY)) for _ in range(_SPARE if wps else 3 * _SPARE)]
    size = words([amount(file.od_mm, "mm", of.system), amount(file.wall_mm, "mm", of.system)])
    named = f"{joint.wps} rev. {joint.wps_revision}" if joint.wps else "WPS not named"
    ends = words([joint.upstream_item, joint.downstream_item])
    made = form_table(f"{joint.number}: {named}; {ends}; {size}", _DAILY, rows)
    if joint.wps and wps is None:
        made["note"] = "This revision of the WPS is not on record, so no pass is prefilled."
    return part(made, _EMPTY)


def _pass(of: Asked, wps: Procedure, planned: ProcedurePass) -> Row:
    heat_c = None if wps.preheat_min_c is None else amount(wps.preheat_min_c, "°C", of.system)
    spans = [
        show_span(planned.current_a, "A", of.system),
        show_span(planned.voltage_v, "V", of.system),
        show_span(planned.heat_input_kj_mm, "kJ/mm", of.system),
    ]
    preheat = f"preheat from {heat_c}" if heat_c and planned.kind == "root" else ""
    size = amount(planned.filler_mm, "mm", of.system) if planned.filler_mm else ""
    told: Sequence[str] = [*(s for s in spans if s != "-"), preheat]
    return boxes([words([planned.kind, planned.process]), words([planned.filler, size]),
                  words(told), *[""] * 9])  # fmt: skip
