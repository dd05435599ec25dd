"""Cross-checks, one question a file. A check yields findings; none imports another.

To add one: write `dossier/checks/<question>.py` with `NAME`, a docstring that asks the question,
and
`check(seen, file)` for a joint or `check(seen)` for the project; name it in `OF_JOINTS` or
`OF_PROJECT` below, and in `OCCASION` with `asked(seen)` where not every project asks for it; add a
defect under `tests/projects/defects/`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from functools import cache
from typing import NamedTuple

from dossier.checks import (
    accepted_before_pressure,
    carbon_equivalent,
    certificate_dates,
    circumference_closed,
    coating_conditions,
    concession_scope,
    consumable_baking,
    consumable_batch,
    cover_and_backfill,
    doubtful_reading,
    evidence_document,
    examination_complete,
    examination_delay,
    examination_share,
    examination_technique,
    examiner_certificate,
    film_numbers,
    fit_up,
    golden_weld,
    hardness,
    heat_input,
    heat_treatment,
    indication_acceptance,
    instrument_calibration,
    item_heat_certificate,
    joint_inside_procedure,
    joint_line,
    joint_number_ledger,
    joint_status,
    late_certificate,
    line_share,
    nonconformity_closed,
    paper_dates,
    pass_interval,
    pass_parameters,
    pass_sequence,
    pipe_end,
    preheat_and_interpass,
    procedure_in_force,
    procedure_supported,
    pup_balance,
    radiograph_header,
    record_blank,
    repair_closed,
    report_reuse,
    section_pressure,
    self_examination,
    sequence_of_work,
    shift_pattern,
    side_record,
    signature_complete,
    tracer_welds,
    visual_examination,
    wall_transition,
    welder_certificate,
    welder_continuity,
    welder_deposit,
    welder_range,
    welder_whereabouts,
    work_day,
)
from dossier.checks.alike import ASKED_ONCE, SURELY, OnceAsked, Question, Surely
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.view import View, remember
from dossier.records.joints import Joint
from dossier.records.papers import Concession
from dossier.records.verdicts import Finding, Verdict

JointCheck = Callable[[View, JointFile], Iterator[Finding]]
ProjectCheck = Callable[[View], Iterator[Finding]]
FindingsCheck = Callable[[View, Sequence[Finding], Collection[str]], Iterator[Finding]]

# Asked of the file on each joint that is welded and stands.
OF_JOINTS: dict[str, JointCheck] = {
    module.NAME: module.check
    for module in (
        joint_line,
        procedure_in_force,
        joint_inside_procedure,
        fit_up,
        wall_transition,
        pass_sequence,
        side_record,
        welder_certificate,
        welder_range,
        welder_deposit,
        welder_continuity,
        item_heat_certificate,
        carbon_equivalent,
        consumable_batch,
        consumable_baking,
        pass_parameters,
        heat_input,
        pass_interval,
        preheat_and_interpass,
        heat_treatment,
        hardness,
        work_day,
        paper_dates,
        instrument_calibration,
        visual_examination,
        self_examination,
        examination_technique,
        circumference_closed,
        examination_complete,
        golden_weld,
        examination_delay,
        examiner_certificate,
        indication_acceptance,
        repair_closed,
        sequence_of_work,
        coating_conditions,
        cover_and_backfill,
        accepted_before_pressure,
        record_blank,
        late_certificate,
    )
}
# Asked of joints that were cut out as well: their material still counts.
OF_CUT_OUTS = (item_heat_certificate.NAME,)
# Asked once of the whole project.
OF_PROJECT: dict[str, ProjectCheck] = {
    module.NAME: module.check
    for module in (
        procedure_supported,
        signature_complete,
        joint_number_ledger,
        joint_status,
        pup_balance,
        pipe_end,
        section_pressure,
        evidence_document,
        nonconformity_closed,
        radiograph_header,
        doubtful_reading,
        film_numbers,
        report_reuse,
        certificate_dates,
        examination_share,
        line_share,
        tracer_welds,
        welder_whereabouts,
        shift_pattern,
    )
}
# Checks that not every project asks for, or gives an occasion for: whether this one does.
OCCASION: dict[str, Callable[[View], bool]] = {
    module.NAME: module.asked
    for module in (
        consumable_baking,
        work_day,
        wall_transition,
        record_blank,
        section_pressure,
        nonconformity_closed,
        radiograph_header,
        tracer_welds,
        examination_share,
        line_share,
        concession_scope,
    )
}
# Asked last, of the project and of what all the others found.
OF_FINDINGS: dict[str, FindingsCheck] = {concession_scope.NAME: concession_scope.check}
ALL = (*OF_JOINTS, *OF_PROJECT, *OF_FINDINGS)


def run(seen: View, names: Iterable[str] = ()) -> list[Finding]:
    """All findings of the checks named (all of them by default), severest first.

    Findings that a signed concession answers carry its number. The order is fixed: verdict,
    check, subject.
    """
    chosen = set(names) or set(ALL)
    asked = asked_of(seen, chosen)
    findings = [*_of_project(seen, asked)]
    for joint in seen.project.joints:
        findings += _of_joint(seen, joint, asked)
    for name, check in OF_FINDINGS.items():
        findings += check(seen, tuple(findings), ALL) if name in chosen else ()
    findings = [finding for finding in findings if finding.check in chosen]
    answered = [conceded(finding, seen.project.concessions) for finding in findings]
    return sorted(answered, key=lambda f: (-f.verdict, ALL.index(f.check), f.subject))


def asked_of(seen: View, chosen: AbstractSet[str]) -> frozenset[str]:
    """The checks to ask for those chosen: all that the project gives an occasion for.

    Checks of findings rest on all the others.
    """
    wanted = frozenset(ALL) if chosen & set(OF_FINDINGS) else frozenset(chosen)
    return wanted - {name for name, asked in OCCASION.items() if not asked(seen)}


def _of_project(seen: View, chosen: Collection[str]) -> Iterator[Finding]:
    for name, check in OF_PROJECT.items():
        if name in chosen:
            yield from check(seen)


def _of_joint(seen: View, joint: Joint, chosen: AbstractSet[str]) -> Iterator[Finding]:
    if joint.status in ("welded", "cut out"):
        yield from of_file(seen, joint_file(seen, joint), chosen)


def of_file(seen: View, file: JointFile, chosen: AbstractSet[str]) -> Iterator[Finding]:
    """What the checks chosen find about one joint."""
    asked = _asked(frozenset(chosen), file.joint.status)
    yield from _asked_once(seen, file, asked.alike)
    for surely, checks in asked.surely:
        if not surely(seen, file):
            for check in checks:
                yield from check(seen, file)
    for check in asked.rest:
        yield from check(seen, file)


def _asked_once(seen: View, file: JointFile, asked: tuple[_Once, ...]) -> Iterator[Finding]:
    for one in asked:
        alike = one.question(file)
        sound = seen.sound.get(one)
        if sound is None:
            sound = seen.sound[one] = set()
        if alike is not None and alike in sound:
            continue
        found = False
        for finding in _asked_once(seen, file, one.wider):
            found = True
            yield finding
        for check in one.checks:
            for finding in check(seen, file):
                found = True
                yield finding
        if alike is not None and not found:
            remember(sound, alike)


@dataclass(frozen=True, slots=True, eq=False)
class _Once:
    """Checks that joints alike in a question need not be asked again, and those of a wider one."""

    question: Question
    checks: tuple[JointCheck, ...]
    wider: tuple[_Once, ...]


class _Asked(NamedTuple):
    alike: tuple[_Once, ...]
    surely: tuple[tuple[Surely, tuple[JointCheck, ...]], ...]
    rest: tuple[JointCheck, ...]


@cache
def _asked(chosen: frozenset[str], status: str) -> _Asked:
    """The checks for a joint of a status: those that a quicker question may spare, and the rest."""
    names = {name for name in OF_JOINTS if name in chosen}
    names &= {"welded": names, "cut out": set(OF_CUT_OUTS)}.get(status, set())

    def those(answered: AbstractSet[str]) -> tuple[JointCheck, ...]:
        return tuple(OF_JOINTS[name] for name in OF_JOINTS if name in names & answered)

    def once(question: Question, of: AbstractSet[str], wider: Sequence[OnceAsked]) -> _Once:
        return _Once(question, those(of), tuple(once(*row) for row in wider))

    alike = tuple(once(*row) for row in ASKED_ONCE)
    surely = tuple((quick, those(of)) for quick, of in SURELY)
    spared = {of for _, of in SURELY} | {of for _, of, _ in ASKED_ONCE}
    spared |= {of for _, _, wider in ASKED_ONCE for _, of, _ in wider}
    return _Asked(
        tuple(one for one in alike if one.checks or any(inner.checks for inner in one.wider)),
        tuple((quick, checks) for quick, checks in surely if checks),
        those(names - frozenset[str]().union(*spared)),
    )


def conceded(finding: Finding, concessions: Iterable[Concession]) -> Finding:
    """The finding with the number of the concession that answers it, if one does."""
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
