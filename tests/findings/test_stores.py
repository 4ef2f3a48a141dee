"""Stores of whole lines, counted by hand."""

from __future__ import annotations

import pytest

from lineconfig.findings.stores import Stores, stores_cautions, stores_of
from lineconfig.findings.whole import findings_of
from lineconfig.layout import Layout
from lineconfig.session import Study
from tests.findings.lines import formats, line, shipped

FULL = [{"container": "can-355-standard", "annual_cans": 3_000_000, "supply": "full-pallet"}]


def stores(**changes: object) -> tuple[Study, Layout, Stores]:
    changes.setdefault("formats", FULL)
    study, layout = line(**changes)
    return study, layout, stores_of(study.inquiry, layout)


def test_pallets_a_week_by_hand() -> None:
    _, _, found = stores(operation={"hours_per_week": 60, "weeks_per_year": 50, "cover_days": 14})
    (row,) = found.formats
    # 389 x 21 = 8169 cans on a full pallet of 12 oz cans, from memory / common practice; 60,000
    # cans a week are 7.34 pallets; two weeks take 14.69, so 15.
    assert row.empties.cans_each == 8169
    assert row.empties.per_week == pytest.approx(60_000 / 8169)
    assert row.empties.in_store == 15
    # 24 x 80 = 1920 cans on a pallet of cases: 31.25 a week, 62.5 in two.
    assert row.goods.cans_each == 1920
    assert row.goods.per_week == pytest.approx(31.25)
    assert row.goods.in_store == 63
    assert not found.assumed and found.cover_days == 14


def test_a_pallet_of_full_cases_weighs_what_a_fork_truck_driver_knows() -> None:
    # Common practice: a pallet of 80 cases of 12 oz cans weighs about 1600 to 1800 lb.
    _, _, found = stores()
    pounds = found.formats[0].goods_kg / 0.45359237
    assert 1550 < pounds < 1850


def test_stacks_stay_under_the_ceiling() -> None:
    # A full pallet of 12 oz cans is 120 + 21 x 123.1 = 2705 mm high: two of them take 5.41 m.
    for ceiling, high in (("7 m", 2), ("5.5 m", 1)):
        _, _, found = stores(site={"ceiling": ceiling})
        assert found.formats[0].empties.height_mm == pytest.approx(2705, abs=5)
        assert found.formats[0].empties.high == high
    assert found.formats[0].goods.high == 2


def test_floor_by_hand() -> None:
    _, _, found = stores(site={"ceiling": "7 m"},
                         operation={"hours_per_week": 60, "cover_days": 14})  # fmt: skip
    (row,) = found.formats
    # 15 pallets of 56 x 44 in, two high and three deep: 3 lanes of 3 x 1522.4 + 1500 mm by 1217.6.
    assert row.empties.area_m2 == pytest.approx(3 * (3 * 1522.4 + 1500) * 1217.6 / 1e6)
    # 63 pallets of 48 x 40 in: 11 lanes of 3 x 1319.2 + 1500 mm by 1116.
    assert row.goods.area_m2 == pytest.approx(11 * (3 * 1319.2 + 1500) * 1116 / 1e6)
    assert found.area_m2 == pytest.approx(row.empties.area_m2 + row.goods.area_m2)


def test_half_stacks_cost_their_premium() -> None:
    _, _, found = stores()
    (row,) = found.formats
    premium = float(shipped().economics.tariffs.half_stack_premium_per_1000)
    assert row.half_stack_extra == pytest.approx(3000 * premium)
    # 11 of 21 layers in a half stack (the catalogue's): nearly twice as many come.
    assert row.half_stacks_per_week / row.full_pallets_per_week == pytest.approx(21 / 11)


def test_a_line_on_half_stacks_stores_half_stacks() -> None:
    _, _, found = stores(
        speed="40 cpm", rinse="none-accepted", require=["gravity-trough"],
        formats=formats("can-355-standard", supply="half-stack"),
    )  # fmt: skip
    (row,) = found.formats
    assert row.form == "half-stack" and row.empties.cans_each == 389 * 11
    assert row.empties.per_week == pytest.approx(row.half_stacks_per_week)
    assert found.assumed and found.cover_days == shipped().economics.stores.cover_days


@pytest.mark.parametrize(("container", "said"), [("can-355-standard", False), ("bottle-500", True)])
def test_a_pallet_too_heavy_for_common_ones_is_pointed_at(container: str, said: bool) -> None:
    # 80 cases of 24: 0.76 t of 355 ml cans; 24 bottles of 0.5 l are 12 kg of drink and about as
    # much glass, 1.7 t in all, where 2,500 lb are usual (from memory).
    study, layout, found = stores(speed="60 cpm", formats=formats(container))
    (row,) = found.formats
    texts = [caution.text for caution in stores_cautions(study.inquiry, found)]
    assert bool(texts) is said
    assert all(f"{row.goods_kg:,.0f} kg" in text for text in texts)
    codes = {caution.code for caution in findings_of(study.inquiry, layout).cautions}
    assert ("heavy-pallet" in codes) is said
