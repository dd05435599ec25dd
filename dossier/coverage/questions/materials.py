"""Where a batch or a heat went, and where its certificate is."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.coverage.questions.face import Answer, Given, Question, on_record, page, table, where
from dossier.coverage.view import View
from dossier.errors import InputError
from dossier.records.verdicts import Finding
from dossier.units import counted

Row = tuple[object, ...]


def batch(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """The joints whose passes, repairs or coating used a batch, and the batch's certificate."""
    del found
    number = given["batch"]
    uses: list[Row] = [
        (p.joint, f"pass {p.number} {p.kind}", p.welder, p.finished_at or p.started_at,
         where(p, "batch"))
        for p in seen.project.passes if p.batch == number
    ]  # fmt: skip
    uses += [(r.joint, f"repair {r.number}", r.welder, r.repaired_at, where(r, "batch"))
             for r in seen.project.repairs if r.batch == number]  # fmt: skip
    uses += [(c.joint, f"coating {c.report}", "", c.coated_at, where(c, "batch"))
             for c in seen.project.coatings if c.batch == number]  # fmt: skip
    if not uses:
        on_record("batch", number, seen.known.batches)
    kept = seen.known.batches.get(number)
    if kept is None:
        told = f"Batch {number} is used but not in the register of batches."
    else:
        paper = f"certificate {kept.certificate}" if kept.certificate else "no certificate"
        told = f"{number}: {kept.classification or kept.kind}, {paper}, "
        told += f"{page(kept.document) or 'no page'}; {where(kept)}."
    joints = len({row[0] for row in uses})
    return table(("joint", "used in", "welder", "when", "read from"), uses,
                 f"{told} Used in {joints} joints.")  # fmt: skip


def heat(seen: View, found: Sequence[Finding], given: Given) -> Answer:
    """Heat on the pipe, in the log and on the certificate, side by side for each use."""
    del found
    number = given["heat"]
    rows: list[Row] = []
    for joint in seen.project.joints:
        members = ((joint.upstream_item, joint.upstream_heat, "upstream"),
                   (joint.downstream_item, joint.downstream_heat, "downstream"))  # fmt: skip
        for name, logged, side in members:
            item = seen.known.items.get(name)
            if number in (logged, item.heat if item else ""):
                rows.append((joint.number, side, name, *_match(seen, name, logged),
                             where(joint, f"{side}_heat")))  # fmt: skip
    if not rows:
        _unused(seen, number)
        rows = [("not welded", "", i.number, *_match(seen, i.number, ""), where(i))
                for i in seen.project.items if i.heat == number]  # fmt: skip
    unequal = sum(row[7] is False for row in rows)
    return table(
        ("joint", "side", "item", "heat in the log", "heat of the item", "certificate",
         "heat on the certificate", "all agree", "certificate page", "read from"), rows,
        f"{counted(len(rows), 'place')}, {unequal} of them not in agreement.",
    )  # fmt: skip


def _match(seen: View, name: str, logged: str) -> Row:
    item = seen.known.items.get(name)
    paper = seen.known.material_certificates.get(item.certificate) if item else None
    own = item.heat if item else "item not on record"
    listed = [heat.number for heat in paper.heats] if paper else []
    on_paper = own if own in listed else ", ".join(listed) or "no certificate"
    agree = own in listed and logged in ("", own)
    return (logged, own, item.certificate if item else "", on_paper, agree,
            page(paper.document) if paper else "")  # fmt: skip


def _unused(seen: View, number: str) -> None:
    """Raises InputError unless the heat is at least known from an item or a certificate."""
    known = {item.heat for item in seen.project.items}
    known |= {h.number for paper in seen.project.material_certificates for h in paper.heats}
    if number not in known:
        on_record("heat", number, sorted(known))
    if not any(item.heat == number for item in seen.project.items):
        raise InputError("heat", found=number, expected="a heat of an item; this one stands only "
                         "on a certificate")  # fmt: skip


QUESTIONS = (
    Question("batch", "Which joints used a batch, and where is its certificate?",
             batch, ("batch",)),
    Question("heat", "Is the heat on the pipe the heat in the log and on the certificate?",
             heat, ("heat",)),
)  # fmt: skip
