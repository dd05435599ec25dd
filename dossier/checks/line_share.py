"""Was the share of the butt joints of a line examined in full that the line asks for?

The field `examination_percent` of a line names the share. Joints that were cut out stay among
those made; a part of a joint counts as a joint.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import ceil

from dossier.coverage.evidence import at
from dossier.coverage.facts import Groups, Records, Told, by_key, shared
from dossier.coverage.joint_file import JointFile, joint_file
from dossier.coverage.shares import examined_whole, lies_open
from dossier.coverage.view import View, project_basis
from dossier.records.base import NOWHERE
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Finding, Range

NAME = "line-share"


def check(seen: View) -> Iterator[Finding]:
    """One finding per line whose share is short.

    A hold while the joints that lie open can still make it up, a nonconformity afterwards.
    """
    facts = list(_gather(seen, seen.project)) if asked(seen) else []
    while facts:
        results = list(conclude(seen, by_key(facts)))
        yield from (result for result in results if isinstance(result, Finding))
        facts = [result for result in results if not isinstance(result, Finding)]


def asked(seen: View) -> bool:
    """Whether any line asks for a share."""
    return any(line.examination_percent is not None for line in seen.project.lines)


def _gather(seen: View, records: Records) -> Iterator[Told]:
    """Each butt joint of such a line by its day: one made, examined or not, open or not."""
    for file in _files(seen, records):
        joint, line = file.joint, file.line
        if line is None or line.examination_percent is None or joint.weld_type != "butt":
            continue
        if joint.status in ("welded", "cut out") and joint.welded_on is not None:
            done = examined_whole(file)
            owed = not done and lies_open(file)
            yield (line.id, str(joint.welded_on)), joint.origin, (1, int(done), int(owed))


FACTS = {NAME: _gather}


def _files(seen: View, records: Records) -> Iterable[JointFile]:
    if isinstance(records, JointFile):
        return (records,)
    return (joint_file(seen, joint) for joint in records.joints)


def conclude(seen: View, groups: Groups) -> Iterator[Finding | Told]:
    """The sums of each day, and from these the finding on a line."""
    for key, own in shared(groups):
        made, done, owed = (
            sum(value for fact in own if isinstance(value := fact.values[nth], int))
            for nth in range(3)
        )
        if len(key) > 1:
            yield key[:1], NOWHERE, (made, done, owed)
        else:
            yield from _short(seen, str(key[0]), made, done, owed)


def _short(seen: View, name: str, made: int, done: int, owed: int) -> Iterator[Finding]:
    line = seen.known.lines[name]
    percent = line.examination_percent or 0.0
    least = ceil(round(made * percent / 100, 9))
    basis = project_basis(seen, f"share of joints examined, line {name}")
    worse = HOLD if done + owed >= least else NONCONFORMITY
    reason = Range(least, float("inf"), basis, "joints").judge("joints examined", done, worse)
    if reason.verdict != CLEAR:
        yield Finding(
            NAME,
            reason.verdict,
            (("line", name),),
            f"Of {made} butt joints of line {name}, {done} were examined in full; "
            f"{percent:g} % of them are {least}.",
            (reason,),
            at(line, "examination_percent"),
            "Examine more of the joints that still lie open, or show the reports that are missing.",
        )
