"""Lines that a path may pass through: the best of each phase, and those that keep equipment.

A line that is not first in any view may still be the right one after the line of the year before.
So for a line of one phase the best line of the next is looked for with what is there already priced
at next to nothing, and what serves again or finds a buyer taken off the price of what replaces it;
and the other way round for the line before.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from itertools import islice
from typing import Literal

from lineconfig.brief import VIEWS
from lineconfig.catalog import ChangePart, EquipmentClass, Function, PriceRange
from lineconfig.choose.options import Option
from lineconfig.growth.ledger import Choice, Item, Market
from lineconfig.layout import Layout
from lineconfig.session import Study

BEST_OF_EACH_VIEW = 3
MOST_FOR_PARETO = 60_000
"""Combinations up to which the whole Pareto set of a phase is taken in."""
NEXT_TO_NOTHING = 1e-6
"""Factor on the price of what is there already; not zero, since upkeep is a share of the price."""
NOT_RESOLD = frozenset({"convey"})
"""Functions whose machines find no buyer: they were cut to the line."""

Classes = tuple[str, ...]
Factor = Callable[[EquipmentClass], float]


def market_of(study: Study) -> Market:
    """The terms on which a study's client buys and sells."""
    catalog = study.catalog
    used = catalog.economics.used_machines
    return Market(
        rate=study.need.discount_rate,
        buy_factor=study.terms.buy_factor,
        at_once=float(used.at_once),
        yearly_decline=float(used.yearly_decline),
        credits={
            (item.id, wanted): float(reuse.credit)
            for item in catalog.classes.values()
            for reuse in item.reuse
            for wanted in reuse.in_classes
        },
    )


PriceLevel = Literal["low", "typical", "high"]


def choice_of(layout: Layout, *, affordable: bool = True, level: PriceLevel = "typical") -> Choice:
    """A layout as the ledger sees it, with all prices at one level."""
    items: dict[str, Item] = {}
    for station in layout.stations:
        before = items.get(station.option.id, Item(0.0))
        parts = dict(before.parts)
        for owned in station.parts:
            count, _ = parts.get(owned.part, (0, 0.0))
            price = float(getattr(owned.price, level))
            parts[owned.part] = (count + owned.count, price / owned.count)
        price = before.price + float(getattr(station.price, level))
        items[station.option.id] = Item(price, parts, station.function not in NOT_RESOLD)
    return Choice(layout.classes, items, layout.money.annual_total, affordable)


def standalone(study: Study) -> list[Layout]:
    """The best of a phase by itself: by each view, of each kind, and unbeaten ones."""
    found = study.arrangements("life-cycle-cost")
    for view in VIEWS:
        found += study.best(BEST_OF_EACH_VIEW, view)
    if study.combinations <= MOST_FOR_PARETO:
        found += study.unbeaten()
    return unique(found)


def unique(layouts: Iterable[Layout]) -> list[Layout]:
    """The layouts without repetitions, in order."""
    found: dict[Classes, Layout] = {}
    for layout in layouts:
        found.setdefault(layout.classes, layout)
    return list(found.values())


def as_built(study: Study, classes: Classes) -> Layout | None:
    """The line of these classes under the study's need; None where it does not meet it."""
    wanted = set(classes)
    options: dict[Function, list[Option]] = {
        function: [option for option in choices if option.id in wanted]
        for function, choices in study.inquiry.options.items()
    }
    # A study of these options alone is much smaller than one that looks them up among all.
    narrow = study.varied()
    narrow.inquiry = narrow.inquiry.narrowed({**options})
    # Some other way to hang the same classes together does not count.
    for layout in islice(narrow.layouts("life-cycle-cost"), 3):
        if layout.classes == classes:
            return layout
    return None


def successor(study: Study, market: Market, before: Choice, age_years: float) -> Classes | None:
    """The classes of the best line for a phase when another line is there already."""
    classes = study.catalog.classes
    gains: dict[str, float] = {}
    for name, item in before.items.items():
        gains[classes[name].function] = market.resale(item, age_years)

    def factor(equipment: EquipmentClass) -> float:
        if equipment.id in before.items:
            return NEXT_TO_NOTHING
        price = float(equipment.price.typical) if equipment.price else 0.0
        gain = gains.get(equipment.function, 0.0)
        for name, item in before.items.items():
            share = market.credits.get((name, equipment.id), 0.0)
            if share:
                gain = max(gain, min(share * item.price, price) + (1 - share) * gain)
        cost = price * market.buy_factor
        return max(NEXT_TO_NOTHING, 1 - gain / cost) if cost > 0 else 1.0

    return _best_at(study, factor)


def predecessor(study: Study, market: Market, after: Choice, years: float) -> Classes | None:
    """The classes of the best line for a phase when another line follows some years later.

    What the later line has too is only bought earlier: it costs no more than the interest. What
    serves again in the later line costs no more than the part that does not.
    """
    early = 1 - market.at(years)

    def factor(equipment: EquipmentClass) -> float:
        if equipment.id in after.items:
            return max(NEXT_TO_NOTHING, early)
        resale = market.resale(Item(1.0), years) / market.buy_factor
        share = max(
            (market.credits.get((equipment.id, name), 0.0) for name in after.items), default=0.0
        )
        back = max(resale, share / market.buy_factor + (1 - share) * resale)
        return max(NEXT_TO_NOTHING, 1 - back * market.at(years))

    return _best_at(study, factor)


def _best_at(study: Study, factor: Factor) -> Classes | None:
    """The classes of the best line at changed prices."""
    options: dict[Function, list[Option]] = {
        function: [
            option if option.owned else _repriced(option, factor(option.equipment))
            for option in choices
        ]
        for function, choices in study.inquiry.options.items()
    }
    changed = study.varied()
    changed.inquiry = changed.inquiry.narrowed({**options})
    best = next(changed.found("life-cycle-cost"), None)
    return best.order if best is not None else None


def _repriced(option: Option, factor: float) -> Option:
    if factor == 1.0:
        return option
    equipment = option.equipment
    update: dict[str, object] = {
        key: _times(price, factor)
        for key in ("price", "price_per_track", "area_price")
        if (price := getattr(equipment, key)) is not None
    }
    if equipment.upkeep is not None:
        update["upkeep"] = float(equipment.upkeep) / factor  # of the price as it was
    if equipment.changeover is not None and factor == NEXT_TO_NOTHING:
        parts: list[ChangePart] = [
            part.model_copy(update={"price": _times(part.price, factor)})
            for part in equipment.changeover.parts
        ]
        update["changeover"] = equipment.changeover.model_copy(update={"parts": parts})
    return replace(option, equipment=equipment.model_copy(update=update))


def _times(price: PriceRange, factor: float) -> PriceRange:
    values: Mapping[str, float] = {
        key: float(getattr(price, key)) * factor for key in ("low", "typical", "high")
    }
    return PriceRange.model_construct(**values)  # type: ignore[arg-type]
