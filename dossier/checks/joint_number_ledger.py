"""Is every joint number accounted for: no duplicate, no gap, each cut-out and re-weld linked?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from dossier.coverage import number_ledger
from dossier.coverage.evidence import at
from dossier.coverage.number_ledger import Entry, ledger
from dossier.coverage.view import View, project_basis
from dossier.records.joints import Joint
from dossier.records.verdicts import HOLD, NOTE, Finding, Reason

NAME = "joint-number-ledger"


def check(seen: View) -> Iterator[Finding]:
    """One finding per number that is doubled, missing, void or linked to nothing."""
    for entry in ledger(seen.project):
        told = _SENTENCES.get(entry.state)
        in_log = any(joint.number == entry.number for joint in entry.joints)
        if told is not None and not (entry.state == number_ledger.VOID and in_log):
            sentence, reason = told(seen, entry)
            yield _finding(entry.number, sentence, reason, entry.joints)
    yield from _unlinked(seen)


def _finding(number: str, sentence: str, reason: Reason, joints: Iterable[Joint]) -> Finding:
    return Finding(
        NAME,
        reason.verdict,
        (("joint", number),),
        sentence,
        (reason,),
        tuple(proof for joint in joints for proof in at(joint, "number")),
        "Settle it from the daily records: a lost suffix, another section, or a copying error.",
    )


def _doubled(seen: View, entry: Entry) -> tuple[str, Reason]:
    basis = project_basis(seen, "joint numbering")
    days = ", ".join(str(joint.welded_on or "no date") for joint in entry.joints)
    count = len(entry.joints)
    reason = Reason("uses of the number", f"{count} ({days})", "1", basis, HOLD)
    return f"Joint number {entry.number} stands {count} times in the log.", reason


def _missing(seen: View, entry: Entry) -> tuple[str, Reason]:
    basis = project_basis(seen, "joint numbering")
    reason = Reason("number", "missing", "a joint or an explanation", basis, HOLD)
    return f"Joint number {entry.number} is missing from the log without explanation.", reason


def _void(seen: View, entry: Entry) -> tuple[str, Reason]:
    basis = project_basis(seen, "joint numbering")
    reason = Reason("number", f"void: {entry.explanation}", "explained", basis, NOTE)
    return f"Joint number {entry.number} was not used: {entry.explanation}.", reason


def _void_and_used(seen: View, entry: Entry) -> tuple[str, Reason]:
    basis = project_basis(seen, "joint numbering")
    reason = Reason("number", entry.explanation, "void or in the log", basis, HOLD)
    return f"Joint number {entry.number} is {entry.explanation}.", reason


_SENTENCES = {
    number_ledger.DOUBLED: _doubled,
    number_ledger.MISSING: _missing,
    number_ledger.VOID: _void,
    number_ledger.VOID_AND_USED: _void_and_used,
}


def _unlinked(seen: View) -> Iterator[Finding]:
    basis = project_basis(seen, "cut-outs and re-welds")
    for joint in seen.project.joints:
        if not joint.replaces:
            continue
        replaced = seen.known.joints.get(joint.replaces, [])
        if any(old.status == "cut out" for old in replaced):
            continue
        found = f"{joint.replaces} is {replaced[0].status}" if replaced else "not on record"
        reason = Reason("joint it replaces", found, "a joint that was cut out", basis, HOLD)
        sentence = f"Joint {joint.number} replaces {joint.replaces}, which was not cut out."
        yield _finding(joint.number, sentence, reason, [joint, *replaced])
