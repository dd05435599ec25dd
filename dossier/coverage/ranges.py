"""What each certificate and each procedure test of a register qualifies."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from dossier.codes.editions import procedure_code, welder_code
from dossier.codes.face import Choices
from dossier.records.base import Record
from dossier.records.procedures import Pqr
from dossier.records.verdicts import Qualified
from dossier.records.welders import Welder


@dataclass(frozen=True, slots=True)
class Statement:
    """One test and what it qualifies, variable by variable."""

    title: str  # "W07, certificate Q-31, process 111"
    code: str
    qualified: Qualified

    def as_data(self) -> dict[str, Any]:
        """Plain data: each variable with what is permitted and its basis."""
        rows = [
            {
                "variable": variable,
                "permitted": str(allowed),
                "basis": str(allowed.basis),
                "known": allowed.basis.known,
            }
            for variable, allowed in self.qualified.items()
        ]
        return {"test": self.title, "code": self.code, "qualified": rows}


def ranges_of(records: Iterable[Record], choices: Choices | None = None) -> list[Statement]:
    """Statements for the welders and procedure tests among `records`, in their order."""
    return [s for record in records for s in _statements(record, choices or {})]


def _statements(record: Record, choices: Choices) -> Iterator[Statement]:
    if isinstance(record, Pqr):
        ranges = procedure_code(record.code).procedure_range(record, choices)
        yield Statement(f"procedure test {record.number}", record.code, ranges)
    if isinstance(record, Welder):
        for certificate in record.certificates:
            code = welder_code(certificate.code)
            for deposit in certificate.deposits:
                title = f"{record.stamp}, certificate {certificate.number}"
                ranges = code.qualified_range(certificate, deposit, choices)
                title = f"{title}, process {deposit.process}"
                yield Statement(title, certificate.code, ranges)
