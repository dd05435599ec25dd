"""10 CFR 20: dose limits and posting of areas (United States; other countries set their own).

CAUTION (module constant) belongs on every sheet that prints these figures: the licensed
radiation safety officer and the law of the place govern.
"""

from __future__ import annotations

from types import MappingProxyType

from dossier.calc.cautions import caution
from dossier.calc.guards import not_negative
from dossier.errors import InputError
from dossier.records.verdicts import Basis

CAUTION = caution("radiation")

DOSE_LIMITS = Basis("10 CFR 20", "", "20.1201(a), 20.1207, 20.1208, 20.1301(a)", known="secondary")
POSTING = Basis("10 CFR 20", "", "20.1003, 20.1902", known="secondary")

# Person and period: what is limited, in rem. The adult's year and the public's hour were read; the
# public's year, the minor and the unborn child are from memory.
_LIMITS_REM = MappingProxyType(
    {
        ("adult_worker", "year"): {"total_effective": 5.0, "lens": 15.0, "skin": 50.0},
        ("minor_worker", "year"): {"total_effective": 0.5, "lens": 1.5, "skin": 5.0},
        ("unborn_child", "pregnancy"): {"total_effective": 0.5},
        ("public", "year"): {"total_effective": 0.1},
        ("public", "any_one_hour"): {"external_unrestricted": 0.002},
    }
)


def dose_limits_rem(person: str, period: str) -> dict[str, float]:
    """Dose limits of a person in a period, in rem, by what is limited.

    `person` and `period`: "adult_worker", "minor_worker" or "public" with "year",
    "unborn_child" with "pregnancy", "public" with "any_one_hour" (external dose in an
    unrestricted area). Caution: a limit is not a target; local law governs.

    Source: 10 CFR 20.1201(a), 20.1301(a) (adult and hour read, others memory).
    Raises InputError for any other pair.

    >>> dose_limits_rem("adult_worker", "year")
    {'total_effective': 5.0, 'lens': 15.0, 'skin': 50.0}
    """
    if (person, period) not in _LIMITS_REM:
        known = "; ".join(f"{who}, {when}" for who, when in _LIMITS_REM)
        raise InputError("person, period", found=f"{person}, {period}", expected=f"one of {known}")
    return dict(_LIMITS_REM[person, period])


def area_posting(dose_mrem_in_hour_at_30_cm: float) -> str:
    """How an area is to be posted for the dose in one hour at 30 cm from the source.

    "high_radiation_area" above 100 mrem, "radiation_area" above 5 mrem, else "none". The very
    high radiation area is judged at 1 m and is not answered here. Caution: the survey and the
    radiation safety officer decide.

    Source: 10 CFR 20.1003, 20.1902 (high radiation area read, radiation area memory).
    Raises InputError for a negative dose.

    >>> area_posting(120.0), area_posting(100.0), area_posting(5.0)
    ('high_radiation_area', 'radiation_area', 'none')
    """
    dose = not_negative("dose_mrem_in_hour_at_30_cm", dose_mrem_in_hour_at_30_cm)
    if dose > 100.0:
        return "high_radiation_area"
    return "radiation_area" if dose > 5.0 else "none"
