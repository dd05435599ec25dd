"""One HTML file that holds the project: data, style and script inside, nothing fetched.

The content policy names style and script by their digests, so that no text of a record can ever
run. The data lie in blocks that the page opens when they are needed.
"""

from __future__ import annotations

import base64
import hashlib
import html
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote

from dossier import __version__
from dossier.coverage.audit_sample import METHOD
from dossier.coverage.stages import STAGES
from dossier.coverage.view import View
from dossier.documents import figures
from dossier.documents.findings import by_joint, open_points
from dossier.records.joints import Line
from dossier.records.verdicts import Finding, Verdict, code_title
from dossier.resources import shared
from dossier.review.found import finding_columns
from dossier.review.histories import JOINTS_A_BLOCK, Printed, history_blocks, not_printed
from dossier.review.joints import joint_columns, needles
from dossier.review.pack import block, plain_table
from dossier.review.people import people
from dossier.review.things import things

# Where an evidence document can be opened: a file relative to the page, and the page in that file
# on which the document begins.
Link = tuple[str, int]
Links = Mapping[str, Link]
Blocks = Sequence[tuple[str, str]]  # names of blocks of data, and their packed texts

SCRIPTS: Final = (
    "base.js", "data.js", "digest.js", "table.js", "cells.js", "draw.js", "strip.js",
    "view_start.js", "view_joints.js", "view_joint.js", "view_welders.js", "view_coverage.js",
    "view_strip.js", "view_figures.js", "view_findings.js", "view_sample.js", "view_things.js",
    "main.js",
)  # fmt: skip
_FILLED: Final = re.compile(r"\{(policy|title|live|style|script|core|data)\}")


def page(
    seen: View,
    findings: Sequence[Finding],
    links: Links | None = None,
    *,
    live: str = "",
    blocks: Blocks | None = None,
) -> bytes:
    """The review page of a project as known on the day of the view; equal for equal records.

    `links` tell by its register number where a document can be opened; one without a link is
    named, not linked. `live` is the mark of this state where a server watches the records: the
    page then asks that server, and nobody else, for a newer one. `blocks` are those of
    `data_blocks`, where they were made before.
    """
    style = _shared("style.css")
    script = "\n".join(_shared(name) for name in SCRIPTS)
    script = f'(() => {{\n"use strict";\n{script}\n}})();\n'
    title = f"{seen.project.settings.number} {seen.project.settings.title}: review"
    core = {**_head(seen, findings, links or {}), "joints": joint_columns(seen, by_joint(findings))}
    parts = [
        f'<script type="text/plain" id="{name}">{text}</script>'
        for name, text in [("data-core", block(core)), *(blocks or data_blocks(seen, findings))]
    ]
    filled = {
        "policy": _policy(style, script, live),
        "title": html.escape(title),
        "live": html.escape(live),
        "style": style,
        "script": script,
        "core": parts[0],
        "data": "\n".join(parts[1:]),
    }
    # In one go, so that no text of a record is ever searched for marks.
    whole = _FILLED.sub(lambda found: filled[found[1]], _shared("page.html"))
    return whole.encode("utf-8")


def link(path: str, first: int = 1) -> Link:
    """A link to a file below the page, safe whatever its name is.

    >>> link("evidence/RT 1.pdf"), link("javascript:alert(1)")
    (('evidence/RT%201.pdf', 1), ('javascript%3Aalert%281%29', 1))
    """
    return quote(path, safe="/"), first


def _shared(name: str) -> str:
    path: Path = shared("templates") / "review" / name
    return path.read_text(encoding="utf-8")


def _policy(style: str, script: str, live: str) -> str:
    rules = [
        "default-src 'none'",
        f"script-src {_digest(script)}",
        f"style-src {_digest(style)}",
        "img-src data:",  # the empty icon, without which a browser would ask for one
        "base-uri 'none'",
        "form-action 'none'",
        *(["connect-src 'self'"] if live else []),
    ]
    return "; ".join(rules)


def _digest(text: str) -> str:
    made = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(made).decode('ascii')}'"


def data_blocks(seen: View, findings: Sequence[Finding], printed: Printed = not_printed) -> Blocks:
    """The data of a page apart from links; `printed` gives histories that are gathered already."""
    return [
        ("data-needles", block(needles(seen))),
        ("data-findings", block(finding_columns(findings))),
        ("data-people", block(people(seen))),
        ("data-things", block(things(seen))),
        ("data-figures", block([plain_table(t) for t, _ in figures.context(seen)["groups"]])),
        *(
            (f"data-histories-{place}", block(told))
            for place, told in enumerate(history_blocks(seen, by_joint(findings), printed))
        ),
    ]


def _head(seen: View, findings: Sequence[Finding], links: Links) -> dict[str, Any]:
    settings = seen.project.settings
    return {
        "tool": __version__,
        "facts": [
            ["Project", settings.number], ["Title", settings.title], ["Client", settings.client],
            ["Contractor", settings.contractor], ["Location", settings.location],
            ["Contract", settings.contract], ["Revision", settings.revision],
            ["Records to", seen.as_of.isoformat()],
        ],
        "project": settings.number,
        "title": settings.title,
        "as_of": seen.as_of.isoformat(),
        "verdicts": [str(verdict) for verdict in Verdict],
        "stages": list(STAGES),
        "lines": [_line(one) for one in seen.project.lines],
        "open": len(open_points(findings)),
        "block": JOINTS_A_BLOCK,
        "documents": {d.number: [d.title, *links.get(d.number, ("", 1))]
                      for d in seen.project.documents},
        "choices": sorted(seen.choices.items()),
        "method": METHOD,
    }  # fmt: skip


def _line(one: Line) -> list[str]:
    codes = (one.procedure_code, one.welder_code, one.acceptance_code)
    return [one.id, one.title, *(code_title(code) for code in codes), one.service]
