"""The evidence pack of an audit sample: findings, places in the records, pages to pull."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import Any

from dossier.coverage.audit_sample import METHOD, Drawn
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View
from dossier.documents.finding_list import finding_as_data
from dossier.documents.findings import by_joint
from dossier.documents.joint_history import papers_of
from dossier.records.base import Paper, Record
from dossier.records.verdicts import Finding

_WIDTH = 96


def pack_as_data(
    seen: View, findings: Sequence[Finding], drawn: Sequence[Drawn], seed: int
) -> dict[str, Any]:
    """Plain data of the sample, joint by joint in the order drawn."""
    own = by_joint(findings)
    return {
        "project": seen.project.settings.number,
        "as_of": seen.as_of.isoformat(),
        "seed": seed,
        "method": METHOD,
        "joints": [_joint(seen, one, own.get(one.file.number, ())) for one in drawn],
    }


def _joint(seen: View, one: Drawn, findings: Sequence[Finding]) -> dict[str, Any]:
    joint = one.file.joint
    return {
        "joint": joint.number,
        "line": joint.line,
        "kind": joint.kind,
        "weight": one.weight,
        "because": list(one.because),
        "findings": [finding_as_data(finding) for finding in findings],
        "records": [{"what": what, "read_from": str(record.origin)}
                    for what, record in _records(seen, one.file)],
        "pages": [{"proof_of": told, **page} for told, page in _pages(seen, one.file)],
    }  # fmt: skip


def _records(seen: View, file: JointFile) -> Iterator[tuple[str, Record]]:
    yield "joint", file.joint
    yield from ((f"item {item.number}", item) for item in file.items)
    yield from ((f"pass {p.number} {p.kind} {p.side}".strip(), p) for p in file.passes)
    for stamp in sorted({made.welder for made in file.passes}):
        yield from ((f"welder {stamp}", w) for w in seen.known.welders.get(stamp, ()))
    if file.wps:
        yield f"WPS {file.wps.number} rev. {file.wps.revision}", file.wps
        for number in file.wps.pqrs:
            if number in seen.known.pqrs:
                yield f"procedure test {number}", seen.known.pqrs[number]
    for number in _batches(file):
        if number in seen.known.batches:
            yield f"batch {number}", seen.known.batches[number]
    yield from ((f"{e.method} report {e.report}", e) for e in file.examinations)
    yield from ((f"repair {r.number}", r) for r in file.repairs)
    yield from ((f"coating {c.report}", c) for c in file.coatings)
    yield from (("lowering", one) for one in file.lowerings)


def _batches(file: JointFile) -> list[str]:
    used = [p.batch for p in file.passes] + [r.batch for r in file.repairs]
    return sorted({number for number in used if number})


def _pages(seen: View, file: JointFile) -> Iterator[tuple[str, dict[str, Any]]]:
    """Pages to pull: those of the joint, of its batches, its WPS and its welders' certificates."""
    found: dict[tuple[str, Paper], None] = dict.fromkeys(papers_of(seen, file))
    for number in _batches(file):
        batch = seen.known.batches.get(number)
        if batch and batch.document:
            found[f"batch {number}", batch.document] = None
    if file.wps and file.wps.document:
        found[f"WPS {file.wps.number}", file.wps.document] = None
    for stamp in sorted({made.welder for made in file.passes}):
        for person in seen.known.welders.get(stamp, ()):
            for held in person.certificates:
                if held.document:
                    found[f"certificate {held.number} of {stamp}", held.document] = None
    for told, paper in found:
        known = seen.known.documents.get(paper.document)
        yield told, {"document": paper.document, "page": paper.page,
                     "file": known.file if known else None}  # fmt: skip


def pack_text(pack: dict[str, Any]) -> str:
    """The pack for a terminal."""
    of = f"Audit sample of {pack['project']}, records to {pack['as_of']}"
    lines = [f"{of}, seed {pack['seed']}"]
    lines += textwrap.wrap(pack["method"], _WIDTH)
    for place, one in enumerate(pack["joints"], start=1):
        why = f", {', '.join(one['because'])}" if one["because"] else ""
        told = f"{one['kind']} on {one['line']}{why}; weight {one['weight']}"
        lines += ["", f"{place}. {one['joint']} ({told})"]
        lines += [_line("finding", f"{f['verdict']}: {f['sentence']}") for f in one["findings"]]
        lines += [_line("page", f"{p['document']}, page {p['page']}: {p['proof_of']}")
                  for p in one["pages"]]  # fmt: skip
        lines += [_line("record", f"{r['read_from']}: {r['what']}") for r in one["records"]]
    return "\n".join(lines)


def _line(label: str, text: str) -> str:
    safe = "".join(c if c.isprintable() else "?" for c in text)
    first = f"   {label:8}"
    return textwrap.fill(safe, _WIDTH, initial_indent=first, subsequent_indent=" " * len(first))
