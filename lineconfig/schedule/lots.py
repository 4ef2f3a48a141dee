"""Lot sizes: how long a campaign should be between the cost of stock and that of changeovers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from lineconfig.assess.inputs import require_not_negative, require_positive


def economic_lot(
    demand_per_year: float,
    setup_cost_usd: float,
    holding_usd_per_year: float,
    rate_per_year: float = math.inf,
) -> float:
    """The lot at which setting up and holding stock together cost least.

    With a finite rate, part of the lot is sold while it is made: the production lot size.

    Parameters
    ----------
    demand_per_year : float
        Even demand. [1/year]
    setup_cost_usd : float
        Cost of starting one lot. [USD]
    holding_usd_per_year : float
        Cost of one piece in stock for a year. [USD/year]
    rate_per_year : float, optional
        Pieces made in a year without pause; infinite where a lot comes at once. [1/year]

    Returns
    -------
    float
        Lot size. [-]

    Raises
    ------
    ValueError
        If demand, cost or holding is not above zero, or the rate does not exceed the demand.

    References
    ----------
    Harris, How many parts to make at once, Factory 10 (1913); Taft, The most economical production
    lot, Iron Age 101 (1918).

    Examples
    --------
    >>> economic_lot(1000, 10, 0.5)
    200.0
    """
    require_positive(
        demand_per_year=demand_per_year,
        setup_cost_usd=setup_cost_usd,
        holding_usd_per_year=holding_usd_per_year,
    )
    if rate_per_year <= demand_per_year:
        raise ValueError(f"rate_per_year must exceed the demand, found {rate_per_year}")
    building_up = 1 - demand_per_year / rate_per_year
    return math.sqrt(2 * demand_per_year * setup_cost_usd / (holding_usd_per_year * building_up))


@dataclass(frozen=True, slots=True)
class Product:
    """One product on a shared machine."""

    demand_per_year: float
    rate_per_year: float
    """Pieces made in a year without pause [1/year]."""
    holding_usd_per_year: float
    """Cost of one piece in stock for a year [USD/year]."""

    @property
    def busy(self) -> float:
        """Share of the machine's time that it takes."""
        return self.demand_per_year / self.rate_per_year

    @property
    def stock_cost(self) -> float:
        """Yearly cost of stock per year of cycle [USD/year2]: h d (1 - d/p) / 2."""
        return self.holding_usd_per_year * self.demand_per_year * (1 - self.busy) / 2


@dataclass(frozen=True, slots=True)
class CommonCycle:
    """Every product once in each cycle."""

    years: float
    """Length of the cheapest cycle [year]."""
    shortest_years: float
    """Length below which the machine has no time left for its setups [year]."""
    yearly_cost: float
    """Setups and stock at the cheapest length [USD/year]."""


def common_cycle(
    products: Sequence[Product], setup_cost_usd: float, setup_years: float
) -> CommonCycle | None:
    """The cheapest cycle in which each of several products is made once on one machine.

    Parameters
    ----------
    products : sequence of Product
        What is made. [-]
    setup_cost_usd : float
        Cost of all setups of one cycle. [USD]
    setup_years : float
        Time of all setups of one cycle. [year]

    Returns
    -------
    CommonCycle or None
        The cycle; None where running alone takes all the time. [year]

    Raises
    ------
    ValueError
        If there is no product, or a cost or time is negative.

    References
    ----------
    Hanssmann, Operations Research in Production and Inventory Control (1962), from memory: the
    common-cycle solution of the economic lot scheduling problem, T = sqrt(2 A / sum h d (1 - d/p)),
    at least s / (1 - sum d/p).
    """
    if not products:
        raise ValueError("products must hold at least one product")
    require_not_negative(setup_cost_usd=setup_cost_usd, setup_years=setup_years)
    idle = 1 - sum(product.busy for product in products)
    if idle <= 0:
        return None
    shortest = setup_years / idle
    stock = sum(product.stock_cost for product in products)
    years = max(shortest, math.sqrt(setup_cost_usd / stock)) if stock > 0 else math.inf
    return CommonCycle(years, shortest, cycle_cost(products, setup_cost_usd, years))


def cycle_cost(products: Sequence[Product], setup_cost_usd: float, years: float) -> float:
    """Yearly cost of setups and stock with a cycle of a given length [USD/year]."""
    if math.isinf(years):
        return 0.0
    setups = setup_cost_usd / years if setup_cost_usd else 0.0
    return setups + sum(product.stock_cost for product in products) * years


def least_cost(products: Sequence[Product], setup_costs_usd: Sequence[float]) -> float:
    """What no schedule undercuts: every product with an economic lot of its own [USD/year].

    References
    ----------
    The independent solution of the economic lot scheduling problem: sum of
    sqrt(2 A h d (1 - d/p)) (Bomberger 1966, Elmaghraby 1978, from memory).
    """
    return sum(
        2 * math.sqrt(setup * product.stock_cost)
        for product, setup in zip(products, setup_costs_usd, strict=True)
    )
