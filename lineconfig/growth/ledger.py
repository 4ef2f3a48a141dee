"""The ledger of a growing line: what is kept, bought, credited and sold from one line to the next.

Purchases fall at the start of a phase, running costs at the end of each year, and at the end of the
horizon everything at hand is worth what it would bring in used. Pure figures: no catalogue, no
brief.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from lineconfig.assess.finance import annuity_factor, present_value_factor


@dataclass(frozen=True, slots=True)
class Item:
    """What a line has of one equipment class."""

    price: float
    """Machines and tracks, as bought new; nothing where the client owns it from before [currency].
    """
    parts: Mapping[str, tuple[int, float]] = field(default_factory=dict)
    """Change parts to own: how many, and the price of one [currency]."""
    resold: bool = True
    """Whether it finds a buyer when it is taken out."""

    @property
    def parts_price(self) -> float:
        """All change parts together [currency]."""
        return sum(count * price for count, price in self.parts.values())


@dataclass(frozen=True, eq=False)
class Choice:
    """One line as it would stand in one phase."""

    classes: tuple[str, ...]
    """What makes it the same line in another phase."""
    items: Mapping[str, Item]
    """By class id."""
    yearly: float
    """Running cost of a year of the phase [currency/year]."""
    affordable: bool = True
    """Whether it keeps to the budget when it is bought as a whole."""


@dataclass(frozen=True)
class Market:
    """Terms of buying, selling and money."""

    rate: float
    """Discount rate [1/year]."""
    buy_factor: float
    """First cost per unit of price: freight, installation, training, contingency."""
    at_once: float
    """Share of its price that a machine brings in when sold at once."""
    yearly_decline: float
    """Share of that which is lost each year."""
    credits: Mapping[tuple[str, str], float] = field(default_factory=dict)
    """Share of the old class's price that serves again in the new class."""

    def resale(self, item: Item, age_years: float) -> float:
        """What a machine brings in used; change parts bring in nothing [currency]."""
        if not item.resold:
            return 0.0
        return item.price * self.at_once * math.pow(1.0 - self.yearly_decline, age_years)

    def at(self, years: float) -> float:
        """Present value of one unit of money at a time."""
        return present_value_factor(self.rate, years)

    def during(self, start: float, end: float) -> float:
        """Present value of 1 a year, paid at each year's end from a time to another [years]."""
        return annuity_factor(self.rate, end) - annuity_factor(self.rate, start)


@dataclass(frozen=True, slots=True)
class Credit:
    """A part of an old machine that serves again in a new one."""

    old: str
    new: str
    amount: float


@dataclass(frozen=True, slots=True)
class Move:
    """From one line to the next [currency]."""

    keep: tuple[str, ...]
    buy: Mapping[str, float]
    """New classes, delivered and installed."""
    add: Mapping[str, float]
    """Tracks, belt and change parts that kept classes need besides."""
    credits: tuple[Credit, ...]
    sell: Mapping[str, float]
    """What the rest brings in."""

    @property
    def bought(self) -> float:
        """Everything bought."""
        return sum(self.buy.values()) + sum(self.add.values())

    @property
    def credited(self) -> float:
        """Everything credited."""
        return sum(credit.amount for credit in self.credits)

    @property
    def sold(self) -> float:
        """Everything sold."""
        return sum(self.sell.values())

    @property
    def spend(self) -> float:
        """Bought less credited less sold."""
        return self.bought - self.credited - self.sold


def _addition(old: Item, new: Item) -> float:
    """What a kept machine needs besides: tracks, belt, parts that were not there."""
    parts = sum(
        max(0, count - old.parts.get(name, (0, 0.0))[0]) * price
        for name, (count, price) in new.parts.items()
    )
    return max(0.0, new.price - old.price) + parts


def move(
    market: Market,
    old: Mapping[str, Item],
    new: Mapping[str, Item],
    ages_years: Mapping[str, float],
) -> Move:
    """What it takes to make one line out of another; an empty one for the first purchase.

    A part that serves again is credited if that is worth more than selling it, and never with more
    than the new machine costs; each old machine serves in one new one. Kept machines with fewer
    tracks or parts give nothing back.
    """
    keep = tuple(name for name in new if name in old)
    add = {name: _addition(old[name], new[name]) * market.buy_factor for name in keep}
    buy = {
        name: (item.price + item.parts_price) * market.buy_factor
        for name, item in new.items()
        if name not in old
    }
    credited: list[Credit] = []
    sell: dict[str, float] = {}
    for name, item in old.items():
        if name in new:
            continue
        value, left = market.resale(item, ages_years[name]), 1.0
        for wanted in buy:
            share = market.credits.get((name, wanted), 0.0)
            amount = min(share * item.price, new[wanted].price)
            if amount > share * value:
                credited.append(Credit(name, wanted, amount))
                left -= share
                break
        sell[name] = value * left
    return Move(
        keep=keep,
        buy=buy,
        add={name: amount for name, amount in add.items() if amount > 0},
        credits=tuple(credited),
        sell={name: amount for name, amount in sell.items() if amount > 0},
    )


@dataclass(frozen=True, eq=False)
class Path:
    """One line for each phase, with all its money."""

    choices: tuple[Choice, ...]
    moves: tuple[Move, ...]
    starts: tuple[float, ...]
    """When each phase starts [years]."""
    end: float
    """The end of the horizon [years]."""
    left: Mapping[str, float]
    """What machines are worth used at the end, by class; not discounted [currency]."""
    total: float
    """All costs less what is left, in present value [currency]."""

    @property
    def steps(self) -> bool:
        """Whether the line is ever changed."""
        return any(choice.classes != self.choices[0].classes for choice in self.choices)


def follow(market: Market, starts: Sequence[float], end: float, choices: Sequence[Choice]) -> Path:
    """Work out the money of one line for each phase.

    `starts` are the times at which the phases begin, the first of them 0, `end` the horizon
    [years].
    """
    total = 0.0
    bought: dict[str, float] = {}
    before: Mapping[str, Item] = {}
    moves = []
    for start, stop, choice in zip(starts, (*starts[1:], end), choices, strict=True):
        made = move(market, before, choice.items, {n: start - at for n, at in bought.items()})
        bought = {name: bought.get(name, start) for name in choice.items}
        total += made.spend * market.at(start) + choice.yearly * market.during(start, stop)
        before = choice.items
        moves.append(made)
    left = {name: market.resale(item, end - bought[name]) for name, item in before.items()}
    left = {name: amount for name, amount in left.items() if amount > 0}
    total -= sum(left.values()) * market.at(end)
    return Path(tuple(choices), tuple(moves), tuple(starts), end, left, total)
