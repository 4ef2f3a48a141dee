"""How far the answer holds: what changes it, how sure it is, and how it grows."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from lineconfig.growth.plan import Blocked, GrowthPlan
from lineconfig.layout import Layout
from lineconfig.present.growth import growth_record
from lineconfig.present.placement import passed_over_sentence
from lineconfig.present.records import bill_of_materials
from lineconfig.present.text import differences
from lineconfig.report.document import Block, Bullets, Column, Paragraph, Section, Table
from lineconfig.report.sections.choice import least_share, main_speed, value_text
from lineconfig.report.subject import Choice, Subject
from lineconfig.robustness import DRAWS
from lineconfig.rounding import amount_text, cpm_text
from lineconfig.switching import Parameter, Switching

INVENTED = "invented"


def changes_section(subject: Subject) -> Section:
    """Which layout is first where a figure of the brief moves."""
    words = subject.words
    view = words.of("view", subject.answer.view)
    rows = tuple(
        row
        for parameter, switching in subject.switcher.all().items()
        for row in _stretches(subject, parameter, switching)
    )
    rows += tuple(_limit_rows(subject))
    blocks: list[Block] = [Paragraph(words("changes.lead", view=view))]
    if rows:
        columns = (
            Column(words("changes.figure")),
            Column(words("changes.now"), "number"),
            Column(words("changes.from_word"), "number"),
            Column(words("changes.to_word"), "number"),
            Column(words("changes.first")),
        )
        blocks.append(Table(words("changes.table"), columns, rows, labels=True))
    else:
        blocks.append(Paragraph(words("changes.none_known")))
    return Section("changes", words("changes.title"), tuple(blocks))


def _limit_rows(subject: Subject) -> Iterator[tuple[str, ...]]:
    """The stretch of each limit on which the first stays first, and what comes first beside it."""
    words = subject.words
    for found in subject.limits:
        if subject.hide_prices and found.limit == "budget":
            continue
        name = words("changes.with_unit", figure=words.of("limit", found.limit), unit=found.unit)
        if found.limit == "people":
            name = words.of("limit", found.limit)
        now = words("changes.unstated") if found.now is None else f"{found.now:,.0f}"
        below, above, open_end = found.below, found.above, words("changes.any")
        low = open_end if below is None else f"{below.value:,.0f}"
        high = open_end if above is None else f"{above.value:,.0f}"
        if below is not None:
            yield name, now, open_end, low, _first_there(subject, below.layout)
        yield name, now, low, high, _first_there(subject, subject.switcher.first)
        if above is not None:
            yield name, now, high, open_end, _first_there(subject, above.layout)


def _first_there(subject: Subject, layout: Layout | None) -> str:
    words = subject.words
    if layout is None:
        return words("changes.none")
    known = {choice.layout.id: choice.label for choice in subject.choices}
    if layout.id in known:
        return words("changes.same", label=known[layout.id])
    base = subject.switcher.first
    assert base is not None
    other = differences(subject.study, base, layout)
    return words("changes.other", id=layout.id, differences=other)


def _stretches(
    subject: Subject, parameter: Parameter, switching: Switching
) -> Iterator[tuple[str, ...]]:
    words = subject.words
    name = words.of("parameter", parameter)
    if parameter != "discount_rate":
        name = words("changes.with_unit", figure=name, unit=switching.unit)
    if not switching.exact:
        name = words("changes.approximate", figure=name)
    for stretch in switching.stretches:
        first = _first_there(subject, stretch.layout)
        low, high = (
            value_text(parameter, switching, end, unit=False) for end in (stretch.low, stretch.high)
        )
        # A stretch between two values that are written alike is too short to be told.
        if low != high:
            now = value_text(parameter, switching, switching.now, unit=False)
            yield name, now, low, high, first


# --- how sure ----------------------------------------------------------------------------------


def sure_section(subject: Subject) -> Section:
    """What the answer rests on."""
    words, study, answer = subject.words, subject.study, subject.answer
    said = [words("sure.complete" if answer.complete else "sure.incomplete")]
    if answer.valid_layouts is not None:
        said.append(words("sure.count", count=f"{answer.valid_layouts:,}"))
    else:
        said.append(words("sure.combinations", count=f"{study.combinations:,}"))
    passed_over = passed_over_sentence(study)
    if passed_over is not None:
        said.append(passed_over)
    share = invented_share(subject)
    if share and not subject.hide_prices:
        said.append(words("sure.invented", share=f"{share:.0%}"))
    said += _drawn(subject)
    blocks = (
        Bullets(tuple(said)),
        _sure_table(subject),
        Paragraph(words("sure.note", draws=f"{DRAWS:,}", seed=answer.seed), "note"),
    )
    return Section("sure", words("sure.title"), blocks)


def _drawn(subject: Subject) -> Iterator[str]:
    """What the draws say of the first of all, where that is layout 1."""
    words, answer = subject.words, subject.answer
    found = answer.sureness
    if found is None or subject.first.layout.id != answer.layouts[0].layout.id:
        return
    if found.rival is None:
        yield words("sure.drawn_alone", draws=f"{found.draws:,}", count=len(found.shares))
        return
    yield words(
        "sure.drawn", share=f"{found.shares[0]:.0%}", draws=f"{found.draws:,}",
        count=len(found.shares), place=found.rival + 1, other=f"{found.shares[found.rival]:.0%}",
    )  # fmt: skip
    if found.deciding:
        inputs = ", ".join(f"{each.input} ({each.share:.0%})" for each in found.deciding)
        yield words("sure.deciding", inputs=inputs)


def _sure_table(subject: Subject) -> Table:
    words = subject.words
    rows: dict[str, Callable[[Choice], str]] = {
        "stays": lambda choice: least_share(subject, choice),
        "estimate": lambda choice: cpm_text(main_speed(subject, choice, "effective")),
        "bracket": lambda choice: _between(subject, choice, "lower_bound", "upper_bound"),
        "simulated": lambda choice: cpm_text(main_speed(subject, choice, "simulated")),
        "interval": lambda choice: _between(subject, choice, "simulated_low", "simulated_high"),
        "waiting": lambda choice: f"{max(0.0, main_speed(subject, choice, 'lost_to_waiting')):.1%}",
    }
    if not subject.hide_prices:
        rows |= {
            "first_low": lambda choice: amount_text(choice.record["first_cost"]["low"]),
            "first_high": lambda choice: amount_text(choice.record["first_cost"]["high"]),
        }
    values = {
        "format": subject.study.need.main_format.container.name,
        "currency": subject.study.need.currency,
    }
    columns = (
        Column(words("choice.figure")),
        *(
            Column(words("choice.column", label=choice.label), "number")
            for choice in subject.choices
        ),
    )
    return Table(
        words("sure.table"),
        columns,
        tuple(
            (words(f"sure.{key}", **values), *map(cell, subject.choices))
            for key, cell in rows.items()
        ),
        whole=True,
        labels=True,
    )


def _between(subject: Subject, choice: Choice, low: str, high: str) -> str:
    ends = (cpm_text(main_speed(subject, choice, end)) for end in (low, high))
    return " – ".join(ends)


def price_basis(subject: Subject, class_id: str) -> str:
    """Where the price of a class comes from."""
    return subject.study.catalog.basis(class_id, "price.typical")


def invented_share(subject: Subject) -> float:
    """Share of what layout 1 costs to buy that rests on invented prices."""
    lines = bill_of_materials(subject.first.layout)
    total = sum(line["price"]["typical"] for line in lines)
    invented = sum(
        line["price"]["typical"]
        for line in lines
        if price_basis(subject, line["class"]).startswith(INVENTED)
    )
    return float(invented / total) if total else 0.0


# --- growth ------------------------------------------------------------------------------------


def growth_section(subject: Subject) -> Section:
    """What to buy now and what later."""
    words, plan = subject.words, subject.growth
    title = words("growth.title")
    if plan is None:
        return Section("growth", title, (Paragraph(words("growth.none")),))
    if isinstance(plan, Blocked):
        why = " ".join(f"{clash.text}." for clash in plan.reason.conflict)
        if subject.hide_prices:
            why = ""
        cans = f"{plan.phase.need.annual_cans:,.0f}"
        text = words("growth.blocked", year=plan.phase.year, cans=cans, why=why)
        return Section("growth", title, (Paragraph(text, "warning"),))
    return Section("growth", title, tuple(_growth_blocks(subject, plan)))


def _growth_blocks(subject: Subject, plan: GrowthPlan) -> Iterator[Block]:
    words, need = subject.words, subject.study.need
    record = growth_record(plan, None)
    rate, years = f"{need.discount_rate:.1%}", f"{need.horizon_years:g}"
    lead = words("growth.lead", rate=rate, years=years)
    if not subject.hide_prices:
        lead = f"{lead} {words('growth.total', total=subject.money(record['total']))}"
    if need.brief.budget is not None:
        lead = f"{lead} {words('growth.within')}"
    yield Paragraph(lead)
    yield _phases(subject, record)
    for phase in record["phases"]:
        longer = phase["staying_with_longer_hours"]
        if longer is not None:
            hours = f"{longer['hours_per_week']:.1f}"
            yield Paragraph(words("growth.longer", year=phase["year"], hours=hours))
    if not subject.hide_prices:
        yield _ways(subject, record)
        yield Paragraph(words("growth.way_note"), "note")
    yield _purchase(subject, record)
    note = words("growth.note")
    if not subject.hide_prices:
        note = f"{words('growth.amounts')} {note}"
    yield Paragraph(note, "note")


def _name(subject: Subject, class_id: str) -> str:
    return subject.study.catalog.classes[class_id].name


def _phases(subject: Subject, record: dict[str, Any]) -> Table:
    words, priced = subject.words, not subject.hide_prices
    currency = subject.study.need.currency

    def amounts(entries: list[dict[str, Any]]) -> str:
        named = [
            f"{_name(subject, entry['class'])} ({amount_text(entry['amount'])})"
            if priced
            else _name(subject, entry["class"])
            for entry in sorted(entries, key=lambda entry: -entry["amount"])
            if entry["amount"] > 0
        ]
        return "; ".join(named) or words("growth.nothing")

    columns = [
        Column(words("growth.year"), "number"),
        Column(words("growth.layout")),
        Column(words("growth.cans"), "number"),
        Column(words("growth.buy")),
        Column(words("growth.sell")),
    ]
    if priced:
        columns.append(Column(words("growth.spend", currency=currency), "number"))
    rows = tuple(
        (
            str(phase["year"]),
            phase["layout"],
            f"{phase['cans_per_year']:,.0f}",
            amounts(phase["buy"]),
            amounts(phase["sell"]),
            *((amount_text(phase["spend"]),) if priced else ()),
        )
        for phase in record["phases"]
    )
    return Table(words("growth.phases"), tuple(columns), rows)


def _ways(subject: Subject, record: dict[str, Any]) -> Table:
    words = subject.words
    final, cheapest = (record["alternatives"][name] for name in ("final-now", "cheapest-each-time"))
    final_key = "growth.way_final_beyond" if final["within_budget"] is False else "growth.way_final"
    ways = {
        "growth.way_path": ([phase["layout"] for phase in record["phases"]], record["total"]),
        final_key: ([final["layout"]], final["total"]),
        "growth.way_cheapest": (cheapest["layouts"], cheapest["total"]),
    }
    return Table(
        words("growth.alternatives"),
        (
            Column(words("growth.way")),
            Column(words("growth.way_lines")),
            Column(words("growth.way_total", currency=subject.study.need.currency), "number"),
        ),
        tuple(
            (words(key), "; ".join(dict.fromkeys(lines)), amount_text(total))
            for key, (lines, total) in ways.items()
            if total is not None
        ),
        whole=True,
    )


def _purchase(subject: Subject, record: dict[str, Any]) -> Table:
    words, priced = subject.words, not subject.hide_prices
    currency = subject.study.need.currency
    columns = [Column(words("growth.class"))]
    if priced:
        columns.append(Column(words("growth.paid", currency=currency), "number"))
    columns += [Column(words("growth.until"), "number"), Column(words("growth.successor"))]
    if priced:
        columns.append(Column(words("growth.worth", currency=currency), "number"))
    rows = tuple(
        (
            _name(subject, kept["class"]),
            *((amount_text(kept["paid"]),) if priced else ()),
            words("growth.end") if kept["until_year"] is None else str(kept["until_year"]),
            "" if kept["serves_in"] is None else _name(subject, kept["serves_in"]),
            *((amount_text(kept["worth"]),) if priced else ()),
        )
        for kept in sorted(record["todays_purchase"], key=lambda kept: -kept["paid"])
    )
    return Table(words("growth.purchase"), tuple(columns), rows)
