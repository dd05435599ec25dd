"""Front matter of a dossier: cover, register of contents, title pages of the volumes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TypedDict

from dossier.coverage.view import View
from dossier.documents.registers import Register
from dossier.documents.sheet import Fact, Head, Table, columns, day, fact, head, row, table
from dossier.records.project import Revision


class Entry(TypedDict):
    """A line of the register: depth (1 volume, 2 section, 3 document) and its first page."""

    level: int
    number: str
    title: str
    revision: str
    sheets: str
    page: str
    link: str  # address of the part it leads to, "" for none


class Cover(TypedDict):
    """All data of the cover and of a volume's title page."""

    head: Head
    lead: str
    draft: str
    facts: list[Fact]
    contents: list[Entry]


class Contents(TypedDict):
    """All data of the register of contents."""

    head: Head
    entries: list[Entry]
    note: str


class Lacking(TypedDict):
    """One record that a section must hold, as the completeness sheet prints it."""

    volume: str
    section: str
    record: str
    state: str  # "present", "missing", "not required", "n/a"
    told: str
    asked_by: str


class Completeness(TypedDict):
    """All data of the completeness sheet: the gaps first, then the whole matrix."""

    head: Head
    summary: list[Fact]
    gaps: Table
    matrix: Table


_STATE_MARKS = {"missing": "nonconformity", "present": "good"}


def completeness_sheet(seen: View, number: str, held: Sequence[Lacking]) -> Completeness:
    """Plain data of the completeness sheet."""
    tally = Counter(one["state"] for one in held)
    heads = columns(("Section", 17), ("Record", 27), ("State", 8), ("What there is", 14),
                    ("Asked by", 34))  # fmt: skip
    rows = [
        (one, row([one["section"], one["record"], one["state"], one["told"], one["asked_by"]],
                  ["", "", _STATE_MARKS.get(one["state"], "soft"), "", ""]))
        for one in held
    ]  # fmt: skip
    return Completeness(
        head=head(seen, number=number, title="Completeness of this dossier"),
        summary=[fact(state.capitalize(), str(tally[state])) for state in
                 ("present", "missing", "not required", "n/a")],
        gaps=table("Gaps", heads, [r for one, r in rows if one["state"] == "missing"],
                   "Records that this dossier must hold and does not."),
        matrix=table("Records by section", heads, [r for _, r in rows]),
    )  # fmt: skip


def revision_history(seen: View, number: str) -> Register:
    """Plain data of the revision history: every issue that the project names, this one last."""
    settings = seen.project.settings
    named = list(settings.revisions)
    if settings.revision not in {one.revision for one in named}:
        named.append(Revision(revision=settings.revision))
    heads = columns(("Revision", 10), ("Issued", 14), ("Purpose", 28), ("Prepared", 16),
                    ("Checked", 16), ("Approved", 16))  # fmt: skip
    rows = [
        row([one.revision, day(one.issued_on), one.purpose, one.prepared, one.checked,
             one.approved])
        for one in named
    ]  # fmt: skip
    return Register(
        head=head(seen, number=number, title="Revision history"),
        strips=[],
        rows=table("", heads, rows),
        note=f"This issue is revision {settings.revision}.",
    )


class Change(TypedDict):
    """One difference between two issues."""

    kind: str  # "joint", "finding", "document", ...
    name: str
    what: str  # "new", "gone", "changed"
    before: str
    now: str


def change_sheet(seen: View, number: str, since: str, changes: Sequence[Change]) -> Register:
    """Plain data of the change sheet; `since` names the earlier issue."""
    heads = columns(("What", 10), ("Name", 22), ("Change", 10), ("Before", 29), ("Now", 29))
    rows = [row([c["kind"], c["name"], c["what"], c["before"], c["now"]]) for c in changes]
    return Register(
        head=head(seen, number=number, title="Changes since the last issue"),
        strips=[],
        rows=table("", heads, rows),
        note=f"Compared with {since}: {len(changes)} changes.",
    )


def cover(seen: View, number: str, draft: str, part: str = "") -> Cover:
    """Plain data of the cover. `draft` says why the dossier is a draft; "" when it is none.

    `part` says which file of several it is.
    """
    settings = seen.project.settings
    return Cover(
        head=head(seen, number=number, title="Welding quality dossier",
                  status="draft" if draft else "issued"),
        lead=settings.title,
        draft=draft,
        facts=[
            fact("Project", settings.number),
            fact("Contract", settings.contract),
            fact("Location", settings.location),
            fact("Client", settings.client),
            fact("Contractor", settings.contractor),
            fact("Document", number),
            fact("Revision", settings.revision),
            *([fact("File", part)] if part else []),
            fact("Records to", seen.as_of.isoformat()),
        ],
        contents=[],
    )  # fmt: skip


def volume_title(seen: View, number: str, title: str, entries: Sequence[Entry]) -> Cover:
    """Plain data of a volume's title page with the sections that it holds."""
    settings = seen.project.settings
    return Cover(
        head=head(seen, number=number, title=title),
        lead=f"{settings.number} · {settings.title}",
        draft="",
        facts=[],
        contents=list(entries),
    )


def contents(seen: View, number: str, entries: Sequence[Entry], draft: str) -> Contents:
    """Plain data of the register of contents; `draft` as for the cover."""
    status = "draft" if draft else "issued"
    return Contents(
        head=head(seen, number=number, title="Register of contents", status=status),
        entries=list(entries),
        note="Page: number printed at the foot of every page, counted through all volumes.",
    )
