"""`dossier sign`: sign a built dossier, or the manifest of a package."""

from __future__ import annotations

import argparse
import os
import sys
from getpass import getpass
from pathlib import Path

from dossier.commands.shared import CLEAN, Commands, plain_command

_PASSPHRASE = "DOSSIER_KEY_PASSPHRASE"  # noqa: S105 - the name of a variable


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    sign = plain_command(commands, "sign", run, "sign a built dossier or a package")
    sign.add_argument("target", type=Path, help="folder of dossier build, or a package folder")
    sign.add_argument(
        "--key", required=True, help="PKCS#12 file, or pkcs11:module=FILE;token=NAME;label=NAME"
    )
    sign.add_argument("--role", required=True, help="as whom: prepared, checked, approved, ...")
    sign.add_argument(
        "--roles", default="",
        help="all who will sign, in order (default: as at the first signature, or the project's)",
    )  # fmt: skip
    sign.add_argument("--passphrase-file", type=Path, help=f"or set {_PASSPHRASE}")


def run(arguments: argparse.Namespace) -> int:
    """Sign and print what was signed."""
    from dossier.handover.signature import Key, sign

    roles = [role.strip() for role in arguments.roles.split(",") if role.strip()]
    key = Key(arguments.key, _passphrase(arguments.passphrase_file))
    for path in sign(arguments.target, key, arguments.role, roles):
        print(path)
    return CLEAN


def _passphrase(file: Path | None) -> bytes | None:
    if file is not None:
        return file.read_bytes().rstrip(b"\r\n")
    if _PASSPHRASE in os.environ:
        return os.environ[_PASSPHRASE].encode()
    return getpass("Passphrase of the key: ").encode() if sys.stdin.isatty() else None
