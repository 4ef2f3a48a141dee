"""A layout: the stations of one line in flow order, and the figures that are computed for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lineconfig.assess.crew import Post
from lineconfig.assess.money import Range
from lineconfig.catalog import Function, Stops
from lineconfig.choose.heights import HeightPlan
from lineconfig.choose.options import Option

CHAIN, BEND = "table-top-straight", "table-top-bend"
"""Classes of the table-top chain between machines: straight pieces by the metre, quarter turns."""


@dataclass(frozen=True, slots=True)
class OwnedParts:
    """Change parts of one kind that the client must own."""

    part: str
    count: int
    serves: tuple[str, ...]
    """What each of them is for: formats, diameters, heights, ends or closings."""
    price: Range
    """Of all of them together."""


@dataclass(frozen=True, slots=True)
class Recurring:
    """Work at a station that comes back with the cans."""

    every_cans: float
    """Cans from one time to the next."""
    minutes: float
    """How long it takes one person [min]; none where the machine does it by itself."""
    standing_min: float = 0.0
    """How long the station stands for it [min]; of a person's work, its beginning."""


@dataclass(frozen=True, eq=False)
class Station:
    """One function of the line as built: a class, how many of it, and what that means."""

    function: Function
    option: Option
    quantity: float
    """Pieces; pieces of its class's length for straight chain."""
    price: Range
    """Machines and tracks; nothing where the client owns it."""
    parts: tuple[OwnedParts, ...]
    rated_cpm: tuple[float, ...]
    """By format; infinite for a choice without a machine."""
    minutes_per_can: tuple[float, ...]
    """Work of people by format [person-min/can], calls to stops included."""
    stops_per_can: tuple[float, ...]
    """Stops by format, as the speed counts them [1/can]."""
    stop_min_per_can: tuple[float, ...]
    """Mean standstill that each can brings, waits for people included, by format [min/can]."""
    length_mm: float
    """Along the flow; zero for what sits on another machine."""
    width_mm: float
    height_mm: float
    area_m2: float
    """Floor with its clearances."""
    infeed_mm: float | None
    discharge_mm: float | None
    power_kw: float
    water_l_min: float
    air_l_min: float
    yearly: Mapping[str, float]
    """Yearly cost by heading that does not depend on hours [currency]."""
    changeover_min: float
    """Minutes at the station for the longest change among the formats."""
    changeover_person_min: float
    """Person-minutes at the station for it."""
    tasks: tuple[tuple[Recurring, ...], ...]
    """What people do at it while it runs, by format; calls to stops are not among them."""
    spare_cans: int | None = None
    """Cans that it holds between its ends, where that is not its class's figure."""

    @property
    def faults(self) -> Stops | None:
        """Its short stops after so many cans; None where it has none worth counting."""
        stops = self.option.equipment.stops
        return stops if stops is not None and stops.minutes > 0 else None

    def stands_per_can(self, index: int) -> float:
        """How often it stands with a format: short stops, and changes of pallet or roll [1/can]."""
        often = sum(1 / task.every_cans for task in self.tasks[index] if task.standing_min > 0)
        return often + (1 / self.faults.every_cans if self.faults is not None else 0.0)

    @property
    def calls_person(self) -> bool:
        """Whether somebody must come to clear such a stop."""
        return self.faults is not None and self.faults.person

    @property
    def always(self) -> bool:
        """Whether one person never leaves it."""
        return self.option.equipment.attendance.always

    @property
    def first_cost(self) -> Range:
        """Machines, tracks and change parts [currency]."""
        result = self.price
        for parts in self.parts:
            result = result + parts.price
        return result

    @property
    def holds_cans(self) -> int:
        """Cans that it holds between its ends."""
        if self.spare_cans is not None:
            return self.spare_cans
        return self.option.equipment.holds_cans

    @property
    def by_length(self) -> bool:
        """Whether its quantity is a length: straight chain."""
        return self.option.id == CHAIN


@dataclass(frozen=True, slots=True)
class SpeedFigures:
    """Speeds of a line [cpm]; tuples are by format."""

    rated: tuple[float, ...]
    lower: tuple[float, ...]
    """Without any buffer."""
    effective: tuple[float, ...]
    """The figure that ranks."""
    upper: tuple[float, ...]
    """With buffers without end."""


@dataclass(frozen=True, slots=True)
class CrewFigures:
    """People on shift and their posts."""

    people: int
    posts: tuple[Post, ...]
    workloads: tuple[float, ...]
    """By station [person-minutes per minute]."""
    minded: tuple[int, ...]
    """Indices of the stations in the order in which people mind them, post after post: a coder
    behind the filler is seen to from the end of the filling side, wherever it prints."""


@dataclass(frozen=True, slots=True)
class MoneyFigures:
    """Costs of a line [currency, currency/year]."""

    equipment: Range
    first_cost: Range
    """Equipment and parts with freight, installation, training and contingency."""
    annual: Mapping[str, float]
    """By heading."""
    life_cycle_cost: Range
    cost_per_1000_cans: float
    run_hours: float
    changeover_hours: float
    hours: float
    """Running, starting, cleaning and changing over in a year [h]."""

    @property
    def annual_total(self) -> float:
        """All yearly costs."""
        return sum(self.annual.values())


@dataclass(frozen=True, slots=True)
class HighestPoint:
    """What of a line stands highest above the floor, and so needs the clear height."""

    height_mm: float
    station: int
    """Index of the station that it belongs to."""
    stack: bool
    """Whether it is a stack of empties, not the machine."""


@dataclass(frozen=True, slots=True)
class FloorFigures:
    """Floor before a plan is drawn."""

    length_mm: float
    """Stretched out, joints included."""
    widest_mm: float
    area_m2: float


@dataclass(frozen=True, slots=True)
class UtilityFigures:
    """Connected and peak utilities."""

    power_kw: float
    water_l_min: float
    air_l_min: float
    amperes: float | None
    """At the site's voltage, with simultaneity; None where the brief states no connection."""


@dataclass(frozen=True, eq=False)
class Layout:
    """One valid line with its figures."""

    id: str
    family: str
    """Unloader and lowering class: the kind of arrangement."""
    title: str
    stations: tuple[Station, ...]
    """What is there, in flow order; functions that the line does without are left out."""
    classes: tuple[str, ...]
    """Chosen class ids section by section, choices without a machine included."""
    infeed_mm: float
    heights: HeightPlan
    highest: HighestPoint
    speed: SpeedFigures
    crew: CrewFigures
    money: MoneyFigures
    floor: FloorFigures
    utilities: UtilityFigures
    changeover_min: float
    """From the last can of one format to the first of the next."""
    changeover_person_min: float
    layer_interval_min: tuple[float, ...]
    pallet_interval_min: tuple[float, ...]

    @property
    def highest_name(self) -> str:
        """What stands highest, in words."""
        if self.highest.stack:
            return "stack of empties"
        return self.stations[self.highest.station].option.equipment.name

    @property
    def change(self) -> Recurring:
        """The work for which the unloader stands longest, as at a change of load."""
        work = [task for tasks in self.station("unload").tasks for task in tasks]
        return max(work, key=lambda task: task.standing_min, default=Recurring(1.0, 0.0))

    @property
    def carried_min(self) -> float:
        """How long the unloader's full table feeds the fastest format at rated speed [min]."""
        return self.station("unload").holds_cans / max(self.speed.rated)

    def station(self, function: str) -> Station:
        """The station that serves a function.

        Raises KeyError for a function that the line does without.
        """
        for station in self.stations:
            if station.function == function:
                return station
        raise KeyError(function)
