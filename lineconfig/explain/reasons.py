"""Why this one: each shown layout against its neighbours, in the figures that decide."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields

from lineconfig.brief import View
from lineconfig.layout import Layout
from lineconfig.rounding import fixed, whole
from lineconfig.sentences import lowered
from lineconfig.session import Study

MOST_NAMED = 3
"""Differences of machines that are named in a sentence."""


@dataclass(frozen=True, slots=True)
class Figures:
    """The figures that layouts are compared by, as they are printed."""

    life_cycle_cost: int
    first_cost: int
    annual_cost: int
    people: int
    effective_cpm: float
    """With the main format."""
    floor_m2: int
    changeover_min: int
    """Person-minutes of one format change."""
    hours_per_year: int

    @classmethod
    def of(cls, study: Study, layout: Layout) -> Figures:
        """The figures of one layout."""
        money = layout.money
        main = study.need.formats.index(study.need.main_format)
        return cls(
            life_cycle_cost=whole(money.life_cycle_cost.typical),
            first_cost=whole(money.first_cost.typical),
            annual_cost=whole(money.annual_total),
            people=layout.crew.people,
            effective_cpm=float(fixed(layout.speed.effective[main], 1, 3).replace(",", "")),
            floor_m2=whole(layout.floor.area_m2),
            changeover_min=whole(layout.changeover_person_min),
            hours_per_year=whole(money.hours),
        )

    def less(self, other: Figures) -> dict[str, float]:
        """Each figure less the other's."""
        return {
            item.name: round(getattr(self, item.name) - getattr(other, item.name), 1)
            for item in fields(self)
        }


@dataclass(frozen=True, slots=True)
class Against:
    """One layout beside a neighbour."""

    name: str
    """What the neighbour is called: its place in the list, a letter or an id."""
    id: str
    ours: Figures
    theirs: Figures
    machines: tuple[tuple[str, str, str], ...]
    """Function, our class and theirs, where they differ."""
    sentences: tuple[str, ...]


VIEW_WORDS: dict[View, tuple[str, str]] = {
    "people": ("people", "people"),
    "floor": ("floor_m2", "m2 of floor"),
    "changeover": ("changeover_min", "person-minutes of format change"),
}
"""Orders whose figure is not money: the figure and its words."""


def reasons(study: Study, layouts: Sequence[Layout], view: View) -> list[tuple[Against, ...]]:
    """For each layout: against the next one; for all but the first, against the one before.

    `layouts` are in the order of the view.
    """
    told = []
    for place, layout in enumerate(layouts):
        neighbours = [other for other in (place - 1, place + 1) if 0 <= other < len(layouts)]
        told.append(
            tuple(
                against(study, layout, layouts[other], str(other + 1), view)
                for other in neighbours
            )
        )  # fmt: skip
    return told


def against(study: Study, ours: Layout, theirs: Layout, name: str, view: View) -> Against:
    """One layout beside another in two or three sentences."""
    mine, other = Figures.of(study, ours), Figures.of(study, theirs)
    machines = tuple(_machines(study, ours, theirs))
    sentences = [_money(study, mine, other, name)]
    if view in VIEW_WORDS:
        sentences.insert(0, _ordered(mine, other, view, name))
    others = _others(mine, other)
    if others:
        sentences.append(others)
    if machines:
        sentences.append(_named(study, machines))
    return Against(name, theirs.id, mine, other, machines, tuple(sentences))


def _machines(study: Study, ours: Layout, theirs: Layout) -> Iterator[tuple[str, str, str]]:
    classes = study.catalog.classes
    mine = {classes[class_id].function: class_id for class_id in ours.classes}
    other = {classes[class_id].function: class_id for class_id in theirs.classes}
    for function, class_id in mine.items():
        if other[function] != class_id:
            yield function, class_id, other[function]


def _more(difference: float) -> str:
    return f"{abs(difference):,.0f} {'more' if difference > 0 else 'less'}"


def _money(study: Study, mine: Figures, other: Figures, name: str) -> str:
    life = mine.life_cycle_cost - other.life_cycle_cost
    bought = mine.first_cost - other.first_cost
    yearly = mine.annual_cost - other.annual_cost
    currency, years = study.need.currency, f"{study.need.horizon_years:g} years"
    if life == 0:
        start = f"Over {years} it costs as much as layout {name}"
    else:
        more = "more" if life > 0 else "less"
        start = f"Over {years} it costs {abs(life):,.0f} {currency} {more} than layout {name}"
    parts = []
    if bought:
        parts.append(f"{_more(bought)} to buy")
    if yearly:
        parts.append(f"{_more(yearly)} a year")
    joined = ", against " if bought * yearly < 0 else " and "
    return f"{start}: {joined.join(parts)}." if parts else f"{start}."


def _ordered(mine: Figures, other: Figures, view: View, name: str) -> str:
    key, words = VIEW_WORDS[view]
    ours, theirs = getattr(mine, key), getattr(other, key)
    if ours == theirs:
        return f"It takes {ours:,} {words}, as layout {name} does; cost over its life decides."
    return f"It takes {ours:,} {words}, layout {name} {theirs:,}."


def _others(mine: Figures, other: Figures) -> str:
    parts = []
    if mine.people != other.people:
        parts.append(f"with {mine.people} instead of {other.people} people")
    if mine.effective_cpm != other.effective_cpm:
        parts.append(
            f"at an effective {mine.effective_cpm:,.1f} instead of {other.effective_cpm:,.1f} cpm"
        )
    if mine.hours_per_year != other.hours_per_year:
        parts.append(
            f"for {mine.hours_per_year:,} instead of {other.hours_per_year:,} hours a year"
        )
    if mine.floor_m2 != other.floor_m2:
        parts.append(f"on {mine.floor_m2:,} instead of {other.floor_m2:,} m2")
    if not parts:
        return ""
    text = ", ".join(parts[:-1]) + (" and " if parts[1:] else "") + parts[-1]
    return f"It {'stands' if text.startswith('on ') else 'runs'} {text}."


def _named(study: Study, machines: Sequence[tuple[str, str, str]]) -> str:
    classes = study.catalog.classes
    parts = [
        f"{lowered(classes[ours].name)} instead of {lowered(classes[theirs].name)}"
        for _, ours, theirs in machines[:MOST_NAMED]
    ]
    more = len(machines) - MOST_NAMED
    rest = f", and {more} more" if more > 0 else ""
    return f"It has {'; '.join(parts)}{rest}."
