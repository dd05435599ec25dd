"""What goes wrong around the tool: told in words, with an exit code, and nothing half-written."""

from __future__ import annotations

import errno
import os
import resource
import shutil
import subprocess
import sys
import time
from collections.abc import Mapping
from pathlib import Path

import pytest

from dossier import doctor
from dossier.cli import main
from dossier.commands import shared
from dossier.coverage.view import view
from dossier.documents import files
from dossier.documents.pdf import render
from dossier.errors import Fault, InputError, MissingToolError, ProjectError
from dossier.handover.signed import SignedError, keep_signed, signed_forms
from dossier.intake import load_project
from dossier.patterns import SlowPatternError
from tests.hostile.spoiling import as_csv, sound
from tests.trial import paper, written

ROOT = Path(__file__).parents[2]
Capture = pytest.CaptureFixture[str]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "project"
    made.mkdir()
    return written(sound(), made)


def ran(
    *words: str | Path, env: Mapping[str, str | None] | None = None, file_bytes: int = 0
) -> subprocess.CompletedProcess[str]:
    """A command in a process of its own; `env` changes its environment, None takes away."""
    whole = {**os.environ, "PYTHONPATH": str(ROOT), **(env or {})}

    def limit() -> None:
        if file_bytes:
            resource.setrlimit(resource.RLIMIT_FSIZE, (file_bytes, file_bytes))

    return subprocess.run(
        [sys.executable, "-m", "dossier.cli", *map(str, words)], check=False, text=True,
        env={k: v for k, v in whole.items() if v is not None}, capture_output=True,
        preexec_fn=limit, encoding="utf-8", errors="replace",
    )  # fmt: skip


def told_without_traceback(done: subprocess.CompletedProcess[str], code: int) -> str:
    assert "Traceback" not in done.stderr, done.stderr
    assert done.returncode == code, done.stderr
    return done.stderr


def test_a_file_that_cannot_grow_leaves_the_old_one_and_no_scrap(
    folder: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out" / "review.html"
    out.parent.mkdir()
    out.write_text("the last one", encoding="utf-8")
    told = told_without_traceback(ran("page", folder, "--out", out, file_bytes=20_000), 2)
    assert "No file was left half-written" in told
    assert [path.name for path in out.parent.iterdir()] == ["review.html"]
    assert out.read_text(encoding="utf-8") == "the last one"


@pytest.mark.parametrize(
    ("number", "word"),
    [(errno.ENOSPC, "Make room"), (errno.EROFS, "may be written"), (errno.EACCES, "may be written"),
     (errno.EDQUOT, "Make room"), (errno.EIO, "half-written"), (errno.ESTALE, "half-written")],
)  # fmt: skip
def test_what_the_disk_refuses_is_told_with_what_helps(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture, number: int,
    word: str,
) -> None:  # fmt: skip
    def refused(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number), str(tmp_path / "out"))

    monkeypatch.setattr(files.tempfile, "mkstemp", refused)
    assert main(["page", str(folder), "--out", str(tmp_path / "review.html")]) == 2
    told = capsys.readouterr().err
    assert os.strerror(number) in told
    assert str(tmp_path / "out") in told
    assert word in told
    assert sorted(path.name for path in tmp_path.iterdir()) == ["project"]


@pytest.mark.parametrize("command", ["sheets", "build", "forms"])
def test_a_place_that_cannot_be_written_is_told_before_anything_is_made(
    folder: Path, tmp_path: Path, command: str, capsys: Capture
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder", encoding="utf-8")
    assert main([command, str(folder), "--out", str(blocked / "out")]) == 2
    assert "half-written" in capsys.readouterr().err
    assert blocked.read_text(encoding="utf-8") == "not a folder"


def test_a_missing_library_of_the_system_is_named_with_its_cure(
    folder: Path, tmp_path: Path
) -> None:
    broken = tmp_path / "broken" / "weasyprint"
    broken.mkdir(parents=True)
    (broken / "__init__.py").write_text(
        "raise OSError(\"cannot load library 'libpango-1.0-0': no such file\")", encoding="utf-8"
    )
    env = {"PYTHONPATH": f"{broken.parent}{os.pathsep}{ROOT}"}
    told = told_without_traceback(ran("sheets", folder, "--out", tmp_path / "out", env=env), 4)
    assert "libpango" in told
    assert "apt-get install" in told
    assert "dossier doctor" in told
    left = tmp_path / "out"
    assert not left.exists() or list(left.rglob("*.pdf")) == []
    assert ran("check", folder, env=env).returncode == 0  # needs no renderer


def test_a_missing_library_of_python_is_named(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "yaml.py").write_text(
        "raise ModuleNotFoundError(\"No module named 'yaml'\", name='yaml')", encoding="utf-8"
    )
    env = {"PYTHONPATH": f"{tmp_path}{os.pathsep}{ROOT}"}
    told = told_without_traceback(ran("check", folder, env=env), 4)
    assert "yaml is missing" in told
    assert "dossier doctor" in told


def test_the_doctor_names_all_that_is_missing_and_the_command_that_mends_it(
    monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    def none(*_: object) -> None:
        raise OSError("no such file")

    def nowhere() -> str:
        raise FileNotFoundError("no usable folder")

    monkeypatch.setattr(doctor, "find_library", lambda _name: None)
    monkeypatch.setattr(doctor.ctypes, "CDLL", none)
    monkeypatch.setattr(doctor, "find_spec", lambda _name: None)
    monkeypatch.setattr(doctor.tempfile, "gettempdir", nowhere)
    monkeypatch.setattr(doctor.sys, "getfilesystemencoding", lambda: "ascii")
    monkeypatch.setattr(doctor, "shared", lambda _kind: Path("/nonexistent"))
    monkeypatch.setattr(doctor.shutil, "which", lambda _name: None)
    assert main(["doctor"]) == 4
    told = [line for line in capsys.readouterr().out.splitlines() if "Python:" not in line]
    assert all(line.startswith("missing") for line in told), told
    cures = ("apt-get install", "pip install", "export ", "install the package again")
    assert all(any(cure in line for cure in cures) for line in told), told
    assert sum("apt-get install" in line for line in told) >= 4


def test_a_library_found_by_loading_it_is_there(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(doctor, "find_library", lambda _name: None)  # no compiler, no ldconfig
    found = {item.name: item.present for item in doctor.examine()}
    assert found["Pango"]
    assert found["Fontconfig"]


LOOK = """
import sys
from dossier.documents.pdf import render
sys.stdout.buffer.write(render(["<html lang=en><title>x</title><p>Weld Ш ≥ 5"]).data)
"""


def test_no_fonts_no_home_no_cache_give_the_same_page(tmp_path: Path) -> None:
    (tmp_path / "fonts.conf").write_text("<fontconfig></fontconfig>", encoding="utf-8")
    env = {**os.environ, "FONTCONFIG_FILE": str(tmp_path / "fonts.conf"), "PYTHONPATH": str(ROOT)}
    for name in ("HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "LANG", "LC_ALL"):
        env.pop(name, None)
    done = subprocess.run([sys.executable, "-c", LOOK], env=env, capture_output=True, check=True)
    assert done.stdout == render(["<html lang=en><title>x</title><p>Weld Ш ≥ 5"]).data


@pytest.mark.parametrize(
    "env",
    [
        {"LC_ALL": "C", "PYTHONIOENCODING": "ascii"},
        {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
        {"LC_ALL": "xx_YY.NONE", "LANG": None},
        {"HOME": None, "PATH": "/nonexistent", "TERM": None},
    ],
)
def test_any_locale_and_no_home_read_the_same_records(
    tmp_path: Path, env: dict[str, str | None]
) -> None:
    registers = sound()
    registers["project"]["title"] = "Шов Ü ≥ 5"
    made = tmp_path / "project"
    made.mkdir()
    done = ran("check", written(registers, made), env=env)
    assert "Traceback" not in done.stderr
    assert done.returncode == 0, done.stderr
    assert "0 findings" in done.stdout


def test_names_that_the_system_cannot_hold_are_told(tmp_path: Path) -> None:
    registers = sound()
    registers["documents"].append(
        {"number": "D-9", "title": "T", "kind": "photograph", "file": "Шов.jpg"}
    )
    made = tmp_path / "project"
    made.mkdir()
    env = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    done = ran("check", written(registers, made), env=env)
    assert "Traceback" not in done.stderr
    assert "PYTHONUTF8=1" in done.stderr
    assert done.returncode == 3
    assert "a path that can be read" in done.stderr


@pytest.mark.parametrize("name", ["with spaces", "Трубопровод", "管道", "خط", "e\u0301 %20 #?&'\""])
def test_folders_and_papers_of_any_name(tmp_path: Path, name: str) -> None:
    registers = sound()
    for document in registers["documents"]:
        document["file"] = f"{name}/{name}.pdf"
    made = tmp_path / name
    made.mkdir()
    project = load_project(written(registers, made))
    assert [scan.pages for scan in project.scans] == [
        one["pages"] for one in registers["documents"]
    ]
    assert main(["check", str(made)]) == 0
    assert main(["page", str(made), "--out", str(made / f"{name}.html")]) == 0


def test_line_ends_of_windows_change_nothing(folder: Path, tmp_path: Path) -> None:
    other = tmp_path / "windows"
    shutil.copytree(folder, other)
    rows = sound()["passes"]
    (other / "passes.csv").write_text(as_csv(rows), encoding="utf-8")
    settings = (other / "project.yaml").read_text(encoding="utf-8")
    (other / "project.yaml").write_text(settings.replace("passes.yaml", "passes.csv"), "utf-8")
    for path in (*other.glob("*.yaml"), *other.glob("*.csv")):
        data = path.read_bytes().replace(b"\r\n", b"\n").replace(b"\n", b"\r\n")
        path.write_bytes(b"\xef\xbb\xbf" + data)  # and the mark that editors there put in front
    before, after = load_project(folder), load_project(other)
    assert len(after.passes) == len(before.passes) > 10
    assert [repr(a) for a in after.joints] == [repr(b) for b in before.joints]
    assert [(a.joint, a.number, a.deposit_mm, a.started_at) for a in after.passes] == [
        (b.joint, b.number, b.deposit_mm, b.started_at) for b in before.passes
    ]


def test_a_folder_of_32_000_papers_is_not_gone_through(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    papers = folder / "papers"
    papers.mkdir(exist_ok=True)
    for number in range(32_000):
        (papers / f"{number}.pdf").touch()
    paper(papers / "77.pdf", 2)
    documents = [{"number": "D-1", "title": "T", "kind": "photograph", "file": "papers/77.pdf",
                  "pages": 2}]  # fmt: skip
    written({**sound(), "documents": documents}, folder)
    paper(papers / "77.pdf", 2)

    def listed(*_: object) -> None:
        raise AssertionError("the folder is listed")

    monkeypatch.setattr(os, "listdir", listed)
    monkeypatch.setattr(os, "scandir", listed)
    before = time.monotonic()
    project = load_project(folder)
    assert [scan.pages for scan in project.scans] == [2]
    assert time.monotonic() - before < 10


def test_a_folder_that_answers_late_is_told_of(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    honest = Path.read_bytes

    def late(path: Path) -> bytes:
        time.sleep(0.02)
        return honest(path)

    monkeypatch.setattr(Path, "read_bytes", late)
    monkeypatch.setattr(shared, "PATIENCE_S", 0.05)
    assert main(["check", str(folder)]) == 0
    told = capsys.readouterr().err
    assert told.count(f"Still reading {folder}") == 1
    assert "Ctrl-C" in told


def test_a_quick_folder_is_not_talked_about(folder: Path, capsys: Capture) -> None:
    assert main(["check", str(folder)]) == 0
    assert "Still reading" not in capsys.readouterr().err


def test_a_damaged_note_of_signatures_proves_none_and_lets_none_be_lost(tmp_path: Path) -> None:
    keep_signed(tmp_path)  # nothing is there
    for content in ("{", "[]", "7", '{"a": 1}', '{"a": {}}', '{"a": {"built": "x"}}'):
        (tmp_path / "signed.json").write_text(content, encoding="utf-8")
        assert signed_forms(tmp_path, {"a": "x"}) == {}
        keep_signed(tmp_path)
        for name in ("a", "b.pdf"):
            (tmp_path / name).touch()
        with pytest.raises(SignedError, match=r"(a|b\.pdf) is signed"):
            keep_signed(tmp_path)
        for name in ("a", "b.pdf"):
            (tmp_path / name).unlink()


@pytest.mark.parametrize(
    "error",
    [
        InputError("wall_mm", found=3, expected="more"),
        SlowPatternError("pattern", found="x", expected="y"),
        MissingToolError("Pango", needed_for="PDF", remedy="apt-get"),
        ProjectError([Fault("a.yaml", "line 2", "x", "y", "z")]),
    ],
)
def test_errors_come_back_whole_from_a_worker(error: Exception) -> None:
    import pickle

    back = pickle.loads(pickle.dumps(error))  # noqa: S301 - just made here
    assert type(back) is type(error)
    assert str(back) == str(error)
    assert vars(back) == vars(error)


def test_absurd_figures_are_drawn_or_told(folder: Path) -> None:
    registers = sound()
    registers["procedures"][0]["wall_mm"] = {"low": 1, "high": 1e6}
    for item in registers["items"]:
        item["wall_mm"] = 1e6
    seen = view(load_project(written(registers, folder)))
    from dossier.handover.sections import CONTENTS, source

    before = time.monotonic()
    made = [sheet for make in CONTENTS.values() for sheet in make(source(seen, [], None))]
    assert made
    assert time.monotonic() - before < 20


@pytest.mark.parametrize(
    ("kind", "wall_mm"),
    [("V", 5e-324), ("square", 9.0)],  # the sides of a square butt may touch
)
def test_a_groove_without_room_has_no_estimate_and_says_so(kind: str, wall_mm: float) -> None:
    from dossier.documents.planning import Size, estimate
    from dossier.records.procedures import Groove, Procedure, ProcedurePass

    wps = Procedure(
        number="W", revision="0", title="", code="", groove=Groove(kind=kind, angle_deg=60.0),
        passes=(ProcedurePass(kind="fill", process="111", filler=""),),
    )  # fmt: skip
    told = estimate(wps, Size(300.0, wall_mm, ()))
    assert told == "groove: found no room for metal in it, expected a gap or an angle"
