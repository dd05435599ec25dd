"""Joint histories for the page: the very data of the printed sheet, many joints a block."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Final, Literal

from dossier.coverage.view import View
from dossier.documents.joint_history import JointHistory, uncoded
from dossier.documents.record_code import fingerprint
from dossier.records.verdicts import Finding
from dossier.review.pack import packed, spelled

JOINTS_A_BLOCK: Final = 1000  # opened in some hundredths of a second, and like lies beside like
Part = Literal["members", "passes", "welders", "consumables", "examinations", "repairs", "after",
               "tests", "papers"]  # fmt: skip
PARTS: Final[tuple[Part, ...]] = (
    "members", "passes", "welders", "consumables", "examinations", "repairs", "after", "tests",
    "papers",
)  # fmt: skip


# The data of a joint history already printed, by the place of its joint in the register.
Printed = Callable[[int], JointHistory | None]


def not_printed(_: int) -> None:
    """No history is printed yet."""


def history_blocks(
    seen: View, own: Mapping[str, Sequence[Finding]], printed: Printed
) -> Iterator[dict[str, Any]]:
    """Histories of `JOINTS_A_BLOCK` joints at a time, in the order of the register."""
    joints = seen.project.joints
    for first in range(0, len(joints), JOINTS_A_BLOCK):
        yield _block([
            printed(place) or uncoded(seen, own.get(joint.number, ()), joint, place)
            for place, joint in enumerate(joints[first : first + JOINTS_A_BLOCK], start=first + 1)
        ])  # fmt: skip


def _block(histories: Sequence[JointHistory]) -> dict[str, Any]:
    labels = list(dict.fromkeys(f["label"] for told in histories for f in told["identity"]))
    facts = [{f["label"]: f["value"] for f in told["identity"]} for told in histories]
    return {
        "labels": labels,
        "facts": [spelled([own.get(label, "-") for own in facts]) for label in labels],
        "documents": [told["head"]["number"] for told in histories],
        "marks": [told["code"]["mark"] or fingerprint(told) for told in histories],
        "cautions": [told["head"]["caution"] for told in histories],
        "parts": [_part(histories, part) for part in PARTS],
    }


def _part(histories: Sequence[JointHistory], part: Part) -> dict[str, Any]:
    tables = [told[part] for told in histories]
    heads = [column["label"] for column in tables[0]["columns"]]
    return {
        "title": tables[0]["title"],
        "heads": heads,
        "right": [column["align"] == "right" for column in tables[0]["columns"]],
        **packed(tables, len(heads)),
    }
