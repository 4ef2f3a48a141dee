"""A layout that stays the same while the brief's terms change: its cost is linear in the wage."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lineconfig.assess.finance import annuity_factor
from lineconfig.catalog import Function
from lineconfig.layout import Layout
from lineconfig.locate import examples_dir
from lineconfig.session import Study, open_study

EXAMPLES = ("startup", "growing-brewery", "mobile-canner", "co-packer")
wages = st.floats(1.0, 400.0)


@cache
def example(name: str) -> tuple[Study, dict[Function, str]]:
    """The study of an example, and its cheapest layout's class for each function."""
    study = open_study(examples_dir() / f"{name}.yaml")
    layout = next(study.layouts("first-cost"))
    classes = study.catalog.classes
    return study, {classes[class_id].function: class_id for class_id in layout.classes}


def at_wage(name: str, wage_per_h: float) -> Layout:
    """The same classes at another wage, solved and assembled anew."""
    study, fixed = example(name)
    need = replace(study.need, wage_per_h=wage_per_h)
    return next(study.varied(need=need, only=fixed).layouts())


@pytest.mark.parametrize("name", EXAMPLES)
@settings(max_examples=8, deadline=None)
@given(one=wages, two=wages, share=st.floats(0.0, 1.0))
def test_cost_of_life_is_linear_in_the_wage(
    name: str, one: float, two: float, share: float
) -> None:
    between = share * one + (1 - share) * two
    low, high, mid = (at_wage(name, wage) for wage in (one, two, between))
    assert low.id == high.id == mid.id
    for figure in ("life_cycle_cost", "first_cost"):
        costs = [getattr(layout.money, figure).typical for layout in (low, high, mid)]
        assert costs[2] == pytest.approx(share * costs[0] + (1 - share) * costs[1], rel=1e-9)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_dollar_of_wage_costs_what_people_and_hours_make_of_it(name: str) -> None:
    study, _ = example(name)
    before, after = at_wage(name, 20.0), at_wage(name, 21.0)
    # By hand: one more an hour, for everybody, through all hours of a year, over the horizon.
    yearly = before.crew.people * before.money.hours
    assert after.money.annual["labour"] - before.money.annual["labour"] == pytest.approx(yearly)
    present = yearly * annuity_factor(study.need.discount_rate, study.need.horizon_years)
    growth = after.money.life_cycle_cost.typical - before.money.life_cycle_cost.typical
    assert growth == pytest.approx(present)


@pytest.mark.parametrize("name", EXAMPLES)
def test_nothing_but_labour_hangs_on_the_wage(name: str) -> None:
    before, after = at_wage(name, 15.0), at_wage(name, 60.0)
    assert before.money.first_cost == after.money.first_cost
    assert before.crew == after.crew and before.speed == after.speed
    for heading, cost in before.money.annual.items():
        if heading != "labour":
            assert after.money.annual[heading] == cost
