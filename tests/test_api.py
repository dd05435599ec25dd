"""The Python interface: cheap to import, and the same answers as the commands give."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

import dossier
from dossier.cli import main
from dossier.errors import InputError, ProjectError
from dossier.handover import How
from dossier.handover.build import DraftError
from tests.trial import CLEAN, PROJECTS, changed, read, written

# Loading one of these costs more than all that `dossier --help` does.
_HEAVY = {
    "docx", "docxtpl", "jinja2", "jsonschema", "lxml", "openpyxl", "pikepdf", "pypdfium2", "segno",
    "weasyprint", "yaml",
}  # fmt: skip


@pytest.fixture
def faulty(tmp_path: Path) -> Path:
    folder = tmp_path / "faulty"
    folder.mkdir()
    defect = read(PROJECTS / "defects" / "preheat_low.yaml")
    return written(changed(read(CLEAN), defect["change"]), folder)


@pytest.fixture
def sound(tmp_path: Path) -> Path:
    folder = tmp_path / "sound"
    folder.mkdir()
    return written(read(CLEAN), folder)


def loaded_by(code: str) -> set[str]:
    told = f"import sys; {code}; print(*{{name.partition('.')[0] for name in sys.modules}})"
    ran = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    return set(ran.stdout.splitlines()[-1].split())


@pytest.mark.parametrize(
    "code",
    [
        "import dossier",
        "from dossier import load, check, render, build",
        "import dossier.cli; dossier.cli.parser()",
    ],
)
def test_importing_and_parsing_load_no_reader_and_no_renderer(code: str) -> None:
    assert not loaded_by(code) & _HEAVY


def test_checking_loads_no_renderer(faulty: Path) -> None:
    code = f"from dossier.cli import main; main(['check', {str(faulty)!r}])"
    assert not loaded_by(code) & {"docx", "docxtpl", "weasyprint", "pypdfium2", "segno"}


def test_every_name_of_the_interface_is_there_and_no_other() -> None:
    assert all(getattr(dossier, name).__doc__ for name in dossier.__all__)
    with pytest.raises(AttributeError, match="no attribute 'lode'"):
        dossier.lode  # noqa: B018 - the access is what is tested


def test_check_finds_what_the_command_prints(
    faulty: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    project = dossier.load(faulty)
    findings = dossier.check(project)
    main(["check", str(faulty), "--format", "json"])
    told = json.loads(capsys.readouterr().out)
    assert findings
    assert [f["id"] for f in told["findings"]] == [f.id for f in findings]
    assert told["as_of"] == project.as_of.isoformat()


def test_a_day_hides_what_came_later(faulty: Path) -> None:
    early = dossier.load(str(faulty), as_of=date(2026, 1, 1))
    assert early.as_of == date(2026, 1, 1)
    assert dossier.check(dossier.load(faulty), ["preheat-and-interpass"])
    assert not dossier.check(early, ["preheat-and-interpass"])


def test_only_the_named_checks_are_asked(faulty: Path) -> None:
    project = dossier.load(faulty)
    assert {f.check for f in dossier.check(project, ["preheat-and-interpass"])} == {
        "preheat-and-interpass"
    }
    assert dossier.check(project, ["film-numbers"]) == []
    with pytest.raises(InputError, match="no-such"):
        dossier.check(project, ["no-such"])


def test_a_folder_that_is_no_project_tells_its_faults(tmp_path: Path) -> None:
    with pytest.raises(ProjectError) as told:
        dossier.load(tmp_path)
    assert told.value.faults


@pytest.mark.parametrize("document", ["matrix", "registers", "figures"])
def test_documents_are_issued_into_a_folder(document: str, sound: Path, tmp_path: Path) -> None:
    project = dossier.load(sound)
    paths = dossier.render(project, dossier.check(project), document, tmp_path / "out")
    assert paths
    assert all(path.is_file() and path.is_relative_to(tmp_path / "out") for path in paths)


def test_sheets_tell_how_far_they_are(sound: Path, tmp_path: Path) -> None:
    steps: list[tuple[str, int, int]] = []
    project = dossier.load(sound)
    paths = dossier.render(
        project, [], "sheets", tmp_path, progress=lambda *step: steps.append(step)
    )
    assert {path.suffix for path in paths} >= {".docx", ".pdf"}
    assert steps[-1][1] == steps[-1][2] > 0


def test_one_file_for_the_history_and_the_page(sound: Path, tmp_path: Path) -> None:
    project = dossier.load(sound)
    history = tmp_path / "one.pdf"
    assert dossier.render(project, [], "history", history, joint="ML-001") == [history]
    assert history.read_bytes().startswith(b"%PDF-")
    (page,) = dossier.render(project, [], "page", tmp_path / "review.html")
    assert "<title>TW-1" in page.read_text(encoding="utf-8")


def test_what_cannot_be_issued_is_refused(sound: Path, tmp_path: Path) -> None:
    project = dossier.load(sound)
    with pytest.raises(InputError, match="one of sheets"):
        dossier.render(project, [], "poster", tmp_path / "out")
    with pytest.raises(InputError, match="did you mean"):
        dossier.render(project, [], "history", tmp_path / "one.pdf", joint="ML-0011")
    assert not (tmp_path / "out").exists()
    assert not (tmp_path / "one.pdf").exists()


@pytest.mark.whole
def test_the_dossier_is_built(sound: Path, tmp_path: Path) -> None:
    project = dossier.load(sound)
    written_files = dossier.build(project, dossier.check(project), tmp_path / "out", How(workers=1))
    assert tmp_path / "out" / "dossier.pdf" in written_files


def test_a_draft_that_is_not_wanted_leaves_nothing(faulty: Path, tmp_path: Path) -> None:
    project = dossier.load(faulty)
    with pytest.raises(DraftError):
        dossier.build(project, dossier.check(project), tmp_path / "out", How(drafts=False))
    assert not (tmp_path / "out" / "dossier.pdf").exists()


def test_ready_splits_the_joints(sound: Path) -> None:
    project = dossier.load(sound)
    made = dossier.ready(project, dossier.check(project), "coating")
    assert {*made.free, *made.done, *(joint for joint, _ in made.held)} <= set(project.joints)
    assert made.free or made.done
    with pytest.raises(InputError, match="stage"):
        dossier.ready(project, [], "painting")


def test_questions_are_answered(sound: Path) -> None:
    project = dossier.load(sound)
    assert any("W01" in cell for row in dossier.ask(project, "joint", {"joint": "ML-001"}).rows
               for cell in row)  # fmt: skip
    with pytest.raises(InputError, match="joint="):
        dossier.ask(project, "joint")
    with pytest.raises(InputError, match="question"):
        dossier.ask(project, "why")


def test_help_takes_under_150_ms_of_processor_time() -> None:
    code = (
        "import time, contextlib, io\n"
        "begun = time.process_time()\n"
        "from dossier.cli import main\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n"
        "    main(['--help'])\n"
        "print(time.process_time() - begun)"
    )
    taken = [
        float(subprocess.run([sys.executable, "-c", code], capture_output=True, text=True,
                             check=True).stdout)
        for _ in range(5)
    ]  # fmt: skip
    assert min(taken) < 0.15
