"""The clearance list for a terminal, and as rows for CSV."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from dossier.coverage.questions.face import Answer
from dossier.documents.clearance import Clearance, Cure
from dossier.units import counted

_WIDTH = 96
_BEFORE = {"coating": "be coated", "lowering": "be lowered", "pressure-test": "be pressure tested",
           "handover": "be handed over"}  # fmt: skip
_LISTED = 12


def clearance_text(made: Clearance) -> str:
    """Counts, who is free to go, and the cures with most effect first."""
    to_do = _BEFORE[made.stage]
    counts = f"{counted(len(made.free), 'joint')} may {to_do}, {len(made.held)} may not yet"
    lines = [
        f"Ready for {made.stage}, records to {made.as_of}",
        f"{counts}, {len(made.done)} are done.",
        "",
        *_wrapped("  may go on: ", ", ".join(made.free) or "none"),
        "",
    ]
    if made.cures:
        lines.append("Cures, those first that free most joints by themselves:")
    for cure in made.cures:
        lines += ["", *_cure(cure)]
    if made.whole:
        lines += ["", "Of the project as a whole, whatever the joint:"]
    for cure in made.whole:
        lines += ["", *_cure(cure)]
    return "\n".join(lines)


def _cure(cure: Cure) -> list[str]:
    verdict = f" [{cure.verdict}]" if cure.verdict else ""
    effect = f"frees {len(cure.frees)}, helps {len(cure.joints)}: " if cure.joints else ""
    lines = _wrapped(f"  {effect}", f"{cure.about}{verdict}")
    lines += _wrapped("    ", cure.told)
    lines += _wrapped("    cure:   ", cure.cure)
    if len(cure.joints) > 1:
        lines += _wrapped("    joints: ", _some(cure.joints))
    return lines + _wrapped("    proof:  ", cure.evidence)


def _some(joints: Sequence[str]) -> str:
    more = len(joints) - _LISTED
    listed = ", ".join(joints[:_LISTED])
    return f"{listed} and {more} more" if more > 0 else listed


def _wrapped(first: str, text: str) -> list[str]:
    safe = "".join(c if c.isprintable() else "?" for c in text)
    return textwrap.wrap(
        safe, _WIDTH, initial_indent=first, subsequent_indent=" " * len(first)
    ) or [first]


def clearance_rows(made: Clearance) -> Answer:
    """One row a joint: whether it may go on, and what holds it up."""
    rows = [(number, "free to go", "") for number in made.free]
    rows += [(number, "done", "") for number in made.done]
    rows += [(number, "held up", "; ".join(why)) for number, why in made.held]
    return Answer(("joint", f"for {made.stage}", "why"), tuple(sorted(rows)))
