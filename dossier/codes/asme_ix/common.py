"""What every rule of Section IX needs: its basis, its two unit systems, its named readings."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType

from dossier.codes.face import Choices
from dossier.codes.readings import Readings, reading
from dossier.errors import InputError
from dossier.records.verdicts import Basis, Choice, Range, Reason
from dossier.units import convert

STANDARD = "ASME BPVC Section IX"
WRITTEN_FOR = "2019"  # the edition whose text the shared rules follow
NOISE_MM = 1e-6  # a difference this small is rounding, never a finding


@dataclass(frozen=True, slots=True)
class Edition:
    """One edition: its year and what it says otherwise than its neighbours."""

    year: str
    uphill_is_supplementary: bool  # QW-405.2, taken out of the manual tables in 2019


def clause(name: str, known: str = "secondary") -> Basis:
    """The basis of a shared rule; an edition's module puts its own year in.

    >>> str(clause("QW-451.1", "read"))
    'ASME BPVC Section IX, 2019, QW-451.1'
    """
    return Basis(STANDARD, WRITTEN_FOR, name, known)


def dated(basis: Basis, edition: Edition) -> Basis:
    """`basis` under the year of `edition`; another standard's basis stays as it is."""
    return replace(basis, edition=edition.year) if basis.standard == STANDARD else basis


def dated_limit(limit: Range | Choice, edition: Edition) -> Range | Choice:
    """`limit` under the year of `edition`."""
    return replace(limit, basis=dated(limit.basis, edition))


def dated_reasons(reasons: tuple[Reason, ...], edition: Edition) -> tuple[Reason, ...]:
    """`reasons` under the year of `edition`."""
    return tuple(replace(reason, basis=dated(reason.basis, edition)) for reason in reasons)


# name -> (default, alternatives, meaning). The default is the stricter reading.
CHOICES: Readings = MappingProxyType(
    {
        "ix units": (
            "SI",
            ("US customary",),
            (
                "Which column of limits judges the records: 13 mm and 1/2 in are not the same "
                "thickness, and the two systems may not be mixed."
            ),
        ),
        "ix six months": (
            "anniversary lapsed",
            ("anniversary in force",),
            (
                "Whether a welder is still in force on the day six calendar months after the last "
                "use (QW-322.1)."
            ),
        ),
        "ix flux-cored arc": (
            "with gas metal-arc",
            ("apart",),
            (
                "Tables QW-255 and QW-355 hold flux-cored with gas metal-arc welding; 'apart' asks "
                "a test of its own."
            ),
        ),
        "ix fillets after a plate groove test": (
            "73 mm and over",
            ("any diameter",),
            (
                "Note 2 of Table QW-461.9 holds fillets on pipe to 73 mm and over; QW-303.1 and "
                "QW-452.6 name no diameter."
            ),
        ),
        "ix gas backing": (
            "not backing",
            ("backing",),
            "Whether a purge alone makes a weld one with backing (QW-402.4, QW-408.8).",
        ),
        "ix toughness": (
            "as tested",
            ("required", "not required"),
            (
                "Whether the supplementary essential variables count: where a test was impact "
                "tested, always, or never."
            ),
        ),
    }
)


def chosen(choices: Choices, name: str) -> str:
    """The reading of `name` that the project chose, or the default.

    Raises InputError: a reading that is not offered.

    >>> chosen({}, "ix units"), chosen({"ix units": "US customary"}, "ix units")
    ('SI', 'US customary')
    """
    return reading(choices, CHOICES, name)


def size(mm: float, inches: float, units: str = "SI") -> float:
    """A limit that the two columns of a table print differently, in mm.

    Raises InputError: a unit system that is neither "SI" nor "US customary".

    >>> size(13, 1 / 2), size(13, 1 / 2, "US customary")
    (13, 12.7)
    """
    if units not in ("SI", "US customary"):
        raise InputError("units", found=units, expected="SI or US customary")
    return mm if units == "SI" else convert(inches, "in", "mm")


def reaches(value: float, limit: float) -> bool:
    """`value` is at `limit` or over, rounding apart."""
    return value >= limit - NOISE_MM


def passes_over(value: float, limit: float) -> bool:
    """`value` is more than `limit`, rounding apart."""
    return value > limit + NOISE_MM
