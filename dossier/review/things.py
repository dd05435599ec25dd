"""What joints are made of and to: heats, consumable batches and procedures, with their papers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Any

from dossier.coverage.view import View
from dossier.documents.sheet import coded, day, words
from dossier.records.base import Paper

Row = list[Any]


def things(seen: View) -> dict[str, Any]:
    """Heats, batches and WPS: one row each; the last cells are the papers that prove them."""
    return {
        "heats": {"heads": ["Heat", "Certificates", "Types", "Makers", "Grades", "Items",
                            "Proof"], "rows": list(_heats(seen))},
        "batches": {"heads": ["Batch", "Kind", "Classification", "Certificate", "Type", "Expires",
                              "Read from", "Proof"], "rows": list(_batches(seen))},
        "wps": {"heads": ["WPS", "Revision", "Title", "Code", "Status", "In force from",
                          "In force to", "Procedure tests", "Change", "Read from", "Proof"],
                "rows": list(_procedures(seen))},
    }  # fmt: skip


def _page(paper: Paper | None) -> list[list[Any]]:
    return [[paper.document, paper.page]] if paper else []


def _heats(seen: View) -> Iterator[Row]:
    items: dict[str, list[str]] = defaultdict(list)
    for item in seen.project.items:
        if item.heat:
            items[item.heat].append(item.number)
    papers = defaultdict(list)
    for certificate in seen.project.material_certificates:
        for heat in certificate.heats:
            papers[heat.number].append(certificate)
    logged = {heat for joint in seen.project.joints
              for heat in (joint.upstream_heat, joint.downstream_heat) if heat}  # fmt: skip
    for number in sorted({*items, *papers, *logged}):
        own = papers.get(number, [])
        yield [
            number,
            words((c.number for c in own), "none on record"),
            words(dict.fromkeys(c.kind for c in own)),
            words(dict.fromkeys(c.maker for c in own)),
            words(dict.fromkeys(c.grade for c in own)),
            len(items.get(number, ())),
            [page for c in own for page in _page(c.document)],
        ]


def _batches(seen: View) -> Iterator[Row]:
    for one in sorted(seen.project.batches, key=lambda b: b.number):
        yield [one.number, one.kind, one.classification, one.certificate or "none on record",
               one.certificate_kind or "-", day(one.expires_on), str(one.origin),
               _page(one.document)]  # fmt: skip


def _procedures(seen: View) -> Iterator[Row]:
    for one in sorted(seen.project.procedures, key=lambda p: (p.number, p.revision)):
        proofs = _page(one.document)
        for number in one.pqrs:
            test = seen.known.pqrs.get(number)
            proofs += _page(test.document) if test else []
        yield [one.number, one.revision, one.title, coded(one.code, one.level), one.status,
               day(one.valid_from), day(one.valid_until), words(one.pqrs, "none on record"),
               one.change or "-", str(one.origin), proofs]  # fmt: skip
