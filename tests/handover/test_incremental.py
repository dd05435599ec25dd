"""Building again: only what changed is rendered; the bytes are those of a build from nothing."""

from __future__ import annotations

import importlib
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest

from dossier.documents.pdf import Rendered
from dossier.errors import DossierError
from dossier.handover import How, build, rendering
from dossier.handover.build import ChangedError
from dossier.handover.placing import PlaceError, move
from dossier.handover.rendering import Task
from dossier.handover.store import BusyError, Store, alone_in, digest_of
from tests.handover import small
from tests.handover.conftest import Made

build_ = importlib.import_module("dossier.handover.build")  # the name is that of the function too


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Titles of all documents that are rendered from here on."""
    titles: list[str] = []
    honest = rendering.rendered

    def rendered(pages: Sequence[str], alone: bool) -> Rendered:
        titles.extend(page.split("<title>")[1].split("</title>")[0] for page in pages)
        return honest(pages, alone)

    monkeypatch.setattr(rendering, "rendered", rendered)
    return titles


def test_nothing_changed_nothing_rendered_same_bytes(
    made: Made, counted: list[str], tmp_path: Path
) -> None:
    out = tmp_path / "out"
    build(made.seen, made.findings, made.project, out, how=made.how())
    assert small.tree(out) == small.tree(made.out)
    before = (out / "dossier.pdf").stat().st_mtime_ns
    written = build(made.seen, made.findings, made.project, out, how=made.how())
    assert {path.relative_to(out).as_posix() for path in written} == set(small.tree(out))
    assert (out / "dossier.pdf").stat().st_mtime_ns == before  # not even merged again
    assert counted == []


def test_a_changed_joint_renders_its_neighbours_at_most(
    made: Made, counted: list[str], tmp_path: Path
) -> None:
    project, store = tmp_path / "project", tmp_path / "store"
    shutil.copytree(made.project, project)
    shutil.copytree(made.store, store)
    small.change(project, "joints", "FW-001", "remarks", "seen again")
    small.change(project, "joints", "FW-001", "hi_lo_mm", 0.5)
    seen, findings = small.read(project)
    build(seen, findings, project, tmp_path / "out", how=How(workers=1, store=store))
    histories = [title for title in counted if "Joint history" in title]
    assert any("FW-001" in title for title in histories)
    assert not any("WPS-" in title for title in counted)


def test_a_corrupted_entry_is_rendered_again(made: Made, tmp_path: Path) -> None:
    store = Path(shutil.copytree(made.store, tmp_path / "store"))
    entries = [path for path in sorted(store.glob("??/*")) if not path.suffix]
    for path in entries[::3]:
        data = bytearray(path.read_bytes() or b"x")
        data[len(data) // 2] ^= 1
        path.write_bytes(data)
    how = How(workers=1, store=store)
    build(made.seen, made.findings, made.project, tmp_path / "out", how=how)
    assert small.tree(tmp_path / "out") == small.tree(made.out)


def test_a_file_of_the_dossier_that_was_changed_is_put_right(made: Made, tmp_path: Path) -> None:
    out = made.copy(tmp_path / "out")
    (out / "dossier.pdf").write_bytes(b"overwritten")
    build(made.seen, made.findings, made.project, out, how=made.how())
    assert small.tree(out) == small.tree(made.out)


def test_killed_at_any_moment_the_next_run_gives_the_same_bytes(made: Made, tmp_path: Path) -> None:
    out, store = tmp_path / "out", tmp_path / "store"
    command = [sys.executable, "-m", "dossier.cli", "build", str(made.project), "--out", str(out),
               "--store", str(store), "--workers", "1"]  # fmt: skip
    for entries in (1, 4, 9):
        running = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        deadline = time.monotonic() + 300
        while len(list(store.glob("??/*.json"))) < entries and running.poll() is None:
            assert time.monotonic() < deadline
            time.sleep(0.02)
        running.send_signal(signal.SIGKILL)
        running.wait()
    assert not (out / "dossier.pdf").exists()
    assert [path.name for path in out.iterdir()]  # what was in hand when it was killed
    build(made.seen, made.findings, made.project, out, how=How(workers=1, store=store))
    assert small.tree(out) == small.tree(made.out)


def test_a_second_build_into_the_folder_is_refused(made: Made, tmp_path: Path) -> None:
    out = made.copy(tmp_path / "out")
    before = small.tree(out)
    with alone_in(out), pytest.raises(BusyError):
        build(made.seen, [], made.project, out, how=made.how())
    assert small.tree(out) == before


def test_a_folder_that_cannot_be_written_is_left_alone(made: Made, tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder", encoding="utf-8")
    with pytest.raises(OSError, match="file"):
        build(made.seen, [], made.project, blocked / "out", how=made.how())
    assert blocked.read_text(encoding="utf-8") == "not a folder"


@pytest.fixture
def little_disk(tmp_path: Path) -> Iterator[Path]:
    place = tmp_path / "little"
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=700k", "tmpfs", str(place)]
    if os.geteuid() or subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("only root may mount a disk")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_a_full_disk_leaves_the_last_dossier_whole(made: Made, little_disk: Path) -> None:
    out = little_disk / "out"
    out.mkdir()
    (out / "dossier.pdf").write_bytes(b"the last one")
    with pytest.raises(OSError, match="No space left"):
        build(made.seen, made.findings, made.project, out, how=made.how())
    assert small.tree(out) == {"dossier.pdf": b"the last one"}


def test_a_clock_that_goes_back_changes_nothing(made: Made, tmp_path: Path) -> None:
    store = Path(shutil.copytree(made.store, tmp_path / "store"))
    for path in store.rglob("*"):
        os.utime(path, (4_000_000_000, 4_000_000_000))  # written "in the future"
    how = How(workers=1, store=store)
    build(made.seen, made.findings, made.project, tmp_path / "out", how=how)
    assert small.tree(tmp_path / "out") == small.tree(made.out)


def test_shares_rendered_apart_are_joined_to_the_same_bytes(made: Made, tmp_path: Path) -> None:
    stores = [tmp_path / f"store{n}" for n in (1, 2, 3)]
    for number, store in enumerate(stores, start=1):
        how = How(workers=1, store=store, shard=(number, 3))
        assert build(made.seen, made.findings, made.project, tmp_path / f"s{number}", how=how) == []
    first = How(workers=1, store=tmp_path / "some", join=tuple(stores[:2]))
    with pytest.raises(DossierError, match="in none of the shares"):
        build(made.seen, made.findings, made.project, tmp_path / "out", how=first)
    assert small.tree(tmp_path / "out") == {}
    whole = How(workers=1, store=tmp_path / "all", join=tuple(stores))
    build(made.seen, made.findings, made.project, tmp_path / "out", how=whole)
    assert small.tree(tmp_path / "out") == small.tree(made.out)


def _dies(*_: object) -> Rendered:
    os._exit(9)


def _dies_once(pages: Sequence[str], alone: bool) -> Rendered:
    assert not alone
    text, mark = pages[0].split("|")
    if text == "document 7" and not Path(mark).exists():
        Path(mark).touch()
        os._exit(9)
    return Rendered(text.encode(), (1,))


def _tasks(count: int, mark: Path = Path("none")) -> list[Task]:
    """Tasks that tell the worker where the mark of the first death is to be left."""

    def make(number: int) -> Task:
        pages = (f"document {number}|{mark}",)
        return Task(f"{number:064x}", (f"no. {number}",), lambda: pages)

    return [make(number) for number in range(count)]


def test_a_lost_worker_costs_its_task_only(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(rendering, "rendered", _dies_once)
    found = dict(rendering.on_this_machine(2)(_tasks(12, tmp_path / "mark")))
    assert (tmp_path / "mark").exists()
    told = {task.titles[0]: result.data.decode() for task, result in found.items()}
    assert told == {f"no. {n}": f"document {n}" for n in range(12)}


def test_a_document_that_kills_every_worker_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rendering, "rendered", _dies)
    with pytest.raises(rendering.LostWorkerError, match=r"renders no\. 0"):
        list(rendering.on_this_machine(2)(_tasks(4)))


def test_workers_are_replaced_and_the_work_goes_on(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(rendering, "rendered", _dies_once)
    monkeypatch.setattr(rendering, "CHUNKS_PER_WORKER", 2)
    found = [task.titles[0] for task, _ in rendering.on_this_machine(2)(_tasks(9, tmp_path))]
    assert sorted(found) == [f"no. {n}" for n in range(9)]


def _leaves_a_mark(pages: Sequence[str], alone: bool) -> Rendered:
    del alone
    text, mark = pages[0].split("|")
    with Path(mark).open("a", encoding="utf-8") as stream:
        stream.write(f"{text}\n")
    time.sleep(0.05)
    return Rendered(text.encode(), (1,))


def test_what_was_begun_early_is_rendered_once(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(rendering, "rendered", _leaves_a_mark)
    monkeypatch.setattr(rendering, "CHUNKS_PER_WORKER", 3)  # the pool takes six of the nine
    mark, store = tmp_path / "mark", Store(tmp_path / "store", "test")
    tasks = _tasks(9, mark)
    with rendering.Rendering(store, rendering.on_this_machine(2)) as begun:
        begun.begin(tasks[5:])
        begun.begin(tasks[4:])
        kept = begun.finish(tasks, lambda *_: None)
    assert [one.path.read_text() for one in kept] == [f"document {n}" for n in range(9)]
    done = mark.read_text().splitlines()
    assert sorted(done) == [f"document {n}" for n in range(9)]


def test_what_nobody_waits_for_is_not_begun(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(rendering, "rendered", _leaves_a_mark)
    mark, store = tmp_path / "mark", Store(tmp_path / "store", "test")
    with rendering.Rendering(store, rendering.on_this_machine(2)) as begun:
        begun.begin(_tasks(60, mark))
    done = mark.read_text().splitlines() if mark.exists() else []
    assert len(done) < 30


def test_files_that_no_build_has_made_stay_and_are_named(made: Made, tmp_path: Path) -> None:
    (tmp_path / "films.txt").write_text("mine", encoding="utf-8")
    (tmp_path / "README.txt").write_text("my notes", encoding="utf-8")
    digest = digest_of(tmp_path / "films.txt")
    (tmp_path / "checksums.sha256").write_text(f"{digest}  films.txt\n", encoding="utf-8")
    before = small.tree(tmp_path)
    for _ in range(2):
        with pytest.raises(PlaceError, match=r"holds README\.txt, checksums\.sha256, which no"):
            build(made.seen, made.findings, made.project, tmp_path, how=made.how())
        assert small.tree(tmp_path) == before
    for name in ("README.txt", "checksums.sha256"):
        (tmp_path / name).unlink()
    build(made.seen, made.findings, made.project, tmp_path, how=made.how())
    assert (tmp_path / "films.txt").read_text(encoding="utf-8") == "mine"


def test_a_build_killed_while_it_moves_its_files_is_finished_by_the_next(
    made: Made, tmp_path: Path
) -> None:
    out, moved = tmp_path / "out", []
    replaced = Path.replace

    def killed(path: Path, target: Path) -> Path:
        if len(moved) == 3:
            raise KeyboardInterrupt
        moved.append(target.name)
        return replaced(path, target)

    aside = made.copy(tmp_path / "aside")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Path, "replace", lambda path, target: killed(path, Path(target)))
        with pytest.raises(KeyboardInterrupt):
            move(aside, out)
    assert moved[0] == "issue.json"
    assert not (out / "checksums.sha256").exists()
    build(made.seen, made.findings, made.project, out, how=made.how())
    assert small.tree(out) == small.tree(made.out)


def test_records_that_change_during_a_build_end_it(
    made: Made, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    project, out = Path(shutil.copytree(made.project, tmp_path / "p")), made.copy(tmp_path / "out")
    before, merged = small.tree(out), build_.print_files

    def late(*arguments: Any) -> Any:
        small.change(project, "joints", "FW-001", "remarks", "written meanwhile")
        return merged(*arguments)

    small.change(project, "joints", "FW-001", "remarks", "written before")
    seen, findings = small.read(project)
    monkeypatch.setattr(build_, "print_files", late)
    with pytest.raises(ChangedError, match="changed while the dossier was built"):
        build(seen, findings, project, out, how=made.how())
    assert small.tree(out) == before
