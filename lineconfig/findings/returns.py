"""Returns: what a layout costs a year and a case, and what it brings beside the cheapest to buy."""

from __future__ import annotations

import math
from dataclasses import dataclass

from lineconfig.assess.finance import (
    annuity_factor,
    equivalent_annual_cost,
    level_payback_years,
    level_rate_of_return,
    year_ends,
)
from lineconfig.choose.inquiry import Inquiry
from lineconfig.layout import Layout


@dataclass(frozen=True, slots=True)
class Against:
    """A layout instead of the valid layout with the lowest first cost [currency]."""

    id: str
    extra_first_cost: float
    yearly_saving: float
    net_present_value: float
    rate_of_return: float | None
    """None where nothing more is spent, or nothing saved. [1/year]"""
    payback_years: float | None
    """Without interest; 0 where nothing more is spent, None where it never comes back. [year]"""
    discounted_payback_years: float | None


@dataclass(frozen=True, slots=True)
class YearEnd:
    """What has been spent up to a time [currency]."""

    year: float
    spent: float
    """First cost and yearly costs so far."""
    present_value: float
    """The same, later costs discounted."""
    cheapest_spent: float
    """By the layout with the lowest first cost."""
    cheapest_present_value: float


@dataclass(frozen=True, slots=True)
class Returns:
    """Engineering economics of a layout [currency]."""

    equivalent_annual_cost: float
    """A level yearly amount that is worth its cost of life."""
    per_1000: float
    per_case: float
    per_can: float
    against: Against
    is_cheapest: bool
    """Whether it is itself the one with the lowest first cost."""
    by_year: tuple[YearEnd, ...]


def returns_of(inquiry: Inquiry, layout: Layout, cheapest: Layout) -> Returns:
    """The economics of a layout beside the cheapest to buy, at typical prices."""
    need, money, base = inquiry.need, layout.money, cheapest.money
    rate, years = need.discount_rate, need.horizon_years
    first, base_first = money.first_cost.typical, base.first_cost.typical
    yearly, base_yearly = money.annual_total, base.annual_total
    per_1000 = money.cost_per_1000_cans
    return Returns(
        equivalent_annual_cost=equivalent_annual_cost(money.life_cycle_cost.typical, rate, years),
        per_1000=per_1000,
        per_case=per_1000 * inquiry.habits.cans_per_case / 1000.0,
        per_can=per_1000 / 1000.0,
        against=_against(cheapest.id, first - base_first, base_yearly - yearly, rate, years),
        is_cheapest=layout.id == cheapest.id,
        by_year=tuple(
            YearEnd(
                year,
                first + yearly * year,
                first + yearly * annuity_factor(rate, year),
                base_first + base_yearly * year,
                base_first + base_yearly * annuity_factor(rate, year),
            )
            for year in year_ends(years)
        ),
    )


def _against(base_id: str, extra: float, saving: float, rate: float, years: float) -> Against:
    worth = saving * annuity_factor(rate, years) - extra
    if extra <= 0.0:
        return Against(base_id, extra, saving, worth, None, 0.0, 0.0)
    return Against(
        id=base_id,
        extra_first_cost=extra,
        yearly_saving=saving,
        net_present_value=worth,
        rate_of_return=level_rate_of_return(extra, saving, years),
        payback_years=_finite(level_payback_years(extra, saving)),
        discounted_payback_years=_finite(level_payback_years(extra, saving, rate)),
    )


def _finite(years: float) -> float | None:
    return years if math.isfinite(years) else None
