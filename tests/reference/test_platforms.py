"""Platforms and steps against the United States' rule for stairs."""

from __future__ import annotations

import math

import pytest

from lineconfig.assess import platforms

INCH_MM = 25.4


def test_a_platform_is_as_deep_as_a_landing() -> None:
    # 29 CFR 1910.25(b)(4), glendabanisterk2ja.web.app (low-grade copy): at least 30 in (76 cm).
    assert pytest.approx(762.0) == platforms.DEPTH_MM
    assert round(platforms.DEPTH_MM / 10) == 76


def test_steps_are_those_of_a_standard_stair() -> None:
    # 29 CFR 1910.25(c)(2)-(4), from memory: risers at most 9.5 in, treads at least 9.5 in, 22 in
    # between the rails.
    assert pytest.approx(9.5) == platforms.RISER_MOST_MM / INCH_MM
    assert pytest.approx(9.5) == platforms.TREAD_LEAST_MM / INCH_MM
    assert pytest.approx(22) == platforms.STEPS_WIDTH_MM / INCH_MM


@pytest.mark.parametrize(
    ("height_in", "risers"), [(9.5, 1), (19, 2), (19.01, 3), (48, 6), (95, 10)]
)
def test_risers_by_hand(height_in: float, risers: int) -> None:
    # Arithmetic: height over 9.5 in, rounded up.
    assert platforms.risers(height_in * INCH_MM) == risers


@pytest.mark.parametrize("height_in", [20, 38, 60, 95, 120])
def test_the_steps_rise_at_an_angle_of_a_standard_stair(height_in: float) -> None:
    # 29 CFR 1910.25(c)(1), from memory: 30 to 50 degrees; taken along the nosings.
    count = platforms.risers(height_in * INCH_MM)
    rise_in = height_in / count
    assert 30 <= math.degrees(math.atan2(rise_in, 9.5)) <= 50


def test_a_platform_by_hand() -> None:
    # By hand: 48 in high, 100 in long, 24 in kept free: 100 x 6 + 5 treads x 9.5 x 22 in2.
    expected_in2 = 100 * 6 + 5 * 9.5 * 22
    found_m2 = platforms.platform_floor_m2(48 * INCH_MM, 100 * INCH_MM, 24 * INCH_MM)
    assert found_m2 == pytest.approx(expected_in2 * INCH_MM**2 / 1e6)
