"""A small project, built and packed once; tests take from its store what they need not render."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pytest

from dossier.coverage.view import View
from dossier.handover import How, build
from dossier.handover.package import write_package
from dossier.records.verdicts import Finding
from tests.handover import small


@dataclass(frozen=True)
class Made:
    """A project folder, what is found in it, and its dossier."""

    project: Path
    seen: View
    findings: list[Finding]
    out: Path
    store: Path

    def how(self, **wishes: object) -> How:
        return How(workers=1, store=self.own_store(), **wishes)  # type: ignore[arg-type]

    def own_store(self) -> Path:
        """The store again: a build drops what the last builds of its store did not use."""
        place = Path(tempfile.mkdtemp(prefix="store-", dir=self.store.parent))
        return Path(shutil.copytree(self.store, place, dirs_exist_ok=True))

    def copy(self, place: Path) -> Path:
        """The built folder again, to be changed."""
        return Path(shutil.copytree(self.out, place))


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    root = tmp_path_factory.mktemp("small")
    project = small.write(root / "project")
    small.change(project, "passes", "ML-002", "welder", "W02")
    seen, findings = small.read(project)
    assert findings
    store = root / "store"
    build(seen, findings, project, root / "out", how=How(workers=1, store=store))
    return Made(project, seen, findings, root / "out", store)


@pytest.fixture(scope="session")
def package(made: Made, tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("packed") / "package"
    return write_package(made.seen, made.findings, (made.project, made.out), target)


@pytest.fixture(scope="session")
def zipped(made: Made, tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("packed") / "package.zip"
    return write_package(made.seen, made.findings, (made.project, made.out), target)
