"""Every command of README and documentation is known, and runs as it is written."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from docs.command_tree import Command, commands
from docs.examples import EXAMPLES
from docs.make_site import sources
from dossier.commands import NAMES

ROOT = Path(__file__).parents[2]
_BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_INLINE = re.compile(r"`(dossier [a-z][^`]*)`")
# Set up the machine or run these tests; CI runs them as they stand.
_ELSEWHERE = ("sample_project/demo", "tests/run", ".ci/run", ".venv/bin/pre-commit")
# Findings, joints held up, differences or faults: these answer 1 where there are any.
_MAY_FIND = ("check", "ready", "compare", "templates", "migrate")
_SLOW_S = 1200


def blocks(source: str, language: str) -> Iterator[str]:
    """The blocks of one language in a page."""
    for found in _BLOCK.finditer((ROOT / source).read_text(encoding="utf-8")):
        if found[1] == language:
            yield found[2]


def shell_lines(source: str) -> list[str]:
    """The command lines of a page, without those that are run elsewhere."""
    lines = (
        line.partition(" #")[0].rstrip() for b in blocks(source, "sh") for line in b.splitlines()
    )
    return [line for line in lines if line and not line.startswith(_ELSEWHERE)]


def known() -> dict[str, Command]:
    found = {one.name: one for one in commands()}
    return found | {below.name: below for one in commands() for below in one.actions}


def test_every_command_has_an_example() -> None:
    assert set(EXAMPLES) == set(NAMES)


@pytest.mark.parametrize("source", sources())
def test_commands_named_in_a_text_and_their_options_exist(source: str) -> None:
    text = (ROOT / source).read_text(encoding="utf-8")
    every = [found[1].split() for found in _INLINE.finditer(text)]
    every += [line.split() for line in shell_lines(source) if line.startswith("dossier")]
    for _, *words in every:
        names = [" ".join(words[:2]), words[0]]
        command = next((known()[name] for name in names if name in known()), None)
        assert command, words
        options = {a.written.split()[0] for a in command.arguments}
        given = {word for word in words if word.startswith("--")}
        assert given <= options | {"--help"}, words


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the sample project and a key, in which all pages are tried one by one."""
    folder = tmp_path_factory.mktemp("tried")
    for name in ("sample_project", "docs/own-form"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(folder / "sample_project", folder / "PROJECT")  # one with its own templates
    shutil.copytree(folder / "docs/own-form/templates", folder / "PROJECT/templates")
    (folder / "phrase.txt").write_text("a phrase for this test\n", encoding="utf-8")
    new_key(folder / "key.p12", b"a phrase for this test")
    (folder / "bin").mkdir()
    tool = folder / "bin" / "dossier"
    tool.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m dossier.cli "$@"\n', encoding="utf-8")
    tool.chmod(0o755)
    return folder


def new_key(path: Path, phrase: bytes) -> None:
    """A key with a certificate of its own, of an invented signatory."""
    subject = "/CN=Invented Signatory"
    made = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-subj", subject]
    subprocess.run([*made, "-days", "30", "-keyout", "key.pem", "-out", "key.crt"],
                   cwd=path.parent, check=True, capture_output=True)  # fmt: skip
    packed = ["openssl", "pkcs12", "-export", "-inkey", "key.pem", "-in", "key.crt"]
    subprocess.run([*packed, "-out", path.name, "-passout", f"pass:{phrase.decode()}"],
                   cwd=path.parent, check=True, capture_output=True)  # fmt: skip


def environment(place: Path) -> dict[str, str]:
    path = f"{place / 'bin'}{os.pathsep}{os.environ['PATH']}"
    return {**os.environ, "PATH": path, "PYTHONPATH": str(ROOT)}


@contextmanager
def inside(place: Path) -> Iterator[None]:
    before = Path.cwd()
    os.chdir(place)
    try:
        yield
    finally:
        os.chdir(before)


def served(line: str, place: Path) -> None:
    """`dossier serve` runs until it is interrupted; it must first say where."""
    with subprocess.Popen(
        line.split(), cwd=place, env=environment(place), text=True,
        stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, preexec_fn=_heeds_interrupts,
    ) as running:  # fmt: skip
        try:
            assert running.stdout
            assert running.stdout.readline().startswith("http://127.0.0.1:")
            running.send_signal(signal.SIGINT)
            assert running.wait(60) == 0
        finally:
            running.kill()


def _heeds_interrupts() -> None:
    """A shell starts what runs in the background deaf to interrupts, and so would be the server."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def begun_anew(source: str, place: Path) -> None:
    """Clear what earlier pages made; what they rendered is kept beside it, and saves the time."""
    (place / "out").mkdir(exist_ok=True)
    for made in (place / "out").iterdir():
        if not made.name.startswith("."):
            shutil.rmtree(made) if made.is_dir() else made.unlink()
    for line in shell_lines(source):
        started = re.match(r"dossier new (\w+)|cp -r sample_project (\w+)", line)
        if started:
            shutil.rmtree(place / (started[1] or started[2]), ignore_errors=True)


@pytest.mark.whole
@pytest.mark.parametrize("source", [s for s in sources() if shell_lines(s)])
def test_the_commands_of_a_page_run(source: str, place: Path) -> None:
    begun_anew(source, place)
    for written in shell_lines(source):
        line = written.removeprefix(".venv/bin/")
        if line.startswith("dossier serve"):
            served(line, place)
            continue
        ran = subprocess.run(
            ["sh", "-c", line], cwd=place, env=environment(place), timeout=_SLOW_S,
            capture_output=True, text=True, check=False,
        )  # fmt: skip
        name = line.split()[1] if line.startswith("dossier ") else ""
        assert ran.returncode in ((0, 1) if name in _MAY_FIND else (0,)), (line, ran.stderr[-2000:])
        assert "Traceback" not in ran.stderr, line


@pytest.mark.whole
def test_the_python_of_a_page_runs(place: Path, capsys: pytest.CaptureFixture[str]) -> None:
    names: dict[str, object] = {}
    with inside(place):
        for block in blocks("docs/python.md", "python"):
            exec(compile(block, "docs/python.md", "exec"), names)  # noqa: S102 - our own page
        assert Path("out/ML-101.pdf").is_file()
    told = capsys.readouterr().out
    assert "free," in told
    assert "ML-" in told
