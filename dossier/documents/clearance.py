"""Which joints may go on to the next stage, and what cure would let the most others go on.

A joint may go on when every earlier stage is done and no open finding of hold or worse speaks of
it. This is a list to work from; the release itself is for those who sign for it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from dossier.coverage.acceptance import accepted, needed
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.view import View
from dossier.documents.findings import by_joint, evidence, open_points, subject
from dossier.errors import InputError
from dossier.records.verdicts import Finding, Verdict

STAGES = ("coating", "lowering", "pressure-test", "handover")
# Subjects that many joints share: one paper or one decision about them cures all.
_SHARED = {"batch", "certificate", "document", "examiner", "heat", "instrument", "item", "line",
           "procedure", "revision", "welder", "film",
           "pressure test"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Cure:
    """One thing to do, the joints that it helps, and those that it frees by itself."""

    about: str  # "batch C-60-09", "joint ML-023"
    told: str
    cure: str
    verdict: str  # the worst of what it answers; "" for a stage that is not done yet
    joints: tuple[str, ...]
    frees: tuple[str, ...]
    evidence: str


@dataclass(frozen=True, slots=True)
class Clearance:
    """The list for one stage: free to go, done already, held up, and the cures by effect."""

    stage: str
    as_of: str
    free: tuple[str, ...]
    done: tuple[str, ...]
    held: tuple[tuple[str, tuple[str, ...]], ...]  # joint, what holds it up
    cures: tuple[Cure, ...]
    whole: tuple[Cure, ...]  # findings about no joint, for the handover


@dataclass(frozen=True, slots=True)
class _Block:
    key: tuple[str, str]
    about: str
    told: str
    cure: str
    verdict: Verdict | None
    evidence: str


def clearance(seen: View, findings: Sequence[Finding], stage: str) -> Clearance:
    """The clearance list of a stage. Raises InputError: a stage of another name."""
    if stage not in STAGES:
        raise InputError("stage", found=stage, expected=" or ".join(STAGES))
    found = by_joint(open_points(findings))
    free, done = [], []
    held: dict[str, list[_Block]] = {}
    shared = [f for f in open_points(findings) if not f.about("joint")]
    for joint in seen.project.joints:
        if joint.status not in ("planned", "welded") or joint.number in held:
            continue
        file = joint_file(seen, joint)
        blocks = list(_blocks(seen, file, found.get(joint.number, ()), stage))
        blocks += [_of(f) for f in shared if _touches(seen, f, file)]
        if _done(seen, file, stage):
            done.append(joint.number)
        elif blocks:
            held[joint.number] = blocks
        else:
            free.append(joint.number)
    listed = tuple((n, tuple(dict.fromkeys(b.told for b in held[n]))) for n in held)
    rest = [_of(f) for f in shared if stage == "handover" and not _about_joints(f)]
    whole = _cures({"": rest}, named=False)
    return Clearance(
        stage, seen.as_of.isoformat(), tuple(free), tuple(done), listed,
        tuple(_cures(held)), tuple(whole),
    )  # fmt: skip


_BEARING = ("procedure", "welder", "batch", "item", "pressure test")


def _about_joints(finding: Finding) -> bool:
    return any(finding.about(kind) for kind in _BEARING)


def _touches(seen: View, finding: Finding, file: JointFile) -> bool:
    """Whether a finding on a procedure, welder, batch, item or test bears on the joint."""
    wps, revision = finding.about("procedure"), finding.about("revision")
    if wps:
        return wps == file.joint.wps and revision in ("", file.joint.wps_revision)
    names = {
        "welder": {made.welder for made in file.passes},
        "batch": {made.batch for made in file.passes},
        "item": {number for number, _ in file.members},
        "pressure test": {t.number for t in seen.known.tests_of(file.joint)},
    }
    return any(finding.about(kind) in own for kind, own in names.items() if finding.about(kind))


def _done(seen: View, file: JointFile, stage: str) -> bool:
    """Whether the stage itself is already behind the joint; a handover never is."""
    if stage == "coating":
        return any(c.coated_at for c in file.coatings)
    if stage == "lowering":
        return any(row.lowered_at for row in file.lowerings)
    if stage == "pressure-test":
        return any(t.result for t in seen.known.tests_of(file.joint))
    return False


def _blocks(seen: View, file: JointFile, found: Sequence[Finding], stage: str) -> Iterator[_Block]:
    yield from (_of(finding) for finding in found)
    if file.joint.status == "planned":
        yield _undone(file, "welding", "not welded yet", "Weld it.")
        return
    checked = {finding.check for finding in found}
    for need in needed(seen, file):
        if accepted(file, need) is None and not checked & {
            "examination-complete", "visual-examination"
        }:  # fmt: skip
            told = f"no accepted examination by {need.title}"
            yield _undone(file, need.title, told, f"Examine it by {need.title}.")
    yield from _stages_before(seen, file, stage)


def _stages_before(seen: View, file: JointFile, stage: str) -> Iterator[_Block]:
    place = STAGES.index(stage)
    coated = [c for c in file.coatings if c.coated_at]
    if place > STAGES.index("coating") and seen.project.coatings:
        if not coated:
            yield _undone(file, "coating", "not coated", "Coat it.")
        elif not any(c.holiday_tested_at for c in coated):
            yield _undone(file, "holiday test", "no holiday test", "Test the coating.")
    if place > STAGES.index("lowering") and seen.project.lowerings:
        if not any(row.lowered_at for row in file.lowerings):
            yield _undone(file, "lowering", "not lowered", "Lower it in.")
        elif not any(row.backfilled_at for row in file.lowerings):
            yield _undone(file, "backfill", "not backfilled", "Backfill it.")
    passed = any(t.result == "accepted" for t in seen.known.tests_of(file.joint))
    if place > STAGES.index("pressure-test") and seen.project.pressure_tests and not passed:
        line = f"line {file.joint.line}"
        yield _Block(
            ("pressure test", line), line, "joints in no accepted pressure test",
            "Test the section, or show the record of its test.", None, str(file.joint.origin),
        )  # fmt: skip


def _undone(file: JointFile, what: str, told: str, cure: str) -> _Block:
    """What is still to be done on one joint; it is no finding, since nothing is wrong yet."""
    number = file.number
    return _Block(
        (what, number), f"joint {number}", f"{number}: {told}", cure, None, str(file.joint.origin)
    )


def _of(finding: Finding) -> _Block:
    """A finding as what holds a joint up; findings on one shared thing are one block."""
    others = [(kind, name) for kind, name in finding.subject if kind != "joint"]
    shared = [(kind, name) for kind, name in others if kind in _SHARED and name]
    alone = not shared or len(shared) != len(others)
    about = subject(finding) if alone else ", ".join(f"{kind} {name}" for kind, name in shared)
    key = (finding.check, finding.id if alone else about)
    return _Block(
        key, about or "the project", finding.sentence, finding.cure, finding.verdict,
        evidence(finding),
    )  # fmt: skip


def _cures(held: Mapping[str, Sequence[_Block]], *, named: bool = True) -> list[Cure]:
    """Each cure once, those first that free most joints, then those that help most.

    `named` is off where the blocks belong to no joint.
    """
    helps: dict[tuple[str, str], list[str]] = defaultdict(list)
    blocks: dict[tuple[str, str], list[_Block]] = defaultdict(list)
    for number, own in held.items():
        for block in own:
            blocks[block.key].append(block)
            if number not in helps[block.key]:
                helps[block.key].append(number)
    alone = {number: own[0].key for number, own in held.items() if len({b.key for b in own}) == 1}
    cures = []
    for key, joints in helps.items():
        block = max(blocks[key], key=lambda b: b.verdict or 0)
        frees = tuple(number for number in joints if alone.get(number) == key)
        verdict = "" if block.verdict is None else str(block.verdict)
        mine, freed = (tuple(joints), frees) if named else ((), ())
        cures.append(
            Cure(block.about, block.told, block.cure, verdict, mine, freed, block.evidence)
        )
    return sorted(cures, key=lambda c: (-len(c.frees), -len(c.joints), c.about, c.told))


def clearance_as_data(made: Clearance) -> dict[str, Any]:
    """Plain data of a clearance list."""
    return {
        "stage": made.stage,
        "as_of": made.as_of,
        "free": list(made.free),
        "done": list(made.done),
        "held": [{"joint": number, "why": list(why)} for number, why in made.held],
        "cures": [_cure_as_data(cure) for cure in made.cures],
        "whole": [_cure_as_data(cure) for cure in made.whole],
    }


def _cure_as_data(cure: Cure) -> dict[str, Any]:
    return {
        "about": cure.about,
        "told": cure.told,
        "cure": cure.cure,
        "verdict": cure.verdict or None,
        "joints": list(cure.joints),
        "frees": list(cure.frees),
        "evidence": cure.evidence,
    }
