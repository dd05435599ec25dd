"""Outside its limits an American rule refuses, naming the argument and the limit."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest

from dossier.codes import (
    api_1104_21,
    cfr_192_examination,
    cfr_192_joints,
    cfr_192_records,
    cfr_192_repair,
    cfr_192_test,
    cfr_192_welders,
    cfr_195_construction,
    cfr_195_test,
    practice,
)
from dossier.codes.api_1104_21 import (
    films,
    papers,
    procedures,
    radiography,
    repair,
    settings,
    specimens,
    surface,
    welders,
)
from dossier.codes.api_1104_21.extent import Extent, Measure
from dossier.codes.api_1104_21.settings import US
from dossier.errors import InputError
from dossier.records.procedures import Span


def extent_of(longest: float, window: float, total: float) -> Extent:
    return Extent(*(Measure.exact(length) for length in (longest, window, total)))


TEST_DAY = date(2025, 2, 3)


REFUSED: tuple[Callable[[], object], ...] = (
    lambda: welders.od_group(0),
    lambda: welders.wall_group(-1),
    lambda: welders.wall_group(0),
    lambda: procedures.smys_group(0),
    lambda: procedures.travel_speed(300, Span(low=200)),
    lambda: procedures.travel_speed(300, Span(high=200)),
    lambda: specimens.procedure_specimens(0, 5, 360),
    lambda: specimens.procedure_specimens(114, 0, 360),
    lambda: specimens.procedure_specimens(114, 5, 0),
    lambda: specimens.welder_specimens(0, 5),
    lambda: specimens.nick_break(specimens.NickBreak(), 0, US),
    lambda: specimens.bend(1, 0, US),
    lambda: surface.undercut_bands(0, US),
    lambda: surface.shape(1, 0),
    lambda: radiography.parallel_lines([], US),
    lambda: radiography.linear("EU", extent_of(1, 1, 1), 1000, US),
    lambda: settings.weld_length_mm(0),
    lambda: settings.choose({"units": "cubits"}, "units"),
    lambda: films.essential_wire_mm(0),
    lambda: films.essential_wire_mm(50.9),
    lambda: papers.crossover_wall_mm(0, 1),
    lambda: papers.od_of_weld_length_mm(0),
    lambda: repair.crack_repair(repair.CrackRepair(weld_mm=0, crack_mm=1, company_authorized=True)),
    lambda: api_1104_21.accept("ET", [], od_mm=300, wall_mm=9, choices={}),
    lambda: api_1104_21.accept("RT", [], od_mm=0, wall_mm=9, choices={}),
    lambda: api_1104_21.accept("RT", [], od_mm=300, wall_mm=0, choices={}),
    lambda: cfr_192_welders.qualification_for_stress("API 1104 section 99", 10),
    lambda: cfr_192_welders.credit_for_joint(0),
    lambda: cfr_192_welders.appendix_c_bend([0, 0, 0]),
    lambda: cfr_192_joints.miter(-1, 3),
    lambda: cfr_192_examination.least_tests("class 9", 3),
    lambda: cfr_192_examination.least_tests("class 1", -1),
    lambda: cfr_192_examination.least_tests("class 1", 3, 4),
    lambda: cfr_192_repair.crack_removal(0, 1),
    lambda: cfr_192_test.greatest_hoop_stress_percent("water", 1),
    lambda: cfr_192_test.greatest_hoop_stress_percent("natural_gas", 5),
    lambda: cfr_192_test.least_hours(29, 99),
    lambda: cfr_192_test.near_building(0, 1, 1),
    lambda: cfr_192_test.factor_of_test(0, TEST_DAY),
    lambda: cfr_192_test.maop_by_test_kpa(0, 1, TEST_DAY),
    lambda: cfr_192_records.retention_of_test_record("192.999"),
    lambda: cfr_195_construction.arc_burn(1, 0),
    lambda: cfr_195_construction.least_tests_of_welder(-1),
    lambda: cfr_195_construction.least_tests_of_all(-1),
    lambda: cfr_195_construction.listed_place(1, -1, 0),
    lambda: cfr_195_test.liquid_test(0, visually_inspected=True),
    lambda: practice.bead_delay(1, Span(low=1)),
    lambda: practice.root_gap(1, Span(low=1)),
    lambda: practice.root_gap(1, Span(high=1)),
    lambda: practice.repair_rate_percent(0, 0),
    lambda: practice.repair_rate_percent(3, 4),
    lambda: practice.repair_rate_percent(3, -1),
)


@pytest.mark.parametrize("ask", REFUSED)
def test_outside_its_limits_a_rule_refuses(ask: Callable[[], object]) -> None:
    with pytest.raises(InputError, match=r"found .*, expected .+"):
        ask()
