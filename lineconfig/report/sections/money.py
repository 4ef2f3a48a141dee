"""Money: first cost, yearly cost, and cumulative cost with its crossings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from lineconfig.assess.finance import annuity_factor
from lineconfig.lifecost import years_of_annuity
from lineconfig.present.money import worth
from lineconfig.report.charts import Curve, Mark, cost_chart
from lineconfig.report.document import Block, Column, Paragraph, Picture, Section, Table
from lineconfig.report.subject import Choice, Subject
from lineconfig.rounding import amount_text

STEPS_A_YEAR = 4


@dataclass(frozen=True, slots=True)
class Crossing:
    """When two layouts have cost the same."""

    one: Choice
    other: Choice
    year: float
    cost: float
    """Of each until then, in present value."""
    cheaper: Choice
    """From then on."""


def cost_until(choice: Choice, rate: float, years: float) -> float:
    """First cost and yearly costs so far, in present value [currency]."""
    money = choice.layout.money
    return money.first_cost.typical + money.annual_total * annuity_factor(rate, years)


def crossings(choices: tuple[Choice, ...], rate: float, horizon: float) -> list[Crossing]:
    """Where the cumulative costs of two layouts cross within the horizon.

    The cost is linear in the annuity factor, so that two layouts cross once at the most: where the
    factor is the extra first cost over the yearly saving.
    """
    found = []
    for one, other in combinations(choices, 2):
        extra = one.layout.money.first_cost.typical - other.layout.money.first_cost.typical
        saving = other.layout.money.annual_total - one.layout.money.annual_total
        if extra * saving <= 0:
            continue
        year = years_of_annuity(extra / saving, rate)
        if 0 < year <= horizon:
            cheaper = one if saving > 0 else other
            found.append(Crossing(one, other, year, cost_until(one, rate, year), cheaper))
    return found


def money_section(subject: Subject) -> Section:
    """What it costs."""
    words = subject.words
    if subject.hide_prices:
        return Section("money", words("money.title"), (Paragraph(words("money.hidden")),))
    blocks: list[Block] = [
        Paragraph(words("money.lead", currency=subject.study.need.currency)),
        _first_cost(subject),
        _yearly(subject),
        _life(subject),
        Paragraph(words("money.life_note"), "note"),
        *_cumulative(subject),
    ]
    return Section("money", words("money.title"), tuple(blocks))


def _columns(subject: Subject, first: str) -> tuple[Column, ...]:
    words = subject.words
    return (
        Column(words(first)),
        *(Column(words("choice.column", label=c.label), "number") for c in subject.choices),
    )


def _first_cost(subject: Subject) -> Table:
    words = subject.words
    items = subject.first.record["first_cost_items"]
    rows = [
        (
            words.of("first", item),
            *(subject.range_money(c.record["first_cost_items"][item]) for c in subject.choices),
        )
        for item in items
    ]
    rows.append(
        (
            words("money.first_total"),
            *(subject.range_money(c.record["first_cost"]) for c in subject.choices),
        )
    )
    columns = _columns(subject, "money.item")
    return Table(words("money.first"), columns, tuple(rows), totals=1, whole=True)


def _yearly(subject: Subject) -> Table:
    words = subject.words
    first = subject.first.record["annual_cost"]
    headings = dict.fromkeys(sorted(first, key=lambda heading: -first[heading]))
    for choice in subject.choices:
        headings |= dict.fromkeys(choice.record["annual_cost"])
    rows = [
        (
            words.of("annual", heading),
            *(amount_text(c.record["annual_cost"].get(heading, 0.0)) for c in subject.choices),
        )
        for heading in headings
    ]
    rows.append(
        (
            words("money.together"),
            *(amount_text(c.layout.money.annual_total) for c in subject.choices),
        )
    )
    columns = _columns(subject, "money.heading")
    return Table(words("money.yearly"), columns, tuple(rows), totals=1, whole=True)


def _life(subject: Subject) -> Table:
    words, need = subject.words, subject.study.need
    unknown = words("document.unknown")

    def net_worth(choice: Choice) -> str:
        return unknown if choice.ranked is None else f"{worth(subject.study, choice.layout):,}"

    def payback(choice: Choice) -> str:
        if choice.ranked is None:
            return unknown
        years = choice.record["payback_years"]
        return words("choice.never") if years is None else f"{years:.1f}"

    life = words(
        "money.life_cost", years=f"{need.horizon_years:g}", rate=f"{need.discount_rate:.1%}"
    )
    rows = (
        (life, *(subject.range_money(c.record["life_cycle_cost"]) for c in subject.choices)),
        (
            words("money.per_1000"),
            *(f"{c.record['cost_per_1000_cans']:,.2f}" for c in subject.choices),
        ),
        (words("money.npv"), *map(net_worth, subject.choices)),
        (words("money.payback"), *map(payback, subject.choices)),
    )
    return Table(words("money.life"), _columns(subject, "money.item"), rows, whole=True)


def _against_first(
    subject: Subject, moments: Sequence[float], found: Sequence[Crossing]
) -> Picture:
    """The same costs less those of layout 1, so that near ones can be told apart."""
    words, need, first = subject.words, subject.study.need, subject.first
    rate, years = float(need.discount_rate), f"{need.horizon_years:g}"
    curves = [
        Curve(
            words("choice.column", label=choice.label),
            tuple(
                (year, cost_until(choice, rate, year) - cost_until(first, rate, year))
                for year in moments
            ),
        )
        for choice in subject.choices
    ]
    marks = [
        Mark(item.year, 0.0, words("money.mark", year=f"{item.year:.1f}"))
        for item in found
        if first in (item.one, item.other)
    ]
    told = " ".join(
        words(
            "money.against_curve",
            label=choice.label,
            first=f"{curve.points[0][1]:+,.0f}",
            last=f"{curve.points[-1][1]:+,.0f}",
            years=years,
        )
        for choice, curve in zip(subject.choices, curves, strict=True)
        if choice is not first
    )
    chart = cost_chart(
        "against",
        words("money.against_title"),
        told,
        curves,
        marks,
        words("money.axis_years"),
        words("money.axis_cost", currency=need.currency),
    )
    return Picture(chart, words("money.against_caption"))


def _cumulative(subject: Subject) -> list[Block]:
    words, need, choices = subject.words, subject.study.need, subject.choices
    rate, horizon = float(need.discount_rate), float(need.horizon_years)
    years = f"{horizon:g}"
    found = crossings(choices, rate, horizon)
    moments = [step / STEPS_A_YEAR for step in range(int(horizon * STEPS_A_YEAR))] + [horizon]
    curves = [
        Curve(
            words("choice.column", label=choice.label),
            tuple((year, cost_until(choice, rate, year)) for year in moments),
        )
        for choice in choices
    ]
    marks = [
        Mark(item.year, item.cost, words("money.mark", year=f"{item.year:.1f}")) for item in found
    ]
    told = " ".join(
        words(
            "money.chart_curve",
            label=choice.label,
            first=subject.money(choice.record["first_cost"]["typical"]),
            life=subject.money(choice.record["life_cycle_cost"]["typical"]),
            years=years,
        )
        for choice in choices
    )
    met = "; ".join(
        words("money.crossing", one=item.one.label, other=item.other.label, year=f"{item.year:.1f}")
        for item in found
    )
    nowhere = words("money.no_crossing", years=years)
    blocks: list[Block] = [
        Picture(
            cost_chart(
                "cost",
                words("money.chart_title", years=years),
                words("money.chart_desc", curves=told, crossings=met or nowhere),
                curves,
                marks,
                words("money.axis_years"),
                words("money.axis_cost", currency=need.currency),
            ),
            words("money.chart_caption", rate=f"{rate:.1%}"),
        )
    ]
    if len(choices) > 1:
        blocks.append(_against_first(subject, moments, found))
    if not found:
        return [*blocks, Paragraph(nowhere)] if len(choices) > 1 else blocks
    rows = tuple(
        (
            f"{item.one.label}, {item.other.label}",
            f"{item.year:.1f}",
            amount_text(item.cost),
            words("choice.column", label=item.cheaper.label),
        )
        for item in found
    )
    columns = (
        Column(words("money.crossing_pair")),
        Column(words("money.crossing_year"), "number"),
        Column(words("money.crossing_cost", currency=need.currency), "number"),
        Column(words("money.crossing_after")),
    )
    return [*blocks, Table(words("money.crossings"), columns, rows, whole=True)]
