"""The face that every code edition shows, so that the rest of the tool can ask any of them.

An edition is a module (or package) with some of these functions at its top level. A module that
answers for welders is a `WelderCode`, one for procedures a `ProcedureCode`, one for the acceptance
of indications an `AcceptanceCode`; one module may be all three.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Protocol

from dossier.records.examinations import Indication
from dossier.records.procedures import Pqr, Procedure
from dossier.records.verdicts import Qualified, Reason
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Confirmation, Deposit

# Named readings of a code where editions or sources disagree: {"multi-process join": "strict"}.
Choices = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule for the generated list: what it is about, its clause, how it is known."""

    title: str
    clause: str
    known: str
    function: str  # dotted path of the function that carries it out


class WelderCode(Protocol):
    """Rules on which production welds a welder's test allows, and for how long."""

    EDITION: str
    RULES: Sequence[Rule]
    NOT_COVERED: Sequence[str]

    def qualified_range(
        self, certificate: Certificate, deposit: Deposit, choices: Choices
    ) -> Qualified:
        """What one deposit of a test qualifies, variable by variable, in sheet order."""

    def covers(self, certificate: Certificate, weld: Weld, choices: Choices) -> tuple[Reason, ...]:
        """Reasons, one for each variable, for a weld against a certificate.

        The worst verdict tells: clear, hold (a value is not recorded) or nonconformity. Joining
        several deposits of one test is done here where the code allows it. Dates are not asked.
        """

    def valid_on(
        self,
        certificate: Certificate,
        day: date,
        history: Sequence[Confirmation],
        choices: Choices,
    ) -> tuple[Reason, ...]:
        """Reasons for the certificate being in force on `day`.

        `history` holds the confirmations that count: the signed ones and, where the code takes
        production welds as proof, those derived from the joints.
        """

    def valid_until(
        self, certificate: Certificate, history: Sequence[Confirmation], choices: Choices
    ) -> date:
        """Last day in force if nothing more is signed after the last entry of `history`."""


class ProcedureCode(Protocol):
    """Rules on what a procedure test qualifies and whether a WPS stays inside its tests."""

    EDITION: str
    RULES: Sequence[Rule]
    NOT_COVERED: Sequence[str]

    def procedure_range(self, pqr: Pqr, choices: Choices) -> Qualified:
        """What one procedure test qualifies, variable by variable, in sheet order."""

    def supports(self, pqrs: Sequence[Pqr], wps: Procedure, choices: Choices) -> tuple[Reason, ...]:
        """Reasons, one for each variable of the WPS, against its tests together."""


class AcceptanceCode(Protocol):
    """Rules on which indications are accepted."""

    EDITION: str
    RULES: Sequence[Rule]
    NOT_COVERED: Sequence[str]

    def accept(
        self,
        method: str,
        indications: Sequence[Indication],
        *,
        od_mm: float,
        wall_mm: float,
        choices: Choices,
    ) -> tuple[Reason, ...]:
        """Reasons for the indications of one weld examined by `method`.

        The worst verdict tells: clear accepted, hold cannot be judged from what is recorded,
        nonconformity rejected (repair), cut-out where the code leaves no repair.
        """


# Names of variables that every welder code answers under, so that checks can tell them apart.
PROCESS = "process"
DEPOSIT = "deposited thickness"
