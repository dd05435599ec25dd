"""`dossier verify`: prove a handover package."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from dossier.commands.shared import CLEAN, FOUND, Commands, plain_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    verify = plain_command(commands, "verify", run, "prove a handover package")
    verify.add_argument("package", type=Path, help="package, folder or zip")
    verify.add_argument(
        "--format",
        choices=("text", "json"),
        default="text",
        help="form of the answer (default: text)",
    )
    verify.add_argument(
        "--trust", type=Path, action="append", default=[], metavar="PEM",
        help="certificate that signatures must lead to; may be given several times",
    )  # fmt: skip
    verify.add_argument(
        "--bytes-only", action="store_true", help="checksums and signatures, nothing more"
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the proof; exit 1 where anything is wrong."""
    from dossier.handover.verify import verify

    proof = verify(arguments.package, arguments.trust, deep=not arguments.bytes_only)
    as_json = arguments.format == "json"
    print(json.dumps(proof.as_data(), indent=2) if as_json else proof.as_text())
    return CLEAN if proof.holds else FOUND
