"""Draws of prices: shares that add up, the same for the same seed, and a triangular law."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.money import Range
from lineconfig.locate import examples_dir
from lineconfig.robustness import stays_first, triangular
from lineconfig.session import open_study


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_inside_its_ends_and_rising(a: float, b: float, u: float) -> None:
    low, typical, high = sorted((a * 100, b * 100, 100.0))
    price = Range(low, typical, high)
    value = triangular(price, u)
    assert low - 1e-9 <= value <= high + 1e-9
    assert triangular(price, min(1.0, u + 0.1)) >= value - 1e-9


def test_the_mean_of_a_triangular_law() -> None:
    """Mean (low + mode + high) / 3, median of a symmetric one its mode: any statistics text."""
    price = Range(10, 20, 60)
    mean = sum(triangular(price, (i + 0.5) / 20_000) for i in range(20_000)) / 20_000
    assert mean == pytest.approx(30, abs=0.01)
    assert triangular(Range(0, 50, 100), 0.5) == pytest.approx(50)


def test_shares_add_up_and_repeat() -> None:
    layouts = open_study(examples_dir() / "startup.yaml").best(5)
    shares = stays_first(layouts, seed=3)
    assert sum(shares) == pytest.approx(1)
    assert shares == stays_first(layouts, seed=3)
    assert shares != stays_first(layouts, seed=4)
    assert shares[0] > 0.2


def test_a_lone_layout_is_always_first() -> None:
    layouts = open_study(examples_dir() / "startup.yaml").best(1)
    assert stays_first(layouts, seed=1) == (1.0,)
    assert stays_first([], seed=1) == ()
