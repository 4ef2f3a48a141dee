"""Properties of gravity tracks, twists and rinsing."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.tracks import (
    ALUMINIUM_ON_STEEL_AT_REST,
    GRAVITY_M_S2,
    film_left_ml,
    friction_angle_deg,
    half_turn_length_mm,
    inverted_run_mm,
    inverted_times,
    least_twist_drop,
    line_speed_m_s,
    nozzle_flow_l_min,
    rinse_water_l_per_1000,
    speed_along_track_m_s,
    track_capacity_cpm,
    track_slope_caution,
    wet_can_caution,
)

frictions = st.floats(0.0, 1.4)
entry_speeds = st.floats(0.0, 5.0)
runs = st.floats(1.0, 5000.0)
speeds_cpm = st.floats(5.0, 1200.0)
heights = st.floats(85.0, 240.0)
diameters = st.floats(45.0, 110.0)


@given(entry_speeds, runs, frictions)
def test_at_the_friction_angle_the_speed_stays(entry, run_mm, friction):
    drop_mm = run_mm * math.tan(math.radians(friction_angle_deg(friction)))
    assert speed_along_track_m_s(entry, drop_mm, run_mm, friction) == pytest.approx(entry, abs=1e-5)


@given(entry_speeds, st.floats(0.0, 3000.0), runs, frictions, st.floats(0.05, 0.95))
def test_a_straight_section_may_be_cut_in_two(entry, drop_mm, run_mm, friction, cut):
    whole = speed_along_track_m_s(entry, drop_mm, run_mm, friction)
    middle = speed_along_track_m_s(entry, cut * drop_mm, cut * run_mm, friction)
    if middle == 0.0:
        # A can that has stopped half-way does not start again on the same slope.
        assert whole == pytest.approx(0.0, abs=1e-5)
    else:
        rest = speed_along_track_m_s(middle, (1 - cut) * drop_mm, (1 - cut) * run_mm, friction)
        assert rest == pytest.approx(whole, abs=1e-5)


@given(speeds_cpm, diameters)
def test_capacity_inverts_line_speed(speed_cpm, pitch_mm):
    assert track_capacity_cpm(line_speed_m_s(speed_cpm, pitch_mm), pitch_mm) == pytest.approx(
        speed_cpm
    )


@given(heights, diameters, speeds_cpm, st.floats(0.05, 0.8), st.floats(0.0, 4000.0), entry_speeds)
def test_the_least_drop_carries_the_line(height, pitch, speed_cpm, friction, inverted, entry):
    twist = least_twist_drop(
        height, pitch, speed_cpm, friction=friction, inverted_mm=inverted, entry_speed_m_s=entry
    )
    assert twist.path_mm == pytest.approx(2 * twist.half_turn_mm + inverted)
    assert twist.free_speed_m_s >= twist.line_speed_m_s * (1 - 1e-9)
    assert track_capacity_cpm(twist.free_speed_m_s, pitch) >= speed_cpm * (1 - 1e-9)
    # The mean slope exceeds the friction angle, and a free can gains no more than it falls.
    assert twist.drop_mm > friction * twist.run_mm
    gained_mm = (twist.free_speed_m_s**2 - entry**2) / (2 * GRAVITY_M_S2) * 1000
    assert gained_mm <= twist.drop_mm + 1e-6


@given(heights, diameters, speeds_cpm, st.floats(0.05, 0.5), st.floats(0.0, 0.3))
def test_more_friction_never_needs_less_drop(height, pitch, speed_cpm, friction, more):
    def drop_mm(coefficient):
        return least_twist_drop(
            height, pitch, speed_cpm, friction=coefficient, inverted_mm=600.0
        ).drop_mm

    assert drop_mm(friction + more) >= drop_mm(friction) - 1e-6


@given(heights, st.floats(10.0, 60.0), st.floats(1.0, 25.0))
def test_a_half_turn_is_a_multiple_of_the_height_and_shrinks_with_the_angle(height, angle, more):
    length = half_turn_length_mm(height, angle)
    assert half_turn_length_mm(2 * height, angle) == pytest.approx(2 * length)
    assert half_turn_length_mm(height, angle + more) < length


@given(speeds_cpm, diameters, st.floats(0.1, 10.0), st.floats(0.1, 10.0))
def test_the_inverted_run_gives_the_times_it_was_made_for(speed_cpm, pitch, rinse_s, drain_s):
    speed = line_speed_m_s(speed_cpm, pitch)
    header_mm = inverted_run_mm(speed_cpm, pitch, rinse_s, 0.0)
    times = inverted_times(
        inverted_run_mm(speed_cpm, pitch, rinse_s, drain_s), header_mm, speed, speed
    )
    assert (times.rinse_s, times.drain_s) == pytest.approx((rinse_s, drain_s))


@given(runs, st.floats(0.0, 1.0), st.floats(0.05, 2.0), st.floats(0.0, 3.0))
def test_times_on_a_slope_agree_with_step_by_step_motion(run_mm, share, entry, gain):
    # The same motion integrated in 4000 equal steps of way with the speed in the middle of each.
    leave = entry + gain
    times = inverted_times(run_mm, share * run_mm, entry, leave)
    steps = 4000
    way_m = run_mm / 1000 / steps
    clock = over_header = 0.0
    for i in range(steps):
        speed = math.sqrt(entry**2 + (leave**2 - entry**2) * (i + 0.5) / steps)
        clock += way_m / speed
        if (i + 0.5) / steps <= share:
            over_header += way_m / speed
    assert times.rinse_s + times.drain_s == pytest.approx(clock, rel=2e-3)
    assert times.rinse_s == pytest.approx(over_header, abs=2 * way_m / entry + 2e-3 * clock)


@given(diameters, heights, st.floats(0.1, 60.0))
def test_four_times_the_time_leaves_half_the_film(diameter, height, drain_s):
    assert film_left_ml(diameter, height, 4 * drain_s) == pytest.approx(
        film_left_ml(diameter, height, drain_s) / 2
    )


@given(diameters, heights, st.floats(0.0, 30.0))
def test_wet_cans_are_pointed_out_just_when_the_film_exceeds_the_limit(diameter, height, drain_s):
    caution = wet_can_caution(drain_s, diameter, height, most_water_ml=1.5)
    assert (caution is not None) == (film_left_ml(diameter, height, drain_s) > 1.5)
    if caution:
        assert caution.code == "wet-can"
        assert "invented" in caution.basis


@given(st.floats(0.5, 20.0), st.floats(10.0, 900.0))
def test_four_times_the_pressure_doubles_the_flow(bore_mm, pressure_kpa):
    assert nozzle_flow_l_min(bore_mm, 4 * pressure_kpa) == pytest.approx(
        2 * nozzle_flow_l_min(bore_mm, pressure_kpa)
    )


def test_water_per_thousand():
    # Arithmetic, invented header: 6 L/min at 60 cans a minute is a tenth of a litre a can.
    assert rinse_water_l_per_1000(6.0, 60.0) == pytest.approx(100.0)


@pytest.mark.parametrize(
    ("drop_mm", "code"),
    [(300.0, "track-too-flat"), (500.0, "track-may-hang"), (650.0, None)],
)
def test_slope_cautions_follow_the_published_range(drop_mm, code):
    caution = track_slope_caution(drop_mm, 1000.0, ALUMINIUM_ON_STEEL_AT_REST)
    assert (caution.code if caution else None) == code


def test_senseless_input_is_refused():
    with pytest.raises(ValueError, match="friction"):
        friction_angle_deg(-0.1)
    with pytest.raises(ValueError, match="rail_angle_deg"):
        half_turn_length_mm(122.0, 90.0)
    with pytest.raises(ValueError, match="slope_margin"):
        least_twist_drop(122.0, 66.0, 60.0, friction=0.3, inverted_mm=300.0, slope_margin=0.9)
    with pytest.raises(ValueError, match="header_mm"):
        inverted_times(300.0, 301.0, 0.1, 0.1)
    with pytest.raises(ValueError, match="mean_speed_m_s"):
        inverted_times(300.0, 100.0, 0.0, 0.0)
