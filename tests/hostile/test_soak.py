"""A few builds of the soak: valid files, verdicts of the naive loops, nothing left behind."""

from __future__ import annotations

from pathlib import Path

import pikepdf
import pytest

from benchmarks.soak import SHOWN, Soak, problems, project, soaked, wrong_sums


def test_two_small_random_projects(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    soak = soaked(2, 7, tmp_path / "store")
    assert soak.failures == []
    assert soak.builds == 2 < SHOWN
    assert soak.pdfs > 2 * 20
    assert soak.verdicts > 2 * 4
    assert "failures" not in capsys.readouterr().out


def test_a_build_that_fails_is_told_with_its_seed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("benchmarks.soak.build", lambda *_, **__: [][0])
    soak = Soak(tmp_path / "store")
    soak.one(5)
    (told,) = soak.failures
    assert told.startswith("seed 5: Traceback")
    assert "IndexError" in told


def test_a_seed_gives_the_same_project_again(tmp_path: Path) -> None:
    first, again, other = (
        {path.name: path.read_bytes() for path in project(tmp_path / name, seed).iterdir()
         if path.is_file()}
        for name, seed in (("a", 3), ("b", 3), ("c", 4))
    )  # fmt: skip
    assert first == again != other


def test_what_it_looks_for_is_found(tmp_path: Path) -> None:
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.save(tmp_path / "a.pdf")
    assert problems(tmp_path / "a.pdf") == []
    spoilt = (tmp_path / "a.pdf").read_bytes().replace(b"startxref", b"startxxxx")
    (tmp_path / "a.pdf").write_bytes(spoilt)
    assert problems(tmp_path / "a.pdf")
    (tmp_path / "checksums.sha256").write_text(f"{'0' * 64}  a.pdf\n", encoding="utf-8")
    assert list(wrong_sums(tmp_path)) == ["a.pdf: another checksum"]
