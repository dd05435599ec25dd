"""What each section must show and what of it is there, signed and on a page."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from dossier.coverage.acceptance import accepted, needed
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.record_tests import record_tests
from dossier.coverage.tracers import lots
from dossier.coverage.view import View
from dossier.documents.figures.shares import Part, Share, percent
from dossier.documents.sheet import Figure, columns, row, table
from dossier.drawings.share_grid import Cell, share_grid
from dossier.records.base import Paper

Counted = tuple[str, bool]


def completeness(seen: View) -> Part:
    """For each section and kind of paper: required, present, and the share of it."""
    shares: dict[str, list[Share]] = {}
    for line in seen.project.lines:
        files = list(_files(seen, line.id))
        shares[line.id] = _shares([pair for file in files for pair in _counted(seen, file)])
        shares[line.id] += _built(seen, files)
    heads = columns(("Section", 14), ("Of what", 40), ("Present", 14, "right"),
                    ("Required", 14, "right"), ("Share", 18, "right"))  # fmt: skip
    rows = [
        row([line, one.name, str(one.count), str(one.total), percent(one.percent)],
            ["", "", "", "", "" if one.count == one.total else "hold"])
        for line, own in shares.items() for one in own
    ]  # fmt: skip
    cells = [Cell(line, one.name, one.count, one.total) for line, own in shares.items()
             for one in own]  # fmt: skip
    title = "Completeness by section"
    note = (
        "Each joint asks for its own papers; a certificate that serves many joints counts for "
        "each of them. Traceable, verifiable and complete: the three tests of a joint's record."
    )
    svg = share_grid(title, cells) if cells else ""
    return table(title, heads, rows, note), Figure(svg=svg, note="")


def _files(seen: View, line: str) -> Iterator[JointFile]:
    for joints in seen.known.joints.values():
        if joints[0].line == line and joints[0].status == "welded":
            yield joint_file(seen, joints[0])


def _shares(pairs: Sequence[Counted]) -> list[Share]:
    groups: dict[str, list[bool]] = defaultdict(list)
    for name, present in pairs:
        groups[name].append(present)
    return [Share(name, sum(own), len(own)) for name, own in groups.items()]


def _counted(seen: View, file: JointFile) -> Iterator[Counted]:
    known = seen.known
    for _, item in file.members:
        paper = known.material_certificates.get(item.certificate) if item else None
        yield "material certificates", paper is not None and _shown(seen, paper.document)
    for number in sorted({made.batch for made in file.passes if made.batch}):
        batch = known.batches.get(number)
        there = batch is not None and bool(batch.certificate) and _shown(seen, batch.document)
        yield "consumable certificates", there
    approved = file.wps is not None and any(a.role == "approved" and a.signed_on
                                            for a in file.wps.approvals)  # fmt: skip
    yield "WPS approved", approved
    for need in needed(seen, file):
        report = accepted(file, need)
        yield f"{need.title} accepted", report is not None
        yield f"{need.title} report on a page", report is not None and _shown(seen, report.document)
    for test in record_tests(seen, file):
        yield f"record {test.name}", test.holds


def _built(seen: View, files: Sequence[JointFile]) -> list[Share]:
    """Coating and lowering, where the section has any: a station has neither."""
    coated = [any(_shown(seen, c.document) for c in file.coatings) for file in files]
    lowered = [any(x.lowered_at for x in file.lowerings) for file in files]
    found = []
    if any(file.coatings for file in files):
        found.append(Share("coating report on a page", sum(coated), len(coated)))
    if any(lowered):
        found.append(Share("lowering recorded", sum(lowered), len(lowered)))
    return found


def _shown(seen: View, paper: Paper | None) -> bool:
    """The page is in the register of documents, in a file that has it."""
    document = seen.known.documents.get(paper.document) if paper else None
    if paper is None or document is None or not document.file:
        return False
    return document.pages is None or paper.page <= document.pages


def tracer_counts(seen: View) -> Part | None:
    """Lots with a rejection: further welds examined and owed. None where none are asked for."""
    rules = seen.project.settings.requirements.progressive
    if rules is None:
        return None
    heads = columns(("Welder", 14), ("Section", 14), ("Period", 14), ("Rejections", 14, "right"),
                    ("Examined", 12, "right"), ("Owed", 12, "right"), ("Lot", 20))  # fmt: skip
    rows = []
    for lot in lots(seen, rules):
        owed = lot.progress.more
        cells = [lot.key.welder, lot.key.line, lot.key.period, str(len(lot.rejections)),
                 str(lot.shot), str(owed), lot.progress.state]  # fmt: skip
        mark = "" if lot.progress.state == "accepted" else "hold"
        rows.append(row(cells, [*[""] * 5, mark, mark]))
    note = "Further welds of the same welder and lot that a rejection asks for."
    return table("Tracer welds", heads, rows, note), Figure(svg="", note="")
