"""Engineering economics: net present value, rate of return, payback and equivalent yearly cost.

Cash flows are listed by year and the first one falls at time zero, undiscounted. (Spreadsheets
discount the first listed flow by one year; that is a different convention.) Money received is
positive, money spent negative. Rates are shares per year: 0.08 means 8 %.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate, pairwise

from lineconfig.assess.inputs import require_not_negative, require_positive

# Below this the limit at rate 0 is exact to the last bit, and the formulas would divide noise.
_NEGLIGIBLE_RATE = 1e-15


def _require_rate(rate: float) -> None:
    if not (math.isfinite(rate) and rate > -1.0):
        raise ValueError(f"rate must be a finite share per year above -1, found {rate}")


def _require_flows(cash_flows: Sequence[float]) -> None:
    if not cash_flows:
        raise ValueError("cash_flows must hold at least one flow")
    for year, flow in enumerate(cash_flows):
        if not math.isfinite(flow):
            raise ValueError(f"cash_flows must be finite numbers, found {flow} in year {year}")


def present_value_factor(rate: float, years: float) -> float:
    """Present value of one unit of money paid once, some years from now: (P/F).

    Parameters
    ----------
    rate : float
        Discount rate. [1/year]
    years : float
        Time until the payment. [year]

    Returns
    -------
    float
        Present value per unit paid. [-]

    Raises
    ------
    ValueError
        If the rate is not above -1 or the time is negative.

    References
    ----------
    White, Case and Pratt, Principles of Engineering Economic Analysis: single-sum formulas.
    """
    _require_rate(rate)
    require_not_negative(years=years)
    return math.exp(-years * math.log1p(rate))


def annuity_factor(rate: float, years: float) -> float:
    """Present value of one unit of money paid at the end of every year: (P/A).

    Parameters
    ----------
    rate : float
        Discount rate. [1/year]
    years : float
        Number of yearly payments. [year]

    Returns
    -------
    float
        Present value per unit of yearly payment; the number of years at rate 0. [year]

    Raises
    ------
    ValueError
        If the rate is not above -1 or the number of years is negative.

    References
    ----------
    White, Case and Pratt, Principles of Engineering Economic Analysis: uniform-series formulas.

    Examples
    --------
    >>> round(annuity_factor(0.08, 30), 4)
    11.2578
    """
    _require_rate(rate)
    require_not_negative(years=years)
    if abs(rate) < _NEGLIGIBLE_RATE:
        return float(years)
    # expm1 and log1p keep the digits of small rates, where 1 - (1 + i)^-n would lose them.
    return -math.expm1(-years * math.log1p(rate)) / rate


def capital_recovery_factor(rate: float, years: float) -> float:
    """Level payment at the end of every year that repays one unit of money today: (A/P).

    Parameters
    ----------
    rate : float
        Discount rate. [1/year]
    years : float
        Number of yearly payments. [year]

    Returns
    -------
    float
        Yearly payment per unit of present value. [1/year]

    Raises
    ------
    ValueError
        If the rate is not above -1 or the number of years is not above zero.

    References
    ----------
    White, Case and Pratt, Principles of Engineering Economic Analysis: uniform-series formulas.
    """
    require_positive(years=years)
    return 1.0 / annuity_factor(rate, years)


def equivalent_annual_cost(present_value_usd: float, rate: float, years: float) -> float:
    """Level yearly amount that is worth the same as a present value over the years.

    Parameters
    ----------
    present_value_usd : float
        Present value of all costs less all receipts. [USD]
    rate : float
        Discount rate. [1/year]
    years : float
        Number of years to spread it over. [year]

    Returns
    -------
    float
        Equivalent yearly cost. [USD/year]

    Raises
    ------
    ValueError
        If the rate is not above -1 or the number of years is not above zero.

    References
    ----------
    White, Case and Pratt, Principles of Engineering Economic Analysis: annual-worth method.
    """
    return present_value_usd * capital_recovery_factor(rate, years)


def net_present_value(rate: float, cash_flows: Sequence[float]) -> float:
    """Net present value of yearly cash flows, the first of them at time zero.

    Parameters
    ----------
    rate : float
        Discount rate. [1/year]
    cash_flows : sequence of float
        Flows of years 0, 1, 2, ... [USD]

    Returns
    -------
    float
        Net present value. [USD]

    Raises
    ------
    ValueError
        If the rate is not above -1, no flow is given, or a flow is not finite.

    References
    ----------
    White, Case and Pratt, Principles of Engineering Economic Analysis: present-worth method.

    Examples
    --------
    >>> round(net_present_value(0.281, [-100, 39, 59, 55, 20]), 5)
    -0.00848
    """
    _require_rate(rate)
    _require_flows(cash_flows)
    # Horner's scheme from the last year back: one division a year, no powers.
    total = 0.0
    for flow in reversed(cash_flows):
        total = total / (1.0 + rate) + flow
    return total


def _sign_changes(cash_flows: Sequence[float]) -> int:
    signs = [flow > 0 for flow in cash_flows if flow != 0]
    return sum(one != other for one, other in pairwise(signs))


def _bisect(cash_flows: Sequence[float], low: float, high: float) -> float:
    low_value = net_present_value(low, cash_flows)
    while True:
        middle = low + (high - low) / 2.0
        if not low < middle < high:
            return middle
        middle_value = net_present_value(middle, cash_flows)
        if middle_value == 0.0:
            return middle
        if (middle_value > 0) == (low_value > 0):
            low, low_value = middle, middle_value
        else:
            high = middle


# Growth factors 1 + rate from 0.001 to 1e6, 400 to the decade: dense enough that two distinct
# rates of return of a real investment do not share a step.
_GROWTH_STEPS = tuple(10.0 ** (exponent / 400.0) for exponent in range(-1200, 2401))


_BISECTIONS = 200


def internal_rate_of_return(cash_flows: Sequence[float]) -> float | None:
    """Discount rate at which the net present value of yearly cash flows is zero.

    Flows whose sign changes more than once may have several such rates; then the one nearest to
    zero is returned. Rates are looked for between -99.9 % and 100 million per cent a year.

    Parameters
    ----------
    cash_flows : sequence of float
        Flows of years 0, 1, 2, ... [USD]

    Returns
    -------
    float or None
        Rate of return, None where the flows have none. [1/year]

    Raises
    ------
    ValueError
        If no flow is given, or a flow is not finite.

    References
    ----------
    White, Case and Pratt, Principles of Engineering Economic Analysis: internal rate of return;
    the number of rates is at most the number of sign changes (Descartes' rule of signs).

    Examples
    --------
    >>> round(internal_rate_of_return([-100, 39, 59, 55, 20]), 6)
    0.280948
    """
    _require_flows(cash_flows)
    changes = _sign_changes(cash_flows)
    if changes == 0:
        return None
    # One change of sign means one rate at most: its search needs no steps between the ends.
    steps = _GROWTH_STEPS if changes > 1 else (_GROWTH_STEPS[0], _GROWTH_STEPS[-1])
    rates = [growth - 1.0 for growth in steps]
    values = [net_present_value(rate, cash_flows) for rate in rates]
    found = [rate for rate, value in zip(rates, values, strict=True) if value == 0.0]
    for (low, high), (low_value, high_value) in zip(pairwise(rates), pairwise(values), strict=True):
        if low_value != 0.0 and high_value != 0.0 and (low_value > 0) != (high_value > 0):
            found.append(_bisect(cash_flows, low, high))
    return min(found, key=abs, default=None)


def payback_years(cash_flows: Sequence[float], rate: float = 0.0) -> float:
    """Time until the accumulated cash flows reach zero and stay there.

    Within the year of recovery the flow is taken as even. Rate 0 gives the simple payback, a
    discount rate the discounted one.

    Parameters
    ----------
    cash_flows : sequence of float
        Flows of years 0, 1, 2, ... [USD]
    rate : float, optional
        Discount rate. [1/year]

    Returns
    -------
    float
        Payback, 0 where nothing is ever owed, infinite where it is not recovered. [year]

    Raises
    ------
    ValueError
        If the rate is not above -1, no flow is given, or a flow is not finite.

    References
    ----------
    ASTM E1121, Standard Practice for Measuring Payback for Investments in Buildings and Building
    Systems (definition, from memory).
    """
    _require_rate(rate)
    _require_flows(cash_flows)
    discounted = [flow * present_value_factor(rate, year) for year, flow in enumerate(cash_flows)]
    balances = list(accumulate(discounted))
    if balances[-1] < 0:
        return math.inf
    owing = [year for year, balance in enumerate(balances) if balance < 0]
    if not owing:
        return 0.0
    last = owing[-1]
    return last + balances[last] / (balances[last] - balances[last + 1])


def level_payback_years(
    first_cost_usd: float, yearly_saving_usd: float, rate: float = 0.0
) -> float:
    """Time in which a level yearly saving repays a first cost.

    The savings come at the end of each year; between two year ends the closed form interpolates
    along the discount curve, so it lies a little below `payback_years` in the year of recovery.

    Parameters
    ----------
    first_cost_usd : float
        Spent at time zero. [USD]
    yearly_saving_usd : float
        Saved every year; may be zero or negative. [USD/year]
    rate : float, optional
        Discount rate. [1/year]

    Returns
    -------
    float
        Payback, infinite where the saving never repays the cost. [year]

    Raises
    ------
    ValueError
        If the first cost is negative or the rate is not above -1.

    References
    ----------
    n = -ln(1 - i P / A) / ln(1 + i), the uniform-series formula solved for the years.
    """
    require_not_negative(first_cost_usd=first_cost_usd)
    _require_rate(rate)
    if not math.isfinite(yearly_saving_usd):
        raise ValueError(f"yearly_saving_usd must be a finite number, found {yearly_saving_usd}")
    if first_cost_usd == 0.0:
        return 0.0
    if yearly_saving_usd <= 0.0:
        return math.inf
    simple = first_cost_usd / yearly_saving_usd
    if abs(rate) < _NEGLIGIBLE_RATE:
        return simple
    if rate * simple >= 1.0:
        return math.inf
    return -math.log1p(-rate * simple) / math.log1p(rate)


def level_rate_of_return(
    first_cost_usd: float, yearly_saving_usd: float, years: float
) -> float | None:
    """Rate of return of a first cost that brings a level yearly saving.

    The years need not be whole: the uniform-series factor is used as it stands.

    Parameters
    ----------
    first_cost_usd : float
        Spent at time zero. [USD]
    yearly_saving_usd : float
        Saved at the end of every year. [USD/year]
    years : float
        Number of years. [year]

    Returns
    -------
    float or None
        Rate, negative where less comes back than was spent; None without a saving. [1/year]

    Raises
    ------
    ValueError
        If the first cost or the years are not above zero, or the saving is not finite.

    References
    ----------
    White, Case and Pratt, Principles of Engineering Economic Analysis: (P/A, i, n) = P / A solved
    for i.

    Examples
    --------
    >>> round(level_rate_of_return(1000, 250, 5), 4)
    0.0793
    """
    require_positive(first_cost_usd=first_cost_usd, years=years)
    if not math.isfinite(yearly_saving_usd):
        raise ValueError(f"yearly_saving_usd must be a finite number, found {yearly_saving_usd}")
    if yearly_saving_usd <= 0.0:
        return None
    wanted = first_cost_usd / yearly_saving_usd
    # The factor falls as the rate rises, so the growth factor is closed in by halving.
    low, high = math.log(_GROWTH_STEPS[0]), math.log(_GROWTH_STEPS[-1])
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2.0
        if annuity_factor(math.expm1(middle), years) > wanted:
            low = middle
        else:
            high = middle
    return math.expm1((low + high) / 2.0)


def year_ends(years: float) -> list[float]:
    """Ends of the years of a horizon: 0, 1, 2, ... and the last, which may end within a year.

    Parameters
    ----------
    years : float
        Horizon. [year]

    Returns
    -------
    list of float
        Times. [year]

    Raises
    ------
    ValueError
        If the horizon is negative or not finite.

    References
    ----------
    Arithmetic.

    Examples
    --------
    >>> year_ends(2.5)
    [0.0, 1.0, 2.0, 2.5]
    """
    require_not_negative(years=years)
    ends = [float(year) for year in range(math.floor(years) + 1)]
    return ends if ends[-1] == years else [*ends, float(years)]
