"""`dossier templates`: which templates are used, what they may use, and what is wrong with them."""

from __future__ import annotations

import argparse
from pathlib import Path

from dossier.commands.shared import CLEAN, FOUND, Commands, plain_command
from dossier.errors import InputError


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    told = "list templates, show what one may use, check a project's own"
    templates = plain_command(commands, "templates", run, told)
    actions = templates.add_subparsers(dest="action", required=True, metavar="ACTION")
    listing = actions.add_parser("list", help="every template with its checksum")
    listing.add_argument("folder", nargs="?", type=Path, help="folder of a project's own ones")
    show = actions.add_parser("show", help="every field that a template may use")
    show.add_argument("name", help="name of a template, as listed")
    check = actions.add_parser("check", help="unknown and missing fields, with their places")
    check.add_argument("folder", type=Path, help="project folder, or its folder of templates")


def run(arguments: argparse.Namespace) -> int:
    """Print what was asked for; exit 1 where a template has a fault."""
    if arguments.action == "show":
        return _show(arguments.name)
    return _check(arguments.folder) if arguments.action == "check" else _list(arguments.folder)


def _folder(given: Path) -> Path:
    inside = given / "templates"
    folder = inside if inside.is_dir() or (given / "project.yaml").is_file() else given
    if not folder.is_dir():
        raise InputError("folder", found=folder, expected="a folder with templates")
    return folder


def _list(given: Path | None) -> int:
    from dossier.documents.template_check import listed

    for one in listed(_folder(given) if given else None):
        whose = "project" if one.own else "dossier"
        print(f"{one.name:30} {whose:8} {one.sha256}  {one.made}")
    return CLEAN


def _show(name: str) -> int:
    from dossier.documents.template_check import shown

    for path, kind in shown(name):
        print(f"{path:44} {kind}")
    return CLEAN


def _check(given: Path) -> int:
    from dossier.documents.template_check import checked, own_ones

    folder = _folder(given)
    slips = list(checked(folder))
    for slip in slips:
        print(f"{'fault' if slip.fault else 'note'}: {slip}")
    faults = sum(slip.fault for slip in slips)
    print(f"{len(own_ones(folder))} templates, {faults} faults, {len(slips) - faults} notes")
    return FOUND if faults else CLEAN
