"""Phases: what the line needs from one year to the next, as needs of their own."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lineconfig.brief import Brief, FormatNeed, GrowthStep
from lineconfig.catalog import Catalog
from lineconfig.containers import Container
from lineconfig.need import MINUTES_PER_HOUR, Format, Need


@dataclass(frozen=True, eq=False, repr=False)
class Phase:
    """Some years of the horizon in which the need does not change."""

    year: int
    """The first year of the phase; year 1 starts with the first purchase."""
    start: float
    """Years from the first purchase to its beginning."""
    end: float
    need: Need
    """The need of these years; without a budget."""


def phases_of(need: Need, catalog: Catalog, growth: float = 1.0) -> list[Phase]:
    """The phases of a need within its horizon: today's first, then each step of growth.

    `growth` is the share of every planned change of volume that comes. A step in year 1 takes
    today's place; steps after the horizon are left out. The later phases run to the horizon's end.
    """
    today = {fmt.id: fmt.annual_cans for fmt in need.formats}
    brief = need.brief.model_copy(update={"budget": None, "growth": [], "scenarios": []})
    current = replace(need, brief=brief, phases=())
    found = [(1, current)]
    entries = {fmt.id: entry for fmt, entry in zip(need.formats, need.brief.formats, strict=True)}
    for step, planned in zip(need.brief.growth, need.phases, strict=True):
        if step.year - 1 >= need.horizon_years:
            break
        if step.add_formats:
            added = planned.volumes[-len(step.add_formats) :]  # they come last, in order
            for entry, (container, _) in zip(step.add_formats, added, strict=True):
                entries[container.id] = FormatNeed.model_construct(container=entry.container)
        volumes = []
        for container, cans in planned.volumes:
            before = today.get(container.id, 0.0)
            volumes.append((container, max(0.0, before + growth * (cans - before))))
        current = _stepped(need, current, step, volumes, entries, catalog)
        if step.year == 1:
            found = []
        found.append((step.year, current))
    starts = [float(year - 1) for year, _ in found]
    ends = [*starts[1:], need.horizon_years]
    return [
        Phase(year, start, end, replace(phase, horizon_years=need.horizon_years - start))
        for (year, phase), start, end in zip(found, starts, ends, strict=True)
    ]


def steps_beyond(need: Need) -> list[int]:
    """Years of the growth plan that come after the horizon."""
    return [step.year for step in need.brief.growth if step.year - 1 >= need.horizon_years]


def _stepped(
    today: Need,
    before: Need,
    step: GrowthStep,
    volumes: Sequence[tuple[Container, float]],
    entries: Mapping[str, FormatNeed],
    catalog: Catalog,
) -> Need:
    """The need after one step of growth."""
    hours = step.hours_per_week or before.hours_per_week
    total = sum(cans for _, cans in volumes)
    speed_cpm = before.speed_cpm
    if today.brief.speed_cpm is None and total > 0:
        # The brief left the speed open, so that it follows from the volume again.
        planned = float(catalog.economics.habits.planning_efficiency)
        minutes = hours * before.weeks_per_year * MINUTES_PER_HOUR * planned
        speed_cpm = math.ceil(total / minutes * 10 - 1e-9) / 10
    formats = _formats(today, volumes, speed_cpm)
    written = [
        entries[fmt.id].model_copy(update={"annual_cans": round(fmt.annual_cans)})
        for fmt in formats
    ]
    brief = _changed(before.brief, step).model_copy(update={"formats": written})
    return replace(
        before,
        brief=brief,
        formats=formats,
        speed_cpm=speed_cpm,
        hours_per_week=float(hours),
    )


def _formats(
    today: Need, volumes: Sequence[tuple[Container, float]], speed_cpm: float
) -> tuple[Format, ...]:
    there: Mapping[str, Format] = {fmt.id: fmt for fmt in today.formats}
    stated = {
        fmt.id: entry.speed_cpm
        for fmt, entry in zip(today.formats, today.brief.formats, strict=True)
    }
    wanted = [(container, cans) for container, cans in volumes if cans > 0]
    # With no volume left the formats stay, so that there is a line to speak of.
    wanted = wanted or list(volumes)
    main_ml = max(wanted, key=lambda pair: pair[1])[0].volume_ml
    formats = []
    for container, cans in wanted:
        own_cpm = stated.get(container.id)
        needed_cpm = speed_cpm * min(1.0, main_ml / container.volume_ml)
        if own_cpm is not None:
            needed_cpm = float(own_cpm)
        fmt = there.get(container.id) or Format(
            container, cans, needed_cpm, None, False, False, "printed"
        )
        formats.append(replace(fmt, annual_cans=float(cans), needed_cpm=needed_cpm))
    return tuple(formats)


def _changed(brief: Brief, step: GrowthStep) -> Brief:
    """A brief with what a step changes of the site and the people."""
    update: dict[str, object] = {}
    if step.site is not None:
        keys = step.site.model_fields_set
        update["site"] = brief.site.model_copy(
            update={key: getattr(step.site, key) for key in keys}
        )
    if step.per_shift is not None:
        update["staff"] = brief.staff.model_copy(update={"per_shift": step.per_shift})
    return brief.model_copy(update=update) if update else brief
