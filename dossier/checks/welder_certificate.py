"""Was every pass made by a known welder with a certificate for that process?"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.coverage.evidence import at
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, project_basis
from dossier.coverage.welders import held_for, holder
from dossier.coverage.work import Work, work_of
from dossier.records.verdicts import HOLD, NONCONFORMITY, Basis, Evidence, Finding, Reason

NAME = "welder-certificate"


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per joint and welder who is unknown that day or holds no such certificate."""
    told: dict[str, Finding] = {}  # the severest of each stamp
    for work in work_of(seen, file):
        finding = _finding(seen, work)
        before = told.get(work.welder)
        if finding is not None and (before is None or finding.verdict > before.verdict):
            told[work.welder] = finding
    yield from told.values()


def _finding(seen: View, work: Work) -> Finding | None:
    if work.welder not in seen.known.welders:
        return _unknown(seen, work)
    if holder(seen, work) is None:
        return _unheld(seen, work)
    if work.joint.line in seen.known.lines and not held_for(seen, work):
        return _without(seen, work)
    return None


def _unknown(seen: View, work: Work) -> Finding:
    basis = project_basis(seen, "welder register")
    return Finding(
        NAME,
        HOLD,
        _subject(work),
        f"Stamp {work.welder} on joint {work.joint.number} is not in the welder register.",
        (Reason("stamp", work.welder, "a stamp of the register", basis, HOLD),),
        _proof(work),
        "Correct the stamp in the log, or enter the welder with the certificate.",
    )


def _unheld(seen: View, work: Work) -> Finding:
    known = seen.known.welders[work.welder]
    times = "; ".join(f"{w.name}: {w.since or 'start'} to {w.until or 'now'}" for w in known)
    day = work.days[0] if work.days else seen.as_of
    basis = project_basis(seen, "welder register")
    return Finding(
        NAME,
        HOLD,
        _subject(work),
        f"Stamp {work.welder} welded joint {work.joint.number} on {day}, when nobody held it.",
        (Reason("day of welding", str(day), times, basis, HOLD),),
        (*_proof(work), *(proof for welder in known for proof in at(welder))),
        "Establish from the daily record who welded the joint.",
    )


def _without(seen: View, work: Work) -> Finding:
    welder = holder(seen, work)
    held = welder.certificates if welder else ()
    listed = ", ".join(f"{c.number} ({c.processes}, {c.code})" for c in held) or "none"
    code = seen.known.lines[work.joint.line].welder_code
    standard, _, edition = code.partition(":")
    basis = Basis(standard, edition, "qualification test before production welding")
    wanted = f"a test for process {work.weld.process} under {basis.title}"
    return Finding(
        NAME,
        NONCONFORMITY,
        _subject(work),
        f"{work.welder} welded joint {work.joint.number} with process {work.weld.process} and "
        f"held no certificate for it under {basis.title} that day.",
        (Reason("certificates held", listed, wanted, basis, NONCONFORMITY),),
        (*_proof(work), *(proof for c in held for proof in at(c))),
        "Show a certificate of that day, or have the weld dispositioned by the welding engineer.",
    )


def _subject(work: Work) -> tuple[tuple[str, str], ...]:
    return (("joint", work.joint.number), ("welder", work.welder))


def _proof(work: Work) -> tuple[Evidence, ...]:
    return tuple(Evidence(origin) for origin in work.origins)
