"""Guarding distances against the agency's chart and worked examples of the standard's formulas."""

import pytest

from lineconfig.assess.guarding import (
    US_HAND_SPEED_MM_S,
    interlocked_guard_distance,
    light_curtain_distance,
    single_beam_distance,
    two_hand_control_distance,
    two_hand_trip_distance,
    us_distance,
)

INCH_MM = 25.4

# osha.gov/SLTC/etools/machineguarding/presses/safetydistance.html: stopping time and distance.
CHART_S = [
    *(0.055, 0.063, 0.072, 0.079, 0.087, 0.095, 0.103, 0.111, 0.119, 0.126, 0.134, 0.142),
    *(0.150, 0.158, 0.166, 0.317, 0.325, 0.333, 0.341, 0.349, 0.357, 0.365, 0.373, 0.380),
    *(0.388, 0.396, 0.404, 0.412, 0.420),
]
CHART_IN = [
    *(3.5, 4.0, 4.5, 5.0, 5.5, 6.0, 6.5, 7.0, 7.5, 8.0, 8.5, 9.0, 9.5, 10.0, 10.5),
    *(20.0, 20.5, 21.0, 21.5, 22.0, 22.5, 23.0, 23.5, 24.0, 24.5, 25.0, 25.5, 26.0, 26.5),
]


@pytest.mark.parametrize(("stopping_s", "chart_in"), list(zip(CHART_S, CHART_IN, strict=True)))
def test_agency_chart(stopping_s, chart_in):
    # The bare formula lies within a sixteenth of an inch of the chart, which rounds to nearest.
    fine_in = us_distance(stopping_s, round_up_to_in=0.001).distance_mm / INCH_MM
    assert fine_in == pytest.approx(chart_in, abs=0.0625)
    # Rounded up to the chart's half inches it never falls short of the formula.
    found_in = us_distance(stopping_s).distance_mm / INCH_MM
    assert found_in >= 63.0 * stopping_s - 1e-9
    above = chart_in if chart_in >= 63.0 * stopping_s else chart_in + 0.5
    assert found_in == pytest.approx(above)


def test_the_chart_is_short_at_72_milliseconds():
    # 63 x .072 = 4.536 in, the chart says 4.5.
    assert us_distance(0.072).distance_mm == pytest.approx(5.0 * INCH_MM)


def test_hand_speed():
    # 63 in/s = 1600.2 mm/s, arithmetic.
    assert pytest.approx(1600.2) == US_HAND_SPEED_MM_S


def test_two_hand_trip():
    # 29 CFR 1910.217(c)(3)(viii)(c) by hand: N = 1 at 120 rpm, Tm = 1.5 x .5 = .75 s, 47.25 in.
    assert two_hand_trip_distance(1, 0.5).distance_mm == pytest.approx(47.25 * INCH_MM)


@pytest.mark.parametrize(
    ("stopping_s", "resolution_mm", "expected_mm"),
    [
        pytest.param(0.32, 14, 512, id="worked example in a maker's manual, December 2019, p. 72"),
        pytest.param(0.09, 30, 308, id="EN 999 annex example, 60 + 30 ms, from memory"),
        # The rule of ISO 13855:2010, 6.2.3, by hand.
        pytest.param(0.09, 40, 388, id="2000 x .09 + 8 x 26"),
        pytest.param(0.01, 14, 100, id="never less than 100"),
        pytest.param(0.26, 14, 500, id="520 at 2000, 416 at 1600: 500"),
        pytest.param(0.40, 30, 768, id="1600 x .4 + 128"),
        # S = 1600 T + 850, also in a maker's guide to access guarding with several beams.
        pytest.param(0.30, 70, 1330, id="1600 x .3 + 850"),
    ],
)
def test_light_curtain(stopping_s, resolution_mm, expected_mm):
    found = light_curtain_distance(stopping_s, resolution_mm)
    assert found.distance_mm == pytest.approx(expected_mm)
    assert found.standard == "ISO 13855:2010"


def test_single_beam():
    # S = 1600 T + 1200, a maker's guide to access guarding, section 3.7; .3 s by hand.
    assert single_beam_distance(0.3).distance_mm == pytest.approx(1680)


def test_interlocked_guard():
    # S = 1600 T + C, ISO 13855:2010, clause 9, as quoted in manuals of interlock switches; by hand.
    assert interlocked_guard_distance(0.3).distance_mm == pytest.approx(480)
    found = interlocked_guard_distance(0.3, reach_through_mm=120)
    assert found.distance_mm == pytest.approx(600)
    assert found.formula == "1600 mm/s x 0.3 s + 120 mm"


def test_two_hand_control():
    # S = 1600 T + 250 (ISO 13855, from memory); .2 s by hand.
    assert two_hand_control_distance(0.2).distance_mm == pytest.approx(570)
