"""Two issues compared: joints, open points, documents; the change sheet of the next issue."""

from __future__ import annotations

import json
import shutil
import zipfile
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.errors import ProjectError
from dossier.handover import build
from dossier.handover.changes import as_text, differences, read_issue
from tests.documents.reading import flat, pdf_text
from tests.handover import small
from tests.handover.conftest import Made


@pytest.fixture(scope="module")
def later(made: Made, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The next issue: the fault put right, a joint cut out, a paper replaced and one added."""
    root = tmp_path_factory.mktemp("later")
    project = Path(shutil.copytree(made.project, root / "project"))
    documents = small.registers()["documents"]
    added = {"number": "D-004", "title": "Second film report", "kind": "radiographic report",
             "file": "papers/wq.pdf"}  # fmt: skip
    small.write(project, {**small.registers(revision="B"), "documents": [*documents, added]})
    # The last joint of its file: the lines of the others, which their sheets print, stay.
    small.change(project, "joints", "HW-001", "status", "cut out")
    for path in made.project.rglob("*.p*"):  # the papers of the earlier issue
        shutil.copy(path, project / path.relative_to(made.project))
    shutil.copy(project / "papers" / "wq.pdf", project / "papers" / "rt.pdf")
    seen, findings = small.read(project)
    how = made.how(since=made.out)
    build(seen, findings, project, root / "out", how=how)
    return root / "out"


def test_an_issue_is_like_itself_in_every_form(made: Made, package: Path, zipped: Path) -> None:
    issues = [read_issue(p) for p in (made.out, made.out / "issue.json", package, zipped)]
    assert all(issue == issues[0] for issue in issues)
    assert differences(issues[0], issues[1]) == []


def test_every_kind_of_change_is_told(made: Made, later: Path) -> None:
    changes = {
        (c["kind"], c["name"]): c for c in differences(read_issue(made.out), read_issue(later))
    }
    assert changes["issue", "revision"]["now"] == "B"
    assert changes["joint", "HW-001"]["before"].startswith("welded")
    assert changes["joint", "HW-001"]["now"].startswith("cut out")
    gone = [c for (kind, _), c in changes.items() if kind == "open point" and c["what"] == "gone"]
    assert gone[0]["before"] in {f.sentence for f in made.findings}
    assert changes["document", "D-004"]["what"] == "new"
    assert changes["document", "D-002"]["now"].endswith("new content")
    assert ("document", "D-001") not in changes
    assert ("document", "Joint history FW-001") not in changes  # its revision is the issue's
    assert ("document", "Joint history HW-001") in changes
    assert ("joint", "FW-001") not in changes


def test_the_next_issue_carries_the_change_sheet(later: Path) -> None:
    pages = [flat(t) for t in pdf_text((later / "dossier.pdf").read_bytes()).split("\f")[:-1]]
    sheet = next(page for page in pages if "Changes since the last issue" in page)
    assert "Compared with revision A" in sheet
    assert "D-004" in sheet
    titles = [d["title"] for d in json.loads((later / "issue.json").read_bytes())["documents"]]
    assert titles.index("Changes since the last issue") == 2


def test_a_later_day_of_records_alone_changes_no_document(made: Made) -> None:
    before = read_issue(made.out)
    issue = json.loads((made.out / "issue.json").read_bytes())
    assert before.documents.keys() == {
        d["title"] if d["title"].startswith("Joint history ") else d["number"]
        for d in issue["documents"]
        if d["volume"]
    }


def test_the_command_prints_text_or_json_and_exits_1_on_changes(
    made: Made, later: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["compare", str(made.out), str(made.out)]) == 0
    assert "0 changes" in capsys.readouterr().out
    assert main(["compare", str(made.out), str(later)]) == 1
    assert "joint HW-001 changed: welded" in capsys.readouterr().out
    assert main(["compare", str(made.out), str(later), "--format", "json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert {c["kind"] for c in told["changes"]} >= {"issue", "joint", "open point", "document"}


@pytest.mark.parametrize("text", ["", "{", "[]", '{"format": 99}', '{"format": 1}'])
def test_what_is_no_issue_is_refused(tmp_path: Path, text: str) -> None:
    (tmp_path / "issue.json").write_text(text, encoding="utf-8")
    (tmp_path / "check.json").write_text('{"findings": []}', encoding="utf-8")
    with pytest.raises(ProjectError, match="none that can be read"):
        read_issue(tmp_path)


@pytest.mark.parametrize("name", ["readme.txt", "package/data/issue.json", "data/issue.json/x"])
def test_a_zip_without_an_issue_is_refused(
    tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "package.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(name, "{}")
    with pytest.raises(ProjectError, match="none that can be read"):
        read_issue(path)
    assert main(["compare", str(path), str(path)]) == 3
    assert "a built dossier, a package or its issue.json" in capsys.readouterr().err


def test_a_package_in_a_folder_is_the_earlier_issue(
    made: Made, package: Path, tmp_path: Path
) -> None:
    def built(since: Path) -> Path:
        how = made.how(since=since)
        build(made.seen, made.findings, made.project, tmp_path / "out", how=how)
        return tmp_path / "out" / "issue.json"

    issue = json.loads(built(package).read_bytes())
    assert issue["documents"][2]["title"] == "Changes since the last issue"
    for nothing in (made.project, tmp_path / "nowhere"):
        with pytest.raises(ProjectError, match="none that can be read"):
            built(nothing)


def test_text_for_people_names_both_issues(made: Made, later: Path) -> None:
    old, new = read_issue(made.out), read_issue(later)
    assert as_text(old, new, differences(old, new)).startswith("From revision A, records to")
