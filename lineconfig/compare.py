"""Layouts side by side, and what would change their order; two briefs side by side.

Life-cycle cost of a fixed layout is linear in the wage, and first cost plus an annuity factor times
yearly cost: where two layouts cost the same follows exactly.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any, Literal

from lineconfig.assess.finance import annuity_factor
from lineconfig.catalog import FUNCTIONS
from lineconfig.layout import Layout
from lineconfig.need import Need
from lineconfig.need_reading import brief_as_read
from lineconfig.rank import Ranked, Recommendation
from lineconfig.rounding import CENTS, fixed
from lineconfig.session import Study

KEPT = {("cpm", 0): 3, ("m", 1): 4, ("mm", 0): 1, ("l/min", 0): 1}
"""Decimals that figures have as data, by unit and printed decimals, where these are not two."""
MOST_YEARS = 40
MOST_WAGE_FACTOR = 5.0
"""Wages beyond this many times the client's are no news."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of every layout compared."""

    name: str
    unit: str
    values: tuple[float, ...]
    decimals: int
    better: Literal["less", "more", ""]
    """Which way is better; empty where it is a matter of circumstances."""
    kept: int
    """Decimals that it has as data."""

    @property
    def shown(self) -> tuple[str, ...]:
        """The values as they are printed."""
        return tuple(fixed(value, self.decimals, self.kept) for value in self.values)

    @property
    def differs(self) -> bool:
        """Whether a reader sees a difference."""
        return len(set(self.shown)) > 1

    @property
    def best(self) -> tuple[int, ...]:
        """Places of the best, where there is one."""
        if not self.better or not self.differs:
            return ()
        shown = [float(text.replace(",", "")) for text in self.shown]
        best = min(shown) if self.better == "less" else max(shown)
        return tuple(i for i, value in enumerate(shown) if value == best)


@dataclass(frozen=True, slots=True)
class Crossing:
    """A value at which two of the layouts cost the same over the line's life."""

    what: Literal["wage", "horizon"]
    value: float
    """[currency/h] or [years]"""
    below: int
    """Place of the layout that costs less below it."""
    above: int


@dataclass(frozen=True, slots=True)
class Comparison:
    """Layouts side by side."""

    layouts: tuple[Layout, ...]
    figures: tuple[Figure, ...]
    classes: tuple[tuple[str, tuple[str, ...]], ...]
    """By function in flow order, the classes chosen."""
    crossings: tuple[Crossing, ...]


def compare(study: Study, layouts: Sequence[Layout]) -> Comparison:
    """Put two or more layouts of one study side by side.

    Raises ValueError for fewer than two.
    """
    if len(layouts) < 2:
        raise ValueError(f"a comparison takes two layouts or more, found {len(layouts)}")
    chosen = [
        {study.catalog.classes[class_id].function: class_id for class_id in layout.classes}
        for layout in layouts
    ]
    there = {function for each in chosen for function in each}
    functions = [function for function in FUNCTIONS if function in there]
    return Comparison(
        tuple(layouts),
        tuple(_figures(study, layouts)),
        tuple((f, tuple(each.get(f, "") for each in chosen)) for f in functions),
        tuple(
            crossing
            for pair in combinations(range(len(layouts)), 2)
            for crossing in _crossings(study, layouts, pair)
        ),
    )


def _figures(study: Study, layouts: Sequence[Layout]) -> list[Figure]:
    need = study.need
    main = need.formats.index(need.main_format)
    money = study.need.currency
    looked_at: list[tuple[str, str, Callable[[Layout], float], int, Literal["less", "more", ""]]]
    looked_at = [
        ("first cost", money, lambda x: x.money.first_cost.typical, 0, "less"),
        ("cost a year", money, lambda x: x.money.annual_total, 0, "less"),
        (f"cost of {need.horizon_years:g} years", money,
         lambda x: x.money.life_cycle_cost.typical, 0, "less"),
        ("cost of 1000 cans", money, lambda x: x.money.cost_per_1000_cans, 2, "less"),
        ("people", "", lambda x: x.crew.people, 0, "less"),
        ("hours a year", "h", lambda x: x.money.hours, 0, "less"),
        ("rated speed", "cpm", lambda x: x.speed.rated[main], 0, "more"),
        ("effective speed", "cpm", lambda x: x.speed.effective[main], 0, "more"),
        ("floor with clearances", "m2", lambda x: x.floor.area_m2, 1, "less"),
        ("stretched out", "m", lambda x: x.floor.length_mm / 1000, 1, "less"),
        ("highest point", "mm", lambda x: x.highest.height_mm, 0, ""),
        ("unloader's deck", "mm", lambda x: x.heights.deck_mm, 0, ""),
        ("connected power", "kW", lambda x: x.utilities.power_kw, 1, "less"),
        ("water at most", "l/min", lambda x: x.utilities.water_l_min, 1, "less"),
        ("air at most", "l/min", lambda x: x.utilities.air_l_min, 0, "less"),
    ]  # fmt: skip
    if len(need.formats) > 1:
        looked_at += [
            ("format change", "min", lambda x: x.changeover_min, 0, "less"),
            ("format change work", "person-min", lambda x: x.changeover_person_min, 0, "less"),
        ]
    return [
        Figure(
            name,
            unit,
            tuple(float(figure(layout)) for layout in layouts),
            decimals,
            better,
            KEPT.get((unit, decimals), CENTS),
        )
        for name, unit, figure, decimals, better in looked_at
    ]


def _crossings(study: Study, layouts: Sequence[Layout], pair: tuple[int, int]) -> list[Crossing]:
    need = study.need
    one, other = (layouts[i] for i in pair)
    found = []
    annuity = annuity_factor(need.discount_rate, need.horizon_years)
    slopes = [annuity * x.money.hours * x.crew.people for x in (one, other)]
    costs = [x.money.life_cycle_cost.typical for x in (one, other)]
    if slopes[0] != slopes[1]:
        wage = need.wage_per_h + (costs[1] - costs[0]) / (slopes[0] - slopes[1])
        if 0 < wage <= MOST_WAGE_FACTOR * need.wage_per_h:
            found.append(_ordered("wage", wage, pair, slopes[0] > slopes[1]))
    bought = [x.money.first_cost.typical for x in (one, other)]
    yearly = [x.money.annual_total for x in (one, other)]
    if yearly[0] != yearly[1]:
        factor = (bought[1] - bought[0]) / (yearly[0] - yearly[1])
        years = years_of(factor, need.discount_rate)
        if years is not None and 0 < years <= MOST_YEARS:
            found.append(_ordered("horizon", years, pair, yearly[0] > yearly[1]))
    return found


def _ordered(
    what: Literal["wage", "horizon"], value: float, pair: tuple[int, int], first_below: bool
) -> Crossing:
    below, above = pair if first_below else pair[::-1]
    return Crossing(what, value, below, above)


def years_of(factor: float, rate: float) -> float | None:
    """The horizon with an annuity factor [years]; None where none is long enough.

    The inverse of `annuity_factor`: n = -ln(1 - rate x factor) / ln(1 + rate).
    """
    if factor <= 0:
        return None
    if rate == 0:
        return factor
    if rate * factor >= 1:
        return None
    return -math.log(1 - rate * factor) / math.log(1 + rate)


@dataclass(frozen=True, slots=True)
class Change:
    """What became of one kind of arrangement from one brief to another."""

    family: str
    before: Ranked | None
    after: Ranked | None


def changes(before: Recommendation, after: Recommendation) -> list[Change]:
    """Kinds of arrangement in the order of the second answer, those that fell out last."""
    old = {item.layout.family: item for item in before.arrangements}
    new = {item.layout.family: item for item in after.arrangements}
    return [Change(family, old.get(family), new.get(family)) for family in {**new, **old}]


@dataclass(frozen=True, slots=True)
class Asked:
    """One answer of a brief that is another in the other brief."""

    path: str
    before: str | None
    """As the brief has it, what it left open filled in; None where it does not have it."""
    after: str | None


def asked(before: Need, after: Need) -> list[Asked]:
    """What two briefs ask differently, in the order of the second."""
    old, new = (dict(_leaves(brief_as_read(need))) for need in (before, after))
    return [
        Asked(path, old.get(path), new.get(path))
        for path in {**new, **old}
        if old.get(path) != new.get(path)
    ]


def _leaves(plain: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """Every answer with its path; formats and the like go by what they are, not by their place."""
    if isinstance(plain, Mapping):
        for key, value in plain.items():
            yield from _leaves(value, f"{path}.{key}" if path else str(key))
    elif isinstance(plain, list) and plain and isinstance(plain[0], Mapping):
        for place, item in enumerate(plain, 1):
            name = next((item[key] for key in NAMING if isinstance(item.get(key), str)), place)
            yield from _leaves(item, f"{path}[{name}]")
    elif isinstance(plain, list):
        yield path, ", ".join(map(str, plain)) or "none"
    else:
        yield path, str(plain).lower() if isinstance(plain, bool) else str(plain)


NAMING = ("container", "function", "name", "year")
"""Keys that say which entry of a list is meant."""
