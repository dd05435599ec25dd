"""The commands of the handover: arguments, exit codes, what they print."""

from __future__ import annotations

from pathlib import Path

import pytest

from dossier.cli import main
from tests.handover import small
from tests.handover.conftest import Made


def test_shares_and_join_by_the_command_line(
    made: Made, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    common = [str(made.project), "--out", str(tmp_path / "out")]
    store = ["--store", str(tmp_path / "store")]
    assert main(["join", *common, *store, "--from", str(tmp_path / "none")]) == 2
    assert "in none of the shares" in capsys.readouterr().err
    assert main(["build", *common, "--store", str(made.store), "--shard", "1/2"]) == 0
    assert capsys.readouterr().out == ""
    assert main(["join", *common, *store, "--from", str(made.store)]) == 0
    assert "dossier.pdf" in capsys.readouterr().out
    assert small.tree(tmp_path / "out") == small.tree(made.out)


@pytest.mark.parametrize("shard", ["0/2", "3/2", "1", "a/b", "1/"])
def test_a_share_that_is_none_is_refused(made: Made, tmp_path: Path, shard: str) -> None:
    out = tmp_path / "out"
    assert main(["build", str(made.project), "--out", str(out), "--shard", shard]) == 2
    assert not out.exists()


def test_building_packing_and_proving_by_the_command_line(
    made: Made, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out, packed = tmp_path / "out", tmp_path / "handed over.zip"
    limits = ["--split-pages", "12", "--since", str(made.out)]
    store = ["--store", str(made.own_store()), "--workers", "1"]
    assert main(["build", str(made.project), "--out", str(out), *limits, *store]) == 0
    written = capsys.readouterr().out.splitlines()
    assert sum("dossier_" in Path(line).name for line in written) > 1
    arguments = ["package", str(made.project), "--built", str(out), "--out", str(packed)]
    assert main(arguments) == 0
    assert capsys.readouterr().out == f"{packed}\n"
    assert main(["verify", str(packed), "--bytes-only"]) == 0
    assert main(["verify", str(packed)]) == 0
    assert main(arguments) == 2
    assert "there already" in capsys.readouterr().err


def test_a_busy_folder_is_told_on_the_command_line(
    made: Made, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from dossier.handover.store import alone_in

    with alone_in(tmp_path):
        assert main(["build", str(made.project), "--out", str(tmp_path)]) == 2
    assert "another build is writing here" in capsys.readouterr().err
