"""What one deposit of a test qualifies, variable by variable."""

from __future__ import annotations

from dossier.codes.face import Choices
from dossier.codes.iso_6947 import position_or_blank
from dossier.codes.iso_9606_1_2012 import detail, dimensions, filler, position, process
from dossier.codes.iso_9606_1_2012.basis import CHOICES
from dossier.codes.readings import reading
from dossier.errors import InputError
from dossier.records.verdicts import Choice, Qualified, Range
from dossier.records.welders import Certificate, Deposit


def qualified_range(certificate: Certificate, deposit: Deposit, choices: Choices) -> Qualified:
    """What one deposit of a test qualifies, variable by variable, in sheet order.

    Variables of the other weld type are absent. A value that the certificate lacks gives an
    empty range that says so. The parent material does not bind (the filler group stands for it).
    Source: ISO 9606-1:2012, 5.2 to 5.9. Raises InputError: a value that the code does not know.

    >>> from datetime import date
    >>> test = Certificate(
    ...     number="Q1", code="ISO 9606-1:2012", welded_on=date(2025, 3, 3), product="pipe",
    ...     weld_type="butt", positions=("PH",), od_mm=168.3, wall_mm=7.1, sides="single",
    ...     deposits=(Deposit(process="111", filler="E7018", backing="none", layers=3, root=True),),
    ... )
    >>> found = qualified_range(test, test.deposits[0], {})
    >>> str(found["deposited thickness"]), str(found["outside diameter"])
    ('3 to 14.2 mm', 'from 84.15 mm')
    """
    fillet = certificate.weld_type == "fillet"
    found: Qualified = {
        "process": process.qualified_processes(deposit.process),
        "transfer": process.qualified_transfers(deposit.process, deposit.transfer),
        "product": _products(certificate),
        "weld type": _weld_types(certificate),
        "filler group": _groups(deposit),
    }
    found |= _coverings(certificate, deposit)
    found |= _diameters(certificate)
    if certificate.weld_type == "butt" and certificate.product == "pipe":
        found["branch angle"] = process.branch_angle_range()
    if fillet:
        found |= _fillet(certificate, deposit)
        return found
    found |= {
        "deposited thickness": deposit_range(certificate, deposit),
        "position": _butt_positions(certificate, choices),
        "weld detail": _details(certificate, deposit),
    }
    if certificate.supplementary_fillet:
        found |= _supplementary(certificate, choices)
    return found


def _products(certificate: Certificate) -> Choice:
    if not certificate.product:
        return Choice(frozenset(), process.PRODUCT, "product of the test not recorded")
    if certificate.product == "pipe" and certificate.od_mm is None:
        return Choice(frozenset(), process.PRODUCT, "diameter of the test not recorded")
    return process.qualified_products(certificate.product, certificate.od_mm)


def _weld_types(certificate: Certificate) -> Choice:
    if not certificate.weld_type:
        return Choice(frozenset(), process.WELD_TYPE, "weld type of the test not recorded")
    return process.qualified_weld_types(
        certificate.weld_type,
        certificate.product,
        supplementary_fillet=certificate.supplementary_fillet,
    )


def _groups(deposit: Deposit) -> Choice:
    group = filler.group_of(deposit.filler_group, deposit.filler)
    if group in filler.GROUPS:
        return filler.qualified_groups(group)
    # Blank, or a group of another code ("F4"): neither is a group of Table 2.
    return Choice(frozenset(), filler.GROUP, "filler group of the test not recorded")


def _coverings(certificate: Certificate, deposit: Deposit) -> Qualified:
    try:
        word = filler.covering_of(deposit.covering, deposit.filler, deposit.process)
    except InputError:  # free text of a register that names no type: it proves nothing
        word = None
    if word is None:
        return {"covering": Choice(frozenset(), filler.COVERING, "type of the test not recorded")}
    found: Qualified = {"covering": filler.qualified_coverings(word, deposit.process)}
    if detail.weld_detail(certificate.sides, deposit.backing, deposit.root) == "ss nb":
        found["covering, root without backing"] = filler.qualified_root_coverings(
            word, deposit.process
        )
    return found


def _diameters(certificate: Certificate) -> Qualified:
    if certificate.product == "plate":
        return {
            "outside diameter": process.plate_diameter_range(rotating=False),
            "outside diameter, rotating pipe": process.plate_diameter_range(rotating=True),
        }
    if certificate.od_mm is None:
        why = "diameter of the test not recorded"
        return {"outside diameter": Range.none(dimensions.DIAMETER, why)}
    return {"outside diameter": dimensions.diameter_range(certificate.od_mm)}


def deposit_mm(certificate: Certificate, deposit: Deposit) -> float | None:
    """Thickness that the deposit has: as recorded, or the wall where it is the only one, in mm.

    >>> from datetime import date
    >>> test = Certificate(
    ...     number="Q1", code="ISO 9606-1:2012", welded_on=date(2025, 3, 3), product="pipe",
    ...     weld_type="butt", positions=("PH",), od_mm=168.3, wall_mm=7.1, sides="single",
    ...     deposits=(Deposit(process="111", filler="E7018", backing="none", layers=3, root=True),),
    ... )
    >>> deposit_mm(test, test.deposits[0])
    7.1
    """
    if deposit.deposit_mm is None and len(certificate.deposits) == 1:
        return certificate.wall_mm
    return deposit.deposit_mm


def deposit_range(certificate: Certificate, deposit: Deposit) -> Range:
    """Deposited thickness that one deposit of a butt test qualifies, in mm.

    Source: ISO 9606-1:2012, 5.7, Table 6.

    >>> from datetime import date
    >>> test = Certificate(
    ...     number="Q1", code="ISO 9606-1:2012", welded_on=date(2025, 3, 3), product="pipe",
    ...     weld_type="butt", positions=("PH",), od_mm=168.3, wall_mm=7.1, sides="single",
    ...     deposits=(Deposit(process="111", filler="E7018", backing="none", layers=3, root=True),),
    ... )
    >>> str(deposit_range(test, test.deposits[0]))
    '3 to 14.2 mm'
    """
    thickness = deposit_mm(certificate, deposit)
    if thickness is None:
        return Range.none(dimensions.BUTT_DEPOSIT, "deposit of the test not recorded")
    return dimensions.butt_deposit_range(thickness, deposit.layers, deposit.process)


def joined_range(certificate: Certificate) -> Range:
    """Deposited thickness that all deposits of a butt test qualify together, in mm.

    Source: ISO 9606-1:2012, 5.2, Table 1 (memory).

    >>> from datetime import date
    >>> test = Certificate(
    ...     number="Q1", code="ISO 9606-1:2012", welded_on=date(2025, 3, 3), product="pipe",
    ...     weld_type="butt", positions=("PH",), od_mm=168.3, wall_mm=7.1, sides="single",
    ...     deposits=(Deposit(process="111", filler="E7018", backing="none", layers=3, root=True),),
    ... )
    >>> str(joined_range(test))
    '3 to 14.2 mm'
    """
    parts = certificate.deposits
    thicknesses = [deposit_mm(certificate, part) for part in parts]
    known = [value for value in thicknesses if value is not None]
    if not known or len(known) < len(parts):
        return Range.none(dimensions.BUTT_DEPOSIT, "a deposit of the test is not recorded")
    layers = [part.layers for part in parts]
    total = None if None in layers else sum(n for n in layers if n is not None)
    return dimensions.joined_deposit_range(known, total, [part.process for part in parts])


def _iso_positions(certificate: Certificate) -> list[str]:
    named = [position_or_blank(text, certificate.direction) for text in certificate.positions]
    return [text for text in named if text]


def _butt_positions(certificate: Certificate, choices: Choices) -> Choice:
    positions = _iso_positions(certificate)
    if not positions:
        return Choice(frozenset(), position.BUTT, "position of the test not recorded")
    pieces = reading(choices, CHOICES, "combined positions") == "two pieces"
    od_mm = certificate.od_mm
    inclined = od_mm is not None and (pieces or position.one_piece_allowed(od_mm))
    return position.qualified_butt_positions(positions, inclined=inclined)


def _details(certificate: Certificate, deposit: Deposit) -> Choice:
    word = detail.weld_detail(certificate.sides, deposit.backing, deposit.root)
    if word is None:
        return Choice(frozenset(), detail.DETAIL, "weld detail of the test not recorded")
    return detail.qualified_details(word)


def _fillet(certificate: Certificate, deposit: Deposit) -> Qualified:
    positions = _iso_positions(certificate)
    layers = detail.layer_word(deposit.layers)
    wall_mm = certificate.wall_mm
    return {
        "material thickness, fillet": Range.none(dimensions.FILLET, "thickness not recorded")
        if wall_mm is None
        else dimensions.fillet_thickness_range(wall_mm),
        "position, fillet": position.qualified_fillet_positions(positions)
        if positions
        else Choice(frozenset(), position.FILLET, "position of the test not recorded"),
        "layers, fillet": Choice(frozenset(), detail.LAYERS, "layers of the test not recorded")
        if layers is None
        else detail.qualified_layers(layers),
    }


def _supplementary(certificate: Certificate, choices: Choices) -> Qualified:
    """Ranges that the supplementary fillet adds: 10 mm plate, or the butt thickness if thinner."""
    wall_mm = certificate.wall_mm
    any_layers = reading(choices, CHOICES, "supplementary fillet layers") == "any"
    return {
        "material thickness, fillet": Range.none(dimensions.FILLET, "thickness not recorded")
        if wall_mm is None
        else dimensions.fillet_thickness_range(min(10.0, wall_mm)),
        "position, fillet": position.qualified_fillet_positions(["PB"]),
        "layers, fillet": detail.qualified_layers("multi" if any_layers else "single"),
    }
