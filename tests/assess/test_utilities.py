"""Utilities: properties of currents and motors, and what is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.utilities import (
    MOTOR_SIZES_KW,
    apparent_kva,
    compressor_kw,
    line_amperes,
    motor_size_kw,
)

powers = st.floats(0.01, 1000.0)
factors = st.floats(0.1, 1.0)


@given(powers, st.floats(100.0, 1000.0), factors)
def test_three_phases_carry_the_same_load_with_less_current(
    power_kw: float, volts: float, factor: float
) -> None:
    one, three = (line_amperes(power_kw, volts, phases, factor) for phases in (1, 3))
    assert one / three == pytest.approx(math.sqrt(3))


@given(powers, st.floats(100.0, 1000.0), factors, factors)
def test_a_better_power_factor_never_draws_more(
    power_kw: float, volts: float, one: float, two: float
) -> None:
    low, high = sorted((one, two))
    assert line_amperes(power_kw, volts, 3, high) <= line_amperes(power_kw, volts, 3, low)


@given(powers)
def test_a_motor_is_never_too_small(power_kw: float) -> None:
    size = motor_size_kw(power_kw)
    assert size >= power_kw
    assert size in MOTOR_SIZES_KW or size == power_kw > MOTOR_SIZES_KW[-1]


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: line_amperes(1, 0, 3, 0.8), "volts"),
        (lambda: line_amperes(1, 400, 2, 0.8), "phases"),
        (lambda: apparent_kva(1, 1.2), "power_factor"),
        (lambda: compressor_kw(-1, 7), "air_l_min"),
        (lambda: motor_size_kw(math.nan), "power_kw"),
    ],
)
def test_senseless_input_is_refused(call: object, named: str) -> None:
    with pytest.raises(ValueError, match=named):
        call()  # type: ignore[operator]
