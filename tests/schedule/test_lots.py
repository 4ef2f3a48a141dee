"""Lot sizes against published examples."""

from __future__ import annotations

import pytest

from lineconfig.schedule.lots import (
    Product,
    common_cycle,
    cycle_cost,
    economic_lot,
    least_cost,
)


def test_economic_order_quantity_of_a_textbook() -> None:
    # Heizer and Render, Operations Management: D 1,000, S $10, H $0.50: Q* 200 (from memory)
    assert economic_lot(1000, 10, 0.5) == pytest.approx(200)
    # Nahmias, Production and Operations Analysis, example 4.1: pencils at 60 a week of 52, setup
    # $12, 2 cents at 25 %: 3,870 (problem as quoted in coursehero.com/file/9056914, answer from
    # memory)
    assert economic_lot(60 * 52, 12, 0.25 * 0.02) == pytest.approx(3870, abs=0.5)


def test_production_order_quantity_of_a_textbook() -> None:
    # Heizer and Render: D 1,000, S $10, H $0.50, 8 a day made, 4 a day used: 283 (from memory)
    assert economic_lot(1000, 10, 0.5, 2000) == pytest.approx(283, abs=0.5)
    # wizedu.com/questions/411: D 3,650, S $50, H $12, 10 a day used, 100 a day made: 184
    assert economic_lot(3650, 50, 12, 36_500) == pytest.approx(184, abs=0.5)


def test_rotation_cycle_of_a_textbook() -> None:
    """Nahmias, Production and Operations Analysis: seven styles of heels cut on one machine.

    T* = sqrt(2 x 2695 / 230,458) = 0.1529 year; $110 an hour of setup, 22 % a year on cost. All
    from memory: the recalled inputs reproduce the recalled answer.
    """
    styles = (  # demand, rate, hours of setup, cost
        (4520, 35_800, 3.2, 40), (6600, 62_600, 2.5, 26), (2340, 41_000, 4.4, 52),
        (2600, 71_000, 1.8, 18), (8800, 46_800, 5.1, 38), (6200, 71_200, 3.1, 28),
        (5200, 56_000, 4.4, 31),
    )  # fmt: skip
    products = [Product(demand, rate, 0.22 * cost) for demand, rate, _, cost in styles]
    hours = sum(setup for *_, setup, _ in styles)
    assert 110 * hours == pytest.approx(2695)
    assert 2 * sum(product.stock_cost for product in products) == pytest.approx(230_458, rel=1e-4)
    cycle = common_cycle(products, 110 * hours, hours / (250 * 8))
    assert cycle is not None
    assert cycle.years == pytest.approx(0.1529, abs=5e-5)
    assert cycle.years > cycle.shortest_years


BOMBERGER = (  # setup cost, cost of a piece, pieces a day, demand a day, hours of setup
    (15, 0.0065, 30_000, 400, 1), (20, 0.1775, 8_000, 400, 1), (30, 0.1275, 9_500, 800, 2),
    (10, 0.1000, 7_500, 1600, 1), (110, 2.7850, 2_000, 80, 4), (50, 0.2675, 6_000, 80, 2),
    (310, 1.5000, 2_400, 24, 8), (130, 5.9000, 1_300, 340, 4), (200, 0.9000, 2_000, 340, 6),
    (5, 0.0400, 15_000, 400, 1),
)  # fmt: skip
DAYS, HOURS = 240, 8


def test_the_ten_item_problem_of_the_literature() -> None:
    """Bomberger, Management Science 12 (1966), as reviewed by Elmaghraby, same 24 (1978).

    Common cycle 42.75 days at $41.17 a day, independent lots $31.62 a day. All from memory: the
    recalled inputs reproduce the recalled answers.
    """
    products = [
        Product(demand * DAYS, rate * DAYS, 0.1 * cost) for _, cost, rate, demand, _ in BOMBERGER
    ]
    setups = [float(setup) for setup, *_ in BOMBERGER]
    hours = sum(hours for *_, hours in BOMBERGER)
    cycle = common_cycle(products, sum(setups), hours / HOURS / DAYS)
    assert cycle is not None
    assert cycle.years * DAYS == pytest.approx(42.75, abs=0.005)
    assert cycle.yearly_cost / DAYS == pytest.approx(41.17, abs=0.005)
    assert least_cost(products, setups) / DAYS == pytest.approx(31.62, abs=0.005)
    # 30 hours of setups in what ten products leave of the days: 1 - 0.88 (Elmaghraby: 88 % busy)
    assert sum(product.busy for product in products) == pytest.approx(0.88, abs=0.005)
    assert cycle.shortest_years * DAYS == pytest.approx(31.89, abs=0.005)


def test_no_other_length_of_cycle_is_cheaper() -> None:
    products = [Product(3000, 20_000, 2.0), Product(5000, 30_000, 1.0)]
    cycle = common_cycle(products, 40.0, 0.001)
    assert cycle is not None
    for factor in (0.5, 0.9, 0.99, 1.01, 1.1, 2.0):
        assert cycle_cost(products, 40.0, cycle.years * factor) > cycle.yearly_cost


def test_long_setups_stretch_the_cycle() -> None:
    products = [Product(500, 1000, 10.0), Product(400, 1000, 10.0)]
    cycle = common_cycle(products, 1.0, 0.02)
    assert cycle is not None
    assert cycle.years == cycle.shortest_years == pytest.approx(0.02 / 0.1)


def test_a_machine_without_spare_time_has_no_cycle() -> None:
    assert common_cycle([Product(600, 1000, 1.0), Product(400, 1000, 1.0)], 1.0, 0.0) is None


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="rate_per_year"):
        economic_lot(1000, 10, 0.5, 1000)
    with pytest.raises(ValueError, match="demand_per_year"):
        economic_lot(0, 10, 0.5)
    with pytest.raises(ValueError, match="products"):
        common_cycle([], 1.0, 0.0)
