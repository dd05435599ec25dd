"""All that is on record of one joint, as it is handed on joint by joint."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from dossier.records.doubts import Doubt
from dossier.records.joints import Joint


@dataclass(slots=True)
class JointRecords:
    """A joint, the records that hang on it or are its members, and what is doubtful in these.

    `registers` holds lists by the names of their registers: "passes", "examinations", "repairs",
    "heat_treatments", "hardness_tests", "coatings", "lowerings" and "items".
    """

    joint: Joint
    registers: dict[str, list[Any]]
    doubts: list[Doubt] = field(default_factory=list)
