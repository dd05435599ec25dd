"""Paths that lead elsewhere, and files that are none: pipes, devices, folders, links."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from dossier.checks import run
from dossier.coverage.view import view
from dossier.errors import InputError, ProjectError
from dossier.handover.papers import open_paper
from dossier.handover.placing import CHECKSUMS, move
from dossier.handover.store import Store, digest_of
from dossier.intake import load_project
from dossier.intake.paths import confined
from dossier.records.papers import Document
from tests.hostile.spoiling import sound
from tests.trial import written


def project(folder: Path, **registers: object) -> Path:
    folder.mkdir(exist_ok=True)
    return written({**sound(), **registers}, folder)


@pytest.mark.parametrize("kind", ["pipe", "device"])
def test_a_project_file_that_never_ends_is_not_read(tmp_path: Path, kind: str) -> None:
    if kind == "pipe":
        os.mkfifo(tmp_path / "project.yaml")
    else:
        (tmp_path / "project.yaml").symlink_to("/dev/zero")
    with pytest.raises(ProjectError, match="a device or a pipe"):
        load_project(tmp_path)


@pytest.mark.parametrize("register", ["joints", "joint_files", "workbook"])
@pytest.mark.parametrize("ending", ["jsonl", "xlsx"])
def test_a_register_that_is_a_pipe_is_not_waited_for(
    tmp_path: Path, register: str, ending: str
) -> None:
    os.mkfifo(tmp_path / f"j.{ending}")
    head = {**sound()["project"], "registers": {register: f"j.{ending}"}}
    written({"project": head}, tmp_path)
    text = (tmp_path / "project.yaml").read_text(encoding="utf-8")
    declared = f"registers:\n  {register}: j.{ending}\n"
    (tmp_path / "project.yaml").write_text(text.replace("registers: {}\n", declared), "utf-8")
    with pytest.raises(ProjectError, match=rf"j\.{ending}"):
        load_project(tmp_path)


@pytest.mark.parametrize(
    "file",
    ["../secret.pdf", "/etc/hostname", "papers/../../secret.pdf", "~/secret.pdf", "C:/secret.pdf",
     "papers\\secret.pdf", "a\0b", "x" * 300, "x/" * 1_100],
)  # fmt: skip
def test_evidence_lies_below_the_project(tmp_path: Path, file: str) -> None:
    with pytest.raises(InputError, match="file: found"):
        confined(tmp_path, file)
    with pytest.raises(ProjectError, match="file: found"):
        load_project(project(tmp_path / "p", documents=[
            {"number": "D-1", "title": "T", "kind": "photograph", "file": file}]))  # fmt: skip


@pytest.mark.parametrize("kind", ["outside", "device", "pipe", "folder", "loop"])
def test_evidence_that_is_no_file_of_the_project_is_told_and_not_opened(
    tmp_path: Path, kind: str
) -> None:
    folder = project(tmp_path / "p", documents=[])
    path = folder / "papers.pdf"
    if kind == "outside":
        (tmp_path / "secret.pdf").write_bytes(b"%PDF-1.7 secret")
        path.symlink_to(tmp_path / "secret.pdf")
    elif kind == "device":
        path.symlink_to("/dev/zero")
    elif kind == "pipe":
        os.mkfifo(path)
    elif kind == "folder":
        path.mkdir()
    else:
        path.symlink_to(path)
    document = Document(number="D-1", title="T", file="papers.pdf")
    paper = open_paper(document, folder, Store(tmp_path / "store", ""))
    assert paper.pages == 0
    assert paper.lacking


@pytest.mark.parametrize("kind", ["pipe", "folder", "gone"])
def test_evidence_that_is_no_file_is_a_finding(tmp_path: Path, kind: str) -> None:
    documents = [{"number": "D-1", "title": "T", "kind": "photograph", "file": "p.jpg"}]
    folder = project(tmp_path / "p", documents=documents)
    if kind == "pipe":
        os.mkfifo(folder / "p.jpg")
    elif kind == "folder":
        (folder / "p.jpg").mkdir()
    found = [one for one in run(view(load_project(folder))) if one.check == "evidence-document"]
    assert any("D-1" in one.sentence for one in found)


def test_checksums_of_a_stranger_remove_nothing_outside(tmp_path: Path) -> None:
    out, aside, victim = tmp_path / "out", tmp_path / "out" / ".new", tmp_path / "victim"
    aside.mkdir(parents=True)
    victim.write_bytes(b"mine")
    stale = out / "old.txt"
    stale.write_bytes(b"old")
    (out / "link").symlink_to(victim)
    names = ("../victim", str(victim), "link", "old.txt", "./../victim")
    lines = [f"{digest_of(stale if n == 'old.txt' else victim)}  {n}\n" for n in names]
    (out / CHECKSUMS).write_text("".join(lines), encoding="utf-8")
    (out / "issue.json").write_text('{"format": 1, "documents": []}', encoding="utf-8")
    (aside / "new.txt").write_bytes(b"new")
    assert move(aside, out) == [out / "new.txt"]
    assert victim.read_bytes() == b"mine"
    assert not stale.exists()
