"""Time and memory of the handover: merging, packing, building again.

    .venv/bin/python benchmarks/handover.py merge 1000 10000    # pages
    .venv/bin/python benchmarks/handover.py package 2000        # megabytes
    .venv/bin/python benchmarks/handover.py again sample_project

`merge`: pages merged, numbered, bookmarked and linked, against a bare pikepdf extend and save of
the same files (25 pages each). `package`: bag of stored files with both manifests, against the zip
library storing the same files. `again`: a build from nothing, one of nothing new, one with 1 % of
the joints changed, neighbours all. Every figure comes from a process of its own; the kinds of runs
take turns. Seconds are given of the clock and of the processor, children included.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import shutil
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))
PAGES = 25  # of a source
BLOCK = 1 << 20


def sources(folder: Path, pages: int) -> list[Path]:
    """Files of 25 pages of a printed table each, sixteen of them distinct."""
    from dossier.documents.pdf import render

    row = "".join(f"<td>{n} cell</td>" for n in range(8))
    made: list[Path] = []
    for number in range(min(16, pages // PAGES)):
        text = f"<title>{number}</title><table>{f'<tr>{row}</tr>' * 40}</table>"
        path = folder / f"{number}.pdf"
        path.write_bytes(render([f"<p>no. {number}-{n}</p>{text}" for n in range(PAGES)]).data)
        made.append(path)
    copies = []
    for number in range(pages // PAGES):
        path = folder / f"copy{number}.pdf"
        shutil.copyfile(made[number % len(made)], path)
        copies.append(path)
    return copies


def bare_merge(folder: Path) -> None:
    import pikepdf

    with pikepdf.new() as whole:
        held = [pikepdf.open(path) for path in sorted(folder.glob("copy*.pdf"))]
        for one in held:
            whole.pages.extend(one.pages)
        whole.save(folder / "bare.pdf")


def own_merge(folder: Path) -> None:
    from dossier.handover.merge import Inside, Mark, Pages, Titles, merge

    paths = sorted(folder.glob("copy*.pdf"))
    titles = Titles("P-DOS-0001", "Dossier", "0", "DRAFT: 1 open point", archival=True)
    runs = [Pages(path, own=True, first=n, count=1) for path in paths[1:] for n in range(PAGES)]
    marks = [Mark(1 + (n % PAGES > 0), f"Document {n}", n) for n in range(PAGES * len(paths))]
    inside = Inside(marks, list(range(PAGES * len(paths))))
    merge([Pages(paths[0], own=True), *runs], titles, inside, folder / "own.pdf")


def bulk(folder: Path, megabytes: int) -> None:
    """Files of half a megabyte, as scans are, of bytes that do not compress."""
    for number in range(2 * megabytes):
        (folder / f"f{number:05d}.bin").write_bytes(os.urandom(BLOCK // 2))


def bare_package(folder: Path) -> None:
    with zipfile.ZipFile(folder / "bare.zip", "w", zipfile.ZIP_STORED) as archive:
        for path in sorted(folder.glob("f*.bin")):
            archive.write(path, path.name)


def own_package(folder: Path) -> None:
    from dossier.handover.bag import Item, write_bag, zip_sink

    items = [Item(path.name, path) for path in folder.glob("f*.bin")]
    with zip_sink(folder / "own.zip", "bag") as sink:
        write_bag(sink, items, [("External-Identifier", "x")], {})


def build_again(folder: Path) -> None:
    """Build `folder`/project into `folder`/out; with a file `change` one joint in 100 anew."""
    from dossier.checks import run
    from dossier.coverage.view import view
    from dossier.handover import build
    from dossier.intake import load_project

    project = load_project(folder / "project")
    if (folder / "change").exists():
        welded = [joint.number for joint in project.joints if joint.status == "welded"]
        count = max(1, len(welded) // 100)
        chosen = set(welded[len(welded) // 2 :][:count])
        passes = tuple(
            replace(one, current_a=(one.current_a or 100.0) + 1) if one.joint in chosen else one
            for one in project.passes
        )
        project = replace(project, passes=passes)
    seen = view(project)
    build(seen, run(seen), folder / "project", folder / "out")


JOBS: dict[str, Callable[[Path], None]] = {
    job.__name__: job for job in (bare_merge, own_merge, bare_package, own_package, build_again)
}


def measured(job: str, folder: Path) -> dict[str, float]:
    """Clock and processor seconds and greatest resident memory of one job in its own process."""
    done = subprocess.run(
        [sys.executable, __file__, "job", job, str(folder)], check=True, capture_output=True
    )
    figures: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return figures


def one_job(job: str, folder: Path) -> None:
    import dossier.handover

    assert dossier.handover  # imported before the clock starts, as in a longer run
    began = time.perf_counter()
    JOBS[job](folder)
    wall = time.perf_counter() - began
    kinds = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    cpu = sum(one.ru_utime + one.ru_stime for one in kinds)
    peak = max(one.ru_maxrss for one in kinds) / 1024
    print(json.dumps({"wall": wall, "cpu": cpu, "peak": peak}))


def compared(bare: str, own: str, folder: Path, times: int) -> None:
    runs: dict[str, list[dict[str, float]]] = {bare: [], own: []}
    for _ in range(times):
        for name in (bare, own):
            for old in ("bare.zip", "own.zip"):
                (folder / old).unlink(missing_ok=True)
            runs[name].append(measured(name, folder))
    for name, found in runs.items():
        wall, cpu = (median(one[key] for one in found) for key in ("wall", "cpu"))
        peak = max(one["peak"] for one in found)
        print(f"{name}: {wall:.2f} s, processor {cpu:.2f} s, {peak:.0f} MB")
    for key in ("wall", "cpu"):
        pairs = zip(runs[own], runs[bare], strict=True)
        print(f"ratio ({key}): {median(a[key] / b[key] for a, b in pairs):.2f}")


def again(project: Path) -> None:
    with TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copytree(project, folder / "project")
        first = measured("build_again", folder)
        same = measured("build_again", folder)
        (folder / "change").touch()
        some = measured("build_again", folder)
        for told, one in (("from nothing", first), ("nothing new", same), ("1 % new", some)):
            share = 100 * one["wall"] / first["wall"]
            work = 100 * one["cpu"] / first["cpu"]
            print(f"{told}: {one['wall']:.1f} s ({share:.1f} %), processor {one['cpu']:.1f} s "
                  f"({work:.1f} %), {one['peak']:.0f} MB")  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0] if __doc__ else "")
    parser.add_argument("what", choices=("merge", "package", "again", "job"))
    parser.add_argument("given", nargs="+")
    parser.add_argument("--times", type=int, default=3)
    wanted = parser.parse_args()
    if wanted.what == "job":
        one_job(wanted.given[0], Path(wanted.given[1]))
    elif wanted.what == "again":
        again(Path(wanted.given[0]))
    else:
        for size in map(int, wanted.given):
            with TemporaryDirectory() as name:
                print(f"{wanted.what} {size}")
                fill = sources if wanted.what == "merge" else bulk
                fill(Path(name), size)
                compared(f"bare_{wanted.what}", f"own_{wanted.what}", Path(name), wanted.times)


if __name__ == "__main__":
    main()
