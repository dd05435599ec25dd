"""The rules of this edition that are carried out, and what is not."""

from __future__ import annotations

from collections.abc import Sequence

from dossier.codes.face import Rule

_HERE = "dossier.codes.api_1104_21"

# title, clause, how it is known, function
_TABLE = (
    ("Single qualification: groups of diameter", "6.2.2 d)", "read", "welders.od_group"),
    ("Single qualification: groups of wall", "6.2.2 e)", "read", "welders.wall_group"),
    ("Multiple qualification: the test", "6.3.1", "read", "welders.multiple_test"),
    ("Multiple qualification: the range", "6.3.2", "read", "welders.multiple_diameters"),
    ("Welder: filler groups", "6.2.2 c), 6.3.2 c)", "memory", "fillers.welder_filler_groups"),
    ("Welder: range of a test", "6.2.2, 6.3.2", "read", "welders.qualified_range"),
    ("Welder: a weld against a test", "6.2.2, 6.3.2", "read", "welders.covers"),
    ("Welder: time in force", "6.8", "secondary", "validity.valid_on"),
    ("Filler groups", "Table 1", "memory", "fillers.filler_group"),
    ("Procedure: groups of yield strength", "5.4.2.2", "read", "procedures.smys_group"),
    ("Procedure: range of a test", "5.4.2", "secondary", "procedures.procedure_range"),
    ("Procedure: a WPS against its tests", "5.4.2", "secondary", "procedures.supports"),
    ("Inadequate penetration, incomplete fusion", "9.3.1 to 9.3.5", "read", "radiography.linear"),
    ("Internal concavity", "9.3.6", "secondary", "radiography.concavity"),
    ("Burn-through", "9.3.7", "secondary", "radiography.burn_through"),
    ("Elongated slag", "9.3.8", "memory", "radiography.elongated_slag"),
    ("Isolated slag", "9.3.8", "secondary", "radiography.isolated_slag"),
    ("Slag, share of the weld", "9.3.8", "read", "radiography.slag_share"),
    ("Parallel slag lines", "9.3.8.3, note", "read", "radiography.parallel_lines"),
    ("Porosity", "9.3.9.2", "read", "radiography.porosity"),
    ("Cluster porosity", "9.3.9.3", "secondary", "radiography.cluster_porosity"),
    ("Hollow bead", "9.3.9.4", "memory", "radiography.hollow_bead"),
    ("Cracks", "9.3.10", "secondary", "radiography.crack"),
    ("Undercut on the film", "9.3.11", "read", "radiography.undercut"),
    ("Accumulation of imperfections", "9.3.12", "read", "radiography.accumulation"),
    ("Magnetic particle, penetrant: relevance", "9.4.1.2", "read", "surface.relevant"),
    ("Magnetic particle, penetrant: shape", "9.4.1.3", "read", "surface.shape"),
    ("Magnetic particle, penetrant: fusion", "9.4.2", "read", "surface.surface_fusion"),
    ("Ultrasonic: linear, surface", "9.6.2.2", "memory", "ultrasonic.linear_surface"),
    ("Ultrasonic: linear, buried", "9.6.2.3", "memory", "ultrasonic.linear_buried"),
    ("Ultrasonic: cluster", "9.6.2.5", "memory", "ultrasonic.volumetric_cluster"),
    ("Ultrasonic: individual", "9.6.2.6", "memory", "ultrasonic.volumetric_individual"),
    ("Ultrasonic: root", "9.6.2.7", "memory", "ultrasonic.volumetric_root"),
    ("Undercut by depth", "9.7.2, Table 4", "secondary", "surface.undercut_depth"),
    ("Undercut of middle depth", "9.7.2, Table 4", "secondary", "surface.undercut_length"),
    ("Acceptance of a weld", "9.3 to 9.7", "read", "accept.accept"),
    ("Specimens of a procedure test", "Table 2", "read", "specimens.procedure_specimens"),
    ("Specimens of a welder's test", "Table 3", "read", "specimens.welder_specimens"),
    ("Tensile test", "5.6.2.3", "read", "specimens.tensile"),
    ("Nick-break test", "5.6.3.3", "read", "specimens.nick_break"),
    ("Bend test", "5.6.4.3", "secondary", "specimens.bend"),
    ("Undercut of a welder's test weld", "6.4", "read", "surface.undercut_of_test_weld"),
    ("Records of welder tests", "6.8", "memory", "papers.welder_records"),
    ("Alignment", "7.2", "secondary", "fit_up.high_low"),
    ("External line-up clamp", "7.3", "memory", "fit_up.external_clamp"),
    ("Height of the crown", "7.8.2", "memory", "surface.crown_height"),
    ("Eyesight of interpreters", "8.4.3", "read", "films.vision"),
    ("Right of rejection", "9.2", "read", "films.right_of_rejection"),
    ("Repair of a crack", "10.1, 10.2", "secondary", "repair.crack_repair"),
    ("Repair without heat", "10.2", "secondary", "repair.grinding_repair"),
    ("Film density", "11.1", "memory", "films.film_density"),
    ("Wire image quality indicator", "11.1", "memory", "films.essential_wire_mm"),
    ("Speed of travel of a weld", "5.4.2.12", "secondary", "procedures.travel_speed"),
)  # fmt: skip
RULES: Sequence[Rule] = tuple(
    Rule(title, clause, known, f"{_HERE}.{name}") for title, clause, known, name in _TABLE
)

NOT_COVERED: Sequence[str] = (
    "Automatic welding without and with filler additions (sections 12 and 13)",
    "Fracture-mechanics acceptance of girth welds (Annex A)",
    "In-service welding (Annex B)",
    "Fillet weld and branch procedure tests: specimen counts (5.7, 5.8)",
    "Bevel of a welder's single qualification test: a change from V to U is not recorded there",
    "Cluster porosity in the finish pass (judged as porosity, 9.3.9.2): record it as P",
    "The porosity charts (Figures 19 and 20): a comparison by eye, recorded by the interpreter",
    "Flow rate of the gas of a WPS against its test: a range stated, not tested",
    "The 22nd edition: none of its changes is known well enough to be claimed",
)
