"""Patterns that a project brings along: they end, stay short, and say what is wrong with them."""

from __future__ import annotations

import signal
import threading
import time
from dataclasses import replace
from pathlib import Path

import pytest

from dossier import patterns
from dossier.coverage.number_ledger import place_of
from dossier.documents.sheet import document_number
from dossier.errors import InputError, ProjectError
from dossier.handover.sections import CONTENTS
from dossier.handover.volumes import load_volumes
from dossier.intake import load_project
from dossier.intake.numbering import reader
from dossier.patterns import SlowPatternError, fullmatch
from dossier.records.project import Numbering, Settings
from tests.hostile.spoiling import sound
from tests.trial import written

ENDLESS = r"(?P<series>(?:A+)+)-(?P<sequence>\d+)"


def test_an_endless_pattern_is_stopped_and_not_tried_again() -> None:
    read_number = reader(Numbering(pattern=ENDLESS))
    assert read_number("AA-7").sequence == 7
    before = time.monotonic()
    for _ in range(50):
        with pytest.raises(SlowPatternError, match="without a repeat inside of a repeat"):
            read_number("A" * 40)
    assert time.monotonic() - before < 3 * patterns.SECONDS


def test_a_project_with_an_endless_grammar_is_refused_in_time(tmp_path: Path) -> None:
    registers = sound()
    registers["project"]["numbering"] = {"pattern": ENDLESS}
    for joint in registers["joints"]:
        joint["number"] = "A" * 40
    before = time.monotonic()
    with pytest.raises(ProjectError, match="no end after 1 s"):
        load_project(written(registers, tmp_path))
    assert time.monotonic() - before < 10


def test_timers_and_handlers_of_others_are_left_as_they_were() -> None:
    heard: list[int] = []
    old = signal.signal(signal.SIGALRM, lambda *_: heard.append(1))
    signal.setitimer(signal.ITIMER_REAL, 60)
    try:
        assert fullmatch("A+", "AAA")
        with pytest.raises(SlowPatternError):
            fullmatch("(?:A+)+B", "A" * 40)
        left, _ = signal.getitimer(signal.ITIMER_REAL)
        assert 50 < left <= 60
        signal.raise_signal(signal.SIGALRM)
        assert heard == [1]
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, old)


def test_elsewhere_the_length_is_limited() -> None:
    found: list[object] = []
    other = threading.Thread(target=lambda: found.append(fullmatch("A+-7", "AA-7")))
    other.start()
    other.join()
    assert found[0]
    with pytest.raises(InputError, match="at most 200"):
        fullmatch("A+", "A" * 201)


@pytest.mark.parametrize(
    "pattern",
    ["{sequence:0999999999d}", "{project:>99999999}", "{sequence:zz}", "{", "}", "{}", "{0}", "",
     "{project.__class__}", "{sequence:{project}}", "{project!r}", "x" * 201],
)  # fmt: skip
def test_patterns_of_document_numbers_are_short_and_plain(pattern: str) -> None:
    plain = Settings(
        number="P", title="", client="", contractor="", numbering=Numbering(pattern="")
    )
    with pytest.raises(InputError, match="document_number"):
        document_number(replace(plain, document_number=pattern), "WPS", 7)


@pytest.mark.parametrize(
    ("content", "word"),
    [
        (b"{[", "no YAML"),
        (b"\xff\xfe\x00", "no utf-8"),
        (b"[" * 20_000, "no YAML"),
        (b"!!python/object:os.system x", "no fields"),
        (b"volumes: [&a {title: A, sections: []}, *a]", "an alias"),
        (b"volumes: [{title: !!python/name:os.system x, sections: []}]", "a tag"),
        (b"a: &a [1]\nb: &b [*a,*a]\nvolumes: [*b]", "an alias"),
    ],
)
def test_a_preset_that_is_none_is_a_fault(tmp_path: Path, content: bytes, word: str) -> None:
    (tmp_path / "templates" / "volumes").mkdir(parents=True)
    (tmp_path / "templates" / "volumes" / "own.yaml").write_bytes(content)
    with pytest.raises(ProjectError, match=word):
        load_volumes("own", tmp_path, frozenset(CONTENTS))


@pytest.mark.parametrize("name", ["../own", "/etc/passwd", "a" * 5_000, "x\0y", "", ".."])
def test_a_preset_is_named_plainly(tmp_path: Path, name: str) -> None:
    with pytest.raises(ProjectError, match="pipeline"):
        load_volumes(name, tmp_path, frozenset(CONTENTS))


def test_a_preset_is_not_read_through_a_link(tmp_path: Path) -> None:
    own = tmp_path / "project" / "templates" / "volumes"
    own.mkdir(parents=True)
    (tmp_path / "outside.yaml").write_text("volumes: [{title: A, sections: []}]", "utf-8")
    (own / "own.yaml").symlink_to(tmp_path / "outside.yaml")
    with pytest.raises(ProjectError, match="pipeline"):
        load_volumes("own", tmp_path / "project", frozenset(CONTENTS))


def test_a_number_that_was_replaced_does_not_stop_the_ledger() -> None:
    assert place_of("A" * 40, Numbering(pattern=ENDLESS)) == ("", None)
    assert place_of("A" * 500, Numbering(pattern="(?P<series>A+)")) == ("", None)
    assert place_of("AA-7", Numbering(pattern=ENDLESS)) == ("AA", 7)
