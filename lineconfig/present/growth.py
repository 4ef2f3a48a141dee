"""The growth plan as text and as plain data."""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Mapping
from typing import Any

from lineconfig.growth.ledger import Move, Path
from lineconfig.growth.plan import Blocked, GrowthPlan, Kept, PhasePlan
from lineconfig.growth.region import HIGHEST_RATE, Region, region_of
from lineconfig.growth.scenarios import ScenarioPlan
from lineconfig.layout import Layout
from lineconfig.present.nothing import no_layout_lines
from lineconfig.present.records import no_layout_record
from lineconfig.present.text import differences, short_amount
from lineconfig.present.wrapping import WIDTH, clip, heading, named_row, wrapped
from lineconfig.rounding import hours_text
from lineconfig.sentences import lowered

LEAST_WORTH_NAMING = 1000.0
"""Amounts below this are put together [currency]."""
LEAST_TOLD = 500.0
"""Differences below this come out as nothing when they are rounded [currency]."""
MOST_FIRST_LINES = 5
FAR_FROM_TODAY = 5
"""Volumes further than this factor from today's are of no interest."""


# --- text ------------------------------------------------------------------------------------


def growth_text(plan: GrowthPlan, scenarios: ScenarioPlan | None, brief: str = "BRIEF") -> str:
    """What `grow` prints; `brief` is the brief as a command names it."""
    need = plan.study.need
    title = f"{need.brief.name}: growth over {need.horizon_years:g} years"
    lines = [title, "=" * min(len(title), WIDTH)]
    if len(plan.phases) == 1:
        lines += wrapped(
            "The brief has no `growth:` within its horizon, so this is one purchase for all years. "
            "Write such as `growth: [{year: 3, volume: 250 %}]` to plan ahead."
        )
    lines += _phase_lines(plan, brief)
    lines += _alternative_lines(plan, brief)
    lines += _region_lines(plan)
    lines += _kept_lines(plan)
    if scenarios is not None:
        lines += _scenario_lines(plan, scenarios, brief)
    lines += _notes(plan)
    return "\n".join(lines)


def open_command(brief: str, layout: Layout, year: int) -> str:
    """The command that opens the line of a phase."""
    return f"lineconfig show {shlex.quote(brief)} {layout.id} --year {year}"


def _open_lines(brief: str, layout: Layout, year: int) -> list[str]:
    """The same, parted as a shell reads it where it is too long for one line."""
    whole = f"      {open_command(brief, layout, year)}"
    if len(whole) <= WIDTH:
        return [whole]
    start, end = whole.split(f" {layout.id} ")
    return [f"{start} \\", f"        {layout.id} {end}"]


def blocked_text(blocked: Blocked) -> str:
    """What `grow` prints where a phase has no line at all."""
    phase = blocked.phase
    cans = f"{phase.need.annual_cans:,.0f} cans a year"
    lines = wrapped(
        f"No line meets today's need ({cans}), so there is none to grow from."
        if phase.start == 0
        else f"From year {phase.year} ({cans}) there is no line to grow into."
    )
    return "\n".join([*lines, "", *no_layout_lines(blocked.reason)])


def _phase_lines(plan: GrowthPlan, brief: str) -> list[str]:
    lines = [
        *heading(f"{_path_title(plan)}: {short_amount(plan.path.total)} in present value"),
        *wrapped(_aim_text(plan)),
        "",
        f"{'year':6}{'line':34}{'cans a year':>13}{'h a year':>10}{'people':>8}{'to spend':>9}",
    ]
    for number, (item, made) in enumerate(zip(plan.phases, plan.path.moves, strict=True)):
        layout = item.layout
        lines.append(
            f"{item.phase.year:<6}{clip(layout.id, 34):34}{item.phase.need.annual_cans:>13,.0f}"
            f"{hours_text(layout.money.hours):>10}{layout.crew.people:>8}{_spent(made.spend):>9}"
        )
        if number == 0 or layout.classes != plan.phases[number - 1].layout.classes:
            lines += wrapped(layout.title, 6, 8)
        lines += _open_lines(brief, layout, item.phase.year)
        if number:
            lines += _move_lines(plan, item, made)
    return [*lines, *wrapped(_prices_text(plan))]


def _spent(amount: float) -> str:
    return short_amount(amount) if abs(amount) >= LEAST_TOLD else "0"


def _path_title(plan: GrowthPlan) -> str:
    title = "The cheapest path" if len(plan.phases) > 1 else "The cheapest line"
    return title if plan.study.need.brief.budget is None else f"{title} within today's budget"


def _aim_text(plan: GrowthPlan) -> str:
    """What is least, of which ways, and within what."""
    years = f"{plan.study.need.horizon_years:g}"
    if len(plan.phases) > 1:
        *early, last = (str(item.phase.year) for item in plan.phases[1:])
        begins = f"years {', '.join(early)} and {last}" if early else f"year {last}"
        said = (
            f"Of the ways looked at to buy a line now and to keep or change it in {begins}, this "
            f"one costs least over the {years} years"
        )
    else:
        said = f"Of the lines looked at to buy now, this one costs least over the {years} years"
    low, high = (short_amount(plan.at_other_prices[level].total) for level in ("low", "high"))
    said += (
        ": purchases and running costs, less what machines bring in used, in present value "
        f"({low} with all prices low, {high} with all high)."
    )
    budget = plan.study.need.brief.budget
    if budget is None:
        return said
    currency = plan.study.need.currency
    later = "; the brief sets none for later years" if len(plan.phases) > 1 else ""
    return (
        f"{said} What is bought now keeps to the budget of {float(budget):,.0f} {currency}{later}."
    )


def _prices_text(plan: GrowthPlan) -> str:
    """Whether the path hangs on the level of prices."""
    word = "path" if len(plan.phases) > 1 else "line"
    other = [level for level, at in plan.at_other_prices.items() if not at.cheapest]
    if not other:
        return "It is the cheapest with all prices low and with all prices high too."
    return f"With all prices {' or '.join(other)} another {word} is cheaper than this one."


def _move_lines(plan: GrowthPlan, item: PhasePlan, made: Move) -> Iterator[str]:
    before = plan.phases[plan.phases.index(item) - 1].layout
    if item.layout.classes == before.classes:
        extra = ""
        if made.add:
            extra = f"; tracks, belt or change parts are added: {_priced(plan, made.add)}"
        yield from wrapped(f"the same line{extra}.", 6, 8)
        return
    said = [f"keeps {len(made.keep)} of {len(made.keep) + len(made.buy)} kinds of equipment"]
    if any(made.buy.values()):
        said.append(f"buys {_priced(plan, made.buy)}")
    if made.add:
        said.append(f"adds tracks, belt or change parts: {_priced(plan, made.add)}")
    said += [
        f"the {_name(plan, credit.old)} serves again in the {_name(plan, credit.new)}: "
        f"{short_amount(credit.amount)} credited"
        for credit in made.credits
    ]
    if made.sell:
        said.append(f"sells {_priced(plan, made.sell)}")
    yield from wrapped("; ".join(said) + ".", 6, 8)
    yield from wrapped(_why_step(plan, item), 6, 8)


def _why_step(plan: GrowthPlan, item: PhasePlan) -> str:
    if item.longer is not None:
        need = item.phase.need
        change = item.longer.total - plan.path.total
        words = "less" if change < 0 else "more"
        return (
            f"The line before falls short in hours alone: run {item.longer.hours_per_week:.1f} h a "
            f"week instead of {need.hours_per_week:g}, and it carries on to the end for "
            f"{short_amount(abs(change))} {words} than this path."
        )
    if item.forced:
        return "The line before cannot do what this year asks for, so the step is needed."
    if item.pays_in_year is not None:
        return f"The step has paid for itself in year {int(item.pays_in_year) + 1}."
    return "Beside staying, the step pays only with what its machines are worth at the end."


def _alternative_lines(plan: GrowthPlan, brief: str) -> list[str]:
    several = len(plan.phases) > 1
    lines = [
        *heading("Beside it"),
        f"{'':44}{'total':>10}{'against it':>12}{'to buy now':>12}",
        _row(plan, f"the {'path' if several else 'line'} above", plan.path),
    ]
    alone = not several and plan.final_now_affordable
    if plan.final_now is not None and not alone:
        lines += _final_lines(plan, plan.final_now, brief)
    elif plan.final_now is None:
        lines += wrapped("No line serves every phase as it is.", 0, 2)
    if plan.cheapest_each_time is not None:
        words = "the least to buy" + (", in each phase anew" if several else "")
        lines += ["", _row(plan, words, plan.cheapest_each_time)]
        lines += wrapped(
            "Whatever costs least to buy within the limits of the brief, the cost of running it "
            "left aside.", 6,
        )  # fmt: skip
        lines += _path_lines(plan, plan.cheapest_each_time, brief)
    if plan.stepping is not None and not plan.path.steps:
        lines += ["", _row(plan, "the best path that changes the line", plan.stepping)]
        lines += _path_lines(plan, plan.stepping, brief)
    return lines


def _final_lines(plan: GrowthPlan, final: Path, brief: str) -> list[str]:
    """One line that is never changed."""
    several = len(plan.phases) > 1
    layout = plan.layouts_of(final)[0]
    words = "one line for all phases, bought now" if several else "the cheapest without the budget"
    lines = ["", _row(plan, words, final)]
    said = "Of the lines that serve every phase unchanged it costs least over all years"
    if not several:
        said = "Of all lines it costs least over all years"
    if not plan.final_now_affordable:
        budget = plan.study.need.brief.budget
        assert budget is not None
        said += f"; it is beyond the budget of {float(budget):,.0f}, which the path keeps to"
    lines += wrapped(f"{said}.", 6)
    if not plan.path.steps and final.choices[0].classes == plan.path.choices[0].classes:
        return [*lines, *wrapped("It is the line above.", 6)]
    return lines + _line_lines(layout, 1, brief)


def _path_lines(plan: GrowthPlan, path: Path, brief: str) -> list[str]:
    """The lines of a path, each with the command that opens it; one that stays is told once."""
    lines: list[str] = []
    before: Layout | None = None
    rows = zip(plan.phases, plan.layouts_of(path), path.moves, strict=True)
    for item, layout, made in rows:
        if before is None or layout.classes != before.classes:
            year = item.phase.year
            lines += wrapped(f"year {year}: {short_amount(made.spend)} to spend", 6)
            if before is None:
                lines += _line_lines(layout, year, brief)
            else:
                # Titles leave out small machines, which may be all that changes.
                changed = differences(plan.study, before, layout)
                lines += wrapped(f"{layout.id}: {changed}", 6, 8)
                lines += _open_lines(brief, layout, year)
        before = layout
    return lines


def _line_lines(layout: Layout, year: int, brief: str) -> list[str]:
    return [
        *wrapped(f"{layout.id}: {layout.title}", 6, 8),
        *_open_lines(brief, layout, year),
    ]


def _row(plan: GrowthPlan, words: str, path: Path) -> str:
    change = path.total - plan.path.total
    against = ""
    if path is not plan.path:
        against = f"{'+' if change > 0 else ''}{short_amount(change)}"
        against = "the same" if abs(change) < LEAST_TOLD else against
    return (
        f"{words:44}{short_amount(path.total):>10}{against:>12}"
        f"{short_amount(path.moves[0].spend):>12}"
    )


def _region_lines(plan: GrowthPlan) -> list[str]:
    region = region_of(plan)
    if region is None:
        return []
    return [*heading("Step by step, or the final line now?"), *wrapped(_region_text(plan, region))]


def _region_text(plan: GrowthPlan, region: Region) -> str:
    amount = short_amount(abs(region.saving))
    assert plan.final_now is not None
    other = f"buying one line for all phases now ({plan.layouts_of(plan.final_now)[0].id})"
    if region.saving >= 0:
        said = [f"Growing in steps saves {amount} against {other}."]
    else:
        said = [f"Growing in steps costs {amount} more than {other}."]
    if not region.rates:
        said.append(f"No discount rate up to {HIGHEST_RATE:.0%} makes it the cheaper way.")
    for low, high in region.rates:
        if low == 0 and high == HIGHEST_RATE:
            said.append(f"It is the cheaper way at any discount rate up to {HIGHEST_RATE:.0%}.")
        elif high == HIGHEST_RATE:
            said.append(f"It is the cheaper way at discount rates above {low:.1%}.")
        elif low == 0:
            said.append(f"It is the cheaper way at discount rates below {high:.1%}.")
        else:
            said.append(f"It is the cheaper way at discount rates from {low:.1%} to {high:.1%}.")
    today = plan.phases[0].phase.need.annual_cans
    if region.cans is not None and today / FAR_FROM_TODAY < region.cans < today * FAR_FROM_TODAY:
        side = "below" if region.cheaper_below else "above"
        said.append(
            f"With the later years as planned, it is the cheaper way while today's volume is "
            f"{side} {region.cans:,.0f} cans a year (now {today:,.0f})."
        )
    return " ".join(said)


def _kept_lines(plan: GrowthPlan) -> list[str]:
    if len(plan.phases) == 1:
        return []
    end = f"{plan.study.need.horizon_years:g}"
    lines = [
        *heading("What becomes of today's purchase"),
        f"{'':36}{'paid':>9}  becomes",
    ]
    small = 0
    for kept in sorted(plan.keeps, key=lambda kept: -kept.paid):
        if kept.paid < LEAST_WORTH_NAMING:
            small += 1
            continue
        name = plan.study.catalog.classes[kept.class_id].name
        first, *rest = wrapped(_fate(plan, kept, end), 47)
        lines += named_row("", name, 36, f"{short_amount(kept.paid):>9}  {first.strip()}")
        lines += rest
    if small:
        lines += wrapped(f"and {small} small things", 0)
    return lines


def _fate(plan: GrowthPlan, kept: Kept, end: str) -> str:
    if kept.until_year is None:
        worth = f", then {short_amount(kept.worth)}" if kept.worth >= LEAST_WORTH_NAMING else ""
        return f"used to year {end}{worth}"
    said = [f"out in year {kept.until_year}"]
    if kept.successor is not None:
        said.append(
            f"{short_amount(kept.credit)} off the price of the {_name(plan, kept.successor)}"
        )
    if kept.worth >= LEAST_WORTH_NAMING:
        said.append(f"sold for {short_amount(kept.worth)}")
    return ", ".join(said)


def _scenario_lines(plan: GrowthPlan, answer: ScenarioPlan, brief: str) -> list[str]:
    lines = [
        *heading("If less or more comes"),
        *wrapped(
            "Cost of each first line when the years after it follow what comes: "
            + "; ".join(
                f"{number}. {scenario.name} ({share:.0%} likely, {float(scenario.growth):.0%} of "
                "the growth)"
                for number, (scenario, share) in enumerate(
                    zip(answer.scenarios, answer.shares, strict=True), 1
                )
            )
        ),
    ]
    numbers = "".join(f"{number:>8}" for number in range(1, min(len(answer.shares), 4) + 1))
    lines.append(f"{'bought today':32}{numbers}{'average':>9}{'regret':>8}")
    shown = list(answer.lines[:MOST_FIRST_LINES])
    if answer.least_regret not in shown:
        shown.append(answer.least_regret)
    for line in shown:
        costs = "".join(f"{short_amount(path.total):>8}" for path in line.paths[:4])
        lines += named_row(
            "", line.layout.id, 32,
            f"{costs}{short_amount(line.average):>9}{short_amount(line.regret):>8}",
        )  # fmt: skip
    average, regret = answer.best_on_average, answer.least_regret
    if average is regret:
        said = f"Best on average and least to regret: {average.layout.id}, {average.layout.title}."
    else:
        said = (
            f"Best on average: {average.layout.id}, {average.layout.title}. Least to regret: "
            f"{regret.layout.id}, {regret.layout.title}."
        )
    lines += wrapped(said)
    for line in (average,) if average is regret else (average, regret):
        lines += _open_lines(brief, line.layout, 1)
    return lines


def _first_text(plan: GrowthPlan) -> str:
    """Whether the first line is the one that a recommendation puts first, and if not, why."""
    first = next(plan.study.layouts("life-cycle-cost"), None)
    if first is None:
        return ""
    if first.classes == plan.path.choices[0].classes:
        return " What is bought now is also what a recommendation by life-cycle cost puts first."
    looks = "" if len(plan.phases) == 1 else " and looks no further than today's need"
    return (
        f" A recommendation by life-cycle cost puts {first.id} first: it counts no value at the "
        f"end{looks}."
    )


def _looked_at(plan: GrowthPlan) -> str:
    """Which lines the answer is the cheapest of."""
    counts = [f"{len(stage)}" for stage in plan.graph.stages]
    if len(counts) == 1:
        return f"It is the cheapest of {counts[0]} lines: the best in every view and of every kind."
    joined = f"{', '.join(counts[:-1])} and {counts[-1]}"
    return (
        f"The path is the cheapest through {joined} lines: the best of each phase in every view "
        "and of every kind, and those that build best on a neighbour."
    )


def _notes(plan: GrowthPlan) -> list[str]:
    beyond = ""
    if plan.beyond:
        years = ", ".join(map(str, plan.beyond))
        beyond = f" Growth in year {years} lies beyond the horizon and is left out."
    used = plan.study.catalog.economics.used_machines
    return [
        "",
        *wrapped(
            f"Typical prices at {plan.study.need.discount_rate:.1%} a year: purchases at the start "
            "of a phase, running costs at the end of each year, less what machines are worth used "
            f"at the end ({float(used.at_once):.0%} of their price, "
            f"{float(used.yearly_decline):.0%} less with each year: "
            f"{plan.study.catalog.economics_basis('used_machines')}). Not counted: standstill and "
            f"labour while machines are exchanged, taking out, storing. {_looked_at(plan)}"
            f"{_first_text(plan)}{beyond}"
        ),
    ]


def _name(plan: GrowthPlan, class_id: str) -> str:
    return lowered(plan.study.catalog.classes[class_id].name)


def _priced(plan: GrowthPlan, amounts: Mapping[str, float]) -> str:
    ranked = sorted(amounts.items(), key=lambda pair: -pair[1])
    said = [
        f"{_name(plan, name)} ({short_amount(amount)})"
        for name, amount in ranked
        if amount >= LEAST_WORTH_NAMING
    ]
    small = sum(amount for _, amount in ranked if 0 < amount < LEAST_WORTH_NAMING)
    if small:
        said.append(f"small things ({small:,.0f})")
    return ", ".join(said)


# --- plain data ------------------------------------------------------------------------------


def growth_record(
    plan: GrowthPlan, scenarios: ScenarioPlan | None, brief: str = "BRIEF"
) -> dict[str, Any]:
    """What `grow --json` prints; `brief` is the brief as a command names it."""
    region = region_of(plan)
    final, cheapest = plan.final_now, plan.cheapest_each_time
    return {
        "phases": [
            {
                **_phase_record(item, made),
                "open": open_command(brief, item.layout, item.phase.year),
                "pays_in_year": _rounded(item.pays_in_year, 2),
                "needed": item.forced,
                "staying_with_longer_hours": None
                if item.longer is None
                else {
                    "hours_per_week": round(item.longer.hours_per_week, 2),
                    "total": round(item.longer.total, 2),
                },
            }
            for item, made in zip(plan.phases, plan.path.moves, strict=True)
        ],
        "total": round(plan.path.total, 2),
        "at_other_prices": {
            level: {"total": round(at.total, 2), "cheapest": at.cheapest}
            for level, at in plan.at_other_prices.items()
        },
        "left_at_end": round(sum(plan.path.left.values()), 2),
        "alternatives": {
            "final-now": {
                "total": _rounded(final.total if final else None, 2),
                "layout": plan.layouts_of(final)[0].id if final else None,
                "open": open_command(brief, plan.layouts_of(final)[0], 1) if final else None,
                "first_cost": _rounded(final.moves[0].spend if final else None, 2),
                "within_budget": plan.final_now_affordable if final else None,
            },
            "cheapest-each-time": {
                "total": _rounded(cheapest.total if cheapest else None, 2),
                "layouts": [each.id for each in plan.layouts_of(cheapest)] if cheapest else None,
                "open": [
                    open_command(brief, each, item.phase.year)
                    for item, each in zip(plan.phases, plan.layouts_of(cheapest), strict=True)
                ]
                if cheapest
                else None,
            },
        },
        "step_by_step": None
        if region is None
        else {
            "saving": round(region.saving, 2),
            "cheaper_at_rates": [[round(low, 5), round(high, 5)] for low, high in region.rates],
            "even_at_cans_per_year": _rounded(region.cans, 0),
            "cheaper_below": region.cheaper_below,
        },
        "todays_purchase": [
            {
                "class": kept.class_id,
                "paid": round(kept.paid, 2),
                "until_year": kept.until_year,
                "credit": round(kept.credit, 2),
                "serves_in": kept.successor,
                "worth": round(kept.worth, 2),
            }
            for kept in plan.keeps
        ],
        "scenarios": None if scenarios is None else _scenario_record(scenarios),
        "candidates": [len(stage) for stage in plan.graph.stages],
        "currency": plan.study.need.currency,
        "discount_rate": plan.study.need.discount_rate,
        "horizon_years": plan.study.need.horizon_years,
        "beyond_horizon": list(plan.beyond),
        "no_layout": None,
    }


def blocked_record(blocked: Blocked) -> dict[str, Any]:
    """What `grow --json` prints where a phase has no line at all."""
    return {
        "phases": [],
        "total": None,
        "alternatives": {"final-now": {"total": None}, "cheapest-each-time": {"total": None}},
        "blocked_year": blocked.phase.year,
        "no_layout": no_layout_record(blocked.reason),
    }


def _phase_record(item: PhasePlan, made: Move) -> dict[str, Any]:
    return {
        "year": item.phase.year,
        "layout": item.layout.id,
        "title": item.layout.title,
        "cans_per_year": round(item.phase.need.annual_cans),
        "running_per_year": round(item.layout.money.annual_total, 2),
        "keep": list(made.keep),
        "buy": _amounts({**made.buy, **made.add}),
        "sell": _amounts(made.sell),
        "credit": round(made.credited, 2),
        "credits": [
            {"class": each.old, "serves_in": each.new, "amount": round(each.amount, 2)}
            for each in made.credits
        ],
        "spend": round(made.spend, 2),
    }


def _amounts(amounts: Mapping[str, float]) -> list[dict[str, Any]]:
    return [{"class": name, "amount": round(amount, 2)} for name, amount in amounts.items()]


def _scenario_record(answer: ScenarioPlan) -> dict[str, Any]:
    return {
        "scenarios": [
            {"name": scenario.name, "share": round(share, 6), "growth": float(scenario.growth)}
            for scenario, share in zip(answer.scenarios, answer.shares, strict=True)
        ],
        "best_on_average": answer.best_on_average.layout.id,
        "least_regret": answer.least_regret.layout.id,
        "first_lines": [
            {
                "layout": line.layout.id,
                "totals": [round(path.total, 2) for path in line.paths],
                "average": round(line.average, 2),
                "regret": round(line.regret, 2),
            }
            for line in answer.lines
        ],
    }


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)
