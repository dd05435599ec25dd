"""The store: what does not fit its card is no entry; what is no longer used goes."""

from __future__ import annotations

from pathlib import Path

import pytest

from dossier.handover.store import BusyError, Kept, Store, alone_in, base_of


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "store", "base")


def test_an_entry_comes_back_as_it_went_in(store: Store) -> None:
    key = store.key(["a", "b"])
    assert store.find(key) is None
    store.keep(key, b"bytes", (2, 3))
    assert store.find(key) == Kept(store.place(key), (2, 3))


def test_keys_tell_how_parts_are_cut_and_what_all_depend_on(store: Store) -> None:
    other = Store(store.folder, "other base")
    keys = [store.key(["ab", "c"]), store.key(["a", "bc"]), store.key(["abc"]), other.key(["abc"])]
    assert len(set(keys)) == 4


@pytest.mark.parametrize("damage", [b"", b"byteX", b"bytes and more"])
def test_a_corrupted_entry_is_noticed_and_made_again(store: Store, damage: bytes) -> None:
    key = store.key(["a"])
    store.keep(key, b"bytes", (1,))
    store.place(key).write_bytes(damage)
    assert store.find(key) is None
    assert store.have(key, lambda: b"bytes").path.read_bytes() == b"bytes"


@pytest.mark.parametrize("card", ["", "{", "[]", '{"sha256": 1}', '{"sha256": "x", "pages": [1]}'])
def test_a_card_that_cannot_be_read_makes_no_entry(store: Store, card: str) -> None:
    key = store.key(["a"])
    path = store.keep(key, b"bytes").path
    path.with_name(f"{key}.json").write_text(card, encoding="utf-8")
    assert store.find(key) is None


def test_bytes_without_a_card_are_no_entry(store: Store) -> None:
    key = store.key(["a"])
    store.keep(key, b"bytes").path.with_name(f"{key}.json").unlink()
    assert store.find(key) is None


def test_what_the_last_two_builds_did_not_use_goes(store: Store) -> None:
    keys = [store.key([name]) for name in "abc"]
    for key in keys:
        store.keep(key, b"x")
    assert store.prune(keys) == 0
    assert store.prune(keys[:2]) == 0  # the build before still used it
    assert store.prune(keys[:1]) == 1
    assert [store.find(key) is not None for key in keys] == [True, True, False]
    assert store.prune(keys[:1]) == 0  # the same build again forgets nothing


def test_leftovers_of_a_killed_run_go(store: Store) -> None:
    key = store.key(["a"])
    path = store.keep(key, b"x").path
    (path.parent / ".half0_wr").write_bytes(b"ha")
    store.prune([key])
    assert sorted(p.name for p in path.parent.iterdir()) == [key, f"{key}.json"]


def test_whole_entries_of_another_store_are_taken_over(store: Store, tmp_path: Path) -> None:
    other = Store(tmp_path / "other", "base")
    good, bad = other.key(["good"]), other.key(["bad"])
    other.keep(good, b"good", (4,))
    other.keep(bad, b"bad")
    other.place(bad).write_bytes(b"BAD")
    assert store.take_over(other.folder) == 1
    assert store.find(good) == Kept(store.place(good), (4,))
    assert store.find(bad) is None


def test_a_second_build_is_kept_out_with_a_message(tmp_path: Path) -> None:
    told = pytest.raises(BusyError, match="another build is writing here")
    with alone_in(tmp_path), told, alone_in(tmp_path):
        pytest.fail("two at once")
    with alone_in(tmp_path):
        assert tmp_path.is_dir()


def test_own_templates_are_part_of_what_all_depends_on(tmp_path: Path) -> None:
    (tmp_path / "a.html").write_text("one", encoding="utf-8")
    before = base_of(tmp_path)
    (tmp_path / "a.html").write_text("two", encoding="utf-8")
    assert len({before, base_of(tmp_path), base_of(None)}) == 3


def test_files_of_somebody_else_stay_where_they_are(store: Store) -> None:
    key = store.key(["a"])
    store.keep(key, b"x")
    films = [store.folder / "RT" / "film-0017.pdf", store.folder / "ab" / ("f" * 64)]
    for film in films:
        film.parent.mkdir(parents=True, exist_ok=True)
        film.write_bytes(b"film")
    for _ in range(3):
        store.prune([store.key(["b"])])
    assert store.find(key) is None
    assert all(film.read_bytes() == b"film" for film in films)


def test_nothing_goes_while_another_build_uses_the_store(store: Store) -> None:
    key = store.key(["a"])
    store.keep(key, b"x")
    with store.in_use(), store.in_use():
        for _ in range(3):
            assert store.prune([store.key(["b"])]) == 0
    assert store.find(key) is not None
    assert store.prune([store.key(["b"])]) == 1
