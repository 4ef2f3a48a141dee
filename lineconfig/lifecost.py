"""The life-cycle cost of one fixed layout as a formula of the client's terms.

    cost = first cost + A(rate, horizon) x (upkeep
           + wage x people x (share x running hours + changeover hours)
           + share x (electricity + what comes with the cans))

where `share` is the yearly volume over today's. So it is linear in the wage, in the volume and in
the annuity factor A, each by itself: this is what makes switching values exact.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from lineconfig.assess.finance import annuity_factor
from lineconfig.layout import Layout
from lineconfig.need import Need

STANDING_HEADINGS = frozenset({"upkeep"})
"""Yearly costs that do not come with the cans; labour is counted apart."""


@dataclass(frozen=True, slots=True)
class LifeCost:
    """What a layout's cost over its life is made of [currency, currency/year, h/year]."""

    first_cost: float
    standing: float
    """A year, whatever the volume."""
    with_cans: float
    """A year at today's volume: electricity, consumables, water, losses."""
    people: int
    run_hours: float
    changeover_hours: float

    @classmethod
    def of(cls, layout: Layout) -> LifeCost:
        """The formula of a layout."""
        money = layout.money
        standing = sum(money.annual.get(heading, 0.0) for heading in STANDING_HEADINGS)
        return cls(
            first_cost=money.first_cost.typical,
            standing=standing,
            with_cans=money.annual_total - standing - money.annual.get("labour", 0.0),
            people=layout.crew.people,
            run_hours=money.run_hours,
            changeover_hours=money.changeover_hours,
        )

    def yearly(self, wage_per_h: float, share: float = 1.0) -> float:
        """Yearly cost at a wage and a share of today's volume [currency/year]."""
        hours = share * self.run_hours + self.changeover_hours
        return self.standing + share * self.with_cans + wage_per_h * self.people * hours

    def hours(self, share: float = 1.0) -> float:
        """Hours in a year at a share of today's volume [h]."""
        return share * self.run_hours + self.changeover_hours

    def at(self, terms: ClientTerms) -> float:
        """Cost over the line's life [currency]."""
        yearly = self.yearly(terms.wage_per_h, terms.share)
        return self.first_cost + annuity_factor(terms.rate, terms.years) * yearly


@dataclass(frozen=True, slots=True)
class ClientTerms:
    """The terms that a life-cycle cost depends on."""

    wage_per_h: float
    years: float
    rate: float
    share: float = 1.0
    """Yearly volume over today's."""

    @classmethod
    def of(cls, need: Need) -> ClientTerms:
        """The terms as the need has them."""
        return cls(need.wage_per_h, float(need.horizon_years), float(need.discount_rate))


def years_of_annuity(annuity: float, rate: float) -> float:
    """The horizon at which the annuity factor of a rate comes to this [years].

    Infinite where no horizon does. The inverse of `annuity_factor` in the years.
    """
    if abs(rate) < 1e-12:
        return annuity
    left = 1 - annuity * rate
    return -math.log(left) / math.log1p(rate) if left > 0 else math.inf


def rate_of_annuity(annuity: float, years: float, low: float, high: float) -> float:
    """The discount rate between two at which the annuity factor comes to this [1/year].

    The factor falls as the rate grows: halved until the last digit.
    """
    for _ in range(200):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        if annuity_factor(middle, years) > annuity:
            low = middle
        else:
            high = middle
    return (low + high) / 2
