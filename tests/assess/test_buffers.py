"""What always holds of two machines with a buffer between them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.buffers import Stop, buffered_cpm, standstill, starving

SLACK = 1e-9

speeds = st.floats(10, 1500)
buffers = st.one_of(st.just(0.0), st.floats(1e-3, 1e7))
stops = st.tuples(st.floats(1e-4, 5), st.floats(0.1, 10))
kinds = st.one_of(
    st.tuples(st.lists(stops, min_size=1, max_size=1), st.lists(stops, min_size=1, max_size=2)),
    st.tuples(st.lists(stops, min_size=2, max_size=2), st.lists(stops, min_size=1, max_size=1)),
)


def alone_cpm(speed_cpm: float, stops: list[Stop]) -> float:
    return speed_cpm / (1 + sum(p / r for p, r in stops))


@given(speeds, speeds, kinds, buffers)
def test_between_the_limits(
    first_cpm: float, second_cpm: float, stops: tuple[list[Stop], list[Stop]], cans: float
) -> None:
    found = buffered_cpm(first_cpm, stops[0], second_cpm, stops[1], cans)
    least = buffered_cpm(first_cpm, stops[0], second_cpm, stops[1], 0)
    most = buffered_cpm(first_cpm, stops[0], second_cpm, stops[1], math.inf)
    assert least * (1 - SLACK) <= found <= most * (1 + SLACK)
    # Buzacott 1967: min of the machines alone, and stops that add up, each in cans.
    assert most == pytest.approx(
        min(alone_cpm(first_cpm, stops[0]), alone_cpm(second_cpm, stops[1]))
    )
    slower = min(first_cpm, second_cpm)
    lost = standstill(stops[0]) / first_cpm + standstill(stops[1]) / second_cpm
    assert least == pytest.approx(slower / (1 + slower * lost))


@given(speeds, speeds, kinds)
def test_small_and_large_buffers_come_close_to_the_limits(
    first_cpm: float, second_cpm: float, stops: tuple[list[Stop], list[Stop]]
) -> None:
    line = (first_cpm, stops[0], second_cpm, stops[1])
    assert buffered_cpm(*line, 1e-9) == pytest.approx(buffered_cpm(*line, 0), rel=1e-6)
    assert buffered_cpm(*line, 1e12) == pytest.approx(buffered_cpm(*line, math.inf), rel=1e-6)


@given(speeds, speeds, kinds, buffers)
def test_a_line_runs_as_fast_backwards(
    first_cpm: float, second_cpm: float, stops: tuple[list[Stop], list[Stop]], cans: float
) -> None:
    # Muth 1979 (reversibility of production lines, from memory).
    forwards = buffered_cpm(first_cpm, stops[0], second_cpm, stops[1], cans)
    backwards = buffered_cpm(second_cpm, stops[1], first_cpm, stops[0], cans)
    assert backwards == pytest.approx(forwards, rel=1e-12)


@given(speeds, speeds, kinds, buffers, st.sampled_from([0.01, 7.0, 3600.0]))
def test_only_ratios_matter(
    first_cpm: float,
    second_cpm: float,
    stops: tuple[list[Stop], list[Stop]],
    cans: float,
    scale: float,
) -> None:
    found = buffered_cpm(first_cpm, stops[0], second_cpm, stops[1], cans)
    faster = [[(p * scale, r * scale) for p, r in machine] for machine in stops]
    in_other_minutes = buffered_cpm(
        first_cpm * scale, faster[0], second_cpm * scale, faster[1], cans
    )
    assert in_other_minutes == pytest.approx(found * scale, rel=SLACK)
    in_other_cans = buffered_cpm(
        first_cpm * scale, stops[0], second_cpm * scale, stops[1], cans * scale
    )
    assert in_other_cans == pytest.approx(found * scale, rel=SLACK)


@given(
    speeds,
    speeds,
    kinds,
    buffers,
    st.sampled_from(["p", "r", "speed", "buffer"]),
    st.integers(0, 1),
    st.floats(1, 100),
)
def test_better_machines_and_more_buffer_never_slow_a_pair(
    first_cpm: float,
    second_cpm: float,
    stops: tuple[list[Stop], list[Stop]],
    cans: float,
    what: str,
    which: int,
    factor: float,
) -> None:
    before = buffered_cpm(first_cpm, stops[0], second_cpm, stops[1], cans)
    kept, speed_cpm = [list(stops[0]), list(stops[1])], [first_cpm, second_cpm]
    p, r = kept[which][0]
    if what == "p":
        kept[which][0] = p / factor, r
    elif what == "r":
        kept[which][0] = p, r * factor
    elif what == "speed":
        # Stops come with the cans.
        speed_cpm[which] *= factor
        kept[which] = [(p * factor, r) for p, r in kept[which]]
    else:
        cans = cans * factor + factor - 1
    after = buffered_cpm(speed_cpm[0], kept[0], speed_cpm[1], kept[1], cans)
    assert after >= before * (1 - SLACK)


@given(speeds, stops, stops, buffers, st.floats(-0.2, 0.2), st.floats(0.1, 0.9))
def test_one_kind_of_stop_may_be_told_as_two(
    speed_cpm: float, one: Stop, other: Stop, cans: float, faster: float, share: float
) -> None:
    p, r = one
    other_cpm = speed_cpm * (1 + faster)
    whole = buffered_cpm(speed_cpm, [one], other_cpm, [other], cans)
    # Clearing rates that differ by next to nothing take the long way round.
    split = [(p * share, r), (p * (1 - share), r * (1 + 1e-7))]
    assert buffered_cpm(speed_cpm, split, other_cpm, [other], cans) == pytest.approx(
        whole, rel=1e-6
    )
    same = [(p * share, r), (p * (1 - share), r)]
    assert buffered_cpm(speed_cpm, same, other_cpm, [other], cans) == pytest.approx(whole)
    rare = [one, (1e-12, 1.0)]
    assert buffered_cpm(speed_cpm, rare, other_cpm, [other], cans) == pytest.approx(whole)


@given(speeds, kinds, buffers, st.floats(-12, -7))
def test_nearly_equal_speeds_are_as_good_as_equal(
    speed_cpm: float, stops: tuple[list[Stop], list[Stop]], cans: float, digits: float
) -> None:
    equal = buffered_cpm(speed_cpm, stops[0], speed_cpm, stops[1], cans)
    nearly = buffered_cpm(speed_cpm, stops[0], speed_cpm * (1 + 10**digits), stops[1], cans)
    assert nearly == pytest.approx(equal, rel=20 * 10**digits)


@given(speeds, speeds, st.lists(stops, min_size=1, max_size=2), buffers)
def test_a_perfect_machine(
    speed_cpm: float, other_cpm: float, stops: list[Stop], cans: float
) -> None:
    found = buffered_cpm(other_cpm, [(0.0, 1.0)], speed_cpm, stops, cans)
    assert found == pytest.approx(buffered_cpm(other_cpm, [], speed_cpm, stops, cans), rel=1e-12)
    if other_cpm >= speed_cpm:
        # It fills the buffer and keeps it full.
        assert found == pytest.approx(alone_cpm(speed_cpm, stops))
    nearly = buffered_cpm(other_cpm, [(1e-11, 1.0)], speed_cpm, stops, cans)
    assert nearly == pytest.approx(found, rel=1e-8)


def test_two_perfect_machines_run_at_the_slower_speed() -> None:
    assert buffered_cpm(120, [], 100, [(0.0, 1.0)], 50) == 100


def test_waits_for_a_slow_but_perfect_feed_of_the_same_speed_never_come() -> None:
    assert starving(100, (0.0, 1.0), 100, (0.2, 1.0), 50)[0] == pytest.approx(0, abs=1e-12)


@given(speeds, stops, st.floats(1, 2), stops, buffers)
def test_waits_make_up_for_what_the_pair_loses(
    own_cpm: float, feed: Stop, ahead: float, own: Stop, cans: float
) -> None:
    together = buffered_cpm(own_cpm * ahead, [feed], own_cpm, [own], cans)
    wait = starving(own_cpm * ahead, feed, own_cpm, own, cans)
    assert alone_cpm(own_cpm, [own, wait]) == pytest.approx(together)
    assert wait[1] == feed[1]


@pytest.mark.parametrize("cans", [-1.0, math.nan])
def test_a_senseless_buffer_is_refused(cans: float) -> None:
    with pytest.raises(ValueError, match=str(cans)):
        buffered_cpm(100, [(0.1, 1.0)], 100, [(0.1, 1.0)], cans)


def test_four_kinds_of_stops_are_refused() -> None:
    two = [(0.1, 1.0), (0.1, 2.0)]
    with pytest.raises(ValueError, match="found 4"):
        buffered_cpm(100, two, 100, two, 10)
