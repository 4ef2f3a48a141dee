"""Properties of pasteurization and the equipment for it."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.pallets import nested_count
from lineconfig.assess.pasteurizing import (
    Hold,
    batch_cabinets_needed,
    batch_speed_cpm,
    dwell_min,
    pasteurization_caution,
    pasteurization_units,
    tunnel_size,
)

temperatures = st.floats(45.0, 75.0)
minutes = st.floats(0.1, 120.0)
z_values = st.floats(4.0, 12.0)
speeds = st.floats(5.0, 600.0)
diameters = st.floats(50.0, 90.0)


@given(st.floats(0.1, 100.0), temperatures, z_values)
def test_dwell_gives_the_units_it_was_made_for(target, temperature_c, z_c):
    time_min = dwell_min(target, temperature_c, z_c=z_c)
    assert pasteurization_units([Hold(time_min, temperature_c)], z_c=z_c) == pytest.approx(target)


@given(minutes, temperatures, z_values)
def test_one_z_hotter_is_ten_times_as_effective(time_min, temperature_c, z_c):
    base = pasteurization_units([Hold(time_min, temperature_c)], z_c=z_c)
    hotter = pasteurization_units([Hold(time_min, temperature_c + z_c)], z_c=z_c)
    assert hotter == pytest.approx(10 * base)


@given(st.lists(st.builds(Hold, minutes, temperatures), max_size=8))
def test_units_of_a_profile_add_up(holds):
    assert pasteurization_units(holds) == pytest.approx(
        sum(pasteurization_units([hold]) for hold in holds)
    )


@given(speeds, st.floats(5.0, 90.0), diameters, st.floats(600.0, 4000.0), st.integers(1, 2))
def test_tunnel_scales_with_speed_and_shares_its_decks(speed, dwell, diameter, width, decks):
    size = tunnel_size(speed, dwell, diameter, width, decks=decks)
    double = tunnel_size(2 * speed, dwell, diameter, width, decks=decks)
    assert double.length_mm == pytest.approx(2 * size.length_mm)
    single = tunnel_size(speed, dwell, diameter, width)
    assert size.length_mm * decks == pytest.approx(single.length_mm)
    assert size.area_m2 == pytest.approx(size.length_mm * width * decks / 1e6)
    half = tunnel_size(speed, dwell, diameter, width, covered_share=0.5)
    assert half.area_m2 == pytest.approx(2 * single.area_m2)


def test_a_belt_of_that_size_really_holds_the_cans():
    # Counted row by row on a long belt; edges cost a few per cent.
    size = tunnel_size(200, 45, 66.0, 2400.0)
    counted = nested_count(66.0, size.length_mm, 2400.0)
    assert counted == pytest.approx(size.containers, rel=0.03)


@given(speeds, st.integers(100, 5000), st.floats(20.0, 120.0), st.floats(0.0, 60.0))
def test_the_least_number_of_cabinets_keeps_up_and_one_less_does_not(speed, load, cycle, handling):
    needed = batch_cabinets_needed(speed, load, cycle, handling_min=handling)

    def capacity(cabinets):
        return batch_speed_cpm(load, cycle, handling_min=handling, cabinets=cabinets)

    assert capacity(needed) >= speed * (1 - 1e-8)
    if needed > 1:
        assert capacity(needed - 1) < speed


@given(st.floats(0.0, 100.0))
def test_cautions_defer_to_the_process_authority(units):
    caution = pasteurization_caution(units)
    if caution:
        assert "process authority" in caution.text


def test_senseless_input_is_refused():
    with pytest.raises(ValueError, match="minutes"):
        pasteurization_units([Hold(-1, 60)])
    with pytest.raises(ValueError, match="z_c"):
        pasteurization_units([Hold(1, 60)], z_c=0)
    with pytest.raises(ValueError, match="covered_share"):
        tunnel_size(100, 40, 66, 2000, covered_share=1.1)
    with pytest.raises(ValueError, match="belt_width_mm"):
        tunnel_size(100, 40, 66, 60)
    with pytest.raises(ValueError, match="target_units"):
        dwell_min(math.nan, 60)
