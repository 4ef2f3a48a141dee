"""Properties of the money formulas."""

import math

import numpy_financial as npf
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lineconfig.assess.finance import (
    annuity_factor,
    equivalent_annual_cost,
    internal_rate_of_return,
    level_payback_years,
    level_rate_of_return,
    net_present_value,
    payback_years,
    present_value_factor,
    year_ends,
)

rates = st.floats(0.0, 0.5)
amounts = st.floats(100.0, 1e6)
savings = st.lists(st.floats(1.0, 1e6), min_size=1, max_size=12)


@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=15), rates)
def test_net_present_value_matches_numpy_financial(cash_flows, rate):
    scale = sum(abs(flow) for flow in cash_flows)
    assert net_present_value(rate, cash_flows) == pytest.approx(
        float(npf.npv(rate, cash_flows)), rel=1e-9, abs=1e-9 * max(scale, 1.0)
    )


@given(amounts, savings)
def test_rate_of_return_brings_the_value_to_nothing(first_cost, yearly):
    flows = [-first_cost, *yearly]
    rate = internal_rate_of_return(flows)
    assume(rate is not None)
    # Relative to what the flows are worth at that rate: far below -50 % they weigh enormously.
    weight = sum(abs(flow) * present_value_factor(rate, year) for year, flow in enumerate(flows))
    assert abs(net_present_value(rate, flows)) <= 1e-9 * weight


@given(amounts, savings)
def test_an_investment_has_a_rate_of_return_above_zero_just_when_it_returns_more(first, yearly):
    rate = internal_rate_of_return([-first, *yearly])
    surplus = sum(yearly) - first
    assume(abs(surplus) > 1e-6 * first)
    if rate is None:
        # Less than a thousandth comes back; the search starts at -99.9 % a year.
        assert surplus < 0
    else:
        assert (rate > 0) == (surplus > 0)


@given(amounts, st.floats(0.01, 5.0), st.integers(1, 40))
def test_rate_of_return_of_a_single_payment_is_its_growth(first, growth, years):
    flows = [-first] + (years - 1) * [0.0] + [first * growth**years]
    assert internal_rate_of_return(flows) == pytest.approx(growth - 1.0, abs=1e-9)


def test_of_two_rates_of_return_the_nearer_to_zero_counts():
    # (x - 1.1)(x - 1.3) = x^2 - 2.4 x + 1.43, with x = 1 + rate: both 10 % and 30 % solve it.
    assert internal_rate_of_return([-1.0, 2.4, -1.43]) == pytest.approx(0.10, abs=1e-9)


def test_flows_of_one_sign_have_no_rate_of_return():
    assert internal_rate_of_return([100.0, 20.0]) is None
    assert internal_rate_of_return([0.0, 0.0]) is None
    # x^2 + 1 = 0 has no real root.
    assert internal_rate_of_return([-1.0, 2.0, -2.0]) is None


@given(amounts, rates, st.integers(1, 40))
def test_a_level_cost_is_its_own_equivalent(yearly, rate, years):
    present = yearly * annuity_factor(rate, years)
    assert equivalent_annual_cost(present, rate, years) == pytest.approx(yearly)


@given(rates, st.integers(1, 40))
def test_annuity_is_the_sum_of_its_payments(rate, years):
    payments = math.fsum(present_value_factor(rate, year) for year in range(1, years + 1))
    assert annuity_factor(rate, years) == pytest.approx(payments)


@given(st.integers(1, 40))
def test_annuity_is_smooth_at_rate_zero(years):
    assert annuity_factor(1e-12, years) == pytest.approx(annuity_factor(0.0, years), rel=1e-9)


@given(amounts, amounts, rates)
def test_level_payback_lies_in_the_same_year_as_the_interpolated_one(first, yearly, rate):
    level = level_payback_years(first, yearly, rate)
    assume(level < 60)
    # Not within rounding of a year end, where the two may fall on either side of it.
    assume(abs(level - round(level)) > 1e-6)
    flows = [-first] + (math.floor(level) + 2) * [yearly]
    interpolated = payback_years(flows, rate)
    assert math.floor(interpolated) == math.floor(level)
    assert level <= interpolated + 1e-9
    if rate == 0.0:
        assert interpolated == pytest.approx(level)


@given(amounts, amounts, rates, st.floats(0.0, 0.3))
def test_discounting_never_shortens_the_payback(first, yearly, rate, more):
    assert level_payback_years(first, yearly, rate + more) >= level_payback_years(
        first, yearly, rate
    ) * (1 - 1e-12)


def test_payback_counts_the_last_time_that_money_is_owed():
    # Recovered after one year, but an overhaul in year 2 puts it under water until year 4.
    assert payback_years([-100.0, 150.0, -150.0, 50.0, 100.0]) == pytest.approx(3.5)


def test_payback_that_never_comes_or_is_never_needed():
    assert payback_years([-100.0, 10.0, 10.0]) == math.inf
    assert payback_years([0.0, 10.0]) == 0.0
    assert level_payback_years(100.0, 0.0) == math.inf
    assert level_payback_years(100.0, -5.0) == math.inf
    assert level_payback_years(0.0, -5.0) == 0.0
    # 8 a year is just the interest on 100 at 8 %.
    assert level_payback_years(100.0, 8.0, 0.08) == math.inf


def test_senseless_input_is_refused():
    with pytest.raises(ValueError, match="cash_flows"):
        net_present_value(0.1, [])
    with pytest.raises(ValueError, match="year 1"):
        internal_rate_of_return([-1.0, math.nan])
    with pytest.raises(ValueError, match="rate"):
        annuity_factor(-1.0, 5)
    with pytest.raises(ValueError, match="years"):
        equivalent_annual_cost(100.0, 0.1, 0)


@given(st.floats(1.0, 1e6), st.floats(1.0, 1e6), st.integers(1, 20))
def test_level_rate_of_return_is_that_of_its_cash_flows(first, yearly, years):
    rate = level_rate_of_return(first, yearly, years)
    flows = [-first] + [yearly] * years
    assert rate is not None
    if rate > -0.99:
        assert net_present_value(rate, flows) == pytest.approx(0.0, abs=1e-6 * first * years)
    assert (rate > 0) == (yearly * years > first) or abs(rate) < 1e-9


def test_level_rate_of_return_of_nothing_saved():
    assert level_rate_of_return(1000.0, 0.0, 5) is None
    assert level_rate_of_return(1000.0, -10.0, 5) is None
    with pytest.raises(ValueError, match="first_cost_usd"):
        level_rate_of_return(0.0, 10.0, 5)


@given(st.floats(0.0, 60.0))
def test_year_ends_run_to_the_horizon(years):
    ends = year_ends(years)
    assert ends[0] == 0.0 and ends[-1] == years
    assert ends == sorted(set(ends))
    assert all(end == int(end) for end in ends[:-1])
