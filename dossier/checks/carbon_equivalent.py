"""Does the analysis of each member keep to the carbon equivalent that the WPS permits?

The PQR stands for steel no harder to weld than its own; a richer heat of the same grade may crack
under the preheat of the WPS.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from dossier.calc.carbon_equivalent import ce_iiw_pct, cet_pct, not_analysed, pcm_pct
from dossier.coverage.evidence import at, paper
from dossier.coverage.joint_file import JointFile
from dossier.coverage.view import View, permitted, wps_basis
from dossier.records.materials import Item, MaterialCertificate
from dossier.records.procedures import Composition, Procedure, Span
from dossier.records.verdicts import CLEAR, HOLD, Finding, Reason

NAME = "carbon-equivalent"

# Word on the WPS -> name in the calculation, and the calculation.
FORMULAS: dict[str, tuple[str, Callable[[Composition], float]]] = {
    "CE IIW": ("CE_IIW", ce_iiw_pct),
    "Pcm": ("CE_Pcm", pcm_pct),
    "CET": ("CET", cet_pct),
}


def check(seen: View, file: JointFile) -> Iterator[Finding]:
    """One finding per member; a member without certificate is found elsewhere."""
    wps = file.wps
    if wps is None or not wps.ce_formula or wps.ce_max_percent is None:
        return
    for number, item in file.members:
        certificate = seen.known.material_certificates.get(item.certificate) if item else None
        if item is None or certificate is None:
            continue
        reason = _reason(wps, item, certificate)
        if reason.verdict != CLEAR:
            yield _finding(file, number, reason, (item, certificate))


def _reason(wps: Procedure, item: Item, certificate: MaterialCertificate) -> Reason:
    limit = permitted(Span(high=wps.ce_max_percent), wps_basis(wps, "carbon equivalent"), "%")
    name, formula = FORMULAS[wps.ce_formula]
    heats = {heat.number: heat.composition for heat in certificate.heats}
    analysis = heats.get(item.heat)
    if analysis is None or analysis.c is None:
        found = f"heat {item.heat or 'blank'}: no carbon analysis"
        return Reason(wps.ce_formula, found, str(limit), limit.basis, HOLD)
    value = round(formula(analysis), 4)
    blank = not_analysed(analysis, name)
    if blank and value in limit:
        found = f"{value:.3f} % without {', '.join(blank)}, which were not analysed"
        return Reason(wps.ce_formula, found, str(limit), limit.basis, HOLD)
    return limit.judge(wps.ce_formula, value)


def _finding(
    file: JointFile, number: str, reason: Reason, of: tuple[Item, MaterialCertificate]
) -> Finding:
    item, certificate = of
    return Finding(
        NAME,
        reason.verdict,
        (("joint", file.number), ("item", number)),
        f"{reason.variable} of {number} (heat {item.heat}) in joint {file.number} is "
        f"{reason.found}; {reason.basis} permits {reason.permitted}.",
        (reason,),
        (*at(file.joint, "wps"), *at(item, "heat"), *paper(certificate)),
        "Show the full analysis of the heat; a richer steel needs the welding engineer's "
        "disposition, as a rule more preheat or a WPS of its own.",
    )
