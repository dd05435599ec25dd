"""Speed of the documents, each against the bare library on the same content in the same run.

    .venv/bin/python benchmarks/documents.py docx 40
    .venv/bin/python benchmarks/documents.py pages 200
    .venv/bin/python benchmarks/documents.py xlsx 100000

docx: documents a second against a fresh template for each; aim 2.2 times its rate or more.
pages: joint histories from records to one merged, bookmarked and numbered file, against WeasyPrint
alone in two processes on the same HTML; aim 1.0 times its rate or more, 250 MB a worker or less.
xlsx: a register of N rows and 40 columns against openpyxl's write-only mode with the bare values;
aim 1.1 times its time or less. The kinds take turns and each has a process of its own; seconds are
processor time of the process and all below it, since a shared machine's clock says little. The peak
is that of the process, for pages that of the greatest worker. Needs Linux.
"""

from __future__ import annotations

import argparse
import io
import json
import os
import re
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

CHUNK = 25  # documents in one HTML chunk of the bare renderer
COLUMNS = 40


def _sheets(count: int) -> tuple[Any, list[dict[str, Any]]]:
    from dossier.coverage.view import view
    from dossier.documents import procedure
    from dossier.documents.answers import answers_of
    from tests.documents import example

    seen = view(example.project(), example.AS_OF)
    answers = answers_of(seen.project)
    return seen, [
        dict(procedure.context(seen, example.WPS, answers, f"HX-WPS-{n:04d}")) for n in range(count)
    ]


def docx_ours(count: int) -> Callable[[], int]:
    from dossier.documents.docx import render_docx

    seen, sheets = _sheets(count + 1)
    render_docx("procedure.docx", sheets[0], seen.as_of)  # the drawings, alike for both
    return lambda: sum(
        len(render_docx("procedure.docx", one, seen.as_of)) > 0 for one in sheets[1:]
    )


def docx_bare(count: int) -> Callable[[], int]:
    from docxtpl import DocxTemplate
    from jinja2 import StrictUndefined
    from jinja2.sandbox import SandboxedEnvironment

    from dossier.documents.docx import _pictured
    from dossier.resources import shared

    _, sheets = _sheets(count + 1)
    path = str(shared("templates") / "docx" / "procedure.docx")

    def one(sheet: dict[str, Any]) -> int:
        template = DocxTemplate(path)
        made = SandboxedEnvironment(autoescape=True, undefined=StrictUndefined)
        made.filters["shade"] = lambda _: "auto"
        made.globals["_"] = str
        template.render(_pictured(sheet, template, {}), jinja_env=made)
        out = io.BytesIO()
        template.save(out)
        return len(out.getvalue()) > 0

    one(sheets[0])
    return lambda: sum(map(one, sheets[1:]))


def _contexts(count: int) -> list[Any]:
    from dossier.coverage.view import view
    from dossier.documents.joint_history import history
    from tests.documents import example

    seen = view(example.project(count), example.AS_OF)
    return [
        history(seen, [], joint, place) for place, joint in enumerate(seen.project.joints, start=1)
    ]


def _histories(count: int) -> list[str]:
    from dossier.documents.pages import page

    return [page("joint_history.html", data) for data in _contexts(count)]


def pages_ours(count: int) -> Callable[[], int]:
    def run() -> int:
        from dossier.handover.merge import Inside, Mark, Pages, Titles, merge
        from dossier.handover.plan import Part
        from dossier.handover.rendering import Rendering, on_this_machine, tasks_of
        from dossier.handover.sections import content
        from dossier.handover.store import Store

        parts = [
            Part(data["head"]["number"], data["head"]["title"], "0",
                 content("joint_history.html", data, None))
            for data in _contexts(count)
        ]  # fmt: skip
        with tempfile.TemporaryDirectory() as folder:
            store = Store(Path(folder) / "store", "benchmark")
            with Rendering(store, on_this_machine(2)) as rendering:
                kept = rendering.finish(tasks_of(parts, store), lambda *_: None)
            starts, at = [], 0
            for one in kept:
                for pages in one.pages:
                    starts.append(at)
                    at += pages
            marks = [Mark(1, f"joint {n}", start) for n, start in enumerate(starts)]
            titles = Titles("B-1", "benchmark", "0", "", archival=True)
            runs = [Pages(one.path, own=True) for one in kept]
            return int(merge(runs, titles, Inside(marks), Path(folder) / "all.pdf"))

    return run


def _bare_chunk(html: list[str]) -> int:
    from weasyprint import HTML

    from dossier.documents.pdf import _engine
    from dossier.resources import shared

    fetcher, fonts, style = _engine()
    base = str(shared("templates") / "pdf") + "/"
    laid = [
        HTML(string=text, base_url=base, url_fetcher=fetcher).render(
            font_config=fonts, stylesheets=[style], pdf_variant="pdf/a-3b"
        )
        for text in html
    ]
    whole = laid[0].copy([page for document in laid for page in document.pages])
    whole.write_pdf(pdf_variant="pdf/a-3b")
    return len(whole.pages)


def pages_bare(count: int) -> Callable[[], int]:
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    html = _histories(count)
    chunks = [html[start : start + CHUNK] for start in range(0, count, CHUNK)]

    def run() -> int:
        with ProcessPoolExecutor(2, mp_context=get_context("forkserver")) as pool:
            return sum(pool.map(_bare_chunk, chunks))

    return run


def _cells(row: int) -> list[str]:
    return [
        f"{row * 7 % 971 / 10:.1f} mm" if column % 4 == 3 else f"J-{row:06d}-{column}"
        for column in range(COLUMNS)
    ]


def xlsx_ours(count: int) -> Callable[[], int]:
    from dossier.documents.sheet import columns, row, table
    from dossier.documents.xlsx import Sheet, workbook

    seen, sheets = _sheets(1)
    heads = columns(*((f"Column {c}", 1, "right" if c % 4 == 3 else "left")
                      for c in range(COLUMNS)))  # fmt: skip
    data = table("", heads, (row(_cells(n)) for n in range(count)))
    return lambda: len(workbook(sheets[0]["head"], [Sheet("Register", data)], seen.as_of))


def xlsx_bare(count: int) -> Callable[[], int]:
    import openpyxl

    rows = [[float(c[:-3]) if c.endswith(" mm") else c for c in _cells(n)] for n in range(count)]

    def run() -> int:
        book = openpyxl.Workbook(write_only=True)
        sheet = book.create_sheet("Register")
        for one in rows:
            sheet.append(one)
        out = io.BytesIO()
        book.save(out)
        return len(out.getvalue())

    return run


KINDS = {"docx": (docx_ours, docx_bare), "pages": (pages_ours, pages_bare),
         "xlsx": (xlsx_ours, xlsx_bare)}  # fmt: skip


class Family:
    """Processor time and greatest memory of this process and all that it starts, as they run.

    Workers hang below a server process, so that the kernel does not add them up for us.
    """

    def __init__(self) -> None:
        self.cpu_s: dict[int, float] = {}
        self.peak_mb: dict[int, float] = {}
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._watch, daemon=True)

    def __enter__(self) -> Family:
        self._look()
        self.before = sum(self.cpu_s.values())
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._ended.set()
        self._thread.join()
        self._look()

    def _watch(self) -> None:
        while not self._ended.wait(0.2):
            self._look()

    def _look(self) -> None:
        tick, parents = os.sysconf("SC_CLK_TCK"), {}
        for path in Path("/proc").glob("[0-9]*/stat"):
            try:
                rest = path.read_text().rpartition(")")[2].split()
                parents[int(path.parent.name)] = (
                    int(rest[1]),
                    (int(rest[11]) + int(rest[12])) / tick,
                )
            except (OSError, IndexError):
                continue
        for pid, (_, cpu_s) in parents.items():
            at = pid
            while at != os.getpid() and at in parents:
                at = parents[at][0]
            if at == os.getpid():
                self.cpu_s[pid] = cpu_s
                self.peak_mb[pid] = max(_peak_mb(pid), self.peak_mb.get(pid, 0.0))


def _peak_mb(pid: int) -> float:
    try:
        found = re.search(r"VmHWM:\s+(\d+)", Path(f"/proc/{pid}/status").read_text())
    except OSError:
        return 0.0
    return int(found[1]) / 1024 if found else 0.0


def measure(kind: str, which: int, count: int) -> None:
    """Run one way once and print its figures; used in a process of its own."""
    import time

    run = KINDS[kind][which](count)
    with Family() as family:
        clock = time.perf_counter()
        made = run()
        clock = time.perf_counter() - clock
    own = family.peak_mb.pop(os.getpid())
    peak = max(family.peak_mb.values(), default=0.0) if kind == "pages" else own
    cpu = sum(family.cpu_s.values()) - family.before
    print(json.dumps({"cpu_s": cpu, "wall_s": clock, "peak_mb": peak, "made": made}))


def _alone(kind: str, which: int, count: int) -> dict[str, float]:
    command = [sys.executable, __file__, kind, str(count), "--which", str(which)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    found: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("kind", choices=KINDS)
    parser.add_argument("count", type=int)
    parser.add_argument("--times", type=int, default=3)
    parser.add_argument("--which", type=int, choices=(0, 1), help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.which is not None:
        measure(asked.kind, asked.which, asked.count)
        return
    os.environ.setdefault("PYTHONHASHSEED", "0")
    runs: tuple[list[dict[str, float]], list[dict[str, float]]] = ([], [])
    for _ in range(asked.times):
        for which in (0, 1):
            runs[which].append(_alone(asked.kind, which, asked.count))
    for name, found in zip(("ours", "bare"), runs, strict=True):
        cpu, clock = (median(one[key] for one in found) for key in ("cpu_s", "wall_s"))
        peak = max(one["peak_mb"] for one in found)
        print(f"{asked.kind} {name}: {cpu:.2f} s processor, {clock:.2f} s clock, "
              f"{asked.count / cpu:.1f} a processor second, peak {peak:.0f} MB")  # fmt: skip
    for key, told in (("cpu_s", "processor"), ("wall_s", "clock")):
        ours, bare = (median(one[key] for one in found) for found in runs)
        print(f"{told}: time {ours / bare:.2f} of the bare library's, rate {bare / ours:.2f}")


if __name__ == "__main__":
    main()
