"""The wheel: the same bytes from the same source, and whole without the checkout."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from email import message_from_string
from pathlib import Path

import pytest

import dossier
from tests.trial import CLEAN, read, written

ROOT = Path(__file__).parent.parent
_EPOCH = "1767225600"  # a fixed moment, 2026-01-01


def built(folder: Path, name: str) -> Path:
    """A wheel built from a fresh copy of what is under version control, or would be."""
    source = folder / name / "source"
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    for file in filter(None, listed.stdout.split("\0")):
        if (ROOT / file).is_file():
            target = source / file
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes((ROOT / file).read_bytes())
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder / name)]
    environment = {**os.environ, "SOURCE_DATE_EPOCH": _EPOCH}
    subprocess.run(command, cwd=source, env=environment, check=True, capture_output=True)
    (wheel,) = (folder / name).glob("*.whl")
    return wheel


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built(tmp_path_factory.mktemp("wheel"), "first")


@pytest.mark.whole
def test_the_same_source_gives_the_same_bytes(wheel: Path, tmp_path: Path) -> None:
    again = built(tmp_path, "second")
    assert again.name == wheel.name == f"dossier-{dossier.__version__}-py3-none-any.whl"
    assert again.read_bytes() == wheel.read_bytes()


@pytest.mark.whole
def test_the_wheel_holds_what_the_program_reads_and_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
        (metadata,) = (name for name in names if name.endswith(".dist-info/METADATA"))
        told = message_from_string(archive.read(metadata).decode())
    data = f"dossier-{dossier.__version__}.data/data/share"
    assert {
        "dossier/py.typed",
        "dossier/_shared/schemas/project.schema.json",
        "dossier/_shared/templates/fonts/DejaVuSansCondensed.ttf",
        "dossier/_shared/templates/fonts/LICENSE-DejaVu.txt",
        "dossier/_shared/completions/dossier.bash",
        f"{data}/man/man1/dossier.1",
        f"{data}/bash-completion/completions/dossier",
        f"{data}/zsh/site-functions/_dossier",
    } <= names
    tops = {name.partition("/")[0] for name in names}
    version = dossier.__version__
    assert tops == {"dossier", f"dossier-{version}.dist-info", f"dossier-{version}.data"}
    assert told["Version"] == version == "1.0.0"
    assert told["License-Expression"] == "Apache-2.0"


@pytest.mark.whole
def test_it_builds_a_dossier_from_a_clean_environment_in_another_folder(
    wheel: Path, tmp_path: Path
) -> None:
    """Installed without an index: what it needs is seen in this environment, it itself is not."""
    home = tmp_path / "clean"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(home)], check=True)
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "--python", str(home)]
    subprocess.run([*pip, "install", "-q", "--no-index", "--no-deps", str(wheel)], check=True)
    needed(home)
    folder = tmp_path / "elsewhere"
    folder.mkdir()
    written(read(CLEAN), folder)
    tool = home / "bin" / "dossier"
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONPATH"}
    for command in (["check", "."], ["build", ".", "--out", "out", "--workers", "1"]):
        ran = subprocess.run([tool, *command], cwd=folder, env=environment,
                             capture_output=True, text=True, check=False)  # fmt: skip
        assert ran.returncode == 0, ran.stderr
    assert (folder / "out" / "dossier.pdf").read_bytes().startswith(b"%PDF-")
    where = [home / "bin" / "python", "-c", "import dossier; print(dossier.__file__)"]
    ran = subprocess.run(
        where, cwd=folder, env=environment, capture_output=True, text=True, check=True
    )
    assert Path(ran.stdout.strip()).is_relative_to(home)


def needed(home: Path) -> None:
    """Let the clean environment see each installed package but ours, as if installed there."""
    (site,) = home.glob("lib/python3*/site-packages")
    import docxtpl

    here = Path(docxtpl.__file__).parents[1]
    for one in here.iterdir():
        ours = one.name.lower().startswith(("dossier", "__editable__", "_editable", "_dossier"))
        if not ours and one.suffix != ".pth" and not (site / one.name).exists():
            (site / one.name).symlink_to(one)
