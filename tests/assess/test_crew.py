"""The smallest crew, against trying everything, and what always holds of it."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.crew import Habits, people_needed, posts
from lineconfig.assess.crew import shares as shares_of

UNITS = 20
"""Workloads of the exhaustive check are whole twentieths of one person's allowed time."""
HABITS = Habits(allowed=0.85, most_stations=3)

loads = st.lists(st.tuples(st.integers(0, 50), st.sampled_from([False] * 5 + [True])), max_size=7)
shares = st.lists(
    st.tuples(st.floats(0, 2.5), st.sampled_from([False] * 5 + [True])), min_size=1, max_size=12
)


def fewest_people(units: list[int], always: list[bool], most_stations: int) -> int:
    """Every way to share the work, tried: each person may take any amount of what comes next.

    A person goes on to the next station only when the one before is done, and minds at most so many
    stations with work; an always-attended station takes somebody of its own.
    """
    plan = [(u, a) for u, a in zip(units, always, strict=True) if u or a]

    @cache
    def rest(station: int, left: int) -> int:
        """Fewest people for what is left of this station and all that follows."""
        if station == len(plan):
            return 0
        if plan[station][1]:
            return 1 + follow(station + 1)
        best = len(plan) * 10
        for taken in range(1, left + 1):
            best = min(best, 1 + hand_over(station, left, taken, UNITS, most_stations))
        return best

    @cache
    def hand_over(station: int, left: int, taken: int, time: int, stations: int) -> int:
        """One person takes some of a station; then stops, or goes on to the next."""
        if taken > time:
            return len(plan) * 10
        if taken < left:
            return rest(station, left - taken)
        best = follow(station + 1)
        if stations > 1 and station + 1 < len(plan) and not plan[station + 1][1]:
            after = plan[station + 1][0]
            for more in range(1, after + 1):
                best = min(best, hand_over(station + 1, after, more, time - taken, stations - 1))
        return best

    def follow(station: int) -> int:
        return rest(station, plan[station][0]) if station < len(plan) else 0

    return follow(0)


@given(loads, st.integers(1, 4))
def test_nobody_can_be_spared(stations: list[tuple[int, bool]], most_stations: int) -> None:
    units, always = [u for u, _ in stations], [a for _, a in stations]
    habits = Habits(allowed=1.0, most_stations=most_stations)
    found = people_needed([u / UNITS for u in units], always, habits).people
    assert found == fewest_people(units, always, most_stations)


@given(shares)
def test_the_posts_are_the_people(stations: list[tuple[float, bool]]) -> None:
    workloads, always = [w for w, _ in stations], [a for _, a in stations]
    made = posts(workloads, always, HABITS)
    assert len(made) == people_needed(workloads, always, HABITS).people
    for post in made:
        assert list(post.stations) == sorted(set(post.stations))
        if not post.always:
            assert post.workload <= HABITS.allowed + 1e-6
            assert len([s for s in post.stations if workloads[s] > 0]) <= HABITS.most_stations
    served = sum(post.workload for post in made if not post.always)
    wanted = sum(w for w, a in stations if not a and w > 1e-9)
    assert served == pytest.approx(wanted, abs=1e-6)
    for index, (workload, attended) in enumerate(stations):
        minded = [post for post in made if index in post.stations]
        assert bool(minded) == (workload > 1e-9 or attended)
        if attended:
            assert minded == [post for post in made if post.stations == (index,) and post.always]


@given(shares, st.data())
def test_less_work_never_takes_more_people(
    stations: list[tuple[float, bool]], data: st.DataObject
) -> None:
    """On this rest the bounds of the search."""
    workloads, always = [w for w, _ in stations], [a for _, a in stations]
    less = [w * data.draw(st.sampled_from([0.0, 0.3, 0.7, 1.0])) for w in workloads]
    before = people_needed(workloads, always, HABITS)
    after = people_needed(less, always, HABITS)
    assert after.people <= before.people


@given(shares, st.integers(0, 12))
def test_a_line_may_be_staffed_in_stretches(stations: list[tuple[float, bool]], cut: int) -> None:
    workloads, always = [w for w, _ in stations], [a for _, a in stations]
    first = people_needed(workloads[:cut], always[:cut], HABITS)
    both = people_needed(workloads[cut:], always[cut:], HABITS, first)
    assert both == people_needed(workloads, always, HABITS)


def test_an_always_attended_station_takes_one_whole_person() -> None:
    made = posts([0.1, 0.2, 0.1], [False, True, False], HABITS)
    assert [post.stations for post in made] == [(0,), (1,), (2,)]
    assert made[1].always


def test_two_stretches_share_the_station_between_them() -> None:
    made = posts([0.5, 0.6, 0.4], [False] * 3, HABITS)
    assert [post.stations for post in made] == [(0, 1), (1, 2)]
    assert [post.workload for post in made] == pytest.approx([0.85, 0.65])


@given(shares)
def test_what_the_posts_have_taken_is_all_the_work(stations: list[tuple[float, bool]]) -> None:
    workloads = [load for load, _ in stations]
    made = posts(workloads, [always for _, always in stations], HABITS)
    taken = shares_of(made, workloads)
    together = [0.0] * len(stations)
    for post, parts in zip(made, taken, strict=True):
        assert tuple(index for index, _ in parts) == post.stations
        assert all(0 <= part <= 1 + 1e-9 for _, part in parts)
        for index, part in parts:
            together[index] += part
        work = sum(workloads[index] * part for index, part in parts)
        assert work == pytest.approx(min(post.workload, work) if post.always else post.workload)
    for (load, always), share in zip(stations, together, strict=True):
        if load > 1e-6 or always:
            assert share == pytest.approx(1)
