"""ASME BPVC Section IX, 2021: welders and procedures. The rules are those of the package."""

from __future__ import annotations

from functools import partial

from dossier.codes.asme_ix import procedures, validity, welder_range, welders
from dossier.codes.asme_ix.common import CHOICES, Edition
from dossier.codes.asme_ix.pqr_limits import procedure_range as _procedure_range
from dossier.codes.asme_ix.rules import NOT_COVERED, RULES
from dossier.codes.asme_ix.validity import for_process, valid_until

EDITION = "ASME IX:2021"
_EDITION = Edition("2021", uphill_is_supplementary=False)

qualified_range = partial(welder_range.qualified_range, _EDITION)
covers = partial(welders.covers, _EDITION)
covers_together = partial(welders.covers_together, _EDITION)
valid_on = partial(validity.valid_on, _EDITION)
renews = partial(validity.renews, _EDITION)
restores = partial(validity.restores, _EDITION)
procedure_range = partial(_procedure_range, _EDITION)
supports = partial(procedures.supports, _EDITION)

__all__ = (
    "CHOICES",
    "EDITION",
    "NOT_COVERED",
    "RULES",
    "covers",
    "covers_together",
    "for_process",
    "procedure_range",
    "qualified_range",
    "renews",
    "restores",
    "supports",
    "valid_on",
    "valid_until",
)
