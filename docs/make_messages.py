"""Write docs/messages.md: records that are refused or doubted, and what is said of each.

Usage: python docs/make_messages.py   (from the checkout, whose trial records give the examples)
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parent.parent
TRIALS = ROOT / "tests" / "intake"
PAGE = Path(__file__).parent / "messages.md"
_INTRO = """# What is said of bad records

Made by `docs/make_messages.py` from the trial records of the tests; do not edit by hand.

Records that cannot be taken are refused: all faults of all files are told at once, each with the
file, the line or cell, the field, what was found and what was expected, and nothing is written.
What can be read in one way only, but not without a doubt, is read and told: a **note** for what a
declaration of the project settles, a **HOLD**, which becomes an open point of the dossier, for what
a person has to settle. The text as it was written, the value and the place stay together; nothing
is repaired silently.

`dossier check` says the same to a program: `--format json` or `--format sarif`.
"""
_LONGEST = 300  # characters of one message; a list of all that is allowed can be longer


def page() -> str:
    """The whole page."""
    return "\n".join([
        _INTRO, "## Refused", "", *_sections("refused", "expected.txt"),
        "## Read, and told", "", *_sections("accepted", "told.txt"),
    ]).rstrip() + "\n"  # fmt: skip


def _sections(kind: str, name: str) -> Iterator[str]:
    for told in sorted((TRIALS / kind).glob(f"*/{name}")):
        title = told.parent.name.replace("_", " ")
        yield f"### {title[:1].upper()}{title[1:]}"
        yield from ("", f"`{told.parent.relative_to(ROOT).as_posix()}`", "", "```text")
        yield from (_short(line) for line in told.read_text(encoding="utf-8").splitlines())
        yield from ("```", "")


def _short(line: str) -> str:
    """A message without the rest of a long list."""
    if len(line) <= _LONGEST:
        return line
    return re.sub(r",? \S*$", "", line[:_LONGEST]) + ", ..."


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
