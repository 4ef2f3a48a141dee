"""How sure is the first rank? Prices drawn between low and high, again and again."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from lineconfig.assess.money import Range
from lineconfig.layout import Layout

DRAWS = 500


def triangular(price: Range, u: float) -> float:
    """The value of a triangular distribution at cumulative share u (inverse distribution).

    Low and high are its ends, typical its mode; u from 0 to 1.
    """
    width = price.high - price.low
    if width <= 0:
        return price.typical
    mode = (price.typical - price.low) / width
    if u <= mode:
        return price.low + width * math.sqrt(u * mode)
    return price.high - width * math.sqrt((1 - u) * (1 - mode))


def stays_first(layouts: Sequence[Layout], *, seed: int, draws: int = DRAWS) -> tuple[float, ...]:
    """Share of draws in which each layout has the lowest life-cycle cost of these.

    One random number serves all layouts that have a class, so that what they share cancels out.
    Shares add up to 1; equals share a draw's win with the first of them.
    """
    if not layouts:
        return ()
    classes = sorted({station.option.id for layout in layouts for station in layout.stations})
    lines = []
    for layout in layouts:
        equipment = layout.money.equipment.typical
        factor = layout.money.first_cost.typical / equipment if equipment else 0.0
        steady = layout.money.life_cycle_cost.typical - layout.money.first_cost.typical
        priced = [
            (station.option.id, station.first_cost)
            for station in layout.stations
            if station.first_cost.high > 0
        ]
        lines.append((steady, factor, priced))
    rng = random.Random(seed)
    wins = [0] * len(layouts)
    for _ in range(draws):
        u = {class_id: rng.random() for class_id in classes}
        costs = [
            steady + factor * sum(triangular(price, u[class_id]) for class_id, price in priced)
            for steady, factor, priced in lines
        ]
        wins[costs.index(min(costs))] += 1
    return tuple(win / draws for win in wins)
