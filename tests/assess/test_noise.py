"""Properties of noise dose."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.noise import (
    Exposure,
    combined_level_dba,
    level_at_dba,
    noise_cautions,
    noise_dose_percent,
    permitted_h,
    recommended_average_dba,
    recommended_dose_percent,
    recommended_h,
    time_weighted_average_dba,
)

levels = st.floats(80.0, 120.0)
hours = st.floats(0.01, 12.0)
shifts = st.lists(st.builds(Exposure, levels, hours), max_size=6)


@given(levels)
def test_five_decibels_halve_the_time(level_dba):
    assert permitted_h(level_dba + 5) == pytest.approx(permitted_h(level_dba) / 2)


@given(levels)
def test_eight_hours_at_one_level_average_to_that_level(level_dba):
    # 16.61 stands for 5 / log10 2 = 16.6096, hence the tolerance.
    dose = noise_dose_percent([Exposure(level_dba, 8)])
    assert time_weighted_average_dba(dose) == pytest.approx(level_dba, abs=0.002)


@given(shifts, shifts)
def test_doses_add_up(morning, afternoon):
    assert noise_dose_percent(morning + afternoon) == pytest.approx(
        noise_dose_percent(morning) + noise_dose_percent(afternoon)
    )


@given(levels, hours, st.floats(0.1, 0.9))
def test_a_stretch_may_be_cut_in_two(level_dba, time_h, cut):
    parts = [Exposure(level_dba, cut * time_h), Exposure(level_dba, (1 - cut) * time_h)]
    assert noise_dose_percent(parts) == pytest.approx(
        noise_dose_percent([Exposure(level_dba, time_h)])
    )


@given(shifts)
def test_cautions_defer_to_measurement(shift):
    for caution in noise_cautions(shift):
        assert "Measure" in caution.text
        assert "1910.95" in caution.basis


@given(st.lists(st.floats(0.01, 1.0), min_size=2, max_size=12), st.sampled_from([85.0, 90.0]))
def test_cutting_the_shift_does_not_move_it_across_a_threshold(parts, level_dba):
    # Eight hours at exactly 85 or 90 dBA reach the action level, however they are cut.
    shift = [Exposure(level_dba, 8 * part / sum(parts)) for part in parts]
    assert [caution.code for caution in noise_cautions(shift)] == ["noise-action-level"]


def test_levels_below_the_threshold_do_not_count():
    quiet = [Exposure(79.9, 8)]
    assert noise_dose_percent(quiet) == 0.0
    assert noise_dose_percent(quiet, threshold_dba=70.0) > 0.0
    assert time_weighted_average_dba(0.0) == -math.inf
    assert noise_cautions([]) == []


def test_senseless_input_is_refused():
    with pytest.raises(ValueError, match="hours"):
        noise_dose_percent([Exposure(90, -1)])
    with pytest.raises(ValueError, match="level_dba"):
        permitted_h(math.nan)
    with pytest.raises(ValueError, match="dose_percent"):
        time_weighted_average_dba(-1.0)


@given(st.lists(levels, min_size=1, max_size=8))
def test_together_is_louder_than_the_loudest_and_quieter_than_that_many_of_it(several):
    together_dba = combined_level_dba(several)
    assert max(several) - 1e-9 <= together_dba
    assert together_dba <= max(several) + 10 * math.log10(len(several)) + 1e-9
    assert combined_level_dba(reversed(several)) == pytest.approx(together_dba)


@given(levels, st.floats(0.0, 100.0), st.floats(0.0, 100.0))
def test_farther_off_is_never_louder(level_dba, metres, more):
    assert level_at_dba(level_dba, metres + more) <= level_at_dba(level_dba, metres)
    assert level_at_dba(level_dba, min(metres, 1.0)) == level_dba


@given(levels)
def test_three_decibels_halve_the_recommended_time(level_dba):
    assert recommended_h(level_dba + 3) == pytest.approx(recommended_h(level_dba) / 2)


@given(st.floats(85.0, 120.0), hours)
def test_the_recommendation_is_never_laxer_than_the_rule(level_dba, time_h):
    shift = [Exposure(level_dba, time_h)]
    assert recommended_dose_percent(shift) >= noise_dose_percent(shift) - 1e-9


def test_silence_has_no_level():
    assert combined_level_dba([]) == -math.inf
    assert recommended_average_dba(0.0) == -math.inf
    with pytest.raises(ValueError, match="distance_m"):
        level_at_dba(80.0, -1.0)
