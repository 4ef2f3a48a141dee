"""Platforms: what must hold for every height."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.platforms import DEPTH_MM, platform_floor_m2, risers, steps_run_mm

heights = st.floats(0.0, 5000.0)
lengths = st.floats(0.0, 10_000.0)


def test_no_platform_takes_no_floor() -> None:
    assert platform_floor_m2(0.0, 3000.0, 0.0) == 0.0
    assert (risers(0.0), steps_run_mm(0.0)) == (0, 0.0)


def test_one_step_up_has_no_flight() -> None:
    assert steps_run_mm(200.0) == 0.0
    assert platform_floor_m2(200.0, 3000.0, DEPTH_MM) == 0.0


@given(low=heights, more=heights, along=lengths, free=lengths)
def test_a_higher_platform_never_takes_less(
    low: float, more: float, along: float, free: float
) -> None:
    assert platform_floor_m2(low + more, along, free) >= platform_floor_m2(low, along, free) - 1e-12


@given(height=heights, along=lengths, free=lengths, more=lengths)
def test_more_clearance_never_takes_more(
    height: float, along: float, free: float, more: float
) -> None:
    assert platform_floor_m2(height, along, free + more) <= platform_floor_m2(height, along, free)


@pytest.mark.parametrize("bad", [-1.0, float("nan"), float("inf")])
def test_what_is_no_length_is_refused(bad: float) -> None:
    with pytest.raises(ValueError, match="height_mm"):
        platform_floor_m2(bad, 1000.0, 0.0)
    with pytest.raises(ValueError, match="kept_free_mm"):
        platform_floor_m2(1000.0, 1000.0, bad)
