"""The small trial projects: one sound project, and changes that each plant one defect in it."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pikepdf
import yaml

from dossier.records.verdicts import Finding

PROJECTS = Path(__file__).parent / "projects"
CLEAN = PROJECTS / "clean.yaml"
DEFECTS = sorted((PROJECTS / "defects").glob("*.yaml"))
Registers = dict[str, Any]


class Plain(yaml.SafeLoader):
    """Numbers are numbers; dates and times stay text, as in the project's own reader."""


Plain.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in resolvers if tag.endswith((":int", ":float"))]
    for first, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
}
Plain.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile("^(true|false)$"), list("tf"))


def read(path: Path) -> Any:
    return yaml.load(path.read_text(encoding="utf-8"), Loader=Plain)  # noqa: S506


def put(record: Any, path: str, value: Any) -> None:
    *way, last = path.split(".")
    for step in way:
        record = record[int(step) - 1] if step.isdigit() else record[step]
    key: Any = int(last) - 1 if last.isdigit() else last
    if value == "-":
        del record[key]
    else:
        record[key] = value


def changed(registers: Registers, changes: list[dict[str, Any]]) -> Registers:
    """The registers with each change carried out; a change that finds nothing to change fails."""
    new = copy.deepcopy(registers)
    for change in changes:
        if change["in"] == "project":
            for path, value in change["set"].items():
                put(new["project"], path, value)
            continue
        register = new[change["in"]] if change["in"] in new else new.setdefault(change["in"], [])
        if "add" in change:
            register.append(change["add"])
            continue
        wanted = change["where"].items()
        found = [r for r in register if all(str(r.get(k)) == str(v) for k, v in wanted)]
        assert found, f"nothing in {change['in']} is {change['where']}"
        for record in found:
            if change.get("remove"):
                register.remove(record)
            for path, value in change.get("set", {}).items():
                put(record, path, value)
    return new


def written(registers: Registers, folder: Path) -> Path:
    """The registers as a project folder."""
    head = dict(registers["project"])
    head["registers"] = {name: f"{name}.yaml" for name in registers if name != "project"}
    for name, records in {**registers, "project": head}.items():
        text = yaml.safe_dump(records, sort_keys=False, allow_unicode=True)
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    for document in registers.get("documents", ()):
        if document.get("file", "").endswith(".pdf"):
            paper(folder / document["file"], document.get("pages", 1))
    return folder


def paper(path: Path, pages: int) -> None:
    """An evidence document with so many blank pages."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with pikepdf.new() as pdf:
        for _ in range(pages):
            pdf.add_blank_page()
        pdf.save(path)


def spoilt(folder: Path, files: list[dict[str, Any]]) -> Path:
    """The folder with files taken away, or put there with other pages or other content."""
    for change in files:
        path = folder / change["file"]
        path.unlink(missing_ok=True)
        if "pages" in change:
            paper(path, change["pages"])
        elif "text" in change:
            path.write_text(change["text"], encoding="utf-8")
    return folder


Told = tuple[str, str, dict[str, str], list[str]]


def told(findings: list[Finding]) -> list[Told]:
    """Check, verdict, subject and reasons of each finding, as a trial project expects them."""
    return by_subject(
        (
            f.check,
            str(f.verdict),
            dict(f.subject),
            [f"{r.variable}: {r.found} / {r.permitted}" for r in f.reasons],
        )
        for f in findings
    )


def expected(trial: Any) -> list[Told]:
    """What is to be found in a trial project."""
    return by_subject(
        (e["check"], e["verdict"], {kind: str(name) for kind, name in e["subject"].items()},
         e["reasons"])
        for e in trial["expected"]
    )  # fmt: skip


def by_subject(rows: Iterable[Told]) -> list[Told]:
    return sorted(rows, key=lambda row: (row[0], sorted(row[2].items()), row[1]))
