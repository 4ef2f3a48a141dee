"""What always holds of a line's effective speed and its bracket."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lineconfig.assess.buffers import buffered_cpm
from lineconfig.assess.flow import (
    Machine,
    equivalent_machine,
    infinite_buffer_efficiency,
    line_effective_speed,
    merge,
    two_machine_throughput,
    zero_buffer_efficiency,
)
from lineconfig.connect.hours import ESTIMATE_SLACK

SLACK = 1e-9
Line = tuple[Machine, Machine, Machine, float, float]

speeds = st.floats(10, 1500)
cans_between = st.floats(200, 60_000)
minutes = st.floats(0.1, 8)
buffers = st.one_of(st.just(0.0), st.floats(0, 5000), st.just(math.inf))


@st.composite
def machines(draw: st.DrawFn, speed_cpm: float | None = None) -> Machine:
    speed = draw(speeds) if speed_cpm is None else speed_cpm
    stops = draw(st.one_of(cans_between.map(lambda cans: speed / cans), st.just(0.0)))
    return Machine(speed, stops, 1 / draw(minutes))


@st.composite
def lines(draw: st.DrawFn) -> Line:
    base = draw(speeds)
    factors = st.one_of(st.just(1.0), st.floats(0.7, 1.5), st.just(10.0))
    upstream, downstream = (draw(machines(base * draw(factors))) for _ in range(2))
    return upstream, draw(machines(base)), downstream, draw(buffers), draw(buffers)


def better(line: Line, which: int, **changes: float) -> Line:
    """The line with one machine changed."""
    three: list[Machine] = list(line[:3])
    machine = three[which]
    three[which] = Machine(
        machine.speed_cpm,
        machine.stops_per_min * changes.get("fewer", 1.0),
        machine.repairs_per_min / changes.get("shorter", 1.0),
    ).slowed(machine.speed_cpm * changes.get("faster", 1.0))
    return three[0], three[1], three[2], line[3], line[4]


# --- machines ----------------------------------------------------------------------------------


@given(st.lists(machines(), min_size=1, max_size=5))
def test_merging_keeps_the_zero_buffer_throughput(stations: list[Machine]) -> None:
    slowest = min(station.speed_cpm for station in stations)
    slowed = [station.slowed(slowest).stop for station in stations]
    merged = merge(stations)
    assert merged.alone_cpm == pytest.approx(slowest * zero_buffer_efficiency(slowed))
    assert merged.stops_per_min == pytest.approx(sum(p for p, _ in slowed))
    assert merge([merge(stations[:1]), *stations[1:]]).stop == pytest.approx(merged.stop)


@given(st.lists(machines(), min_size=1, max_size=5))
def test_bounds_are_in_order(stations: list[Machine]) -> None:
    stops = [station.stop for station in stations]
    assert 0 < zero_buffer_efficiency(stops) <= infinite_buffer_efficiency(stops) * (1 + SLACK)
    assert infinite_buffer_efficiency(stops) <= 1


def test_no_machines_lose_nothing() -> None:
    assert zero_buffer_efficiency([]) == infinite_buffer_efficiency([]) == 1.0


@given(machines(), machines(), buffers)
def test_the_equivalent_machine_keeps_the_throughput(
    first: Machine, second: Machine, buffer_cans: float
) -> None:
    expected = two_machine_throughput(first, second, buffer_cans)
    for pair in (
        equivalent_machine(first, second, buffer_cans),
        equivalent_machine(first, second, buffer_cans, expected),
    ):
        assert pair.speed_cpm == min(first.speed_cpm, second.speed_cpm)
        assert pair.alone_cpm == pytest.approx(expected, rel=SLACK)
        clearings = sorted((first.repairs_per_min, second.repairs_per_min))
        if pair.stops_per_min > 1e-9:
            low, high = clearings
            assert low * (1 - SLACK) <= pair.repairs_per_min <= high * (1 + SLACK)


@given(machines(), machines())
def test_without_a_buffer_the_equivalent_machine_is_the_merged_one(
    first: Machine, second: Machine
) -> None:
    pair, merged = equivalent_machine(first, second, 0), merge([first, second])
    assert pair.stops_per_min == pytest.approx(merged.stops_per_min, abs=1e-12)
    if merged.stops_per_min:
        assert pair.repairs_per_min == pytest.approx(merged.repairs_per_min)


@pytest.mark.parametrize(
    ("figures", "name"),
    [
        ((0.0, 0.1, 1.0), "speed_cpm"),
        ((math.inf, 0.1, 1.0), "speed_cpm"),
        ((100.0, -0.1, 1.0), "stops_per_min"),
        ((100.0, 0.1, 0.0), "repairs_per_min"),
        ((100.0, 0.1, math.nan), "repairs_per_min"),
    ],
)
def test_figures_that_no_machine_has_are_refused(figures: Any, name: str) -> None:
    with pytest.raises(ValueError, match=name):
        Machine(*figures)


def test_a_negative_buffer_is_refused() -> None:
    machine = Machine(100, 0.1, 1)
    with pytest.raises(ValueError, match="-1"):
        two_machine_throughput(machine, machine, -1)
    with pytest.raises(ValueError, match="-2"):
        line_effective_speed(machine, machine, machine, 10, -2)


# --- the bracket -------------------------------------------------------------------------------


@given(lines())
def test_the_estimate_is_inside_its_bracket(line: Line) -> None:
    found = line_effective_speed(*line)
    assert found.lower_cpm <= found.estimate_cpm
    assert found.estimate_cpm <= found.upper_cpm <= found.rated_cpm
    assert found.estimate_cpm <= found.pairs_cpm * (1 + SLACK)
    assert found.pairs_cpm <= found.upper_cpm * (1 + SLACK)


@given(lines())
def test_a_line_runs_as_fast_backwards(line: Line) -> None:
    # Muth 1979 (reversibility of production lines, from memory).
    upstream, filler, downstream, before, after = line
    forwards = line_effective_speed(*line).estimate_cpm
    backwards = line_effective_speed(downstream, filler, upstream, after, before).estimate_cpm
    assert backwards == pytest.approx(forwards, rel=1e-12)


@given(lines())
def test_exact_where_one_buffer_is_nil(line: Line) -> None:
    upstream, filler, downstream, _, after = line
    speed_cpm = min(upstream.speed_cpm, filler.speed_cpm)
    both = [upstream.slowed(speed_cpm).stop, filler.slowed(speed_cpm).stop]
    exact = buffered_cpm(speed_cpm, both, downstream.speed_cpm, [downstream.stop], after)
    found = line_effective_speed(upstream, filler, downstream, 0, after)
    assert found.estimate_cpm == pytest.approx(exact, rel=1e-7)


@given(lines())
def test_a_perfect_end_leaves_a_pair(line: Line) -> None:
    _, filler, downstream, before, after = line
    perfect = Machine(filler.speed_cpm, 0.0, 1.0)
    found = line_effective_speed(perfect, filler, downstream, before, after).estimate_cpm
    pair = two_machine_throughput(filler, downstream, after)
    assert found == pytest.approx(pair, rel=1e-7)


@given(lines())
def test_buffers_without_end_leave_the_slowest_section(line: Line) -> None:
    found = line_effective_speed(*line[:3], math.inf, math.inf)
    assert found.estimate_cpm == pytest.approx(found.upper_cpm, rel=SLACK)
    large = line_effective_speed(*line[:3], 1e12, 1e12)
    assert large.estimate_cpm == pytest.approx(found.upper_cpm, rel=1e-5)


# --- the monotony on which the bounds of a search may rest -------------------------------------


@settings(max_examples=200)
@given(lines(), st.integers(0, 1), st.floats(0, 2000))
def test_more_buffer_never_slows_a_line(line: Line, which: int, more: float) -> None:
    *three, before, after = line
    larger = (before + more, after) if which == 0 else (before, after + more)
    less = line_effective_speed(*three, before, after)
    found = line_effective_speed(*three, *larger)
    assert found.estimate_cpm >= less.estimate_cpm * (1 - SLACK)
    assert found.pairs_cpm >= less.pairs_cpm * (1 - SLACK)


@settings(max_examples=300)
@given(lines(), st.integers(0, 2), st.floats(0, 1.0), st.floats(0.001, 1.0))
def test_rarer_and_shorter_stops_never_slow_a_line(
    line: Line, which: int, fewer: float, shorter: float
) -> None:
    before = line_effective_speed(*line)
    after = line_effective_speed(*better(line, which, fewer=fewer, shorter=shorter))
    assert after.estimate_cpm >= before.estimate_cpm * (1 - SLACK)
    assert after.pairs_cpm >= before.pairs_cpm * (1 - SLACK)
    assert after.lower_cpm >= before.lower_cpm * (1 - SLACK)


@settings(max_examples=200)
@given(lines(), st.integers(0, 2), st.floats(1.0, 2.0))
def test_a_faster_section_never_slows_a_line(line: Line, which: int, faster: float) -> None:
    """Stops come with the cans: a faster section stops as often per can."""
    before = line_effective_speed(*line)
    after = line_effective_speed(*better(line, which, faster=faster))
    assert after.pairs_cpm >= before.pairs_cpm * (1 - SLACK)
    assert after.upper_cpm >= before.upper_cpm * (1 - SLACK)
    assert after.lower_cpm >= before.lower_cpm * (1 - SLACK)
    # The speed that serves best is searched for, and found to within this.
    assert after.estimate_cpm >= before.estimate_cpm * (1 - ESTIMATE_SLACK)


def test_a_filler_that_runs_ahead_is_not_taken_for_worse() -> None:
    # Invented: the closing section is the slowest, so a faster filler cannot hurt.
    upstream = Machine(110, 0.26, 1.64)
    downstream = Machine(85, 0.011, 4.4)
    slow, fast = (Machine(speed, 0.00107 * speed, 1.38) for speed in (100.0, 130.0))
    held = line_effective_speed(upstream, slow, downstream, 3003, 54).estimate_cpm
    ahead = line_effective_speed(upstream, fast, downstream, 3003, 54).estimate_cpm
    assert held <= ahead
