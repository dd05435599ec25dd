"""Whether two records speak of the same grade of steel, however each of them writes it."""

from __future__ import annotations

import re

from dossier.calc.pipe_grades import PSL_2

# Both names that API 5L and ISO 3183 give each grade of line pipe: X52 is L360.
_LINE_PIPE = {api: iso for iso, api in (name.split("/") for name in PSL_2) if api != "B"}
_ISO_NAMES = ("L245", *_LINE_PIPE.values())
_START = "(?<![A-Z0-9])"
_REWRITTEN = tuple(
    (re.compile(pattern), new)
    for pattern, new in (
        (rf"{_START}5L[ -]?(?=[XB])", "5L "),
        (rf"({_START}5L\W*|^)((GR|GRADE)\W*)?B(?![A-Z0-9])", "B L245"),
        (rf"{_START}S?A[ -]?(?=\d{{3}})", "A"),  # SA-106 of ASME is A106 of ASTM
        (rf"{_START}(TP|WP|F)(?=\d{{3}})", ""),  # the form of the product: TP316L is 316L
    )
)
_X = re.compile(rf"{_START}X[ -]?(\d{{2,3}})(?!\d)")
_NUMBER = re.compile(r"\W*(1\.\d{4}|[SN]\d{5})\W*")  # EN 10027-2, UNS
_NO_NAME = frozenset({
    "GR", "GRADE", "TYPE", "TP", "CL", "CLASS", "ASTM", "ASME", "API", "EN", "ISO", "DIN", "BS",
    "SPEC", "5L", "PSL", "PSL1", "PSL2", "AND", "OR",
})  # fmt: skip


def same_grade(one: str, other: str) -> bool:
    """Whether two grades as written are one steel, or one of them names the other.

    Case, blanks and hyphens make no difference, nor do words that belong to no grade, nor whether
    line pipe goes by its name in ISO 3183 or in API 5L. A bare material number is never held
    against a name: which steel it stands for is not told here.

    Source: API 5L, 45th edition, Table 7 (secondary), for the two names of line pipe; otherwise
    common practice.

    >>> same_grade("L360", "API 5L X52 PSL 2"), same_grade("S355 J2", "s355j2+n")
    (True, True)
    >>> same_grade("A106 Gr.B", "ASTM A-106 / API 5L Grade B"), same_grade("1.4404", "316L")
    (True, True)
    >>> same_grade("L245", "API 5L Gr. B"), same_grade("TP316L", "A312 TP316/316L")
    (True, True)
    >>> same_grade("L360", "L245"), same_grade("L415ME", "X65M")
    (False, False)
    """
    first, second = _names(one), _names(other)
    run, run_of_other = "".join(first), "".join(second)
    if all(name in run_of_other for name in first) or all(name in run for name in second):
        return True
    return bool(_NUMBER.fullmatch(one)) != bool(_NUMBER.fullmatch(other))


def is_line_pipe(grade: str) -> bool:
    """Whether a grade is one of ISO 3183 and API 5L, by either name.

    >>> is_line_pipe("L360NE"), is_line_pipe("API 5L X52"), is_line_pipe("S355J2")
    (True, True, False)
    """
    return any(name.startswith(_ISO_NAMES) for name in _names(grade))


def _names(written: str) -> list[str]:
    text = written.strip().upper()
    for pattern, new in _REWRITTEN:
        text = pattern.sub(new, text)
    text = _X.sub(lambda found: _LINE_PIPE.get(f"X{found[1]}", found[0]), text)
    return [name for name in re.findall(r"[^\W_]+", text) if name not in _NO_NAME]
