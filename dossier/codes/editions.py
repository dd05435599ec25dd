"""Which module answers for an edition. An edition is a value, such as "ISO 9606-1:2012"."""

from __future__ import annotations

from importlib import import_module
from typing import cast

from dossier.codes.face import AcceptanceCode, ProcedureCode, WelderCode
from dossier.errors import InputError

# Modules are named, not imported: a project loads only the editions that it uses.
WELDER_CODES = {
    "API 1104:20th": "dossier.codes.api_1104_20",
    "API 1104:21st": "dossier.codes.api_1104_21",
    "ASME IX:2017": "dossier.codes.asme_ix.edition_2017",
    "ASME IX:2019": "dossier.codes.asme_ix.edition_2019",
    "ASME IX:2021": "dossier.codes.asme_ix.edition_2021",
    "ASME IX:2023": "dossier.codes.asme_ix.edition_2023",
    "ISO 9606-1:2012": "dossier.codes.iso_9606_1_2012",
}
PROCEDURE_CODES = {
    "API 1104:20th": "dossier.codes.api_1104_20",
    "API 1104:21st": "dossier.codes.api_1104_21",
    "ASME IX:2017": "dossier.codes.asme_ix.edition_2017",
    "ASME IX:2019": "dossier.codes.asme_ix.edition_2019",
    "ASME IX:2021": "dossier.codes.asme_ix.edition_2021",
    "ASME IX:2023": "dossier.codes.asme_ix.edition_2023",
    "ISO 15614-1:2017": "dossier.codes.iso_15614_1_2017",
    "ISO 15614-1:2004": "dossier.codes.iso_15614_1_2004",
}
ACCEPTANCE_CODES: dict[str, str] = {
    "API 1104:20th": "dossier.codes.api_1104_20",
    "API 1104:21st": "dossier.codes.api_1104_21",
    "ISO 10675-1:2016 1": "dossier.codes.iso_10675_1_2016.level_1",
    "ISO 10675-1:2016 2": "dossier.codes.iso_10675_1_2016.level_2",
    "ISO 10675-1:2016 3": "dossier.codes.iso_10675_1_2016.level_3",
    "ISO 5817:2014 B": "dossier.codes.iso_5817_2014.level_b",
    "ISO 5817:2014 C": "dossier.codes.iso_5817_2014.level_c",
    "ISO 5817:2014 D": "dossier.codes.iso_5817_2014.level_d",
    "ASME B31.3:2018": "dossier.codes.asme_b31_3",
}


def _module(edition: str, known: dict[str, str], asked: str) -> object:
    if edition not in known:
        raise InputError(asked, found=repr(edition), expected=", ".join(known) or "none is known")
    return import_module(known[edition])


def welder_code(edition: str) -> WelderCode:
    """The module that answers for a welder code. Raises InputError: unknown edition.

    >>> welder_code("ISO 9606-1:2012").EDITION
    'ISO 9606-1:2012'
    """
    return cast(WelderCode, _module(edition, WELDER_CODES, "welder code"))


def procedure_code(edition: str) -> ProcedureCode:
    """The module that answers for a procedure code. Raises InputError: unknown edition.

    >>> procedure_code("ISO 15614-1:2017").EDITION
    'ISO 15614-1:2017'
    """
    return cast(ProcedureCode, _module(edition, PROCEDURE_CODES, "procedure code"))


def acceptance_code(edition: str) -> AcceptanceCode:
    """The module that answers for acceptance criteria. Raises InputError: unknown edition.

    >>> acceptance_code("ISO 5817:2014 C").EDITION
    'ISO 5817:2014 C'
    """
    return cast(AcceptanceCode, _module(edition, ACCEPTANCE_CODES, "acceptance code"))
