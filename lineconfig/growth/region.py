"""Where growing in steps is cheaper than buying the final line now: discount rates and volumes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from lineconfig.growth.candidates import as_built, choice_of
from lineconfig.growth.ledger import Path, follow
from lineconfig.growth.plan import GrowthPlan

HIGHEST_RATE = 0.5
RATE_STEPS = 500


@dataclass(frozen=True, slots=True)
class Region:
    """Where one path, which grows in steps, costs less than one line for all phases."""

    saving: float
    """What the steps save as things stand, in present value; negative where they cost more."""
    rates: tuple[tuple[float, float], ...]
    """Discount rates between which the steps are cheaper, from 0 to HIGHEST_RATE [1/year]."""
    cans: float | None
    """Yearly cans of the first phase, the later ones as planned, at which both cost the same; None
    where no volume makes them equal."""
    cheaper_below: bool
    """Whether the steps are the cheaper ones below that volume."""


def region_of(plan: GrowthPlan) -> Region | None:
    """Where the cheapest stepping path beats the best line for all phases.

    None where one of them is missing. The lines are those of the plan; at other rates or volumes
    other lines may come first.
    """
    steps, stays = plan.stepping, plan.final_now
    if steps is None or stays is None:
        return None
    volume = _even_volume(plan, steps, stays)
    return Region(
        saving=stays.total - steps.total,
        rates=_cheaper_rates(plan, steps, stays),
        cans=volume[0] if volume else None,
        cheaper_below=volume[1] if volume else False,
    )


def _cheaper_rates(plan: GrowthPlan, steps: Path, stays: Path) -> tuple[tuple[float, float], ...]:
    market = plan.graph.market

    def saving(rate: float) -> float:
        at_rate = replace(market, rate=rate)
        one, other = (
            follow(at_rate, path.starts, path.end, path.choices).total for path in (stays, steps)
        )
        return one - other

    grid = [HIGHEST_RATE * step / RATE_STEPS for step in range(RATE_STEPS + 1)]
    values = [saving(rate) for rate in grid]
    spans: list[tuple[float, float]] = []
    begins = 0.0 if values[0] > 0 else None
    for place in range(1, len(grid)):
        if (values[place] > 0) == (values[place - 1] > 0):
            continue
        root = _root(saving, grid[place - 1], grid[place])
        if begins is None:
            begins = root
        else:
            spans.append((begins, root))
            begins = None
    if begins is not None:
        spans.append((begins, HIGHEST_RATE))
    return tuple(spans)


def _root(value: Callable[[float], float], low: float, high: float) -> float:
    rising = value(high) > 0
    for _ in range(60):
        middle = (low + high) / 2
        if (value(middle) > 0) == rising:
            high = middle
        else:
            low = middle
    return (low + high) / 2


def _even_volume(plan: GrowthPlan, steps: Path, stays: Path) -> tuple[float, bool] | None:
    """The first phase's volume at which both paths cost the same.

    A line's yearly cost grows evenly with its cans: people depend on speed, not on volume.
    """
    pool = plan.pool
    phase, study = pool.phases[0], pool.studies[0]
    half = study.varied(
        need=replace(
            phase.need,
            formats=tuple(
                replace(fmt, annual_cans=fmt.annual_cans / 2) for fmt in phase.need.formats
            ),
        )
    )
    halves = [as_built(half, path.choices[0].classes) for path in (steps, stays)]
    if halves[0] is None or halves[1] is None:
        return None
    years = pool.market.during(phase.start, phase.end)
    # What the stepping path saves, per share of the volume, besides what does not depend on it.
    slope = 0.0
    for path, layout, sign in zip((steps, stays), halves, (-1, 1), strict=True):
        assert layout is not None
        slope += sign * 2 * (path.choices[0].yearly - choice_of(layout).yearly) * years
    if abs(slope) < 1e-9:
        return None
    share = 1 - (stays.total - steps.total) / slope
    if share <= 0:
        return None
    return share * phase.need.annual_cans, slope < 0
