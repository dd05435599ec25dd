"""What the system standards ask: ISO 3834-2, ISO 14731, ISO 15607, ISO 15609-1.

Lists are contents in our own short words, not texts.
"""

from __future__ import annotations

from datetime import date
from typing import Final

from dossier.codes.periods import months_later
from dossier.records.verdicts import Basis

RECORDS = Basis("ISO 3834-2", "2021", "18", "memory")
COORDINATION = Basis("ISO 14731", "2019", "6.2", "read")
ROUTES = Basis("ISO 15607", "2019", "6", "memory")
WPS = Basis("ISO 15609-1", "2019", "4", "memory")

QUALITY_RECORDS: Final = (
    "requirement and technical review",
    "material inspection documents",
    "consumable inspection documents",
    "WPS",
    "equipment maintenance records",
    "WPQR",
    "welder and operator certificates",
    "production plan",
    "NDT personnel certificates",
    "heat treatment specification and records",
    "NDT and destructive test procedures and reports",
    "dimensional reports",
    "repair and non-conformity records",
)
KNOWLEDGE_LEVELS: Final = ("comprehensive", "specific", "basic")
QUALIFICATION_ROUTES: Final = {
    "ISO 15610": "tested consumables",
    "ISO 15611": "previous experience",
    "ISO 15612": "standard procedure",
    "ISO 15613": "pre-production test",
    "ISO 15614": "procedure test",
}
WPS_FIELDS: Final = (
    "manufacturer",
    "WPS number",
    "WPQR reference",
    "parent material and group",
    "thickness range",
    "outside diameter range",
    "process",
    "joint design",
    "welding position",
    "joint preparation and cleaning",
    "technique",
    "back gouging",
    "backing",
    "consumable designation, make, size, handling",
    "current type, polarity, ranges",
    "mechanised parameters",
    "preheat",
    "interpass",
    "preheat maintenance",
    "post-heating",
    "PWHT",
    "shielding gas",
    "heat input",
    "process-specific items",
)


def records_kept_until(delivered: date) -> date:
    """The day until which quality records are kept: five years where nothing else is specified.

    Counted from delivery, which is assumed. Source: ISO 3834-2, 18 (memory).

    >>> records_kept_until(date(2024, 6, 30))
    datetime.date(2029, 6, 30)
    """
    return months_later(delivered, 60)
