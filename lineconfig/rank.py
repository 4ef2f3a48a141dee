"""Ranking: what each layout means beside the others, and the whole recommendation."""

from __future__ import annotations

import time
from dataclasses import dataclass

from lineconfig.assess.finance import annuity_factor
from lineconfig.brief import View
from lineconfig.explain import NoLayout, why_nothing
from lineconfig.layout import Layout
from lineconfig.need import Need
from lineconfig.robustness import stays_first
from lineconfig.session import DEFAULT_TOP, Study

SEED = 1


@dataclass(frozen=True, slots=True)
class Ranked:
    """A layout with its place and its figures against the cheapest to buy."""

    rank: int
    layout: Layout
    payback_years: float | None
    """Against the valid layout with the lowest first cost; 0 for that one, None for never."""
    net_present_value: float
    """Of choosing it instead of the layout with the lowest first cost."""
    stays_first: float | None
    """Share of price draws in which it is the first of those shown."""
    reason: str
    """One line: what speaks for it."""


@dataclass(frozen=True, slots=True)
class Recommendation:
    """The answer to a brief."""

    need: Need
    view: View
    layouts: tuple[Ranked, ...]
    """The best overall, in order: the complete list as far as it goes."""
    arrangements: tuple[Ranked, ...]
    """The best of each kind of arrangement, in the same order; `rank` counts kinds."""
    complete: bool
    valid_layouts: int | None
    """All layouts that meet every rule and limit, where that is known."""
    no_layout: NoLayout | None
    seed: int
    seconds: float


def recommend(study: Study, *, top: int = DEFAULT_TOP, view: View | None = None) -> Recommendation:
    """Solve, rank and explain."""
    started = time.perf_counter()
    view = view or study.need.view
    layouts = study.best(top, view)
    if not layouts:
        reason = why_nothing(study)
        elapsed = time.perf_counter() - started
        return Recommendation(study.need, view, (), (), True, 0, reason, SEED, elapsed)
    arrangements = study.arrangements(view)
    cheapest = study.cheapest
    assert cheapest is not None
    return Recommendation(
        need=study.need,
        view=view,
        layouts=_ranked(study, layouts, cheapest, view),
        arrangements=_ranked(study, arrangements, cheapest, view),
        complete=True,
        valid_layouts=len(layouts) if len(layouts) < top else study.valid_layouts,
        no_layout=None,
        seed=SEED,
        seconds=time.perf_counter() - started,
    )


def _ranked(
    study: Study, layouts: list[Layout], cheapest: Layout, view: View
) -> tuple[Ranked, ...]:
    shares = stays_first(layouts, seed=SEED)
    return tuple(
        Ranked(
            rank=rank,
            layout=layout,
            payback_years=_payback(layout, cheapest),
            net_present_value=_worth(study, layout, cheapest),
            stays_first=share,
            reason=reason_for(layout, layouts, cheapest, view, study.need.currency),
        )
        for rank, (layout, share) in enumerate(zip(layouts, shares, strict=True), 1)
    )


def _payback(layout: Layout, cheapest: Layout) -> float | None:
    extra = layout.money.first_cost.typical - cheapest.money.first_cost.typical
    saving = cheapest.money.annual_total - layout.money.annual_total
    if extra <= 0:
        return 0.0
    return extra / saving if saving > 0 else None


def _worth(study: Study, layout: Layout, cheapest: Layout) -> float:
    extra = layout.money.first_cost.typical - cheapest.money.first_cost.typical
    saving = cheapest.money.annual_total - layout.money.annual_total
    return saving * annuity_factor(study.need.discount_rate, study.need.horizon_years) - extra


def reason_for(
    layout: Layout, others: list[Layout], cheapest: Layout, view: View, currency: str
) -> str:
    """One line: in what the layout is best, and what it costs more or less than the first."""
    said = []
    if layout.id == cheapest.id:
        said.append("lowest first cost of all")
    figures = [
        ("lowest life-cycle cost", lambda item: item.money.life_cycle_cost.typical),
        ("lowest first cost here", lambda item: item.money.first_cost.typical),
        ("fewest people", lambda item: item.crew.people),
        ("least floor", lambda item: item.floor.area_m2),
        ("quickest changeover", lambda item: item.changeover_person_min),
        ("fastest", lambda item: -item.speed.effective[0]),
    ]
    for words, figure in figures:
        values = [round(figure(item), 2) for item in others]
        mine = round(figure(layout), 2)
        if mine == min(values) and values.count(mine) < max(2, len(values)) and len(values) > 1:
            if words == "lowest first cost here" and said:
                continue
            said.append(words)
    first = others[0]
    if layout is not first:
        delta = layout.money.life_cycle_cost.typical - first.money.life_cycle_cost.typical
        said.append(f"{delta:+,.0f} {currency} against the first")
    if not said:
        said.append("first in this view" if layout is first else "another valid way")
    return ", ".join(said[:4])
