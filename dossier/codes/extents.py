"""How many welds a share asks for. Whole-number arithmetic: 7 % of 100 is 7, not 8."""

from __future__ import annotations

from dossier.errors import InputError


def welds_to_examine(welds: int, percent: int, welders: int = 0) -> int:
    """Welds to examine: no less than the share, and each of `welders` at least once.

    A part counts as a whole weld ("not less than"). A share of nothing asks for none.
    Raises InputError: a negative count, a share that is not from 0 to 100.

    >>> welds_to_examine(101, 5), welds_to_examine(40, 5, welders=6), welds_to_examine(100, 7)
    (6, 6, 7)
    """
    if welds < 0 or welders < 0 or not 0 <= percent <= 100:
        found = (welds, percent, welders)
        raise InputError("welds, percent, welders", found=found, expected="counts, share to 100 %")
    return max(-(-welds * percent // 100), min(welders, welds)) if percent else 0
