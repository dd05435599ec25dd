"""`dossier draw`: a random audit sample with the evidence pack of each joint."""

from __future__ import annotations

import argparse
import json

from dossier.commands.shared import CLEAN, Commands, checked_project, project_command


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    draw = project_command(commands, "draw", run, "draw a random audit sample of joints")
    draw.add_argument("--seed", type=int, required=True, help="the same seed draws the same joints")
    draw.add_argument("--joints", type=int, default=10, metavar="K", help="how many (default: 10)")
    draw.add_argument(
        "--format",
        choices=("text", "json"),
        default="text",
        help="form of the answer (default: text)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the sample with its evidence."""
    from dossier.coverage.audit_sample import draw
    from dossier.documents.evidence_pack import pack_as_data, pack_text

    project, findings = checked_project(arguments)
    seen = project.seen
    drawn = draw(seen, arguments.seed, arguments.joints)
    pack = pack_as_data(seen, findings, drawn, arguments.seed)
    if arguments.format == "json":
        print(json.dumps(pack, indent=2, ensure_ascii=False))
    else:
        print(pack_text(pack))
    return CLEAN
