"""Which ultrasonic indications are accepted: API 1104, 21st edition, 9.6.2 (all from memory)."""

from __future__ import annotations

from dossier.codes.api_1104_21.extent import Extent, Measure, at_most
from dossier.codes.api_1104_21.radiography import SHARE
from dossier.codes.api_1104_21.settings import Sizes, basis
from dossier.records.verdicts import Basis, Reason

SURFACE = basis("9.6.2.2")
BURIED = basis("9.6.2.3")
CLUSTER = basis("9.6.2.5")
INDIVIDUAL = basis("9.6.2.6")
ROOT = basis("9.6.2.7")
ALL = basis("9.6.2.8")


def _linear(
    name: str, extent: Extent, window_mm: float, weld_mm: float, clause: Basis
) -> tuple[Reason, ...]:
    return (
        at_most(f"{name}, in the worst 12 in", extent.in_window, window_mm, clause),
        at_most(f"{name}, in all", extent.total, SHARE * weld_mm, clause, words="8 % of the weld"),
    )


def linear_surface(extent: Extent, weld_mm: float, size: Sizes) -> tuple[Reason, ...]:
    """Linear indications that reach a surface (LS), cracks apart: 1 in in 12 in, 8 % of the weld.

    Source: API 1104, 21st edition, 9.6.2.2 (memory).
    """
    return _linear("LS", extent, size.one, weld_mm, SURFACE)


def linear_buried(extent: Extent, weld_mm: float, size: Sizes) -> tuple[Reason, ...]:
    """Linear indications inside the weld (LB), cracks apart: 2 in in 12 in, 8 % of the weld.

    Source: API 1104, 21st edition, 9.6.2.3 (memory).
    """
    return _linear("LB", extent, size.two, weld_mm, BURIED)


def volumetric_cluster(greatest: Measure, size: Sizes) -> Reason:
    """Volumetric cluster (VC): greatest dimension up to 1/2 in.

    Source: API 1104, 21st edition, 9.6.2.5 (memory).
    """
    return at_most("VC, greatest dimension", greatest, size.half, CLUSTER)


def volumetric_individual(length: Measure, width: Measure, size: Sizes) -> Reason:
    """Individual volumetric indication (VI): a defect only over 1/4 in both long and wide.

    Source: API 1104, 21st edition, 9.6.2.6 (memory).
    """
    long, wide = (at_most("", side, size.quarter, INDIVIDUAL) for side in (length, width))
    return Reason(
        "VI, length and width together",
        f"{long.found} by {wide.found}",
        f"{long.permitted} in length or in width",
        INDIVIDUAL,
        min(long.verdict, wide.verdict),
    )


def volumetric_root(extent: Extent, size: Sizes) -> tuple[Reason, ...]:
    """Volumetric indications open to the root (VR): 1/4 in each, 1/2 in in the worst 12 in.

    Source: API 1104, 21st edition, 9.6.2.7 (memory).
    """
    return (
        at_most("VR, greatest dimension", extent.longest, size.quarter, ROOT),
        at_most("VR, in the worst 12 in", extent.in_window, size.half, ROOT),
    )


def accumulation(extent: Extent, weld_mm: float, size: Sizes) -> tuple[Reason, ...]:
    """All relevant indications together: 2 in in the worst 12 in, 8 % of the weld.

    Source: API 1104, 21st edition, 9.6.2.8 (memory).
    """
    return _linear("all relevant indications", extent, size.two, weld_mm, ALL)
