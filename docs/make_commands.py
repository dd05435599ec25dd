"""Write docs/commands.md: every command with its arguments and examples.

Usage: python docs/make_commands.py
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parent.parent
sys.path.insert(0, str(ROOT))

from docs.command_tree import Command, commands  # noqa: E402
from docs.examples import EXAMPLES  # noqa: E402

PAGE = Path(__file__).parent / "commands.md"
_INTRO = """# Commands

Made by `docs/make_commands.py` from the commands themselves; do not edit by hand.

What was asked for goes to stdout, talk and progress to stderr. Exit codes: **0** clean, **1**
findings, differences or faults that were asked about, **2** the command line is wrong or a place
cannot be written, **3** the project cannot be read, **4** something is not installed, **130**
interrupted. `--help` after a command tells what stands here.

The examples work on the sample project, in the order in which they stand.
"""


def page() -> str:
    """The whole page."""
    known = commands()
    summary = ["| command | |", "|---|---|"]
    summary += [f"| [{c.name}](#{c.name}) | {_sentence(c.told)} |" for c in known]
    return "\n".join([_INTRO, *summary, "", *(line for c in known for line in _section(c, 2))])


def _section(command: Command, level: int) -> Iterator[str]:
    yield f"{'#' * level} {command.name}"
    yield from ("", _sentence(command.told), "", "```", command.usage, "```", "")
    if command.arguments:
        yield from ("| argument | |", "|---|---|")
        for one in command.arguments:
            written = one.written.replace("|", "\\|")
            yield f"| `{written}`{' *' if one.needed else ''} | {_sentence(one.told)} |"
        yield ""
    for action in command.actions:
        yield from _section(action, level + 1)
    if examples := EXAMPLES.get(command.name):
        yield from ("```sh", *examples, "```", "")


def _sentence(told: str) -> str:
    """What the parser tells, as a sentence of a page."""
    return f"{told[0].upper()}{told[1:]}." if told else ""


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(PAGE)
