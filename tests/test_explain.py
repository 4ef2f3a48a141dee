"""Smallest conflicts and openings: they really conflict, nothing is spare, and they open."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from lineconfig.choose.limits import LIMITS
from lineconfig.explain import clashes, conflicts, smallest_conflict, why_class, why_nothing
from lineconfig.locate import examples_dir
from lineconfig.need_reading import settle
from lineconfig.session import Study, open_study
from tests.explain.infeasible import cannot_be_met

NAMES = list("abcdefg")


@given(st.lists(st.frozensets(st.sampled_from(NAMES), min_size=1, max_size=4), max_size=6))
def test_a_smallest_conflict_is_smallest(sets: list[frozenset[str]]) -> None:
    """Against trying every set by size; a set is infeasible when it holds one of the conflicts."""

    def feasible(active: frozenset[str]) -> bool:
        return not any(each <= active for each in sets)

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


@given(st.lists(st.frozensets(st.sampled_from(NAMES), min_size=1, max_size=4), max_size=6))
def test_every_irreducible_conflict_is_told_smallest_first(sets: list[frozenset[str]]) -> None:
    """Against all sets: those that hold a conflict and lose it with any one member."""

    def feasible(active: frozenset[str]) -> bool:
        return not any(each <= active for each in sets)

    def met(active: frozenset[str]) -> frozenset[str] | None:
        return active if feasible(active) else None

    everything = [
        frozenset(each) for size in range(len(NAMES) + 1) for each in combinations(NAMES, size)
    ]
    irreducible = {
        each
        for each in everything
        if not feasible(each) and all(feasible(each - {name}) for name in each)
    }
    told = list(conflicts(met, NAMES))
    assert set(told) == irreducible and len(told) == len(irreducible)
    assert [len(each) for each in told] == sorted(len(each) for each in told)


def test_every_member_of_the_conflict_is_needed() -> None:
    impossible, answer = cannot_be_met()
    names = {clash.rule for clash in answer.conflict}
    soft = {rule.id for rule in impossible.rules if rule.field} | {limit.id for limit in LIMITS}
    assert not impossible.varied(without=soft - names).feasible
    for name in names:
        assert impossible.varied(without=soft - names | {name}).feasible


def test_what_opens_a_layout_does_so_for_the_changed_brief() -> None:
    """Read anew and solved plainly; the line that is named comes first."""
    impossible, answer = cannot_be_met()
    opened = [(each.need, each.layout) for each in (*answer.openings, *answer.pairs)]
    assert opened
    for need, layout in opened:
        again = Study(settle(need.brief, impossible.catalog), impossible.catalog)
        assert again.best(1)[0].id == layout.id


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
    assert extra > 0 and f"costs {extra:,.0f} USD more over 7 years" in answer.text
