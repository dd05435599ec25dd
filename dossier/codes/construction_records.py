"""What a construction record must contain, and how long it is kept."""

from __future__ import annotations

from collections.abc import Collection
from types import MappingProxyType
from typing import NamedTuple

from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, HOLD, Basis, Reason
from dossier.units import counted


class RecordSet(NamedTuple):
    """The items that one kind of record must contain."""

    items: tuple[str, ...]
    basis: Basis


class Retention(NamedTuple):
    """How long one kind of record is kept."""

    period: str
    basis: Basis


# The items are our own field names, one for each thing that the source asks for.
RECORD_SETS = MappingProxyType(
    {
        "195_266": RecordSet(
            (
                "girth_welds_total",
                "girth_welds_tested",
                "girth_welds_rejected_and_disposition",
                "pipe_amount_location_cover_by_size",
                "pipeline_crossings",
                "buried_utility_crossings",
                "overhead_crossings",
                "valves",
                "corrosion_test_stations",
            ),
            Basis("49 CFR 195", "2026", "195.266", known="read"),
        ),
        # Elevations are needed only where they matter for the test pressure.
        "192_517": RecordSet(
            (
                "operator_and_responsible_name",
                "test_company",
                "test_medium",
                "test_pressure",
                "test_duration",
                "pressure_readings",
                "elevation_variations",
                "leaks_and_failures",
            ),
            Basis("49 CFR 192", "", "192.517(a)", known="read"),
        ),
        "rt_report": RecordSet(
            (
                "job_id",
                "marker_placement",
                "number_of_exposures",
                "source_or_kv",
                "source_size",
                "material_thickness_reinforcement",
                "source_to_object",
                "source_side_to_film",
                "film_make_type",
                "films_per_cassette",
                "wall_exposure",
                "wall_viewing",
                "iqi_type_and_required",
                "procedure_and_results",
                "date",
                "examiner_and_level",
            ),
            Basis("ASME BPVC Section V", "2007", "Article 2, T-291, T-292", known="read"),
        ),
        "ped_final": RecordSet(
            (
                "ndt_personnel_qualification",
                "welder_qualification",
                "material_and_consumable_documents",
                "traceability_procedure",
                "ndt_reports_and_films",
                "destructive_test_reports",
                "heat_treatment_data",
                "part_preparation_data",
                "procedure_qualification",
                "deviation_reports",
            ),
            Basis("Directive 2014/68/EU", "2014", "Annex I, 3.1, 3.2.1", known="secondary"),
        ),
    }
)

RETENTION = MappingProxyType(
    {
        "girth_weld_construction_record": Retention(
            "life_of_facility", Basis("49 CFR 195", "2026", "195.266", known="read")
        ),
        "transmission_pressure_test_record": Retention(
            "useful_life_of_pipeline", Basis("49 CFR 192", "", "192.517(a)", known="read")
        ),
        "low_pressure_test_record": Retention(
            "5_years", Basis("49 CFR 192", "", "192.517(b)", known="read")
        ),
        # One classification society asks this; the contract may ask more.
        "submarine_pipeline_radiographs": Retention(
            "2_years_after_start_up",
            Basis("submarine pipeline rules of a classification society", "", "", known="read"),
        ),
        "b313_procedures_and_personnel": Retention(
            "5_years", Basis("ASME B31.3", "", "346.3", known="memory")
        ),
    }
)


def missing_items(record_set: str, present: Collection[str]) -> list[str]:
    """The items that a record lacks, in the order of its list.

    `record_set` is a key of RECORD_SETS; an item outside the list is nobody's harm.

    Source: the basis of the record set. Raises InputError for an unknown one.

    >>> missing_items("195_266", RECORD_SETS["195_266"].items[1:])
    ['girth_welds_total']
    """
    if record_set not in RECORD_SETS:
        raise InputError("record_set", found=record_set, expected=f"one of {list(RECORD_SETS)}")
    return [item for item in RECORD_SETS[record_set].items if item not in present]


def completeness(record_set: str, present: Collection[str]) -> Reason:
    """The reason for the items that a record has; a lack is a hold, since paper may cure it.

    Source: the basis of the record set. Raises InputError for an unknown one.

    >>> completeness("192_517", []).found.startswith("missing: operator and responsible name")
    True
    """
    missing = missing_items(record_set, present)
    items, basis = RECORD_SETS[record_set]
    found = f"missing: {', '.join(missing)}".replace("_", " ") if missing else "all there"
    return Reason("record", found, counted(len(items), "item"), basis, HOLD if missing else CLEAR)


def retention(record: str) -> Retention:
    """How long one kind of record is kept, with the rule that asks for it.

    Source: the basis that is returned. Raises InputError for a record without a rule here.

    >>> retention("girth_weld_construction_record").period
    'life_of_facility'
    """
    if record not in RETENTION:
        raise InputError("record", found=record, expected=f"one of {', '.join(RETENTION)}")
    return RETENTION[record]
