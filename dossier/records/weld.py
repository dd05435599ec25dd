"""A weld as the codes ask about it: what one welder deposited in one joint with one process."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Weld:
    """The variables of one deposit, in a production joint or in a test piece.

    Worded variables are "" and numbers None where nothing was recorded. A rule that needs one of
    these answers with a hold, never with a guess.
    """

    process: str  # ISO 4063 number: "111", "135", "136", "138", "141", "311", "121"
    product: str = ""  # "pipe" or "plate"; a hollow section counts as pipe
    weld_type: str = ""  # "butt", "fillet" or "branch"
    position: str = ""  # ISO 6947 ("PA", "PJ", "H-L045") or ASME ("1G", "6G", "2F")
    direction: str = ""  # "up" or "down" where the weld runs vertically
    material_group: str = ""  # ISO/TR 15608 ("1.2") or "P1.1" (P-number and group number)
    smys_mpa: float | None = None  # specified minimum yield strength of the base metal
    filler: str = ""  # classification: "E6010", "ER70S-6", "ISO 14341-A: G 42 4 M21 3Si1"
    filler_group: str = ""  # of the code in force: "FM1", "F4", API 1104 group "3"
    covering: str = ""  # "cellulosic", "basic", "rutile", "solid", "basic cored", "none", ...
    transfer: str = ""  # "short circuit", "globular", "spray", "pulsed" for 131, 135, 138
    deposit_mm: float | None = None  # thickness that this welder put in with this process
    wall_mm: float | None = None  # thickness of the thinner member
    od_mm: float | None = None  # outside diameter; None for plate
    throat_mm: float | None = None  # of a fillet weld
    branch_angle_deg: float | None = None
    sides: str = ""  # "single" or "both"
    backing: str = ""  # "none", "material", "gas", "flux", "consumable insert", "weld metal"
    layers: int | None = None
    root: bool | None = None  # this deposit holds the root run
    current: str = ""  # "DC+", "DC-", "AC"
