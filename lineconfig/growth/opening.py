"""The need of one phase opened by itself, and the lines that a growth plan names for it."""

from __future__ import annotations

import math
from dataclasses import replace

from lineconfig.errors import InputError
from lineconfig.growth.phases import Phase, phases_of
from lineconfig.layout import Layout
from lineconfig.need import Need
from lineconfig.session import Study
from lineconfig.varying import needs


def phase_of_year(study: Study, year: int) -> Phase:
    """The phase that holds a year, counted from the first purchase; year 1 is today's.

    Raises InputError for a year beyond the horizon.
    """
    phases = phases_of(study.need, study.catalog)
    last = math.ceil(study.need.horizon_years)
    if not 1 <= year <= last:
        begins = " and ".join(str(phase.year) for phase in phases)
        raise InputError.single(
            f"no year {year} in this brief: its horizon ends with year {last}, and its phases "
            f"begin in year {begins}",
            file="--year",
        )
    return [phase for phase in phases if phase.year <= year][-1]


def study_of_year(study: Study, year: int) -> Study:
    """The study of the need of one year: its cans, formats, hours and site, without a budget.

    A line of it is costed as if it were bought whole and new in that phase, over the years that are
    left of the horizon. Raises InputError for a year beyond the horizon.
    """
    return study.varied(need=_named(phase_of_year(study, year)))


def _named(phase: Phase) -> Need:
    need = needs.with_horizon(phase.need, phase.need.horizon_years)
    name = f"{need.brief.name}, from year {phase.year}"
    return replace(need, brief=need.brief.model_copy(update={"name": name}))


def planned_line(study: Study, year: int, layout_id: str) -> Layout | None:
    """The line with an id that the growth plan looks at in the phase of a year; None for none.

    `study` is that of the whole brief. Everything that `grow` names is found.
    """
    from lineconfig.growth.plan import Blocked, plan_growth
    from lineconfig.growth.scenarios import plan_scenarios

    plan = plan_growth(study)
    if isinstance(plan, Blocked):
        return None
    plan_scenarios(study, plan)  # puts the lines of its scenarios into the plan's pool
    phase = phase_of_year(study, year)
    place = [each.year for each in plan.pool.phases].index(phase.year)
    found = plan.pool.layouts[place].values()
    return next((layout for layout in found if layout.id == layout_id), None)


def brief_of_year(text: str, study: Study, year: int) -> str:
    """A brief's text as it would be written for the need of one year.

    Read again it settles to that need. Comments stay where their keys do. Raises InputError for a
    year beyond the horizon, or a text that is no brief.
    """
    from lineconfig.editing import with_value, without_value
    from lineconfig.reading import read_tree

    need = study.need
    phase = phase_of_year(study, year)
    plain = read_tree(text, "brief")[0].plain()
    steps = [step for step in plain.get("growth") or [] if step["year"] <= phase.year]
    entries = {
        fmt.id: entry for fmt, entry in zip(need.formats, plain["formats"], strict=True)
    } | {
        container.id: {"container": added["container"]}
        for step, planned in zip(steps, need.phases, strict=False)
        for added, (container, _) in zip(
            step.get("add_formats") or [],
            planned.volumes[-len(step.get("add_formats") or [None]) :],
            strict=False,
        )
    }  # fmt: skip
    for key in ("budget", "growth", "scenarios"):
        text = without_value(text, (key,))
    text = with_value(text, ("name",), _named(phase).brief.name)
    text = with_value(text, ("horizon",), f"{phase.need.horizon_years:g} years")
    written = [
        {**entries[fmt.id], "annual_cans": round(fmt.annual_cans)} for fmt in phase.need.formats
    ]
    text = with_value(text, ("formats",), written)
    if phase.need.hours_per_week != need.hours_per_week:
        hours = phase.need.hours_per_week
        text = with_value(text, ("operation", "hours_per_week"), hours)
    if phase.need.brief.staff.per_shift != need.brief.staff.per_shift:
        text = with_value(text, ("staff", "per_shift"), phase.need.brief.staff.per_shift)
    for step in steps:
        for key, value in (step.get("site") or {}).items():
            text = with_value(text, ("site", key), value)
    return text
