"""Certificates of Section IX against welds: what is blank holds, what renews and what lapses."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from dossier.codes.asme_ix import (
    edition_2019,
    edition_2023,
    results,
)
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, HOLD, NONCONFORMITY, Choice, worst
from dossier.records.weld import Weld
from dossier.records.welders import Certificate, Confirmation, Deposit

US = "US customary"


def certificate(**more: object) -> Certificate:
    plain: dict[str, object] = {
        "number": "W",
        "code": "ASME IX:2019",
        "welded_on": date(2024, 1, 8),
        "product": "pipe",
        "weld_type": "butt",
        "positions": ("6G",),
        "direction": "up",
        "material_group": "P1.1",
        "od_mm": 168.3,
        "wall_mm": 14.0,
        "sides": "single",
    }
    return Certificate(**{**plain, **more})  # type: ignore[arg-type]


SMAW = Deposit(process="111", filler_group="F4", deposit_mm=14.0, layers=5, root=True)
WELD = Weld(
    process="111",
    product="pipe",
    weld_type="butt",
    position="6G",
    direction="up",
    material_group="P1.1",
    filler_group="F4",
    backing="material",
    od_mm=168.3,
    deposit_mm=20.0,
)


def verdicts(paper: Certificate, weld: Weld) -> dict[str, object]:
    return {
        r.variable: r.verdict
        for r in edition_2019.covers(paper, weld, {})
        if r.verdict is not CLEAR
    }


def test_unrecorded_backing_of_the_test_proves_only_backing() -> None:
    paper = certificate(deposits=(SMAW,))
    assert verdicts(paper, WELD) == {}
    assert verdicts(paper, replace(WELD, backing="none")) == {"filler": HOLD}
    assert verdicts(paper, replace(WELD, backing="")) == {"filler": HOLD}


def test_unrecorded_layers_hold_where_they_would_decide() -> None:
    paper = certificate(deposits=(replace(SMAW, layers=None),))
    assert verdicts(paper, replace(WELD, deposit_mm=28.0)) == {}
    assert verdicts(paper, replace(WELD, deposit_mm=28.1)) == {"deposited thickness": HOLD}
    two = certificate(deposits=(replace(SMAW, layers=2),))
    assert verdicts(two, replace(WELD, deposit_mm=28.1)) == {"deposited thickness": NONCONFORMITY}
    thin = certificate(deposits=(replace(SMAW, deposit_mm=12.9, layers=None),))
    assert verdicts(thin, replace(WELD, deposit_mm=25.9)) == {"deposited thickness": NONCONFORMITY}


@pytest.mark.parametrize(
    ("blank", "held"),
    [
        ({"material_group": ""}, {"base metal"}),
        ({"od_mm": None}, {"outside diameter"}),
        ({"direction": ""}, {"progression"}),
        ({"wall_mm": None, "deposits": (replace(SMAW, deposit_mm=None),)}, {"deposited thickness"}),
        ({"deposits": (replace(SMAW, filler_group=""),)}, {"filler"}),
    ],
)
def test_a_blank_on_the_certificate_is_a_hold(blank: dict[str, object], held: set[str]) -> None:
    paper = certificate(**{"deposits": (SMAW,), **blank})
    assert verdicts(paper, WELD) == dict.fromkeys(held, HOLD)


@pytest.mark.parametrize(
    ("blank", "held"),
    [
        ({"material_group": ""}, {"base metal"}),
        ({"material_group": "1.2"}, {"base metal"}),
        ({"od_mm": None}, {"outside diameter", "position"}),
        ({"direction": ""}, {"progression"}),
        ({"deposit_mm": None}, {"deposited thickness"}),
        ({"filler_group": ""}, {"filler"}),
        ({"weld_type": ""}, {"weld type"}),
        ({"position": ""}, {"position"}),
    ],
)
def test_a_blank_in_the_joint_log_is_a_hold(blank: dict[str, object], held: set[str]) -> None:
    paper = certificate(deposits=(SMAW,))
    weld = replace(WELD, **blank)  # type: ignore[arg-type]
    assert verdicts(paper, weld) == dict.fromkeys(held, HOLD)


def test_wall_stands_for_the_deposit_of_a_single_process_only() -> None:
    alone = certificate(deposits=(replace(SMAW, deposit_mm=None, layers=2),))
    limits = edition_2019.qualified_range(alone, alone.deposits[0], {})
    assert str(limits["deposited thickness"]) == "up to 28 mm"
    both = certificate(deposits=(replace(SMAW, deposit_mm=None), Deposit(process="141")))
    limits = edition_2019.qualified_range(both, both.deposits[0], {})
    assert limits["deposited thickness"].nothing == "not recorded in the test"


def test_fillet_certificate_without_size_is_a_hold() -> None:
    paper = certificate(
        weld_type="fillet", positions=("5F",), od_mm=None, wall_mm=None, deposits=(SMAW,)
    )
    weld = replace(WELD, weld_type="fillet", position="2F", throat_mm=4.0, wall_mm=8.0)
    assert verdicts(paper, weld) == {"fillet": HOLD}
    groove = replace(WELD, position="1G")
    found = verdicts(paper, groove)
    assert found["weld type"] is NONCONFORMITY
    assert found["position"] is NONCONFORMITY


def test_purge_tested_both_ways() -> None:
    tig = Deposit(
        process="141", filler="ER308L", covering="solid", deposit_mm=4.0, root=True, current="DC-"
    )
    weld = replace(
        WELD, process="141", filler="ER308L", filler_group="F6", covering="solid",
        deposit_mm=4.0, backing="gas", root=True, current="DC-",
    )  # fmt: skip
    purged = certificate(deposits=(replace(tig, backing="gas"),))
    plain = certificate(deposits=(replace(tig, backing="none"),))
    assert verdicts(purged, weld) == {}
    assert verdicts(plain, weld) == {}
    assert verdicts(purged, replace(weld, backing="none")) == {"gas backing": NONCONFORMITY}
    assert verdicts(plain, replace(weld, backing="none")) == {}


def test_insert_matters_only_without_backing() -> None:
    tig = Deposit(
        process="141", filler="ER308L", covering="solid", deposit_mm=4.0, root=True,
        current="DC-", backing="consumable insert",
    )  # fmt: skip
    paper = certificate(deposits=(tig,))
    weld = replace(
        WELD, process="141", filler="ER308L", filler_group="F6", covering="solid",
        deposit_mm=4.0, backing="none", root=True, current="DC-",
    )  # fmt: skip
    assert verdicts(paper, weld) == {"insert": NONCONFORMITY}
    assert verdicts(paper, replace(weld, backing="consumable insert")) == {}
    assert verdicts(paper, replace(weld, backing="material")) == {}


def test_dissimilar_joint_asks_both_metals() -> None:
    paper = certificate(deposits=(SMAW,))
    assert verdicts(paper, replace(WELD, material_group="P1.1+P8.1")) == {}
    assert verdicts(paper, replace(WELD, material_group="P1.1+P22")) == {
        "base metal": NONCONFORMITY
    }


def test_renewal_restores_the_process_whatever_the_coupon() -> None:
    lapsed = certificate(deposits=(SMAW,))
    plate = certificate(product="plate", positions=("1G",), od_mm=None, deposits=(SMAW,))
    other = certificate(deposits=(Deposit(process="141"),))
    failed = replace(plate, result="failed")
    assert worst(edition_2019.renews(lapsed, plate)) is CLEAR
    assert worst(edition_2019.renews(lapsed, other)) is NONCONFORMITY
    assert worst(edition_2019.renews(lapsed, failed)) is NONCONFORMITY
    assert {r.basis.edition for r in edition_2023.renews(lapsed, plate)} == {"2023"}


def test_restoration_after_revocation_needs_a_coupon_that_suits() -> None:
    full = replace(SMAW, backing="none")
    revoked = certificate(deposits=(full,))
    assert worst(edition_2019.restores(revoked, revoked, {})) is CLEAR
    plate = certificate(product="plate", positions=("1G",), od_mm=None, deposits=(full,))
    assert worst(edition_2019.restores(revoked, plate, {})) is NONCONFORMITY
    failed = replace(revoked, result="failed")
    assert worst(edition_2019.restores(revoked, failed, {})) is NONCONFORMITY


def test_continuity_reads_the_last_use_and_the_limit() -> None:
    paper = certificate(deposits=(SMAW,))
    history = [Confirmation(signed_on=date(2024, 6, 1), by="")]
    (reason,) = (
        r
        for r in edition_2019.valid_on(paper, date(2024, 7, 1), history, {})
        if r.variable == "continuity of SMAW"
    )
    assert (reason.found, reason.permitted) == (
        "2024-07-01, last used 2024-06-01",
        "to 2024-11-30",
    )
    assert str(reason.basis) == "ASME BPVC Section IX, 2019, QW-322.1(a)"


def test_certificate_without_a_process_still_lapses() -> None:
    paper = certificate(deposits=())
    assert edition_2019.valid_until(paper, [], {}) == date(2024, 7, 7)
    reasons = edition_2019.valid_on(paper, date(2024, 7, 8), [], {})
    assert {r.variable: r.verdict for r in reasons}["continuity of"] is NONCONFORMITY


def test_limits_are_choices_or_ranges_with_a_clause() -> None:
    paper = certificate(deposits=(SMAW,))
    for limit in edition_2019.qualified_range(paper, SMAW, {}).values():
        assert limit.basis.clause.startswith(("QW-", "Table QW-"))
        assert isinstance(limit, Choice) or limit.unit == "mm"


@pytest.mark.parametrize(
    ("deposit", "at", "units", "bends"),
    [
        (9.9, {"1G"}, "SI", {"face_bend": 1, "root_bend": 1, "total": 2}),
        (10.0, {"2G"}, "SI", {"side_bend": 2, "total": 2}),
        (9.9, {"5G"}, "SI", {"face_bend": 2, "root_bend": 2, "total": 4}),
        (19.0, {"6G"}, "SI", {"side_bend": 4, "total": 4}),
        (9.9, {"2G", "5G"}, "SI", {"face_bend": 3, "root_bend": 3, "total": 6}),
        (9.525, {"1G"}, US, {"side_bend": 2, "total": 2}),
        (9.5, {"1G"}, US, {"face_bend": 1, "root_bend": 1, "total": 2}),
    ],
)
def test_bends_of_a_welder(deposit: float, at: set[str], units: str, bends: dict[str, int]) -> None:
    assert results.welder_bends(deposit, frozenset(at), units) == bends


def test_bends_refuse_no_deposit() -> None:
    with pytest.raises(InputError) as caught:
        results.welder_bends(0.0, frozenset({"1G"}))
    assert caught.value.name == "deposit_mm"
