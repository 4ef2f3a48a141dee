"""Where the first place changes hands, on a made-up study whose answer is known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, cast

import pytest

from lineconfig.errors import InputError
from lineconfig.whatif import Point, point_at, switch_between


@dataclass(frozen=True)
class Line:
    family: str


@dataclass(frozen=True)
class Study:
    """First below 7.3: hand work; from there on: a machine; from 20 on: nothing."""

    value: float

    def layouts(self) -> Any:
        if self.value < 20:
            yield Line("hand" if self.value < 7.3 else "machine")


def solve(value: float) -> Any:
    if value < 0:
        raise InputError.single("below zero", file="brief")
    return Study(value)


def test_a_point_says_what_is_first() -> None:
    assert point_at(solve, 5).family == "hand"
    assert point_at(solve, 25).layout is None
    assert point_at(solve, -1) == Point(-1, None, "below zero")


@pytest.mark.parametrize(("low", "high", "at"), [(5, 10, 7.3), (10, 30, 20), (0, 1000, 7.3)])
def test_the_switching_value_lies_between_the_two_ends(low: float, high: float, at: float) -> None:
    resolution = (high - low) / 500
    ends = (point_at(solve, low), point_at(solve, high))
    if low == 0:
        ends = (ends[0], point_at(solve, 19.9))
    switch = switch_between(solve, *ends, resolution)
    assert switch.below.value <= at <= switch.above.value
    assert switch.above.value - switch.below.value <= resolution
    assert switch.below.family == ends[0].family != switch.above.family
    assert cast(Any, switch.above.layout) == cast(Any, ends[1].layout)
