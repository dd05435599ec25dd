"""API Standard 1104, 21st edition (2013, with errata and addenda to 2016): pipeline welding."""

from __future__ import annotations

from dossier.codes.api_1104_21.accept import accept
from dossier.codes.api_1104_21.procedures import procedure_range, supports
from dossier.codes.api_1104_21.rules import NOT_COVERED, RULES
from dossier.codes.api_1104_21.settings import CHOICES, EDITION
from dossier.codes.api_1104_21.validity import valid_on, valid_until
from dossier.codes.api_1104_21.welders import covers, qualified_range

__all__ = [
    "CHOICES",
    "EDITION",
    "NOT_COVERED",
    "RULES",
    "accept",
    "covers",
    "procedure_range",
    "qualified_range",
    "supports",
    "valid_on",
    "valid_until",
]
