"""What is installed is pinned, listed and as little as the core needs."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import dossier
from docs import make_third_party

ROOT = Path(__file__).parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
EXTRAS = PROJECT["optional-dependencies"]
_PIN = re.compile(
    r"^([\w.-]+)==([\w.!+-]+)(?: ;[^\\\n]*)? \\\n((?:    --hash=.*\n?)+)", re.MULTILINE
)


def pins(name: str) -> dict[str, str]:
    """The releases of a lock file; a line that is neither a pin nor a hash of one fails."""
    text = (ROOT / ".ci" / "lock" / name).read_text(encoding="utf-8")
    assert not _PIN.sub("", text).strip()
    found = {canonicalize_name(pin[1]): pin[2] for pin in _PIN.finditer(text)}
    hashes = re.findall(r"--hash=(\S+)", text)
    assert all(re.fullmatch(r"sha256:[0-9a-f]{64}", one) for one in hashes)
    return found


def unmet(wanted: list[str], pinned: dict[str, str]) -> Iterator[str]:
    for requirement in map(Requirement, wanted):
        release = pinned.get(canonicalize_name(requirement.name))
        if release is None or not requirement.specifier.contains(release):
            yield str(requirement)


def test_the_version_is_the_same_everywhere() -> None:
    changes = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    newest = re.findall(r"^## (\S+)", changes, re.MULTILINE)[0]
    assert PROJECT["version"] == dossier.__version__ == newest


def test_the_lock_holds_what_the_project_asks_for() -> None:
    assert list(unmet(PROJECT["dependencies"], pins("core.txt"))) == []
    everything = [*PROJECT["dependencies"], *(one for extra in EXTRAS.values() for one in extra)]
    assert list(unmet(everything, pins("all.txt"))) == []


def test_core_and_build_are_pinned_alike_everywhere() -> None:
    everything = pins("all.txt")
    for name, release in {**pins("core.txt"), **pins("build.txt")}.items():
        assert everything[name] == release, name


def test_no_extra_and_no_tool_is_in_the_core() -> None:
    core = set(make_third_party.needed(PROJECT["dependencies"]))
    extras = {
        canonicalize_name(Requirement(one).name) for extra in EXTRAS.values() for one in extra
    }
    assert not core & extras
    assert core <= set(pins("core.txt"))


def test_no_file_of_the_lock_names_an_index() -> None:
    for path in (ROOT / ".ci" / "lock").iterdir():
        assert "://" not in path.read_text(encoding="utf-8"), path


def test_every_package_is_listed_with_licence_and_reason() -> None:
    committed = make_third_party.LISTING.read_text(encoding="utf-8")
    rows = dict(re.findall(r"^\| ([\w.-]+) \| ([^|]+) \| [^|]+ \|$", committed, re.MULTILINE))
    direct = [*PROJECT["dependencies"], *(one for extra in EXTRAS.values() for one in extra)]
    assert {canonicalize_name(Requirement(one).name) for one in direct} <= set(rows)
    assert set(pins("core.txt")) - set(rows) <= {"brotlicffi"}  # of another Python than CPython
    assert all(licence.strip() for licence in rows.values())


def test_the_listing_is_up_to_date() -> None:
    missing = [
        one for one in pins("all.txt") if one in make_third_party.WHY and not _installed(one)
    ]
    if missing:
        pytest.skip(f"not installed: {', '.join(missing)}")
    committed = make_third_party.LISTING.read_text(encoding="utf-8").splitlines()
    made = make_third_party.listing().splitlines()
    assert set(made) <= set(committed), "run docs/make_third_party.py"
    assert made == committed or sys.version_info >= (3, 12)  # later ones need less


def _installed(name: str) -> bool:
    try:
        return bool(metadata.version(name))
    except metadata.PackageNotFoundError:
        return False


def test_the_typefaces_and_their_licence_are_listed() -> None:
    committed = make_third_party.LISTING.read_text(encoding="utf-8")
    families = {path.stem.partition("-")[0] for path in (ROOT / "templates/fonts").glob("*.ttf")}
    assert families == {"DejaVuSansCondensed", "DejaVuSerifCondensed"}
    assert "DejaVu Sans Condensed and Serif Condensed" in committed
    assert "templates/fonts/LICENSE-DejaVu.txt" in committed


@pytest.mark.whole
@pytest.mark.skipif(not shutil.which("cyclonedx-py", path=str(Path(sys.executable).parent)),
                    reason="cyclonedx-bom is not installed")  # fmt: skip
def test_the_bill_of_materials_names_every_package_with_its_licence(tmp_path: Path) -> None:
    out = tmp_path / "bill.json"
    tool = Path(sys.executable).parent / "cyclonedx-py"
    asked = [
        "environment",
        "--pyproject",
        str(ROOT / "pyproject.toml"),
        "--sv",
        "1.6",
        "--of",
        "JSON",
    ]
    subprocess.run([tool, *asked, "--validate", "--output-reproducible", "-o", out, sys.executable],
                   check=True, capture_output=True, cwd=ROOT)  # fmt: skip
    bill = json.loads(out.read_text(encoding="utf-8"))
    found = {canonicalize_name(one["name"]): one for one in bill["components"]}
    core = set(make_third_party.needed(PROJECT["dependencies"]))
    assert core <= set(found)
    # Whose field names two licences in a sentence; THIRD-PARTY.md tells it.
    assert {name for name in core if not found[name].get("licenses")} <= {"pypdfium2"}
    whole = bill["metadata"]["component"]
    assert (whole["name"], whole["version"]) == ("dossier", dossier.__version__)
