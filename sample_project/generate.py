"""Make the sample project: `python -m sample_project.generate [--mended OUT] [--out DIR]`.

Without arguments the folder of this file is written, with the planted faults and FAULTS.md, the
table of them. `--mended` leaves the faults out: such a project must give no finding at all. The
same call writes the same bytes every time; no clock and no chance is asked.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from sample_project._making import (
    after,
    faults_after,
    faults_records,
    faults_welding,
    files,
    materials,
    papers,
    people,
    planned,
    procedures,
    scans,
    settings,
    works,
)
from sample_project._making.base import Data
from sample_project._making.planting import Expected, Fault, Planted

HERE = Path(__file__).parent
FAULTS: list[Fault] = [*faults_welding.FAULTS, *faults_after.FAULTS, *faults_records.FAULTS]


def clean() -> tuple[Data, papers.Scans]:
    """The whole project without a fault, and what is written on its papers."""
    data: Data = {"concessions": []}
    for part in (settings, materials, procedures, people, works, after, planned):
        part.build(data)
    return data, papers.build(data)


def planted(data: Data) -> list[tuple[Fault, Planted]]:
    """Plant all faults in `data`; each with where it stands and what it must give."""
    return [(fault, fault.plant(data)) for fault in FAULTS]


def expected() -> list[Expected]:
    """Every finding that the project with its faults must give, and no other."""
    data, _ = clean()
    return [one for _, done in planted(data) for one in done.expected]


def write(folder: Path, *, mended: bool = False) -> None:
    """Write the project below `folder`; with `mended`, without the faults and their table."""
    data, pages = clean()
    pages["D-0901"] = [faults_welding.CONCESSION_PAPER]  # a paper that only the faults call for
    marks = [] if mended else planted(data)
    places = files.write(data, folder)
    for document in data["documents"]:
        scans.write(folder / document["file"], document["number"], pages[document["number"]])
    if not mended:
        (folder / "FAULTS.md").write_text(_table(marks, places, folder), encoding="utf-8")


_HEAD = """# Faults planted in the sample project

Written by `python -m sample_project.generate`; do not edit. The project is invented from end to
end. Everything not listed here is in order: the checks must give the findings below and no other.
Without the faults (`--mended`) they must give none.

| no. | key | where | what is wrong | finding |
|---|---|---|---|---|
"""


def _table(marks: list[tuple[Fault, Planted]], places: files.Places, folder: Path) -> str:
    lines = []
    for number, (fault, done) in enumerate(marks, 1):
        found = "<br>".join(str(one) for one in done.expected)
        where = done.where(places, folder)
        lines.append(f"| {number} | {fault.key} | {where} | {fault.wrong} | {found} |\n")
    return _HEAD + "".join(lines)


def main() -> None:
    """Read the arguments and write."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--mended", metavar="OUT", type=Path, help="write it without the faults")
    parser.add_argument("--out", metavar="DIR", type=Path, default=HERE, help="write it elsewhere")
    given = parser.parse_args()
    if given.mended:
        write(given.mended, mended=True)
    else:
        write(given.out)


if __name__ == "__main__":
    main()
