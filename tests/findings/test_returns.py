"""Returns of layouts against the cheapest to buy, cross-checked with numpy-financial."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lineconfig.findings.returns import Returns, returns_of
from lineconfig.layout import Layout
from lineconfig.locate import examples_dir
from lineconfig.session import Study, open_study

npf = pytest.importorskip("numpy_financial")


@pytest.fixture(scope="module")
def brewery() -> tuple[Study, Layout, Layout, Returns]:
    study = open_study(examples_dir() / "growing-brewery.yaml")
    layout, cheapest = study.best(1)[0], study.cheapest
    assert cheapest is not None and layout.id != cheapest.id
    return study, layout, cheapest, returns_of(study.inquiry, layout, cheapest)


def test_rate_and_worth_are_those_of_the_cash_flows(
    brewery: tuple[Study, Layout, Layout, Returns],
) -> None:
    study, layout, cheapest, returns = brewery
    years = int(study.need.horizon_years)
    extra = layout.money.first_cost.typical - cheapest.money.first_cost.typical
    saving = cheapest.money.annual_total - layout.money.annual_total
    flows = [-extra, *[saving] * years]
    against = returns.against
    assert against.rate_of_return == pytest.approx(npf.irr(flows), rel=1e-9)
    assert against.net_present_value == pytest.approx(npf.npv(study.need.discount_rate, flows))
    assert against.payback_years == pytest.approx(extra / saving)
    assert against.discounted_payback_years is not None
    assert against.discounted_payback_years == pytest.approx(
        float(npf.nper(study.need.discount_rate, -saving, extra))
    )


def test_equivalent_annual_cost_is_the_payment_on_the_cost_of_life(
    brewery: tuple[Study, Layout, Layout, Returns],
) -> None:
    study, layout, _, returns = brewery
    need, life = study.need, layout.money.life_cycle_cost.typical
    payment = -float(npf.pmt(need.discount_rate, need.horizon_years, life))
    assert returns.equivalent_annual_cost == pytest.approx(payment)
    assert returns.per_1000 == pytest.approx(1000 * payment / need.annual_cans)
    assert returns.per_case == pytest.approx(returns.per_can * 24)
    assert returns.per_case == pytest.approx(24 * payment / need.annual_cans)


def test_costs_add_up_year_by_year(brewery: tuple[Study, Layout, Layout, Returns]) -> None:
    study, layout, cheapest, returns = brewery
    first, last = returns.by_year[0], returns.by_year[-1]
    assert first.spent == first.present_value == layout.money.first_cost.typical
    assert first.cheapest_spent == cheapest.money.first_cost.typical
    assert last.year == study.need.horizon_years
    assert last.present_value == pytest.approx(layout.money.life_cycle_cost.typical)
    assert last.cheapest_present_value == pytest.approx(cheapest.money.life_cycle_cost.typical)
    for before, after in zip(returns.by_year, returns.by_year[1:], strict=False):
        assert after.spent - before.spent == pytest.approx(layout.money.annual_total)
    # It undercuts the cheapest to buy in the year of its payback.
    payback = returns.against.payback_years
    assert payback is not None
    for end in returns.by_year:
        assert (end.spent <= end.cheapest_spent) == (end.year >= payback)


def test_the_cheapest_has_nothing_to_pay_back(
    brewery: tuple[Study, Layout, Layout, Returns],
) -> None:
    study, _, cheapest, _ = brewery
    returns = returns_of(study.inquiry, cheapest, cheapest)
    against = returns.against
    assert returns.is_cheapest and against.extra_first_cost == against.yearly_saving == 0
    assert (against.payback_years, against.rate_of_return) == (0.0, None)


def test_a_dearer_line_that_saves_nothing_never_pays_back(
    brewery: tuple[Study, Layout, Layout, Returns],
) -> None:
    study, layout, cheapest, _ = brewery
    dear = replace(
        layout, money=replace(layout.money, annual=dict(cheapest.money.annual) | {"more": 1.0})
    )
    against = returns_of(study.inquiry, dear, cheapest).against
    assert against.payback_years is None and against.discounted_payback_years is None
    assert against.rate_of_return is None and against.net_present_value < 0


def test_a_horizon_that_ends_within_a_year_ends_there(
    brewery: tuple[Study, Layout, Layout, Returns],
) -> None:
    study, layout, cheapest, _ = brewery
    short = study.varied(need=replace(study.need, horizon_years=2.5))
    returns = returns_of(short.inquiry, layout, cheapest)
    assert [end.year for end in returns.by_year] == [0, 1, 2, 2.5]
    against = returns.against
    assert against.rate_of_return == pytest.approx(
        float(npf.rate(2.5, against.yearly_saving, -against.extra_first_cost, 0)), rel=1e-6
    )
