"""Whole-line limits: what the client has at the most of people, money, hours, floor and utilities.

They cannot be decided within one section: the search checks them on whole lines, and prunes with
the least that a part of a line already takes.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from lineconfig.choose.inquiry import Inquiry

SQRT3 = math.sqrt(3)
W_PER_KW = 1000.0
MM2_PER_M2 = 1e6


@dataclass(frozen=True)
class Limit:
    """One limit on a whole line."""

    id: str
    field: str
    """The brief's field that it comes from."""
    unit: str
    allowed: Callable[[Inquiry], float | None]
    """The most that the brief allows; None where it says nothing."""
    text: str
    """Sentence with {used} (what a line takes) and {allowed}."""


def _people(inquiry: Inquiry) -> float | None:
    return inquiry.need.brief.staff.per_shift


def _hours(inquiry: Inquiry) -> float | None:
    return inquiry.need.available_hours


def _budget(inquiry: Inquiry) -> float | None:
    budget = inquiry.need.brief.budget
    return None if budget is None else float(budget)


def _rows(inquiry: Inquiry) -> float | None:
    """Straight runs that lie side by side in the room; a long line folds."""
    width_mm, habits = inquiry.need.brief.site.width_mm, inquiry.habits
    if width_mm is None:
        return None
    return max(1.0, width_mm // (habits.walkway_mm + habits.pallet_approach_mm))


def _length(inquiry: Inquiry) -> float | None:
    length_mm, rows = inquiry.need.brief.site.length_mm, _rows(inquiry)
    return None if length_mm is None or rows is None else length_mm * rows


def _area(inquiry: Inquiry) -> float | None:
    site = inquiry.need.brief.site
    if site.length_mm is None or site.width_mm is None:
        return None
    blocked = sum(item.length_mm * item.width_mm for item in site.obstacles)
    return (site.length_mm * site.width_mm - blocked) / MM2_PER_M2


def _power(inquiry: Inquiry) -> float | None:
    power, habits = inquiry.need.brief.site.power, inquiry.habits
    if power is None:
        return None
    phase_factor = SQRT3 if power.phases == 3 else 1.0
    kva = phase_factor * power.volts * power.amperes / W_PER_KW
    return kva * habits.power_factor / habits.simultaneity


def _water(inquiry: Inquiry) -> float | None:
    flow = inquiry.need.brief.site.water_l_min
    return None if flow is None else float(flow)


def _air(inquiry: Inquiry) -> float | None:
    flow = inquiry.need.brief.site.air_l_min
    return None if flow is None else float(flow)


PEOPLE = Limit(
    "people", "staff.per_shift", "people", _people,
    "{used:,.0f} people are needed; {allowed:,.0f} are on shift",
)  # fmt: skip
HOURS = Limit(
    "hours", "operation.hours_per_week", "h/year", _hours,
    "the yearly volume takes {used:,.0f} hours; {allowed:,.0f} are there",
)  # fmt: skip
ADDITIVE: tuple[Limit, ...] = (
    Limit("budget", "budget", "currency", _budget,
          "it costs {used:,.0f} to buy; the budget is {allowed:,.0f}"),
    Limit("floor-length", "site.length", "mm", _length,
          "the line is {used:,.0f} mm long; {allowed:,.0f} mm of line go into the room"),
    Limit("floor-area", "site.length", "m2", _area,
          "the line takes {used:,.1f} m2; the room has {allowed:,.1f} m2"),
    Limit("power", "site.power", "kW", _power,
          "{used:,.1f} kW are connected; the site carries {allowed:,.1f} kW"),
    Limit("water", "site.water", "l/min", _water,
          "it draws {used:,.1f} l/min of water; the site gives {allowed:,.1f} l/min"),
    Limit("air", "site.air", "l/min", _air,
          "it draws {used:,.0f} l/min of free air; the site gives {allowed:,.0f} l/min"),
)  # fmt: skip
"""Limits on figures that are sums over the sections, in the order of `Stated.uses`."""

LIMITS: tuple[Limit, ...] = (PEOPLE, HOURS, *ADDITIVE)
