"""Today's choice where demand may come or not."""

from __future__ import annotations

import pytest

from lineconfig.growth.plan import GrowthPlan, plan_growth
from lineconfig.growth.scenarios import ScenarioPlan, plan_scenarios
from tests.growth.plans import study

SCENARIOS = [
    {"name": "as planned", "share": "60 %", "growth": "100 %"},
    {"name": "nothing comes", "share": "20 %", "growth": "0 %"},
    {"name": "twice as much", "share": "20 %", "growth": "150 %"},
]


@pytest.fixture(scope="module")
def answer() -> ScenarioPlan:
    found = plan_scenarios(study(cans=240_000, later=2_000_000, scenarios=SCENARIOS))
    assert isinstance(found, ScenarioPlan)
    return found


def test_no_scenarios_no_answer() -> None:
    assert plan_scenarios(study()) is None


def test_the_average_weighs_the_shares(answer: ScenarioPlan) -> None:
    assert answer.shares == pytest.approx((0.6, 0.2, 0.2))
    for line in answer.lines:
        one, two, three = (path.total for path in line.paths)
        assert line.average == pytest.approx(0.6 * one + 0.2 * two + 0.2 * three)
    assert answer.best_on_average.average == min(line.average for line in answer.lines)


def test_regret_is_the_most_that_is_given_away(answer: ScenarioPlan) -> None:
    best = [min(line.paths[i].total for line in answer.lines) for i in range(3)]
    for line in answer.lines:
        gaps = [path.total - least for path, least in zip(line.paths, best, strict=True)]
        assert line.regret == pytest.approx(max(gaps))
    least = answer.least_regret
    assert least.regret == pytest.approx(min(line.regret for line in answer.lines))


def test_every_scenario_starts_with_the_same_line(answer: ScenarioPlan) -> None:
    for line in answer.lines:
        assert {path.choices[0].classes for path in line.paths} == {line.layout.classes}


def test_the_best_first_line_of_a_scenario_is_that_of_its_own_plan(answer: ScenarioPlan) -> None:
    plan = plan_growth(study(cans=240_000, later=2_000_000))
    assert isinstance(plan, GrowthPlan)
    assert min(line.paths[0].total for line in answer.lines) <= plan.path.total + 1e-6


def test_without_growth_a_line_for_today_has_no_regret() -> None:
    found = study(
        cans=150_000, scenarios=[{"name": "nothing comes", "share": "100 %", "growth": "0 %"}]
    )
    answer = plan_scenarios(found)
    assert isinstance(answer, ScenarioPlan)
    assert answer.best_on_average is answer.least_regret
    assert answer.least_regret.regret == 0
    unload = answer.best_on_average.layout.station("unload").option.id
    assert unload == "single-filing-table"
