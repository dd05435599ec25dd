"""Signatures: PAdES on the dossier, detached CMS on the manifest; made and judged with pyHanko.

Recipe: all signature fields are made, invisible, before the first signature, and each signatory
signs in the field of his role. A field that is added later would count as a change to what was
signed before. Keys stay where they are: a PKCS#12 file or a token (PKCS#11) is read, never kept.
Source: ETSI EN 319 142-1 (PAdES baseline) and RFC 5652 (CMS) (memory).
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl

from dossier.documents.files import file_name, write_whole
from dossier.errors import DossierError, InputError, MissingToolError
from dossier.handover.bag import manifest
from dossier.handover.checksums import ALGORITHMS
from dossier.handover.issue_data import NAME as ISSUE
from dossier.handover.placing import CHECKSUMS, listed_sums
from dossier.handover.proof import Step, Trouble, step
from dossier.handover.proof_bag import prove_bag
from dossier.handover.signed import NOTE, noted_in, unlike_listed
from dossier.handover.signed_role import signed_role, with_role
from dossier.handover.store import digest_of

SIGNATURES = "signatures"
SIGNED_MANIFEST = "manifest-sha512.txt"
_FIELD, _POINT = "dossier_", "%2E"  # the name of a field may not hold a point (ISO 32000-2, 12.7.4)
_DETACHED = re.compile(r"\d\d+_(.+)\.p7s")  # number in the order of signing, role as a file name
_OLDER = "signs only an earlier state of the file"


class SignatureError(DossierError):
    """A signature that cannot be made."""


@dataclass(frozen=True, slots=True)
class Key:
    """Where the key is: a PKCS#12 file, or "pkcs11:module=...;token=...;label=..."."""

    place: str
    passphrase: bytes | None = None


def sign(target: Path, key: Key, role: str, roles: Sequence[str] = ()) -> list[Path]:
    """Sign as `role`: the dossier in a built folder (PAdES), or the manifest of a package (CMS).

    `roles` are all who will sign, in order; without them those of the first signature, or of
    the project. Returns the files signed. Raises, before anything is signed, SignatureError:
    nothing to sign, files changed since they were built or packed, a role out of order or that has
    signed, a key that cannot be used; InputError: an address of a key that cannot be read;
    MissingToolError: the extra is not installed.
    """
    _needed()
    if (target / "manifest-sha256.txt").is_file():
        return _sign_manifest(target, key, role)
    if (target / ISSUE).is_file():
        return _sign_built(target, key, role, roles)
    raise SignatureError(f"{target}: neither a built dossier nor a package that is a folder.")


def _needed() -> None:
    if find_spec("pyhanko") is None:
        raise MissingToolError(
            "pyHanko", needed_for="signatures", remedy='install the extra "sign"'
        )


@contextmanager
def _signer(key: Key) -> Iterator[Any]:
    if key.place.startswith("pkcs11:"):
        with _token(key) as signer:
            yield signer
        return
    signers = import_module("pyhanko.sign.signers")
    if not Path(key.place).is_file():
        raise SignatureError(f"{key.place}: no such key file.")
    signer = signers.SimpleSigner.load_pkcs12(key.place, passphrase=key.passphrase)
    if signer is None:
        raise SignatureError(f"{key.place}: no PKCS#12 file, or the passphrase is wrong.")
    yield signer


@contextmanager
def _token(key: Key) -> Iterator[Any]:
    """A key on a token; it never leaves it."""
    if find_spec("pkcs11") is None:
        raise MissingToolError(
            "python-pkcs11", needed_for="keys on tokens", remedy="install python-pkcs11"
        )
    said = dict(parse_qsl(key.place.removeprefix("pkcs11:").replace(";", "&")))
    if not {"module", "label"} <= set(said):
        raise InputError("--key", found=key.place, expected="pkcs11:module=FILE;label=NAME")
    config = import_module("pyhanko.config.pkcs11")
    criteria = config.TokenCriteria(label=said["token"]) if "token" in said else None
    pin = key.passphrase.decode() if key.passphrase else None
    setup = config.PKCS11SignatureConfig(
        module_path=said["module"], cert_label=said["label"], token_criteria=criteria, user_pin=pin
    )
    with import_module("pyhanko.sign.pkcs11").PKCS11SigningContext(setup) as signer:
        yield signer


def _sign_built(folder: Path, key: Key, role: str, roles: Sequence[str]) -> list[Path]:
    listed = listed_sums(folder)
    if unlike := unlike_listed(folder, listed):
        raise SignatureError(
            f"{folder}: {', '.join(unlike)} is gone or has changed since the dossier was built. "
            "Put it back as it was, or build into another folder and sign there. Nothing was "
            "signed."
        )
    issue = json.loads((folder / ISSUE).read_bytes())
    paths = [folder / file["name"] for file in issue["files"]]
    if not {ISSUE, *(path.name for path in paths)} <= set(listed):
        raise SignatureError(f"{folder}: {CHECKSUMS} does not list the dossier. Build it again.")
    with _signer(key) as signer:
        who = list(roles), issue["roles"] or [role]
        signed = [(path, _signed_pdf(path, signer, role, who)) for path in paths]
    before = {path.name: digest_of(path) for path, _ in signed}
    for path, data in signed:
        write_whole(path, data)
    _note(folder, before, listed)
    return paths


def _order(name: str, pdf: Any, wished: list[str], usual: list[str]) -> list[str]:
    """Who signs a file, in order: as its fields were made by the first who signed."""
    found = import_module("pyhanko.sign.fields").enumerate_sig_fields(pdf)
    made = [_role(field_name) for field_name, *_ in found]
    if made and wished and wished != made:
        raise SignatureError(
            f"{name} was prepared for the signatures {', '.join(made)}, and --roles names "
            f"{', '.join(wished)}. Sign without --roles, or build into another folder and sign "
            "there from the start. Nothing was signed."
        )
    order = made or wished or usual
    if len(set(order)) < len(order):
        raise SignatureError(
            f"{', '.join(order)} names a role twice, and each signs once. Give each signatory a "
            "role of his own, by --roles or in the project. Nothing was signed."
        )
    return order


def _field(role: str) -> str:
    return _FIELD + role.replace(".", _POINT)


def _role(field_name: str) -> str:
    return field_name.removeprefix(_FIELD).replace(_POINT, ".")


def _signed_pdf(path: Path, signer: Any, role: str, who: tuple[list[str], list[str]]) -> bytes:
    fields = import_module("pyhanko.sign.fields")
    signers = import_module("pyhanko.sign.signers")
    writer = import_module("pyhanko.pdf_utils.incremental_writer")
    reader = import_module("pyhanko.pdf_utils.reader")
    data = path.read_bytes()
    pdf = reader.PdfFileReader(io.BytesIO(data))
    order = _order(path.name, pdf, *who)
    done = [_role(one.field_name) for one in pdf.embedded_signatures]
    if role not in order:
        raise SignatureError(f"{role} is none of those who sign: {', '.join(order)}.")
    if done != order[: order.index(role)]:
        told = f"signed so far: {', '.join(done) or 'nobody'}; the order is {', '.join(order)}"
        raise SignatureError(f"{path.name}: it is not the turn of {role}: {told}.")
    out = writer.IncrementalPdfFileWriter(io.BytesIO(data))
    for name in () if done else order:
        fields.append_signature_field(out, fields.SigFieldSpec(_field(name)))
    meta = signers.PdfSignatureMetadata(
        field_name=_field(role), md_algorithm="sha256", reason=role, certify=not done,
        subfilter=fields.SigSeedSubFilter.PADES,
    )  # fmt: skip
    made = signers.sign_pdf(out, meta, signer=signer, existing_fields_only=True)
    return bytes(made.getbuffer())


def _note(folder: Path, before: Mapping[str, str], listed: Mapping[str, str]) -> None:
    """Say which files were signed, so that the next build does not take them for changed ones."""
    earlier = noted_in(folder)
    noted = {
        name: {**earlier.get(name, {"built": digest}), "signed": digest_of(folder / name)}
        for name, digest in before.items()
    }
    write_whole(folder / NOTE, f"{json.dumps(noted, indent=1)}\n".encode())
    renewed = {name: digest_of(folder / name) for name in (*before, NOTE)}
    sums = sorted({**listed, **renewed}.items())
    write_whole(folder / CHECKSUMS, "".join(f"{of}  {name}\n" for name, of in sums).encode())


def _sign_manifest(package: Path, key: Key, role: str) -> list[Path]:
    place = package / SIGNATURES
    made = [found[1] for path in place.glob("*") if (found := _DETACHED.fullmatch(path.name))]
    if file_name(role) in made:
        raise SignatureError(f"{role} has signed this package already.")
    if troubles := prove_bag(package).troubles:
        told = "; ".join(str(trouble) for trouble in troubles[:3])
        raise SignatureError(f"{package} is damaged: {told}. Pack it again. Nothing was signed.")
    with _signer(key) as signer:
        cms = import_module("asyncio").run(
            signer.async_sign_general_data(
                (package / SIGNED_MANIFEST).read_bytes(),
                digest_algorithm="sha512",
                detached=True,
                signed_attr_settings=with_role(role),
            )
        )
    path = write_whole(place / f"{len(made) + 1:02d}_{file_name(role)}.p7s", cms.dump())
    _renew_tags(package)
    return [path]


def _renew_tags(package: Path) -> None:
    """The manifests of the tag files, with the new signature among them."""
    names = [
        path.relative_to(package).as_posix()
        for path in package.rglob("*")
        if path.is_file() and path.relative_to(package).parts[0] != "data"
    ]
    tags = [name for name in names if not name.startswith("tagmanifest-")]
    for algorithm in ALGORITHMS:
        sums = {name: digest_of(package / name, algorithm) for name in tags}
        write_whole(package / f"tagmanifest-{algorithm}.txt", manifest(sums))


def prove_signatures(root: Path, trust: Sequence[Path] = ()) -> list[Step]:
    """Judge every signature of a package; each must cover the whole of what it signs.

    With a certificate to trust there must be one: else who strips all of them is not found out.
    """
    issue = json.loads((root / "data" / ISSUE).read_bytes())
    files = [root / "data" / file["name"] for file in issue["files"]]
    signed = [path for path in files if path.is_file() and b"/ByteRange" in path.read_bytes()]
    detached, troubles = _detached(root)
    if not (signed or detached or troubles):
        none = "no signature, though a certificate to trust was given"
        if trust:
            return [step("signatures", "", [Trouble("package", none)])]
        return [Step("signatures", "", left_out="the package carries none")]
    if find_spec("pyhanko") is None:
        why = 'there are signatures, and the extra "sign" that judges them is not installed'
        return [step("signatures", "", [Trouble(SIGNATURES, why)])]
    judge = _Judge(_roots(trust), bool(trust))
    troubles += [trouble for path in signed for trouble in judge.pdf(path)]
    troubles += _unlike([path.name for path in files], judge.roles)
    troubles += [t for path in detached for t in judge.cms(path, root / SIGNED_MANIFEST)]
    return [step("signatures", "; ".join(judge.told), troubles)]


def _detached(root: Path) -> tuple[list[Path], list[Trouble]]:
    """Signatures of the manifest; what else lies among them is no part of a package."""
    place = root / SIGNATURES
    there = sorted(path for path in place.rglob("*") if path.is_symlink() or not path.is_dir())
    found = [path for path in there if path.parent == place and _DETACHED.fullmatch(path.name)]
    told = f"no signature that can be judged: in {SIGNATURES}/ a file is named NUMBER_ROLE.p7s"
    return found, [
        Trouble(path.relative_to(root).as_posix(), told) for path in there if path not in found
    ]


def _unlike(names: Sequence[str], roles: Mapping[str, Sequence[str]]) -> Iterator[Trouble]:
    """Files of a dossier that lack a role by which another of its files is signed."""
    every = dict.fromkeys(role for of_file in roles.values() for role in of_file)
    for name in names:
        if lacking := [role for role in every if role not in roles.get(name, ())]:
            told = f"not signed as {', '.join(lacking)}, as other files of the dossier are"
            yield Trouble(name, told)


def _roots(trust: Sequence[Path]) -> Any:
    """Only the certificates given are trusted, none of the machine's; nothing is fetched."""
    load = import_module("pyhanko.keys").load_certs_from_pemder
    context = import_module("pyhanko_certvalidator").ValidationContext
    roots = list(load([str(path) for path in trust])) if trust else []
    return context(trust_roots=roots, allow_fetching=False)


@dataclass(frozen=True, slots=True)
class _Judge:
    """Judges signatures; `told` gathers who signed, `roles` as whom each PDF is signed."""

    context: Any
    must_trust: bool
    told: list[str] = field(default_factory=list)
    roles: dict[str, list[str]] = field(default_factory=dict)

    def pdf(self, path: Path) -> Iterator[Trouble]:
        """What is wrong with the signatures of a PDF."""
        try:
            yield from self._pdf(path)
        except Exception as error:  # noqa: BLE001 - a damaged file raises errors of any type
            yield Trouble(path.name, f"its signatures cannot be judged ({type(error).__name__})")

    def _pdf(self, path: Path) -> Iterator[Trouble]:
        validation = import_module("pyhanko.sign.validation")
        reader = import_module("pyhanko.pdf_utils.reader")
        with path.open("rb") as stream:
            found = list(reader.PdfFileReader(stream).embedded_signatures)
            if not found:
                yield Trouble(path.name, "carries a signature that cannot be read")
            roles = [_role(one.field_name) for one in found]
            self.roles[path.name] = roles
            for index, one in enumerate(found):
                with _quiet():
                    status = validation.validate_pdf_signature(one, self.context)
                name = f"{path.name}, {roles[index]}"
                yield from self._verdict(name, status)
                last = index == len(found) - 1
                if last and status.coverage.name != "ENTIRE_FILE":
                    yield Trouble(name, f"{_OLDER}: something was added after the last signature")
                elif not last and not getattr(status, "docmdp_ok", True):
                    yield Trouble(name, "what was added after it was not allowed")

    def cms(self, path: Path, signed: Path) -> Iterator[Trouble]:
        """What is wrong with a detached signature."""
        try:
            yield from self._cms(path, signed)
        except Exception as error:  # noqa: BLE001 - as above
            name = f"{SIGNATURES}/{path.name}"
            yield Trouble(name, f"cannot be judged ({type(error).__name__})")

    def _cms(self, path: Path, signed: Path) -> Iterator[Trouble]:
        asn1 = import_module("asn1crypto.cms")
        generic = import_module("pyhanko.sign.validation.generic_cms")
        run = import_module("asyncio").run
        content = asn1.ContentInfo.load(path.read_bytes())["content"]
        with _quiet():
            status = run(
                generic.async_validate_detached_cms(signed.read_bytes(), content, self.context)
            )
        name, role = f"{SIGNATURES}/{path.name}", signed_role(content)
        yield from self._verdict(name, status)
        self.told[-1] += f", as {role}" if role else ", role by the file name only, not signed"
        if role and _DETACHED.sub(r"\1", path.name) != file_name(role):
            yield Trouble(name, f"signed as {role}, which is not the role of its name")

    def _verdict(self, name: str, status: Any) -> Iterator[Trouble]:
        who = status.signing_cert.subject.human_friendly
        trusted = "trusted" if status.trusted else "not traced to a root"
        self.told.append(f"{name}: {who} ({trusted})")
        if not status.intact:
            yield Trouble(name, "what was signed has changed since")
        elif not status.valid:
            yield Trouble(name, "the signature is not that of this certificate")
        elif self.must_trust and not status.trusted:
            yield Trouble(name, f"{who} does not lead to a certificate that you trust")


@contextmanager
def _quiet() -> Iterator[None]:
    """The library logs what it finds; here it goes into the proof instead."""
    import logging

    logger = logging.getLogger("pyhanko")
    level = logger.level
    logger.setLevel(logging.CRITICAL + 1)
    validator = logging.getLogger("pyhanko_certvalidator")
    before = validator.level
    validator.setLevel(logging.CRITICAL + 1)
    try:
        yield
    finally:
        logger.setLevel(level)
        validator.setLevel(before)
