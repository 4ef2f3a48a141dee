"""One layout in full as text."""

from __future__ import annotations

import math

from lineconfig.choose.rules import length_text
from lineconfig.findings.whole import findings_of
from lineconfig.layout import Layout
from lineconfig.present.cautions import caution_lines
from lineconfig.present.confirmed import confirmed_lines, waiting_texts
from lineconfig.present.drawn import drawing_section
from lineconfig.present.findings import findings_lines
from lineconfig.present.placement import floor_lines
from lineconfig.present.records import bill_of_materials
from lineconfig.present.text import plain_name, range_text
from lineconfig.present.wrapping import clip, heading, wrapped
from lineconfig.session import Study


def layout_text(study: Study, layout: Layout) -> str:
    """What `show` prints: one layout in full."""
    findings = findings_of(study.inquiry, layout)
    lines = [*wrapped(layout.title), f"id {layout.id}"]
    lines += _station_lines(study, layout)
    lines += _height_lines(study, layout)
    lines += _speed_lines(study, layout)
    lines += confirmed_lines(study, layout)
    lines += _crew_lines(study, layout)
    lines += _money_lines(study, layout)
    lines += _parts_lines(study, layout)
    lines += _site_lines(study, layout)
    lines += drawing_section(study, layout)
    lines += findings_lines(study, layout, findings)
    lines += caution_lines(study, layout, findings)
    lines += [
        "",
        *wrapped(
            "Prices are those of the catalogue and its overlays (the catalogue's own are invented; "
            "`--basis` says which). First cost adds freight, installation, training and "
            "contingency; costs of later years are in present value. Not in it: compressor, "
            "cleaning plant, cooling, building work."
        ),
    ]
    return "\n".join(lines)


def _station_lines(study: Study, layout: Layout) -> list[str]:
    main = study.need.formats.index(study.need.main_format)
    lines = [
        *heading("Stations in flow order"),
        f"{'':3}{'station':42}{'pieces':>7}{'cpm':>7}{'infeed':>7}{'price':>9}",
    ]
    for number, station in enumerate(layout.stations, 1):
        speed = station.rated_cpm[main]
        rated = f"{speed:,.0f}" if math.isfinite(speed) else "-"
        infeed = "-" if station.infeed_mm is None else f"{station.infeed_mm:.0f}"
        price = "owned" if station.option.owned else f"{station.first_cost.typical:,.0f}"
        pieces = f"{station.quantity:.0f}" + (" m" if station.function == "convey" else "")
        name = clip(station.option.equipment.name, 42)
        lines.append(f"{number:<3}{name:42}{pieces:>7}{rated:>7}{infeed:>7}{price:>9}")
    return lines


def _height_lines(study: Study, layout: Layout) -> list[str]:
    plan, main = layout.heights, study.need.formats.index(study.need.main_format)
    ceiling_mm = study.inquiry.ceiling_mm
    pallet = study.need.main_format.container.pallet
    return [
        *heading("Heights"),
        f"  filler infeed   {length_text(layout.infeed_mm)}",
        (
            f"  unloader deck   {length_text(plan.deck_mm)}, drop {plan.drop_mm:,.0f} mm "
            f"(least {plan.least_drop_mm:,.0f})"
        ),
        (
            f"  frame top       {length_text(plan.top_mm)}, "
            f"{ceiling_mm - plan.top_mm:,.0f} mm below the ceiling"
        ),
        f"  layers at once  {plan.layers_at_once[main]} of {pallet.layers} on a full pallet",
    ]


def _speed_lines(study: Study, layout: Layout) -> list[str]:
    lines = [
        *heading("Speed"),
        f"  {'format':34}{'rated':>7}{'effective':>11}{'between':>16}",
    ]
    speed = layout.speed
    for index, fmt in enumerate(study.need.formats):
        between = f"{speed.lower[index]:.0f} and {speed.upper[index]:.0f}"
        lines.append(
            f"  {clip(fmt.container.name, 34):34}{speed.rated[index]:>7.0f}"
            f"{speed.effective[index]:>11.0f}{between:>16}"
        )
    main = study.need.formats.index(study.need.main_format)
    lines += wrapped(
        f"A layer every {layout.layer_interval_min[main]:.1f} min, a pallet every "
        f"{layout.pallet_interval_min[main]:.0f} min at rated speed.", 2,
    )  # fmt: skip
    return lines


def _crew_lines(study: Study, layout: Layout) -> list[str]:
    people = "1 person" if layout.crew.people == 1 else f"{layout.crew.people} people"
    lines = [*heading(f"Crew: {people}")]
    waits = waiting_texts(study, layout)
    for number, (post, wait) in enumerate(zip(layout.crew.posts, waits, strict=True), 1):
        names = ", ".join(
            plain_name(layout.stations[index].option.equipment)
            for index in post.stations
            if layout.crew.workloads[index] > 0 or post.always
        )
        busy = "always there" if post.always else f"{post.workload:.0%} busy"
        lines += wrapped(f"{number}. {names}: {busy}{wait}", 2, 5)
    return lines


def _money_lines(study: Study, layout: Layout) -> list[str]:
    money, currency = layout.money, study.need.currency
    lines = [
        *heading(f"Money ({currency})"),
        f"  {'equipment and parts':28}{range_text(money.equipment)}",
        f"  {'first cost':28}{range_text(money.first_cost)}",
        f"  {f'cost of {study.need.horizon_years:g} years':28}{range_text(money.life_cycle_cost)}",
        f"  {'per 1000 cans':28}{money.cost_per_1000_cans:,.2f}",
        (
            f"  {'hours a year':28}{money.hours:,.0f}, "
            f"of them {money.changeover_hours:,.0f} changing over"
        ),
        "",
        "  a year:",
    ]
    lines += [
        f"    {name:26}{cost:>12,.0f}"
        for name, cost in sorted(money.annual.items(), key=lambda pair: -pair[1])
    ]
    lines.append(f"    {'together':26}{money.annual_total:>12,.0f}")
    return lines


def _parts_lines(study: Study, layout: Layout) -> list[str]:
    parts = [
        (line["quantity"], line["item"], line["price"]["typical"])
        for line in bill_of_materials(layout)
        if line["item"] != study.catalog.classes[line["class"]].name
    ]
    lines = [*heading("Change parts and changeover")]
    for quantity, item, price in parts:
        lines += wrapped(f"{quantity} x {item}: {price:,.0f} {study.need.currency}", 2, 6)
    if len(study.need.formats) > 1:
        lines += wrapped(
            f"One format change takes {layout.changeover_min:.0f} min with this crew "
            f"({layout.changeover_person_min:.0f} person-minutes).", 2,
        )  # fmt: skip
    return lines if len(lines) > 3 else []


def _site_lines(study: Study, layout: Layout) -> list[str]:
    utilities, floor = layout.utilities, layout.floor
    amperes = "" if utilities.amperes is None else f", {utilities.amperes:,.0f} A at the site"
    return [
        *heading("Floor and utilities"),
        *wrapped(
            f"Stretched out {length_text(floor.length_mm)}, widest machine "
            f"{length_text(floor.widest_mm)}, {floor.area_m2:,.0f} m2 with clearances.", 2,
        ),
        *floor_lines(study, layout),
        *wrapped(
            f"{utilities.power_kw:,.1f} kW connected{amperes}; water up to "
            f"{utilities.water_l_min:,.1f} l/min; air up to {utilities.air_l_min:,.0f} l/min.", 2,
        ),
    ]  # fmt: skip
