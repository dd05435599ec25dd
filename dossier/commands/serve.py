"""`dossier serve`: the review page on this machine, made again when a record changes."""

from __future__ import annotations

import argparse
import threading
from typing import TYPE_CHECKING

from dossier.commands.shared import CLEAN, Commands, checked_project, project_command, say

if TYPE_CHECKING:
    from dossier.review.server import Made


def add(commands: Commands[argparse.ArgumentParser]) -> None:
    """Declare the command."""
    serve = project_command(
        commands, "serve", run, "show the review page on this machine and follow the records"
    )
    serve.add_argument(
        "--port",
        type=int,
        default=8617,
        help="port of 127.0.0.1; 0 takes any free one (default: 8617)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Serve until interrupted; the address goes to stdout."""
    from dossier.errors import InputError
    from dossier.review.server import ADDRESS, Watched, server, watch

    watched = Watched(arguments.folder, lambda mark: _made(arguments, mark))
    try:
        listening = server(watched, arguments.port)
    except (OSError, OverflowError) as error:
        raise InputError("port", found=arguments.port, expected="a free port") from error
    stopped = threading.Event()
    threading.Thread(target=watch, args=(watched, stopped), daemon=True).start()
    try:
        print(f"http://{ADDRESS}:{listening.server_address[1]}/", flush=True)
        say("Read-only, for this machine alone. Stop it with Ctrl-C.")
        listening.serve_forever()
    except KeyboardInterrupt:
        say("Stopped.")
    finally:
        stopped.set()
        listening.server_close()
    return CLEAN


def _made(arguments: argparse.Namespace, mark: str) -> Made:
    from dossier.review import link, page
    from dossier.review.evidence import evidence_paths
    from dossier.review.server import Made

    project, findings = checked_project(arguments)
    paths = evidence_paths(project.seen, arguments.folder)
    links = {number: link(f"evidence/{number}") for number in paths}
    return Made(page(project.seen, findings, links, live=mark), paths)
