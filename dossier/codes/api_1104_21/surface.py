"""Surface examination: undercut by depth (9.7), magnetic particle and penetrant (9.4, 9.5)."""

from __future__ import annotations

from dossier.codes.api_1104_21.extent import Extent, Measure, at_most
from dossier.codes.api_1104_21.radiography import SHARE, UNDERCUT_SHARE
from dossier.codes.api_1104_21.settings import STEP_MM, Sizes, basis, mm
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Reason

UNDERCUT_DEPTH = basis("9.7.2, Table 4", "secondary")
UNDERCUT_WALL = basis("9.7.2, Table 4", "memory")
UNDERCUT_TEST = basis("6.4", "read")
RELEVANT = basis("9.4.1.2", "read")
LINEAR_SURFACE = basis("9.4.2", "read")


def undercut_bands(wall_mm: float, size: Sizes) -> tuple[float, float]:
    """Depths of undercut in mm: up to the first any length passes, over the second none does.

    The lesser of 1/64 in and 6 % of the wall; the lesser of 1/32 in and 12.5 % of it.

    Source: API 1104, 21st edition, 9.7.2, Table 4 (depths secondary; shares of the wall memory,
    12.5 % read in 6.4). Raises InputError: wall_mm <= 0.

    >>> from dossier.codes.api_1104_21.settings import US
    >>> [round(depth, 3) for depth in undercut_bands(4.7752, US)]
    [0.287, 0.597]
    """
    if not wall_mm > 0:
        raise InputError("wall_mm", found=wall_mm, expected="more than 0 mm")
    return min(size.sixty_fourth, 0.06 * wall_mm), min(size.thirty_second, 0.125 * wall_mm)


def undercut_depth(deepest: Measure, wall_mm: float, size: Sizes) -> Reason:
    """The deepest undercut against the depth that no length makes acceptable, in mm.

    Source: API 1104, 21st edition, 9.7.2, Table 4 (secondary).
    """
    words = "the lesser of 1/32 in and 12.5 % of the wall"
    limit = undercut_bands(wall_mm, size)[1]
    return at_most("undercut, deepest", deepest, limit, UNDERCUT_DEPTH, words=words)


def undercut_length(middle: Extent, weld_mm: float, size: Sizes) -> Reason:
    """Undercut of middle depth in the worst 12 in: 2 in or one sixth of the weld, the lesser.

    Source: API 1104, 21st edition, 9.7.2, Table 4 (secondary).
    """
    limit = min(size.two, UNDERCUT_SHARE * weld_mm)
    name = f"undercut of middle depth, in the worst {size.window_text}"
    words = "the lesser of 2 in and one sixth of the weld"
    return at_most(name, middle.in_window, limit, UNDERCUT_DEPTH, words=words)


def undercut_of_test_weld(
    depth_mm: float, in_window_mm: float, wall_mm: float, size: Sizes
) -> tuple[Reason, ...]:
    """Undercut at the cap of a welder's test weld, seen and measured, in mm.

    Source: API 1104, 21st edition, 6.4 (read in the 20th).
    """
    limit = undercut_bands(wall_mm, size)[1]
    name = f"undercut, in the worst {size.window_text}"
    return (
        at_most("undercut, deepest", Measure.exact(depth_mm), limit, UNDERCUT_TEST),
        at_most(name, Measure.exact(in_window_mm), size.two, UNDERCUT_TEST),
    )


def relevant(greatest_mm: float, size: Sizes) -> bool:
    """Whether a magnetic particle or penetrant indication counts: over 1/16 in.

    Source: API 1104, 21st edition, 9.4.1.2, 9.5.1.2 (read in the 20th).

    >>> from dossier.codes.api_1104_21.settings import US
    >>> relevant(1.5875, US), relevant(1.6, US)
    (False, True)
    """
    return greatest_mm > size.sixteenth + STEP_MM


def shape(length_mm: float, width_mm: float) -> str:
    """ "linear" when the length is more than three times the width, else "rounded".

    Source: API 1104, 21st edition, 9.4.1.3 (read in the 20th). Raises InputError: width not
    more than 0.

    >>> shape(7.62, 2.54), shape(7.7, 2.54)
    ('rounded', 'linear')
    """
    if not width_mm > 0:
        raise InputError("width_mm", found=width_mm, expected="more than 0 mm")
    return "linear" if length_mm > 3 * width_mm + STEP_MM else "rounded"


def surface_fusion(extent: Extent, weld_mm: float, size: Sizes) -> tuple[Reason, ...]:
    """Lack of fusion at the surface: in the worst 12 in and in all.

    Source: API 1104, 21st edition, 9.4.2 (read in the 20th).
    """
    name = f"IF, in the worst {size.window_text}"
    return (
        at_most(name, extent.in_window, size.one, LINEAR_SURFACE),
        at_most(
            "IF, in all", extent.total, SHARE * weld_mm, LINEAR_SURFACE, words="8 % of the weld"
        ),
    )


CROWN = basis("7.8.2")


def crown_height(height_mm: float, size: Sizes) -> Reason:
    """Height of the crown above the pipe in mm: not below the surface, 1/16 in at most.

    Source: API 1104, 21st edition, 7.8.2 (memory).
    """
    inside = -STEP_MM <= height_mm <= size.sixteenth + STEP_MM
    permitted = f"0 mm to {mm(size.sixteenth)}"
    verdict = CLEAR if inside else NONCONFORMITY
    return Reason("crown height", mm(height_mm), permitted, CROWN, verdict)
