"""Standing: the heights at which hands work at a class, and the platform that these call for.

Known from a section's scheme already, so that the floor of a platform counts in the search.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lineconfig.assess.reaching import WORK_HEIGHTS
from lineconfig.catalog import EquipmentClass, HandHeight
from lineconfig.choose.heights import HeightPlan
from lineconfig.containers import Container
from lineconfig.economics import Economics
from lineconfig.quantities import Span

PLATFORM_HANDS_MM = (WORK_HEIGHTS["light"].low_mm + WORK_HEIGHTS["light"].high_mm) / 2
"""Height of the hands above a platform that is built for a place: middle of the range for light
work. [mm]"""


@dataclass(frozen=True, slots=True)
class Deck:
    """What the empties side says of the places where hands work."""

    deck_mm: float
    hands_mm: float
    """Highest point that hands reach at an unloader that is loaded by hand; 0 for others. [mm]"""
    lip_mm: float
    """How far the unloader's lip stands above its deck. [mm]"""
    taken_mm: tuple[tuple[float, ...], ...]
    """Heights at which the layers of a load are taken, by format. [mm]"""
    top_frame_mm: tuple[float, ...]
    """Height at which the top frame comes off a stack, by format. [mm]"""

    @classmethod
    def of(cls, plan: HeightPlan, unload: EquipmentClass) -> Deck:
        """The places of one combination's heights."""
        lip_mm = float(unload.heights.lip_mm or 0.0)
        return cls(plan.deck_mm, plan.hands_mm, lip_mm, plan.taken_mm, plan.top_frame_mm)


@dataclass(frozen=True, eq=False)
class Surroundings:
    """What the heights of hands at one station follow from."""

    economics: Economics
    containers: Sequence[Container]
    deck: Deck | None = None
    """None beyond the empties side."""
    line_mm: float | None = None
    """Level at which the line runs behind the filler; None where it is not known."""

    def above_floor_mm(
        self, place: HandHeight, equipment: EquipmentClass, index: int
    ) -> tuple[float, ...]:
        """Heights of a place that is given by a word, for one format.

        None for a plain length and for a place that these surroundings do not know; more than one
        where the place is a stack that is built up or taken down.
        """
        can, deck = self.containers[index], self.deck
        match place:
            case "stack-base":
                return (float(can.pallet.base_mm),)
            case "infeed":
                return self._level_mm(equipment.heights.infeed_mm)
            case "discharge":
                return self._level_mm(equipment.heights.discharge_mm)
            case "pallet-stack":
                return self._pallet_mm(can)
        if deck is None:
            return ()
        match place:
            case "deck":
                return (deck.deck_mm,)
            case "deck-top":
                return (deck.deck_mm + can.height_mm,)
            case "lip":
                return (deck.deck_mm + deck.lip_mm,)
            case "tipped":
                return (max(deck.hands_mm, deck.deck_mm),)
            case "stack":
                return deck.taken_mm[index]
            case "stack-top":
                return (deck.top_frame_mm[index],)
        return ()

    def _level_mm(self, span: Span | None) -> tuple[float, ...]:
        if span is None:
            return () if self.line_mm is None else (self.line_mm,)
        if self.line_mm is None:
            return (span.least,)
        return (min(max(self.line_mm, span.least), span.most),)

    def _pallet_mm(self, can: Container) -> tuple[float, ...]:
        """Where the layers of cases stand on a shipping pallet."""
        habits, handling = self.economics.habits, self.economics.handling
        layers = math.ceil(habits.cases_per_full_pallet / handling.cases_per_layer)
        pitch_mm = can.height_mm + handling.case_board_mm
        return tuple(handling.shipping_pallet_height_mm + k * pitch_mm for k in range(layers))

    def platform_mm(self, equipment: EquipmentClass) -> float:
        """Height of the platform that a class needs here [mm]; 0 where none is needed.

        A platform brings the lowest work that is overhead from the floor to a good height, and
        the highest within reach.
        """
        overhead_mm = float(self.economics.habits.overhead_mm)
        raised = [
            heights
            for heights in self._from_platform(equipment)
            if heights and max(heights) > overhead_mm
        ]
        if not raised:
            return 0.0
        lowest_mm = min(min(heights) for heights in raised)
        highest_mm = max(max(heights) for heights in raised)
        return max(0.0, lowest_mm - PLATFORM_HANDS_MM, highest_mm - overhead_mm)

    def _from_platform(self, equipment: EquipmentClass) -> Iterator[tuple[float, ...]]:
        """Heights of every piece of work that may be done from a platform."""
        for task in equipment.attendance.tasks:
            for index in range(len(self.containers)):
                if task.platform and task.hands is not None:
                    yield self.above_floor_mm(task.hands, equipment, index)
                for lift in task.lifts:
                    if lift.platform:
                        starts = self.above_floor_mm(lift.origin, equipment, index)
                        ends = self.above_floor_mm(lift.destination, equipment, index)
                        for start in starts or (None,):
                            for end in ends or (None,):
                                yield tuple(mm for mm in (start, end) if mm is not None)


def may_need_platform(equipment: EquipmentClass) -> bool:
    """Whether any work at a class is done from a platform where hands would be overhead."""
    return any(
        task.platform or any(lift.platform for lift in task.lifts)
        for task in equipment.attendance.tasks
    )
