"""Write docs/checks.md: every cross-check with its question, verdicts, basis and an example.

Usage: python docs/make_checks.py   (from the checkout, whose trial projects give the examples)
"""

from __future__ import annotations

import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent
sys.path.insert(0, str(ROOT))

from dossier.checks import ALL, OF_JOINTS, run  # noqa: E402
from dossier.checks.questions import told  # noqa: E402
from dossier.coverage.view import view  # noqa: E402
from dossier.intake import load_project  # noqa: E402
from dossier.records.verdicts import Finding, Verdict  # noqa: E402
from tests.trial import CLEAN, DEFECTS, PROJECTS, changed, read, spoilt, written  # noqa: E402

TRIALS = [*DEFECTS, *sorted((PROJECTS / "situations").glob("*.yaml"))]
PAGE = Path(__file__).parent / "checks.md"
_INTRO = """# Checks

Made by `docs/make_checks.py` from the checks and their trial projects; do not edit by hand.

Each check asks one question of every joint, or of the project as a whole. Its verdicts, mildest
first: **note** (worth knowing), **hold** (evidence missing or contradictory: paper may cure it),
**nonconformity** (a requirement is broken: needs a signed disposition), **cut-out** (the weld must
come out). The tool proposes; the qualified engineer disposes. A pattern is reported as a pattern,
never as an accusation.

*Basis* is what the findings of the trial projects rest on; another edition of a code brings its
own clauses. *Example* is one small project with one defect, and what is found in it.
"""
_MOST_BASES = 8


def examples() -> dict[str, list[Path]]:
    """The defects that each check answers, by check, those with a single finding first."""
    found: dict[str, list[Path]] = defaultdict(list)
    for path in TRIALS:
        expected = read(path)["expected"]
        for name in {e["check"] for e in expected}:
            found[name].append(path)
    return {name: sorted(paths, key=lambda p: (len(read(p)["expected"]), str(p)))
            for name, paths in found.items()}  # fmt: skip


def verdicts(name: str, paths: Iterable[Path]) -> list[str]:
    """The verdicts that the check gave in its trial projects, mildest first."""
    expected = (e for path in paths for e in read(path)["expected"])
    found = {Verdict.parse(e["verdict"]) for e in expected if e["check"] == name}
    return [str(verdict) for verdict in sorted(found)]


def one_per_verdict(name: str, paths: Iterable[Path]) -> list[Path]:
    """The first defect for each verdict of a check: enough to show what it rests on."""
    first: dict[str, Path] = {}
    for path in paths:
        for e in read(path)["expected"]:
            if e["check"] == name:
                first.setdefault(e["verdict"], path)
    return list(dict.fromkeys(first.values()))


def findings_in(path: Path) -> list[Finding]:
    """What the checks find in a trial project."""
    defect: dict[str, Any] = read(path)
    with tempfile.TemporaryDirectory() as folder:
        registers = changed(read(CLEAN), defect["change"])
        place = spoilt(written(registers, Path(folder)), defect.get("files", []))
        return run(view(load_project(place)))


def page() -> str:
    """The whole page."""
    by_check = examples()
    summary = ["| check | asked of | verdicts |", "|---|---|---|"]
    sections = []
    known: dict[Path, list[Finding]] = {}
    for name in ALL:
        paths = by_check.get(name, [])
        asked = "each joint" if name in OF_JOINTS else "the project"
        summary.append(f"| [{name}](#{name}) | {asked} | {', '.join(verdicts(name, paths))} |")
        chosen = one_per_verdict(name, paths)
        for path in chosen:
            known.setdefault(path, findings_in(path))
        sections.append(_section(name, {path: known[path] for path in chosen}))
    return "\n".join([_INTRO, *summary, "", *sections])


def _section(name: str, shown: dict[Path, list[Finding]]) -> str:
    question, _, more = told(name).partition("\n\n")
    lines = [f"## {name}", "", f"**{' '.join(question.split())}**", ""]
    lines += [more, ""] if more else []
    own = [f for findings in shown.values() for f in findings if f.check == name]
    bases = dict.fromkeys(_basis(r.basis) for f in own for r in f.reasons if r.verdict)
    lines += [f"Basis: {'; '.join(list(bases)[:_MOST_BASES])}.", ""]
    for path, findings in shown.items():
        about = read(path).get("about", path.stem.replace("_", " "))
        lines.append(f"Example: {about} (`{path.relative_to(ROOT)}`).")
        for finding in findings:
            if finding.check == name:
                lines += ["", f"> **{finding.verdict}** {finding.sentence}",
                          f"> *Cure:* {finding.cure}"]  # fmt: skip
                break
        lines.append("")
    return "\n".join(lines)


def _basis(basis: Any) -> str:
    if basis.known == "project":
        whose = "the WPS" if basis.standard.startswith("WPS") else "the project's own requirement"
        return f"{whose}: {basis.clause}" if basis.clause else whose
    return f"{basis} (known: {basis.known})"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(PAGE)
