"""The recommendation, the alternatives, and all of them side by side."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from lineconfig.choose.rules import length_text
from lineconfig.present.text import differences, title_text
from lineconfig.rank import codes_the_case_only
from lineconfig.report.document import Block, Column, Paragraph, Section, Subheading, Table
from lineconfig.report.subject import Choice, Subject
from lineconfig.rounding import (
    amount_text,
    area_text,
    cpm_text,
    difference,
    hours_text,
    minutes_text,
    mm_text,
    tenths_text,
)
from lineconfig.switching import Parameter, Switching


def choice_section(subject: Subject) -> Section:
    """Which layouts, why, and their figures side by side."""
    words = subject.words
    blocks: list[Block] = []
    for choice in subject.choices:
        key = "choice.recommended" if choice is subject.first else "choice.alternative"
        blocks.append(Subheading(words(key, label=choice.label)))
        tell = _recommended if choice is subject.first else _alternative
        blocks += [Paragraph(text) for text in tell(subject, choice)]
        blocks += _too_slow(subject, choice)
    if any(codes_the_case_only(choice.layout) for choice in subject.choices):
        names = ", ".join(
            choice.label for choice in subject.choices if codes_the_case_only(choice.layout)
        )
        blocks.append(Paragraph(words("choice.case_only", labels=names), "warning"))
    blocks.append(comparison(subject))
    return Section("choice", words("choice.title"), tuple(blocks))


def _too_slow(subject: Subject, choice: Choice) -> list[Block]:
    by_format = choice.record["speed_cpm"]["by_format"]
    slow = [name for name, row in by_format.items() if row["below_need"] == "effective"]
    if not slow:
        return []
    names = ", ".join(subject.format_name(name) for name in slow)
    return [Paragraph(subject.words("choice.short", formats=names), "warning")]


def people_text(subject: Subject, count: int) -> str:
    """`1 person`, `4 people`."""
    key = "choice.one_person" if count == 1 else "choice.people"
    return subject.words(key, count=count)


def main_speed(subject: Subject, choice: Choice, figure: str) -> float:
    """A speed of the main format in a layout's record [cpm]."""
    by_format = choice.record["speed_cpm"]["by_format"]
    return float(by_format[subject.study.need.main_format.id][figure])


def _recommended(subject: Subject, choice: Choice) -> Iterator[str]:
    words, need, layout = subject.words, subject.study.need, choice.layout
    title, record = title_text(layout), choice.record
    if choice.ranked is None:
        yield words("choice.by_id", title=title)
    elif choice.ranked.rank == 1:
        by = words.of("by", subject.answer.view)
        yield words("choice.best", title=title, by=by)
    else:
        yield words("choice.chosen", title=title)
    yield from _for_and_against(subject, choice)
    yield words(
        "choice.does",
        rated=cpm_text(main_speed(subject, choice, "rated")),
        format=need.main_format.container.name,
        effective=cpm_text(main_speed(subject, choice, "effective")),
        people=people_text(subject, record["crew"]["people"]),
        length=length_text(layout.floor.length_mm),
        area=area_text(layout.floor.area_m2),
        top=length_text(layout.highest.height_mm),
    )
    if not subject.hide_prices:
        yield words(
            "choice.costs",
            first=subject.money(record["first_cost"]["typical"]),
            life=subject.money(record["life_cycle_cost"]["typical"]),
            years=f"{need.horizon_years:g}",
            per_1000=f"{record['cost_per_1000_cans']:,.2f} {need.currency}",
        )


def _for_and_against(subject: Subject, choice: Choice) -> Iterator[str]:
    words, ranked = subject.words, choice.ranked
    if ranked is None:
        return
    if ranked.reason:
        yield words("choice.for_it", reason=ranked.reason)
    if ranked.drawbacks:
        yield words("choice.against_it", drawbacks=", ".join(ranked.drawbacks))


def _alternative(subject: Subject, choice: Choice) -> Iterator[str]:
    words, study, first = subject.words, subject.study, subject.first
    other = differences(study, first.layout, choice.layout)
    yield words("choice.beside", differences=other)
    yield from _for_and_against(subject, choice)
    effective = main_speed(subject, choice, "effective")
    other_cpm = cpm_text(main_speed(subject, first, "effective"))
    people = people_text(subject, choice.record["crew"]["people"])
    if subject.hide_prices:
        yield words(
            "choice.change_hidden", people=people, effective=cpm_text(effective), other=other_cpm
        )
    else:
        first_cost, life = (
            difference(choice.record[figure]["typical"], first.record[figure]["typical"])
            for figure in ("first_cost", "life_cycle_cost")
        )
        yield words(
            "choice.change",
            first=subject.money(abs(first_cost)),
            first_word=_more(subject, first_cost),
            life=subject.money(abs(life)),
            life_word=_more(subject, life),
            years=f"{study.need.horizon_years:g}",
            people=people,
            effective=cpm_text(effective),
            other=other_cpm,
        )
    values = list(_wins_at(subject, choice))
    if values:
        yield words("choice.instead", values="; ".join(values))


def _more(subject: Subject, change: float) -> str:
    return subject.words("choice.more" if change >= 0 else "choice.less")


def _wins_at(subject: Subject, choice: Choice) -> Iterator[str]:
    """The nearest value of each figure of the brief at which a layout of this kind comes first."""
    words = subject.words
    for parameter, switching in subject.switcher.all().items():
        nearest = switching.nearest(lambda layout: layout.family == choice.layout.family)
        if nearest is not None and not math.isclose(nearest[0], switching.now):
            yield words(
                "choice.instead_value",
                parameter=words.of("parameter", parameter),
                value=value_text(parameter, switching, nearest[0]),
                now=value_text(parameter, switching, switching.now),
            )


def value_text(
    parameter: Parameter, switching: Switching, value: float, *, unit: bool = True
) -> str:
    """A value of one of the figures that may move."""
    if parameter == "discount_rate":
        return f"{value:.1%}"
    digits = {"wage": 2, "horizon": 1}.get(parameter, 0)
    return f"{value:,.{digits}f}" + (f" {switching.unit}" if unit else "")


def least_share(subject: Subject, choice: Choice) -> str:
    """Share of draws in which a layout costs least of those in the report."""
    return f"{subject.sureness.shares[subject.choices.index(choice)]:.0%}"


Cell = Callable[[Choice], str]


def comparison(subject: Subject) -> Table:
    """The layouts side by side."""
    words, need = subject.words, subject.study.need

    def of_range(figure: str) -> Cell:
        return lambda choice: subject.range_money(choice.record[figure])

    def speed(figure: str) -> Cell:
        return lambda choice: cpm_text(main_speed(subject, choice, figure))

    def payback(choice: Choice) -> str:
        if choice.ranked is None:
            return words("document.unknown")
        years = choice.record["payback_years"]
        return words("choice.never") if years is None else f"{years:.1f}"

    rows: dict[str, Cell] = {
        "main": lambda choice: title_text(choice.layout),
        "id": lambda choice: ", ".join(part for part in (choice.layout.id, choice.place) if part),
    }
    if not subject.hide_prices:
        rows |= {
            "first_cost": of_range("first_cost"),
            "yearly": lambda choice: amount_text(choice.layout.money.annual_total),
            "life": of_range("life_cycle_cost"),
            "per_1000": lambda choice: f"{choice.record['cost_per_1000_cans']:,.2f}",
            "payback": payback,
        }
    rows |= {
        "people_row": lambda choice: str(choice.record["crew"]["people"]),
        "rated": speed("rated"),
        "effective": speed("effective"),
        "between": lambda choice: (
            f"{cpm_text(main_speed(subject, choice, 'lower_bound'))} – "
            f"{cpm_text(main_speed(subject, choice, 'upper_bound'))}"
        ),
        "simulated": speed("simulated"),
        "hours": lambda choice: hours_text(choice.record["hours_per_year"]["together"]),
        "changeover": lambda choice: minutes_text(choice.record["changeover_min"]["line"]),
        "area": lambda choice: area_text(choice.layout.floor.area_m2),
        "length": lambda choice: mm_text(choice.layout.floor.length_mm),
        "top": lambda choice: mm_text(choice.record["heights_mm"]["highest_point"]),
        "spare": lambda choice: mm_text(choice.record["heights_mm"]["ceiling_spare"]),
        "power": lambda choice: tenths_text(choice.layout.utilities.power_kw),
        "rinse": lambda choice: words.of("medium", choice.record["rinse"]),
        "stays": lambda choice: least_share(subject, choice),
    }
    if len(need.formats) < 2:
        del rows["changeover"]
    values = {
        "currency": need.currency,
        "years": f"{need.horizon_years:g}",
        "format": need.main_format.container.name,
        "hours": hours_text(need.available_hours),
    }
    return Table(
        words("choice.compared"),
        (
            Column(words("choice.figure")),
            *(Column(words("choice.column", label=choice.label)) for choice in subject.choices),
        ),
        tuple(
            (words(f"choice.{key}", **values), *(cell(choice) for choice in subject.choices))
            for key, cell in rows.items()
        ),
        labels=True,
    )
