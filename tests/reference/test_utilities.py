"""Current, apparent power and compressors against published tables and rules of thumb."""

from __future__ import annotations

import math

import pytest

from lineconfig.assess.utilities import (
    MOTOR_SIZES_KW,
    apparent_kva,
    compressor_kw,
    line_amperes,
    motor_size_kw,
)

KW_PER_HP = 0.746  # as cnylinks.com/electrical.htm has it


@pytest.mark.parametrize(
    ("hp", "volts", "amperes"),
    [
        # NEC 2008 Table 430.250, scribd.com/doc/250218196, full-load current of three-phase motors.
        (5, 208, 16.7), (5, 230, 15.2), (5, 460, 7.6),
        (10, 208, 30.8), (10, 230, 28), (10, 460, 14), (10, 575, 11),
        (25, 208, 74.8), (25, 230, 68), (25, 460, 34), (25, 575, 27),
        (50, 208, 143), (50, 460, 65), (100, 460, 124), (200, 460, 240),
    ],
)  # fmt: skip
def test_full_load_currents_of_the_national_electrical_code(
    hp: float, volts: float, amperes: float
) -> None:
    # The table counts a motor's losses: shaft power over its efficiency, 0.82 to 0.97, at a power
    # factor of 0.74 for small to 0.93 for large ones (common practice for such motors).
    low = line_amperes(hp * KW_PER_HP / 0.97, volts, 3, 0.93)
    high = line_amperes(hp * KW_PER_HP / 0.82, volts, 3, 0.74)
    assert low < amperes < high


def test_three_phases_by_the_formula_in_print() -> None:
    # cnylinks.com/electrical.htm: I = kW x 1000 / (E x 1.73 x PF), for three phases; without the
    # 1.73 for one.
    assert line_amperes(10, 480, 3, 0.85) == pytest.approx(10_000 / (480 * 1.73 * 0.85), rel=0.002)
    assert line_amperes(10, 240, 1, 0.85) == pytest.approx(10_000 / (240 * 0.85))
    assert line_amperes(10, 208, 3, 1.0) == pytest.approx(10_000 / (208 * math.sqrt(3)))


def test_apparent_power_by_hand() -> None:
    assert apparent_kva(8.0, 0.8) == pytest.approx(10.0)
    assert apparent_kva(0.0, 0.8) == 0.0


@pytest.mark.parametrize("cfm_per_hp", [4, 5])
def test_a_compressor_by_the_rule_of_thumb(cfm_per_hp: float) -> None:
    # air-compressor-guide.com, rules of thumb: 4 to 5 cfm for a horsepower at 100 psi, which is
    # 2.5 to 3.2 l/s for a kW there; so 5.3 to 6.6 kW for a cubic metre a minute.
    cfm = 100.0
    shaft_kw = cfm / cfm_per_hp * KW_PER_HP
    drawn_kw = compressor_kw(cfm * 28.3168, 7.0)
    # The figure of the catalogue is on the careful side of the rule, within a quarter of it.
    assert shaft_kw <= drawn_kw <= 1.35 * shaft_kw


@pytest.mark.parametrize(("kw_per_100_cfm", "low", "high"), [(16, 5.0, 6.0), (17, 5.5, 6.5)])
def test_specific_power_in_both_units(kw_per_100_cfm: float, low: float, high: float) -> None:
    # blue-cas.com/blog: data sheets state 16 or 17 kW for 100 cfm, "between 5 and 6 or even 7 kW"
    # for a cubic metre a minute.
    per_m3_min = kw_per_100_cfm / 2.83168
    assert low < per_m3_min < high + 0.1
    assert compressor_kw(2831.68, per_m3_min) == pytest.approx(kw_per_100_cfm)


@pytest.mark.parametrize(("needed", "size"), [(0.3, 0.37), (4.0, 4.0), (4.2, 5.5), (16, 18.5)])
def test_motors_come_in_preferred_sizes(needed: float, size: float) -> None:
    # IEC 60072-1, from memory: 0.37 ... 4, 5.5, 7.5, 11, 15, 18.5, 22 kW.
    assert motor_size_kw(needed) == size
    assert list(MOTOR_SIZES_KW) == sorted(set(MOTOR_SIZES_KW))


def test_what_no_motor_is_made_for_is_left_as_it_is() -> None:
    assert motor_size_kw(0.0) == 0.0
    assert motor_size_kw(900.0) == 900.0
