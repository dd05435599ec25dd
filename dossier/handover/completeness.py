"""Which section holds which record that it must hold: the matrix, and the gaps."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from dossier.handover.conditions import CONDITIONS
from dossier.handover.volumes import REST, Needed, Volume
from dossier.records.project import Project

PRESENT, MISSING, NOT_REQUIRED, NOT_APPLICABLE = "present", "missing", "not required", "n/a"


@dataclass(frozen=True, slots=True)
class Held:
    """One record of one section: whether it is there, what there is, and who asks for it."""

    volume: str
    section: str
    record: str
    state: str
    told: str
    asked_by: str

    @property
    def gap(self) -> bool:
        """Whether the dossier lacks it."""
        return self.state == MISSING


def completeness(
    project: Project, volumes: Sequence[Volume], unreadable: Iterable[tuple[str, str]]
) -> list[Held]:
    """Every record that a section must hold, then every paper on the register that cannot be bound.

    `unreadable` are (number, why) of such papers. A paper that no section gathers is not there.
    """
    lacking = dict(unreadable)
    gathered = {
        kind for volume in volumes for section in volume.sections for kind in section.papers
    }
    papers = Counter(d.kind for d in project.documents if d.number not in lacking)
    loose = Counter({k: n for k, n in papers.items() if not gathered & {k, REST}})
    held = [
        _held(project, (volume.title, section.title), needed, (papers - loose, loose))
        for volume in volumes
        for section in volume.sections
        for needed in section.needed
    ]
    for document in project.documents:
        if document.number in lacking:
            where = _section_of(document.kind, volumes)
            record = f"{document.number} {document.title}"
            told = lacking[document.number]
            held.append(Held(*where, record, MISSING, told, "register of documents"))
    return held


def gaps(held: Iterable[Held]) -> list[Held]:
    """What the dossier lacks."""
    return [one for one in held if one.gap]


def _held(
    project: Project,
    where: tuple[str, str],
    needed: Needed,
    papers: tuple[Counter[str], Counter[str]],
) -> Held:
    asked = "; ".join(str(basis) for basis in needed.asked_by) or "common practice"
    if needed.not_applicable:
        return Held(*where, needed.record, NOT_APPLICABLE, needed.not_applicable, asked)
    records = sum(len(getattr(project, name)) for name in needed.registers)
    filed, loose = (sum(some[kind] for kind in needed.papers) for some in papers)
    told = [f"{records} on record"] if needed.registers else []
    told += [f"{filed} filed"] if needed.papers else []
    told += [f"{loose} that no section gathers"] if loose else []
    there = (records or not needed.registers) and (filed or not needed.papers)
    absent = MISSING if CONDITIONS[needed.when](project) else NOT_REQUIRED
    state = PRESENT if there else absent
    return Held(*where, needed.record, state, ", ".join(told), asked)


def _section_of(kind: str, volumes: Sequence[Volume]) -> tuple[str, str]:
    rest = ("", "")
    for volume in volumes:
        for section in volume.sections:
            if kind in section.papers:
                return volume.title, section.title
            if REST in section.papers:
                rest = volume.title, section.title
    return rest
