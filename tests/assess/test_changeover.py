"""Format changes: what must hold for all minutes and formats."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.changeover import (
    CAUSES,
    Shape,
    StationChange,
    differences,
    line_change_min,
    worst_minutes,
)

minutes = st.floats(0.0, 120.0)
changes = st.builds(
    lambda most, persons, always, each: StationChange(
        most, persons, always, tuple(zip(CAUSES, each, strict=True))
    ),
    minutes,
    st.integers(0, 3),
    st.one_of(st.none(), minutes),
    st.tuples(minutes, minutes, minutes, minutes),
)
shapes = st.builds(
    Shape,
    st.sampled_from([53.0, 57.0, 66.0]),
    st.sampled_from([115.0, 122.0, 157.0]),
    st.sampled_from(["200", "202"]),
    st.sampled_from(["seam", "crown"]),
)


@given(changes, st.sets(st.sampled_from(CAUSES)), st.sets(st.sampled_from(CAUSES)))
def test_more_that_differs_never_takes_less(
    change: StationChange, some: set[str], more: set[str]
) -> None:
    assert change.minutes(some) <= change.minutes(some | more)  # type: ignore[arg-type]
    assert change.minutes(some | more) <= change.most_min  # type: ignore[arg-type]


@given(changes, st.lists(shapes, min_size=1, max_size=5), shapes)
def test_another_format_never_shortens_the_longest_change(
    change: StationChange, some: list[Shape], another: Shape
) -> None:
    if len(some) > 1:
        assert worst_minutes(change, [*some, another]) >= worst_minutes(change, some)
    for before in some:
        assert change.minutes(differences(before, another)) <= worst_minutes(
            change, [*some, another]
        )


@given(st.lists(st.tuples(minutes, st.integers(0, 3)), max_size=8), st.integers(1, 8))
def test_more_people_never_take_longer(jobs: list[tuple[float, int]], people: int) -> None:
    station_min = [each for each, _ in jobs]
    person_min = [each * persons for each, persons in jobs]
    alone = line_change_min(station_min, person_min, people)
    assert line_change_min(station_min, person_min, people + 1) <= alone
    assert alone >= max(station_min, default=0.0)


def test_nobody_changes_nothing() -> None:
    with pytest.raises(ValueError, match="people"):
        line_change_min([1.0], [1.0], 0)
    with pytest.raises(ValueError, match="minutes"):
        line_change_min([-1.0], [1.0], 1)
