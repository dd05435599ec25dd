"""11: the designation of a welder qualification, read and written.

Order: standard, process, product, weld type, filler group, filler type, dimensions, position,
details, as in "ISO 9606-1 141 T BW FM3 S s3.6 D60.3 PH ss nb". Two processes in one piece are
written with a stroke and their deposits in brackets: "141/111 T BW FM1 S/B s15(4/11) D168.3
H-L045 ss nb" (the bracket from memory). Transfer mode, gas and backing gas stand elsewhere on the
certificate.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from dossier.codes.consumables.filler import covering_symbol, covering_word
from dossier.codes.iso_6947 import POSITIONS
from dossier.codes.iso_6947 import position as iso_position
from dossier.codes.iso_9606_1_2012.detail import layer_word, weld_detail
from dossier.codes.iso_9606_1_2012.filler import covering_of, group_of
from dossier.errors import InputError
from dossier.records.welders import Certificate, Deposit

_T = TypeVar("_T")
_NUMBER = r"\d+(?:[.,]\d+)?"
_FORM = re.compile(
    r"^(?:(?:DIN |BS |NF )?EN )?ISO ?9606-1(?::?\d{4})?"
    r" (?P<processes>\d{2,3}(?:/\d{2,3})*)"
    r" (?P<product>[PT]) (?P<weld>BW|FW)"
    r" (?P<fm>FM[1-6](?:/FM[1-6])*)"
    r"(?: (?P<types>(?:RA|RB|RC|RR|nm|[ABCRSMPVWYZ])(?:/(?:RA|RB|RC|RR|nm|[ABCRSMPVWYZ]))*))?"
    rf"(?: [st](?P<mm>{_NUMBER})(?:\((?P<parts>{_NUMBER}(?:/{_NUMBER})*)\))?)?"
    rf"(?: D(?P<od>{_NUMBER}))?"
    r" (?P<positions>[A-Z][A-Z0-9-]+(?:/[A-Z][A-Z0-9-]+)*)"
    r"(?P<details>(?: (?:ss|bs|nb|mb|gb|fb|ci|sl|ml|lw|rw))*)$"
)
_BACKING = {"nb": "none", "mb": "material", "gb": "gas", "fb": "flux", "ci": "consumable insert"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Designation:
    """The designation of a qualification in parts."""

    processes: tuple[str, ...]
    product: str  # "P" plate, "T" pipe
    weld: str  # "BW" butt, "FW" fillet
    filler_groups: tuple[str, ...]
    filler_types: tuple[str, ...] = ()
    thickness_mm: float | None = None  # deposited (butt) or of the material (fillet)
    deposits_mm: tuple[float, ...] = ()
    od_mm: float | None = None
    positions: tuple[str, ...] = ()
    details: tuple[str, ...] = ()  # "ss nb", "bs", "ml", ...
    standard: str = "ISO 9606-1"

    def __str__(self) -> str:
        thickness = ""
        if self.thickness_mm is not None:
            letter = "s" if self.weld == "BW" else "t"
            parts = "/".join(f"{mm:g}" for mm in self.deposits_mm)
            thickness = f"{letter}{self.thickness_mm:g}" + (f"({parts})" if parts else "")
        words = (
            self.standard,
            "/".join(self.processes),
            self.product,
            self.weld,
            "/".join(self.filler_groups),
            "/".join(self.filler_types),
            thickness,
            f"D{self.od_mm:g}" if self.od_mm is not None else "",
            "/".join(self.positions),
            *self.details,
        )
        return " ".join(word for word in words if word)


def _float(text: str) -> float:
    return float(text.replace(",", "."))


def _split(text: str | None) -> tuple[str, ...]:
    return tuple(text.split("/")) if text else ()


def _details(text: str) -> tuple[str, ...]:
    """ "ss nb ml" as ("ss nb", "ml"): the side and the backing belong together."""
    return tuple(re.findall(r"ss (?:nb|mb|gb|fb)|[a-z]{2}", text))


def read_designation(text: str) -> Designation:
    """The designation in parts. Decimal commas are read.

    Source: ISO 9606-1:2012, 11 (secondary). Raises InputError: another form, an unknown position.

    >>> found = read_designation("ISO 9606-1 111 T BW FM1 B s7.1 D168.3 H-L045 ss nb")
    >>> found.thickness_mm, found.od_mm, found.positions, found.details
    (7.1, 168.3, ('H-L045',), ('ss nb',))
    >>> str(found)
    'ISO 9606-1 111 T BW FM1 B s7.1 D168.3 H-L045 ss nb'
    """
    match = _FORM.match(" ".join(text.split()))
    if not match:
        raise InputError("designation", found=repr(text), expected="a designation of ISO 9606-1")
    positions = _split(match["positions"])
    if unknown := [one for one in positions if one not in POSITIONS]:
        raise InputError("position", found=unknown[0], expected="a position of ISO 6947")
    return Designation(
        processes=_split(match["processes"]),
        product=match["product"],
        weld=match["weld"],
        filler_groups=_split(match["fm"]),
        filler_types=_split(match["types"]),
        thickness_mm=_float(match["mm"]) if match["mm"] else None,
        deposits_mm=tuple(_float(part) for part in _split(match["parts"])),
        od_mm=_float(match["od"]) if match["od"] else None,
        positions=positions,
        details=_details(match["details"]),
    )


def certificate_of(
    found: Designation,
    number: str,
    welded_on: date,
    transfers: Sequence[str] = (),
    layers: Sequence[int | None] = (),
) -> Certificate:
    """The certificate that a designation describes, with what stands beside it.

    `transfers` and `layers` go process by process. The first process holds the root.

    >>> text = "ISO 9606-1 141/111 T BW FM1 S/B s15(4/11) D168.3 PH ss nb"
    >>> [part.deposit_mm for part in certificate_of(read_designation(text), "Q1",
    ...                                             date(2024, 5, 2)).deposits]
    [4.0, 11.0]
    """
    butt = found.weld == "BW"
    sides = "both" if "bs" in found.details else "single"
    backing = next((_BACKING[one[-2:]] for one in found.details if one[-2:] in _BACKING), "none")
    several = len(found.processes) > 1
    stated = 1 if "sl" in found.details else 2 if "ml" in found.details else None
    deposits = tuple(
        Deposit(
            process=process,
            deposit_mm=_pick(found.deposits_mm, i) if several else found.thickness_mm,
            filler_group=_pick(found.filler_groups, i) or found.filler_groups[-1],
            covering=covering_word(_pick(found.filler_types, i) or "", process),
            transfer=_pick(transfers, i) or "",
            backing=backing if i == 0 else "weld metal",
            layers=_pick(layers, i) or stated,
            root=i == 0 if butt else None,
        )
        for i, process in enumerate(found.processes)
    )
    return Certificate(
        number=number,
        code="ISO 9606-1:2012",
        welded_on=welded_on,
        product="pipe" if found.product == "T" else "plate",
        weld_type="butt" if butt else "fillet",
        positions=found.positions,
        wall_mm=found.thickness_mm,
        od_mm=found.od_mm,
        sides=sides,
        deposits=deposits,
    )


def _pick(values: Sequence[_T], index: int) -> _T | None:
    return values[index] if index < len(values) else None


def designation_of(certificate: Certificate) -> Designation:
    """The designation of a certificate's test.

    Raises InputError: a part that the designation cannot do without is not recorded.

    >>> text = "ISO 9606-1 141/111 T BW FM1 S/B s15(4/11) D168.3 PH ss nb"
    >>> str(designation_of(certificate_of(read_designation(text), "Q1", date(2024, 5, 2)))) == text
    True
    """
    parts = certificate.deposits
    butt = certificate.weld_type == "butt"
    if not parts or not certificate.positions or certificate.weld_type not in ("butt", "fillet"):
        raise InputError("certificate", found=certificate.number, expected="deposits, position and "
                         "weld type butt or fillet")  # fmt: skip
    groups = [group_of(part.filler_group, part.filler) or "" for part in parts]
    types = [
        covering_symbol(covering_of(part.covering, part.filler, part.process) or "", part.process)
        for part in parts
    ]
    deposits = [part.deposit_mm for part in parts if part.deposit_mm is not None]
    several = len(parts) > 1 and len(deposits) == len(parts)
    total = sum(deposits) if butt and len(deposits) == len(parts) else certificate.wall_mm
    return Designation(
        processes=tuple(part.process for part in parts),
        product="T" if certificate.product == "pipe" else "P",
        weld="BW" if butt else "FW",
        filler_groups=tuple(dict.fromkeys(groups)),
        filler_types=tuple(types) if all(types) else (),
        thickness_mm=None if total is None else round(total, 6),
        deposits_mm=tuple(deposits) if several else (),
        od_mm=certificate.od_mm if certificate.product == "pipe" else None,
        positions=tuple(
            iso_position(text, certificate.direction) or text for text in certificate.positions
        ),
        details=_detail_words(certificate),
    )


def _detail_words(certificate: Certificate) -> tuple[str, ...]:
    first = certificate.deposits[0]
    if certificate.weld_type == "fillet":
        layers = layer_word(first.layers)
        return ({"single": "sl", "multi": "ml"}[layers],) if layers else ()
    detail = weld_detail(certificate.sides, first.backing, first.root)
    return (detail,) if detail else ()
