"""Properties of nested layers that hold for every container and pallet."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.pallets import (
    aligned_count,
    layers_within,
    nested_count,
    nested_layers,
    nested_per_m2,
    stack_height_mm,
)

diameters = st.floats(45.0, 110.0)
sides = st.floats(120.0, 1500.0)


def centres(layer, diameter_mm):
    """Place the rows as described, the container centres as (along, across) pairs."""
    staggered = layer.first_row == layer.second_row
    wide = max(layer.first_row, layer.second_row)
    points = []
    for row in range(layer.rows):
        number = layer.second_row if row % 2 else layer.first_row
        shifted = (row % 2 == 1) if staggered else number < wide
        start = diameter_mm if shifted else diameter_mm / 2
        across = diameter_mm / 2 + row * diameter_mm * math.sqrt(3) / 2
        points += [(start + i * diameter_mm, across) for i in range(number)]
    return points


@given(diameters, st.floats(120.0, 700.0), st.floats(120.0, 700.0), st.floats(0.0, 20.0))
def test_every_pattern_can_be_placed(diameter_mm, length_mm, width_mm, allowance_mm):
    layers = nested_layers(diameter_mm, length_mm, width_mm, edge_allowance_mm=allowance_mm)
    for layer in layers:
        points = centres(layer, diameter_mm)
        assert len(points) == layer.count
        for one, other in itertools.combinations(points, 2):
            assert math.dist(one, other) >= diameter_mm * (1 - 1e-9)
        along_mm = max(point[0] for point in points) + diameter_mm / 2
        across_mm = max(point[1] for point in points) + diameter_mm / 2
        room = [length_mm - allowance_mm, width_mm - allowance_mm]
        used = [layer.used_length_mm, layer.used_width_mm]
        if layer.rows_along == "width":
            room.reverse()
            used.reverse()
        assert along_mm <= room[0] * (1 + 1e-8)
        assert across_mm <= room[1] * (1 + 1e-8)
        assert used == pytest.approx([along_mm, across_mm])


@given(diameters, sides, sides)
def test_no_layer_beats_the_bound_of_groemer_and_oler(diameter_mm, length_mm, width_mm):
    # Centres at mutual distance d in a convex room of area A and perimeter P number at most
    # 2 A / (sqrt(3) d^2) + P / (2 d) + 1 (Groemer 1960, Oler 1961; from memory).
    inner = max(0.0, length_mm - diameter_mm), max(0.0, width_mm - diameter_mm)
    area, perimeter = inner[0] * inner[1], 2 * (inner[0] + inner[1])
    bound = 2 * area / (math.sqrt(3) * diameter_mm**2) + perimeter / (2 * diameter_mm) + 1
    assert nested_count(diameter_mm, length_mm, width_mm) <= bound + 1e-6


@given(diameters, sides, sides)
def test_turning_the_pallet_changes_nothing(diameter_mm, length_mm, width_mm):
    assert nested_count(diameter_mm, length_mm, width_mm) == nested_count(
        diameter_mm, width_mm, length_mm
    )


@given(diameters, sides, sides, st.floats(0.0, 300.0))
def test_a_larger_pallet_never_holds_less(diameter_mm, length_mm, width_mm, more_mm):
    before = nested_count(diameter_mm, length_mm, width_mm)
    assert nested_count(diameter_mm, length_mm + more_mm, width_mm) >= before
    assert aligned_count(diameter_mm, length_mm + more_mm, width_mm) >= aligned_count(
        diameter_mm, length_mm, width_mm
    )


def test_counts_approach_the_density_of_an_endless_mass():
    # On a field 200 diameters wide the edges matter by about one per cent.
    count = nested_count(60.0, 12000.0, 12000.0)
    assert count / 144.0 == pytest.approx(nested_per_m2(60.0), rel=0.01)


@given(st.integers(1, 25), st.floats(80.0, 250.0), st.floats(0.0, 3.0), st.floats(0.0, 200.0))
def test_layers_within_inverts_the_stack_height(layers, container_mm, sheet_mm, base_mm):
    parts = {"sheet_mm": sheet_mm, "base_mm": base_mm, "top_frame_mm": 20.0}
    height_mm = stack_height_mm(layers, container_mm, **parts)
    assert layers_within(height_mm, container_mm, **parts) == layers
    assert layers_within(height_mm - 1.0, container_mm, **parts) == layers - 1


def test_a_container_wider_than_the_pallet_does_not_fit():
    assert nested_layers(130.0, 120.0, 1200.0) == ()
    assert nested_count(130.0, 120.0, 1200.0) == 0


@pytest.mark.parametrize("bad", [0.0, -5.0, math.nan, math.inf])
def test_senseless_dimensions_are_refused_by_name(bad):
    with pytest.raises(ValueError, match="diameter_mm"):
        nested_layers(bad, 1200.0, 1000.0)
    with pytest.raises(ValueError, match="pallet_width_mm"):
        nested_layers(66.0, 1200.0, bad)
