"""Examination summary of each line, by the lists that the law asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dossier.codes import cfr_192_examination, cfr_195_construction
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.tracers import REJECTED
from dossier.documents.amounts import amount
from dossier.documents.printed.face import Asked, Name, Part, Printed, part, printed
from dossier.documents.sheet import Row, columns, day, fact, row, table, words
from dossier.records.examinations import Examination
from dossier.records.joints import Line

CODE = "EXS"
_COUNTED = ("RT", "UT", "MT", "PT")  # nondestructive testing in the sense of both lists
_NOT_HELD = "not in these registers: as-built drawings"


def make(of: Asked) -> Iterator[Printed]:
    """One summary a line; a project without lines gets an empty one."""
    for place, line in enumerate(of.seen.project.lines, start=1):
        yield _summary(of, line, place)
    if not of.seen.project.lines:
        yield printed(of, Name(CODE, "Examination summary"), {"welds": _welds([])})


def _summary(of: Asked, line: Line, place: int) -> Printed:
    files = [joint_file(of.seen, j) for j in of.seen.project.joints
             if j.line == line.id and j.status in ("welded", "cut out")
             and j.weld_type == "butt"]  # fmt: skip
    content = {"welds": _welds(files), "rejects": _rejects(files)}
    if "192" not in line.regulation:
        content["construction"] = _construction(of, line, files)
    asked = words([
        "" if "195" in line.regulation else str(cfr_192_examination.RECORD),
        "" if "192" in line.regulation else str(cfr_195_construction.RECORDS),
    ])  # fmt: skip
    return printed(
        of,
        Name(CODE, f"Examination summary {line.id}", place),
        content,
        lead=f"{line.title}. Girth welds made, tested and rejected, by stretch of line.",
        facts=[
            fact("Law of the line", line.regulation or "none recorded; both lists are answered"),
            fact("Lists answered", asked),
            fact("Kept", "as long as the line is in service"),
            fact("Location class", str(line.location_class or "")),
        ],
    )


def _tested(file: JointFile) -> list[Examination]:
    return [e for e in file.examinations if e.method in _COUNTED and e.result]


def _rejected(file: JointFile) -> list[Examination]:
    return [e for e in _tested(file) if e.result == REJECTED]


def _welds(files: Sequence[JointFile]) -> Part:
    """Counts by kilometre; what has no chainage is counted by its drawing."""
    heads = columns(("Location", 34), ("Welds made", 12, "right"), ("Tested", 12, "right"),
                    ("Rejected", 12, "right"), ("Repaired", 12, "right"),
                    ("Cut out", 12, "right"), ("Open", 10, "right"))  # fmt: skip
    places: dict[tuple[int, str], list[JointFile]] = {}
    for file in files:
        places.setdefault(_place(file), []).append(file)
    rows = [_counts(told, own) for (_, told), own in sorted(places.items())]
    if len(rows) > 1:
        rows.append(_counts("all", files))
    note = (
        "Tested: at least one report with a result of radiography, ultrasound, magnetic particles "
        "or penetrant. Rejected: at least one of these rejects. Open: neither accepted after it "
        "nor cut out."
    )
    return part(table("Girth welds", heads, rows, note if rows else ""),
                "No girth weld of this line is on record.")  # fmt: skip


def _place(file: JointFile) -> tuple[int, str]:
    if file.joint.kp_m is None:
        return 10**9, f"drawing {file.joint.drawing or 'not named'}, no chainage"
    kilometre = int(file.joint.kp_m // 1000)
    return kilometre, f"KP {kilometre} to {kilometre + 1}"


def _counts(place: str, files: Sequence[JointFile]) -> Row:
    rejected = [file for file in files if _rejected(file)]
    ends = [_end(file) for file in rejected]
    counts = (len(files), sum(bool(_tested(f)) for f in files), len(rejected),
              sum(end.startswith("repaired") for end in ends),
              sum(end.startswith("cut out") for end in ends),
              sum(end == "open" for end in ends))  # fmt: skip
    return row([place, *map(str, counts)], [*[""] * 6, "hold" if counts[-1] else ""])


def _end(file: JointFile) -> str:
    """What became of a weld: as long as one of its rejections is open, so is the weld."""
    ends = [_disposition(file, report) for report in _rejected(file)]
    return "open" if "open" in ends else ends[-1]


def _disposition(file: JointFile, report: Examination) -> str:
    """What became of a rejected weld, "open" where nothing on record closes it."""
    if file.joint.status == "cut out":
        return "cut out"
    later = [e for e in _tested(file) if e.method == report.method and e.result == "accepted"
             and str(e.examined_at or "") > str(report.examined_at or "")]  # fmt: skip
    repairs = [r.number for r in file.repairs if r.examination == report.report]
    if repairs and later:
        return f"repaired ({words(repairs)}), accepted by {later[0].report}"
    return f"accepted by {later[0].report}" if later else "open"


def _rejects(files: Sequence[JointFile]) -> Part:
    heads = columns(("Joint", 13), ("KP, km", 9, "right"), ("Report", 20), ("Examined", 15),
                    ("Indications", 15), ("Disposition", 28))  # fmt: skip
    rows = []
    for file in files:
        for report in _rejected(file):
            end = _disposition(file, report)
            kp = "" if file.joint.kp_m is None else f"{file.joint.kp_m / 1000:.3f}"
            found = words(dict.fromkeys(i.kind for i in report.indications))
            cells = [file.number, kp, report.report, day(report.examined_at), found, end]
            rows.append(row(cells, [*[""] * 5, "hold" if end == "open" else ""]))
    return part(table("Rejected welds and their disposition", heads, rows),
                "No girth weld of this line was rejected.")  # fmt: skip


def _construction(of: Asked, line: Line, files: Sequence[JointFile]) -> Part:
    """The groups of 49 CFR 195.266, with what the registers hold of each."""
    crossings = words(f.number for f in files if f.joint.kind == "crossing")
    valves = words(dict.fromkeys(i.number for f in files for i in f.items if i.kind == "valve"))
    held = {
        cfr_195_construction.RECORD_GROUPS[0]: "the two tables above",
        cfr_195_construction.RECORD_GROUPS[1]: _pipe(of, files),
        cfr_195_construction.RECORD_GROUPS[2]: "" if crossings == "-" else
        f"joints at crossings, of whatever kind: {crossings}",
        cfr_195_construction.RECORD_GROUPS[5]: "" if valves == "-" else
        f"valves {valves}; test stations: {_NOT_HELD}",
    }  # fmt: skip
    rows = [
        row([group, held.get(group) or _NOT_HELD], ["", "" if held.get(group) else "hold"])
        for group in cfr_195_construction.RECORD_GROUPS
    ]
    del line
    return part(table("Construction record", columns(("Asked for", 34), ("Held", 66)), rows,
                      f"{cfr_195_construction.RECORDS}."), "")  # fmt: skip


def _pipe(of: Asked, files: Sequence[JointFile]) -> str:
    """Amount, stretch and least cover of each size of pipe."""
    sizes: dict[str, dict[str, float]] = {}
    spans: dict[str, list[float]] = {}
    covers: dict[str, list[float]] = {}
    for file in files:
        for item in file.items:
            size = " x ".join(amount(v, "mm", of.system) for v in (item.od_mm, item.wall_mm))
            sizes.setdefault(size, {})[item.number] = item.length_m or 0.0
            spans.setdefault(size, []).extend([] if file.joint.kp_m is None else [file.joint.kp_m])
            covers.setdefault(size, []).extend(
                row.cover_m for row in file.lowerings if row.cover_m is not None
            )
    told = []
    for size, lengths in sorted(sizes.items()):
        span, cover = spans[size], covers[size]
        where = f"KP {min(span) / 1000:.3f} to {max(span) / 1000:.3f}" if span else "no chainage"
        least = f"least cover {amount(min(cover), 'm', of.system)}" if cover else "cover not told"
        told.append(f"{size}: {amount(sum(lengths.values()), 'm', of.system)}, {where}, {least}")
    return "; ".join(told)
