"""Front matter of a dossier: cover, register of contents, title pages of the volumes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypedDict

from dossier.coverage.view import View
from dossier.documents.sheet import Fact, Head, fact, head


class Entry(TypedDict):
    """A line of the register: depth (1 volume, 2 section, 3 document) and its first page."""

    level: int
    number: str
    title: str
    revision: str
    sheets: str
    page: str


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


def cover(seen: View, number: str, draft: str) -> Cover:
    """Plain data of the cover. `draft` says why the dossier is a draft; "" when it is none."""
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
