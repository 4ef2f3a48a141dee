"""What it takes to order: bill of materials, change parts, utilities, site checks, timeline,
acceptance."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lineconfig.choose.rules import length_text
from lineconfig.layout import Layout
from lineconfig.present.change_parts import change_parts
from lineconfig.present.records import bill_of_materials, utilities_record
from lineconfig.report.charts import Bar, timeline_chart
from lineconfig.report.document import (
    MOST_ON_A_PAGE,
    Block,
    Column,
    Paragraph,
    Picture,
    Section,
    Table,
)
from lineconfig.report.sections.answer import price_basis
from lineconfig.report.subject import Subject, as_record
from lineconfig.report.timeline import FIRST_GOOD_CAN, Dated, dated, tasks_of
from lineconfig.rounding import (
    air_text,
    amperes_text,
    area_text,
    cpm_text,
    minutes_text,
    mm_text,
    tenths_text,
)

MINUTES_PER_HOUR = 60.0


# --- bill of materials and change parts --------------------------------------------------------


def parts_section(subject: Subject) -> Section:
    """What to buy, and the change parts to own."""
    words = subject.words
    blocks: list[Block] = [_bill(subject)]
    if not subject.hide_prices:
        blocks.append(Paragraph(words("parts.note"), "note"))
    blocks.append(_change_parts(subject))
    return Section("parts", words("parts.title"), tuple(blocks))


def _bill(subject: Subject) -> Table:
    words, study, layout = subject.words, subject.study, subject.first.layout
    priced, currency = not subject.hide_prices, study.need.currency
    lines = bill_of_materials(layout)
    bought = [need for need in change_parts(study, layout) if not need.included]
    columns = [
        Column(words("parts.item")),
        Column(words("parts.pieces"), "number"),
        Column(words("parts.weeks"), "number"),
    ]
    if priced:
        columns += [
            Column(words("parts.price", currency=currency), "number"),
            Column(words("parts.basis")),
        ]

    def weeks(line: dict[str, Any]) -> str:
        value = study.catalog.classes[line["class"]].lead_time_weeks
        sets = [need for need in bought if line["item"].startswith(f"{need.part} (")]
        if sets:
            value = max((need.lead_time_weeks or 0.0 for need in sets), default=None) or None
        return words("document.unknown") if value is None else f"{value:g}"

    rows: list[tuple[str, ...]] = []
    for line in lines:
        owned, quantity = line["existing"], f"{line['quantity']:g}"
        row = [
            line["item"],
            words("flow.metres", count=quantity) if line["unit"] == "m" else quantity,
            words("parts.owned") if owned else weeks(line),
        ]
        if priced:
            row.append(words("parts.owned") if owned else subject.range_money(line["price"]))
            row.append("" if owned else price_basis(subject, line["class"]))
        rows.append(tuple(row))
    if priced:
        together = subject.range_money(as_record(layout.money.equipment))
        rows.append((words("parts.sum"), "", "", together, ""))
    return Table(words("parts.bill"), tuple(columns), tuple(rows), totals=1 if priced else 0)


def _change_parts(subject: Subject) -> Block:
    words, study, layout = subject.words, subject.study, subject.first.layout
    needs = change_parts(study, layout)
    if not needs:
        return Paragraph(words("parts.none"))
    priced, currency = not subject.hide_prices, study.need.currency
    columns = [
        Column(words("parts.part")),
        Column(words("parts.machine")),
        Column(words("parts.serves")),
        Column(words("parts.formats")),
        Column(words("parts.weeks"), "number"),
    ]
    if priced:
        columns.append(Column(words("parts.price", currency=currency), "number"))
    included, unknown = words("parts.included"), words("document.unknown")
    rows = []
    for need in needs:
        weeks = need.lead_time_weeks
        names = ", ".join(subject.format_name(name) for name in need.formats)
        row = [
            need.part,
            need.station,
            subject.format_name(need.serves),
            names,
            included if need.included else unknown if weeks is None else f"{weeks:g}",
        ]
        if priced:
            row.append(included if need.included else subject.range_money(as_record(need.price)))
        rows.append(tuple(row))
    return Table(words("parts.change"), tuple(columns), tuple(rows))


# --- utilities and site ------------------------------------------------------------------------


def utilities_section(subject: Subject) -> Section:
    """Power, water and air, station by station, against the site."""
    words, layout, site = subject.words, subject.first.layout, subject.study.need.brief.site
    figures = utilities_record(layout)
    rows: list[tuple[str, ...]] = [
        (
            station.option.equipment.name,
            tenths_text(station.power_kw),
            tenths_text(station.water_l_min),
            air_text(station.air_l_min),
        )
        for station in layout.stations
        if station.power_kw or station.water_l_min or station.air_l_min
    ]
    together = {
        "kw": tenths_text(layout.utilities.power_kw),
        "water": tenths_text(layout.utilities.water_l_min),
        "air": air_text(layout.utilities.air_l_min),
    }
    rows.append((words("utilities.together"), *together.values()))
    unknown = words("document.unknown")
    rows.append(
        (
            words("utilities.site"),
            unknown,
            unknown if site.water_l_min is None else tenths_text(site.water_l_min),
            unknown if site.air_l_min is None else air_text(site.air_l_min),
        )
    )
    lead = words("utilities.lead", **together)
    if site.power is not None and figures["amperes"] is not None:
        text = words(
            "utilities.amperes",
            amperes=amperes_text(figures["amperes"]),
            site=amperes_text(site.power.amperes),
            volts=f"{site.power.volts:g}",
        )
        lead = f"{lead} {text}"
    blocks: list[Block] = [Paragraph(lead)]
    open_ends = {"power": site.power, "water": site.water_l_min, "air": site.air_l_min}
    missing = [words(f"utilities.{key}_word") for key, value in open_ends.items() if value is None]
    if missing:
        what = ", ".join(missing)
        blocks.append(Paragraph(words("utilities.unstated", what=what), "warning"))
    columns = (
        Column(words("utilities.station")),
        Column(words("utilities.kw"), "number"),
        Column(words("utilities.water"), "number"),
        Column(words("utilities.air"), "number"),
    )
    blocks.append(Table(words("utilities.table"), columns, tuple(rows), totals=2))
    return Section("utilities", words("utilities.title"), tuple(blocks))


def site_section(subject: Subject) -> Section:
    """What to measure on site before ordering."""
    words = subject.words
    columns = (
        Column(words("site.what")),
        Column(words("site.counted")),
        Column(words("site.found"), "space"),
        Column(words("site.by"), "space"),
    )
    rows = tuple((what, counted, "", "") for what, counted in _checks(subject))
    return Section(
        "site",
        words("site.title"),
        (Paragraph(words("site.lead")), Table(words("site.table"), columns, rows)),
        new_page=True,
    )


def _checks(subject: Subject) -> Iterator[tuple[str, str]]:
    words, study, layout = subject.words, subject.study, subject.first.layout
    habits = study.catalog.economics.habits
    top, clearance = layout.highest.height_mm, habits.ceiling_clearance_mm
    yield (
        words("site.ceiling"),
        words(
            "site.ceiling_counted",
            needed=length_text(top + clearance),
            top=length_text(top),
            what=layout.highest_name,
            clearance=length_text(clearance),
            ceiling=length_text(study.need.brief.site.ceiling_mm),
        ),
    )
    yield words("site.room"), _room(subject)
    yield words("site.door"), _door(subject, layout)
    massive = max(layout.stations, key=lambda station: station.option.equipment.mass_kg or 0.0)
    mass = massive.option.equipment.mass_kg
    if mass:
        yield (
            words("site.floor_load"),
            words("site.floor_counted", name=massive.option.equipment.name, mass=f"{mass:,.0f}"),
        )
        yield words("site.lifted"), words("site.lifted_counted", mass=f"{mass:,.0f}")
    yield from _owned(subject)
    yield from _supplies(subject, layout)
    yield (
        words("site.product"),
        words(
            "site.product_counted",
            temperature=f"{study.need.fill_temperature_degc:g}",
            carbonation=f"{study.need.carbonation_vol:g}",
        ),
    )
    for fmt in study.need.formats:
        pallet, can = fmt.container.pallet, fmt.container
        yield (
            words("site.empties"),
            words(
                "site.empties_counted",
                format=can.name,
                layers=pallet.layers,
                per_layer=pallet.per_layer,
                base=mm_text(pallet.base_mm),
                diameter=f"{can.diameter_mm:g}",
                height=f"{can.height_mm:g}",
            ),
        )
    approach = length_text(habits.pallet_approach_mm)
    yield words("site.pallets"), words("site.pallets_counted", approach=approach)
    walkway = length_text(habits.walkway_mm)
    yield words("site.walkway"), words("site.walkway_counted", walkway=walkway)
    if study.need.carbonation_vol > 0 or any(s.function == "dose" for s in layout.stations):
        yield words("site.gas"), words("site.gas_counted")


def _owned(subject: Subject) -> Iterator[tuple[str, str]]:
    """What the client owns already is measured, since the rest is set to it."""
    words, unknown = subject.words, subject.words("document.unknown")
    for station in subject.first.record["stations"]:
        if station["existing"]:
            heights = {
                end: unknown if station[f"{end}_mm"] is None else mm_text(station[f"{end}_mm"])
                for end in ("infeed", "discharge")
            }
            yield (
                words("site.owned", name=station["name"]),
                words("site.owned_counted", **heights),
            )


def _room(subject: Subject) -> str:
    words, site, floor = subject.words, subject.study.need.brief.site, subject.first.record["floor"]
    if site.length_mm is None or site.width_mm is None:
        length = length_text(floor["length_mm"])
        return words("site.room_open", line_length=length, area=area_text(floor["area_m2"]))
    return words(
        "site.room_counted",
        length=length_text(site.length_mm),
        width=length_text(site.width_mm),
        obstacles=_obstacles(subject, len(site.obstacles)),
        line_length=length_text(floor["length_mm"]),
        line_width=length_text(floor["width_mm"]),
    )


def _obstacles(subject: Subject, count: int) -> str:
    key = {0: "site.no_obstacles", 1: "site.one_obstacle"}.get(count, "site.obstacles")
    return subject.words(key, count=count)


def _door(subject: Subject, layout: Layout) -> str:
    words, door = subject.words, subject.study.need.brief.site.door
    largest = max(
        layout.stations, key=lambda s: s.length_mm * s.width_mm * s.height_mm
    )  # fmt: skip
    sides = (largest.length_mm, largest.width_mm, largest.height_mm)
    size = " × ".join(mm_text(side) for side in sides)
    name = largest.option.equipment.name
    if door is None:
        return words("site.door_open", name=name, size=size)
    width, height = length_text(door.width_mm), length_text(door.height_mm)
    return words("site.door_counted", width=width, height=height, name=name, size=size)


def _supplies(subject: Subject, layout: Layout) -> Iterator[tuple[str, str]]:
    words, power = subject.words, subject.study.need.brief.site.power
    figures = utilities_record(layout)
    kw = tenths_text(layout.utilities.power_kw)
    if power is None or figures["amperes"] is None:
        yield words("site.power"), words("site.power_open", kw=kw)
    else:
        text = words(
            "site.power_counted",
            kw=kw,
            amperes=amperes_text(figures["amperes"]),
            volts=f"{power.volts:g}",
            phases=power.phases,
        )
        yield words("site.power"), text
    if layout.utilities.water_l_min:
        water = tenths_text(layout.utilities.water_l_min)
        yield words("site.water"), words("site.water_counted", water=water)
        yield words("site.drain"), words("site.drain_counted")
    if layout.utilities.air_l_min:
        air = air_text(layout.utilities.air_l_min)
        yield words("site.air"), words("site.air_counted", air=air)


# --- timeline ----------------------------------------------------------------------------------


def timeline_section(subject: Subject) -> Section:
    """From the order to the first good can."""
    words = subject.words
    tasks = dated(tasks_of(subject.study, subject.first.layout), FIRST_GOOD_CAN)
    names = {item.task.id: _task_name(subject, item) for item in tasks}
    deciding = "; ".join(names[item.task.id] for item in tasks if item.critical)
    good = next(item.end for item in tasks if item.task.id == FIRST_GOOD_CAN)
    lead = words(
        "timeline.lead",
        weeks=f"{good:.1f}",
        all_weeks=f"{max(item.end for item in tasks):.1f}",
        critical=deciding,
    )
    bars = [
        Bar(_bar_name(subject, item), item.start, item.end, item.slack, item.critical)
        for item in tasks
    ]
    chart = timeline_chart(
        "timeline",
        words("timeline.chart_title"),
        words("timeline.chart_desc", critical=lead),
        bars,
        words("timeline.axis"),
    )
    made = {item.task.id for item in tasks if item.task.name}
    columns = (
        Column(words("timeline.task")),
        Column(words("timeline.after")),
        Column(words("timeline.start"), "number"),
        Column(words("timeline.end"), "number"),
        Column(words("timeline.slack"), "number"),
        Column(words("timeline.basis")),
    )

    def after(item: Dated) -> str:
        if not item.task.after:
            return words("timeline.order")
        if made and set(item.task.after) == made:
            return words("timeline.machines")
        return "; ".join(names[before] for before in item.task.after)

    rows = tuple(
        (
            names[item.task.id],
            after(item),
            f"{item.start:.1f}",
            f"{item.end:.1f}",
            words("timeline.critical") if item.critical else f"{item.slack:.1f}",
            item.task.basis,
        )
        for item in tasks
    )
    blocks = (
        Paragraph(lead),
        Picture(chart, words("timeline.chart_caption")),
        Table(words("timeline.table"), columns, rows),
        Paragraph(words("timeline.note"), "note"),
    )
    return Section("timeline", words("timeline.title"), blocks)


def _bar_name(subject: Subject, item: Dated) -> str:
    return item.task.name or _task_name(subject, item)


def _task_name(subject: Subject, item: Dated) -> str:
    if item.task.name:
        return subject.words("timeline.making", name=item.task.name)
    return subject.words(f"task.{item.task.id}")


# --- acceptance --------------------------------------------------------------------------------


def acceptance_section(subject: Subject) -> Section:
    """What to demonstrate at start-up with each format."""
    words, study, layout = subject.words, subject.study, subject.first.layout
    hours = study.catalog.economics.project.acceptance_hours
    rinse = subject.findings.rinse
    rinsed = {row.format_id: row for row in rinse.formats} if rinse is not None else {}
    rows = []
    for index, fmt in enumerate(study.need.formats):
        rated, effective = layout.speed.rated[index], layout.speed.effective[index]
        cans = effective * MINUTES_PER_HOUR * hours
        stops_per_can = sum(station.stands_per_can(index) for station in layout.stations)
        row = rinsed.get(fmt.id)
        none = words("acceptance.no_rinse")
        rows.append(
            (
                fmt.container.name,
                cpm_text(rated),
                cpm_text(effective),
                f"{cans:,.0f}",
                f"{effective / rated:.1%}",
                f"{cans * stops_per_can:,.0f}",
                none if row is None else f"{row.rinse_s:.1f}",
                none if row is None else f"{row.drain_s:.1f}",
            )
        )
    columns = (
        Column(words("acceptance.format")),
        *(
            Column(words(f"acceptance.{key}"), "number")
            for key in ("rated", "effective", "cans", "efficiency", "stops", "rinse", "drain")
        ),
    )
    blank = (
        Column(words("acceptance.format")),
        *(
            Column(words(f"acceptance.{key}"), "blank")
            for key in (
                "speed_found", "cans_found", "efficiency_found", "stops_found", "tipped_found",
                "rinse_found", "seams_found", "change_found", "signed",
            )
        ),
    )  # fmt: skip
    few = len(rows) < MOST_ON_A_PAGE
    to_fill = tuple((fmt.container.name, *[""] * (len(blank) - 1)) for fmt in study.need.formats)
    blocks: list[Block] = [
        Paragraph(words("acceptance.lead", hours=f"{hours:g}")),
        Table(words("acceptance.table"), columns, tuple(rows), whole=few),
    ]
    if len(study.need.formats) > 1:
        minutes = minutes_text(layout.changeover_min)
        blocks.append(Paragraph(words("acceptance.change", minutes=minutes)))
    blocks += [
        Paragraph(words("acceptance.note"), "note"),
        Table(words("acceptance.measured"), blank, to_fill, whole=few),
        _stops(subject, hours),
    ]
    # A sheet to be filled in begins on a page of its own.
    return Section("acceptance", words("acceptance.title"), tuple(blocks), new_page=True)


def _stops(subject: Subject, hours: float) -> Table:
    """Stops of each station in the run with the main format, with room for those counted."""
    words, need, layout = subject.words, subject.study.need, subject.first.layout
    main = need.formats.index(need.main_format)
    cans = layout.speed.effective[main] * MINUTES_PER_HOUR * hours
    columns = (
        Column(words("flow.number"), "number"),
        Column(words("acceptance.station")),
        Column(words("acceptance.stops_station"), "number"),
        Column(words("acceptance.stops_found"), "blank"),
        Column(words("acceptance.tipped_found"), "blank"),
        Column(words("acceptance.remark"), "space"),
    )
    rows = tuple(
        (
            str(number), station.option.equipment.name,
            f"{cans * station.stands_per_can(main):,.1f}", "", "", "",
        )
        for number, station in enumerate(layout.stations, 1)
        if station.stands_per_can(main) > 0
    )  # fmt: skip
    caption = words("acceptance.by_station", format=need.main_format.container.name)
    return Table(caption, columns, rows)
