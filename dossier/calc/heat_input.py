"""Arc energy and heat input of a pass.

Two quantities share the unit kJ/mm and must never be mixed. *Arc energy* is what the arc draws
per length of weld; American codes call it heat input. *Heat input* to EN 1011-1 is arc energy
times the thermal efficiency k of the process. Other units: `dossier.units.convert`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from dossier.calc.cautions import caution
from dossier.calc.guards import not_negative, positive, within
from dossier.errors import InputError
from dossier.records.verdicts import Basis

CAUTION = caution("hot work")
EFFICIENCY_BASIS = Basis("EN 1011-1", "2009", "heat input clause, Table 1", "secondary")

# Process number of ISO 4063 -> k. 111, 121, 141 and 15 are reported by pages that quote the
# standard; the other gas-shielded and self-shielded arcs stand at the same 0.8 from memory.
# TIG with other fillers, and submerged arc with other electrodes, follow their parent process
# by common practice.
THERMAL_EFFICIENCY = {
    "111": 0.8, "114": 0.8,
    "121": 1.0, "12": 1.0, "122": 1.0, "124": 1.0, "125": 1.0, "126": 1.0,
    "13": 0.8, "131": 0.8, "132": 0.8, "133": 0.8, "135": 0.8, "136": 0.8, "137": 0.8, "138": 0.8,
    "14": 0.6, "141": 0.6, "142": 0.6, "143": 0.6, "145": 0.6, "146": 0.6, "147": 0.6,
    "15": 0.6, "151": 0.6, "152": 0.6, "153": 0.6, "154": 0.6, "155": 0.6,
}  # fmt: skip


def thermal_efficiency(process: str) -> float:
    """Thermal efficiency k of a welding process, by its ISO 4063 number.

    Source: EN 1011-1:2009, heat input clause, Table 1 (secondary; see `THERMAL_EFFICIENCY`).
    Raises InputError: a process for which no factor is stated.

    >>> thermal_efficiency("111"), thermal_efficiency("141")
    (0.8, 0.6)
    """
    try:
        return THERMAL_EFFICIENCY[process]
    except KeyError:
        raise InputError(
            "process", found=repr(process), expected="an arc process number of ISO 4063"
        ) from None


def travel_speed_mm_min(length_mm: float, arc_time_s: float) -> float:
    """Travel speed in mm/min from the length welded and the arc time.

    Formula: 60 L / t
    Source: common practice.
    Raises InputError unless both are more than 0.

    >>> travel_speed_mm_min(190.0, 60.0)
    190.0
    """
    return positive("length_mm", length_mm) * 60 / positive("arc_time_s", arc_time_s)


def arc_energy_kj_mm(voltage_v: float, current_a: float, travel_mm_min: float) -> float:
    """Arc energy from average voltage, average current and travel speed, in kJ/mm.

    Formula: E = 60 U I / (1000 v). Not for waveform-controlled sources, where the product of
    two averages is not the average power: use `arc_energy_from_energy_kj_mm` or
    `arc_energy_from_power_kj_mm` (see `waveform_power`).
    Source: ISO/TR 18491:2015, method A (memory); ASME BPVC Section IX, 2023, QW-409.1(a)
    (secondary), which takes no efficiency factor.
    Raises InputError unless every argument is more than 0.

    >>> round(arc_energy_kj_mm(24.0, 180.0, 300.0), 3)
    0.864
    """
    power_w = positive("voltage_v", voltage_v) * positive("current_a", current_a)
    return power_w * 60 / (1000 * positive("travel_mm_min", travel_mm_min))


def arc_energy_from_time_kj_mm(
    voltage_v: float, current_a: float, arc_time_s: float, length_mm: float
) -> float:
    """Arc energy from averages, arc time and the length welded in it, in kJ/mm.

    With the run-out length of one electrode as `length_mm` this is the run-out method of manual
    metal arc welding.
    Formula: E = U I t / (1000 L)
    Source: ISO/TR 18491:2015, method A (memory); EN 1011-2:2001, run-out length (secondary).
    Raises InputError unless every argument is more than 0.

    >>> round(arc_energy_from_time_kj_mm(24.0, 130.0, 62.0, 190.0), 6)
    1.018105
    """
    speed = travel_speed_mm_min(length_mm, arc_time_s)
    return arc_energy_kj_mm(voltage_v, current_a, speed)


def run_out_length_mm(
    voltage_v: float, current_a: float, arc_time_s: float, wanted_kj_mm: float
) -> float:
    """Run-out length of one electrode that gives a wanted arc energy, in mm.

    `arc_time_s` is the time one electrode burns. Inverse of `arc_energy_from_time_kj_mm`.
    Formula: L = U I t / (1000 E)
    Source: as the method it inverts.
    Raises InputError unless every argument is more than 0.

    >>> round(run_out_length_mm(24.0, 130.0, 62.0, 1.018105), 2)
    190.0
    """
    energy_j = positive("voltage_v", voltage_v) * positive("current_a", current_a)
    energy_j *= positive("arc_time_s", arc_time_s)
    return energy_j / (1000 * positive("wanted_kj_mm", wanted_kj_mm))


def arc_energy_from_energy_kj_mm(energy_j: float, bead_length_mm: float) -> float:
    """Arc energy from the energy that the source summed instant by instant, in kJ/mm.

    Formula: E = IE / (1000 L)
    Source: ISO/TR 18491:2015, method B (memory of the letter); ASME BPVC Section IX, 2023,
    QW-409.1(c)(1) (secondary). No efficiency factor.
    Raises InputError unless both are more than 0.

    >>> arc_energy_from_energy_kj_mm(45000.0, 150.0)
    0.3
    """
    return positive("energy_j", energy_j) / (1000 * positive("bead_length_mm", bead_length_mm))


def arc_energy_from_power_kj_mm(power_w: float, arc_time_s: float, bead_length_mm: float) -> float:
    """Arc energy from the average of the instantaneous power, in kJ/mm.

    Formula: E = IP t / (1000 L)
    Source: ISO/TR 18491:2015, method C (memory of the letter); ASME BPVC Section IX, 2023,
    QW-409.1(c)(2) (secondary). No efficiency factor.
    Raises InputError unless every argument is more than 0.

    >>> arc_energy_from_power_kj_mm(4500.0, 25.0, 100.0)
    1.125
    """
    energy_j = positive("power_w", power_w) * positive("arc_time_s", arc_time_s)
    return arc_energy_from_energy_kj_mm(energy_j, bead_length_mm)


def heat_input_kj_mm(arc_energy: float, k: float) -> float:
    """Heat input to EN 1011-1 from arc energy (kJ/mm) and thermal efficiency, in kJ/mm.

    Formula: Q = k E
    Source: EN 1011-1:2009, heat input clause (secondary).
    Raises InputError: arc energy not more than 0; k not over 0 and up to 1.

    >>> round(heat_input_kj_mm(1.35, thermal_efficiency("141")), 3)
    0.81
    """
    return positive("arc_energy", arc_energy) * within("k", positive("k", k), 0.0, 1.0)


def bead_section_mm2(width_mm: float, thickness_mm: float) -> float:
    """Bead size as Section IX compares it where heat input is not measured, in mm2.

    An increase of width times thickness over the tested bead counts as an increase in heat input.
    Source: ASME BPVC Section IX, 2021, QW-409.1(b) (memory).
    Raises InputError unless both are more than 0.

    >>> bead_section_mm2(12.0, 3.0)
    36.0
    """
    return positive("width_mm", width_mm) * positive("thickness_mm", thickness_mm)


def bead_per_electrode(bead_length_mm: float, electrode_length_mm: float) -> float:
    """Length of bead per unit length of electrode, the other measure of QW-409.1(b).

    A smaller figure than in the test counts as an increase in heat input.
    Source: ASME BPVC Section IX, 2021, QW-409.1(b) (memory).
    Raises InputError unless both are more than 0.

    >>> bead_per_electrode(190.0, 380.0)
    0.5
    """
    bead = positive("bead_length_mm", bead_length_mm)
    return bead / positive("electrode_length_mm", electrode_length_mm)


@dataclass(frozen=True, slots=True)
class WaveformPower:
    """True mean power of a waveform, what two averaging meters would suggest, and their error."""

    mean_power_w: float
    product_of_means_w: float

    @property
    def error_percent(self) -> float:
        """Error of the product of means, in per cent of the true mean power."""
        return 100 * (self.product_of_means_w - self.mean_power_w) / self.mean_power_w


def waveform_power(levels: Iterable[tuple[float, float, float]]) -> WaveformPower:
    """Mean power of a waveform given as (volts, amperes, weight), weight being time or samples.

    Formula: mean of (u i), against mean u times mean i.
    Source: ISO/TR 18491:2015, methods B and C (secondary): why a waveform-controlled source
    needs instantaneous power.
    Raises InputError: a negative figure, no weight at all, or no power at all.

    >>> pulse = waveform_power([(30.0, 350.0, 0.4), (20.0, 80.0, 0.6)])
    >>> round(pulse.mean_power_w, 3), round(pulse.product_of_means_w, 3)
    (5160.0, 4512.0)
    """
    points = [
        (not_negative("volts", u), not_negative("amperes", i), not_negative("weight", w))
        for u, i, w in levels
    ]
    weight = positive("sum of weights", sum(w for _, _, w in points))
    mean_u = sum(u * w for u, _, w in points) / weight
    mean_i = sum(i * w for _, i, w in points) / weight
    mean_power = positive("mean power", sum(u * i * w for u, i, w in points) / weight)
    return WaveformPower(mean_power, mean_u * mean_i)
