"""What if: the project with certificates and procedure tests that nobody has welded yet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from dossier.errors import InputError
from dossier.records.base import Record
from dossier.records.procedures import Pqr
from dossier.records.project import Project
from dossier.records.welders import Welder


def with_records(project: Project, records: Iterable[Record], day: date) -> Project:
    """The project with further welders, certificates and procedure tests, known on `day`.

    A welder whose stamp is held that day gains the certificates; any other is a new welder. A
    procedure test counts for the sheets of its code that name it, and for the sheet in its own
    field `wps`. Certificates dated after `day` count from `day` on, so that a plan may be tried
    with tests of next week. Raises InputError: a record that is neither.
    """
    tried = project
    for record in records:
        if isinstance(record, Welder):
            tried = _with_welder(tried, record, day)
        elif isinstance(record, Pqr):
            tried = _with_test(tried, record, day)
        else:
            raise InputError("what-if record", found=type(record).__name__,
                             expected="welders with certificates, or procedure tests")  # fmt: skip
    return tried


def _with_welder(project: Project, extra: Welder, day: date) -> Project:
    gained = tuple(replace(c, welded_on=min(c.welded_on, day)) for c in extra.certificates)
    welders = list(project.welders)
    for place, welder in enumerate(welders):
        here = (welder.since is None or welder.since <= day) and (
            welder.until is None or day <= welder.until
        )
        if welder.stamp == extra.stamp and here:
            held = [c for c in welder.certificates if c.number not in {g.number for g in gained}]
            welders[place] = replace(welder, certificates=(*held, *gained))
            return replace(project, welders=tuple(welders))
    new = replace(extra, certificates=gained)
    return replace(project, welders=(*welders, new))


def _with_test(project: Project, extra: Pqr, day: date) -> Project:
    pqr = replace(extra, welded_on=min(extra.welded_on, day))
    others = tuple(one for one in project.pqrs if one.number != pqr.number)
    sheets = tuple(
        replace(wps, pqrs=(*wps.pqrs, pqr.number))
        if wps.number == pqr.wps and pqr.number not in wps.pqrs
        else wps
        for wps in project.procedures
    )
    return replace(project, pqrs=(*others, pqr), procedures=sheets)
