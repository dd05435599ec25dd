"""Acceptance sampling by attributes: code letters, single plans for normal inspection, risk."""

from __future__ import annotations

from typing import NamedTuple

from dossier.calc.proportions import binomial_at_most
from dossier.errors import InputError
from dossier.records.verdicts import Basis

TABLE_1 = Basis("ISO 2859-1", "1999", "Table 1", known="secondary")
TABLE_2A = Basis("ISO 2859-1", "1999", "Table 2-A", known="secondary")

_LEVELS = ("S-1", "S-2", "S-3", "S-4", "I", "II", "III")

# Largest lot of each row, then one letter for each level in the order above. Columns I and II as
# read; the others are from memory.
_CODE_LETTERS: tuple[tuple[float, str], ...] = (
    (8, "AAAAAAB"),
    (15, "AAAAABC"),
    (25, "AABBBCD"),
    (50, "ABBCCDE"),
    (90, "BBCCCEF"),
    (150, "BBCDDFG"),
    (280, "BCDEEGH"),
    (500, "BCDEFHJ"),
    (1_200, "CCEFGJK"),
    (3_200, "CDEGHKL"),
    (10_000, "CDFGJLM"),
    (35_000, "CDFHKMN"),
    (150_000, "DEGJLNP"),
    (500_000, "DEGJMPQ"),
    (float("inf"), "DEHKNQR"),
)

_LETTERS = "ABCDEFGHJKLMNPQR"
_SIZES = (2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000)
_AQL_PCT = (
    *(0.010, 0.015, 0.025, 0.040, 0.065, 0.10, 0.15, 0.25, 0.40, 0.65, 1.0, 1.5, 2.5, 4.0),
    *(6.5, 10.0, 15.0, 25.0, 40.0, 65.0, 100.0, 150.0, 250.0, 400.0, 650.0, 1000.0),
)

# Table 2-A is built on diagonals: letter place plus AQL place decides the acceptance number.
# Diagonal 14 has 0; 15 points up to it and 16 down to 17, which has 1.
_ON_DIAGONAL = {14: 0, 17: 1, 18: 2, 19: 3, 20: 5, 21: 7, 22: 10, 23: 14, 24: 21}
_LARGE = {25: 30, 26: 44}  # only in the rows of letters A to E
_LAST_LARGE_ROW = _LETTERS.index("E")


class Plan(NamedTuple):
    """A single sampling plan: accept with at most `accept` defectives, reject with `reject`."""

    code_letter: str  # of the lot; an arrow in the table may lead to another sample size
    sample_size: int
    accept: int
    reject: int


def code_letter(lot_size: int, level: str = "II") -> str:
    """Sample size code letter of a lot at an inspection level.

    `level` is "I", "II", "III" or "S-1" to "S-4".

    Formula: table
    Source: ISO 2859-1:1999, Table 1 (levels I and II secondary, others memory).
    Raises InputError for a lot of less than 2 or an unknown level.

    >>> code_letter(300), code_letter(90, "I")
    ('H', 'C')
    """
    if lot_size < 2:
        raise InputError("lot_size", found=lot_size, expected="2 or more")
    if level not in _LEVELS:
        raise InputError("level", found=level, expected=f"one of {', '.join(_LEVELS)}")
    row = next(letters for largest, letters in _CODE_LETTERS if lot_size <= largest)
    return row[_LEVELS.index(level)]


def sample_size(letter: str) -> int:
    """Sample size of a code letter for single sampling, normal inspection.

    Formula: table
    Source: ISO 2859-1:1999, Table 2-A.
    Raises InputError for a letter that the table lacks (I, O and those past R).

    >>> sample_size("J")
    80
    """
    if len(letter) != 1 or letter not in _LETTERS:
        raise InputError("letter", found=letter, expected=f"one of {_LETTERS}")
    return _SIZES[_LETTERS.index(letter)]


def single_normal_plan(lot_size: int, aql_pct: float, level: str = "II") -> Plan:
    """Single sampling plan for normal inspection of a lot at an acceptance quality limit.

    A sample as large as the lot or larger means that every item is inspected. Where the table
    points up or down, the plan pointed at is used with its own sample size.

    Formula: table
    Source: ISO 2859-1:1999, Tables 1 and 2-A (secondary; the diagonals from memory).
    Raises InputError for an unknown level or AQL, or where the table leads out of itself.

    >>> single_normal_plan(1000, 1.0)
    Plan(code_letter='J', sample_size=80, accept=2, reject=3)
    """
    letter = code_letter(lot_size, level)
    if aql_pct not in _AQL_PCT:
        preferred = ", ".join(f"{value:g}" for value in _AQL_PCT)
        raise InputError("aql_pct", found=aql_pct, expected=f"one of {preferred}")
    column = _AQL_PCT.index(aql_pct)
    row, accept = _follow_arrows(_LETTERS.index(letter), column)
    return Plan(letter, _SIZES[row], accept, accept + 1)


def _follow_arrows(row: int, column: int) -> tuple[int, int]:
    """The row whose plan serves, and its acceptance number."""
    diagonal, last = row + column, len(_LETTERS) - 1
    if diagonal in _LARGE and row <= _LAST_LARGE_ROW:
        return row, _LARGE[diagonal]
    if diagonal < 14:
        row = 14 - column
    elif diagonal == 15:
        row += -1 if row else 2  # above A there is no plan, so its arrow points down
    elif diagonal == 16:
        row += 1 if row < last else -2  # below R there is none, so its arrow points up
    elif diagonal > 24:
        large = [d - column for d in _LARGE if d - column <= _LAST_LARGE_ROW]
        row = max([24 - column, *large])
    if not 0 <= row < len(_LETTERS):
        raise InputError(
            "aql_pct", found=_AQL_PCT[column], expected="a plan inside the table for this lot"
        )
    diagonal = row + column
    return row, (_ON_DIAGONAL | _LARGE)[diagonal]


def probability_of_acceptance(sample_size: int, accept: int, share_defective: float) -> float:
    """Chance that a lot with this share defective passes a single plan.

    Formula: sum over k <= Ac of C(n, k) p^k (1 - p)^(n - k)
    Source: ISO 2859-1:1999, operating characteristic (binomial).
    Raises InputError unless 0 <= accept <= sample_size and the share lies from 0 to 1.

    >>> round(probability_of_acceptance(80, 2, 0.01), 4)
    0.9534
    """
    return binomial_at_most(accept, sample_size, share_defective)
