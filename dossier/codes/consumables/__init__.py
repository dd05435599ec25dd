"""Welding consumables: classifications read into parts, and the filler group they belong to."""

from __future__ import annotations

from dossier.codes.consumables.aws import read_aws
from dossier.codes.consumables.filler import Filler
from dossier.codes.consumables.iso import read_iso
from dossier.errors import InputError


def read_filler(designation: str) -> Filler:
    """The parts of a filler classification, of ISO (system A) or AWS.

    Source: see `read_iso` and `read_aws`. Raises InputError: no classification that is known.

    >>> read_filler("E7018-1").covering, read_filler("ISO 2560-A - E 46 3 1Ni B 54 H5").covering
    ('basic', 'basic')
    """
    found = read_iso(designation) or read_aws(designation)
    if found is None:
        raise InputError(
            "designation",
            found=repr(designation),
            expected="a classification of ISO (system A) or AWS A5",
        )
    return found


__all__ = ["Filler", "read_aws", "read_filler", "read_iso"]
