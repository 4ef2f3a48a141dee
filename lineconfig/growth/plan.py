"""The growth plan: the cheapest path through the phases, and what it is held against."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from lineconfig.assess.finance import payback_years
from lineconfig.choose.limits import HOURS
from lineconfig.explain import NoLayout, why_nothing
from lineconfig.growth.candidates import (
    Classes,
    PriceLevel,
    as_built,
    choice_of,
    market_of,
    predecessor,
    standalone,
    successor,
)
from lineconfig.growth.ledger import Choice, Market, Path, follow
from lineconfig.growth.phases import Phase, phases_of, steps_beyond
from lineconfig.growth.stages import StageGraph
from lineconfig.layout import Layout
from lineconfig.session import Study

MOST_NEIGHBOURS = 3
"""Lines of a phase whose best successor and predecessor are looked for at the start."""
MOST_ROUNDS = 5
HOURS_OF_A_WEEK = 168.0


class Pool:
    """Every line that a path may pass through, put to the need of every phase."""

    def __init__(self, study: Study, phases: list[Phase], like: Pool | None = None) -> None:
        self.phases = phases
        self.like = like
        self.market = market_of(study)
        self.budget = study.need.brief.budget
        known = list(zip(like.phases, like.studies, strict=True)) if like else []
        self.studies: list[Study] = [
            next((each for there, each in known if there.need == phase.need), None)
            or study.varied(need=phase.need)
            for phase in phases
        ]
        self.today = self.studies[0]
        if like is not None and self.today is like.studies[0]:
            self.today = like.today
        elif self.budget is not None:
            need = phases[0].need
            brief = need.brief.model_copy(update={"budget": self.budget})
            self.today = study.varied(need=replace(need, brief=brief))
        self.layouts: list[dict[Classes, Layout]] = [{} for _ in phases]
        self._seen: set[Classes] = set()

    def add(self, classes: Classes | None) -> bool:
        """Put a line to every phase; whether it is new."""
        if classes is None or classes in self._seen:
            return False
        self._seen.add(classes)
        for study, found in zip(self.studies, self.layouts, strict=True):
            layout = as_built(study, classes)
            if layout is not None:
                found[classes] = layout
        return True

    def lines(self) -> dict[Classes, None]:
        """The classes of every line that serves some phase, in the order of their coming."""
        return {classes: None for found in self.layouts for classes in found}

    def fill(self) -> None:
        """Take in the best of each phase by itself, and what keeps most of those."""
        studies = list(dict.fromkeys((self.today, *self.studies)))
        if self.like is not None:
            for classes in self.like.lines():
                self.add(classes)
            studies = [
                each for each in studies if each not in (self.like.today, *self.like.studies)
            ]
        for study in studies:
            for layout in standalone(study):
                self.add(layout.classes)
        if self.like is not None:
            return
        for place in range(len(self.phases) - 1):
            for layout in self._dearest_first(place)[-MOST_NEIGHBOURS:]:
                self.add(self._after(place, layout))
            for layout in self._dearest_first(place + 1)[-MOST_NEIGHBOURS:]:
                self.add(self._before(place + 1, layout))

    def refine(self, path: Path) -> bool:
        """Take in what would follow best, or come best before, on a path; whether any is new."""
        new = False
        for place in range(len(self.phases) - 1):
            here, there = (path.choices[place + i].classes for i in (0, 1))
            new |= self.add(self._after(place, self.layouts[place][here]))
            new |= self.add(self._before(place + 1, self.layouts[place + 1][there]))
        return new

    def graph(self, level: PriceLevel = "typical") -> StageGraph:
        """The stage graph of what has been taken in, with all prices at one level.

        The budget is kept at typical prices, as everywhere.
        """
        stages = []
        for place, found in enumerate(self.layouts):
            stages.append(
                tuple(
                    choice_of(
                        layout, affordable=place > 0 or self.within_budget(layout), level=level
                    )
                    for layout in found.values()
                )
            )
        starts = tuple(phase.start for phase in self.phases)
        return StageGraph(self.market, starts, self.phases[-1].end, tuple(stages))

    def within_budget(self, layout: Layout) -> bool:
        """Whether a line may be bought today as a whole."""
        return self.budget is None or layout.money.first_cost.typical <= self.budget + 1e-6

    def _dearest_first(self, place: int) -> list[Layout]:
        years = self.phases[-1].end - self.phases[place].start
        weight = self.market.during(0.0, years)

        def cost(layout: Layout) -> float:
            return layout.money.first_cost.typical + weight * layout.money.annual_total

        return sorted(self.layouts[place].values(), key=lambda layout: (-cost(layout), layout.id))

    def _after(self, place: int, layout: Layout) -> Classes | None:
        age = self.phases[place + 1].start - self.phases[place].start
        return successor(self.studies[place + 1], self.market, choice_of(layout), age)

    def _before(self, place: int, layout: Layout) -> Classes | None:
        years = self.phases[place].start - self.phases[place - 1].start
        study = self.today if place == 1 else self.studies[place - 1]
        return predecessor(study, self.market, choice_of(layout), years)


@dataclass(frozen=True, eq=False, repr=False)
class PhasePlan:
    """What one phase of a path brings."""

    phase: Phase
    layout: Layout
    pays_in_year: float | None
    """The year in which the step has paid for itself against staying; None where there is no step,
    staying is impossible, or it never does within the horizon."""
    forced: bool
    """Whether the line of the phase before cannot do it."""
    longer: LongerHours | None
    """What staying would take where only the hours stand against it."""


@dataclass(frozen=True, slots=True)
class LongerHours:
    """Staying with a line that meets everything but the hours of a later phase."""

    hours_per_week: float
    """What the line would have to run, to the end of the horizon at the most [h/week]."""
    total: float
    """Cost of the path that stays, in present value [currency]."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What becomes of one class of today's purchase."""

    class_id: str
    paid: float
    """With freight and installation [currency]."""
    until_year: int | None
    """The year in which it is taken out; None where it stays to the end."""
    credit: float
    """For parts that serve again [currency]."""
    successor: str | None
    """The class in which they serve."""
    worth: float
    """What it brings in used, when it is taken out or at the end [currency]."""


@dataclass(frozen=True, slots=True)
class OtherPrices:
    """A path with all prices at another level."""

    total: float
    """Its cost in present value [currency]."""
    cheapest: bool
    """Whether it is the cheapest path then too."""


@dataclass(frozen=True, eq=False, repr=False)
class GrowthPlan:
    """The answer to a growing need."""

    study: Study
    pool: Pool
    graph: StageGraph
    phases: tuple[PhasePlan, ...]
    path: Path
    """The cheapest path."""
    stepping: Path | None
    """The cheapest path that changes the line at least once."""
    final_now: Path | None
    """The best line that serves every phase from the start; None where none does."""
    final_now_affordable: bool
    cheapest_each_time: Path | None
    keeps: tuple[Kept, ...]
    at_other_prices: Mapping[PriceLevel, OtherPrices]
    """The same path with all prices low, and all high."""
    beyond: tuple[int, ...]
    """Years of the growth plan after the horizon, left out."""

    def layouts_of(self, path: Path) -> list[Layout]:
        """The layouts of a path, by phase."""
        return [
            found[choice.classes]
            for found, choice in zip(self.pool.layouts, path.choices, strict=True)
        ]


@dataclass(frozen=True, eq=False, repr=False)
class Blocked:
    """A phase that no line can serve."""

    study: Study
    phase: Phase
    reason: NoLayout


def plan_growth(
    study: Study, growth: float = 1.0, like: GrowthPlan | None = None
) -> GrowthPlan | Blocked:
    """The cheapest path through the phases of a brief, within its horizon.

    `growth` is the share of every planned change of volume that comes. The lines of a plan that is
    `like` this one are taken in too, and what was worked out for it is used again. The path is the
    cheapest through the lines that were taken in (`candidates`); none that follows another one of
    it better was found. Blocked where some phase has no line at all.
    """
    phases = phases_of(study.need, study.catalog, growth)
    pool = Pool(study, phases, like.pool if like else None)
    for phase, needed in zip(phases, (pool.today, *pool.studies[1:]), strict=True):
        if not needed.feasible:
            reason = why_nothing(needed)
            assert reason is not None
            return Blocked(needed, phase, reason)
    pool.fill()
    return _solved(study, pool)


def _solved(study: Study, pool: Pool) -> GrowthPlan:
    for _ in range(MOST_ROUNDS):
        graph = pool.graph()
        paths = [graph.cheapest(), graph.cheapest(stepping=True)]
        found_new = [pool.refine(path) for path in paths if path is not None]
        if not any(found_new):
            break
    graph = pool.graph()
    path, stepping = graph.cheapest(), graph.cheapest(stepping=True)
    assert path is not None  # every phase has a line, and lines may follow each other freely
    staying = min(graph.unchanging(), key=lambda each: each.total, default=None)
    return GrowthPlan(
        study=study,
        pool=pool,
        graph=graph,
        phases=tuple(_phase_plans(pool, graph, path)),
        path=path,
        stepping=stepping,
        final_now=staying,
        final_now_affordable=staying is None or staying.choices[0].affordable,
        cheapest_each_time=graph.least_spend(),
        keeps=tuple(_kept(pool.market, path, pool.phases)),
        at_other_prices={level: _at(pool, level, path) for level in ("low", "high")},
        beyond=tuple(steps_beyond(study.need)),
    )


def _at(pool: Pool, level: PriceLevel, path: Path) -> OtherPrices:
    graph = pool.graph(level)
    places = [
        [choice.classes for choice in stage].index(choice.classes)
        for stage, choice in zip(graph.stages, path.choices, strict=True)
    ]
    total, best = graph.along(places).total, graph.cheapest()
    return OtherPrices(total, best is not None and total <= best.total + 1e-6)


# --- what the steps mean ---------------------------------------------------------------------


def _phase_plans(pool: Pool, graph: StageGraph, path: Path) -> list[PhasePlan]:
    plans = []
    for place, (phase, choice) in enumerate(zip(pool.phases, path.choices, strict=True)):
        layout = pool.layouts[place][choice.classes]
        pays, forced, longer = None, False, None
        if place and choice.classes != path.choices[place - 1].classes:
            stay = _staying(graph, path, place)
            forced = stay is None
            if stay is not None:
                pays = _pays_in_year(pool.market, path, stay, place)
            else:
                longer = _longer(pool, path, place)
        plans.append(PhasePlan(phase, layout, pays, forced, longer))
    return plans


def _staying(graph: StageGraph, path: Path, place: int) -> Path | None:
    """The path that stays with the line before a step, to the end; None where that cannot be."""
    before = path.choices[place - 1]
    choices: list[Choice] = list(path.choices[:place])
    for stage in graph.stages[place:]:
        same = next((choice for choice in stage if choice.classes == before.classes), None)
        if same is None:
            return None
        choices.append(same)
    places = [stage.index(choice) for stage, choice in zip(graph.stages, choices, strict=True)]
    return graph.along(places)


def _longer(pool: Pool, path: Path, place: int) -> LongerHours | None:
    """Staying with the line before a step by running longer; None where that is not enough."""
    classes = path.choices[place - 1].classes
    choices, hours = list(path.choices[:place]), 0.0
    for phase, study in list(zip(pool.phases, pool.studies, strict=True))[place:]:
        layout = as_built(study.varied(without=study.without | {HOURS.id}), classes)
        if layout is None:
            return None
        hours = max(hours, layout.money.hours / phase.need.weeks_per_year)
        choices.append(choice_of(layout))
    if hours > HOURS_OF_A_WEEK:
        return None
    return LongerHours(hours, follow(pool.market, path.starts, path.end, choices).total)


def yearly_flows(path: Path) -> list[float]:
    """What a path takes at the start and in each year, machines' worth at the end apart."""
    flows = [0.0] * (math.ceil(path.end) + 1)
    stops = (*path.starts[1:], path.end)
    for start, stop, choice, made in zip(path.starts, stops, path.choices, path.moves, strict=True):
        flows[int(start)] += made.spend
        for year in range(int(start), math.ceil(stop)):
            flows[year + 1] += choice.yearly * min(1.0, stop - year)
    return flows


def _pays_in_year(market: Market, path: Path, stay: Path, place: int) -> float | None:
    """The year in which a path has caught up with staying, counted from the first purchase."""
    saved = [
        theirs - ours for ours, theirs in zip(yearly_flows(path), yearly_flows(stay), strict=True)
    ]
    begins = int(path.starts[place])
    payback = payback_years(saved[begins:], market.rate)
    return begins + payback if math.isfinite(payback) else None


def _kept(market: Market, path: Path, phases: list[Phase]) -> list[Kept]:
    kept = []
    for name, paid in path.moves[0].buy.items():
        if paid <= 0:
            continue
        until, credit, successor_id, worth = None, 0.0, None, path.left.get(name, 0.0)
        for phase, made, choice in zip(phases[1:], path.moves[1:], path.choices[1:], strict=True):
            if name not in choice.items:
                until = phase.year
                found = next((each for each in made.credits if each.old == name), None)
                if found is not None:
                    credit, successor_id = found.amount, found.new
                worth = made.sell.get(name, 0.0)
                break
        kept.append(Kept(name, paid, until, credit, successor_id, worth))
    return kept
