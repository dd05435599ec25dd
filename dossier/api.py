"""The Python interface: load a project, check it, issue its documents, build the dossier.

The commands call these functions too. Nothing here prints, asks or ends the program; what is wrong
is raised as an error of `dossier.errors`. Readers and renderers are imported when a function needs
them, so that importing this costs nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Final

from dossier.errors import InputError

if TYPE_CHECKING:
    from dossier.coverage.questions.face import Answer, Question
    from dossier.coverage.view import View
    from dossier.documents.clearance import Clearance
    from dossier.documents.issue import Progress
    from dossier.handover.build import How
    from dossier.records.verdicts import Finding

DOCUMENTS: Final = ("sheets", "matrix", "registers", "forms", "figures", "page", "history")
"""What `render` issues: the first five as files into a folder, the last two as one file."""


@dataclass(frozen=True, slots=True)
class Loaded:
    """A project as read from its folder, seen as known at the end of one day."""

    folder: Path
    seen: View

    @property
    def as_of(self) -> date:
        """The day: the one asked for, else the project's cut-off, else its last record."""
        return self.seen.as_of

    @property
    def readings(self) -> tuple[str, ...]:
        """How the tables were read (encoding, decimal mark ...), a sentence each, to be shown."""
        return tuple(self.seen.project.readings)

    @property
    def joints(self) -> tuple[str, ...]:
        """The numbers of all joints on record, planned ones too, in the order of the records."""
        return tuple(joint.number for joint in self.seen.project.joints)

    @property
    def own_templates(self) -> Path | None:
        """The project's own templates, which go before those of the tool; None without any."""
        own = self.folder / "templates"
        return own if own.is_dir() else None


def load(folder: Path | str, as_of: date | None = None) -> Loaded:
    """Read the project in `folder`, with `project.yaml` in it, as known at the end of `as_of`.

    Left out, the day is the project's cut-off, else the day of its last record.
    Raises ProjectError, with every fault of every file, if it cannot be read.

    >>> project = load("sample_project", as_of=date(2026, 5, 31))
    >>> project.as_of.isoformat(), "ML-101" in project.joints
    ('2026-05-31', True)
    """
    from dossier.coverage.view import view
    from dossier.intake import load_project

    place = Path(folder)
    return Loaded(place, view(load_project(place), as_of))


def check(project: Loaded, only: Iterable[str] = ()) -> list[Finding]:
    """What the checks named find (all of them by default), severest first.

    A finding that a signed concession answers carries the concession's number and stays in the
    list. Raises InputError: a name that is not among `dossier.checks.ALL`.

    >>> found = check(load("sample_project"), only=["pass-interval"])
    >>> sorted({finding.check for finding in found}), str(found[0].verdict)
    (['pass-interval'], 'nonconformity')
    """
    from dossier import checks

    names = list(only)
    if unknown := [name for name in names if name not in checks.ALL]:
        expected = ", ".join(checks.ALL)
        raise InputError("check", found=", ".join(unknown), expected=expected)
    return checks.run(project.seen, names)


def render(
    project: Loaded,
    findings: Sequence[Finding],
    document: str,
    out: Path | str,
    joint: str = "",
    progress: Progress | None = None,
) -> list[Path]:
    """Issue one of `DOCUMENTS`; returns the files written.

    "sheets" (procedure sheets and test records), "matrix" (welder qualification matrix),
    "registers", "forms" and "figures" go into the folder `out`; "page" (the review page) and
    "history" (everything on `joint`, as PDF) are the file `out`. `findings` are those of `check`.
    `progress(stage, done, total)` is called after each piece of work of the sheets.
    Raises InputError: another document, an unknown joint, a text that cannot be printed.

    >>> import tempfile
    >>> project = load("sample_project")
    >>> with tempfile.TemporaryDirectory() as out:
    ...     [path.name for path in render(project, [], "page", f"{out}/review.html")]
    ['review.html']
    """
    from dossier.documents import issue
    from dossier.documents.joint_history import joint_history_pdf

    seen, own, place = project.seen, project.own_templates, Path(out)
    if document == "sheets":
        return issue.procedure_sheets(seen, findings, place, progress or issue.quiet, own)
    if document == "matrix":
        return issue.welder_matrix_files(seen, findings, place, own)
    if document == "registers":
        return issue.register_files(seen, findings, place)
    if document == "forms":
        return issue.form_files(seen, findings, place, own)
    if document == "figures":
        from dossier.documents.figures import figure_files

        return figure_files(seen, place)
    if document == "history":
        known_joint(project, joint)
        joint_history_pdf(seen, findings, joint, place, own)
        return [place]
    if document == "page":
        return [_page(project, findings, place)]
    raise InputError("document", found=document, expected=f"one of {', '.join(DOCUMENTS)}")


def _page(project: Loaded, findings: Sequence[Finding], out: Path) -> Path:
    from dossier.documents.files import write_whole
    from dossier.review import page
    from dossier.review.evidence import evidence_paths, links_from

    links = links_from(out.parent, evidence_paths(project.seen, project.folder))
    return write_whole(out, page(project.seen, findings, links))


def build(
    project: Loaded,
    findings: Sequence[Finding],
    out: Path | str,
    how: How | None = None,
    progress: Progress | None = None,
) -> list[Path]:
    """Build the handover dossier into the folder `out`; returns the files written.

    `findings` are those of all checks; the dossier is a draft while one of hold or worse is open.
    `how` (`dossier.handover.How`) sets processes, store, size of files and whether drafts are
    wanted. Raises InputError: a text that cannot be printed; DraftError: it would be a draft, and
    `how` wants none; SignedError: a signed dossier lies there. What was there before stays until
    the new dossier is whole.

    >>> import tempfile
    >>> from dossier.handover import How
    >>> project = load("sample_project")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     build(project, check(project, ["film-numbers"]), f"{folder}/out", How(drafts=False))
    Traceback (most recent call last):
    dossier.handover.build.DraftError: ...
    """
    from dossier import handover
    from dossier.documents.issue import quiet

    place = Path(out)
    return handover.build(project.seen, findings, project.folder, place, progress or quiet, how)


def ready(project: Loaded, findings: Sequence[Finding], stage: str) -> Clearance:
    """Which joints may go on to `stage`, which are held up by what, and the cures by effect.

    `stage` is "coating", "lowering", "pressure-test" or "handover"; `findings` are those of all
    checks. A list to work from: the release is for those who sign for it. Raises InputError:
    another stage.

    >>> project = load("sample_project")
    >>> len(ready(project, check(project, ["film-numbers"]), "lowering").held) > 0
    True
    """
    from dossier.documents.clearance import STAGES, clearance

    if stage not in STAGES:
        raise InputError("stage", found=stage, expected=f"one of {', '.join(STAGES)}")
    return clearance(project.seen, findings, stage)


def ask(project: Loaded, question: str, given: Mapping[str, str] | None = None) -> Answer:
    """The answer to one of the auditor's questions (`dossier.coverage.questions.QUESTIONS`).

    `given` are its parameters as text. Only the checks that the question reads are run.
    Raises InputError: no such question, a parameter missing or not on record.

    >>> answer = ask(load("sample_project"), "who-welded", {"joint": "ML-101"})
    >>> len(answer.rows) > 0
    True
    """
    from dossier.coverage.questions import ask as answered
    from dossier.coverage.questions import question_named

    named, values = question_named(question), dict(given or {})
    return answered(project.seen, _read_by(named, project, values), named, values)


def _read_by(question: Question, project: Loaded, given: Mapping[str, str]) -> Sequence[Finding]:
    """The findings that the question reads; most read none, and then no check runs."""
    from dossier import checks
    from dossier.checks.one_joint import findings_on
    from dossier.coverage.questions.face import ALL_CHECKS

    if not question.checks:
        return []
    if "joint" in question.needs and given.get("joint") in project.seen.known.joints:
        return findings_on(project.seen, given["joint"])
    return checks.run(project.seen, () if ALL_CHECKS in question.checks else question.checks)


def known_joint(project: Loaded, number: str) -> None:
    """Raise InputError with the nearest numbers when no such joint is known."""
    joints = project.seen.known.joints
    if number not in joints:
        from difflib import get_close_matches

        near = get_close_matches(number, joints, n=3)
        expected = f"a joint of the log; did you mean {' or '.join(near)}?" if near else "a joint"
        raise InputError("joint", found=number, expected=expected)
