"""Demand that may come or not: which line to buy today when later years can follow what comes.

Today's line is the same in every scenario; what follows is the cheapest for the demand that came.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lineconfig.brief import DemandScenario
from lineconfig.growth.candidates import Classes
from lineconfig.growth.ledger import Path
from lineconfig.growth.plan import Blocked, GrowthPlan, plan_growth
from lineconfig.growth.stages import StageGraph
from lineconfig.layout import Layout
from lineconfig.session import Study


@dataclass(frozen=True, eq=False, repr=False)
class FirstLine:
    """A line to buy today and what it comes to in each scenario."""

    layout: Layout
    paths: tuple[Path, ...]
    """The cheapest path from it, by scenario."""
    average: float
    """Cost weighed with the scenarios' shares, in present value [currency]."""
    regret: float
    """The most by which it is dearer than the best first line of a scenario [currency]."""


@dataclass(frozen=True, eq=False, repr=False)
class ScenarioPlan:
    """Today's choice in view of several demands."""

    scenarios: tuple[DemandScenario, ...]
    shares: tuple[float, ...]
    """Summing to 1."""
    lines: tuple[FirstLine, ...]
    """By average cost, lowest first."""

    @property
    def best_on_average(self) -> FirstLine:
        """The first line with the lowest average cost."""
        return self.lines[0]

    @property
    def least_regret(self) -> FirstLine:
        """The first line that is never much dearer than the best; the better average of equals."""
        return min(self.lines, key=lambda line: round(line.regret, 6))


def plan_scenarios(
    study: Study, planned: GrowthPlan | None = None
) -> ScenarioPlan | Blocked | None:
    """Today's choice in view of the brief's scenarios; None where it has none.

    Blocked where some scenario has a phase without any line. `planned` is the plan for the growth
    as the brief states it, where it is known already.
    """
    scenarios = study.need.brief.scenarios
    if not scenarios:
        return None
    plans: list[GrowthPlan] = []
    for scenario in scenarios:
        growth = float(scenario.growth)
        plan: GrowthPlan | Blocked
        if planned is not None and growth == 1.0:
            plan = planned
        else:
            plan = plan_growth(study, growth, planned or (plans[0] if plans else None))
        if isinstance(plan, Blocked):
            return plan
        plans.append(plan)
    graphs = _shared_graphs(plans)
    return weigh(scenarios, graphs, plans[0].pool.layouts[0])


def _shared_graphs(plans: Sequence[GrowthPlan]) -> list[StageGraph]:
    """The stage graph of each scenario with the lines that were taken in for any of them."""
    lines = {classes: None for plan in plans for classes in plan.pool.lines()}
    for plan in plans:
        for classes in lines:
            plan.pool.add(classes)
    return [plan.pool.graph() for plan in plans]


def weigh(
    scenarios: Sequence[DemandScenario],
    graphs: Sequence[StageGraph],
    today: dict[Classes, Layout],
) -> ScenarioPlan:
    """Every affordable first line with its cheapest path in each scenario's graph."""
    total = sum(float(scenario.share) for scenario in scenarios)
    shares = tuple(float(scenario.share) / total for scenario in scenarios)
    paths: dict[Classes, tuple[Path, ...]] = {}
    for classes in today:
        found = []
        for graph in graphs:
            place = [choice.classes for choice in graph.stages[0]].index(classes)
            found.append(graph.cheapest(first=place))
        begun = tuple(path for path in found if path is not None)
        if len(begun) == len(graphs):
            paths[classes] = begun
    least = [min(row[place].total for row in paths.values()) for place in range(len(graphs))]
    lines = [
        FirstLine(
            today[classes],
            row,
            sum(share * path.total for share, path in zip(shares, row, strict=True)),
            max(path.total - best for path, best in zip(row, least, strict=True)),
        )
        for classes, row in paths.items()
    ]
    lines.sort(key=lambda line: (round(line.average, 6), line.layout.id))
    return ScenarioPlan(tuple(scenarios), shares, tuple(lines))
