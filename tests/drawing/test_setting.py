"""Setting out on paper."""

from __future__ import annotations

import math
from itertools import combinations, pairwise

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.drawing.paper import Disc, Line
from lineconfig.drawing.setting import bar_metres, set_out, spread
from lineconfig.drawing.shapes import Box, Figure, Mark, Shape


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


def test_numbers_of_a_heap_of_small_pieces_stay_apart_and_clear_of_leaders() -> None:
    # invented: sixteen pieces of 100 mm in a corner of a hall of 100 m
    marks = tuple(
        Mark(k, (50_000.0 + 100.0 * k, 20_000.0), Box(50_000.0 + 100.0 * k, 20_000.0,
             50_100.0 + 100.0 * k, 20_100.0)) for k in range(16)
    )  # fmt: skip
    hall = Box(0.0, 0.0, 100_000.0, 40_000.0)
    figure = Figure("plan", "Plan", (Shape(hall.corners(), "wall", True),), marks, (), (), (), hall)
    view = set_out(figure, 500.0, Box(10.0, 10.0, 250.0, 120.0))
    discs = [item for item in view.items if isinstance(item, Disc) and item.role == "number"]
    assert len(discs) == 16
    for one, other in combinations(discs, 2):
        assert math.dist(one.at, other.at) >= one.radius + other.radius
    for leader in (item for item in view.items if isinstance(item, Line)):
        if leader.role != "leader":
            continue
        line = shapely.LineString(leader.points)
        touched = [disc for disc in discs if line.distance(shapely.Point(disc.at)) < disc.radius]
        assert len(touched) <= 1
