"""ISO 12944-7:2017 with ISO 8502-4:2017: climate in which steel may be coated."""

from __future__ import annotations

from math import inf

from dossier.calc.coating import dew_point_c, dew_point_margin_c
from dossier.records.verdicts import Basis, Range, Reason

MARGIN = Basis("ISO 12944-7", "2017", "with ISO 8502-4:2017", known="secondary")
HUMIDITY = Basis("ISO 12944-7", "2017", "relative humidity", known="secondary")

_LEAST_MARGIN_C = 3.0
_MOST_HUMIDITY_PCT = 85.0


def climate(air_c: float, humidity_pct: float, steel_c: float) -> tuple[Reason, ...]:
    """The reasons for coating steel of this temperature in this air.

    Steel at least 3 °C above the dew point, humidity at most 85 percent; the maker of the
    coating may ask for more.

    Source: ISO 12944-7:2017 and ISO 8502-4:2017 (secondary).
    Raises InputError outside the limits of the dew point formula.

    >>> [str(reason.verdict) for reason in climate(25.0, 90.0, 29.0)]
    ['clear', 'nonconformity']
    """
    margin = dew_point_margin_c(air_c, humidity_pct, steel_c)
    above = Range(_LEAST_MARGIN_C, inf, MARGIN, unit="°C")
    damp = Range(0.0, _MOST_HUMIDITY_PCT, HUMIDITY, unit="%")
    name = f"steel above the dew point of {dew_point_c(air_c, humidity_pct):.1f} °C"
    return above.judge(name, margin), damp.judge("relative humidity", humidity_pct)
