"""Words and units that the adapters of the American entries share; no figure of a standard."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from dossier.codes.api_1104_21.settings import sizes
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Reason, worst
from dossier.units import convert

Inputs = Mapping[str, Any]
Reply = dict[str, Any]
SIZES = sizes({"units": "US"})


def mm(inches: float) -> float:
    return convert(inches, "in", "mm")


def mpa(psi: float) -> float:
    return convert(psi, "psi", "MPa")


def words(reasons: Iterable[Reason] | Reason, good: str, bad: str) -> Reply:
    judged = (reasons,) if isinstance(reasons, Reason) else tuple(reasons)
    return {"verdict": bad if worst(judged) >= NONCONFORMITY else good}


def permit(reasons: Iterable[Reason] | Reason) -> Reply:
    return words(reasons, "permitted", "not_permitted")


def accept(reasons: Iterable[Reason] | Reason) -> Reply:
    return words(reasons, "accept", "reject")


def inside(value: object, allowed: Any) -> Reply:
    return {"verdict": "permitted" if value in allowed else "not_permitted"}


def day(text: str) -> date:
    return date.fromisoformat(text)


def proved(reasons: Iterable[Reason]) -> Reply:
    """Permitted only where every reason is clear: what is not shown does not count."""
    return {"verdict": "permitted" if worst(reasons) == CLEAR else "not_permitted"}
