"""10 CFR 73, Appendix I: when sources together fall under the security rules (United States).

CAUTION (module constant) belongs on every sheet that rests on these rules. Places and times of
such sources stay out of documents that travel freely.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from dossier.calc.cautions import CAUTIONS, caution
from dossier.calc.guards import not_negative
from dossier.errors import InputError
from dossier.records.verdicts import Basis

CAUTION = f"{caution('radiation')} {CAUTIONS['source-security']}"

THRESHOLDS = Basis("10 CFR 73", "", "Appendix I", known="read")

# Category 2, in GBq; category 1 is a hundred times as much.
CATEGORY_2_GBQ = MappingProxyType(
    {"Ir-192": 800.0, "Se-75": 2000.0, "Co-60": 300.0, "Yb-169": 3000.0}
)


def security_fraction(sources_gbq: Mapping[str, float]) -> float:
    """Sum over all sources together of activity over the category 2 threshold.

    1 or more means that the security rules apply. Caution: licence and local law govern.

    Source: 10 CFR 73, Appendix I (read).
    Raises InputError for a source without a threshold here or a negative activity.

    >>> round(security_fraction({"Ir-192": 740.0, "Se-75": 370.0}), 2)
    1.11
    """
    unknown = sorted(set(sources_gbq) - set(CATEGORY_2_GBQ))
    if unknown:
        known = ", ".join(CATEGORY_2_GBQ)
        raise InputError("sources_gbq", found=", ".join(unknown), expected=f"only {known}")
    return sum(
        not_negative("activity_gbq", activity) / CATEGORY_2_GBQ[source]
        for source, activity in sources_gbq.items()
    )


def under_security_rules(sources_gbq: Mapping[str, float]) -> bool:
    """Whether sources kept together reach category 2. Caution: licence and local law govern.

    Source: 10 CFR 73, Appendix I (read). Raises InputError as `security_fraction` does.

    >>> under_security_rules({"Ir-192": 777.0})
    False
    """
    return security_fraction(sources_gbq) >= 1.0
