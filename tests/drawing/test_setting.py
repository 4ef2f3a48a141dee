"""Setting out on paper."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.drawing.setting import bar_metres, spread


@given(st.lists(st.floats(0.0, 200.0), max_size=20).map(sorted))
def test_places_are_kept_apart_and_within_bounds(wanted: list[float]) -> None:
    placed = spread(wanted, 5.0, 0.0, 200.0)
    assert all(b - a >= 5.0 - 1e-6 for a, b in pairwise(placed))
    assert all(-1e-6 <= place <= 200.0 + 1e-6 for place in placed)


def test_places_with_room_stay_where_they_are_wanted() -> None:
    assert spread([10.0, 20.0, 40.0], 5.0, 0.0, 100.0) == [10.0, 20.0, 40.0]


def test_crowded_places_stand_round_their_mean() -> None:
    assert spread([50.0, 50.0, 50.0], 6.0, 0.0, 100.0) == [44.0, 50.0, 56.0]


@pytest.mark.parametrize("scale", [10, 25, 75, 100, 200, 500, 1000, 7500])
def test_a_scale_bar_is_long_enough_to_measure_with(scale: float) -> None:
    assert 15.0 <= bar_metres(scale) * 1000 / scale <= 60.0
