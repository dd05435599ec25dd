"""The review page beside the dossier: a document on record opens on its page of the dossier."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any, cast

from dossier.coverage.view import View
from dossier.documents.joint_history import JointHistory
from dossier.documents.sheet import document_number
from dossier.handover.sections import Content
from dossier.records.verdicts import Finding
from dossier.review import Blocks, Link, data_blocks, link, page

NAME = "review.html"


def review_blocks(
    seen: View,
    findings: Sequence[Finding],
    histories: Mapping[str, Content] = MappingProxyType({}),
) -> Blocks:
    """What the page holds apart from links, so that it can be made before the pages are counted.

    `histories` are those that the dossier prints, by document number; others are gathered.
    """

    def printed(place: int) -> JointHistory | None:
        made = histories.get(document_number(seen.project.settings, "JHR", place))
        return cast("JointHistory", made.data()) if made else None

    return data_blocks(seen, findings, printed)


def review_page(
    seen: View,
    findings: Sequence[Finding],
    issue: Mapping[str, Any],
    blocks: Blocks | None = None,
) -> bytes:
    """The page of the records of an issue, linked to the files of its dossier."""
    return page(seen, findings, links_into(issue), blocks=blocks)


def links_into(issue: Mapping[str, Any]) -> dict[str, Link]:
    """File and page in that file of each paper that is bound into the dossier.

    A paper bound in several sections opens where it stands first; one that is lacking has no link.

    >>> links_into({"files": [{"name": "dossier_2_of_2.pdf", "first": 101}], "documents": [
    ...     {"number": "D-1", "kind": "paper", "file": "dossier_2_of_2.pdf", "page": 103}]})
    {'D-1': ('dossier_2_of_2.pdf', 3)}
    """
    first = {file["name"]: file["first"] for file in issue["files"]}
    found: dict[str, Link] = {}
    for one in issue["documents"]:
        if one["kind"] == "paper":
            found.setdefault(one["number"], link(one["file"], one["page"] - first[one["file"]] + 1))
    return found
