"""The manual page as the formatter reads it."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from dossier.commands import NAMES

PAGE = Path(__file__).parents[2] / "docs" / "dossier.1"


@pytest.mark.skipif(not shutil.which("groff"), reason="groff is not installed")
def test_the_manual_is_formatted_without_a_warning() -> None:
    command = ["groff", "-man", "-Tutf8", "-ww", "-P-c", str(PAGE)]
    ran = subprocess.run(command, capture_output=True, text=True, check=True, encoding="utf-8")
    assert ran.stderr == ""
    assert all(f"dossier {name}" in " ".join(ran.stdout.split()) for name in NAMES)
