"""Items with heats, material certificates and consumable batches."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from dossier.records.base import Paper, Record
from dossier.records.procedures import Composition


@dataclass(frozen=True, slots=True, kw_only=True)
class Item(Record):
    """A pipe, pup, bend, fitting, flange or plate that a joint connects."""

    number: str
    kind: str = "pipe"  # "pipe", "pup", "bend", "fitting", "flange", "valve", "plate"
    heat: str = ""
    certificate: str = ""
    grade: str = ""
    material_group: str = ""
    smys_mpa: float | None = None
    od_mm: float | None = None
    wall_mm: float | None = None
    length_m: float | None = None
    parent: str = ""  # the pipe that a pup was cut from
    maker: str = ""
    coating: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """What a certificate says of one heat."""

    number: str
    composition: Composition | None = None
    yield_mpa: float | None = None
    tensile_mpa: float | None = None
    elongation_percent: float | None = None
    impact_j: float | None = None
    impact_at_c: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialCertificate(Record):
    """An inspection document for products, by EN 10204 type."""

    number: str
    kind: str  # "2.1", "2.2", "3.1", "3.2"
    maker: str = ""
    product: str = ""
    grade: str = ""
    issued_on: date | None = None
    heats: tuple[Heat, ...] = ()
    document: Paper | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Baking:
    """One baking of electrodes of a batch, and the time that they were out of the oven."""

    baked_at: datetime  # end of the baking
    temperature_c: float | None = None
    holding_h: float | None = None
    issued_at: datetime | None = None  # taken out of the holding oven for use
    returned_at: datetime | None = None
    welder: str = ""  # who drew them; "" anybody


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch(Record):
    """A batch of welding consumables (electrode, wire, flux, gas) or of coating material."""

    number: str
    kind: str = "filler"  # "filler", "flux", "gas", "coating"
    classification: str = ""
    brand: str = ""
    filler_group: str = ""
    size_mm: float | None = None
    certificate: str = ""
    certificate_kind: str = ""
    certificate_on: date | None = None  # day of the certificate
    received_on: date | None = None
    expires_on: date | None = None
    bakings: tuple[Baking, ...] = ()  # n/a where the electrodes need none (vacuum packed)
    document: Paper | None = None
