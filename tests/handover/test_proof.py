"""What a proof must see: a package changed by somebody who writes all of its manifests anew."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest

from dossier.handover.bag import manifest
from dossier.handover.checksums import ALGORITHMS
from dossier.handover.proof import Proof
from dossier.handover.store import digest_of
from dossier.handover.stored_zip import ZipWriter
from dossier.handover.verify import verify
from tests.handover import small


def renewed(package: Path) -> None:
    """Write every manifest anew, for the files that are there now."""
    names = list(small.tree(package))
    payload = [name for name in names if name.startswith("data/")]
    tags = [name for name in names if not name.startswith(("data/", "tagmanifest-"))]
    for algorithm in ALGORITHMS:
        for listed, of in ((f"manifest-{algorithm}.txt", payload),
                           (f"tagmanifest-{algorithm}.txt", tags)):  # fmt: skip
            sums = {name: digest_of(package / name, algorithm) for name in of}
            (package / listed).write_bytes(manifest(sums))


@pytest.fixture
def copy(package: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(package, tmp_path / "package"))


def told(proof: Proof, step: str) -> list[str]:
    """The troubles of one step."""
    return [str(t) for one in proof.steps if one.name == step for t in one.troubles]


def stored(path: Path, files: Mapping[str, bytes]) -> Path:
    """A zip in the form of a package."""
    with path.open("wb") as stream:
        writer = ZipWriter(stream)
        for name, data in files.items():
            writer.add(name, len(data), iter([data]))
        writer.close()
    return path


@pytest.mark.parametrize(
    ("beside", "named"),
    [
        ({"other/readme.txt": b"hi"}, "'other', 'pkg'"),
        ({"dossier_final.pdf": b"%PDF"}, "'dossier_final.pdf', 'pkg'"),
    ],
)
def test_a_zip_with_anything_beside_its_folder_is_refuted(
    package: Path, tmp_path: Path, beside: Mapping[str, bytes], named: str
) -> None:
    files = {f"pkg/{name}": data for name, data in small.tree(package).items()}
    assert verify(stored(tmp_path / "sound.zip", files), deep=False).holds
    proof = verify(stored(tmp_path / "more.zip", {**files, **beside}), deep=False)
    assert not proof.holds
    assert named in told(proof, "zip")[0]


@pytest.mark.parametrize("files", [{}, {"readme.txt": b"hi"}])
def test_a_zip_without_a_folder_is_refuted(tmp_path: Path, files: Mapping[str, bytes]) -> None:
    proof = verify(stored(tmp_path / "none.zip", files))
    assert not proof.holds
    assert "one folder with everything in it" in told(proof, "zip")[0]


def test_a_package_without_its_records_is_refuted(copy: Path) -> None:
    shutil.rmtree(copy / "data" / "project")
    renewed(copy)
    proof = verify(copy)
    assert not proof.holds
    assert told(proof, "records") == [
        "project/project.yaml: missing: nothing can be proved without it"
    ]
