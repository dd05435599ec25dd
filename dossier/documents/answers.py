"""What the documents ask of the codes, as functions, so that a sheet can be built without them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from dossier.codes.editions import procedure_code, welder_code
from dossier.coverage.continuity import history_of
from dossier.coverage.view import view
from dossier.records.procedures import Pqr, Procedure
from dossier.records.project import Project
from dossier.records.verdicts import Qualified, Reason
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Confirmation, Deposit


@dataclass(frozen=True, slots=True)
class Answers:
    """The questions that sheets put to the codes, with the project's choices bound in."""

    procedure_range: Callable[[Pqr], Qualified]
    supports: Callable[[Procedure, Sequence[Pqr]], tuple[Reason, ...]]
    welder_range: Callable[[Certificate, Deposit], Qualified]
    covers: Callable[[Certificate, Weld], tuple[Reason, ...]]
    valid_until: Callable[[Certificate], date]
    in_force: Callable[[Certificate, date], tuple[Reason, ...]]


def answers_of(project: Project) -> Answers:
    """The answers of the code editions that the project's own records name."""
    choices = project.settings.choices
    seen = view(project)
    stamps = {(c.number, c.welded_on): w.stamp for w in project.welders for c in w.certificates}

    def history(certificate: Certificate) -> tuple[Confirmation, ...]:
        """What was signed and, where the code takes it, what the joints prove."""
        stamp = stamps.get((certificate.number, certificate.welded_on), "")
        return history_of(seen, stamp, certificate)

    return Answers(
        procedure_range=lambda pqr: procedure_code(pqr.code).procedure_range(pqr, choices),
        supports=lambda wps, pqrs: procedure_code(wps.code).supports(pqrs, wps, choices),
        welder_range=lambda certificate, deposit: welder_code(certificate.code).qualified_range(
            certificate, deposit, choices
        ),
        covers=lambda certificate, weld: welder_code(certificate.code).covers(
            certificate, weld, choices
        ),
        valid_until=lambda certificate: welder_code(certificate.code).valid_until(
            certificate, history(certificate), choices
        ),
        in_force=lambda certificate, day: welder_code(certificate.code).valid_on(
            certificate, day, history(certificate), choices
        ),
    )
