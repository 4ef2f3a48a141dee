"""Crossings of cumulative cost against an independent library, and the charts that show them."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import combinations

import numpy_financial as npf
import pytest

from lineconfig.report.charts import Bar, Curve, Mark, cost_chart, nice_step, timeline_chart
from lineconfig.report.sections.money import cost_until, crossings
from lineconfig.report.subject import Subject
from tests.report.cases import startup, two_formats
from tests.report.pages import page_of


@pytest.mark.parametrize("subject", [startup, two_formats])
@pytest.mark.parametrize("rate", [0.02, 0.08, 0.2])
def test_costs_cross_when_the_saving_has_repaid_the_extra_price(
    subject: Callable[[], Subject], rate: float
) -> None:
    """numpy-financial's number of periods is the witness: NPER(rate, -saving, extra)."""
    choices = subject().choices
    found = {(item.one.label, item.other.label): item for item in crossings(choices, rate, 40)}
    seen = 0
    for one, other in combinations(choices, 2):
        cheap, dear = sorted((one, other), key=lambda c: c.layout.money.first_cost.typical)
        extra = dear.layout.money.first_cost.typical - cheap.layout.money.first_cost.typical
        saving = cheap.layout.money.annual_total - dear.layout.money.annual_total
        years = float(npf.nper(rate, -saving, extra)) if saving > extra * rate else float("inf")
        item = found.get((one.label, other.label))
        if not years <= 40:
            assert item is None
            continue
        assert item is not None
        seen += 1
        assert item.year == pytest.approx(years, rel=1e-9)
        assert item.cheaper is dear
        assert cost_until(one, rate, item.year) == pytest.approx(
            cost_until(other, rate, item.year), abs=1e-4
        )
    if rate == 0.02:
        assert seen


def test_curves_end_at_the_life_cycle_cost() -> None:
    need = startup().study.need
    for choice in startup().choices:
        end = cost_until(choice, need.discount_rate, need.horizon_years)
        assert end == pytest.approx(choice.record["life_cycle_cost"]["typical"], abs=0.01)


def test_a_crossing_is_drawn_where_the_two_curves_meet() -> None:
    svg = cost_chart(
        "x", "t", "d",
        [Curve("one", ((0, 100), (10, 200))), Curve("two", ((0, 50), (10, 250)))],
        [Mark(5, 150, "year 5")], "years", "cost",
    )  # fmt: skip
    (circle,) = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"', svg)
    x, y = map(float, circle)
    for points in re.findall(r'points="([^"]*)"', svg):
        (x0, y0), (x1, y1) = (map(float, point.split(",")) for point in points.split())
        assert y == pytest.approx(y0 + (y1 - y0) * (x - x0) / (x1 - x0), abs=0.2)
    assert "year 5" in page_of(svg).text


def test_charts_hold_awkward_figures_and_hostile_labels() -> None:
    bad = '<script>&"'
    svg = cost_chart("x", bad, bad, [Curve(bad, ((0, 0), (1, 0)))], [], bad, bad)
    svg += cost_chart("y", bad, bad, [Curve(bad, ((0, -5), (3, -9)))], [], bad, bad)
    svg += timeline_chart("z", bad, bad, [Bar(bad * 20, 0, 0, 0, True)], bad)
    page = page_of(svg)
    assert not page.all("script")
    assert bad in page.text
    assert "nan" not in svg and "inf" not in svg


@pytest.mark.parametrize(
    ("span", "most", "step"),
    [(100, 10, 10), (7, 10, 1), (350_000, 6, 100_000), (1_000_000, 6, 200_000), (24, 12, 2)],
)
def test_steps_of_an_axis_are_round(span: float, most: int, step: float) -> None:
    assert nice_step(span, most) == pytest.approx(step)
