"""How many specimens a butt test weld needs, and when each passes: 5.6, 6.5 and the tables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dossier.codes.api_1104_21.extent import Measure, at_most
from dossier.codes.api_1104_21.settings import STEP_MM, Sizes, basis, nominal_od
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Range, Reason
from dossier.units import convert, show

PROCEDURE_TABLE = basis("5.6.1, Table 2", "read")
WELDER_TABLE = basis("6.5.1, Table 3", "read")
NICK = basis("5.6.3.3", "read")
BEND = basis("5.6.4.3", "secondary")
TENSILE = basis("5.6.2.3", "read")


@dataclass(frozen=True, slots=True)
class Specimens:
    """Numbers of specimens of one butt test weld."""

    tensile: int = 0
    nick_break: int = 0
    root_bend: int = 0
    face_bend: int = 0
    side_bend: int = 0

    @property
    def total(self) -> int:
        """All specimens together."""
        return self.tensile + self.nick_break + self.root_bend + self.face_bend + self.side_bend


# Greatest diameter (mm) of a row; specimens up to 0.500 in wall, and above it. The rows below and
# from 2.375 in need the same.
_PROCEDURE: Sequence[tuple[float, Specimens, Specimens]] = (
    (114.3, Specimens(0, 2, 2), Specimens(0, 2, 0, 0, 2)),
    (323.85, Specimens(2, 2, 2, 2), Specimens(2, 2, 0, 0, 4)),
    (float("inf"), Specimens(4, 4, 4, 4), Specimens(4, 4, 0, 0, 8)),
)
_WELDER: Sequence[tuple[float, Specimens, Specimens]] = (
    (114.3, Specimens(0, 2, 2), Specimens(0, 2, 0, 0, 2)),
    (323.85, Specimens(2, 2, 2), Specimens(2, 2, 0, 0, 2)),
    (float("inf"), Specimens(4, 4, 2, 2), Specimens(4, 4, 0, 0, 4)),
)
_HALF_INCH = 12.7  # 0.500 in stands with the thinner walls
_X42 = convert(42000, "psi", "MPa")


def _row(
    table: Sequence[tuple[float, Specimens, Specimens]], od_mm: float, wall_mm: float
) -> Specimens:
    od = nominal_od(od_mm) or 0.0
    if not od > 0:
        raise InputError("od_mm", found=od_mm, expected="more than 0 mm")
    if not wall_mm > 0:
        raise InputError("wall_mm", found=wall_mm, expected="more than 0 mm")
    thin, thick = next(row[1:] for row in table if od <= row[0] + STEP_MM)
    return thin if wall_mm <= _HALF_INCH + STEP_MM else thick


def procedure_specimens(od_mm: float, wall_mm: float, smys_mpa: float) -> Specimens:
    """Specimens of a procedure's butt test weld; lengths in mm, yield strength in MPa.

    On pipe up to 4.500 in a tensile test is needed only above 42,000 psi, then one at least.

    Source: API 1104, 21st edition, Table 2 (read; walls over 0.500 in on pipe up to 12.750 in
    from memory). Raises InputError: a value not more than 0.

    >>> procedure_specimens(60.3, 3.9, 241).total, procedure_specimens(323.9, 12.7, 360).total
    (4, 8)
    >>> procedure_specimens(114.3, 6.0, 360).tensile
    1
    """
    if not smys_mpa > 0:
        raise InputError("smys_mpa", found=smys_mpa, expected="more than 0 MPa")
    found = _row(_PROCEDURE, od_mm, wall_mm)
    if found.tensile or smys_mpa <= max(_X42, 290.0) + STEP_MM:
        return found
    return Specimens(1, found.nick_break, found.root_bend, found.face_bend, found.side_bend)


def welder_specimens(od_mm: float, wall_mm: float) -> Specimens:
    """Specimens of a welder's butt test weld; lengths in mm.

    A tensile specimen may give way to a nick-break one (memory).

    Source: API 1104, 21st edition, Table 3 and Figure 12 (read; walls over 0.500 in from memory,
    the total read). Raises InputError: a value not more than 0.

    >>> welder_specimens(219.1, 8.2).total, welder_specimens(610, 9.5).total
    (6, 12)
    """
    return _row(_WELDER, od_mm, wall_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class NickBreak:
    """What the exposed faces of one nick-break specimen show; None: no such imperfection."""

    gas_pocket_mm: float | None = None  # greatest dimension
    gas_area_percent: float | None = None  # of the exposed surface
    slag_depth_mm: float | None = None
    slag_length_mm: float | None = None
    slag_apart_mm: float | None = None  # least distance of sound metal between inclusions
    full_penetration: bool = True
    full_fusion: bool = True


def nick_break(face: NickBreak, wall_mm: float, size: Sizes) -> tuple[Reason, ...]:
    """Reasons for one nick-break specimen of a wall in mm; fish-eyes are not counted here.

    Source: API 1104, 21st edition, 5.6.3.3 (read in the 20th). Raises InputError: wall_mm <= 0.
    """
    if not wall_mm > 0:
        raise InputError("wall_mm", found=wall_mm, expected="more than 0 mm")
    complete = face.full_penetration and face.full_fusion
    reasons = [
        Reason(
            "penetration and fusion",
            "complete" if complete else "incomplete",
            "complete",
            NICK,
            CLEAR if complete else NONCONFORMITY,
        )
    ]
    words = "the lesser of 1/8 in and half the wall"
    limits = (
        ("gas pocket", face.gas_pocket_mm, size.sixteenth, ""),
        ("slag, depth", face.slag_depth_mm, size.thirty_second, ""),
        ("slag, length", face.slag_length_mm, min(size.eighth, wall_mm / 2), words),
    )
    reasons += [
        at_most(name, Measure.exact(found), limit, NICK, words=text)
        for name, found, limit, text in limits
        if found is not None
    ]
    if face.gas_area_percent is not None:
        area = Range(0, 2.0, NICK, "%")
        reasons.append(area.judge("gas pockets, share of the face", face.gas_area_percent))
    if face.slag_apart_mm is not None:
        apart = Range(size.half, float("inf"), NICK)
        reasons.append(apart.judge("slag, distance apart", face.slag_apart_mm))
    return tuple(reasons)


def bend(
    opening_mm: float, wall_mm: float, size: Sizes, corner_crack_mm: float = 0.0
) -> tuple[Reason, ...]:
    """Reasons for one bend specimen: greatest opening, and greatest crack from an edge, in mm.

    A crack from an edge that comes from an imperfection is an opening: give it as one.

    Source: API 1104, 21st edition, 5.6.4.3 (secondary). Raises InputError: wall_mm <= 0.
    """
    if not wall_mm > 0:
        raise InputError("wall_mm", found=wall_mm, expected="more than 0 mm")
    words = "the lesser of 1/8 in and half the wall"
    limit = min(size.eighth, wall_mm / 2)
    reasons = [at_most("opening", Measure.exact(opening_mm), limit, BEND, words=words)]
    if corner_crack_mm:
        edge = Range(0, size.quarter, BEND, high_open=True)
        reasons.append(edge.judge("crack from an edge", corner_crack_mm))
    return tuple(reasons)


def tensile(measured_mpa: float, smts_mpa: float) -> Reason:
    """Tensile strength of a specimen against the pipe's specified minimum, both in MPa.

    Source: API 1104, 21st edition, 5.6.2.3 (read in the 20th).
    """
    verdict = CLEAR if measured_mpa >= smts_mpa - STEP_MM else NONCONFORMITY
    found, least = show(measured_mpa, "MPa", "dual"), show(smts_mpa, "MPa", "dual")
    return Reason("tensile strength", found, f"from {least}", TENSILE, verdict)
