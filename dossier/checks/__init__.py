"""Cross-checks, one question a file. A check yields findings; none imports another.

To add one: write `dossier/checks/<question>.py` with `NAME`, a docstring that asks the question,
and `check(seen)`; name it in `ALL` below; add a small project under `tests/projects/`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from dossier.checks import (
    consumable_batch,
    evidence_document,
    examination_complete,
    examination_delay,
    examiner_certificate,
    heat_input,
    indication_acceptance,
    item_heat_certificate,
    joint_inside_procedure,
    joint_number_ledger,
    pass_interval,
    pass_parameters,
    preheat_and_interpass,
    procedure_in_force,
    procedure_supported,
    repair_closed,
    sequence_of_work,
    visual_examination,
    welder_certificate,
    welder_continuity,
    welder_deposit,
    welder_range,
)
from dossier.coverage.view import View
from dossier.records.papers import Concession
from dossier.records.verdicts import Finding, Verdict

Check = Callable[[View], Iterator[Finding]]

ALL: dict[str, Check] = {
    module.NAME: module.check
    for module in (
        procedure_in_force,
        procedure_supported,
        joint_inside_procedure,
        welder_certificate,
        welder_range,
        welder_deposit,
        welder_continuity,
        item_heat_certificate,
        consumable_batch,
        pass_parameters,
        heat_input,
        pass_interval,
        preheat_and_interpass,
        visual_examination,
        examination_complete,
        examination_delay,
        examiner_certificate,
        indication_acceptance,
        repair_closed,
        sequence_of_work,
        joint_number_ledger,
        evidence_document,
    )
}


def run(seen: View, names: Iterable[str] = ()) -> list[Finding]:
    """All findings of the checks named (all of them by default), severest first.

    Findings that a signed concession answers carry its number. The order is fixed: verdict,
    check, subject.
    """
    chosen = [ALL[name] for name in names] or list(ALL.values())
    findings = (finding for check in chosen for finding in check(seen))
    conceded = (_conceded(finding, seen.project.concessions) for finding in findings)
    return sorted(conceded, key=lambda f: (-f.verdict, list(ALL).index(f.check), f.subject))


def _conceded(finding: Finding, concessions: Iterable[Concession]) -> Finding:
    for concession in concessions:
        if _answers(concession, finding):
            return replace(finding, conceded_by=concession.number)
    return finding


def _answers(concession: Concession, finding: Finding) -> bool:
    """A concession answers what it names, on the joints that it was signed for."""
    if concession.signed_on is None or not concession.approver:
        return False
    named = finding.id in concession.findings or finding.check in concession.checks
    joint = finding.about("joint")
    return named and (joint in concession.joints or not (joint or concession.joints))


def open_findings(findings: Iterable[Finding], least: Verdict) -> list[Finding]:
    """The findings at or above `least` that no concession answers."""
    return [f for f in findings if f.verdict >= least and not f.conceded_by]
