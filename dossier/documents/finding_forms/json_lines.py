"""One finding a line, so that a long report can be filtered as it comes."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator

from dossier.documents.finding_list import finding_as_data
from dossier.records.verdicts import Finding


def json_lines(findings: Iterable[Finding]) -> Iterator[str]:
    """Each finding as one JSON object on one line, in the order given.

    >>> from dossier.records.verdicts import HOLD
    >>> (told,) = json_lines([Finding("x", HOLD, (("joint", "J-1"),), "Why.")])
    >>> json.loads(told)["subject"]
    {'joint': 'J-1'}
    """
    for finding in findings:
        yield json.dumps(finding_as_data(finding), ensure_ascii=False, separators=(",", ":"))
