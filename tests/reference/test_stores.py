"""Stores against a printed comparison of lanes, the standard pallet and sums done by hand."""

from __future__ import annotations

import pytest

from lineconfig.assess.stores import (
    Block,
    block_floor_m2,
    block_lanes,
    pallets_for_cover,
    pallets_per_week,
    stacked_high,
)
from lineconfig.findings.stores import SHIPPING_LENGTH_MM, SHIPPING_WIDTH_MM


def test_pallets_a_week_by_hand() -> None:
    # Common practice, from memory: 389 x 21 = 8169 cans on a full pallet of 12 oz cans.
    assert pallets_per_week(10 * 389 * 21, 8169) == pytest.approx(10)


@pytest.mark.parametrize(
    ("a_week", "days", "pallets"),
    [(7, 1, 1), (7, 10, 10), (7.0001, 10, 11), (31.25, 14, 63), (0, 9, 0)],
)
def test_days_of_supply(a_week: float, days: float, pallets: int) -> None:
    # Arithmetic: stock over use per day.
    assert pallets_for_cover(a_week, days) == pallets


def test_the_shipping_pallet_is_one_of_the_six() -> None:
    # ISO 6780:2003 (alumanufacturer.com/blog/pallet-standards-sizes-under-iso6780): 1219 x 1016 mm.
    assert round(SHIPPING_LENGTH_MM) == 1219 and round(SHIPPING_WIDTH_MM) == 1016


def test_deeper_lanes_take_less_floor_as_printed() -> None:
    # Bartholdi and Hackman, Warehouse & Distribution Science, figure 6.3 (quoted at logsuper.com/
    # index.php/question/12871-2306.html): 280 positions in double-deep lanes on the floor of 196
    # in single-deep ones, "about 41 %" (280 / 196 = 1.43). Eight aisles of 1-deep lanes on both
    # sides and six of 2-deep lanes on one floor give the aisle in pallet positions:
    # 8 (2 + a) = 6 (4 + a), so a = 4.
    length_mm, width_mm = 1000.0, 1000.0
    one = Block(1, 1, 0.0, 4 * length_mm)
    two = Block(2, 1, 0.0, 4 * length_mm)
    ratio = block_floor_m2(280, length_mm, width_mm, one) / block_floor_m2(
        280, length_mm, width_mm, two
    )
    assert ratio == pytest.approx(280 / 196, rel=0.06)


def test_floor_by_hand() -> None:
    # Three deep, two high: 12 pallets are two lanes of 3 x 1522.4 + 1500 mm by 1217.6 mm.
    block = Block(3, 2, 100, 3000)
    assert block_lanes(12, block) == 2 and block_lanes(13, block) == 3
    expected_m2 = 2 * (3 * 1522.4 + 1500) * 1217.6 / 1e6
    assert block_floor_m2(12, 1422.4, 1117.6, block) == pytest.approx(expected_m2)
    assert block_floor_m2(0, 1422.4, 1117.6, block) == 0


@pytest.mark.parametrize(("clear_mm", "high"), [(5400, 2), (5399, 1), (100_000, 3), (1000, 1)])
def test_stacks_under_a_ceiling(clear_mm: float, high: int) -> None:
    assert stacked_high(2700, clear_mm, 3) == high
