"""49 CFR 192.227(c), 192.517: records of welders and pressure tests, and how long they are kept."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from dossier.errors import InputError
from dossier.records.verdicts import Basis

WELDER_RECORDS = Basis("49 CFR 192", "2019", "192.227(c)", "memory")
TEST_RECORDS = Basis("49 CFR 192", "2024", "192.517(a)", "read")

_SINCE = date(2021, 7, 1)  # installed after this day

TEST_RECORD_FIELDS = (
    "operator, responsible employee and test company",
    "test medium",
    "test pressure",
    "test duration",
    "pressure charts or other readings",
    "elevation variations where significant",
    "leaks and failures and their disposition",
)
_FOR_LIFE = ("192.505", "192.506", "192.507")
_FIVE_YEARS = ("192.509", "192.511", "192.513")


def welder_record_years(line: str, installed: date) -> int:
    """Least years after construction for which each welder's qualification record is kept.

    Steel transmission lines installed after 1 July 2021: five; others: 0, the rule names none.

    Source: 49 CFR 192.227(c) (memory).

    >>> welder_record_years("steel_gas_transmission", date(2021, 7, 2))
    5
    """
    return 5 if line == "steel_gas_transmission" and installed > _SINCE else 0


def retention_of_test_record(section: str) -> str:
    """How long the record of a test under a section is kept.

    Source: 49 CFR 192.517 (read). Raises InputError: a section not named there.

    >>> retention_of_test_record("192.505"), retention_of_test_record("192.509")
    ('useful_life_of_pipeline', 'at least 5 years')
    """
    if section in _FOR_LIFE:
        return "useful_life_of_pipeline"
    if section in _FIVE_YEARS:
        return "at least 5 years"
    raise InputError("section", found=section, expected=", ".join((*_FOR_LIFE, *_FIVE_YEARS)))


def missing_of_test_record(stated: Iterable[str]) -> tuple[str, ...]:
    """Fields of a pressure test record that are not stated.

    Source: 49 CFR 192.517(a) (read).

    >>> missing_of_test_record(TEST_RECORD_FIELDS[1:])
    ('operator, responsible employee and test company',)
    """
    have = set(stated)
    return tuple(field for field in TEST_RECORD_FIELDS if field not in have)
