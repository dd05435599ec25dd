"""Repair rates on three bases, and by line, week, welder, pass, side, defect, WPS and crew."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence

from dossier.calc.proportions import count_interval
from dossier.coverage.tracers import responsible
from dossier.coverage.view import View
from dossier.documents.figures.first_reports import First
from dossier.documents.figures.shares import Part, Share, percent, share_part, shares_of
from dossier.documents.sheet import Figure, columns, row, table
from dossier.records.examinations import Indication

_HEADS = ("Rejected at first", "Joints examined")
# Where in the weld a kind of indication lies, by the abbreviations of API 1104; the kinds that
# may lie anywhere tell no pass.
_ROOT = {"IP", "IPD", "IC", "BT", "IU", "ICP"}
_CAP = {"EU"}
_HALF_MM = 2.0


def bases(firsts: Sequence[First]) -> Part:
    """The rate by joint, by film and by length side by side: three numbers of one work."""
    joint = Share("by joint", sum(f.rejected for f in firsts), len(firsts))
    filmed = [f for f in firsts if f.report.films]
    film = Share("by film", sum(f.rejected_films for f in filmed),
                 sum(len(f.report.films) for f in filmed))  # fmt: skip
    heads = columns(("Basis", 20), ("Rejected", 18, "right"), ("Examined", 18, "right"),
                    ("Rate", 14, "right"), ("From", 15, "right"), ("To", 15, "right"))  # fmt: skip
    rows = [row([one.name, *one.cells()]) for one in (joint, film)]
    measured = [f for f in firsts if f.examined_mm is not None]
    metres = sum(f.examined_mm or 0.0 for f in measured) / 1000
    bad = sum(f.rejected_mm for f in measured) / 1000
    if metres:
        rate = percent(100 * bad / metres)
        rows.append(row(["by length", f"{bad:.2f} m", f"{metres:.1f} m", rate, "", ""]))
        areas = sum(len(f.report.indications) or 1 for f in measured if f.rejected)
        low, high = (f"{100 * end / metres:.2f}" for end in count_interval(areas))
        per = f"{100 * areas / metres:.2f}"
        rows.append(row(["areas in 100 m", str(areas), f"{metres:.1f} m", per, low, high]))
    note = (
        "First radiographic or ultrasonic report of each joint. A film is counted as rejected when "
        "an indication of the rejected report lies on it. Interval: exact, 95 %; a rate by length "
        "has none, since lengths are not counted things."
    )
    return table("Repair rate on each basis", heads, rows, note), Figure(svg="", note="")


def first_time(seen: View) -> Part:
    """Joints accepted at their first examination, for each method."""
    groups: dict[str, dict[str, bool]] = defaultdict(dict)
    for e in sorted(seen.project.examinations, key=lambda e: (str(e.examined_at), e.report)):
        if e.result and e.joint in seen.known.joints:
            groups[e.method].setdefault(e.joint, e.result == "accepted")
    shares = shares_of({method: own.values() for method, own in groups.items()})
    return share_part("First-time acceptance", ("Method", "Accepted at first", "Joints examined"),
                      shares)  # fmt: skip


def by(title: str, group: str, firsts: Iterable[First], name: Callable[[First], str]) -> Part:
    """The rate by joint in each group that `name` puts a joint into; "" leaves it out."""
    groups: dict[str, list[bool]] = defaultdict(list)
    for one in firsts:
        if name(one):
            groups[name(one)].append(one.rejected)
    return share_part(title, (group, *_HEADS), shares_of(groups))


def by_welder(seen: View, firsts: Iterable[First]) -> Part:
    """Each joint counts for all its welders, a rejection only for the one in whose part it lay."""
    groups: dict[str, list[bool]] = defaultdict(list)
    for one in firsts:
        blamed = responsible(seen, one.report) if one.rejected else ""
        for stamp in sorted({made.welder for made in one.file.passes}):
            groups[stamp].append(one.rejected and blamed in ("", stamp))
    note = (
        "A rejection counts for the welder in whose part its cause was reported, for every welder "
        "of the joint where no part was. Few joints prove little about anybody."
    )
    return share_part("By welder", ("Welder", *_HEADS), shares_of(groups), note)


def by_indication(
    title: str, group: str, firsts: Sequence[First], name: Callable[[First, Indication], str]
) -> Part:
    """Joints rejected with an indication of each sort, of all joints examined."""
    counts: dict[str, int] = defaultdict(int)
    for one in firsts:
        if one.rejected:
            for sort in {name(one, i) for i in one.report.indications} or {"not told"}:
                counts[sort] += 1
    shares = [Share(sort, count, len(firsts)) for sort, count in counts.items()]
    shares.sort(key=lambda s: (-s.count, s.name))
    note = "A joint with indications of several sorts counts in each."
    return share_part(title, (group, *_HEADS), shares, note)


def pass_of(_: First, found: Indication) -> str:
    """The pass that the kind of an indication tells of."""
    if found.kind in _ROOT:
        return "root"
    return "cap" if found.kind in _CAP else "not told by its kind"


def side_of(one: First, found: Indication) -> str:
    """The half of the circumference, looking along the flow, where an indication begins."""
    around = one.circumference_mm
    if around is None or found.start_mm is None:
        return "not placed"
    return "right" if found.start_mm % around < around / _HALF_MM else "left"
