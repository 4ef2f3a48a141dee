"""Engineering economics against published examples, interest tables and numpy-financial."""

import numpy_financial as npf
import pytest

from lineconfig.assess.finance import (
    annuity_factor,
    capital_recovery_factor,
    equivalent_annual_cost,
    internal_rate_of_return,
    level_payback_years,
    level_rate_of_return,
    net_present_value,
    payback_years,
    present_value_factor,
)

# White, Case and Pratt, Principles of Engineering Economic Analysis, problem 5-FE001, a palletizer
# at a bottling plant: 150,000 first, 17,500 a year, 25,000 salvage, 30 years, 8 %
# (worked answer: qammunity.org/6552454; choices: tutorbin.com).
RATE, YEARS = 0.08, 30


def test_palletizer_present_values():
    assert annuity_factor(RATE, YEARS) == pytest.approx(11.2577, abs=1e-4)
    assert 17_500 * annuity_factor(RATE, YEARS) == pytest.approx(197_011.21, abs=0.5)
    assert 25_000 * present_value_factor(RATE, YEARS) == pytest.approx(2_484.43, abs=0.5)


def test_palletizer_annual_equivalent_cost():
    present_usd = (
        150_000 + 17_500 * annuity_factor(RATE, YEARS) - 25_000 * present_value_factor(RATE, YEARS)
    )
    assert present_usd == pytest.approx(344_526.78, abs=0.5)
    assert equivalent_annual_cost(present_usd, RATE, YEARS) == pytest.approx(30_603.43, abs=0.05)


@pytest.mark.parametrize(
    ("cash_flows", "published", "tolerance"),
    [
        pytest.param(
            [-100, 39, 59, 55, 20],
            0.2809484211599611,
            1e-11,
            id="Gitman 2003, in the numpy 1.3 documentation of irr (docs.scipy.org)",
        ),
        pytest.param(
            [-250_000, 100_000, 150_000, 200_000, 250_000, 300_000],
            0.5672303344358536,
            1e-9,
            id="numpy.org/numpy-financial, irr",
        ),
        pytest.param(
            [-123_400, 36_200, 54_800, 48_100],
            0.0596,
            5e-5,
            id="brainmass.com/165803, the answer from memory",
        ),
    ],
)
def test_internal_rate_of_return(cash_flows, published, tolerance):
    assert internal_rate_of_return(cash_flows) == pytest.approx(published, abs=tolerance)


def test_net_present_value_starts_at_time_zero():
    # numpy-financial documentation of npv, from memory; the flows are Gitman's.
    assert net_present_value(0.281, [-100, 39, 59, 55, 20]) == pytest.approx(-0.00848, abs=5e-6)


def test_spreadsheets_discount_the_first_flow_too():
    # Spreadsheet NPV(10 %, -10000, 3000, 4200, 6800) = 1,188.44 (from memory), one year further.
    value = net_present_value(0.10, [-10_000, 3_000, 4_200, 6_800]) / 1.10
    assert value == pytest.approx(1_188.44, abs=0.005)


def test_delivery_truck():
    # answer.ya.guru/questions/7374516: 54,750 first, 7,500 a year for 8 years, 27,300 scrap, 8 %.
    assert annuity_factor(0.08, 7) == pytest.approx(5.2064, abs=5e-5)
    assert present_value_factor(0.08, 8) == pytest.approx(0.54027, abs=5e-6)
    flows = [-54_750] + 7 * [7_500] + [34_800]
    assert net_present_value(0.08, flows) == pytest.approx(3_099, abs=1.0)
    assert level_payback_years(54_750, 7_500) == pytest.approx(7.3)


def test_motion_sensors():
    # qammunity.org/1240936: 3,600 first, 1,895.04 a year, 6 %: simple 1.9, discounted 2.08 years.
    flows = [-3_600, 1_895.04, 1_895.04, 1_895.04]
    assert payback_years(flows) == pytest.approx(1.9, abs=0.005)
    assert payback_years(flows, 0.06) == pytest.approx(2.08, abs=0.005)
    assert level_payback_years(3_600, 1_895.04) == pytest.approx(1.9, abs=0.005)


def test_discounted_payback_of_a_machine():
    # studyx.ai/homework/102977617: 25,000 first, 15,000 a year, 18 %: 2.166 years.
    assert payback_years([-25_000, 15_000, 15_000, 15_000], 0.18) == pytest.approx(2.166, abs=5e-4)


@pytest.mark.parametrize(
    ("rate", "years", "present", "annuity", "recovery"),
    [
        # Interest tables as printed in engineering-economy textbooks, from memory.
        pytest.param(0.05, 10, 0.6139, 7.7217, 0.1295, id="5 %, 10 years"),
        pytest.param(0.06, 20, 0.3118, 11.4699, 0.0872, id="6 %, 20 years"),
        pytest.param(0.10, 5, 0.6209, 3.7908, 0.2638, id="10 %, 5 years"),
        pytest.param(0.10, 10, 0.3855, 6.1446, 0.1627, id="10 %, 10 years"),
        pytest.param(0.12, 10, 0.3220, 5.6502, 0.1770, id="12 %, 10 years"),
        pytest.param(0.15, 7, 0.3759, 4.1604, 0.2404, id="15 %, 7 years"),
    ],
)
def test_interest_tables(rate, years, present, annuity, recovery):
    assert present_value_factor(rate, years) == pytest.approx(present, abs=5.1e-5)
    assert annuity_factor(rate, years) == pytest.approx(annuity, abs=5.1e-5)
    assert capital_recovery_factor(rate, years) == pytest.approx(recovery, abs=5.1e-5)


@pytest.mark.parametrize("rate", [0.01, 0.03, 0.08, 0.2])
def test_against_numpy_financial(rate):
    # An independent library; the flows are invented.
    flows = [-180_000, 25_000, 41_000, 47_500, 52_000, 66_000]
    assert net_present_value(rate, flows) == pytest.approx(npf.npv(rate, flows), rel=1e-12)
    assert annuity_factor(rate, 7) == pytest.approx(-npf.pv(rate, 7, 1.0), rel=1e-12)
    assert capital_recovery_factor(rate, 7) == pytest.approx(-npf.pmt(rate, 7, 1.0), rel=1e-12)
    assert equivalent_annual_cost(90_000, rate, 7) == pytest.approx(
        -npf.pmt(rate, 7, 90_000), rel=1e-12
    )
    assert internal_rate_of_return(flows) == pytest.approx(npf.irr(flows), rel=1e-9)


def test_level_payback_against_numpy_financial():
    # nper solves the uniform series for the years; 60,000 first and 14,000 a year are invented.
    expected = float(npf.nper(0.07, -14_000, 60_000))
    assert level_payback_years(60_000, 14_000, 0.07) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("factor", "years", "rate"),
    [
        # (P/A) of the palletizer above, and interest tables as printed (from memory): a first cost
        # of so many yearly savings returns the rate at which the factor was printed.
        pytest.param(11.2577, 30, 0.08, id="8 %, 30 years"),
        pytest.param(7.7217, 10, 0.05, id="5 %, 10 years"),
        pytest.param(3.7908, 5, 0.10, id="10 %, 5 years"),
        pytest.param(5.6502, 10, 0.12, id="12 %, 10 years"),
        pytest.param(4.1604, 7, 0.15, id="15 %, 7 years"),
    ],
)
def test_level_rate_of_return_reads_the_tables_backwards(factor, years, rate):
    assert level_rate_of_return(factor, 1.0, years) == pytest.approx(rate, abs=2e-5)


@pytest.mark.parametrize(("years", "guess"), [(1, -0.5), (2.5, -0.3), (7, 0.1), (12, 0.2)])
def test_level_rate_of_return_against_numpy_financial(years, guess):
    # rate solves the uniform series for the rate from a guess, which must be near; 60,000 first
    # and 14,000 a year are invented.
    expected = float(npf.rate(years, 14_000, -60_000, 0, guess=guess, tol=1e-12))
    assert level_rate_of_return(60_000, 14_000, years) == pytest.approx(expected, abs=1e-7)
