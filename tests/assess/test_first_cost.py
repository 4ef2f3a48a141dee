"""First cost item by item, against sums by hand."""

from __future__ import annotations

import pytest

from lineconfig.assess.first_cost import first_cost_items
from lineconfig.assess.money import Range, total

SHARES = {"freight": 0.04, "installation": 0.08, "training": 0.015, "contingency": 0.10}


def test_items_by_hand() -> None:
    """100,000 with 4 %, 8 % and 1.5 %, then 10 % on the sum of 113,500 (invented shares)."""
    items = first_cost_items(Range(90_000, 100_000, 120_000), **SHARES)
    typical = {name: round(item.typical, 6) for name, item in items.items()}
    assert typical == {
        "equipment and parts": 100_000, "freight": 4_000, "installation": 8_000,
        "training": 1_500, "contingency": 11_350,
    }  # fmt: skip
    assert total(items.values()).typical == pytest.approx(124_850)


def test_each_end_of_the_range_is_added_up_by_itself() -> None:
    items = first_cost_items(Range(1, 2, 4), **SHARES)
    whole = total(items.values())
    assert whole.high == pytest.approx(4 * whole.low)
    assert whole.typical == pytest.approx(2 * whole.low)


def test_a_share_below_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="training"):
        first_cost_items(Range(1, 2, 4), **{**SHARES, "training": -0.1})
