"""Chromium and nickel equivalents of stainless weld metal, dilution, pitting resistance.

The ferrite number is read off the diagram at the equivalents; no formula stands in for it.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

from dossier.calc.carbon_equivalent import content_pct, weighted_pct
from dossier.calc.guards import within
from dossier.records.procedures import Composition
from dossier.records.verdicts import Basis

SCHAEFFLER_BASIS = Basis("Schaeffler diagram", "1949", "axes", "read")
WRC_BASIS = Basis("WRC-1992 diagram", "1992", "axes", "secondary")
PREN_BASIS = Basis("ISO 15156-3", "2020", "pitting resistance equivalent", "read")

WRC_AXES = {"cr_eq": (17.0, 31.0), "ni_eq": (9.0, 18.0)}  # memory


@dataclass(frozen=True, slots=True)
class Equivalents:
    """Chromium and nickel equivalent in per cent: the point to mark in the diagram."""

    cr_eq: float
    ni_eq: float

    @property
    def on_wrc_diagram(self) -> bool:
        """Whether the point lies on the axes of WRC-1992: Creq 17 to 31, Nieq 9 to 18."""
        return all(low <= getattr(self, axis) <= high for axis, (low, high) in WRC_AXES.items())


def schaeffler(composition: Composition) -> Equivalents:
    """Equivalents of the Schaeffler diagram, %.

    Formula: Creq = Cr + Mo + 1.5 Si + 0.5 Nb; Nieq = Ni + 30 C + 0.5 Mn
    Source: Schaeffler diagram, 1949 (read). Raises InputError: carbon not analysed, a content
    outside 0 to 100 %.

    >>> point = schaeffler(Composition(c=0.2, si=1.0, mn=2.0, cr=22.0, ni=12.0))
    >>> point.cr_eq, point.ni_eq
    (23.5, 19.0)
    """
    return Equivalents(
        weighted_pct(composition, {"cr": 1, "mo": 1, "si": 1 / 1.5, "nb": 2}),
        weighted_pct(composition, {"ni": 1, "c": 1 / 30, "mn": 2}),
    )


def wrc_1992(composition: Composition) -> Equivalents:
    """Equivalents of the WRC-1992 diagram, %.

    Formula: Creq = Cr + Mo + 0.7 Nb; Nieq = Ni + 35 C + 20 N + 0.25 Cu
    Limits: a ferrite number can be read only where `on_wrc_diagram`.
    Source: WRC-1992 diagram (secondary; axes from memory). Raises InputError as `schaeffler`.

    >>> point = wrc_1992(Composition(c=0.02, cr=22.8, ni=8.6, mo=3.1, n=0.15, cu=0.1))
    >>> round(point.cr_eq, 3), round(point.ni_eq, 3), point.on_wrc_diagram
    (25.9, 12.325, True)
    """
    return Equivalents(
        weighted_pct(composition, {"cr": 1, "mo": 1, "nb": 1 / 0.7}),
        weighted_pct(composition, {"ni": 1, "c": 1 / 35, "n": 1 / 20, "cu": 4}),
    )


def diluted(filler: Composition, base: Composition, dilution: float) -> Composition:
    """Weld metal mixed of filler and base metal; `dilution` is the share of base metal, 0 to 1.

    An element that only one of them was analysed for counts as zero in the other; one that
    neither was stays blank.
    Formula: (1 - D) filler + D base, element by element (common practice).
    Raises InputError: dilution outside 0 to 1, carbon not analysed, a content outside 0 to 100 %.

    >>> mixed = diluted(Composition(c=0.02, cr=23.5), Composition(c=0.18), 0.25)
    >>> round(mixed.c, 4), mixed.cr, mixed.ni
    (0.06, 17.625, None)
    """
    share = within("dilution", dilution, 0.0, 1.0)
    mixed: dict[str, float] = {}
    for name in (element.name for element in fields(Composition)):
        if name != "c" and getattr(filler, name) is None and getattr(base, name) is None:
            continue
        kept = (1 - share) * content_pct(filler, name)
        mixed[name] = kept + share * content_pct(base, name)
    return Composition(**mixed)


def pren(cr_pct: float, mo_pct: float, n_pct: float, w_pct: float = 0.0) -> float:
    """Pitting resistance equivalent number.

    Formula: Cr + 3.3 (Mo + 0.5 W) + 16 N
    Source: ISO 15156-3:2020 for the form with tungsten (read); common practice without.
    Raises InputError: a content outside 0 to 100 %.

    >>> round(pren(22.0, 3.1, 0.17), 2), round(pren(25.0, 3.6, 0.25, w_pct=0.7), 3)
    (34.95, 42.035)
    """
    for name, content in (("cr", cr_pct), ("mo", mo_pct), ("n", n_pct), ("w", w_pct)):
        within(f"{name}_pct", content, 0.0, 100.0)
    return cr_pct + 3.3 * (mo_pct + 0.5 * w_pct) + 16 * n_pct
