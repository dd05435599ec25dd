"""Keys and certificates of invented signatories, and the proof of what they signed."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.hazmat.primitives.serialization import pkcs12
from cryptography.x509.oid import NameOID

from dossier.handover.signature import Key
from dossier.handover.verify import verify

PASSPHRASE = b"only for tests"


class Keys:
    """A root of our own and two signatories below it."""

    def __init__(self, folder: Path) -> None:
        self.root = folder / "root.pem"
        self.stranger = folder / "stranger.pem"
        root_key, root = _certificate("Test root")
        _, stranger = _certificate("Somebody else")
        self.root.write_bytes(root.public_bytes(serialization.Encoding.PEM))
        self.stranger.write_bytes(stranger.public_bytes(serialization.Encoding.PEM))
        self.places: dict[str, Path] = {}
        for name in ("P. Quill", "M. Stoat"):
            key, certificate = _certificate(name, root_key, root)
            locked = serialization.BestAvailableEncryption(PASSPHRASE)
            held = pkcs12.serialize_key_and_certificates(
                name.encode(), key, certificate, [root], locked
            )
            self.places[name] = folder / f"{name[0]}.p12"
            self.places[name].write_bytes(held)

    def __getitem__(self, name: str) -> Key:
        return Key(str(self.places[name]), PASSPHRASE)


def _certificate(
    name: str,
    issuer_key: rsa.RSAPrivateKey | None = None,
    issuer: x509.Certificate | None = None,
) -> tuple[rsa.RSAPrivateKey, x509.Certificate]:
    key = rsa.generate_private_key(65537, 2048)
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
    now = datetime.now(UTC)
    usage = x509.KeyUsage(
        digital_signature=True, content_commitment=bool(issuer), key_encipherment=False,
        data_encipherment=False, key_agreement=False, key_cert_sign=not issuer,
        crl_sign=not issuer, encipher_only=False, decipher_only=False,
    )  # fmt: skip
    made = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer.subject if issuer else subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=30))
        .add_extension(x509.BasicConstraints(ca=issuer is None, path_length=None), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(issuer_key or key, hashes.SHA256())
    )
    return key, made


def told(package: Path, *trust: Path) -> str:
    return verify(package, trust, deep=False).as_text()
