"""`dossier verify`: the proof of a package, with nothing but the package and this tool."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path, PurePosixPath

from dossier.errors import Fault, ProjectError
from dossier.handover.proof import Proof, Step, Trouble, step
from dossier.handover.proof_bag import prove_bag
from dossier.handover.proof_dossier import prove_dossier
from dossier.handover.proof_files import prove_notes
from dossier.handover.proof_records import prove_records
from dossier.handover.signature import prove_signatures
from dossier.handover.stored_zip import DamagedZipError, read_through

_NAMED = 5  # entries at the top of a strange zip that are told by name


def verify(package: Path, trust: Sequence[Path] = (), *, deep: bool = True) -> Proof:
    """Prove a package, a folder or a zip: checksums, signatures, pages, register, findings.

    `trust` are certificates (PEM) to which signatures must lead; without them a signature is
    judged by itself. `deep` False proves bytes and signatures only. Nothing in the package is
    changed. Raises ProjectError: there is no package.
    """
    if not package.exists():
        expected = "a package, folder or zip"
        raise ProjectError([Fault(str(package), "", "", "nothing there", expected)])
    with _opened(package) as (root, troubles):
        steps = [] if package.is_dir() else [step("zip", "read byte by byte", troubles)]
        if root is not None:
            steps.append(prove_bag(root))
            steps += _tried("signatures", lambda: prove_signatures(root, trust))
            if deep:
                steps += _tried("notes", lambda: [prove_notes(root)])
                steps += _tried("dossier", lambda: prove_dossier(root / "data"))
                steps += _tried("records", lambda: prove_records(root / "data"))
        return Proof(package.name, tuple(steps))


def _tried(name: str, prove: Callable[[], list[Step]]) -> list[Step]:
    """The steps, or one that says that the files are too damaged to go through them."""
    try:
        return prove()
    except Exception as error:  # noqa: BLE001 - damaged files raise errors of any type
        told = f"too damaged to be read ({type(error).__name__}: {str(error)[:80]})"
        return [step(name, "", [Trouble("data", told)])]


@contextmanager
def _opened(package: Path) -> Iterator[tuple[Path | None, list[Trouble]]]:
    if package.is_dir():
        yield package, []
        return
    with tempfile.TemporaryDirectory(prefix="dossier-") as name:
        troubles = _unpacked(package, Path(name))
        top = sorted(Path(name).iterdir())
        folders = [path for path in top if path.is_dir()]
        if len(top) != 1 or not folders:
            there = ", ".join(repr(path.name) for path in top[:_NAMED]) or "nothing"
            more = f" and {len(top) - _NAMED} more" if len(top) > _NAMED else ""
            told = f"{there}{more}, where a package has one folder with everything in it"
            troubles.append(Trouble("top of the zip", told))
        yield (folders[0] if len(folders) == 1 else None), troubles


def _unpacked(package: Path, folder: Path) -> list[Trouble]:
    troubles: list[Trouble] = []

    def take(name: str, blocks: Iterator[bytes]) -> None:
        pure = PurePosixPath(name)
        safe = not pure.is_absolute() and ".." not in pure.parts and "\\" not in name
        path = folder / name
        if not safe or "\0" in name or path.exists():
            troubles.append(Trouble(repr(name), "a name that no package has, or twice there"))
            for _ in blocks:
                continue
            return
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("wb") as stream:
            for block in blocks:
                stream.write(block)

    with package.open("rb") as stream:
        try:
            for place in read_through(stream, take):
                troubles.append(Trouble(place, "not as this form of zip has it"))
        except DamagedZipError as error:
            troubles.append(Trouble(error.place, "not as this form of zip has it"))
        except OSError as error:
            troubles.append(Trouble("zip", f"cannot be unpacked ({error.strerror})"))
    return troubles
