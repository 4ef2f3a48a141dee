"""The same need with one thing changed, as if the brief said so.

The brief inside is changed too, so that what is written out reads as the changed need again. What
the brief left open and the need settled (a speed from the volumes, volumes from a speed) is kept as
it was settled, unless that is what changes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from lineconfig.brief import Brief
from lineconfig.economics import TradeHabits
from lineconfig.need import MINUTES_PER_HOUR, Need
from lineconfig.quantities import Money, Quantity

Write = Callable[[Need, float], Need]


def _briefed(need: Need, changes: Mapping[str, Any]) -> Need:
    return replace(need, brief=need.brief.model_copy(update=changes))


def pinned(need: Need) -> Brief:
    """The brief with its volumes written out, and its speed where it was not derived."""
    formats = [
        entry.model_copy(update={"annual_cans": round(fmt.annual_cans)})
        for entry, fmt in zip(need.brief.formats, need.formats, strict=False)
    ]
    formats += need.brief.formats[len(formats) :]
    return need.brief.model_copy(update={"formats": formats})


# --- site, money, people -----------------------------------------------------------------------


def with_budget(need: Need, amount: float) -> Need:
    """The same need with another budget [currency]."""
    money = Money(amount, f"{amount:.10g} {need.currency}", need.currency)
    return _briefed(need, {"budget": money})


def with_people(need: Need, people: float) -> Need:
    """The same need with another number of people on shift."""
    staff = need.brief.staff.model_copy(update={"per_shift": round(people)})
    return _briefed(need, {"staff": staff})


def with_ladder_work(need: Need) -> Need:
    """The same need with ladder work allowed."""
    staff = need.brief.staff.model_copy(update={"ladder_work": True})
    return _briefed(need, {"staff": staff})


def with_site(need: Need, key: str, value: object) -> Need:
    """The same need with another value of one key of the site."""
    site = need.brief.site.model_copy(update={key: value})
    return _briefed(need, {"site": site})


def site_length(key: str) -> Write:
    """Writes a length of the site [mm]."""

    def write(need: Need, value: float) -> Need:
        return with_site(need, key, Quantity(value, f"{value:.10g} mm"))

    return write


def site_flow(key: str) -> Write:
    """Writes a flow of the site [l/min]."""

    def write(need: Need, value: float) -> Need:
        return with_site(need, key, Quantity(value, f"{value:.10g} l/min"))

    return write


def with_ceiling(need: Need, ceiling_mm: float) -> Need:
    """The same need under another ceiling [mm]."""
    return site_length("ceiling_mm")(need, ceiling_mm)


def with_amperes(need: Need, amperes: float) -> Need:
    """The same need with another connection [A]."""
    power = need.brief.site.power
    assert power is not None
    return with_site(need, "power", power.model_copy(update={"amperes": amperes}))


def with_three_phases(need: Need) -> Need:
    """The same need with three phases."""
    power = need.brief.site.power
    assert power is not None
    return with_site(need, "power", power.model_copy(update={"phases": 3}))


def with_door(need: Need, *, width_mm: float | None = None, height_mm: float | None = None) -> Need:
    """The same need with a wider or higher door [mm]."""
    door = need.brief.site.door
    assert door is not None
    changes = {
        key: Quantity(value, f"{value:.10g} mm")
        for key, value in (("width_mm", width_mm), ("height_mm", height_mm))
        if value is not None
    }
    return with_site(need, "door", door.model_copy(update=changes))


# --- time, speed, volume -----------------------------------------------------------------------


def with_operation(need: Need, key: str, value: float, habits: TradeHabits) -> Need:
    """The same need with other hours, weeks or format changes.

    A speed that was derived from the volumes follows the hours; a stated one stays.
    """
    brief = pinned(need)
    operation = brief.operation.model_copy(update={key: value})
    settled: dict[str, Any] = {key: value}
    changed = replace(need, brief=brief.model_copy(update={"operation": operation}), **settled)
    return _derived_speed(changed, habits)


def with_volume(need: Need, share: float, habits: TradeHabits) -> Need:
    """The same need with every yearly volume as a share of what it is.

    A speed that was derived from the volumes follows them; a stated one stays.
    """
    formats = tuple(
        replace(fmt, annual_cans=round(fmt.annual_cans * share)) for fmt in need.formats
    )
    changed = replace(need, formats=formats)
    return _derived_speed(replace(changed, brief=pinned(changed)), habits)


def _derived_speed(need: Need, habits: TradeHabits) -> Need:
    if need.brief.speed_cpm is not None:
        return need
    running_min = need.available_hours * MINUTES_PER_HOUR * habits.planning_efficiency
    speed_cpm = math.ceil(need.annual_cans / running_min * 10 - 1e-9) / 10
    return _scaled_speed(need, speed_cpm)


def with_speed(need: Need, speed_cpm: float) -> Need:
    """The same need with another speed asked for [cpm]; the yearly volumes stay."""
    changed = replace(need, brief=pinned(need))
    changed = _briefed(changed, {"speed_cpm": _speed_text(speed_cpm)})
    return _scaled_speed(changed, speed_cpm)


def _speed_text(speed_cpm: float) -> Quantity:
    return Quantity(speed_cpm, f"{speed_cpm:.10g} cpm")


def _scaled_speed(need: Need, speed_cpm: float) -> Need:
    """Formats with a speed of their own keep it."""
    own = [entry.speed_cpm is not None for entry in need.brief.formats]
    own += [False] * (len(need.formats) - len(own))
    formats = tuple(
        fmt if stated else replace(fmt, needed_cpm=fmt.needed_cpm * speed_cpm / need.speed_cpm)
        for fmt, stated in zip(need.formats, own, strict=True)
    )
    return replace(need, formats=formats, speed_cpm=speed_cpm)


# --- money's terms -----------------------------------------------------------------------------


def with_wage(need: Need, wage_per_h: float) -> Need:
    """The same need with another wage [currency/h]."""
    wage = Money(wage_per_h, f"{wage_per_h:.10g} {need.currency}/h", need.currency)
    staff = need.brief.staff.model_copy(update={"wage_per_h": wage})
    return replace(_briefed(need, {"staff": staff}), wage_per_h=wage_per_h)


def with_horizon(need: Need, years: float) -> Need:
    """The same need with another horizon [years]."""
    horizon = Quantity(years, f"{years:.10g} years")
    return replace(_briefed(need, {"horizon_years": horizon}), horizon_years=years)


def with_discount_rate(need: Need, rate: float) -> Need:
    """The same need with another discount rate [1/year]."""
    stated = Quantity(rate, f"{rate * 100:.10g} %")
    return replace(_briefed(need, {"discount_rate": stated}), discount_rate=rate)


# --- what is filled, and what the client refuses -------------------------------------------------


def with_carbonation(need: Need, vol: float) -> Need:
    """The same need with another carbonation [volumes of CO2]."""
    stated = Quantity(vol, f"{vol:.10g} vol")
    product = need.brief.product.model_copy(update={"carbonation_vol": stated})
    return replace(_briefed(need, {"product": product}), carbonation_vol=vol)


def with_heat_treatment(need: Need, treatment: str) -> Need:
    """The same need with another heat treatment."""
    product = need.brief.product.model_copy(update={"heat_treatment": treatment})
    return _briefed(need, {"product": product})


def with_choice(need: Need, key: str, value: object) -> Need:
    """The same need with another answer to one question of the brief."""
    return _briefed(need, {key: value})


def without_member(need: Need, key: str, member: object) -> Need:
    """The same need with one entry less in one of the brief's lists."""
    return _briefed(need, {key: [item for item in getattr(need.brief, key) if item != member]})


def with_any_supply(need: Need) -> Need:
    """The same need with the way in which empties come left open."""
    changed = replace(need, formats=tuple(replace(fmt, supply=None) for fmt in need.formats))
    entries = [entry.model_copy(update={"supply": None}) for entry in need.brief.formats]
    return _briefed(changed, {"formats": entries})


def with_printed_containers(need: Need) -> Need:
    """The same need without wrapping labels on the line."""
    formats = tuple(
        replace(fmt, label="printed") if fmt.label == "wrap" else fmt for fmt in need.formats
    )
    entries = [
        entry.model_copy(update={"label": "printed"}) if entry.label == "wrap" else entry
        for entry in need.brief.formats
    ]
    return _briefed(replace(need, formats=formats), {"formats": entries})


def without_format(need: Need, place: int) -> Need:
    """The same need with one format less; the speeds and volumes of the others stay."""
    brief = pinned(need)
    entries = [
        entry.model_copy(update={"speed_cpm": _speed_text(fmt.needed_cpm)})
        for index, (entry, fmt) in enumerate(zip(brief.formats, need.formats, strict=True))
        if index != place
    ]
    formats = tuple(fmt for index, fmt in enumerate(need.formats) if index != place)
    speed = _speed_text(need.speed_cpm)
    changed = brief.model_copy(update={"formats": entries, "speed_cpm": speed})
    return replace(need, brief=changed, formats=formats)
