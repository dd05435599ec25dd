"""What a procedure qualification record says, per process: runs, deposits, heat input."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol, TypeVar

from dossier.calc.heat_input import arc_energy_kj_mm, heat_input_kj_mm, thermal_efficiency
from dossier.codes.iso_6947 import position_or_blank
from dossier.records.procedures import Pqr, PqrPass


class _OfProcess(Protocol):
    @property
    def process(self) -> str: ...


_Pass = TypeVar("_Pass", bound=_OfProcess)


def processes(passes: Iterable[_OfProcess]) -> tuple[str, ...]:
    """The processes of these passes, each once, in order of first use.

    >>> root = PqrPass(number=1, kind="root", process="141", deposit_mm=3.0, voltage_v=12.0,
    ...                current_a=110.0, travel_mm_min=66.0)
    >>> processes([root, root])
    ('141',)
    """
    return tuple(dict.fromkeys(one.process for one in passes))


def of_process(passes: Iterable[_Pass], process: str) -> tuple[_Pass, ...]:
    """The passes made with one process.

    >>> root = PqrPass(number=1, kind="root", process="141", deposit_mm=3.0, voltage_v=12.0,
    ...                current_a=110.0, travel_mm_min=66.0)
    >>> len(of_process([root], "141")), len(of_process([root], "111"))
    (1, 0)
    """
    return tuple(one for one in passes if one.process == process)


def runs(pqr: Pqr, process: str) -> str:
    """ "single" or "multi" run; "" where no pass of the process is recorded.

    >>> from datetime import date
    >>> test = Pqr(number="P1", code="ISO 15614-1:2017", welded_on=date(2025, 2, 3), position="6G",
    ...            passes=(PqrPass(number=1, kind="root", process="141", deposit_mm=3.0,
    ...                            direction="up"),))
    >>> runs(test, "141"), runs(test, "111")
    ('single', '')
    """
    own = of_process(pqr.passes, process)
    return "" if not own else "single" if len(own) == 1 else "multi"


def deposit_mm(pqr: Pqr, process: str) -> float | None:
    """Thickness deposited with one process, in mm: the wall where it is the only one.

    >>> from datetime import date
    >>> test = Pqr(number="P1", code="ISO 15614-1:2017", welded_on=date(2025, 2, 3), position="6G",
    ...            passes=(PqrPass(number=1, kind="root", process="141", deposit_mm=3.0,
    ...                            direction="up"),))
    >>> deposit_mm(test, "141")
    3.0
    """
    deposits = [one.deposit_mm for one in of_process(pqr.passes, process)]
    known = [value for value in deposits if value is not None]
    if deposits and len(known) == len(deposits):
        return sum(known)
    return pqr.wall_mm if len(processes(pqr.passes)) == 1 else None


def heat_inputs(passes: Iterable[PqrPass], kind: str = "") -> list[float]:
    """Heat input of the measured passes, in kJ/mm (EN 1011-1, thermal efficiency included).

    `kind` picks one kind of pass. A pass without all three measurements is left out.

    >>> root = PqrPass(number=1, kind="root", process="141", deposit_mm=3.0, voltage_v=12.0,
    ...                current_a=110.0, travel_mm_min=66.0)
    >>> [round(kj_mm, 3) for kj_mm in heat_inputs([root])]
    [0.72]
    """
    found = []
    for one in passes:
        if kind and one.kind != kind:
            continue
        if one.voltage_v and one.current_a and one.travel_mm_min:
            energy = arc_energy_kj_mm(one.voltage_v, one.current_a, one.travel_mm_min)
            found.append(heat_input_kj_mm(energy, thermal_efficiency(one.process)))
    return found


def iso_position_of(pqr: Pqr) -> str:
    """The position of ISO 6947 that the test piece was welded in; "" where it is not told.

    >>> from datetime import date
    >>> test = Pqr(number="P1", code="ISO 15614-1:2017", welded_on=date(2025, 2, 3), position="6G",
    ...            passes=(PqrPass(number=1, kind="root", process="141", deposit_mm=3.0,
    ...                            direction="up"),))
    >>> iso_position_of(test)
    'H-L045'
    """
    directions = {one.direction for one in pqr.passes if one.direction}
    direction = directions.pop() if len(directions) == 1 else ""
    return position_or_blank(pqr.position, direction)
