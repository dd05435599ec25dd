"""Welders, their qualification certificates and the confirmations of these."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from dossier.records.base import Paper, Record
from dossier.records.weld import Weld


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmation:
    """A signed statement that the welder worked inside the range since the last one."""

    signed_on: date
    by: str  # name and post of who signed
    joint: str = ""  # production joint that shows it
    process: str = ""  # the process it speaks of; "" every process of the certificate
    renewal: bool = False  # a renewal test passed on that day, not work inside the range
    document: Paper | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Deposit:
    """What the welder put into the test piece with one process (a test may combine several)."""

    process: str
    deposit_mm: float | None = None
    filler: str = ""
    filler_group: str = ""
    covering: str = ""
    transfer: str = ""
    backing: str = ""
    layers: int | None = None
    root: bool | None = None
    current: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate(Record):
    """One welder qualification test: the test piece as welded and the results."""

    number: str
    code: str  # edition under which it was tested: "ISO 9606-1:2012", "API 1104:21st"
    welded_on: date  # the day the test piece was welded; validity counts from here
    issued_on: date | None = None
    product: str = ""
    weld_type: str = ""
    positions: tuple[str, ...] = ()
    direction: str = ""
    material_group: str = ""
    smys_mpa: float | None = None
    wall_mm: float | None = None
    od_mm: float | None = None
    throat_mm: float | None = None
    sides: str = ""
    branch: bool = False  # API 1104: the full-size branch test of multiple qualification
    supplementary_fillet: bool = False  # ISO 9606-1: fillet test piece welded with the butt
    deposits: tuple[Deposit, ...] = ()
    wps: str = ""
    method: str = ""  # how the validity is kept: ISO 9606-1 "9.3 a", "9.3 b", "9.3 c"
    examiner: str = ""
    result: str = "passed"
    ended_on: date | None = None  # withdrawn, revoked or replaced on this day
    confirmations: tuple[Confirmation, ...] = ()
    document: Paper | None = None

    @property
    def processes(self) -> str:
        """The processes of the test as written, "141/111" for a combined one."""
        return "/".join(deposit.process for deposit in self.deposits)

    def test_welds(self) -> tuple[Weld, ...]:
        """The test piece as welds, one for each process and position."""
        shared = Weld(
            process="",
            product=self.product,
            weld_type=self.weld_type,
            direction=self.direction,
            material_group=self.material_group,
            smys_mpa=self.smys_mpa,
            wall_mm=self.wall_mm,
            od_mm=self.od_mm,
            throat_mm=self.throat_mm,
            sides=self.sides,
        )
        names = Deposit.__dataclass_fields__
        return tuple(
            replace(shared, position=position, **{name: getattr(part, name) for name in names})
            for part in self.deposits
            for position in self.positions or ("",)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Welder(Record):
    """A person who welds, known in the records by a stamp; a stamp may pass to another later."""

    stamp: str
    name: str
    employer: str = ""
    since: date | None = None  # first day on the project under this stamp
    until: date | None = None  # last day
    certificates: tuple[Certificate, ...] = ()
