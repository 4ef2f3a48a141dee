"""Places: how high above the floor, and above the person's feet, hands work in one layout."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from lineconfig.assess.reaching import WORK_HEIGHTS
from lineconfig.catalog import HandHeight, Task
from lineconfig.choose.heights import stack_layers
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.options import Option
from lineconfig.containers import Container, SupplyForm
from lineconfig.layout import Layout, Station
from lineconfig.quantities import Span

PLATFORM_HANDS_MM = (WORK_HEIGHTS["light"].low_mm + WORK_HEIGHTS["light"].high_mm) / 2
"""Height of the hands above a platform that is built for a place: middle of the range for light
work. [mm]"""

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

    def above_floor_mm(self, place: HandHeight, station: Station, index: int) -> tuple[float, ...]:
        """Heights of a place that is given by a word, for one format; none for a plain length.

        More than one where the place is a stack that is built up or taken down.
        """
        can = self.inquiry.containers[index]
        plan, heights = self.layout.heights, station.option.equipment.heights
        match place:
            case "deck":
                return (plan.deck_mm,)
            case "deck-top":
                return (plan.deck_mm + can.height_mm,)
            case "lip":
                lip_mm = self.layout.station("unload").option.equipment.heights.lip_mm
                return (plan.deck_mm + (lip_mm or 0.0),)
            case "tipped":
                return (max(plan.hands_mm, plan.deck_mm),)
            case "stack":
                return self._stack_mm(can, self.forms[index])
            case "stack-top":
                if self.supply.has("keeps-layer-level"):
                    return (plan.deck_mm + can.height_mm,)
                layers = stack_layers(can, self.forms[index])
                return (can.pallet.base_mm + layers * (can.height_mm + can.pallet.sheet_mm),)
            case "stack-base":
                return (float(can.pallet.base_mm),)
            case "infeed":
                return (_within(self.line_mm, heights.infeed_mm),)
            case "discharge":
                return (_within(self.line_mm, heights.discharge_mm),)
            case "pallet-stack":
                return self._pallet_mm(can)
        return ()

    def _stack_mm(self, can: Container, form: SupplyForm) -> tuple[float, ...]:
        """Where the layers of a stack of empties stand."""
        if self.supply.has("keeps-layer-level"):
            return (self.layout.heights.deck_mm,)
        pitch_mm = can.height_mm + can.pallet.sheet_mm
        return tuple(
            can.pallet.base_mm + layer * pitch_mm for layer in range(stack_layers(can, form))
        )

    def _pallet_mm(self, can: Container) -> tuple[float, ...]:
        """Where the layers of cases stand on a shipping pallet."""
        habits, handling = self.inquiry.habits, self.inquiry.catalog.economics.handling
        layers = math.ceil(habits.cases_per_full_pallet / handling.cases_per_layer)
        pitch_mm = can.height_mm + handling.case_board_mm
        return tuple(handling.shipping_pallet_height_mm + k * pitch_mm for k in range(layers))

    # --- where people stand ------------------------------------------------------------------

    @cached_property
    def platforms_mm(self) -> tuple[float, ...]:
        """Height of the platform at each station; 0 where none is needed.

        A platform brings the lowest work that is overhead from the floor to a good height, and
        the highest within reach.
        """
        return tuple(self._platform_mm(station) for station in self.layout.stations)

    def _platform_mm(self, station: Station) -> float:
        overhead_mm = float(self.inquiry.habits.overhead_mm)
        raised = [
            heights
            for heights in self._from_platform(station)
            if heights and max(heights) > overhead_mm
        ]
        if not raised:
            return 0.0
        lowest_mm = min(min(heights) for heights in raised)
        highest_mm = max(max(heights) for heights in raised)
        return max(0.0, lowest_mm - PLATFORM_HANDS_MM, highest_mm - overhead_mm)

    def _from_platform(self, station: Station) -> Iterator[tuple[float, ...]]:
        """Heights of every piece of work that may be done from a platform at a station."""
        for task in station.option.equipment.attendance.tasks:
            for index in range(len(self.inquiry.containers)):
                if task.platform and task.hands is not None:
                    yield self.above_floor_mm(task.hands, station, index)
                for lift in task.lifts:
                    if lift.platform:
                        starts = self.above_floor_mm(lift.origin, station, index)
                        ends = self.above_floor_mm(lift.destination, station, index)
                        for start in starts or (None,):
                            for end in ends or (None,):
                                yield tuple(mm for mm in (start, end) if mm is not None)

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
        heights_mm = tuple(
            mm
            for index in range(len(self.inquiry.containers))
            for mm in self.above_floor_mm(task.hands, station, index)
        )
        if not heights_mm:
            # A plain length counts from where the person stands, which is the floor.
            assert isinstance(task.hands, float)
            heights_mm = (float(task.hands),)
        standing_mm = self.standing_mm(place, heights_mm, platform=task.platform)
        return Hands(min(heights_mm), max(heights_mm), standing_mm)


def _within(level_mm: float, span: Span | None) -> float:
    return level_mm if span is None else min(max(level_mm, span.least), span.most)
