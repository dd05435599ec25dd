"""What the header of a digital radiograph says of itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from dossier.records.position import Position


@dataclass(frozen=True, slots=True, kw_only=True)
class Radiograph:
    """The header of one DICOM or DICONDE file that the register of documents names.

    Blank entries are "" or None. The image itself is never read and never altered.
    """

    document: str
    file: str
    origin: Position  # of the document's record
    component: str = ""  # name of the component, (0010,0010) in DICONDE
    component_id: str = ""  # its identification, (0010,0020)
    exposed_on: date | None = None
    wall_mm: float | None = None  # material thickness, (0014,0030)
    unreadable: str = ""  # why there is no header to read
