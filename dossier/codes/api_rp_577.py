"""API RP 577: who may read a film."""

from __future__ import annotations

from math import inf

from dossier.records.verdicts import Basis, Range, Reason

READER = Basis("API RP 577", "", "8.8.1", known="read")


def film_reader(level: int | None) -> Reason:
    """The reason for the level of the person who reads films and reports: II at least.

    Source: API RP 577, 8.8.1 (read).

    >>> str(film_reader(1).verdict), str(film_reader(2).verdict)
    ('nonconformity', 'clear')
    """
    return Range(2, inf, READER, unit="").judge("level of the film reader", level)
