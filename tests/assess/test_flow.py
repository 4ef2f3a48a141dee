"""What always holds of two-machine lines and of the bracket of a line's speed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.flow import (
    Machine,
    equivalent_machine,
    line_effective_speed,
    merge,
    two_machine_throughput,
)

SLACK = 1e-6

speeds = st.floats(10, 1500)
cans_between = st.floats(200, 60_000)
minutes = st.floats(0.1, 8)
buffers = st.one_of(st.just(0.0), st.floats(0, 5000))


@st.composite
def machines(draw: st.DrawFn, speed_cpm: float | None = None) -> Machine:
    speed = draw(speeds) if speed_cpm is None else speed_cpm
    return Machine(speed, speed / draw(cans_between), 1 / draw(minutes))


@st.composite
def lines(draw: st.DrawFn) -> tuple[Machine, Machine, Machine, float, float]:
    base = draw(speeds)
    factors = st.floats(1.0, 1.5)
    up, fill, down = (
        draw(machines(base * factor)) for factor in (draw(factors), 1.0, draw(factors))
    )
    return up, fill, down, draw(buffers), draw(buffers)


@given(machines(), machines(), buffers)
def test_between_the_limits(first: Machine, second: Machine, buffer_cans: float) -> None:
    found = two_machine_throughput(first, second, buffer_cans)
    assert merge((first, second)).alone_cpm * (1 - SLACK) <= found
    assert found <= min(first.alone_cpm, second.alone_cpm) * (1 + SLACK)


@given(machines(), machines(), buffers)
def test_a_line_runs_as_fast_backwards(first: Machine, second: Machine, buffer_cans: float) -> None:
    forwards = two_machine_throughput(first, second, buffer_cans)
    assert two_machine_throughput(second, first, buffer_cans) == pytest.approx(forwards, rel=1e-9)


@given(machines(), machines(), buffers, st.floats(1, 3000))
def test_more_buffer_never_slows(
    first: Machine, second: Machine, buffer_cans: float, more: float
) -> None:
    less = two_machine_throughput(first, second, buffer_cans)
    assert two_machine_throughput(first, second, buffer_cans + more) >= less * (1 - SLACK)


@given(machines(), st.floats(10, 1500), st.floats(1, 5000))
def test_a_perfect_fast_machine_changes_nothing(
    machine: Machine, speed_cpm: float, buffer_cans: float
) -> None:
    perfect = Machine(machine.speed_cpm + speed_cpm, 0.0, 1.0)
    found = two_machine_throughput(perfect, machine, buffer_cans)
    assert found == pytest.approx(machine.alone_cpm, rel=1e-4)


@given(machines(), machines(), buffers)
def test_the_equivalent_machine_keeps_the_throughput(
    first: Machine, second: Machine, buffer_cans: float
) -> None:
    pair = equivalent_machine(first, second, buffer_cans)
    expected = two_machine_throughput(first, second, buffer_cans)
    assert pair.alone_cpm == pytest.approx(expected, rel=1e-9)


def test_a_negative_buffer_is_refused() -> None:
    machine = Machine(100, 0.1, 1)
    with pytest.raises(ValueError, match="-1"):
        two_machine_throughput(machine, machine, -1)


# --- the monotony on which the bounds of the search rest ---------------------------------------


@given(lines())
def test_the_estimate_is_inside_its_bracket(
    line: tuple[Machine, Machine, Machine, float, float],
) -> None:
    found = line_effective_speed(*line)
    assert found.lower_cpm <= found.estimate_cpm <= found.upper_cpm <= found.rated_cpm


@given(lines(), st.integers(0, 1), st.floats(1, 2000))
def test_more_buffer_never_slows_a_line(
    line: tuple[Machine, Machine, Machine, float, float], which: int, more: float
) -> None:
    *three, before, after = line
    larger = (before + more, after) if which == 0 else (before, after + more)
    less = line_effective_speed(*three, before, after).estimate_cpm
    assert line_effective_speed(*three, *larger).estimate_cpm >= less * (1 - SLACK)


@given(lines(), st.integers(0, 2), st.floats(0.2, 1.0), st.floats(0.2, 1.0))
def test_rarer_and_shorter_stops_never_slow_a_line(
    line: tuple[Machine, Machine, Machine, float, float],
    which: int,
    fewer: float,
    shorter: float,
) -> None:
    three, buffers_held = list(line[:3]), line[3:]
    before = line_effective_speed(*three, *buffers_held).estimate_cpm
    machine = three[which]
    three[which] = Machine(
        machine.speed_cpm, machine.stops_per_min * fewer, machine.repairs_per_min / shorter
    )
    assert line_effective_speed(*three, *buffers_held).estimate_cpm >= before * (1 - SLACK)


@given(lines(), st.integers(0, 2), st.floats(1.0, 2.0))
def test_a_faster_section_never_lowers_the_upper_bound(
    line: tuple[Machine, Machine, Machine, float, float], which: int, faster: float
) -> None:
    """Stops come with the cans: a faster section stops as often per can."""
    three, buffers_held = list(line[:3]), line[3:]
    before = line_effective_speed(*three, *buffers_held)
    three[which] = three[which].slowed(three[which].speed_cpm * faster)
    after = line_effective_speed(*three, *buffers_held)
    assert after.upper_cpm >= before.upper_cpm * (1 - SLACK)
