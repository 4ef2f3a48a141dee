"""What the growth plan recommends, and what it says of it."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from lineconfig.assess.finance import annuity_factor
from lineconfig.growth.plan import Blocked, GrowthPlan, plan_growth
from lineconfig.growth.region import region_of
from lineconfig.session import Study
from tests.growth.plans import OWNED, TABLE_OR_DEPALLETIZER, shipped, study, without_credit

TABLE, DEPALLETIZER = "single-filing-table", "full-height-depalletizer"


def planned(found: Study) -> GrowthPlan:
    plan = plan_growth(found)
    assert isinstance(plan, GrowthPlan)
    return plan


def unloaders(plan: GrowthPlan) -> list[str]:
    return [item.layout.station("unload").option.id for item in plan.phases]


def test_the_table_first_wins_inside_the_stated_region_and_loses_outside() -> None:
    """Both ends of both figures, each with a plan of its own from the brief up."""
    region = region_of(planned(study(cans=200_000)))
    assert region is not None and region.cans is not None and region.cheaper_below
    (span,) = region.rates
    for cans, rate, steps in (
        (round(region.cans * 0.96), "8 %", True),
        (round(region.cans * 1.04), "8 %", False),
        (200_000, f"{100 * span[0] * 1.05} %", True),
        (200_000, f"{100 * span[0] * 0.95} %", False),
    ):
        plan = planned(study(cans=cans, rate=rate))
        assert plan.path.steps == steps, (cans, rate)
        assert plan.final_now is not None and plan.stepping is not None
        assert (plan.stepping.total < plan.final_now.total) == steps
        assert unloaders(plan) == ([TABLE, DEPALLETIZER] if steps else [DEPALLETIZER] * 2)


def test_without_credit_the_table_first_loses_where_it_won_with_credit(tmp_path: Path) -> None:
    with_credit, without = (
        planned(study(cans=200_000, catalog=catalog))
        for catalog in (None, without_credit(tmp_path))
    )
    assert unloaders(with_credit) == [TABLE, DEPALLETIZER]
    assert unloaders(without) == [DEPALLETIZER, DEPALLETIZER]
    (credit,) = with_credit.path.moves[1].credits
    assert (credit.old, credit.new) == (TABLE, DEPALLETIZER)
    assert credit.amount == 28_000  # its typical price in the catalogue, in full


def test_todays_purchase_says_what_it_is_worth_later() -> None:
    plan = planned(study(cans=150_000))
    fates = {kept.class_id: kept for kept in plan.keeps}
    assert fates[TABLE].until_year == 4
    assert (fates[TABLE].successor, fates[TABLE].credit) == (DEPALLETIZER, 28_000)
    assert fates[TABLE].worth == 0  # all of it serves again
    assert fates["level-run"].until_year == 4
    assert fates["table-top-straight"].until_year is None


def test_one_phase_costs_the_life_cycle_less_what_is_left() -> None:
    found = study(growth=[])
    plan = planned(found)
    (item,) = plan.phases
    left = sum(plan.path.left.values()) / 1.08**8
    assert plan.path.total + left == pytest.approx(item.layout.money.life_cycle_cost.typical)
    assert left > 0
    assert plan.stepping is None and region_of(plan) is None


def test_a_path_is_never_dearer_than_what_it_is_held_against() -> None:
    for cans in (150_000, 600_000):
        plan = planned(study(cans=cans))
        for other in (plan.final_now, plan.cheapest_each_time, plan.stepping):
            assert other is not None
            assert plan.path.total <= other.total + 1e-6


def test_prices_at_their_ends_enclose_the_total() -> None:
    plan = planned(study(cans=150_000))
    low, high = (plan.at_other_prices[level] for level in ("low", "high"))
    assert low.total < plan.path.total < high.total
    # The machines of the first phase at the ends of their price ranges, and what runs on the same.
    first = plan.phases[0].layout.money.first_cost
    assert plan.path.moves[0].spend == pytest.approx(first.typical)
    graph = plan.pool.graph("high")
    (same,) = [
        choice for choice in graph.stages[0] if choice.classes == plan.path.choices[0].classes
    ]
    cost = sum(item.price + item.parts_price for item in same.items.values())
    assert cost * graph.market.buy_factor == pytest.approx(first.high)


def test_no_line_would_follow_or_precede_better_than_those_of_the_path() -> None:
    plan = planned(study(cans=150_000))
    assert not plan.pool.refine(plan.path)


def test_every_line_of_the_path_meets_the_need_of_its_phase() -> None:
    plan = planned(study(cans=150_000))
    for item in plan.phases:
        need = item.phase.need
        assert item.layout.money.hours <= need.available_hours
        assert all(
            rated >= fmt.needed_cpm
            for rated, fmt in zip(item.layout.speed.rated, need.formats, strict=True)
        )


def test_a_step_that_only_longer_hours_would_spare_says_so() -> None:
    fillers = [item.id for item in shipped().of("fill")]
    left = ("inline-8-12-head", "inline-16-head")
    found = study(
        cans=3_000_000,
        later=5_400_000,
        existing=[entry for entry in OWNED if entry["function"] != "fill"],
        exclude=[*TABLE_OR_DEPALLETIZER, TABLE, *(name for name in fillers if name not in left)],
        operation={"hours_per_week": 32, "weeks_per_year": 50},
        budget="420000 USD",
    )
    plan = planned(found)
    step = plan.phases[1]
    assert step.forced and step.longer is not None
    before = plan.phases[0].layout
    # 1.8 times the cans at the same speed
    assert step.longer.hours_per_week * 50 == pytest.approx(1.8 * before.money.hours)
    assert 32 < step.longer.hours_per_week < 168
    assert step.longer.total < plan.path.total
    # The line for all phases is beyond the budget, and the path keeps to it today.
    assert plan.final_now is not None and not plan.final_now_affordable
    assert plan.path.moves[0].spend <= 420_000 < plan.final_now.moves[0].spend


def test_a_step_pays_in_the_year_in_which_the_savings_have_caught_up() -> None:
    plan = planned(study(cans=150_000, rate="8 %"))
    step = plan.phases[1]
    assert not step.forced and step.pays_in_year is not None
    table = plan.pool.layouts[1][plan.phases[0].layout.classes]
    saving = table.money.annual_total - step.layout.money.annual_total
    years = step.pays_in_year - 3
    # within the year of recovery the saving comes evenly, so the discounted sum is met exactly
    whole = math.floor(years)
    recovered = saving * (annuity_factor(0.08, whole) + (years - whole) / 1.08 ** (whole + 1))
    assert recovered == pytest.approx(plan.path.moves[1].spend)


def test_a_year_that_no_line_can_serve_is_named() -> None:
    blocked = plan_growth(study(growth=[{"year": 4, "volume": "5000 %"}]))
    assert isinstance(blocked, Blocked)
    assert blocked.phase.year == 4
    assert blocked.reason.conflict


def test_later_years_bring_what_the_brief_says_of_them() -> None:
    found = study(
        growth=[
            {"year": 3, "volume": "200 %", "per_shift": 6, "hours_per_week": 50},
            {
                "year": 5,
                "add_formats": [{"container": "can-473-standard", "share": "25 %"}],
                "site": {"ceiling": "20 ft"},
            },
        ],
        operation={"hours_per_week": 40, "weeks_per_year": 50},
    )
    plan = planned(found)
    today, second, third = (item.phase for item in plan.phases)
    assert (today.start, second.start, third.start, third.end) == (0, 2, 4, 8)
    assert today.need.brief.staff.per_shift is None
    assert second.need.brief.staff.per_shift == third.need.brief.staff.per_shift == 6
    assert (today.need.hours_per_week, third.need.hours_per_week) == (40, 50)
    assert second.need.brief.site.ceiling_mm == today.need.brief.site.ceiling_mm
    assert third.need.brief.site.ceiling_mm == pytest.approx(6096)
    assert [fmt.annual_cans for fmt in second.need.formats] == [1_200_000]
    assert [fmt.annual_cans for fmt in third.need.formats] == [900_000, 300_000]
    assert third.need.formats[1].id == "can-473-standard"


def test_growth_beyond_the_horizon_is_left_out_and_named() -> None:
    plan = planned(study(growth=[{"year": 9, "volume": "200 %"}]))
    assert len(plan.phases) == 1 and plan.beyond == (9,)


def test_a_step_in_the_first_year_takes_todays_place() -> None:
    plan = planned(study(growth=[{"year": 1, "volume": "200 %"}]))
    (item,) = plan.phases
    assert item.phase.need.annual_cans == 1_200_000


def test_the_speed_follows_the_volume_where_the_brief_leaves_it_open() -> None:
    plan = planned(study(cans=2_000_000, later=4_000_000, speed=None))
    # cans / (2000 h x 60 min x 75 % planned efficiency), up to a tenth
    assert [item.phase.need.speed_cpm for item in plan.phases] == [22.3, 44.5]


def test_the_same_brief_gives_the_same_plan() -> None:
    one, other = (planned(study(cans=150_000)) for _ in range(2))
    assert one.path.total == other.path.total
    assert [item.layout.id for item in one.phases] == [item.layout.id for item in other.phases]
