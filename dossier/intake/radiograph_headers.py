"""Headers of digital radiographs (DICONDE, DICOM) that the register of documents names.

DICONDE (ASTM E2339) keeps what a radiograph shows in the elements of DICOM: the component stands
where a patient would, its material thickness in (0014,0030); known from memory. The reader stops
before the image, opens the file for reading only and writes nothing.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterable
from contextlib import suppress
from datetime import date
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from dossier.errors import InputError
from dossier.intake.paths import confined
from dossier.records.papers import Document
from dossier.records.radiographs import Radiograph

ENDINGS = (".dcm", ".dic")
_DATES = ("AcquisitionDate", "ContentDate", "SeriesDate", "StudyDate")  # nearest to exposure first
_HEADER_MAX = 16_384  # bytes of one element; longer ones are left in the file


def radiographs(folder: Path, documents: Iterable[Document]) -> tuple[Radiograph, ...]:
    """The headers of all files of the register of documents that are digital radiographs.

    A file without a readable header gives an entry that says why; so does every file where the
    library that reads them is not installed.
    """
    return tuple(
        header(folder, document)
        for document in documents
        if document.file.lower().endswith(ENDINGS)
    )


def header(folder: Path, document: Document) -> Radiograph:
    """The header of the file of one document."""

    def without(why: str) -> Radiograph:
        return Radiograph(
            document=document.number, file=document.file, origin=document.origin, unreadable=why
        )

    try:
        path = confined(folder, document.file)
    except InputError as error:
        return without(str(error))
    if not path.is_file():
        return without("no such file")
    if find_spec("pydicom") is None:
        return without('the extra "dicom" that reads such files is not installed')
    return _read(path, document) or without("no DICOM header")


def _read(path: Path, document: Document) -> Radiograph | None:
    pydicom = import_module("pydicom")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of entries that keep no rule of the standard
            held = pydicom.dcmread(path, stop_before_pixels=True, defer_size=_HEADER_MAX)
            return Radiograph(
                document=document.number,
                file=document.file,
                origin=document.origin,
                component=_text(held, "PatientName"),
                component_id=_text(held, "PatientID"),
                exposed_on=_day(held),
                wall_mm=_wall(held),
            )
    except Exception:  # noqa: BLE001 - a damaged file makes this library raise errors of any type
        return None


def _text(held: Any, name: str) -> str:
    return " ".join(str(held.get(name, "") or "").replace("^", " ").split())


def _day(held: Any) -> date | None:
    for name in _DATES:
        text = _text(held, name)
        if re.fullmatch("[0-9]{8}", text):
            with suppress(ValueError):  # no such day
                return date(int(text[:4]), int(text[4:6]), int(text[6:]))
    return None


def _wall(held: Any) -> float | None:
    value = held.get("MaterialThickness")
    if value is None or value == "":
        return None
    values = value if isinstance(value, list | tuple) or hasattr(value, "append") else [value]
    return float(min(float(part) for part in values))  # of a step the thinner side
