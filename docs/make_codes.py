"""Write docs/codes.md: every rule of every edition, its clause, how it is known, what is left out.

Usage: python docs/make_codes.py
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

from dossier import codes
from dossier.codes.editions import ACCEPTANCE_CODES, PROCEDURE_CODES, WELDER_CODES

PAGE = Path(__file__).parent / "codes.md"
_ROLES = {"welders": WELDER_CODES, "procedures": PROCEDURE_CODES, "acceptance": ACCEPTANCE_CODES}
_INTRO = """# Codes

Made by `docs/make_codes.py` from the code; do not edit by hand.

**The licensed standard governs.** What stands here is carried out from facts and figures, in our
own words. *Known* tells how a rule is known: **read** in the text of the standard or regulation,
**secondary** (a page that reports it), **memory**, or **practice** (common practice of the trade).
A qualified welding engineer confirms a rule from memory before a release of work rests on it.

Where editions or sources disagree, the stricter reading is the default; another reading is chosen
by name under `choices` in `project.yaml` and is printed in the cross-check report.
"""


def modules() -> Iterator[ModuleType]:
    """Every module of the codes, in the order of their names."""
    for found in sorted(pkgutil.walk_packages(codes.__path__, "dossier.codes."), key=str):
        yield importlib.import_module(found.name)


def page() -> str:
    """The whole page."""
    whole = [m for m in modules() if hasattr(m, "EDITION") and hasattr(m, "RULES")]
    parts = [_INTRO, _summary(whole), *(_edition(module) for module in whole)]
    parts.append(_single_rules(whole))
    return "\n".join(parts)


def _summary(whole: list[ModuleType]) -> str:
    rows = [
        "## Editions",
        "",
        "| edition | answers for | rules | read | secondary | memory | practice |",
    ]
    rows.append("|---|---|---:|---:|---:|---:|---:|")
    for module in whole:
        known = Counter(rule.known for rule in module.RULES)
        counts = " | ".join(str(known[how]) for how in ("read", "secondary", "memory", "practice"))
        roles = [role for role, register in _ROLES.items() if module.EDITION in register]
        told = ", ".join(roles) or "single rules"
        rows.append(f"| [{module.EDITION}](#{_anchor(module.EDITION)}) | {told} "
                    f"| {len(module.RULES)} | {counts} |")  # fmt: skip
    return "\n".join([*rows, ""])


def _anchor(title: str) -> str:
    return "".join(c for c in title.lower().replace(" ", "-") if c.isalnum() or c in "-_")


def _edition(module: ModuleType) -> str:
    rows = [f"## {module.EDITION}", "", _about(module), ""]
    rows += ["| rule | clause | known | function |", "|---|---|---|---|"]
    rows += [
        f"| {r.title} | {r.clause} | {r.known} | `{_short(r.function)}` |" for r in module.RULES
    ]
    rows.append("")
    if module.NOT_COVERED:
        rows += ["Not covered:", "", *(f"- {left}" for left in module.NOT_COVERED), ""]
    choices = getattr(module, "CHOICES", {})
    if choices:
        rows += ["| choice | default | other readings | meaning |", "|---|---|---|---|"]
        rows += [_choice(name, choice) for name, choice in choices.items()]
        rows.append("")
    return "\n".join(rows)


def _choice(name: str, choice: tuple[str, tuple[str, ...], str]) -> str:
    default, others, meaning = choice
    return f"| {name} | {default} | {', '.join(others)} | {meaning} |"


def _single_rules(whole: list[ModuleType]) -> str:
    """Standards of which only single rules are carried out: one module each."""
    homes = {module.__name__ for module in whole}
    rows = ["## Single rules of further standards", "", "| module | about |", "|---|---|"]
    for module in modules():
        parent = module.__name__.rpartition(".")[0]
        top = parent == "dossier.codes"
        if top and module.__name__ not in homes and _public(module):
            rows.append(f"| `{_short(module.__name__)}` | {_about(module)} |")
    return "\n".join([*rows, ""])


def _public(module: ModuleType) -> bool:
    if module.__name__.endswith((".editions", ".readings", ".periods", ".face")):
        return False  # how codes are found and read, not what one says
    functions = (f for n, f in vars(module).items() if inspect.isfunction(f) and n[0] != "_")
    return any(f.__module__.startswith(module.__name__) for f in functions)


def _about(module: ModuleType) -> str:
    return inspect.cleandoc(module.__doc__ or "").partition("\n\n")[0].replace("\n", " ")


def _short(path: str) -> str:
    return path.removeprefix("dossier.codes.")


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(PAGE)
