"""Format changes of one layout: minutes, work and parts for each ordered pair of formats."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from itertools import permutations

from lineconfig.assess.changeover import Cause, differences, line_change_min, mean_change_min
from lineconfig.catalog import ChangePart, EquipmentClass
from lineconfig.choose.inquiry import Inquiry
from lineconfig.connect.stations import change_of, shape_of
from lineconfig.containers import Container
from lineconfig.layout import Layout


@dataclass(frozen=True, slots=True)
class StationTurn:
    """What one change takes at one station."""

    station: int
    minutes: float
    person_min: float
    parts: tuple[str, ...]
    """What is exchanged there."""


@dataclass(frozen=True, slots=True)
class PairChange:
    """The change from one format to another."""

    before: str
    after: str
    """Format ids."""
    differing: frozenset[Cause]
    minutes: float
    """From the last container of one to the first of the other, everybody helping. [min]"""
    person_min: float
    stations: tuple[StationTurn, ...]
    """Those that have anything to do."""

    @property
    def parts(self) -> tuple[str, ...]:
        """Everything that is exchanged."""
        return tuple(part for turn in self.stations for part in turn.parts)


def changeovers_of(inquiry: Inquiry, layout: Layout) -> tuple[PairChange, ...]:
    """Every ordered pair of formats; none for a single format."""
    return tuple(
        _change(layout, before, after) for before, after in permutations(inquiry.containers, 2)
    )


def _change(layout: Layout, before: Container, after: Container) -> PairChange:
    differing = differences(shape_of(before), shape_of(after))
    turns = []
    for place, station in enumerate(layout.stations):
        equipment = station.option.equipment
        change = change_of(equipment)
        minutes = change.minutes(differing)
        parts = _exchanged(equipment, differing, after)
        if minutes or parts:
            turns.append(StationTurn(place, minutes, minutes * change.persons, parts))
    people = layout.crew.people
    return PairChange(
        before=before.id,
        after=after.id,
        differing=differing,
        minutes=line_change_min(
            [turn.minutes for turn in turns], [turn.person_min for turn in turns], people
        ),
        person_min=sum(turn.person_min for turn in turns),
        stations=tuple(turns),
    )


def _exchanged(
    equipment: EquipmentClass, differing: Collection[Cause], after: Container
) -> tuple[str, ...]:
    parts = equipment.changeover.parts if equipment.changeover else []
    return tuple(part.part for part in parts if _is_exchanged(part, differing, after))


def _is_exchanged(part: ChangePart, differing: Collection[Cause], after: Container) -> bool:
    if part.closings and after.closing not in part.closings:
        return False
    return part.for_each == "format" or part.for_each in differing


def mean_minutes(inquiry: Inquiry, changes: Collection[PairChange]) -> float:
    """Mean of a change where each format follows each other as often as it is run [min]."""
    shares = {fmt.id: fmt.annual_cans for fmt in inquiry.need.formats}
    return mean_change_min({(c.before, c.after): c.minutes for c in changes}, shares)
