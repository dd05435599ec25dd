"""49 CFR 192.225 to 192.235: procedures followed, weather, miter joints, preparation."""

from __future__ import annotations

from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, NOTE, Basis, Range, Reason

STANDARD = "49 CFR 192"
FOLLOWED = Basis(STANDARD, "2012", "192.225(a)", "read")
RECORDED = Basis(STANDARD, "2015", "192.225(b)", "read")
WEATHER = Basis(STANDARD, "2021", "192.231", "memory")
PREPARED = Basis(STANDARD, "2026", "192.235", "read")
MITER = Basis(STANDARD, "2015", "192.233", "memory")
ADVISORY = Basis("PHMSA advisory bulletin ADB-10-03", "2010", "transition welds", "read")

# Sections of subpart E; there is no 192.237 and no 192.239 (secondary).
SUBPART_E = (
    "192.221", "192.225", "192.227", "192.229", "192.231", "192.233", "192.235", "192.241",
    "192.243", "192.245",
)  # fmt: skip


def _must(variable: str, met: bool, yes: str, no: str, basis: Basis) -> Reason:
    return Reason(variable, yes if met else no, yes, basis, CLEAR if met else NONCONFORMITY)


def procedure_followed(inside_procedure: bool) -> Reason:
    """Welding to a qualified procedure; each weld outside it is a breach of its own.

    Source: 49 CFR 192.225(a), enforcement letter of 2012 (read).
    """
    return _must("welding to the procedure", inside_procedure, "inside", "outside", FOLLOWED)


def procedure_record(recorded: bool, results_attached: bool) -> tuple[Reason, ...]:
    """A procedure is recorded in detail, with the results of its qualifying tests.

    Source: 49 CFR 192.225(b) (read); 195.214(b) says the same.
    """
    return (
        _must("procedure", recorded, "recorded", "not recorded", RECORDED),
        _must("test results", results_attached, "attached", "not attached", RECORDED),
    )


def weather(harmful: bool, sheltered: bool) -> Reason:
    """Weather that would harm the finished weld needs shelter. The rule gives no figure.

    Source: 49 CFR 192.231 (memory).
    """
    return _must(
        "weather", sheltered or not harmful, "harmless or sheltered", "no shelter", WEATHER
    )


def alignment(kept_during_root: bool) -> Reason:
    """Alignment is kept while the root bead is deposited.

    Source: 49 CFR 192.235 (read).
    """
    return _must("alignment during the root bead", kept_during_root, "kept", "not kept", PREPARED)


def miter(
    hoop_stress_percent: float, deflection_deg: float, spacing_diameters: float | None = None
) -> tuple[Reason, ...]:
    """Reasons for a miter joint: deflection in degrees by hoop stress in % of SMYS.

    30 % and over: 3 degrees. Over 10 % and below 30 %: 12.5 degrees, and one pipe diameter from
    the next miter, crotch to crotch. 10 % or less: 90 degrees.

    Source: 49 CFR 192.233 (memory; the 3 degrees secondary). Raises InputError: negative stress.
    """
    if hoop_stress_percent < 0:
        raise InputError("hoop_stress_percent", found=hoop_stress_percent, expected="0 or more")
    if hoop_stress_percent >= 30:
        return (Range(0, 3, MITER, "degrees").judge("deflection", deflection_deg),)
    if hoop_stress_percent <= 10:
        return (Range(0, 90, MITER, "degrees").judge("deflection", deflection_deg),)
    spacing = Range(1, float("inf"), MITER, "pipe diameters")
    return (
        Range(0, 12.5, MITER, "degrees").judge("deflection", deflection_deg),
        spacing.judge("distance from the next miter", spacing_diameters),
    )


def transition_review(nominal_in: float, smys_ksi: float, unequal_or_misaligned: bool) -> Reason:
    """Transition girth welds on NPS 20 and larger, X70 and up, deserve a look at their records.

    Advice, not a rule: a note.

    Source: PHMSA advisory bulletin ADB-10-03 (2010) (read).
    """
    large = nominal_in >= 20 and smys_ksi >= 70 and unequal_or_misaligned
    found = "transition on large high-strength pipe" if large else "not such a weld"
    permitted = "fit-up and bevel record reviewed" if large else "no review advised"
    return Reason("transition weld", found, permitted, ADVISORY, NOTE if large else CLEAR)
