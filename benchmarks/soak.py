"""Small random projects, each built whole in this one process, one after the other.

    nice .venv/bin/python benchmarks/soak.py --builds 1000
    .venv/bin/python benchmarks/soak.py --seed 417 --builds 1    # one of them again

Each seed gives one project of two to four joints, many of them with a fault, welders with and
without a certificate that holds. Of each build: every PDF passes the check of qpdf, the checksums
are those of the files, what the engine says of the welders is what naive loops say
(`tests/coverage/naive_welders.py`), and nothing is left beside. Results that do not change from
one project to the next come from the store, as in daily work. Memory is what is resident.
"""

from __future__ import annotations

import argparse
import gc
import json
import random
import resource
import shutil
import sys
import time
import traceback
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any
from unittest.mock import patch

import pikepdf

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from benchmarks import generate  # noqa: E402 - found by the line above
from dossier.checks import run  # noqa: E402
from dossier.coverage.view import View, view  # noqa: E402
from dossier.handover import How, build  # noqa: E402
from dossier.handover.store import digest_of  # noqa: E402
from dossier.intake import load_project  # noqa: E402
from dossier.records.verdicts import Finding  # noqa: E402
from tests.coverage.naive_welders import CHECK_OF, answers  # noqa: E402

Record = dict[str, Any]
SHORT = """volumes:
  - title: Welding
    sections:
      - {title: Joint register, content: joint-register}
      - {title: Cross-check report, content: check-report}
"""
PRESETS = {
    "short": SHORT,
    "long": f"{SHORT}      - {{title: Histories, content: joint-histories}}\n",
}
WORDS = (
    "", "wind from the west", "Grüße, Ωmega, Шов", "a < b & c > d", "=1+1", "{{ head }}",
    "خط الأنابيب", "e\u0301 and \u00ad soft", "tab\tand\nline", "long" * 40, "<b>bold</b>",
)  # fmt: skip
WARM = 5
SHOWN = 25  # builds to a line of the log


def project(folder: Path, seed: int) -> Path:
    """Write the project of this seed."""
    chance = random.Random(seed)
    count = chance.randint(2, 4)
    with patch.multiple(generate, CREWS=2, WPS=2, FAULTS=0.4):
        small = generate.registers(count)
        joints = list(generate.records_of(count, seed))
        head = generate.project(small, count)
    for welder in small["welders"]:
        _spoil(welder, chance)
    for joint in joints:
        joint["remarks"] = chance.choice(WORDS)
    (folder / "templates" / "volumes").mkdir(parents=True)
    for name, preset in PRESETS.items():
        (folder / "templates" / "volumes" / f"{name}.yaml").write_text(preset, encoding="utf-8")
    chosen = chance.choice(["short", "short", "long"])
    _write(folder / "project.yaml", {**head, "volumes": chosen})
    for name, records in small.items():
        _write(folder / f"{name}.json", {"schema": "1.0", "records": records})
    lines = "".join(f"{json.dumps(joint, ensure_ascii=False)}\n" for joint in joints)
    (folder / "joints.jsonl").write_text(lines, encoding="utf-8")
    return folder


def _write(path: Path, data: Record) -> None:
    path.write_text(json.dumps(data), encoding="utf-8")


def _spoil(welder: Record, chance: random.Random) -> None:
    """One welder in three lacks something that the rules ask for."""
    held = welder["certificates"]
    kind = chance.randrange(15)
    if kind == 0:
        welder["until"] = "2026-01-04"
    elif kind == 1:
        held[1].update(welded_on="2025-05-02", confirmations=[])
    elif kind == 2:
        held[1]["deposits"][0]["deposit_mm"] = 2
    elif kind == 3:
        del held[chance.randrange(2)]
    elif kind == 4:
        chance.choice(held)["ended_on"] = "2026-01-05"


@dataclass
class Soak:
    """What has been done so far."""

    store: Path
    builds: int = 0
    pdfs: int = 0
    verdicts: int = 0
    failures: list[str] = field(default_factory=list)
    resident_mb: list[float] = field(default_factory=list)

    def one(self, seed: int) -> None:
        """Build the project of one seed and look at everything that came of it."""
        with TemporaryDirectory(prefix="soak-") as name:
            try:
                wrong = list(self._looked_at(project(Path(name) / "project", seed)))
            except Exception:  # noqa: BLE001 - any failure at all is to be told, with its seed
                wrong = [traceback.format_exc()]
        self.failures += [f"seed {seed}: {what}" for what in wrong]
        self.builds += 1
        self.resident_mb.append(resident_mb())

    def _looked_at(self, folder: Path) -> Iterator[str]:
        seen = view(load_project(folder))
        findings = run(seen)
        out = folder.parent / "out"
        written = build(seen, findings, folder, out, how=How(workers=1, store=self.store))
        for path in written:
            if path.suffix == ".pdf":
                self.pdfs += 1
                yield from (f"{path.name}: {problem}" for problem in problems(path))
        yield from wrong_sums(out)
        if {path for path in out.rglob("*") if path.is_file()} != set(written):
            yield "files in the folder are not those told of"
        yield from self._differing(seen, findings)

    def _differing(self, seen: View, findings: list[Finding]) -> Iterator[str]:
        told = {(f.check, f.about("joint"), f.about("welder")) for f in findings}
        told = {one for one in told if one[0] in CHECK_OF.values()}
        naive = {(CHECK_OF[wrong], joint, stamp)
                 for joint, stamp, _, wrong in answers(seen.project)}  # fmt: skip
        self.verdicts += len({(made.joint, made.welder) for made in seen.project.passes})
        for one in sorted(told ^ naive):
            yield f"{'engine' if one in told else 'naive loops'} alone: {' '.join(one)}"

    def told(self) -> str:
        """The figures so far, on one line."""
        first, last = (median(part) for part in (self.resident_mb[:20], self.resident_mb[-20:]))
        return (
            f"{self.builds} builds, {self.pdfs} PDFs, {self.verdicts} welders on joints, "
            f"{len(self.failures)} failures; resident MB: {first:.0f} in the first 20 builds, "
            f"{last:.0f} in the last 20, {max(self.resident_mb):.0f} at most"
        )


def problems(path: Path) -> list[str]:
    """What qpdf says against a PDF."""
    with pikepdf.open(path) as pdf:
        return [str(one) for one in pdf.check_pdf_syntax()]


def wrong_sums(out: Path) -> Iterator[str]:
    """Files of a dossier whose checksum is not the one it states."""
    for line in (out / "checksums.sha256").read_text(encoding="utf-8").splitlines():
        digest, _, name = line.partition("  ")
        if digest_of(out / name) != digest:
            yield f"{name}: another checksum"


def resident_mb() -> float:
    """Resident memory of this process in megabytes."""
    gc.collect()
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * resource.getpagesize() / 1e6


def soaked(builds: int, seed: int, store: Path) -> Soak:
    """Build so many projects, from this seed on."""
    soak = Soak(store)
    began = time.monotonic()
    for number in range(seed, seed + builds):
        before = len(soak.failures)
        soak.one(number)
        if soak.builds == WARM:
            gc.freeze()  # what is imported by now need not be gone through at each collection
        print(*soak.failures[before:], sep="\n", end="\n" * (len(soak.failures) > before))
        if soak.builds % SHOWN == 0:
            print(f"{soak.told()}; {time.monotonic() - began:.0f} s", flush=True)
    return soak


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0] if __doc__ else "")
    parser.add_argument("--builds", type=int, default=1_000)
    parser.add_argument("--seed", type=int, default=1, help="of the first project")
    wanted = parser.parse_args()
    store = Path(TemporaryDirectory(prefix="soak-store-").name)
    try:
        soak = soaked(wanted.builds, wanted.seed, store)
    finally:
        shutil.rmtree(store, ignore_errors=True)
    print(soak.told())
    sys.exit(bool(soak.failures))


if __name__ == "__main__":
    main()
