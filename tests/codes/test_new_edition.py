"""DEVELOPERS.md's recipe for a further edition works: one module, one line in the register."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from dossier.codes import editions
from dossier.coverage.joint_file import joint_file
from dossier.coverage.view import view
from dossier.coverage.welders import held_for
from dossier.coverage.work import work_of
from dossier.errors import InputError
from dossier.intake import load_project
from dossier.records.verdicts import Range
from tests.trial import CLEAN, changed, read, written

# An invented later edition: all as before, but a confirmation every three months.
MODULE = """
from dossier.codes import iso_9606_1_2012 as older
from dossier.codes.iso_9606_1_2012 import NOT_COVERED, RULES, covers, qualified_range
from dossier.codes.periods import months_later
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Basis, Reason

EDITION = "ISO 9606-1:2099"


def valid_until(certificate, history, choices):
    signed = [c.signed_on for c in history] or [certificate.welded_on]
    return min(months_later(max(signed), 3), older.valid_until(certificate, history, choices))


def valid_on(certificate, day, history, choices):
    last = valid_until(certificate, [c for c in history if c.signed_on <= day], choices)
    verdict = CLEAR if day <= last else NONCONFORMITY
    basis = Basis("ISO 9606-1", "2099", "9.2", "practice")
    return (Reason("confirmation", f"welded on {day}", f"by {last}", basis, verdict),)
"""


@pytest.fixture
def new_edition(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    (tmp_path / "iso_9606_1_2099.py").write_text(MODULE, encoding="utf-8")
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.setitem(editions.WELDER_CODES, "ISO 9606-1:2099", "iso_9606_1_2099")
    yield "ISO 9606-1:2099"
    sys.modules.pop("iso_9606_1_2099", None)


def test_it_answers_behind_the_common_face(new_edition: str, tmp_path: Path) -> None:
    folder = tmp_path / "project"
    folder.mkdir()
    changes = [
        {"in": "lines", "where": {"id": "ST"}, "set": {"welder_code": new_edition}},
        {"in": "welders", "where": {"stamp": "W02"}, "set": {"certificates.1.code": new_edition}},
    ]
    seen = view(load_project(written(changed(read(CLEAN), changes), folder)))
    (joint,) = (joint for joint in seen.project.joints if joint.number == "ST-001")
    (work,) = work_of(seen, joint_file(seen, joint))
    (held,) = held_for(seen, work)
    assert held.covers
    code = editions.welder_code(new_edition)
    assert new_edition == code.EDITION
    certificate = held.certificate
    assert code.valid_until(certificate, (), {}) == date(2026, 7, 2)
    ranges = code.qualified_range(certificate, certificate.deposits[0], {})
    assert any(isinstance(allowed, Range) for allowed in ranges.values())


def test_the_older_edition_is_untouched(new_edition: str) -> None:
    older = editions.welder_code("ISO 9606-1:2012")
    assert older is not editions.welder_code(new_edition)
    assert older.EDITION == "ISO 9606-1:2012"


def test_an_unknown_edition_lists_the_known_ones() -> None:
    with pytest.raises(InputError, match="ISO 9606-1:2012"):
        editions.welder_code("ISO 9606-1:1066")
