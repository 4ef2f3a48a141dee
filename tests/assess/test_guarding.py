"""Properties of guarding distances."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.guarding import (
    interlocked_guard_distance,
    light_curtain_distance,
    single_beam_distance,
    two_hand_control_distance,
    two_hand_trip_distance,
    us_distance,
)

times = st.floats(0.0, 2.0)
resolutions = st.floats(1.0, 120.0)


@given(times, times, resolutions)
def test_a_slower_stop_never_needs_less_room(one, other, resolution_mm):
    quick, slow = sorted((one, other))
    near = light_curtain_distance(quick, resolution_mm).distance_mm
    assert light_curtain_distance(slow, resolution_mm).distance_mm >= near
    assert us_distance(slow).distance_mm >= us_distance(quick).distance_mm


@given(times, resolutions, resolutions)
def test_a_coarser_field_never_needs_less_room(stopping_s, one, other):
    fine, coarse = sorted((one, other))
    near = light_curtain_distance(stopping_s, fine).distance_mm
    assert light_curtain_distance(stopping_s, coarse).distance_mm >= near


@given(times, st.floats(1.0, 40.0))
def test_hand_detection_stays_within_its_bounds(stopping_s, resolution_mm):
    distance_mm = light_curtain_distance(stopping_s, resolution_mm).distance_mm
    assert distance_mm >= 100
    # Never less than the hand travels at walking speed while the machine stops.
    assert distance_mm >= 1600 * stopping_s - 1e-9
    assert distance_mm <= max(100, 2000 * stopping_s + 8 * 26) + 1e-9


@given(times, st.floats(0.01, 2.0))
def test_rounding_up_adds_less_than_a_step(stopping_s, step_in):
    distance_in = us_distance(stopping_s, round_up_to_in=step_in).distance_mm / 25.4
    assert 63 * stopping_s - 1e-6 <= distance_in < 63 * stopping_s + step_in + 1e-6


@given(times)
def test_fixed_terms_rank_the_devices(stopping_s):
    distances = [
        interlocked_guard_distance(stopping_s).distance_mm,
        two_hand_control_distance(stopping_s).distance_mm,
        light_curtain_distance(stopping_s, 50.0).distance_mm,
        single_beam_distance(stopping_s).distance_mm,
    ]
    assert distances == sorted(distances)


@given(st.integers(1, 20), st.floats(0.1, 3.0))
def test_more_engagement_points_shorten_a_trip(points, revolution_s):
    nearer = two_hand_trip_distance(points + 1, revolution_s).distance_mm
    assert nearer < two_hand_trip_distance(points, revolution_s).distance_mm
    assert nearer > 63 * 25.4 * revolution_s / 2


def test_the_formula_shows_its_numbers():
    assert light_curtain_distance(0.3, 70).formula == "1600 mm/s x 0.3 s + 850 mm"
    assert "2000 mm/s x 0.09 s + 8 (30 mm - 14 mm)" in light_curtain_distance(0.09, 30).formula


@pytest.mark.parametrize("bad", [-0.1, math.nan, math.inf])
def test_senseless_times_are_refused(bad):
    for formula in (
        interlocked_guard_distance, single_beam_distance, two_hand_control_distance, us_distance,
    ):  # fmt: skip
        with pytest.raises(ValueError, match="stopping_time_s"):
            formula(bad)
    with pytest.raises(ValueError, match="resolution_mm"):
        light_curtain_distance(0.1, 0.0)
    with pytest.raises(ValueError, match="engagement_points"):
        two_hand_trip_distance(0, 0.5)
