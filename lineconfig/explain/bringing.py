"""What would bring a class first: wage, volume, horizon, rate or speed, a limit that gives way, or
the class's own price. Each was solved, or follows from costs that were."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from lineconfig.brief import View
from lineconfig.choose.limits import LIMITS
from lineconfig.choose.rules import length_text
from lineconfig.layout import Layout
from lineconfig.need import Need
from lineconfig.session import Study
from lineconfig.switching import (
    PARAMETERS,
    Parameter,
    Stretch,
    Switcher,
    Switching,
    at_value,
)
from lineconfig.switching_limits import ceiling_taken_mm, under_no_ceiling
from lineconfig.varying import needs
from lineconfig.varying.pooled import PooledStudy, pooled

MONEY_VIEWS: tuple[View, ...] = ("life-cycle-cost", "first-cost")


@dataclass(frozen=True, slots=True)
class Bringing:
    """A change that brings a class first."""

    field: str
    """The field of the brief, or `price`."""
    before: float
    after: float
    unit: str
    text: str
    need: Need | None = None
    """The changed need; None where the price changes."""

    @property
    def size(self) -> float:
        """How much changes, as a share of what there was."""
        return abs(self.after / self.before - 1) if self.before else math.inf


Has = Callable[[Layout], bool]


class Bringer:
    """Looks for what would bring a class first; what it solves serves every class.

    `known` are layouts that the brief allows, as for a `Switcher`.
    """

    def __init__(
        self, study: Study, view: View | None = None, known: Sequence[Layout] = ()
    ) -> None:
        self.study: PooledStudy = pooled(study)
        self.view: View = view or study.need.view
        self.switcher = Switcher(self.study, self.view, known)
        self._solved: dict[tuple[Parameter, float], Layout | None] = {}

    def of(self, class_id: str) -> Bringing | None:
        """The smallest change that brings a layout with the class first; None for none found."""

        def has(layout: Layout) -> bool:
            return class_id in layout.classes

        found = [*self._by_terms(has), *self._by_limits(has)]
        if found:
            return min(found, key=lambda each: each.size)
        return None

    # --- terms -------------------------------------------------------------------------------

    def _by_terms(self, has: Has) -> Iterator[Bringing]:
        need = self.study.need
        for parameter in PARAMETERS:
            traced = self.switcher.of(parameter)
            if traced is None:
                continue
            nearest = traced.nearest(has)
            if nearest is None or nearest[0] == traced.now:
                continue
            stretch = nearest[1]
            value = _rounded_into(parameter, nearest[0], stretch.low, stretch.high)
            first = self._first_at(parameter, value)
            if first is None or not has(first):
                continue
            up = value > traced.now
            lasts = _lasting(traced, stretch, has, 1 if up else -1)
            said = _quantity(parameter, value, need.currency)
            if lasts is None:
                said += " or more" if up else " or less"
            else:
                end = _quantity(parameter, lasts, need.currency).removeprefix("a ")
                said += f" (up to {end})" if up else f" (down to {end})"
            changed = at_value(need, parameter, value)
            yield Bringing(traced.field, traced.now, value, traced.unit, said, changed)

    def _first_at(self, parameter: Parameter, value: float) -> Layout | None:
        if (parameter, value) not in self._solved:
            need = at_value(self.study.need, parameter, value)
            self._solved[parameter, value] = self.switcher.solved(need)
        return self._solved[parameter, value]

    # --- limits ------------------------------------------------------------------------------

    @cached_property
    def _without_limits(self) -> dict[str, Layout]:
        """What is first once one limit is left aside."""
        found = {}
        brief = self.study.need.brief
        asked = {"budget": brief.budget is not None, "people": brief.staff.per_shift is not None}
        allowed = {item.id: item.allowed(self.study.inquiry) is not None for item in LIMITS}
        for limit, stated in asked.items():
            if stated and allowed[limit]:
                free = self.study.varied(without=self.study.without | {limit})
                found[limit] = free.best(1, self.view)
        found["ceiling"] = under_no_ceiling(self.study).best(1, self.view)
        return {name: layouts[0] for name, layouts in found.items() if layouts}

    def _by_limits(self, has: Has) -> Iterator[Bringing]:
        need, inquiry = self.study.need, self.study.inquiry
        for limit, layout in self._without_limits.items():
            if not has(layout):
                continue
            if limit == "budget":
                assert need.brief.budget is not None
                before = float(need.brief.budget)
                after = float(math.ceil(layout.money.first_cost.typical))
                changed = needs.with_budget(need, after)
                text, unit = f"a budget of {after:,.0f} {need.currency}", need.currency
            elif limit == "people":
                assert need.brief.staff.per_shift is not None
                before, after = float(need.brief.staff.per_shift), float(layout.crew.people)
                changed = needs.with_people(need, after)
                text, unit = f"{after:.0f} people on shift", "people"
            else:
                before, after = inquiry.ceiling_mm, ceiling_taken_mm(inquiry, layout)
                changed = needs.with_ceiling(need, after)
                text, unit = f"a ceiling of {length_text(after)}", "mm"
            if after <= before:
                continue
            first = self.switcher.solved(changed)
            if first is not None and has(first):
                field = {"budget": "budget", "people": "staff.per_shift"}.get(limit, "site.ceiling")
                yield Bringing(field, before, after, unit, text, changed)

    # --- price -------------------------------------------------------------------------------

    def by_price(self, class_id: str, best: Layout, first: Layout) -> Bringing | None:
        """The price at which the best layout with a class costs no more than the first.

        Nothing else changes with a price, so that the class is then first. None where even for
        nothing it would not be, and in orders that prices do not decide.

        Parameters
        ----------
        class_id : the class
        best : the best layout that has it
        first : the first layout, without it
        """
        if self.view not in MONEY_VIEWS:
            return None
        stations = [s for s in best.stations if s.option.id == class_id and s.price.typical > 0]
        if not stations or best.money.equipment.typical <= 0:
            return None
        on_top = best.money.first_cost.typical / best.money.equipment.typical
        saved_each = on_top
        if self.view == "life-cycle-cost":
            upkeep = sum(station.yearly.get("upkeep", 0.0) for station in stations)
            price = sum(station.price.typical for station in stations)
            saved_each += _annuity(best) * upkeep / price
            extra = best.money.life_cycle_cost.typical - first.money.life_cycle_cost.typical
        else:
            price = sum(station.price.typical for station in stations)
            extra = best.money.first_cost.typical - first.money.first_cost.typical
        after = math.floor(price - (extra + 1) / saved_each)
        if after <= 0 or after >= price:
            return None
        currency = self.study.need.currency
        text = f"a price of {after:,.0f} {currency} for it instead of {price:,.0f}"
        return Bringing("price", price, float(after), currency, text)


def _annuity(layout: Layout) -> float:
    money = layout.money
    return (money.life_cycle_cost.typical - money.first_cost.typical) / money.annual_total


def _rounded_into(parameter: Parameter, value: float, low: float, high: float) -> float:
    """A value just inside a stretch, in few digits where the stretch is wide enough."""
    step = {"wage": 0.01, "volume": 1000.0, "horizon": 0.1, "discount_rate": 0.0001, "speed": 0.1}[
        parameter
    ]
    at_low = abs(value - low) <= abs(value - high)
    rounded = (math.floor(value / step) + 1 if at_low else math.ceil(value / step) - 1) * step
    rounded = round(rounded, 6)
    return rounded if low < rounded < high else (low + high) / 2


def _lasting(traced: Switching, stretch: Stretch, has: Has, step: int) -> float | None:
    """Up (or down) to which value a layout of the kind stays first; None for the end of the range.

    `step` is 1 for upwards and -1 for downwards.
    """
    place = traced.stretches.index(stretch)
    while 0 <= place + step < len(traced.stretches):
        following = traced.stretches[place + step]
        if following.layout is None or not has(following.layout):
            here = traced.stretches[place]
            return here.high if step > 0 else here.low
        place += step
    return None


def _quantity(parameter: Parameter, value: float, currency: str) -> str:
    match parameter:
        case "wage":
            return f"a wage of {value:,.2f} {currency}/h"
        case "volume":
            return f"{value:,.0f} cans a year"
        case "horizon":
            return f"a horizon of {value:,.1f} years"
        case "discount_rate":
            return f"a discount rate of {value:.2%}"
        case "speed":
            return f"a speed of {value:,.1f} cpm"
