"""Does the heat on each member agree in log, item register and certificate?

And is the steel of that certificate the steel that the register says: its grade, and the strength
that it is reckoned with.
"""

from __future__ import annotations

from collections.abc import Iterator

from dossier.calc.pipe_grades import TABLE_7
from dossier.coverage.coherence import is_line_pipe, same_grade
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, permitted, project_basis
from dossier.records.joints import Joint
from dossier.records.materials import Item, MaterialCertificate
from dossier.records.procedures import Span
from dossier.records.verdicts import HOLD, NONCONFORMITY, Basis, Finding, Reason, worst

NAME = "item-heat-certificate"

# EN 10204 types in order of strength.
_KINDS = ("2.1", "2.2", "3.1", "3.2")
_ROUNDED_MPA = 0.5  # certificates give whole MPa, or ksi that are as coarse
_YIELD = "yield strength"
_CURE = "Read the number on the pipe or on its photograph again, and show the certificate."
_WEAK = (
    " A heat below its specified minimum is tested again, regraded or taken out, by a signed "
    "disposition of the designer."
)


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per member whose heat is not proved; cut-out joints are asked too."""
    joint = file.joint
    for side, number, heat in (
        ("upstream", joint.upstream_item, joint.upstream_heat),
        ("downstream", joint.downstream_item, joint.downstream_heat),
    ):
        reasons = tuple(_reasons(seen, number, heat))
        if reasons:
            yield _finding(seen, joint, side, reasons)


def _finding(seen: View, joint: Joint, side: str, reasons: tuple[Reason, ...]) -> Finding:
    number = joint.upstream_item if side == "upstream" else joint.downstream_item
    item = seen.known.items.get(number)
    certificate = seen.known.material_certificates.get(item.certificate) if item else None
    told = "; ".join(f"{r.variable} {r.found}, expected {r.permitted}" for r in reasons)
    return Finding(
        NAME,
        worst(reasons),
        (("joint", joint.number), ("item", number or f"{side} blank")),
        f"The {side} member {number or '(blank)'} of joint {joint.number}: {told}.",
        reasons,
        (
            *at(joint, f"{side}_item", f"{side}_heat"),
            *(at(item, "heat", "certificate") if item else ()),
            *(paper(certificate) if certificate else ()),
        ),
        _CURE + (_WEAK if any(r.variable.startswith(_YIELD) for r in reasons) else ""),
    )


def _reasons(seen: View, number: str, heat: str) -> Iterator[Reason]:
    basis = project_basis(seen, "material traceability")
    item = seen.known.items.get(number)
    if item is None:
        yield Reason("item", number or "blank", "an item of the register", basis, HOLD)
        return
    if heat != item.heat:
        yield Reason("heat in the log", heat or "blank", item.heat or "blank", basis, HOLD)
    if item.kind == "pup" and not item.parent:
        yield Reason("parent of the pup", "not recorded", "the pipe it was cut from", basis, HOLD)
    yield from _certified(seen, item)


def _certified(seen: View, item: Item) -> Iterator[Reason]:
    basis = project_basis(seen, "material traceability")
    certificate = seen.known.material_certificates.get(item.certificate)
    if certificate is None:
        found = item.certificate or "blank"
        yield Reason("certificate", f"{found}, not on record", "on record", basis, HOLD)
        return
    if item.heat not in {heat.number for heat in certificate.heats}:
        wanted = f"listed in certificate {certificate.number}"
        yield Reason("heat", f"{item.heat or 'blank'} not listed", wanted, basis, HOLD)
    yield from _same_steel(seen, item, certificate)
    least = seen.project.settings.requirements.certificate_kind
    if least and _strength(certificate.kind) < _strength(least):
        types = Basis("EN 10204", "2004", "4", "secondary")
        yield Reason(
            "certificate type", certificate.kind, f"at least {least}", types, NONCONFORMITY
        )


def _same_steel(seen: View, item: Item, certificate: MaterialCertificate) -> Iterator[Reason]:
    """Grade and yield strength, as far as both records tell them.

    Source: API 5L, 45th edition, Table 7 (secondary), for line pipe; otherwise the project's own.
    """
    own, theirs = item.grade, certificate.grade
    if own != theirs and own and theirs and not same_grade(own, theirs):
        wanted = f"{theirs}, as in certificate {certificate.number}"
        basis = project_basis(seen, "material traceability")
        yield Reason("grade", own, wanted, basis, HOLD)
    proved = next((h.yield_mpa for h in certificate.heats if h.number == item.heat), None)
    least = item.smys_mpa
    if proved is not None and least is not None and proved < least - _ROUNDED_MPA:
        basis = project_basis(seen, "specified minimum yield strength")
        limit = permitted(Span(low=least), TABLE_7 if is_line_pipe(item.grade) else basis, "MPa")
        yield limit.judge(f"{_YIELD} of heat {item.heat}", proved)


def _strength(kind: str) -> int:
    return _KINDS.index(kind) if kind in _KINDS else -1
