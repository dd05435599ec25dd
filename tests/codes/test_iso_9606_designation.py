"""Designations of ISO 9606-1, clause 11: read, written, turned into certificates and refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from dossier.codes.iso_9606_1_2012 import covers, qualified_range
from dossier.codes.iso_9606_1_2012.designation import (
    Designation,
    certificate_of,
    designation_of,
    read_designation,
)
from dossier.codes.iso_9606_1_2012.ranges import joined_range
from dossier.errors import InputError
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Deposit

DAY = date(2025, 3, 3)
WRITTEN = [
    "ISO 9606-1 135 P FW FM1 S t10 PB ml",
    "ISO 9606-1 135 P FW FM1 S t10 PB sl",
    "ISO 9606-1 136 P BW FM1 B s15 PE ss nb",
    "ISO 9606-1 141 T BW FM3 S s3.6 D60.3 PH ss nb",
    "ISO 9606-1 111 T BW FM1 RB s7.1 D168.3 H-L045 ss mb",
    "ISO 9606-1 141/111 T BW FM1 S/B s15(4/11) D168.3 PH ss gb",
    "ISO 9606-1 141/111 T BW FM5/FM1 S/B s15(4/11) D168.3 PH ss nb",
    "ISO 9606-1 111 T BW FM1 C s12 D323.9 PC/PJ ss nb",
    "ISO 9606-1 121 P BW FM1 S s20 PA bs",
    "ISO 9606-1 141 T BW FM1 S s3 D60.3 PH ci",
    "ISO 9606-1 135 P BW FM1 M s8 PA ss fb",
]


@pytest.mark.parametrize("text", WRITTEN)
def test_designation_survives_the_way_through_a_certificate(text: str) -> None:
    found = read_designation(text)
    assert str(found) == text
    assert designation_of(certificate_of(found, "Q1", DAY)) == found


@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("EN ISO 9606-1:2017 135 P FW FM1 S t10 PB ml", WRITTEN[0]),
        ("DIN EN ISO 9606-1 141 T BW FM3 S s3,6 D60,3 PH ss nb", WRITTEN[3]),
        ("ISO  9606-1  136 P BW FM1 B s15 PE ss nb ", WRITTEN[2]),
    ],
)
def test_spellings_that_mean_the_same(text: str, same: str) -> None:
    assert str(read_designation(text)) == same


@pytest.mark.parametrize(
    "text",
    [
        "",
        "ISO 9606-2 135 P FW FM1 S t10 PB ml",
        "ISO 9606-1 135 X FW FM1 S t10 PB ml",
        "ISO 9606-1 135 P FW FM7 S t10 PB ml",
        "ISO 9606-1 135 P FW FM1 S t10 PQ ml",
        "ISO 9606-1 135 P FW FM1 S t10 PB ss xx",
    ],
)
def test_other_forms_are_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_designation(text)


def test_parts_go_to_the_certificate() -> None:
    text = "ISO 9606-1 141/111 T BW FM5/FM1 S/B s15(4/11) D168.3 PH ss gb"
    found = certificate_of(read_designation(text), "Q1", DAY, ["", ""], [2, 5])
    assert (found.product, found.weld_type, found.sides, found.positions) == (
        "pipe", "butt", "single", ("PH",)
    )  # fmt: skip
    assert (found.wall_mm, found.od_mm, found.welded_on) == (15.0, 168.3, DAY)
    root, fill = found.deposits
    assert root == Deposit(
        process="141", deposit_mm=4.0, filler_group="FM5", covering="solid", backing="gas",
        layers=2, root=True,
    )  # fmt: skip
    assert fill == Deposit(
        process="111", deposit_mm=11.0, filler_group="FM1", covering="basic",
        backing="weld metal", layers=5, root=False,
    )  # fmt: skip


def test_fillet_parts_go_to_the_certificate() -> None:
    found = certificate_of(read_designation(WRITTEN[0]), "Q1", DAY, ["spray"])
    part = found.deposits[0]
    assert (found.product, found.weld_type, found.wall_mm) == ("plate", "fillet", 10.0)
    assert (part.layers, part.root, part.transfer) == (2, None, "spray")
    single = certificate_of(read_designation(WRITTEN[1]), "Q1", DAY)
    assert single.deposits[0].layers == 1


def certificate(**more: object) -> Certificate:
    found = certificate_of(read_designation(WRITTEN[3]), "Q1", DAY)
    return replace(found, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "gap", [{"deposits": ()}, {"positions": ()}, {"weld_type": ""}, {"weld_type": "branch"}]
)
def test_a_certificate_with_a_gap_has_no_designation(gap: dict[str, object]) -> None:
    with pytest.raises(InputError):
        designation_of(certificate(**gap))


def test_what_is_not_recorded_is_left_out() -> None:
    bare = Deposit(process="141", filler_group="FM1")
    written = designation_of(certificate(deposits=(bare,), wall_mm=None, sides=""))
    assert written == Designation(
        processes=("141",), product="T", weld="BW", filler_groups=("FM1",), od_mm=60.3,
        positions=("PH",),
    )  # fmt: skip
    assert str(written) == "ISO 9606-1 141 T BW FM1 D60.3 PH"


def test_american_position_is_written_as_its_iso_pair() -> None:
    assert designation_of(certificate(positions=("6G",), direction="up")).positions == ("H-L045",)
    assert designation_of(certificate(positions=("6G",))).positions == ("6G",)


def test_supplementary_fillet_counts_ten_millimetres_or_the_thinner_butt() -> None:
    """5.4 d) with Table 8: a butt of 2 mm allows a fillet piece of 2 mm, so 2 to 4 mm."""
    thin = certificate(supplementary_fillet=True, wall_mm=2.0)
    found = qualified_range(thin, thin.deposits[0], {})["material thickness, fillet"]
    assert str(found) == "2 to 4 mm"
    thick = certificate(supplementary_fillet=True, wall_mm=20.0)
    found = qualified_range(thick, thick.deposits[0], {})["material thickness, fillet"]
    assert str(found) == "from 3 mm"


def test_sum_of_deposits_needs_every_deposit_and_every_layer() -> None:
    """5.2, Table 1: 4 + 11 mm in four layers open the range; a gap in the record does not."""
    two = read_designation("ISO 9606-1 141/111 T BW FM1 S/B s15(4/11) D168.3 PH ss nb")
    assert str(joined_range(certificate_of(two, "Q1", DAY, (), [1, 3]))) == "from 3 mm"
    assert joined_range(certificate_of(two, "Q1", DAY, (), [1, 1])).nothing
    assert joined_range(certificate_of(two, "Q1", DAY, (), [1, None])).nothing
    gap = certificate_of(replace(two, deposits_mm=(4.0,)), "Q1", DAY, (), [1, 3])
    assert joined_range(gap).nothing


def test_gaps_of_the_test_record_hold_and_never_break() -> None:
    """Free text or blanks in a certificate prove nothing; no variable is cleared by them."""
    gaps = certificate(
        product="",
        weld_type="butt",
        positions=("as shown",),
        sides="",
        wall_mm=None,
        deposits=(Deposit(process="141", filler_group="F6", covering="unheard-of"),),
    )
    found = qualified_range(gaps, gaps.deposits[0], {})
    silent = (
        "product",
        "filler group",
        "covering",
        "deposited thickness",
        "position",
        "weld detail",
    )
    assert all(found[name].nothing.endswith("not recorded") for name in silent)
    weld = Weld(
        process="141", product="pipe", weld_type="butt", position="PH", filler_group="FM1",
        covering="solid", deposit_mm=3.0, od_mm=60.3, sides="single", backing="none", root=True,
    )  # fmt: skip
    verdicts = {one.variable: str(one.verdict) for one in covers(gaps, weld, {})}
    assert {verdicts[name] for name in silent} == {"hold"}


def test_pipe_without_its_diameter_and_test_without_its_type_hold() -> None:
    found = qualified_range(certificate(od_mm=None), certificate().deposits[0], {})
    assert found["product"].nothing.endswith("not recorded")
    assert found["outside diameter"].nothing.endswith("not recorded")
    untyped = certificate(weld_type="")
    assert qualified_range(untyped, untyped.deposits[0], {})["weld type"].nothing


def test_fillet_with_gaps_holds() -> None:
    bare = certificate_of(read_designation(WRITTEN[0]), "Q1", DAY)
    gaps = replace(bare, wall_mm=None, positions=(), deposits=(Deposit(process="135"),))
    found = qualified_range(gaps, gaps.deposits[0], {})
    names = ("material thickness, fillet", "position, fillet", "layers, fillet", "transfer")
    assert all(found[name].nothing.endswith("not recorded") for name in names)


def test_test_without_deposits_holds() -> None:
    reasons = covers(certificate(deposits=()), Weld(process="141"), {})
    assert [str(one.verdict) for one in reasons] == ["hold"]
