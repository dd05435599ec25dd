"""What a shell completes, asked of the shell itself."""

from __future__ import annotations

import shlex
import shutil
import subprocess
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.commands import NAMES
from dossier.resources import shared

_ASK = """
source {file}
cd {folder}
COMP_WORDS=({words})
COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1))
COMP_LINE="${{COMP_WORDS[*]}}"
COMP_POINT=${{#COMP_LINE}}
spec=$(complete -p dossier) && spec=${{spec##*-F }} && function=${{spec%% *}}
$function dossier "${{COMP_WORDS[COMP_CWORD]}}" "${{COMP_WORDS[COMP_CWORD-1]}}"
printf '%s\\n' "${{COMPREPLY[@]}}"
"""


def offered(folder: Path, *typed: str) -> set[str]:
    """What bash offers for the last of the words typed."""
    file = shared("completions") / "dossier.bash"
    words = " ".join(shlex.quote(word) for word in ("dossier", *typed))
    script = _ASK.format(file=shlex.quote(str(file)), folder=shlex.quote(str(folder)), words=words)
    command = ["bash", "--norc", "--noprofile", "-c", script]
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    assert ran.stderr == ""
    return {line.strip() for line in ran.stdout.splitlines()} - {""}


def test_every_command_is_offered(tmp_path: Path) -> None:
    assert offered(tmp_path, "") >= set(NAMES)
    assert offered(tmp_path, "ch") == {"check"}


def test_options_and_their_values(tmp_path: Path) -> None:
    assert offered(tmp_path, "check", "--fa") == {"--fail-on"}
    assert offered(tmp_path, "check", "--format", "") >= {"text", "json", "sarif", "junit"}
    assert offered(tmp_path, "ready", "--for", "lo") == {"lowering"}
    assert "pass-interval" in offered(tmp_path, "check", "--only", "pass-i")
    assert offered(tmp_path, "templates", "") >= {"list", "show", "check"}


def test_names_that_a_command_knows(tmp_path: Path) -> None:
    assert "arc_energy_kj_mm" in offered(tmp_path, "calc", "arc_")
    assert "who-welded" in offered(tmp_path, "ask", "project", "who")
    assert "joints" in offered(tmp_path, "schema", "jo")


def test_folders_and_files_of_the_place(tmp_path: Path) -> None:
    (tmp_path / "northern lateral").mkdir()
    (tmp_path / "notes.txt").touch()
    assert offered(tmp_path, "check", "no") == {"northern lateral"}
    assert offered(tmp_path, "range", "no") == {"northern lateral", "notes.txt"}


@pytest.mark.parametrize("shell", ["bash", "zsh"])
def test_the_command_prints_what_the_shell_reads(
    shell: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["completion", shell]) == 0
    told = capsys.readouterr().out
    assert all(name in told for name in NAMES)
    if shutil.which(shell):
        subprocess.run([shell, "-n"], input=told, text=True, check=True)
