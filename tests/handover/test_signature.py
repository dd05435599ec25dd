"""Signatures: two signatories in order, each covering the whole; later changes are found."""

from __future__ import annotations

import asyncio
import json
import shutil
import subprocess
from pathlib import Path

import pikepdf
import pytest

pytest.importorskip("pyhanko")

from dossier.cli import main
from dossier.documents.files import write_whole
from dossier.errors import MissingToolError
from dossier.handover import How, build, signature
from dossier.handover.layout import Limits
from dossier.handover.package import write_package
from dossier.handover.signature import Key, SignatureError, sign
from dossier.handover.signed import SignedError
from dossier.handover.verify import verify
from tests.handover import small
from tests.handover.conftest import Made
from tests.handover.signatories import PASSPHRASE, Keys, told


@pytest.fixture(scope="module")
def keys(tmp_path_factory: pytest.TempPathFactory) -> Keys:
    return Keys(tmp_path_factory.mktemp("keys"))


@pytest.fixture(scope="module")
def signed(made: Made, keys: Keys, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = made.copy(tmp_path_factory.mktemp("signed") / "out")
    sign(out, keys["P. Quill"], "prepared")
    sign(out, keys["M. Stoat"], "approved")
    return out


@pytest.fixture(scope="module")
def sealed(made: Made, keys: Keys, signed: Path) -> Path:
    """The package of the signed dossier, its manifest signed by both."""
    target = signed.parent / "package"
    write_package(made.seen, made.findings, (made.project, signed), target)
    sign(target, keys["P. Quill"], "prepared")
    sign(target, keys["M. Stoat"], "approved")
    return target


def test_both_signatures_hold_and_lead_to_the_root(sealed: Path, keys: Keys) -> None:
    proof = verify(sealed, [keys.root])
    assert proof.holds, proof.as_text()
    step = next(one for one in proof.steps if one.name == "signatures")
    assert step.told.count("P. Quill (trusted)") == step.told.count("M. Stoat (trusted)") == 2
    for name in ("prepared", "approved"):
        assert f"dossier.pdf, {name}" in step.told
        assert f"_{name}.p7s" in step.told


def test_without_a_root_a_signature_is_judged_by_itself(sealed: Path, keys: Keys) -> None:
    assert "not traced to a root" in told(sealed)
    assert "proves itself" in told(sealed)
    assert "does not lead to a certificate that you trust" in told(sealed, keys.stranger)


def test_stripped_signatures_are_missed_where_a_certificate_is_to_be_trusted(
    package: Path, keys: Keys
) -> None:
    assert "no signature, though a certificate to trust was given" in told(package, keys.root)
    assert "not proved" in told(package, keys.root)
    assert "left out  signatures: the package carries none" in told(package)
    assert "proves itself" in told(package)


def test_a_file_of_the_dossier_may_not_lack_a_signature_of_the_others(
    made: Made, keys: Keys, tmp_path: Path
) -> None:
    out, target = tmp_path / "out", tmp_path / "package"
    build(made.seen, made.findings, made.project, out, how=made.how(limits=Limits(pages=12)))
    sign(out, keys["P. Quill"], "prepared")
    first, second, *_ = sorted(path.name for path in out.glob("*.pdf"))
    once = (out / second).read_bytes()
    sign(out, keys["M. Stoat"], "approved")
    write_package(made.seen, made.findings, (made.project, out), target)
    assert "as other files of the dossier are" not in told(target)
    (target / "data" / second).write_bytes(once)
    assert f"{second}: not signed as approved, as other files of the dossier are" in told(target)
    (target / "data" / first).unlink()
    assert f"{first}: not signed as prepared, approved, as other" in told(target)


def test_the_manifest_signature_is_plain_cms(sealed: Path, keys: Keys) -> None:
    if not shutil.which("openssl"):
        pytest.skip("openssl is not installed")
    for path in (sealed / "signatures").glob("*.p7s"):
        subprocess.run(
            ["openssl", "cms", "-verify", "-inform", "DER", "-in", path, "-content",
             sealed / "manifest-sha512.txt", "-CAfile", keys.root, "-binary", "-purpose", "any",
             "-out", "/dev/null"],
            check=True, capture_output=True,
        )  # fmt: skip


def test_poppler_finds_two_valid_signatures(signed: Path) -> None:
    if not shutil.which("pdfsig"):
        pytest.skip("pdfsig is not installed")
    done = subprocess.run(
        ["pdfsig", "-nocert", signed / "dossier.pdf"], capture_output=True, text=True, check=True
    )
    assert done.stdout.count("Signature is Valid") == 2
    assert done.stdout.count("ETSI.CAdES.detached") == 2


def test_a_changed_byte_breaks_every_signature(sealed: Path, tmp_path: Path) -> None:
    copy = Path(shutil.copytree(sealed, tmp_path / "p"))
    path = copy / "data" / "dossier.pdf"
    data = bytearray(path.read_bytes())
    data[11] ^= 1  # in the comment of the first lines, so that the file stays readable
    path.write_bytes(data)
    assert told(copy).count("what was signed has changed since") == 2


def test_a_damaged_signature_is_named(sealed: Path, tmp_path: Path) -> None:
    copy = Path(shutil.copytree(sealed, tmp_path / "p"))
    path = copy / "data" / "dossier.pdf"
    path.write_bytes(path.read_bytes()[:-3000])
    for place in (copy / "signatures").glob("*.p7s"):
        place.write_bytes(place.read_bytes()[:200])
    assert "dossier.pdf: its signatures cannot be judged" in told(copy)
    assert told(copy).count(".p7s: cannot be judged") == 2


def test_something_added_after_the_last_signature_is_found(sealed: Path, tmp_path: Path) -> None:
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    copy = Path(shutil.copytree(sealed, tmp_path / "p"))
    path = copy / "data" / "dossier.pdf"
    with path.open("r+b") as stream:
        writer = IncrementalPdfFileWriter(stream)
        writer.root["/Quiet"] = writer.root["/PageMode"]
        writer.update_root()
        writer.write_in_place()
    assert "something was added after the last signature" in told(copy)


def test_a_changed_manifest_breaks_its_signatures(sealed: Path, tmp_path: Path) -> None:
    copy = Path(shutil.copytree(sealed, tmp_path / "p"))
    path = copy / "manifest-sha512.txt"
    path.write_bytes(path.read_bytes().replace(b"a", b"b", 1))
    assert told(copy).count(".p7s: what was signed has changed since") == 2


def test_a_signed_dossier_of_the_same_records_stays(made: Made, signed: Path) -> None:
    before = small.tree(signed)
    build(made.seen, made.findings, made.project, signed, how=made.how())
    assert small.tree(signed) == before
    noted = json.loads((signed / "signed.json").read_bytes())
    assert set(noted) == {"dossier.pdf"}


def test_no_build_takes_signatures_away(made: Made, signed: Path, tmp_path: Path) -> None:
    before = small.tree(signed)
    fresh = How(workers=1, store=tmp_path / "store")  # a store that knows nothing of the build
    for findings, how in ((made.findings[1:], made.how()), (made.findings, fresh)):
        with pytest.raises(SignedError, match=r"dossier\.pdf is signed.* Nothing was written\."):
            build(made.seen, findings, made.project, signed, how=how)
    command = ["build", str(made.project), "--out", str(signed), "--store", str(fresh.store)]
    assert main(command) == 2
    assert small.tree(signed) == before


def test_no_build_takes_the_signatures_of_another_program_away(
    made: Made, signed: Path, tmp_path: Path
) -> None:
    out = made.copy(tmp_path / "out")
    (out / "dossier.pdf").write_bytes((signed / "dossier.pdf").read_bytes())
    before = small.tree(out)
    with pytest.raises(SignedError, match=r"dossier\.pdf is signed"):
        build(made.seen, made.findings, made.project, out, how=made.how())
    assert small.tree(out) == before
    (out / "dossier.pdf").write_bytes(b"")  # spoilt, and not signed: made anew
    build(made.seen, made.findings, made.project, out, how=made.how())
    assert small.tree(out) == small.tree(made.out)


def test_a_lost_note_of_signatures_loses_none(made: Made, signed: Path, tmp_path: Path) -> None:
    out = Path(shutil.copytree(signed, tmp_path / "out"))
    (out / "signed.json").unlink()
    with pytest.raises(SignedError, match=r"dossier\.pdf is signed"):
        build(made.seen, made.findings, made.project, out, how=made.how())


def test_a_share_is_rendered_beside_a_signed_dossier(made: Made, signed: Path) -> None:
    before = small.tree(signed)
    how = How(workers=1, store=made.own_store(), shard=(1, 2))
    assert build(made.seen, made.findings, made.project, signed, how=how) == []
    assert small.tree(signed) == before


def test_signed_files_moved_away_make_room(made: Made, signed: Path, tmp_path: Path) -> None:
    out = Path(shutil.copytree(signed, tmp_path / "out"))
    (out / "dossier.pdf").rename(tmp_path / "dossier.pdf")
    build(made.seen, made.findings, made.project, out, how=made.how())
    assert small.tree(out) == small.tree(made.out)


def test_checksums_are_those_of_the_signed_file(signed: Path) -> None:
    subprocess.run(["sha256sum", "--quiet", "-c", "checksums.sha256"], cwd=signed, check=True)


def test_the_signed_dossier_keeps_pages_and_attachments(made: Made, signed: Path) -> None:
    with (
        pikepdf.open(made.out / "dossier.pdf") as plain,
        pikepdf.open(signed / "dossier.pdf") as pdf,
    ):
        assert len(pdf.pages) == len(plain.pages)
        assert set(pdf.attachments) == set(plain.attachments)
        assert "/OutputIntents" in pdf.Root


def test_a_role_of_any_letters_signs_and_is_judged(
    package: Path, keys: Keys, tmp_path: Path
) -> None:
    copy = Path(shutil.copytree(package, tmp_path / "p"))
    assert sign(copy, keys["P. Quill"], "QA/QC") == [copy / "signatures" / "01_QA_QC.p7s"]
    assert "signatures/01_QA_QC.p7s: Common Name: P. Quill (trusted)" in told(copy, keys.root)
    assert "does not lead to a certificate that you trust" in told(copy, keys.stranger)
    with pytest.raises(SignatureError, match="QA/QC has signed this package already"):
        sign(copy, keys["P. Quill"], "QA/QC")


def test_a_role_is_signed_and_no_other_file_name_gives_another(
    package: Path, keys: Keys, tmp_path: Path
) -> None:
    copy = Path(shutil.copytree(package, tmp_path / "p"))
    (path,) = sign(copy, keys["P. Quill"], "geprüft, QA/QC")
    assert "P. Quill (trusted), as geprüft, QA/QC" in told(copy, keys.root)
    path.rename(path.with_name("01_approved.p7s"))
    wrong = "01_approved.p7s: signed as geprüft, QA/QC, which is not the role of its name"
    assert wrong in told(copy, keys.root)


def test_a_signature_of_another_program_has_its_role_by_the_file_name(
    package: Path, keys: Keys, tmp_path: Path
) -> None:
    from pyhanko.sign.signers import SimpleSigner

    copy = Path(shutil.copytree(package, tmp_path / "p"))
    place = str(keys.places["P. Quill"])
    signer = SimpleSigner.load_pkcs12(place, passphrase=PASSPHRASE)  # type: ignore[no-untyped-call]
    manifest = (copy / "manifest-sha512.txt").read_bytes()
    made = asyncio.run(signer.async_sign_general_data(manifest, "sha512"))
    write_whole(copy / "signatures" / "01_approved.p7s", made.dump())
    found = next(s for s in verify(copy, [keys.root], deep=False).steps if s.name == "signatures")
    assert found.state == "proved"
    assert "(trusted), role by the file name only, not signed" in found.told


@pytest.mark.parametrize("name", ["01_QA/QC.p7s", "approved.p7s", "01_approved.txt", "01_.p7s"])
def test_nothing_lies_among_the_signatures_unjudged(
    package: Path, name: str, tmp_path: Path
) -> None:
    copy = Path(shutil.copytree(package, tmp_path / "p"))
    write_whole(copy / "signatures" / name, b"x")
    assert f"signatures/{name}: no signature that can be judged" in told(copy)


def test_signatures_that_cannot_be_judged_are_not_passed_over(
    sealed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(signature, "find_spec", lambda _: None)
    assert "is not installed" in told(sealed)
    assert "not proved" in told(sealed)
    with pytest.raises(MissingToolError):
        sign(sealed, Key("x"), "y")
