"""Money of one layout, as text and as records: first cost by item, yearly costs, hours."""

from __future__ import annotations

from typing import Any

from lineconfig.assess.first_cost import first_cost_items
from lineconfig.assess.money import Range
from lineconfig.layout import Layout
from lineconfig.need import MINUTES_PER_HOUR
from lineconfig.present.text import range_text
from lineconfig.present.wrapping import heading, wrapped
from lineconfig.rounding import amount_text, difference, hours_text
from lineconfig.session import Study

ROUNDED = "Every figure is rounded by itself: sums are those of the unrounded figures."
"""Said where printed parts may add up to one more or less than their sum."""


def range_record(amounts: Range) -> dict[str, float]:
    """A range of money to the cent."""
    return {
        "low": round(amounts.low, 2),
        "typical": round(amounts.typical, 2),
        "high": round(amounts.high, 2),
    }


def first_cost_of(study: Study, layout: Layout) -> dict[str, Range]:
    """First cost by item: they add up to it [currency]."""
    shares = study.catalog.economics.first_cost
    return first_cost_items(
        layout.money.equipment,
        freight=float(shares.freight),
        installation=float(shares.installation),
        training=float(shares.training),
        contingency=float(shares.contingency),
    )


def worth(study: Study, layout: Layout) -> int:
    """Net present value against the cheapest to buy: how much less the line costs over its life, as
    both costs are printed [currency]."""
    cheapest = study.cheapest or layout
    costs = (each.money.life_cycle_cost.typical for each in (cheapest, layout))
    return difference(*costs)


def hours_of(study: Study, layout: Layout) -> dict[str, float]:
    """Hours of a year by what they go to, and together [h]."""
    money = layout.money
    running = study.terms.can_minutes(money.run_hours) / MINUTES_PER_HOUR
    return {
        "running": running,
        "start_up_and_cleaning": money.run_hours - running,
        "changeover": money.changeover_hours,
        "together": money.hours,
        "available": study.need.available_hours,
    }


def first_cost_record(study: Study, layout: Layout) -> dict[str, dict[str, float]]:
    """First cost by item for JSON."""
    return {
        name.replace(" ", "_"): range_record(item)
        for name, item in first_cost_of(study, layout).items()
    }


def hours_record(study: Study, layout: Layout) -> dict[str, Any]:
    """Hours of a year for JSON."""
    return {name: round(hours, 2) for name, hours in hours_of(study, layout).items()}


def money_lines(study: Study, layout: Layout) -> list[str]:
    """The section on money and hours."""
    money, need = layout.money, study.need
    lines = [*heading(f"Money ({need.currency})"), f"  {'':28}{'typical':>12}   (low to high)"]
    for name, item in first_cost_of(study, layout).items():
        lines.append(f"  {name:28}{_typical_and_range(item)}")
    life = f"cost of {need.horizon_years:g} years"
    lines += [
        f"  {'first cost':28}{_typical_and_range(money.first_cost)}",
        "",
        f"  {life:28}{_typical_and_range(money.life_cycle_cost)}",
        f"  {'per 1000 cans':28}{money.cost_per_1000_cans:>12,.2f}",
        *wrapped(
            "The range of the cost of life varies the purchase price only; later years are in "
            f"present value at {need.discount_rate:.1%} a year. {ROUNDED}", 2,
        ),
        "",
        "  a year:",
    ]  # fmt: skip
    lines += [
        f"    {name:26}{amount_text(cost):>12}"
        for name, cost in sorted(money.annual.items(), key=lambda pair: -pair[1])
    ]
    lines.append(f"    {'together':26}{amount_text(money.annual_total):>12}")
    hours = {name: hours_text(each) for name, each in hours_of(study, layout).items()}
    return [
        *lines,
        "",
        "  hours a year:",
        f"    {'cans running':26}{hours['running']:>12}",
        f"    {'start-up and cleaning':26}{hours['start_up_and_cleaning']:>12}",
        f"    {'format changes':26}{hours['changeover']:>12}",
        f"    {'together':26}{hours['together']:>12}   of {hours['available']} there are",
    ]


def _typical_and_range(amounts: Range) -> str:
    text = range_text(amounts)
    typical, _, rest = text.partition(" ")
    return f"{typical:>12}" + (f"   {rest}" if rest else "")
