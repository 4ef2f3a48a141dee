"""How sure is the first rank? Prices, wages, stops and work drawn between low and high.

Each input has a low, a typical and a high value, and is drawn from the triangular distribution over
them. All layouts are worked out on the same draws (common random numbers), so that what they share
cancels out. Prices carry their own ranges; for the rest, `SPREADS` says how far they may lie apart.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lineconfig.assess.crew import Habits, people_needed
from lineconfig.assess.flow import Machine, line_effective_speed
from lineconfig.assess.money import Range
from lineconfig.choose.sections import SECTIONS
from lineconfig.connect.bundles import BEHIND_THE_TABLE
from lineconfig.connect.hours import CATCH_UP, stopping
from lineconfig.layout import Layout, Station
from lineconfig.sentences import lowered

if TYPE_CHECKING:
    import numpy as np

    Draws = np.ndarray[Any, np.dtype[np.float64]]

DRAWS = 2000

SPREADS: Mapping[str, tuple[float, float]] = {
    "wage": (0.9, 1.15),
    "yearly volume": (0.8, 1.15),
    "electricity price": (0.8, 1.4),
    "water price": (0.8, 1.4),
    "consumables": (0.85, 1.2),
    "can and product losses": (0.5, 1.6),
    "upkeep": (0.7, 1.4),
    "minutes of work": (0.85, 1.25),
    "stops": (0.5, 2.0),
}
"""Low and high as shares of the typical value; of stops, for each class by itself."""
SPREADS_BASIS = "invented"

BY_CANS: Mapping[str, str] = {
    "electricity": "electricity price",
    "water": "water price",
    "consumables": "consumables",
    "can losses": "can and product losses",
    "product losses": "can and product losses",
}
"""Yearly costs that come with the cans, and the input that moves each; others move with the volume
alone."""
STOP_NODES = (0.5, 1.0, 2.0)
"""Shares of the typical standstill at which running hours are worked out; straight in between."""
WORK_NODES = 41
MOST_DECIDING = 3


@dataclass(frozen=True, slots=True)
class Deciding:
    """An input whose spread moves the lead of the first layout."""

    input: str
    """`price of ...`, `stops of ...`, or a key of `SPREADS`."""
    share: float
    """Its squared rank correlation with the lead, as a share of all inputs' together."""
    correlation: float
    """Rank correlation with the lead: above 0 where more of it speaks for the first layout."""


@dataclass(frozen=True, slots=True)
class Sureness:
    """What the draws say of some layouts."""

    draws: int
    seed: int
    shares: tuple[float, ...]
    """Share of draws in which each layout costs least over its life; together 1."""
    rival: int | None
    """Place of the layout that comes first most often when the first does not; None for never."""
    deciding: tuple[Deciding, ...]
    """The inputs that decide most, most first; none for a single layout."""


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


def stays_first(
    layouts: Sequence[Layout], *, seed: int, draws: int = DRAWS, habits: Habits | None = None
) -> tuple[float, ...]:
    """Share of draws in which each layout has the lowest life-cycle cost of these.

    Shares add up to 1; equals share a draw's win with the first of them.
    """
    return sureness(layouts, seed=seed, draws=draws, habits=habits).shares


def sureness(
    layouts: Sequence[Layout], *, seed: int, draws: int = DRAWS, habits: Habits | None = None
) -> Sureness:
    """How often each layout comes first, and which inputs decide whether the first one does.

    Parameters
    ----------
    layouts : best first, all of one brief
    seed : of the random numbers
    draws : how many
    habits : how much people may be planned with; without them crews stay as they are
    """
    if not layouts:
        return Sureness(draws, seed, (), None, ())
    import numpy as np

    model = _Model(layouts, seed, draws, habits)
    costs = model.costs()
    wins = np.bincount(np.argmin(costs, axis=1), minlength=len(layouts))
    shares = tuple(float(each) / draws for each in wins)
    if len(layouts) == 1:
        return Sureness(draws, seed, shares, None, ())
    rival = int(np.argmax(wins[1:])) + 1
    lead = np.min(costs[:, 1:], axis=1) - costs[:, 0]
    return Sureness(
        draws, seed, shares, rival if wins[rival] else None, _deciding(model.drawn, lead)
    )


def _deciding(drawn: Mapping[str, Draws], lead: Draws) -> tuple[Deciding, ...]:
    """Squared rank correlations (Spearman's) as shares of their sum."""
    import numpy as np

    names = list(drawn)
    ranks = np.argsort(np.argsort(np.array([*drawn.values(), lead]), axis=1), axis=1).astype(float)
    ranks -= ranks.mean(axis=1, keepdims=True)
    spread = np.sqrt((ranks**2).sum(axis=1))
    with_lead = ranks[:-1] @ ranks[-1] / (spread[:-1] * spread[-1])
    squares = with_lead**2
    total = float(squares.sum())
    order = np.argsort(-squares, kind="stable")[:MOST_DECIDING]
    return tuple(
        Deciding(names[i], float(squares[i]) / total, float(with_lead[i]))
        for i in order
        if total > 0
    )


class _Model:
    """Life-cycle costs of some layouts on common draws."""

    def __init__(
        self, layouts: Sequence[Layout], seed: int, draws: int, habits: Habits | None
    ) -> None:
        import numpy as np

        self.layouts = layouts
        self.habits = habits
        rng = np.random.default_rng(seed)
        names = {
            s.option.id: lowered(s.option.equipment.name) for each in layouts for s in each.stations
        }
        priced = {s.option.id for each in layouts for s in each.stations if _is_range(s.first_cost)}
        stopped = {s.option.id for each in layouts for s in each.stations if any(s.stops_per_can)}
        self.prices = {name: rng.random(draws) for name in sorted(priced)}
        self.stops = {name: rng.random(draws) for name in sorted(stopped)}
        self.common = {name: rng.random(draws) for name in SPREADS if name != "stops"}
        self.drawn: dict[str, Draws] = {
            **{f"price of {names[name]}": u for name, u in self.prices.items()},
            **{f"stops of {names[name]}": u for name, u in self.stops.items()},
            **self.common,
        }
        self.factors = {
            name: _triangular(Range(SPREADS[name][0], 1.0, SPREADS[name][1]), u)
            for name, u in self.common.items()
        }
        low, high = SPREADS["stops"]
        self.stop_factors = {
            name: _triangular(Range(low, 1.0, high), u) for name, u in self.stops.items()
        }
        self._priced: dict[tuple[str, Range], Draws] = {}
        self._speeds: dict[Any, float] = {}

    def costs(self) -> Draws:
        """Draws in rows, layouts in columns [currency]."""
        import numpy as np

        return np.stack([self._cost(layout) for layout in self.layouts], axis=1)

    def _cost(self, layout: Layout) -> Draws:
        money, factors = layout.money, self.factors
        bought = money.first_cost.typical
        annuity = (money.life_cycle_cost.typical - bought) / money.annual_total
        on_top = bought / money.equipment.typical if money.equipment.typical else 0.0
        volume = factors["yearly volume"]
        first_cost = on_top * sum(self._price(station) for station in layout.stations)
        run_hours = money.run_hours * volume * self._longer(layout)
        hours = run_hours + money.changeover_hours
        wage = money.annual.get("labour", 0.0) / (layout.crew.people * money.hours)
        yearly = wage * factors["wage"] * self._people(layout) * hours
        for heading, cost in money.annual.items():
            if heading == "labour":
                continue
            if heading == "upkeep":
                yearly = yearly + cost * factors["upkeep"]
                continue
            moved = volume * factors[BY_CANS[heading]] if heading in BY_CANS else volume
            yearly = yearly + cost * moved
        total: Draws = first_cost + annuity * yearly
        return total

    def _price(self, station: Station) -> Draws | float:
        price, name = station.first_cost, station.option.id
        if not _is_range(price):
            return price.typical
        if (name, price) not in self._priced:
            self._priced[name, price] = _triangular(price, self.prices[name])
        return self._priced[name, price]

    # --- running ------------------------------------------------------------------------------

    def _longer(self, layout: Layout) -> Draws:
        """How many times its typical running hours a layout takes, for its draws of stops.

        Stretch by stretch, the other stretches stopping as they typically do.
        """
        import numpy as np

        longer: Any = 1.0
        typical = self._minutes(layout, (1.0, 1.0, 1.0))
        slowest = _slowest(layout)
        for number, stations in enumerate(stretches_of(layout)):
            lost_by = [station.stop_min_per_can[slowest] for station in stations]
            if not any(lost_by):
                continue
            share = sum(
                lost / sum(lost_by) * self.stop_factors[station.option.id]
                for station, lost in zip(stations, lost_by, strict=True)
                if lost
            )
            at_nodes = [
                self._minutes(layout, tuple(node if i == number else 1.0 for i in range(3)))
                / typical
                for node in STOP_NODES
            ]
            longer = longer * np.interp(share, STOP_NODES, at_nodes)
        result: Draws = longer + np.zeros(len(self.factors["wage"]))
        return result

    def _minutes(self, layout: Layout, shares: tuple[float, ...]) -> float:
        """Minutes a can takes with the slowest format [min/can]."""
        machines = machines_of(layout, _slowest(layout), shares)
        before, after = buffers_of(layout)
        key = (machines, before, after)
        if key not in self._speeds:
            speed = line_effective_speed(*machines, before, after)
            self._speeds[key] = 1 / speed.estimate_cpm
        return self._speeds[key]

    def _people(self, layout: Layout) -> Draws | float:
        import numpy as np

        if self.habits is None:
            return float(layout.crew.people)
        low, high = SPREADS["minutes of work"]
        nodes = np.linspace(low, high, WORK_NODES)
        crew = layout.crew
        always = [layout.stations[place].always for place in crew.minded]
        workloads = [crew.workloads[place] for place in crew.minded]
        people = np.array(
            [
                max(1, people_needed([w * node for w in workloads], always, self.habits).people)
                for node in nodes
            ],
            dtype=float,
        )  # fmt: skip
        places = np.rint((self.factors["minutes of work"] - low) / (high - low) * (WORK_NODES - 1))
        drawn: Draws = people[places.astype(int)]
        return drawn


def _is_range(price: Range) -> bool:
    return price.high > price.low


def _triangular(price: Range, u: Draws) -> Draws:
    import numpy as np

    width = price.high - price.low
    mode = (price.typical - price.low) / width
    drawn: Draws = np.where(
        u <= mode,
        price.low + width * np.sqrt(u * mode),
        price.high - width * np.sqrt((1 - u) * (1 - mode)),
    )
    return drawn


# --- a layout as three stretches -----------------------------------------------------------------


def _slowest(layout: Layout) -> int:
    """Index of the format with the lowest effective speed."""
    return layout.speed.effective.index(min(layout.speed.effective))


def stretches_of(layout: Layout) -> tuple[list[Station], list[Station], list[Station]]:
    """Stations up to the unloader's table, to the filler's end, and behind it.

    What lowers and rinses cans stands behind the table: nothing keeps the filler going when it
    stops.
    """
    empties, filling, packing = _by_section(layout)
    behind = [station for station in empties if station.function in BEHIND_THE_TABLE]
    before = [station for station in empties if station.function not in BEHIND_THE_TABLE]
    return before, [*behind, *filling], packing


def _by_section(layout: Layout) -> tuple[list[Station], list[Station], list[Station]]:
    """Stations by section, each in the order in which they are minded, its chain last."""
    sections: tuple[list[Station], list[Station], list[Station]] = ([], [], [])
    number = 0
    for index in layout.crew.minded:
        station = layout.stations[index]
        for place, functions in enumerate(SECTIONS.values()):
            if station.function in functions:
                number = place
        sections[number].append(station)
    return sections


def buffers_of(layout: Layout) -> tuple[int, int]:
    """Cans that go between the first stretch and the second, and between that and the third."""
    empties, _, packing = _by_section(layout)
    return (
        sum(station.holds_cans for station in empties),
        sum(station.holds_cans for station in packing),
    )


def machines_of(
    layout: Layout, index: int, shares: Sequence[float] = (1.0, 1.0, 1.0)
) -> tuple[Machine, Machine, Machine]:
    """The three stretches with one format as machines that stop.

    Parameters
    ----------
    layout : the layout
    index : of the format
    shares : of the typical frequency of stops, by stretch
    """
    stretches = stretches_of(layout)
    speeds = [min((s.rated_cpm[index] for s in each), default=math.inf) for each in stretches]
    fastest = max((speed for speed in speeds if math.isfinite(speed)), default=1.0) * CATCH_UP
    first, second, third = (
        stopping(
            min(speed, fastest),
            share * sum(station.stops_per_can[index] for station in each),
            share * sum(station.stop_min_per_can[index] for station in each),
        )
        for each, speed, share in zip(stretches, speeds, shares, strict=True)
    )
    return first, second, third
