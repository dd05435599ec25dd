"""What a proof must see: a package changed by somebody who writes all of its manifests anew."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from dossier.handover.bag import info_text, manifest
from dossier.handover.checksums import ALGORITHMS
from dossier.handover.package import bag_info
from dossier.handover.proof import Proof
from dossier.handover.store import digest_of
from dossier.handover.stored_zip import ZipWriter
from dossier.handover.verify import verify
from tests.handover import small


def renewed(package: Path) -> None:
    """Write every manifest anew, for the files that are there now."""
    names = list(small.tree(package))
    payload = [name for name in names if name.startswith("data/")]
    tags = [name for name in names if not name.startswith(("data/", "tagmanifest-"))]
    for algorithm in ALGORITHMS:
        for listed, of in ((f"manifest-{algorithm}.txt", payload),
                           (f"tagmanifest-{algorithm}.txt", tags)):  # fmt: skip
            sums = {name: digest_of(package / name, algorithm) for name in of}
            (package / listed).write_bytes(manifest(sums))


@pytest.fixture
def copy(package: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(package, tmp_path / "package"))


def told(proof: Proof, step: str) -> list[str]:
    """The troubles of one step."""
    return [str(t) for one in proof.steps if one.name == step for t in one.troubles]


def stored(path: Path, files: Mapping[str, bytes]) -> Path:
    """A zip in the form of a package."""
    with path.open("wb") as stream:
        writer = ZipWriter(stream)
        for name, data in files.items():
            writer.add(name, len(data), iter([data]))
        writer.close()
    return path


@pytest.mark.parametrize(
    ("beside", "named"),
    [
        ({"other/readme.txt": b"hi"}, "'other', 'pkg'"),
        ({"dossier_final.pdf": b"%PDF"}, "'dossier_final.pdf', 'pkg'"),
    ],
)
def test_a_zip_with_anything_beside_its_folder_is_refuted(
    package: Path, tmp_path: Path, beside: Mapping[str, bytes], named: str
) -> None:
    files = {f"pkg/{name}": data for name, data in small.tree(package).items()}
    assert verify(stored(tmp_path / "sound.zip", files), deep=False).holds
    proof = verify(stored(tmp_path / "more.zip", {**files, **beside}), deep=False)
    assert not proof.holds
    assert named in told(proof, "zip")[0]


@pytest.mark.parametrize("files", [{}, {"readme.txt": b"hi"}])
def test_a_zip_without_a_folder_is_refuted(tmp_path: Path, files: Mapping[str, bytes]) -> None:
    proof = verify(stored(tmp_path / "none.zip", files))
    assert not proof.holds
    assert "one folder with everything in it" in told(proof, "zip")[0]


def test_a_package_without_its_records_is_refuted(copy: Path) -> None:
    shutil.rmtree(copy / "data" / "project")
    renewed(copy)
    proof = verify(copy)
    assert not proof.holds
    assert told(proof, "records") == [
        "project/project.yaml: missing: nothing can be proved without it"
    ]


def reissued(package: Path, change: Callable[[Any], object]) -> None:
    """Change issue.json, and make anew what hangs on it, bag-info.txt included."""
    path = package / "data" / "issue.json"
    issue = json.loads(path.read_bytes())
    change(issue)
    path.write_text(f"{json.dumps(issue, indent=1)}\n", encoding="utf-8")
    payload = [p for p in (package / "data").rglob("*") if p.is_file()]
    total = sum(p.stat().st_size for p in payload)
    oxum = ("Payload-Oxum", f"{total}.{len(payload)}")
    (package / "bag-info.txt").write_bytes(info_text([*bag_info(issue), oxum]))
    renewed(package)


def put(key: str, value: object) -> Callable[[Any], object]:
    return lambda issue: issue.update({key: value})


@pytest.mark.parametrize(
    ("change", "named"),
    [
        (put("open_points", 0), "issue.json, open_points: says 0, the records give 1"),
        (put("gaps", 1), "issue.json, gaps: says 1, the records give 0"),
        (put("state", "issued"), 'issue.json, state: says "issued", the records give "draft"'),
        (put("revision", "C"), 'issue.json, revision: says "C", the records give "A"'),
        (put("title", "Other"), 'issue.json, title: says "Other", the records give "Trial Works"'),
        (put("client", "Other"), "issue.json, client: says"),
        (put("roles", []), "issue.json, roles: says [], the records give"),
        (put("completeness", []), "issue.json, completeness, Volume 1, welding, Papers, Mill"),
        (put("format", 2), "issue.json, format: says 2, the records give 1"),
        (put("approved", "yes"), "issue.json, approved: nothing that an issue says"),
        (lambda issue: issue.pop("client"), "issue.json, client: missing"),
        (lambda issue: issue["joints"].reverse(), "issue.json, joints: in another order"),
        (lambda issue: issue["joints"].pop(), "issue.json, joints, HW-001: missing"),
        (
            lambda issue: next(j for j in issue["joints"] if j["findings"]).update(findings=[]),
            "issue.json, joints, ML-002, findings: says [], the records give",
        ),
        (
            lambda issue: issue["files"][0].update(first=3),
            "issue.json, files: dossier.pdf from page 3, where dossier.pdf begins on page 1",
        ),
    ],
)
def test_what_the_issue_says_is_reckoned_again(
    copy: Path, change: Callable[[Any], object], named: str
) -> None:
    reissued(copy, change)
    found = told(verify(copy), "issue")
    assert any(line.startswith(named) for line in found), found


def test_a_document_that_the_issue_leaves_out_is_named(copy: Path) -> None:
    def leave_out(issue: Any) -> None:
        kept = [d for d in issue["documents"] if d["title"] != "Cross-check report"]
        issue["documents"] = kept

    reissued(copy, leave_out)
    found = told(verify(copy), "bookmarks")
    assert len(found) == 1
    assert found[0].startswith("TW-1-CHK-0001 Cross-check report: has a bookmark to page ")


def test_the_day_of_the_findings_is_that_of_the_issue(copy: Path) -> None:
    path = copy / "data" / "check.json"
    path.write_bytes(path.read_bytes().replace(b"2026-06-30", b"2026-07-30", 1))
    renewed(copy)
    assert "check.json, as_of: is not what the records give" in told(verify(copy), "findings")


def test_a_paper_is_the_file_that_was_bound_into_the_dossier(copy: Path) -> None:
    paper = copy / "data" / "project" / "papers" / "mc.pdf"
    paper.write_bytes(paper.read_bytes() + b"\n% another")
    renewed(copy)
    other = "D-001: papers/mc.pdf is not the file that the dossier was built from: "
    assert told(verify(copy), "papers") == [f"{other}build the dossier again, then pack it"]
    paper.unlink()
    renewed(copy)
    assert told(verify(copy), "papers") == ["D-001: its file papers/mc.pdf is not in the package"]


@pytest.mark.parametrize(
    ("fields", "named"),
    [
        ({"kind": "printed", "lacking": "the file papers/mc.pdf is missing",
          "title": "Mill certificate (missing)"}, "D-001: papers/mc.pdf is in the package"),
        ({"kind": "printed", "lacking": "the file papers/mc.pdf is missing"}, "D-001: called"),
        ({"lacking": "the file papers/mc.pdf is missing", "title": "Mill certificate (missing)"},
         "D-001: lacking and bound at once"),
        ({"kind": "printed"}, "issue.json, D-001: no paper of Volume 1, welding, Papers"),
        ({"section": "Joint register"}, "issue.json, D-001: a paper of Volume 1, welding, Joint"),
    ],
)  # fmt: skip
def test_what_the_issue_says_of_a_paper_is_proved(
    copy: Path, fields: Mapping[str, str], named: str
) -> None:
    def change(issue: Any) -> None:
        next(d for d in issue["documents"] if d["number"] == "D-001").update(fields)

    reissued(copy, change)
    found = told(verify(copy), "papers")
    assert any(line.startswith(named) for line in found), found


@pytest.mark.parametrize(
    "name",
    ["data/old_dossier.pdf", "data/signed.json", "data/registers/other.xlsx", "data/tables/x.csv",
     "data/procedures/other.pdf", "data/project/papers/other.pdf", "data/project/notes.txt"],
)  # fmt: skip
def test_a_file_that_is_not_of_the_issue_is_named(copy: Path, name: str) -> None:
    (copy / name).write_bytes(b"{}")
    renewed(copy)
    found = told(verify(copy), "files")
    expected = "does not tell of" if name.endswith("signed.json") else "no file of a package"
    assert found
    assert found[0].startswith(f"{name.removeprefix('data/')}: {expected}")


def test_a_file_that_the_issue_must_have_is_named(copy: Path) -> None:
    sheet = sorted((copy / "data" / "procedures").iterdir())[0]
    sheet.unlink()
    renewed(copy)
    assert told(verify(copy), "files") == [f"procedures/{sheet.name}: missing"]


@pytest.mark.parametrize(
    ("file", "old", "new", "named"),
    [
        ("bag-info.txt", b"rev. A", b"rev. C", "bag-info.txt, line 2: says 'External-Identifier"),
        ("bag-info.txt", b"draft", b"issued", "bag-info.txt, line 3: says"),
        ("bag-info.txt", b"Payload-Oxum: ", b"Payload-Oxum: 1", "bag-info.txt, line 5: says"),
        ("bag-info.txt", b"\n", b"\r\n", "bag-info.txt: its lines end in another way"),
        ("README.txt", b"whole", b"half", "README.txt, line"),
        ("approval.txt", b"", b"approved", "approval.txt: nothing that a package has beside data/"),
    ],
)
def test_what_stands_beside_the_payload_is_that_of_the_issue(
    copy: Path, file: str, old: bytes, new: bytes, named: str
) -> None:
    path = copy / file
    data = path.read_bytes() if path.exists() else b""
    assert old in data
    path.write_bytes(data.replace(old, new, 1))
    renewed(copy)
    found = told(verify(copy), "notes")
    assert found
    assert found[0].startswith(named)
