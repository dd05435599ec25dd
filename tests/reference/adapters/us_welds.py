"""Adapters: imperfections, examination, repair and films of API 1104."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from dossier.codes import api_1104_21
from dossier.codes.api_1104_21 import (
    films,
    fit_up,
    papers,
    radiography,
    repair,
    surface,
    ultrasonic,
)
from dossier.codes.api_1104_21.extent import Extent, Measure
from dossier.codes.api_1104_21.radiography import Pipe, Slag
from dossier.records.examinations import Indication
from dossier.records.verdicts import CLEAR, NONCONFORMITY
from dossier.units import convert
from tests.reference.us_words import SIZES, Inputs, Reply, accept, mm, permit


def measure(entry: Inputs, *names: str) -> Measure:
    """The first of the named inputs that the entry gives; none of them is nothing found."""
    for name in names:
        if entry.get(name) is not None:
            return Measure.exact(mm(entry[name]))
    return Measure.exact(0.0)


def extent(entry: Inputs, longest: str, window: str, total: str) -> Extent:
    return Extent(
        measure(entry, longest), measure(entry, window, longest), measure(entry, total, window)
    )


USUAL = ("longest_in", "aggregate_in_worst_12in_in", "aggregate_total_in")


def linear(kind: str) -> Callable[[Inputs], Reply]:
    def answer(entry: Inputs) -> Reply:
        weld = mm(entry.get("weld_length_in", 1000.0))
        return accept(radiography.linear(kind, extent(entry, *USUAL), weld, SIZES))

    return answer


def film(indications: list[Indication], pipe: Pipe) -> Reply:
    reasons = api_1104_21.accept(
        "RT", indications, od_mm=pipe.od_mm, wall_mm=pipe.wall_mm, choices={"units": "US"}
    )
    return accept(reasons)


def concavity(entry: Inputs) -> Reply:
    one = Indication(
        kind="IC",
        start_mm=0.0,
        length_mm=mm(entry["length_in"]),
        density_exceeds_base=entry["darker_than_thinnest_adjacent"],
    )
    return film([one], Pipe(mm(24), mm(0.5)))


def burn_through(entry: Inputs) -> Reply:
    pipe = Pipe(mm(entry["od_in"]), mm(entry["thinner_wall_in"]))
    if not entry["darker_than_thinnest_adjacent"]:
        one = Indication(
            kind="BT", length_mm=mm(entry["max_dimension_in"]), density_exceeds_base=False
        )
        return film([one], pipe)
    found = extent(entry, "max_dimension_in", "sum_in_worst_12in_in", "sum_in_worst_12in_in")
    return accept(radiography.burn_through(found, entry.get("count", 1), pipe, SIZES))


def slag(entry: Inputs) -> Reply:
    pipe = Pipe(mm(entry["od_in"]), mm(entry.get("thinner_wall_in", 1.0)))
    total = measure(entry, "esi_plus_isi_total_in")
    elongated = Slag(
        extent(entry, "esi_longest_in", "esi_aggregate_in_worst_12in_in", "esi_longest_in"),
        measure(entry, "esi_width_in"),
    )
    isolated = Slag(
        extent(entry, "isi_longest_in", "isi_aggregate_in_worst_12in_in", "isi_aggregate_in"),
        measure(entry, "isi_width_in"),
        entry.get("isi_count_at_max_width_in_worst_12in", 0),
    )
    weld = mm(entry["weld_length_in"])
    return accept(
        (
            *radiography.elongated_slag(elongated, pipe, SIZES),
            *radiography.isolated_slag(isolated, pipe, SIZES),
            radiography.slag_share(Extent(total, total, total), weld, pipe, SIZES),
        )
    )


def porosity(entry: Inputs) -> Reply:
    pipe = Pipe(mm(24), mm(entry["thinner_wall_in"]))
    pore = Measure.exact(mm(entry["pore_in"]))
    scatter = radiography.porosity_distribution(entry["distribution_within_figure"], NONCONFORMITY)
    return accept((*radiography.porosity(pore, pipe, SIZES), scatter))


def cluster(entry: Inputs) -> Reply:
    window = "cluster_aggregate_in_worst_12in_in"
    found = extent(entry, "cluster_diameter_in", window, window)
    pore = measure(entry, "largest_pore_in")
    return accept(radiography.cluster_porosity(found, pore, SIZES))


def hollow_bead(entry: Inputs) -> Reply:
    """The pair of an entry is laid out along the weld as it says, and the film judged whole."""
    weld = mm(entry["weld_length_in"])
    if entry.get("two_indications_over_quarter_inch"):
        length, apart = mm(entry["longest_in"]), mm(entry["separation_in"])
        pair = [
            Indication(kind="HB", start_mm=start, length_mm=length)
            for start in (0.0, length + apart)
        ]
        return film(pair, Pipe(papers.od_of_weld_length_mm(weld), mm(0.5)))
    return accept(radiography.hollow_bead(extent(entry, *USUAL), 0, weld, SIZES))


def crack(entry: Inputs) -> Reply:
    crater = entry["kind"] == "shallow_crater"
    length = Measure.exact(mm(entry["length_in"]))
    return accept(radiography.crack(crater, length, SIZES, NONCONFORMITY))


def film_undercut(entry: Inputs) -> Reply:
    names = ("longest_in", "eu_plus_iu_in_worst_12in_in", "eu_plus_iu_total_in")
    return accept(radiography.undercut(extent(entry, *names), mm(entry["weld_length_in"]), SIZES))


def accumulation(entry: Inputs) -> Reply:
    weld = mm(entry["weld_length_in"])
    return accept(radiography.accumulation(extent(entry, *USUAL), weld, SIZES))


def undercut(entry: Inputs) -> Reply:
    one = Indication(
        kind="EU",
        start_mm=0.0,
        length_mm=mm(entry["length_in_worst_12in_in"]),
        depth_mm=mm(entry["depth_in"]),
    )
    od = papers.od_of_weld_length_mm(mm(entry["weld_length_in"]))
    wall = mm(entry["wall_in"])
    return accept(api_1104_21.accept("VT", [one], od_mm=od, wall_mm=wall, choices={"units": "US"}))


def particle(entry: Inputs) -> Reply:
    if entry["evaluated_as"] == "crater_crack":
        length = Measure.exact(mm(entry["length_in"]))
        return accept(radiography.crack(True, length, SIZES, NONCONFORMITY))
    found = extent(entry, "longest_in", "if_in_worst_12in_in", "if_total_in")
    return accept(surface.surface_fusion(found, mm(entry["weld_length_in"]), SIZES))


def sound(rule: Callable[..., Any]) -> Callable[[Inputs], Reply]:
    def answer(entry: Inputs) -> Reply:
        return accept(rule(extent(entry, *USUAL), mm(entry["weld_length_in"]), SIZES))

    return answer


def crack_repair(entry: Inputs) -> Reply:
    case = repair.CrackRepair(
        weld_mm=mm(entry["weld_length_in"]),
        crack_mm=mm(entry["crack_length_in"]),
        company_authorized=entry["company_authorized"],
        second_crack=entry.get("second_crack_after_repair", False),
    )
    return permit(repair.crack_repair(case))


def limits(entry: Inputs) -> Reply:
    length, eight, sixth = (
        convert(part, "mm", "in") for part in papers.shares_of_weld_mm(mm(entry["od_in"]))
    )
    return {"weld_length_in": length, "eight_pct_in": eight, "one_sixth_in": sixth}


def crossover_wall(entry: Inputs) -> Reply:
    wall = papers.crossover_wall_mm(entry["pct_of_wall"], mm(entry["cap_in"]))
    return {"wall_in": convert(wall, "mm", "in")}


def crossover_od(entry: Inputs) -> Reply:
    od = papers.od_of_weld_length_mm(mm(entry["weld_length_in"]))
    return {"od_in": convert(od, "mm", "in")}


def high_low(entry: Inputs) -> Reply:
    clear = fit_up.high_low(mm(entry["offset_in"]), SIZES).verdict == CLEAR
    return {"verdict": f"{'within' if clear else 'beyond'}_advisory_limit"}


ADAPTERS: dict[str, Callable[[Inputs], Reply]] = {
    "vt_welder_undercut": lambda e: accept(
        surface.undercut_of_test_weld(
            mm(e["depth_in"]), mm(e["length_in_worst_12in_in"]), mm(e["wall_in"]), SIZES
        )
    ),
    "rt_ip": linear("IP"),
    "rt_ipd": linear("IPD"),
    "rt_icp": linear("ICP"),
    "rt_if": linear("IF"),
    "rt_ifd": linear("IFD"),
    "rt_ic": concavity,
    "rt_bt": burn_through,
    "rt_slag": slag,
    "esi_parallel_count": lambda e: {
        "indications": radiography.parallel_lines(
            [mm(e["line1_width_in"]), mm(e["line2_width_in"])], SIZES
        )
    },
    "rt_p": porosity,
    "rt_cp": cluster,
    "rt_hb": hollow_bead,
    "rt_crack": crack,
    "rt_eu_iu": film_undercut,
    "rt_ai": accumulation,
    "vt_undercut": undercut,
    "mt_relevant": lambda e: {
        "verdict": "relevant"
        if surface.relevant(mm(e["max_dimension_in"]), SIZES)
        else "nonrelevant"
    },
    "mt_shape": lambda e: {"verdict": surface.shape(mm(e["length_in"]), mm(e["width_in"]))},
    "mt_linear": particle,
    "rights_of_rejection": lambda e: accept(
        films.right_of_rejection(e["meets_limits"], e["company_judges_depth_harmful"])
    ),
    "crack_repair_api": crack_repair,
    "repair_by_grinding": lambda e: permit(repair.grinding_repair(e["repair"] != "grinding_only")),
    "film_density": lambda e: accept(films.film_density(e["density_hd"])),
    "rt_iqi_wire": lambda e: {
        "essential_wire_in": convert(films.essential_wire_mm(mm(e["thickness_in"])), "mm", "in")
    },
    "vision": lambda e: permit(
        films.vision(e["months_since_near_vision_test"], e["months_since_color_test"])
    ),
    "high_low": high_low,
    "crown_height": lambda e: accept(surface.crown_height(mm(e["height_in"]), SIZES)),
    "external_clamp": lambda e: permit(
        fit_up.external_clamp(e["root_bead_pct_of_circumference"], e["segments_equally_spaced"])
    ),
    "internal_clamp": lambda e: permit(fit_up.internal_clamp(e["root_bead_pct_of_circumference"])),
    "imperfection_symbols": lambda _: {
        "symbols": list(radiography.SYMBOLS),
        "count": len(radiography.SYMBOLS),
    },
    "ut_ls": sound(ultrasonic.linear_surface),
    "ut_lb": sound(ultrasonic.linear_buried),
    "ut_vc": lambda e: accept(ultrasonic.volumetric_cluster(measure(e, "max_dimension_in"), SIZES)),
    "ut_vi": lambda e: accept(
        ultrasonic.volumetric_individual(measure(e, "length_in"), measure(e, "width_in"), SIZES)
    ),
    "ut_vr": lambda e: accept(
        ultrasonic.volumetric_root(
            extent(e, "max_dimension_in", "total_in_worst_12in_in", "total_in_worst_12in_in"),
            SIZES,
        )
    ),
    "limits_by_od": limits,
    "crossover_wall": crossover_wall,
    "crossover_od": crossover_od,
}
