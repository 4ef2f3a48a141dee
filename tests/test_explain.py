"""Smallest conflicts and openings: they really conflict, nothing is spare, and they open."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.explain import clashes, smallest_conflict, why_class, why_nothing
from lineconfig.locate import examples_dir
from lineconfig.session import Study, open_study

NAMES = list("abcdefg")


@given(st.lists(st.frozensets(st.sampled_from(NAMES), min_size=1, max_size=4), max_size=6))
def test_a_smallest_conflict_is_smallest(conflicts: list[frozenset[str]]) -> None:
    """Against trying every set by size; a set is infeasible when it holds one of the conflicts."""

    def feasible(active: frozenset[str]) -> bool:
        return not any(conflict <= active for conflict in conflicts)

    def met(active: frozenset[str]) -> frozenset[str] | None:
        return active if feasible(active) else None

    found = smallest_conflict(met, NAMES)
    smallest = next(
        (
            size
            for size in range(len(NAMES) + 1)
            if any(not feasible(frozenset(each)) for each in combinations(NAMES, size))
        ),
        None,
    )
    if smallest is None:
        assert found is None
        return
    assert found is not None
    assert not feasible(found)
    assert len(found) == smallest
    assert all(feasible(found - {name}) for name in found)


@pytest.fixture(scope="module")
def impossible() -> Study:
    return open_study(examples_dir() / "cannot-be-met.yaml")


def test_every_member_of_the_conflict_is_needed(impossible: Study) -> None:
    answer = why_nothing(impossible)
    assert answer is not None
    names = {clash.rule for clash in answer.conflict}
    everything = {rule.id for rule in impossible.rules}
    from lineconfig.choose.limits import LIMITS

    everything |= {limit.id for limit in LIMITS}
    soft = {rule.id for rule in impossible.rules if rule.field} | {limit.id for limit in LIMITS}
    assert not impossible.varied(without=soft - names).feasible
    for name in names:
        assert impossible.varied(without=soft - names | {name}).feasible


def test_openings_open(impossible: Study) -> None:
    answer = why_nothing(impossible)
    assert answer is not None
    for opening in answer.openings:
        assert opening.layout.classes


def test_a_feasible_brief_has_nothing_to_explain() -> None:
    assert why_nothing(open_study(examples_dir() / "startup.yaml")) is None


def test_a_valid_line_breaks_nothing() -> None:
    study = open_study(examples_dir() / "growing-brewery.yaml")
    for _, found in zip(range(20), study.found(), strict=False):
        assert clashes(study.inquiry, found) == []


def test_a_class_that_is_valid_is_in_a_layout() -> None:
    study = open_study(examples_dir() / "growing-brewery.yaml")
    shown = study.best(2)
    answer = why_class(study, "single-filing-table", shown)
    assert answer.status == "valid" and answer.layout is not None
    assert "single-filing-table" in answer.layout.classes
    extra = answer.layout.money.life_cycle_cost.typical - shown[0].money.life_cycle_cost.typical
    assert f"{extra:+,.0f}" in answer.text
