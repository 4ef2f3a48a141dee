"""A schedule as text and as plain data."""

from __future__ import annotations

import math
from typing import Any

from lineconfig.explain.nothing import NoLayout
from lineconfig.present.change_parts import change_parts_lines, change_parts_record
from lineconfig.present.records import no_layout_record
from lineconfig.present.text import short_amount
from lineconfig.present.wrapping import WIDTH, heading, named_row, wrapped
from lineconfig.rounding import amount_text, cpm_text, minutes_text
from lineconfig.schedule.plan import Contribution, Schedule

WORTH_CHANGING = 0.1
"""Share of the cost of changes and stock that makes another cycle worth naming."""
BUSY_WEEK = 0.9
"""Share of the hours above which little is left for what goes wrong."""


# --- text ------------------------------------------------------------------------------------


def schedule_text(schedule: Schedule) -> str:
    """What `schedule` prints."""
    need = schedule.study.need
    title = f"{need.brief.name}: running order"
    lines = [title, "=" * min(len(title), WIDTH), *wrapped(schedule.layout.title)]
    lines.append(f"id {schedule.layout.id}")
    lines += _order_lines(schedule)
    lines += _hours_lines(schedule)
    lines += _lot_lines(schedule)
    lines += _contribution_lines(schedule)
    lines += change_parts_lines(schedule.study, schedule.layout)
    lines += _notes(schedule)
    return "\n".join(lines)


def _order_lines(schedule: Schedule) -> list[str]:
    weeks = weeks_text(schedule.cycle_weeks)
    title = f"Each format once in {weeks}, in this order"
    alone = len(schedule.campaigns) == 1
    if alone:
        title = f"One format, so nothing to change over; in {weeks}"
    lines = [
        *heading(title),
        f"{'':3}{'format':32}{'change':>9}{'cans':>11}{'hours':>8}{'eff. cpm':>9}{'days':>7}",
    ]
    days = schedule.cycle_weeks * 7
    for number, campaign in enumerate(schedule.campaigns, 1):
        share = campaign.stock_cans / campaign.cans if campaign.cans else 0.0
        lines += named_row(
            f"{number:<3}", campaign.format.container.name, 32,
            f"{'-' if alone else f'{minutes_text(campaign.change_min)} min':>9}"
            f"{campaign.cans:>11,.0f}{campaign.hours:>8.1f}"
            f"{cpm_text(campaign.effective_cpm):>9}{'-' if alone else f'{share * days:.1f}':>7}",
        )  # fmt: skip
    if len(schedule.campaigns) > 1:
        cycle = schedule.cycle
        said = "no order takes less"
        if not cycle.exact:
            said = f"no order can take less than {cycle.bound:.0f} min"
        lines += wrapped(
            "change: into the format, from the one before; days: how long the stock lasts on "
            f"average. A round has {cycle.minutes:.0f} min of changing over; {said}."
        )
    return lines


def _hours_lines(schedule: Schedule) -> list[str]:
    lines = [*heading("Hours a week")]
    for words, hours in (
        ("running, starting and cleaning", schedule.run_hours),
        ("changing over", schedule.changeover_hours),
        ("there are", schedule.available_hours),
        ("spare", schedule.spare_hours),
    ):
        lines.append(f"  {words:34}{hours:>8.1f}")
    if schedule.spare_hours < 0:
        lines += wrapped(_short_text(schedule))
    elif schedule.available_hours - schedule.spare_hours > BUSY_WEEK * schedule.available_hours:
        lines += wrapped("Little is left for what goes wrong.")
    return lines


def _short_text(schedule: Schedule) -> str:
    shortest = schedule.shortest_weeks
    lacking = f"{-schedule.spare_hours:.1f} h a week are lacking."
    if shortest is None:
        return f"{lacking} Running alone takes more than there are: no running order helps."
    said = f"{lacking} With rounds of {weeks_text(shortest)} or more the hours suffice."
    if schedule.contributions:
        least = min(schedule.contributions, key=lambda item: item.per_hour)
        said += (
            f" The hours of {least.format.container.name} earn least: {least.per_hour:,.0f} "
            f"{schedule.study.need.currency} an hour."
        )
    return said


def _lot_lines(schedule: Schedule) -> list[str]:
    if schedule.common is None or schedule.handy_weeks is None:
        return []
    need = schedule.study.need
    best = schedule.common.years * need.weeks_per_year
    cost = schedule.yearly_cost
    lines = [
        *heading("How long should a round be?"),
        *wrapped(
            "In a round every format runs once. Here a round takes "
            f"{weeks_text(schedule.cycle_weeks)}: {_whence(schedule)}. Its changes and the stock "
            f"between them cost {amount_text(cost)} {need.currency} a year."
        ),
        *wrapped(
            f"The cheapest round would take {weeks_text(best)}, at "
            f"{amount_text(schedule.common.yearly_cost)} a year. With each format at its own best "
            f"interval instead of one round for all, it would not fall below "
            f"{amount_text(schedule.least_cost)}."
        ),
    ]
    if cost > (1 + WORTH_CHANGING) * schedule.common.yearly_cost and not math.isclose(
        schedule.handy_weeks, schedule.cycle_weeks
    ):
        lines += wrapped(f"Try rounds of {weeks_text(schedule.handy_weeks)}.")
    if schedule.common.years <= schedule.common.shortest_years * (1 + 1e-9):
        lines += wrapped("The hours decide: a shorter round would leave no time for the changes.")
    if schedule.seldom:
        names = ", ".join(campaign.format.container.name for campaign in schedule.seldom)
        lines += wrapped(f"Cheap to hold, so every other round may do: {names}.")
    return lines


def _whence(schedule: Schedule) -> str:
    need = schedule.study.need
    match schedule.cycle_reason:
        case "asked":
            return "that is what `--cycle` asks for"
        case "cheapest":
            return "the handiest length near the cheapest"
        case "brief":
            changes = need.changeovers_per_week
            return (
                f"that follows from {len(need.formats)} formats and the {changes:g} format "
                f"{'change' if changes == 1 else 'changes'} a week of the brief"
            )


def _contribution_lines(schedule: Schedule) -> list[str]:
    if not schedule.contributions:
        return []
    currency = schedule.study.need.currency
    lines = [
        *heading(f"What each format brings in ({currency} a year)"),
        f"{'':30}{'margin':>10}{'running':>10}{'changes':>9}{'stock':>8}{'parts':>6}{'left':>7}",
    ]
    for item in reversed(schedule.contributions):
        amounts = (item.margin, item.running, item.changing, item.stock, item.parts)
        shown = "".join(
            f"{short_amount(value):>{width}}"
            for value, width in zip(amounts, (10, 10, 9, 8, 6), strict=True)
        )
        lines += named_row(
            "", item.format.container.name, 30, f"{shown}{short_amount(item.contribution):>7}"
        )
    for item in schedule.not_worth_carrying:
        lines += wrapped(
            f"{item.format.container.name} is not worth carrying: it costs "
            f"{-item.contribution:,.0f} {currency} a year more than it brings in."
        )
    if not schedule.not_worth_carrying:
        lines += wrapped("Every one of them brings in more than it costs.")
    return lines


def _notes(schedule: Schedule) -> list[str]:
    economics = schedule.study.catalog.economics
    carrying = float(economics.stock.carrying)
    need, people = schedule.study.need, schedule.layout.crew.people
    basis = schedule.study.catalog.economics_basis("stock.carrying")
    changes = (
        f"{people} {'person' if people == 1 else 'people'} at {need.wage_per_h:g} {need.currency} "
        "an hour"
    )
    running = "Running hours at effective speed with start-up and cleaning."
    if len(schedule.campaigns) == 1:
        return ["", *wrapped(running)]
    return [
        "",
        *wrapped(
            f"{running} A change costs the time of {changes}; product and cans lost in it are not "
            f"counted. Stock costs {carrying:.0%} of product and container a year; safety stock is "
            f"on top. Basis of the share: {basis}."
        ),
    ]


def weeks_text(weeks: float) -> str:
    """A length of time in words: `a week`, `2 weeks`, `3.5 days`."""
    if math.isinf(weeks):
        return "no end"
    if weeks < 1 - 1e-9:
        days = weeks * 7
        return f"{days:.1f} days" if abs(days - 1) > 0.05 else "a day"
    if math.isclose(weeks, 1.0, abs_tol=0.005):
        return "a week"
    return f"{weeks:.2f}".rstrip("0").rstrip(".") + " weeks"


# --- plain data ------------------------------------------------------------------------------


def schedule_record(schedule: Schedule) -> dict[str, Any]:
    """What `schedule --json` prints."""
    common, weeks = schedule.common, schedule.study.need.weeks_per_year
    return {
        "layout": schedule.layout.id,
        "order": [campaign.format.id for campaign in schedule.campaigns],
        "changeover_hours": round(schedule.changeover_hours, 4),
        "run_hours": round(schedule.run_hours, 4),
        "available_hours": round(schedule.available_hours, 4),
        "spare_hours": round(schedule.spare_hours, 4),
        "cycle_weeks": round(schedule.cycle_weeks, 4),
        "cycle_from": schedule.cycle_reason,
        "changeover_min": {
            one.id: {
                other.id: round(minutes, 2)
                for other, minutes in zip(schedule.study.need.formats, row, strict=True)
                if other is not one
            }
            for one, row in zip(schedule.study.need.formats, schedule.minutes, strict=True)
        },
        "round_min": round(schedule.cycle.minutes, 2),
        "round_bound_min": round(schedule.cycle.bound, 2),
        "order_is_exact": schedule.cycle.exact,
        "campaigns": [
            {
                "format": campaign.format.id,
                "change_min": round(campaign.change_min, 2),
                "cans": round(campaign.cans),
                "hours": round(campaign.hours, 4),
                "effective_cpm": round(campaign.effective_cpm, 3),
                "stock_cans": round(campaign.stock_cans),
                "stock_per_year": round(campaign.stock_usd_per_year, 2),
            }
            for campaign in schedule.campaigns
        ],
        "lots": None
        if common is None
        else {
            "cheapest_weeks": round(common.years * weeks, 4),
            "shortest_weeks": round(common.shortest_years * weeks, 4),
            "handy_weeks": schedule.handy_weeks,
            "cost_per_year": round(schedule.yearly_cost, 2),
            "cheapest_cost_per_year": round(common.yearly_cost, 2),
            "least_cost_per_year": round(schedule.least_cost, 2),
            "every_other_round": [campaign.format.id for campaign in schedule.seldom],
        },
        "contributions": [_contribution_record(item) for item in schedule.contributions],
        "not_worth_carrying": [item.format.id for item in schedule.not_worth_carrying],
        "change_parts": change_parts_record(schedule.study, schedule.layout),
        "currency": schedule.study.need.currency,
        "no_layout": None,
    }


def no_schedule_record(answer: NoLayout) -> dict[str, Any]:
    """What `schedule --json` prints for a brief that no layout meets."""
    hours = ("changeover_hours", "run_hours", "available_hours", "spare_hours")
    return {"order": [], **dict.fromkeys(hours), "no_layout": no_layout_record(answer)}


def _contribution_record(item: Contribution) -> dict[str, Any]:
    return {
        "format": item.format.id,
        "margin": round(item.margin, 2),
        "running": round(item.running, 2),
        "changing": round(item.changing, 2),
        "stock": round(item.stock, 2),
        "parts": round(item.parts, 2),
        "contribution": round(item.contribution, 2),
        "per_hour": round(item.per_hour, 2),
    }
