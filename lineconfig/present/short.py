"""One layout on a screen or two: what a person needs to decide on it; and single sections."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from lineconfig.choose.rules import length_text
from lineconfig.demand import shortfalls
from lineconfig.findings.whole import findings_of
from lineconfig.floorplan.plan import NoPlan
from lineconfig.hazards import LOCAL_CODES, layout_cautions
from lineconfig.layout import Layout
from lineconfig.present.confirmed import confirmation_of
from lineconfig.present.text import range_text, title_text
from lineconfig.present.wrapping import WIDTH, heading, wrapped
from lineconfig.rank import Ranked
from lineconfig.rounding import amount_text, area_text, cpm_text, hours_text, minutes_text
from lineconfig.sentences import lowered
from lineconfig.session import Study

LABEL = 20
DEAREST = 3
"""Machines that are named with what they cost."""
MOST_CAUTIONS = 6
SHORT_OF = {
    "effective": "the effective speed is below what is asked",
    "bracket": "may fall below what is asked",
}


def short_text(study: Study, layout: Layout, ranked: Ranked | None) -> str:
    """What `show --short` prints: figures, flow, people, money, cautions, and how sure it is."""
    name = study.need.brief.name
    return "\n".join(
        [
            *wrapped(name), "=" * min(len(name), WIDTH), *wrapped(title_text(layout)),
            f"id {layout.id}",
            *heading("Figures"), *_figures(study, layout),
            *heading("Flow"), *_flow(layout),
            *heading(f"People: {layout.crew.people}"), *_people(layout),
            *heading(f"Money ({study.need.currency})"), *_money(study, layout),
            *heading("Cautions"), *_cautions(study, layout),
            *heading("How sure"), *_sure(study, layout, ranked),
            "",
            *wrapped(
                "The whole comes without `--short`, one section of it with `--section NAME`, and "
                "where each figure comes from with `--basis`."
            ),
        ]
    )  # fmt: skip


def _row(label: str, text: str) -> list[str]:
    first, *more = wrapped(text, LABEL + 2)
    return [f"  {label:{LABEL}}{first.strip()}", *more]


def _figures(study: Study, layout: Layout) -> Iterator[str]:
    speed, need = layout.speed, study.need
    for index, (fmt, short) in enumerate(zip(need.formats, shortfalls(need, speed), strict=True)):
        remark = f"; {SHORT_OF[short]}" if short is not None else ""
        yield from _row(
            "speed, cpm" if index == 0 else "",
            f"{fmt.container.name}: {cpm_text(fmt.needed_cpm)} asked, "
            f"{cpm_text(speed.rated[index])} rated, {cpm_text(speed.effective[index])} effective"
            f"{remark}",
        )
    yield from _row(
        "hours a year",
        f"{hours_text(layout.money.hours)} of {hours_text(need.available_hours)} there are",
    )
    if len(need.formats) > 1:
        yield from _row(
            "format change", f"{minutes_text(layout.changeover_min)} min with this crew"
        )
    floor = layout.floor
    yield from _row(
        "floor",
        f"{length_text(floor.length_mm)} stretched out, {area_text(floor.area_m2)} m2 with "
        f"clearances; {_place(study, layout)}",
    )
    spare_mm = study.inquiry.ceiling_mm - layout.highest.height_mm
    yield from _row(
        "highest point",
        f"{length_text(layout.highest.height_mm)}, {length_text(spare_mm)} below the ceiling",
    )


def _place(study: Study, layout: Layout) -> str:
    plan = study.plan(layout)
    if plan is None:
        return "the brief states no room"
    if isinstance(plan, NoPlan):
        return f"does not fit the room: {plan.sentence}"
    return f"fits the room: {length_text(plan.length_mm)} by {length_text(plan.width_mm)}"


def _flow(layout: Layout) -> list[str]:
    names = (
        f"{number} {lowered(station.option.equipment.name)}"
        for number, station in enumerate(layout.stations, 1)
    )
    return wrapped("; ".join(names), 2, 4)


def _people(layout: Layout) -> Iterator[str]:
    crew = layout.crew
    for number, post in enumerate(crew.posts, 1):
        most = max(post.stations, key=lambda place: crew.workloads[place])
        at = lowered(layout.stations[most].option.equipment.name)
        numbers = ", ".join(str(place + 1) for place in sorted(post.stations))
        word = "station" if len(post.stations) == 1 else "stations"
        busy = "always there" if post.always else f"{post.workload:.0%} busy"
        yield from wrapped(f"{number}. {word} {numbers}: {busy}, most of it at {at}", 2, 5)


def _money(study: Study, layout: Layout) -> Iterator[str]:
    money = layout.money
    yield from _row("first cost", range_text(money.first_cost))
    bought = sorted(layout.stations, key=lambda station: -station.first_cost.typical)[:DEAREST]
    yield from _row(
        "dearest of it",
        "; ".join(
            f"{lowered(station.option.equipment.name)} {amount_text(station.first_cost.typical)}"
            for station in bought
            if station.first_cost.typical > 0
        )
        or "nothing to buy",
    )
    yield from _row(
        "cost a year",
        f"{amount_text(money.annual_total)}, labour {amount_text(money.annual['labour'])} of it",
    )
    yield from _row(
        f"cost of {study.need.horizon_years:g} years", range_text(money.life_cycle_cost)
    )
    yield from _row("per 1000 cans", f"{money.cost_per_1000_cans:,.2f}")


def _cautions(study: Study, layout: Layout) -> Iterator[str]:
    """What the figures call for, the first sentence of each; the rest is counted."""
    items = layout_cautions(study.inquiry, layout, findings_of(study.inquiry, layout))
    own = [item.caution for item in items if item.own]
    for caution in own[:MOST_CAUTIONS]:
        yield from wrapped(f"! {_first_sentence(caution.text)}", 2, 4)
    more = len(items) - len(own[:MOST_CAUTIONS])
    yield from wrapped(f"{more} more in the whole (`--section cautions`). {LOCAL_CODES.text}", 2)


def _first_sentence(text: str) -> str:
    """The first sentence; points within numbers and short forms do not end one."""
    return re.split(r"(?<=[a-z0-9)]{2}\.) (?=[A-Z])", text, maxsplit=1)[0]


def _sure(study: Study, layout: Layout, ranked: Ranked | None) -> Iterator[str]:
    if ranked is not None and ranked.stays_first is not None:
        yield from wrapped(
            f"Costs least over its life of those it is listed with in {ranked.stays_first:.0%} of "
            "the draws of prices, wages, stops, work and volume.", 2,
        )  # fmt: skip
    main = study.need.formats.index(study.need.main_format)
    run = confirmation_of(study, layout).formats[main].crew
    yield from wrapped(
        f"Simulated with its crew it makes {cpm_text(run.throughput_cpm)} cpm of the main format "
        f"(95 %: {cpm_text(run.low_cpm)} to {cpm_text(run.high_cpm)}); the estimate says "
        f"{cpm_text(layout.speed.effective[main])}.", 2,
    )  # fmt: skip
    used = study.need.defaults_used
    if used:
        yield from wrapped(
            f"{len(used)} answers were assumed (`--section assumed`); prices are those of the "
            "catalogue and its overlays, the catalogue's own are invented.", 2,
        )  # fmt: skip


# --- sections of the whole -------------------------------------------------------------------


def sections_of(text: str) -> dict[str, list[str]]:
    """The sections of a text by their headings; what stands before the first is left out."""
    lines = text.split("\n")
    starts = [
        place
        for place in range(1, len(lines) - 1)
        if not lines[place - 1] and lines[place] and set(lines[place + 1]) == {"-"}
    ]
    ends = [place - 1 for place in starts[1:]] + [len(lines)]
    return {lines[start]: lines[start:end] for start, end in zip(starts, ends, strict=True)}


def chosen_section(text: str, name: str) -> str | None:
    """The sections whose heading begins with a name, or has it; None where there is none."""
    found = sections_of(text)
    wanted = name.casefold().strip()
    begins = [lines for title, lines in found.items() if title.casefold().startswith(wanted)]
    has = [lines for title, lines in found.items() if wanted in title.casefold()]
    chosen: Sequence[list[str]] = begins or has
    return "\n\n".join("\n".join(lines).rstrip() for lines in chosen) if wanted and chosen else None
