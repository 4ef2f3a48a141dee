"""Pieces along the flow, and floor under boxes."""

from __future__ import annotations

from itertools import pairwise

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.drawing.flow import heading_at, point_at, runs_of, unrolled
from lineconfig.drawing.plan_figure import united
from lineconfig.drawing.shapes import Box
from tests.drawing.drawings import NAMES, example

CORNER = ((0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0))

boxes = st.lists(
    st.tuples(*[st.integers(0, 12)] * 2, *[st.integers(1, 6)] * 2).map(
        lambda n: Box(float(n[0]), float(n[1]), float(n[0] + n[2]), float(n[1] + n[3]))
    ),
    max_size=7,
)


def test_a_path_has_places_and_headings() -> None:
    assert point_at(CORNER, 1000.0) == (1000.0, 0.0)
    assert point_at(CORNER, 4500.0) == (4000.0, 500.0)
    assert heading_at(CORNER, 3999.0) == (1.0, 0.0)
    assert heading_at(CORNER, 4001.0) == (0.0, 1.0)


@pytest.mark.parametrize("name", NAMES)
def test_every_station_on_the_flow_is_met_in_order(name: str) -> None:
    _, layout, drawn = example(name)
    met = [layout.stations[run.piece.station or 0].function for run in runs_of(drawn.plan, layout)]
    machines = [function for function in met if function != "convey"]
    wanted = [
        station.function
        for station in layout.stations
        if station.length_mm and station.function not in ("supply", "wrap", "convey")
    ]
    assert machines == wanted


@pytest.mark.parametrize("name", NAMES)
def test_seen_from_the_side_machines_have_their_own_length_and_touch(name: str) -> None:
    _, layout, drawn = example(name)
    runs = unrolled(drawn.plan, layout)
    for run in runs:
        station = layout.stations[run.piece.station or 0]
        if station.function != "convey":
            assert run.end_mm - run.start_mm == pytest.approx(station.length_mm, abs=1.0)
    for before, after in pairwise(runs):
        assert after.start_mm == pytest.approx(before.end_mm, abs=5.0)


@given(boxes)
def test_floor_under_boxes_is_that_of_a_geometry_library(found: list[Box]) -> None:
    pieces, edges = united(found)
    whole = shapely.union_all([shapely.box(b.left, b.low, b.right, b.high) for b in found])
    parts = [shapely.box(b.left, b.low, b.right, b.high) for b in pieces]
    assert sum(part.area for part in parts) == pytest.approx(whole.area)
    assert shapely.union_all(parts).symmetric_difference(whole).area == pytest.approx(0.0)
    outline = shapely.union_all([shapely.LineString(edge) for edge in edges])
    assert outline.length == pytest.approx(whole.boundary.length if found else 0.0)
