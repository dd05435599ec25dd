"""Who may sign what, when: nobody out of turn, nothing that has changed, no key that fails."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

pytest.importorskip("pyhanko")
from dossier.cli import main
from dossier.errors import InputError, MissingToolError
from dossier.handover.package import write_package
from dossier.handover.signature import Key, SignatureError, sign
from tests.handover import small
from tests.handover.conftest import Made
from tests.handover.signatories import PASSPHRASE, Keys, told


@pytest.fixture(scope="module")
def keys(tmp_path_factory: pytest.TempPathFactory) -> Keys:
    return Keys(tmp_path_factory.mktemp("keys"))


def test_nobody_signs_out_of_turn_or_twice(made: Made, keys: Keys, tmp_path: Path) -> None:
    out = made.copy(tmp_path / "out")
    with pytest.raises(SignatureError, match="not the turn of approved"):
        sign(out, keys["M. Stoat"], "approved")
    with pytest.raises(SignatureError, match="none of those who sign"):
        sign(out, keys["M. Stoat"], "witness")
    sign(out, keys["P. Quill"], "prepared")
    with pytest.raises(SignatureError, match="not the turn of prepared"):
        sign(out, keys["P. Quill"], "prepared")


@pytest.mark.parametrize("name", ["check.json", "registers/joint_register.xlsx", "dossier.pdf"])
@pytest.mark.parametrize("content", [b"{}\n", None])
def test_nobody_signs_what_was_changed_since_it_was_built(
    made: Made, keys: Keys, tmp_path: Path, name: str, content: bytes | None
) -> None:
    out = made.copy(tmp_path / "out")
    assert (out / name).is_file()
    if content is None:
        (out / name).unlink()
    else:
        (out / name).write_bytes(content)
    before = small.tree(out)
    with pytest.raises(SignatureError, match=rf"{name} is gone or has changed.*Nothing was signed"):
        sign(out, keys["P. Quill"], "prepared")
    assert small.tree(out) == before


def test_nobody_signs_over_a_damaged_note_or_list(made: Made, keys: Keys, tmp_path: Path) -> None:
    out = made.copy(tmp_path / "out")
    sign(out, keys["P. Quill"], "prepared")
    (out / "signed.json").write_text("{", encoding="utf-8")
    with pytest.raises(SignatureError, match=r"signed\.json is gone or has changed"):
        sign(out, keys["M. Stoat"], "approved")
    out = made.copy(tmp_path / "plain")
    (out / "checksums.sha256").unlink()
    with pytest.raises(SignatureError, match="does not list the dossier"):
        sign(out, keys["P. Quill"], "prepared")


def test_all_sign_by_the_roles_of_the_first_signature(
    made: Made, keys: Keys, tmp_path: Path
) -> None:
    out = made.copy(tmp_path / "out")
    roles = ["Q.A. manager", "approved", "Q.A. inspector"]
    before = small.tree(made.out)
    with pytest.raises(SignatureError, match="checked, checked names a role twice"):
        sign(out, keys["P. Quill"], "checked", ["checked", "checked"])
    assert small.tree(out) == before
    sign(out, keys["P. Quill"], roles[0], roles)
    before = small.tree(out)
    for wished in (["Q.A. manager", "approved"], ["approved", "Q.A. manager", "Q.A. inspector"]):
        both = rf"{', '.join(roles)}, and --roles names {', '.join(wished)}\..*Nothing was signed"
        with pytest.raises(SignatureError, match=both):
            sign(out, keys["M. Stoat"], "approved", wished)
    assert small.tree(out) == before
    sign(out, keys["M. Stoat"], "approved")
    sign(out, keys["P. Quill"], roles[2], roles)
    target = tmp_path / "package"
    write_package(made.seen, made.findings, (made.project, out), target)
    for role in roles:
        assert f"dossier.pdf, {role}: Common Name" in told(target, keys.root)
    assert "proves itself" in told(target, keys.root)


def test_nobody_signs_a_package_twice(package: Path, keys: Keys, tmp_path: Path) -> None:
    copy = Path(shutil.copytree(package, tmp_path / "p"))
    sign(copy, keys["P. Quill"], "prepared")
    with pytest.raises(SignatureError, match="has signed this package already"):
        sign(copy, keys["P. Quill"], "prepared")


def test_nobody_signs_a_damaged_package(package: Path, keys: Keys, tmp_path: Path) -> None:
    copy = Path(shutil.copytree(package, tmp_path / "p"))
    (copy / "README.txt").write_text("another", encoding="utf-8")
    with pytest.raises(SignatureError, match=r"is damaged: README\.txt.*Nothing was signed"):
        sign(copy, keys["P. Quill"], "prepared")
    assert not (copy / "signatures").exists()


@pytest.mark.parametrize(
    ("key", "error", "match"),
    [
        (Key("none.p12"), SignatureError, "no such key"),
        (Key("pkcs11:token=x"), (InputError, MissingToolError), "pkcs11"),
    ],
)
def test_a_key_that_cannot_be_used_is_told(
    made: Made, key: Key, error: type[Exception], match: str, tmp_path: Path
) -> None:
    out = made.copy(tmp_path / "out")
    with pytest.raises(error, match=match):
        sign(out, key, "prepared")


def test_a_wrong_passphrase_and_a_wrong_place_are_told(
    made: Made, keys: Keys, tmp_path: Path
) -> None:
    with pytest.raises(SignatureError, match="passphrase is wrong"):
        sign(made.copy(tmp_path / "out"), Key(str(keys.places["P. Quill"]), b"wrong"), "prepared")
    with pytest.raises(SignatureError, match="neither a built dossier nor a package"):
        sign(tmp_path / "elsewhere", keys["P. Quill"], "prepared")


def test_the_command_line_signs(
    made: Made, keys: Keys, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = made.copy(tmp_path / "out")
    (tmp_path / "pass").write_bytes(PASSPHRASE + b"\n")
    arguments = ["sign", str(out), "--key", str(keys.places["P. Quill"]), "--role", "prepared"]
    assert main([*arguments, "--passphrase-file", str(tmp_path / "pass")]) == 0
    monkeypatch.setenv("DOSSIER_KEY_PASSPHRASE", PASSPHRASE.decode())
    assert main([*arguments, "--roles", "prepared"]) == 2  # has signed already
