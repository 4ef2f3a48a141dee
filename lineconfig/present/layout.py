"""One layout in full as text."""

from __future__ import annotations

import math

from lineconfig.choose.heights import stack_layers
from lineconfig.choose.rules import length_text
from lineconfig.demand import demand_of, shortfalls
from lineconfig.findings.whole import findings_of
from lineconfig.layout import Layout
from lineconfig.present.assessed import assessed_lines
from lineconfig.present.cautions import caution_lines
from lineconfig.present.change_parts import change_parts_lines
from lineconfig.present.confirmed import confirmed_lines, waiting_texts
from lineconfig.present.drawn import drawing_section
from lineconfig.present.findings import findings_lines
from lineconfig.present.money import money_lines
from lineconfig.present.placement import floor_lines
from lineconfig.present.stacks import stack_texts
from lineconfig.present.text import plain_name, title_text
from lineconfig.present.wrapping import WIDTH, heading, named_row, wrapped
from lineconfig.rounding import (
    air_text,
    amount_text,
    amperes_text,
    area_text,
    cpm_text,
    minutes_text,
    mm_text,
    tenths_text,
)
from lineconfig.session import Study

MINIMUM_CREW = (
    "This is the arithmetic minimum for the line's tasks: no lead, quality control, breaks or "
    "cover for absence."
)

LAYERS_AT_ONCE = "Layers at once: those of which none stands above the deck before it is raised."


def layout_text(study: Study, layout: Layout) -> str:
    """What `show` prints: one layout in full."""
    findings = findings_of(study.inquiry, layout)
    name = study.need.brief.name
    lines = [*wrapped(name), "=" * min(len(name), WIDTH), *wrapped(title_text(layout))]
    lines.append(f"id {layout.id}")
    lines += _station_lines(study, layout)
    lines += _height_lines(study, layout)
    lines += _empties_lines(study, layout)
    lines += _speed_lines(study, layout)
    lines += confirmed_lines(study, layout)
    lines += _crew_lines(study, layout)
    lines += money_lines(study, layout)
    lines += _parts_lines(study, layout)
    lines += _site_lines(study, layout)
    lines += drawing_section(study, layout)
    lines += assessed_lines(study, layout, findings)
    lines += findings_lines(study, layout, findings)
    lines += caution_lines(study, layout, findings)
    lines += assumed_lines(study)
    lines += [
        *heading("Prices"),
        *wrapped(
            "Prices are those of the catalogue and its overlays (the catalogue's own are invented; "
            "`--basis` says which). Not in them: compressor, cleaning plant, cooling, building "
            "work.", 2,
        ),
    ]  # fmt: skip
    return "\n".join(lines)


def assumed_lines(study: Study) -> list[str]:
    """What the brief left open, with what was taken for it; empty where it left nothing open."""
    used = study.need.defaults_used
    if not used:
        return []
    return [
        *heading("Assumed, for want of an answer"),
        *(line for text in used for line in wrapped(text, 2, 4)),
    ]


def _station_lines(study: Study, layout: Layout) -> list[str]:
    main = study.need.formats.index(study.need.main_format)
    lines = [
        *heading("Stations in flow order"),
        f"{'':3}{'station':40}{'pieces':>7}{'rated cpm':>10}{'infeed mm':>10}{'price':>9}",
    ]
    for number, station in enumerate(layout.stations, 1):
        speed = station.rated_cpm[main]
        rated = cpm_text(speed) if math.isfinite(speed) else "-"
        infeed = "-" if station.infeed_mm is None else mm_text(station.infeed_mm)
        price = "owned" if station.option.owned else amount_text(station.first_cost.typical)
        pieces = f"{station.quantity:.3g}" + (" m" if station.by_length else "")
        lines += named_row(
            f"{number:<3}", station.option.equipment.name, 40,
            # A blank before the price, whatever its digits.
            f"{pieces:>7}{rated:>10}{infeed:>10}{f' {price}':>9}",
        )  # fmt: skip
    return lines


def _height_lines(study: Study, layout: Layout) -> list[str]:
    plan = layout.heights
    ceiling_mm = study.inquiry.ceiling_mm
    lines = [
        *heading("Heights"),
        f"  filler infeed   {length_text(layout.infeed_mm)}",
        (
            f"  unloader deck   {length_text(plan.deck_mm)}, drop {mm_text(plan.drop_mm)} mm "
            f"(least {mm_text(plan.least_drop_mm)})"
        ),
        f"  unloader's top  {length_text(plan.top_mm)}",
        (
            f"  highest point   {length_text(layout.highest.height_mm)}, "
            f"{ceiling_mm - layout.highest.height_mm:,.0f} mm below the ceiling"
        ),
        *wrapped(layout.highest_name, 18),
    ]
    if len(study.need.formats) > 1:
        lines.append("  One deck serves all formats; least drop and top are those of the tallest.")
    return lines


def _empties_lines(study: Study, layout: Layout) -> list[str]:
    """How each format's empties go through the unloader."""
    plan, need = layout.heights, study.need
    lines = [
        *heading("Empties, at rated speed"),
        f"  {'format':35}{'layers at once':>15}{'a layer every':>14}{'a stack every':>14}",
    ]
    forms = study.inquiry.forms(layout.station("supply").option)
    for index, (fmt, form) in enumerate(zip(need.formats, forms, strict=True)):
        stack = stack_layers(fmt.container, form)
        lines += named_row(
            "  ", fmt.container.name, 35,
            f"{f'{plan.layers_at_once[index]} of {stack}':>15}"
            f"{f'{layout.layer_interval_min[index]:.1f} min':>14}"
            f"{f'{minutes_text(layout.pallet_interval_min[index])} min':>14}",
        )  # fmt: skip
    words = {"full-pallet": "full pallets", "half-stack": "half stacks", "loose": "loose trays"}
    said = " and ".join(dict.fromkeys(words[form] for form in forms))
    lines += wrapped(f"A stack is what is delivered at once: {said}.", 2)
    if any(count < stack_layers(fmt.container, form) for count, fmt, form in zip(
        plan.layers_at_once, need.formats, forms, strict=True
    )):  # fmt: skip
        lines += wrapped(LAYERS_AT_ONCE, 2)
    for text in stack_texts(study, layout):
        lines += wrapped(text, 2)
    return lines + wrapped(change_text(layout), 2)


def change_text(layout: Layout) -> str:
    """What a change of load does to the line; empty where the unloader goes on."""
    change, carried = layout.change, layout.carried_min
    stands = change.standing_min
    if not stands:
        return ""
    waits = " and until somebody is there" if change.minutes else ""
    holds_cans = layout.station("unload").holds_cans
    said = (
        f"At each change of load the unloader stands for {stands:.1f} min{waits}; its table "
        f"holds {holds_cans:,} cans, {carried:.1f} min at rated speed"
    )
    return f"{said}." if stands <= carried else f"{said}: the filler waits for the rest."


def _exact(speed_cpm: float) -> str:
    """A speed with a decimal where there is one, so that a small shortfall can be seen."""
    return f"{speed_cpm:,.1f}".removesuffix(".0")


def _speed_lines(study: Study, layout: Layout) -> list[str]:
    lines = [
        *heading("Speed (cpm)"),
        f"  {'format':36}{'needed':>8}{'rated':>7}{'effective':>11}{'between':>14}",
    ]
    speed, need = layout.speed, study.need
    for index, (fmt, short) in enumerate(zip(need.formats, shortfalls(need, speed), strict=True)):
        between = f"{cpm_text(speed.lower[index])} and {cpm_text(speed.upper[index])}"
        lines += named_row(
            "  ", fmt.container.name, 36,
            f"{cpm_text(fmt.needed_cpm):>8}{cpm_text(speed.rated[index]):>7}{cpm_text(speed.effective[index]):>11}"
            f"{between:>14}",
        )  # fmt: skip
        if short == "effective":
            lines.append(
                f"    ! effective speed, {_exact(speed.effective[index])} cpm, below the "
                f"{_exact(fmt.needed_cpm)} needed"
            )
        elif short == "bracket":
            lines.append(
                f"    ! may fall to {_exact(speed.lower[index])} cpm, below the "
                f"{_exact(fmt.needed_cpm)} needed"
            )
    demand = demand_of(study.inquiry)
    if demand.forced:
        lines += wrapped(
            f"The yearly cans need {cpm_text(demand.by_volume_cpm)} cpm of the main format, "
            f"more than "
            f"the {cpm_text(demand.asked_cpm)} asked.", 2,
        )  # fmt: skip
    return [
        *lines,
        *wrapped(
            "Effective: with stops, the usual wait for a person at each, and the buffers there "
            "are; between no buffers at all and buffers without end.", 2,
        ),
    ]  # fmt: skip


def _crew_lines(study: Study, layout: Layout) -> list[str]:
    people = "1 person" if layout.crew.people == 1 else f"{layout.crew.people} people"
    lines = [*heading(f"Crew: {people}")]
    waits = waiting_texts(study, layout)
    for number, (post, wait) in enumerate(zip(layout.crew.posts, waits, strict=True), 1):
        names = "; ".join(
            plain_name(layout.stations[index].option.equipment)
            for index in sorted(post.stations)
            if layout.crew.workloads[index] > 0 or post.always
        )
        busy = "always there" if post.always else f"{post.workload:.0%} busy"
        lines += wrapped(f"{number}. {names}: {busy}{wait}", 2, 5)
    return lines + wrapped(MINIMUM_CREW, 2)


def _parts_lines(study: Study, layout: Layout) -> list[str]:
    lines = change_parts_lines(study, layout)
    if len(study.need.formats) > 1:
        lines += [
            "",
            *wrapped(
                f"One format change takes {minutes_text(layout.changeover_min)} min with this crew "
                f"({minutes_text(layout.changeover_person_min)} person-minutes)."
            ),
        ]
    return lines


def _site_lines(study: Study, layout: Layout) -> list[str]:
    utilities, floor = layout.utilities, layout.floor
    amperes = ""
    if utilities.amperes is not None:
        amperes = f", {amperes_text(utilities.amperes)} A at the site"
    return [
        *heading("Floor and utilities"),
        *wrapped(
            f"Stretched out {length_text(floor.length_mm)}, widest machine "
            f"{length_text(floor.widest_mm)}, {area_text(floor.area_m2)} m2 with clearances.", 2,
        ),
        *floor_lines(study, layout),
        *wrapped(
            f"{tenths_text(utilities.power_kw)} kW connected{amperes}; water up to "
            f"{tenths_text(utilities.water_l_min)} l/min; air up to "
            f"{air_text(utilities.air_l_min)} l/min.", 2,
        ),
    ]  # fmt: skip
