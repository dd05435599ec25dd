"""What a process that makes many documents keeps: no cache without end, no folder of fonts."""

import functools
import gc
import importlib
import os
import pkgutil
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

import dossier

MOST = 1024  # entries of a cache whose keys come from projects
RENDER = "from dossier.documents.pdf import render\nassert render(['<p>J-1</p>']).pages == (1,)\n"
WORKER = """
import multiprocessing

from dossier.documents.pdf import render

if __name__ == "__main__":
    with multiprocessing.get_context("{}").Pool(1) as pool:
        assert pool.apply(render, (["<p>J-1</p>"],)).pages == (1,)
        pool.close()
        pool.join()
"""
# Asked by name of a register, a field, a status or a record type: as many as the tool has.
CLOSED = {
    "dossier.calc.catalogue.list_formulas",
    "dossier.checks._asked",
    "dossier.coverage.references._holders",
    "dossier.intake.entry_layout.layout",
    "dossier.intake.heading_match._words",
    "dossier.intake.heading_match.field_words",
    "dossier.intake.joint_files.joint_file_schema",
    "dossier.intake.joint_stream._codec",
    "dossier.intake.joint_stream._plain_gate",
    "dossier.intake.load.record_type",
    "dossier.intake.schemas.schema",
    "dossier.intake.shape.shape",
    "dossier.intake.stream_lines._loads",
    "dossier.intake.validate._registry",
}


def caches() -> dict[str, int | None]:
    """Every cache of the package, with how many entries it may hold."""
    for module in pkgutil.walk_packages(dossier.__path__, "dossier."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    gc.unfreeze()  # what workers are forked from hides what it has loaded from the collector
    return {
        f"{one.__module__}.{one.__qualname__}": one.cache_info().maxsize
        for one in gc.get_objects()
        if isinstance(one, functools._lru_cache_wrapper) and one.__module__.startswith("dossier")
    }


def test_a_cache_without_bound_has_few_keys_for_sure() -> None:
    found = caches()
    assert found["dossier.units.convert"] == MOST
    assert {name for name, most in found.items() if most is None} <= CLOSED
    assert max(most for most in found.values() if most is not None) <= MOST


@pytest.mark.parametrize(
    "code",
    [RENDER, WORKER.format("spawn"), WORKER.format("forkserver")],
    ids=["alone", "spawned", "forked"],
)
def test_the_folder_of_fonts_goes_with_the_process(code: str, tmp_path: Path) -> None:
    program = tmp_path / "program.py"
    program.write_text(code, encoding="utf-8")
    root = str(Path(dossier.__file__).resolve().parent.parent)
    with TemporaryDirectory() as folder:  # the name of a socket in it may have about 100 letters
        done = subprocess.run(
            [sys.executable, str(program)],
            env={**os.environ, "TMPDIR": folder, "PYTHONPATH": root},
            capture_output=True, text=True, check=False, timeout=120,
        )  # fmt: skip
        left = [path.name for path in Path(folder).glob("weasyprint-*")]
    assert (done.returncode, done.stderr) == (0, "")
    assert left == []
