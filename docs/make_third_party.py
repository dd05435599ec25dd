"""Write THIRD-PARTY.md: every package that is installed, its licence and why it is needed.

Usage: python docs/make_third_party.py   (on Python 3.11, after .ci/setup dev)
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator
from importlib import metadata
from pathlib import Path
from typing import Final

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parent.parent
LISTING = ROOT / "THIRD-PARTY.md"
# The oldest Python that is supported; it needs what later ones have built in.
_MACHINE: Final = {
    "extra": "", "implementation_name": "cpython", "os_name": "posix",
    "platform_python_implementation": "CPython", "platform_system": "Linux",
    "python_full_version": "3.11.0", "python_version": "3.11", "sys_platform": "linux",
}  # fmt: skip
WHY: Final = {
    "defusedxml": "reads XML of strangers without following what it points to",
    "docxtpl": "fills in Word forms",
    "jsonschema": "validates records, with words on what is wrong",
    "openpyxl": "reads and writes workbooks",
    "pikepdf": "merges, stamps and reads PDF",
    "pypdfium2": "renders pages, to look at scans and to prove pictures",
    "pyyaml": "reads YAML, with a constructor of our own",
    "segno": "draws QR codes",
    "weasyprint": "makes PDF/A and PDF/UA from HTML",
    "jsonschema-rs": "validates long registers quickly; must agree with jsonschema",
    "orjson": "reads JSON lines quickly",
    "python-calamine": "reads long workbooks quickly; must agree with openpyxl",
    "pyhanko": "signs PDF and proves signatures",
    "distributed": "renders on several machines",
    "pydicom": "reads headers of digital radiographs",
    "scipy": "proves that a plan has the fewest tests",
    "axe-playwright-python": "judges the review page for readers with a disability",
    "bagit": "an outside reader of the package",
    "cyclonedx-bom": "writes the bill of materials",
    "frictionless": "an outside reader of the tables of the package",
    "hypothesis": "makes up inputs",
    "import-linter": "holds the layers",
    "markdown-it-py": "turns the documentation into pages",
    "mutmut": "plants faults in formulas, to see whether a test notices",
    "mypy": "checks types",
    "pint": "an outside judge of units",
    "playwright": "drives the browser in which the review page is tested",
    "pre-commit": "runs the checks before a commit",
    "pytest": "runs the tests",
    "pytest-xdist": "runs the tests on two processes",
    "radioactivedecay": "an outside judge of source decay",
    "ruff": "lints and formats",
    "shtab": "makes the completion of shells",
    "types-defusedxml": "types",
    "types-jsonschema": "types",
    "types-openpyxl": "types",
    "types-pyyaml": "types",
    "xlsxwriter": "writes workbooks to be read back",
    "yamllint": "lints YAML",
    "hatchling": "builds the wheel",
    "editables": "installs a checkout as it is",
}
# Where the metadata say nothing that can be read at a glance; from the licence file of the package.
_SAID: Final = {
    "axe-playwright-python": "MIT (carries axe-core, MPL-2.0)",
    "pyphen": "GPL-2.0-or-later, LGPL-2.0-or-later or MPL-1.1, as one chooses",
    "pypdfium2": "BSD-3-Clause or Apache-2.0 (carries PDFium, BSD-3-Clause and Apache-2.0)",
    "pikepdf": "MPL-2.0 (carries qpdf, Apache-2.0)",
    "lxml": "BSD-3-Clause (carries libxml2 and libxslt, MIT)",
    "scipy": "BSD-3-Clause (carries OpenBLAS and HiGHS, BSD-3-Clause and MIT)",
    "defusedxml": "PSF-2.0",
    "radioactivedecay": "MIT (its decay data come with terms of their own)",
}
_INTRO = """# Third parties

Made by `docs/make_third_party.py` from the metadata of the packages; do not edit by hand. What a
package carries inside is noted from its own licence file. All are used as they are published;
none is changed or copied into this project.
"""
_BUNDLED = """## Bundled with the project

| what | licence | why |
|---|---|---|
| DejaVu Sans Condensed and Serif Condensed (`templates/fonts`) | [Bitstream Vera, changes in the public domain](templates/fonts/LICENSE-DejaVu.txt) | embedded in every document, so that it looks the same everywhere |

## Of the system

| what | licence | why |
|---|---|---|
| Python | PSF-2.0 | |
| Pango, GLib | LGPL-2.1-or-later, LGPL-2.0-or-later | lays out text |
| HarfBuzz, Fontconfig | MIT | shapes text, finds typefaces |
"""  # noqa: E501 - rows of tables


def listing() -> str:
    """The whole page. A package that only another Python needs is left out."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    core = needed(project["dependencies"])
    lines = [_INTRO, "## Installed with the core", "", *_table(core)]
    known = dict(core)
    for extra, wanted in project["optional-dependencies"].items():
        if extra != "dev":
            more = {k: v for k, v in needed(wanted).items() if k not in core}
            known |= more
            lines += [f"## Added by the extra `{extra}`", "", *_table(more)]
    tools = [*project["optional-dependencies"]["dev"], "hatchling", "editables"]
    own = {canonicalize_name(Requirement(one).name): {""} for one in tools}
    lines += [
        "## For development and building",
        "",
        "What these need in turn is in the lock file.",
        "",
    ]
    lines += [*_table({k: v for k, v in own.items() if k not in known}), _BUNDLED]
    return "\n".join(lines)


def needed(wanted: Iterable[str]) -> dict[str, set[str]]:
    """All packages that come with those wanted, each with the packages that ask for it."""
    found: dict[str, set[str]] = {}
    todo = [(Requirement(one), "") for one in wanted]
    while todo:
        requirement, asked_by = todo.pop()
        name = canonicalize_name(requirement.name)
        if not _there(name):
            continue
        if name not in found or requirement.extras:
            todo += [(one, name) for one in _asked(name, requirement.extras)]
        found.setdefault(name, set()).add(asked_by)
    return found


def _there(name: str) -> bool:
    try:
        metadata.distribution(name)
    except metadata.PackageNotFoundError:
        return False
    return True


def _asked(name: str, extras: Iterable[str]) -> Iterator[Requirement]:
    for text in metadata.requires(name) or []:
        one = Requirement(text)
        marker, ways = one.marker, ({**_MACHINE, "extra": extra} for extra in ("", *extras))
        if marker is None or any(marker.evaluate(way) for way in ways):
            yield one


def licence(name: str) -> str:
    """The licence as the package states it: expression, else short field, else classifiers."""
    told = metadata.metadata(name)
    field = told.get("License") or ""
    classes = (
        c.split("::")[-1].strip() for c in told.get_all("Classifier") or [] if "License ::" in c
    )
    short = field if 0 < len(field) <= 40 and "\n" not in field else ""
    return _SAID.get(name) or told.get("License-Expression") or short or ", ".join(classes)


def _table(packages: dict[str, set[str]]) -> list[str]:
    rows = []
    for name, asked_by in sorted(packages.items()):
        why = WHY[name] if "" in asked_by else f"needed by {', '.join(sorted(asked_by))}"
        rows.append(f"| {name} | {licence(name)} | {why} |")
    return ["| package | licence | why |", "|---|---|---|", *rows, ""]


if __name__ == "__main__":
    LISTING.write_text(listing(), encoding="utf-8")
    print(LISTING)
