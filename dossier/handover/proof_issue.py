"""Proof of issue.json: what it says of the project is reckoned again from the records.

Pages of the documents are proved against the dossier itself (`proof_dossier`).
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from dossier import __version__
from dossier.coverage.view import View
from dossier.handover.completeness import completeness
from dossier.handover.issue_data import NAME, issue_data
from dossier.handover.proof import Step, Trouble, step
from dossier.handover.volumes import Volume
from dossier.records.verdicts import Finding

Data = Mapping[str, Any]
_OF_PAGES = {"files", "documents"}
_ROWS = {"joints": ("number",), "completeness": ("volume", "section", "record")}


def prove_issue(
    seen: View, findings: Sequence[Finding], volumes: Sequence[Volume], issue: Data
) -> Step:
    """Compare everything but the pages with what the records give."""
    lacking = [(one["number"], one["lacking"]) for one in issue["documents"] if one["lacking"]]
    held = completeness(seen.project, volumes, lacking)
    made = json.loads(json.dumps(issue_data(seen, findings, (), held)))
    told = f"{made['state']}, {made['open_points']} open, {made['gaps']} lacking: reckoned again"
    if issue["tool"] != __version__:
        told += f" (built with version {issue['tool']}, reckoned with {__version__})"
    troubles = [*_differing({**issue, "tool": __version__}, made), *_files(issue["files"])]
    return step("issue", told, troubles)


def _differing(issue: Data, made: Data) -> Iterator[Trouble]:
    for key in sorted({*issue, *made} - _OF_PAGES):
        if key not in made:
            yield Trouble(f"{NAME}, {key}", "nothing that an issue says")
        elif key not in issue:
            yield Trouble(f"{NAME}, {key}", "missing")
        elif _text(issue[key]) != _text(made[key]):
            if key in _ROWS:
                yield from _rows(key, issue[key], made[key])
            else:
                yield Trouble(f"{NAME}, {key}", _unlike(issue[key], made[key]))


def _rows(key: str, issue: Sequence[Data], made: Sequence[Data]) -> Iterator[Trouble]:
    before, after = ({_name(key, row): row for row in rows} for rows in (issue, made))
    if before == after:
        yield Trouble(f"{NAME}, {key}", "in another order, or one of them twice")
    for name in {**after, **before}:
        where = f"{NAME}, {key}, {name}"
        if name not in before:
            yield Trouble(where, "missing")
        elif name not in after:
            yield Trouble(where, "not in the records")
        else:
            one, other = before[name], after[name]
            for field in sorted({*one, *other}):
                if _text(one.get(field)) != _text(other.get(field)):
                    yield Trouble(f"{where}, {field}", _unlike(one.get(field), other.get(field)))


def _name(key: str, row: Data) -> str:
    return ", ".join(str(row[field]) for field in _ROWS[key])


def _text(value: object) -> str:
    return json.dumps(value, sort_keys=True)


def _unlike(said: object, given: object) -> str:
    return f"says {_text(said)}, the records give {_text(given)}"


def _files(files: Sequence[Data]) -> Iterator[Trouble]:
    """Names and first pages of the files of a dossier follow from how many there are."""
    first = 1
    for index, file in enumerate(files, start=1):
        name = f"dossier_{index}_of_{len(files)}.pdf" if len(files) > 1 else "dossier.pdf"
        if (file["name"], file["first"]) != (name, first):
            told = f"{file['name']} from page {file['first']}, where {name} begins on page {first}"
            yield Trouble(f"{NAME}, files", told)
        first += file["pages"]
