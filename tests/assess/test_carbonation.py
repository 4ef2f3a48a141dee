"""Properties of carbonation pressure."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.carbonation import (
    CAN_RATING_KPA,
    WARMEST_C,
    can_pressure_caution,
    carbonation_pressure_kpa,
    heated_can_caution,
)

temperatures = st.floats(0.0, 26.6)
carbonations = st.floats(2.0, 3.0)


@given(temperatures, carbonations, st.floats(0.0, 1.0))
def test_warmer_or_fizzier_product_pushes_harder(temperature_c, volumes, share):
    base = carbonation_pressure_kpa(temperature_c, volumes)
    warmer_c = temperature_c + share * (WARMEST_C - temperature_c)
    fizzier = volumes + share * (3.0 - volumes)
    assert carbonation_pressure_kpa(warmer_c, volumes) >= base - 1e-9
    assert carbonation_pressure_kpa(temperature_c, fizzier) >= base - 1e-9


@given(temperatures, carbonations)
def test_nothing_inside_the_table_reaches_the_rating_of_a_can(temperature_c, volumes):
    assert can_pressure_caution(carbonation_pressure_kpa(temperature_c, volumes)) is None


@given(st.floats(0.0, 1000.0), st.floats(400.0, 800.0), st.floats(0.5, 1.0))
def test_the_caution_starts_at_the_share_of_the_rating(pressure_kpa, rating_kpa, share):
    caution = can_pressure_caution(pressure_kpa, rating_kpa=rating_kpa, usable_share=share)
    assert (caution is None) == (pressure_kpa < share * rating_kpa)


def test_heated_cans_are_pointed_out():
    assert heated_can_caution(0.0, 62.0) is None
    assert heated_can_caution(2.6, 20.0) is None
    caution = heated_can_caution(2.6, 62.0)
    assert caution is not None
    assert "can maker" in caution.text


@pytest.mark.parametrize(
    ("temperature_c", "volumes", "name"),
    [
        (-0.1, 2.5, "temperature_c"),
        (60.0, 2.7, "temperature_c"),
        (math.nan, 2.5, "temperature_c"),
        (4.0, 1.9, "volumes"),
        (4.0, 3.1, "volumes"),
        (4.0, math.inf, "volumes"),
    ],
)
def test_outside_the_published_table_there_is_no_answer(temperature_c, volumes, name):
    with pytest.raises(ValueError, match=name):
        carbonation_pressure_kpa(temperature_c, volumes)


def test_senseless_input_is_refused():
    with pytest.raises(ValueError, match="pressure_kpa"):
        can_pressure_caution(-1.0)
    with pytest.raises(ValueError, match="rating_kpa"):
        can_pressure_caution(CAN_RATING_KPA, rating_kpa=0.0)
