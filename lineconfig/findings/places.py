"""Places: how high above the floor, and above the person's feet, hands work in one layout."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from lineconfig.assess.reaching import WORK_HEIGHTS
from lineconfig.catalog import HandHeight, Task
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.options import Option
from lineconfig.choose.sections import SECTIONS
from lineconfig.choose.standing import Deck, Surroundings
from lineconfig.containers import SupplyForm
from lineconfig.layout import Layout, Station

LOWEST_FROM_PLATFORM_MM = WORK_HEIGHTS["heavy"].low_mm
"""Work that would lie lower above the platform is done from the floor. [mm]"""


@dataclass(frozen=True, slots=True)
class Hands:
    """Where hands work: heights above the floor [mm], and the surface that the person stands on."""

    lowest_mm: float
    highest_mm: float
    standing_mm: float


@dataclass(eq=False)
class Places:
    """The places of one layout where hands work."""

    inquiry: Inquiry
    layout: Layout

    @cached_property
    def supply(self) -> Option:
        """How the empties arrive."""
        return self.layout.station("supply").option

    @cached_property
    def forms(self) -> tuple[SupplyForm, ...]:
        """The form in which each format arrives."""
        return self.inquiry.forms(self.supply)

    @cached_property
    def line_mm(self) -> float:
        """Level at which the line runs behind the filler [mm]."""
        discharge_mm = self.layout.station("fill").discharge_mm
        return self.layout.infeed_mm if discharge_mm is None else discharge_mm

    @cached_property
    def _around(self) -> Surroundings:
        """What the heights of hands follow from anywhere on the line."""
        plan, unload = self.layout.heights, self.layout.station("unload").option.equipment
        return Surroundings(
            self.inquiry.catalog.economics,
            self.inquiry.containers,
            Deck.of(plan, unload),
            self.line_mm,
        )

    def above_floor_mm(self, place: HandHeight, station: Station, index: int) -> tuple[float, ...]:
        """Heights of a place that is given by a word, for one format; none for a plain length.

        More than one where the place is a stack that is built up or taken down.
        """
        return self._around.above_floor_mm(place, station.option.equipment, index)

    # --- where people stand ------------------------------------------------------------------

    @cached_property
    def platforms_mm(self) -> tuple[float, ...]:
        """Height of the platform at each station; 0 where none is needed."""
        # What a section's scheme knows: the empties side its deck, the others not the line's level.
        empties = replace(self._around, line_mm=None)
        others = replace(empties, deck=None)
        return tuple(
            (empties if station.function in SECTIONS["empties"] else others).platform_mm(
                station.option.equipment
            )
            for station in self.layout.stations
        )

    def standing_mm(self, place: int, heights_mm: tuple[float, ...], *, platform: bool) -> float:
        """Surface that a person stands on for work at these heights above the floor [mm]."""
        platform_mm = self.platforms_mm[place]
        if not (platform and platform_mm and heights_mm):
            return 0.0
        if max(heights_mm) > self.inquiry.habits.overhead_mm:
            return platform_mm
        return platform_mm if min(heights_mm) - platform_mm >= LOWEST_FROM_PLATFORM_MM else 0.0

    def hands(self, place: int, task: Task) -> Hands | None:
        """Where hands work in a task, over all formats; None where the task says nothing of it."""
        if task.hands is None:
            return None
        station = self.layout.stations[place]
        # Who empties a stack reaches its highest and its lowest layer too.
        words = [task.hands, *(lift.origin for lift in task.lifts if lift.origin == "stack")]
        heights_mm = tuple(
            mm
            for index in range(len(self.inquiry.containers))
            for word in words
            for mm in self.above_floor_mm(word, station, index)
        )
        if not heights_mm:
            # A plain length counts from where the person stands, which is the floor.
            assert isinstance(task.hands, float)
            heights_mm = (float(task.hands),)
        standing_mm = self.standing_mm(place, heights_mm, platform=task.platform)
        return Hands(min(heights_mm), max(heights_mm), standing_mm)
