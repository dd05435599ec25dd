"""Which radiographic imperfections are accepted: API 1104, 21st edition, 9.3.

Every rule takes figures in mm (longest, in the worst 12 in, in all) and answers one reason for
each limit, so that a verdict can be worked out again from its report.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dossier.codes.api_1104_21.extent import Extent, Measure, at_most
from dossier.codes.api_1104_21.settings import STEP_MM, Sizes, basis, mm, nominal_od
from dossier.errors import InputError
from dossier.records.verdicts import (
    CLEAR,
    HOLD,
    NONCONFORMITY,
    NOTE,
    Basis,
    Reason,
    Verdict,
)

SYMBOLS = (
    "IP", "IPD", "ICP", "IF", "IFD", "IC", "BT", "ESI", "ISI", "P", "CP", "HB", "C", "EU", "IU",
    "AI",
)  # fmt: skip
SHARE = 0.08  # of the weld length
UNDERCUT_SHARE = 1 / 6


@dataclass(frozen=True, slots=True)
class Linear:
    """Limits of an imperfection that is judged by length alone."""

    clause: Basis
    longest: str  # name of the size
    window: str
    share: bool = False  # 8 % of the weld length as well
    short_only: bool = False  # ... in welds shorter than 12 in only


LINEAR = {
    "IP": Linear(basis("9.3.1", "read"), "one", "one", share=True, short_only=True),
    "IPD": Linear(basis("9.3.2", "secondary"), "two", "three"),
    "ICP": Linear(basis("9.3.3", "secondary"), "two", "two"),
    "IF": Linear(basis("9.3.4", "secondary"), "one", "one", share=True, short_only=True),
    "IFD": Linear(basis("9.3.5", "secondary"), "two", "two", share=True),
}
BURN_THROUGH = basis("9.3.7.2", "secondary")
BURN_THROUGH_SMALL = basis("9.3.7.3")
CONCAVITY = basis("9.3.6", "secondary")
SLAG = basis("9.3.8.2", "secondary")
SLAG_COUNT = basis("9.3.8.2 f)", "read")
SLAG_SHARE = basis("9.3.8.2 g)", "read")
SLAG_SMALL = basis("9.3.8.3", "read")
PARALLEL = basis("9.3.8.3, note", "read")
POROSITY = basis("9.3.9.2", "read")
CLUSTER = basis("9.3.9.3", "secondary")
HOLLOW = basis("9.3.9.4")
CRACK = basis("9.3.10", "secondary")
UNDERCUT = basis("9.3.11", "read")
ACCUMULATION = basis("9.3.12", "read")
ACCUMULATION_SHARE = basis("9.3.12")


def _share(name: str, extent: Extent, weld_mm: float, clause: Basis) -> Reason:
    return at_most(
        f"{name}, in all", extent.total, SHARE * weld_mm, clause, words="8 % of the weld"
    )


def linear(kind: str, extent: Extent, weld_mm: float, size: Sizes) -> tuple[Reason, ...]:
    """Reasons for IP, IPD, ICP, IF or IFD: longest, in the worst 12 in, share of the weld.

    Source: API 1104, 21st edition, 9.3.1 (read) to 9.3.5 (secondary). Raises InputError: another
    kind.
    """
    if kind not in LINEAR:
        raise InputError("kind", found=kind, expected=", ".join(LINEAR))
    rule = LINEAR[kind]
    reasons = [
        at_most(f"{kind}, longest", extent.longest, getattr(size, rule.longest), rule.clause),
        at_most(
            f"{kind}, in the worst {size.window_text}",
            extent.in_window,
            getattr(size, rule.window),
            rule.clause,
        ),
    ]
    if rule.share and (not rule.short_only or weld_mm < size.window - STEP_MM):
        reasons.append(_share(kind, extent, weld_mm, rule.clause))
    return tuple(reasons)


@dataclass(frozen=True, slots=True)
class Pipe:
    """The pipe at a weld: diameter and thinner wall in mm."""

    od_mm: float
    wall_mm: float

    def small(self, size: Sizes) -> bool:
        """Whether the limits of pipe below 2.375 in apply; 60.3 mm is that diameter."""
        return (nominal_od(self.od_mm) or 0.0) < size.small_od - STEP_MM


def concavity(density_exceeds_base: bool | None) -> Reason:
    """Internal concavity: any length passes while no darker than the thinner base metal beside it.

    A darker image is judged as burn-through (`burn_through`), which is said by a note.

    Source: API 1104, 21st edition, 9.3.6 (secondary).
    """
    found = {None: "not recorded", True: "darker", False: "not darker"}[density_exceeds_base]
    verdict = {None: HOLD, True: NOTE, False: CLEAR}[density_exceeds_base]
    permitted = "not darker than the thinner base metal; else as burn-through"
    return Reason("IC, density of the image", found, permitted, CONCAVITY, verdict)


def burn_through(extent: Extent, count: int, pipe: Pipe, size: Sizes) -> tuple[Reason, ...]:
    """Reasons for burn-throughs whose image is darker than the thinner base metal beside them.

    `extent` sums greatest dimensions; those that are not darker are left out, they pass.

    Source: API 1104, 21st edition, 9.3.7.2 (secondary), 9.3.7.3 (memory).
    """
    small = pipe.small(size)
    clause = BURN_THROUGH_SMALL if small else BURN_THROUGH
    sized = (
        at_most("BT, largest", extent.longest, size.quarter, clause),
        at_most("BT, largest against the wall", extent.longest, pipe.wall_mm, clause),
    )
    if small:
        verdict = NONCONFORMITY if count > 1 else CLEAR
        return (*sized, Reason("BT, number", str(count), "up to 1", clause, verdict))
    name = f"BT, in the worst {size.window_text}"
    return (*sized, at_most(name, extent.in_window, size.half, clause))


@dataclass(frozen=True, slots=True)
class Slag:
    """Slag of one kind (ESI or ISI): its extent, greatest width, and the isolated at full width."""

    extent: Extent
    width: Measure
    at_full_width: int = 0  # ISI of 1/8 in width in the worst 12 in


def elongated_slag(slag: Slag, pipe: Pipe, size: Sizes) -> tuple[Reason, ...]:
    """Reasons for elongated slag inclusions (ESI).

    Source: API 1104, 21st edition, 9.3.8.2 (secondary and memory), 9.3.8.3 (read).
    """
    if pipe.small(size):
        words = "three times the wall"
        return (
            at_most("ESI, longest", slag.extent.longest, 3 * pipe.wall_mm, SLAG_SMALL, words=words),
            at_most("ESI, width", slag.width, size.sixteenth, SLAG_SMALL),
        )
    name = f"ESI, in the worst {size.window_text}"
    return (
        at_most("ESI, longest", slag.extent.longest, size.two, basis("9.3.8.2")),
        at_most(name, slag.extent.in_window, size.two, basis("9.3.8.2")),
        at_most("ESI, width", slag.width, size.sixteenth, basis("9.3.8.2")),
    )


def isolated_slag(slag: Slag, pipe: Pipe, size: Sizes) -> tuple[Reason, ...]:
    """Reasons for isolated slag inclusions (ISI).

    On pipe below 2.375 in both must be exceeded for a defect: the length and the width.

    Source: API 1104, 21st edition, 9.3.8.2 (secondary; f read), 9.3.8.3 (read).
    """
    if pipe.small(size):
        return (_isolated_small(slag, pipe),)
    four = slag.at_full_width
    name = f"ISI of full width in the worst {size.window_text}"
    verdict = NONCONFORMITY if four > 4 else CLEAR
    return (
        at_most(f"ISI, in the worst {size.window_text}", slag.extent.in_window, size.half, SLAG),
        at_most("ISI, width", slag.width, size.eighth, basis("9.3.8.2")),
        Reason(name, str(four), "up to 4", SLAG_COUNT, verdict),
    )


def _isolated_small(slag: Slag, pipe: Pipe) -> Reason:
    length = at_most("", slag.extent.total, 2 * pipe.wall_mm, SLAG_SMALL)
    width = at_most("", slag.width, pipe.wall_mm / 2, SLAG_SMALL)
    return Reason(
        "ISI, length in all and width together",
        f"{length.found}; width {width.found}",
        f"{length.permitted} (twice the wall) or width {width.permitted} (half the wall)",
        SLAG_SMALL,
        min(length.verdict, width.verdict),
    )


def slag_share(extent: Extent, weld_mm: float, pipe: Pipe, size: Sizes) -> Reason:
    """Elongated and isolated slag together against 8 % of the weld length.

    Source: API 1104, 21st edition, 9.3.8.2 g), 9.3.8.3 (read).
    """
    clause = SLAG_SMALL if pipe.small(size) else SLAG_SHARE
    return _share("ESI and ISI", extent, weld_mm, clause)


def porosity(pore: Measure, pipe: Pipe, size: Sizes) -> tuple[Reason, ...]:
    """Reasons for the largest individual pore; the scatter is compared with the charts apart.

    Source: API 1104, 21st edition, 9.3.9.2 (read).
    """
    quarter = 0.25 * pipe.wall_mm
    return (
        at_most("P, largest pore", pore, size.eighth, POROSITY),
        at_most("P, largest pore against the wall", pore, quarter, POROSITY, words="25 % of it"),
    )


def porosity_distribution(within_figure: bool | None, open_verdict: Verdict) -> Reason:
    """Scattered pores against the charts (a comparison by eye, Figures 19 and 20).

    `open_verdict` answers where the comparison is not recorded.

    Source: API 1104, 21st edition, 9.3.9.2 (read).
    """
    found = {None: "not recorded", True: "within the charts", False: "beyond the charts"}
    verdict = {None: open_verdict, True: CLEAR, False: NONCONFORMITY}[within_figure]
    return Reason("P, distribution", found[within_figure], "as the charts show", POROSITY, verdict)


def cluster_porosity(extent: Extent, pore: Measure, size: Sizes) -> tuple[Reason, ...]:
    """Reasons for cluster porosity in any pass but the finish pass.

    Source: API 1104, 21st edition, 9.3.9.3 (secondary).
    """
    return (
        at_most("CP, largest cluster", extent.longest, size.half, CLUSTER),
        at_most(f"CP, in the worst {size.window_text}", extent.in_window, size.half, CLUSTER),
        at_most("CP, largest pore", pore, size.sixteenth, CLUSTER),
    )


def hollow_bead(
    extent: Extent, close_pairs: int | None, weld_mm: float, size: Sizes
) -> tuple[Reason, ...]:
    """Reasons for hollow bead. `close_pairs`: pairs over 1/4 in long, less than 2 in apart.

    None for `close_pairs` says that the places of two such are not recorded.

    Source: API 1104, 21st edition, 9.3.9.4 (memory).
    """
    verdict = HOLD if close_pairs is None else NONCONFORMITY if close_pairs else CLEAR
    found = "not recorded" if close_pairs is None else str(close_pairs)
    pairs = f"none over {mm(size.quarter)} less than {mm(size.two)} apart"
    return (
        at_most("HB, longest", extent.longest, size.half, HOLLOW),
        at_most(f"HB, in the worst {size.window_text}", extent.in_window, size.two, HOLLOW),
        Reason("HB, close pairs", found, pairs, HOLLOW, verdict),
        _share("HB", extent, weld_mm, HOLLOW),
    )


def crack(shallow_crater: bool, length: Measure, size: Sizes, worse: Verdict) -> Reason:
    """A crack: none is accepted save a shallow crater or star crack of 5/32 in or less.

    `worse` is what a rejected crack leads to under the project's choice.

    Source: API 1104, 21st edition, 9.3.10 (secondary).
    """
    if shallow_crater:
        return at_most("C, shallow crater or star", length, size.crater, CRACK, worse=worse)
    return Reason("C", str(length), "none", CRACK, worse)


def undercut(extent: Extent, weld_mm: float, size: Sizes) -> tuple[Reason, ...]:
    """Reasons for external and internal undercut together, by length on the film.

    Source: API 1104, 21st edition, 9.3.11 (read).
    """
    name = "EU and IU"
    sixth = UNDERCUT_SHARE * weld_mm
    return (
        at_most(f"{name}, in the worst {size.window_text}", extent.in_window, size.two, UNDERCUT),
        at_most(f"{name}, in all", extent.total, sixth, UNDERCUT, words="one sixth of the weld"),
    )


def accumulation(extent: Extent, weld_mm: float, size: Sizes) -> tuple[Reason, ...]:
    """Reasons for all imperfections together, penetration by high-low and undercut apart.

    Source: API 1104, 21st edition, 9.3.12 (read; the 8 % from memory).
    """
    return (
        at_most(f"AI, in the worst {size.window_text}", extent.in_window, size.two, ACCUMULATION),
        _share("AI", extent, weld_mm, ACCUMULATION_SHARE),
    )


def parallel_lines(widths_mm: Sequence[float], size: Sizes) -> int:
    """How many indications parallel slag lines count as, about a root bead apart.

    One, unless one of them is wider than 1/32 in; then each.

    Source: API 1104, 21st edition, 9.3.8.3, note (read). Raises InputError: no width.

    >>> from dossier.codes.api_1104_21.settings import US
    >>> parallel_lines([0.79, 0.5], US), parallel_lines([0.9, 0.5], US)
    (1, 2)
    """
    if not widths_mm:
        raise InputError("widths_mm", found="none", expected="one width for each line")
    return 1 if max(widths_mm) <= size.thirty_second + STEP_MM else len(widths_mm)
