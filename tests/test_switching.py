"""Switching values: solved plainly just below and just above each, and inside each stretch.

The briefs are invented; random small catalogues and one example.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest

from lineconfig.layout import Layout
from lineconfig.locate import examples_dir
from lineconfig.session import Study, open_study
from lineconfig.switching import (
    PARAMETERS,
    TUNNEL_STEP_CPM,
    Parameter,
    Switcher,
    Switching,
    at_value,
)
from tests.oracle.sampling import case

NEAR = 2e-5
"""Relative distance at which the two sides of a switching value are solved."""
EQUAL = 0.03
"""Costs nearer than this are equal: each is rounded to a cent [currency]."""
NUMBERS = (2, 18, 22, 27, 30, 42, 52)


def study_of(number: int) -> Study:
    start = case(number)
    return Study(start.need, start.catalog)


def spots(traced: Switching) -> Iterator[tuple[float, str | None]]:
    """Values to solve at, and the layout that is said to be first there."""
    for place, stretch in enumerate(traced.stretches):
        yield (stretch.low + stretch.high) / 2, stretch.id
        if place:
            before = traced.stretches[place - 1]
            margin = NEAR * max(abs(stretch.low), 1e-3) if traced.exact else TUNNEL_STEP_CPM
            if stretch.low + margin < stretch.high:
                yield stretch.low + margin, stretch.id
            if before.low < stretch.low - margin:
                yield stretch.low - margin, before.id


def cost(layout: Layout) -> float:
    return layout.money.life_cycle_cost.typical


def hold(study: Study, traced: Switching) -> int:
    """Check one parameter; how many values were solved at."""
    count = 0
    for value, said in spots(traced):
        count += 1
        need = at_value(study.need, traced.parameter, value)
        here = Study(need, study.catalog)
        first = next(iter(here.best(1)), None)
        if first is None or said is None:
            assert (None if first is None else first.id) == said, (traced.parameter, value)
        elif first.id != said:
            named = here.by_id(said)
            assert named is not None, (traced.parameter, value, first.id, said)
            assert cost(named) - cost(first) <= EQUAL, (traced.parameter, value, first.id, said)
    return count


@pytest.mark.parametrize("number", NUMBERS)
def test_solving_below_and_above_each_value_gives_what_is_said(number: int) -> None:
    study = study_of(number)
    traced = Switcher(study).all()
    assert sum(hold(study, each) for each in traced.values()) > len(traced)


def test_a_brief_that_no_layout_meets_has_nothing_to_change_hands() -> None:
    with pytest.raises(ValueError, match="no layout is valid"):
        Switcher(study_of(7)).of("wage")


def test_the_values_of_an_example_hold() -> None:
    study = open_study(examples_dir() / "startup.yaml")
    traced = Switcher(study, None, [*study.best(10), *study.arrangements()]).all()
    assert set(traced) == set(PARAMETERS)
    # The answer does change: otherwise nothing would have been checked.
    assert sum(len(each.values) for each in traced.values()) >= 4
    assert sum(hold(study, each) for each in traced.values()) >= 12


def test_stretches_join_without_gaps_and_hold_the_value_of_the_brief() -> None:
    study = open_study(examples_dir() / "startup.yaml")
    first = study.best(1)[0]
    for each in Switcher(study).all().values():
        for before, after in zip(each.stretches, each.stretches[1:], strict=False):
            assert before.high == after.low and before.id != after.id
        assert each.low == each.stretches[0].low <= each.now <= each.stretches[-1].high == each.high
        assert each.current.id == first.id


def test_layouts_that_are_known_shorten_the_trace_and_change_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    study = open_study(examples_dir() / "startup.yaml")
    solves: list[float] = []
    solved = Switcher.solved

    def counted(self: Switcher, need: object, reached: float = math.inf) -> Layout | None:
        solves.append(reached)
        return solved(self, need, reached)  # type: ignore[arg-type]

    monkeypatch.setattr(Switcher, "solved", counted)

    def values(switcher: Switcher) -> dict[Parameter, list[tuple[float, float, str | None]]]:
        return {
            name: [(s.low, s.high, s.id) for s in each.stretches]
            for name, each in switcher.all().items()
        }

    plain = values(Switcher(study))
    unaided = len(solves)
    solves.clear()
    helped = values(Switcher(study, None, [*study.best(10), *study.arrangements()]))
    assert len(solves) < unaided
    assert helped.keys() == plain.keys()
    for name, stretches in plain.items():
        assert [one[2] for one in helped[name]] == [one[2] for one in stretches]
        for ours, theirs in zip(helped[name], stretches, strict=True):
            assert ours[:2] == pytest.approx(theirs[:2], rel=1e-6)


@pytest.mark.parametrize("view", ["people", "first-cost", "floor"])
def test_other_views_keep_their_order(view: str) -> None:
    """Known layouts that cost less do not come before those that are better in the view."""
    study = study_of(52)
    switcher = Switcher(study, view, study.best(10))  # type: ignore[arg-type]
    traced = switcher.of("wage")
    assert traced is not None
    for value, said in spots(traced):
        need = at_value(study.need, "wage", value)
        first = Study(need, study.catalog).best(1, view)[0]  # type: ignore[arg-type]
        assert first.id == said
