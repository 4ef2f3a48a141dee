"""From a layout and its crew to a simulated line: speeds confirmed, and how long machines wait.

What a layout says of its stations becomes a `LineModel` for one format:

- Each station keeps its speed, stops and tasks. Pallets, rolls, magazines, sheets and cases are
  crew work at the catalogue's intervals: the station goes on meanwhile, and waits where the next
  falls due before the last is done. How long a change of pallet itself keeps an unloader from
  working the catalogue does not say; its table carries the filler over it.
- Cans that the unloader's table holds stand between it (with its supply and guard) and what lowers
  them; a gathering table's cans stand before the packer. Behind the filler a piece of chain joins
  each station to the next. What sits on another machine (rinse, coder, doser, guard) has no room of
  its own, and what a pasteurizer holds is on its way through, not room to spare.
  Behind the packer the chain carries cases.
- Each person of the crew serves the stations of their post. Of a station that two posts share,
  whoever is free takes the call. Whoever is free helps out at a neighbour's station near by, unless
  they always attend one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from lineconfig.assess.crew import shares
from lineconfig.assess.waiting import Calls, OtherWork, stopped_wait_min
from lineconfig.choose.heights import stack_layers
from lineconfig.choose.inquiry import Inquiry
from lineconfig.connect.search import CATCH_UP
from lineconfig.connect.stations import BESIDE_THE_FLOW, SITS_ON_ANOTHER, cans_between
from lineconfig.layout import Layout, Station
from lineconfig.simulate import (
    PIECE_MIN,
    WALKING_M_PER_MIN,
    LineModel,
    PostModel,
    SimulationResult,
    StationModel,
    TaskModel,
    simulate_line,
)

SEED = 1
SHIFT_MIN = 480.0
SHIFTS = 12
"""Shifts that are simulated in all, shared among the formats."""
LEAST_SHIFTS = 2
"""For each format, whatever their number."""
WARMUP_MIN = 60.0
BATCHES = 10
ROOMY = frozenset({"unload", "gather"})
"""Functions whose `holds_cans` is room to spare between two stations."""
CHAIN = "table-top-straight"
HELPING_M = 6.0
"""How far from an own station one sees and hears what a neighbour needs [m]; from memory."""
MM_PER_M = 1000.0


@dataclass(frozen=True, slots=True)
class FormatSpeed:
    """One format's speed as simulated."""

    container: str
    """Id of the format."""
    estimate_cpm: float
    """The figure that ranks."""
    crew: SimulationResult
    """With the people of the layout."""
    unhindered: SimulationResult
    """The same stops after the same cans, with somebody at hand for each of them."""
    late_at: int
    """Index in the layout of the station that is kept waiting by people most."""

    @property
    def estimate_differs(self) -> float:
        """By how much the estimate is above the simulated speed, as a share of it."""
        return self.estimate_cpm / self.crew.throughput_cpm - 1

    @property
    def lost_to_waiting(self) -> float:
        """Share of the speed that waiting for people takes off."""
        return 1 - self.crew.throughput_cpm / self.unhindered.throughput_cpm


@dataclass(frozen=True, slots=True)
class Confirmation:
    """What the simulation says of one layout."""

    formats: tuple[FormatSpeed, ...]
    """In the order of the brief."""
    seed: int
    shifts: int
    """Eight-hour shifts simulated for each format."""


def confirm(inquiry: Inquiry, layout: Layout, seed: int = SEED) -> Confirmation:
    """Simulate a layout with its crew, format by format.

    Parameters
    ----------
    inquiry : what the layout was made for
    layout : the layout
    seed : of the random numbers
    """
    shifts = max(LEAST_SHIFTS, SHIFTS // len(inquiry.containers))
    formats = []
    for index, container in enumerate(inquiry.containers):
        line = line_model(inquiry, layout, index)
        with_crew, without = (
            simulate_line(one, shifts * SHIFT_MIN, WARMUP_MIN, seed, BATCHES)
            for one in (line, unhindered(line))
        )
        waiting = [shares.waiting for shares in with_crew.stations]
        late_at = stations_of(layout)[waiting.index(max(waiting))]
        formats.append(
            FormatSpeed(container.id, layout.speed.effective[index], with_crew, without, late_at)
        )
    return Confirmation(tuple(formats), seed, shifts)


def stations_of(layout: Layout) -> list[int]:
    """Indices of the layout's stations that are stations of the line model, in its order.

    Conveyors are room between stations.
    """
    return [
        number for number, station in enumerate(layout.stations) if station.function != "convey"
    ]


def line_model(inquiry: Inquiry, layout: Layout, index: int) -> LineModel:
    """A layout with its crew as a line to simulate.

    Parameters
    ----------
    inquiry : what the layout was made for
    layout : the layout
    index : of the format in the brief
    """
    chain = inquiry.catalog.classes[CHAIN]
    assert chain.size is not None
    joint_mm = float(inquiry.habits.joint_mm)
    joint_cans = chain.holds_cans * joint_mm / chain.size.length_mm
    cased_cans = inquiry.habits.cans_per_case * joint_mm / _case_length_mm(inquiry, index)
    flow = [layout.stations[number] for number in stations_of(layout)]
    fastest = max(s.rated_cpm[index] for s in flow if math.isfinite(s.rated_cpm[index]))
    stations: list[StationModel] = []
    buffers: list[float] = []
    room_cans = end_mm = begin_mm = 0.0
    behind_filler = packed = False
    for station in flow:
        in_flow = station.length_mm > 0 and station.function not in BESIDE_THE_FLOW
        joined = behind_filler and in_flow
        if in_flow:
            begin_mm = end_mm + (joint_mm if joined else 0.0)
            end_mm = begin_mm + station.length_mm
        if stations:
            carried = room_cans if station.function not in SITS_ON_ANOTHER else 0.0
            on_joint = cased_cans if packed else joint_cans
            buffers.append(carried + (on_joint if joined else 0.0))
            room_cans -= carried
        if station.function in ROOMY:
            room_cans += station.holds_cans
        stops = station.stop_min_per_can > 0
        stations.append(
            StationModel(
                speed_cpm=min(station.rated_cpm[index], CATCH_UP * fastest),
                cans_between_stops=1 / station.stops_per_can if stops else math.inf,
                clear_min=station.stop_min_per_can / station.stops_per_can if stops else 1.0,
                needs_person=stops and _needs_person(station),
                tasks=tuple(_tasks(inquiry, layout, station, index)),
                place_m=(begin_mm + end_mm) / 2 / MM_PER_M,
            )
        )
        behind_filler = behind_filler or station.function == "fill"
        packed = packed or station.function == "pack"
    numbers = {number: at for at, number in enumerate(stations_of(layout))}
    own = [tuple(numbers[n] for n in post.stations) for post in layout.crew.posts]
    places_m = [station.place_m for station in stations]
    posts = tuple(
        PostModel(mine, helps=() if post.always else _near(own, number, places_m))
        for number, (post, mine) in enumerate(zip(layout.crew.posts, own, strict=True))
    )
    return LineModel(tuple(stations), tuple(buffers), posts)


def _case_length_mm(inquiry: Inquiry, index: int) -> float:
    """Length of a packed case along the chain: its cans in rows, as nearly square as they go."""
    count = inquiry.habits.cans_per_case
    across = max(n for n in range(1, math.isqrt(count) + 1) if count % n == 0)
    board_mm = inquiry.catalog.economics.handling.case_board_mm
    return count / across * inquiry.containers[index].diameter_mm + board_mm


def _near(own: Sequence[Sequence[int]], number: int, places_m: Sequence[float]) -> tuple[int, ...]:
    """Stations of the posts before and behind that the people of a post see and hear."""
    mine = own[number]
    others = {at for post in own[max(0, number - 1) : number + 2] for at in post}.difference(mine)
    return tuple(
        sorted(
            at
            for at in others
            if min(abs(places_m[at] - places_m[near]) for near in mine) <= HELPING_M
        )
    )


def unhindered(line: LineModel) -> LineModel:
    """The line with somebody at hand for every stop, and no other work for them."""
    stations = tuple(replace(station, needs_person=False, tasks=()) for station in line.stations)
    return LineModel(stations, line.buffers_cans)


@dataclass(frozen=True, slots=True)
class PostWait:
    """How a post makes its stopped machines wait."""

    wait_min: float
    """From the stop until the person is there [min]."""
    share: float
    """Of the time that a machine stands, clearing included, 0 to 1."""


def post_waits(inquiry: Inquiry, layout: Layout) -> tuple[PostWait, ...]:
    """How long a stopped machine waits for the person of its post, by post.

    By finite-source queueing, with the walk there, at the format that makes them wait longest.

    Parameters
    ----------
    inquiry : what the layout was made for
    layout : the layout
    """
    by_format = [
        _waits(line_model(inquiry, layout, index), layout)
        for index in range(len(inquiry.containers))
    ]
    return tuple(
        max(waits, key=lambda wait: wait.wait_min) for waits in zip(*by_format, strict=True)
    )


def _waits(line: LineModel, layout: Layout) -> Iterator[PostWait]:
    taken = shares(layout.crew.posts, layout.crew.workloads)
    pace_cpm = min(station.speed_cpm for station in line.stations)
    for post, parts in zip(line.posts, taken, strict=True):
        minded = [
            (at, line.stations[at], part)
            for at, (_, part) in zip(post.stations, parts, strict=True)
        ]
        calls: list[Calls] = []
        before = -1
        for at, s, part in minded:
            if not s.needs_person or math.isinf(s.cans_between_stops):
                continue
            call = Calls(pace_cpm * part / s.cans_between_stops, s.clear_min)
            apart_cans = sum(line.buffers_cans[before:at]) if calls else math.inf
            if apart_cans < pace_cpm * s.clear_min:
                # They stop together, as one machine.
                call = _together(calls.pop(), call)
            calls.append(call)
            before = at
        others = [
            OtherWork(
                share=part * task.minutes * pace_cpm / task.every_cans,
                piece_min=PIECE_MIN,
                minutes=task.minutes,
            )
            for _, s, part in minded
            for task in s.tasks
        ]
        wait_min = stopped_wait_min(calls, others) + _walk_min([s.place_m for _, s, _ in minded])
        clearing = math.fsum(call.per_min * call.service_min for call in calls)
        waiting = math.fsum(call.per_min for call in calls) * wait_min
        yield PostWait(wait_min, waiting / (waiting + clearing) if calls else 0.0)


def _together(first: Calls, second: Calls) -> Calls:
    """Two machines that stop together, as one."""
    often = first.per_min + second.per_min
    minutes = first.per_min * first.service_min + second.per_min * second.service_min
    return Calls(often, minutes / often)


def _walk_min(places_m: list[float]) -> float:
    """Mean walk from one station of a post to another or the same [min]."""
    pairs = [abs(here - there) for here in places_m for there in places_m]
    return sum(pairs) / len(pairs) / WALKING_M_PER_MIN


def _needs_person(station: Station) -> bool:
    stops = station.option.equipment.stops
    return stops is not None and stops.person


def _tasks(inquiry: Inquiry, layout: Layout, station: Station, index: int) -> Iterator[TaskModel]:
    """The station's work with this format, as the crew was planned for it."""
    habits, container = inquiry.habits, inquiry.containers[index]
    form = inquiry.forms(layout.station("supply").option)[index]
    # Only the empties side sees how pallets come in; supply brings them whole.
    loads = layout.heights.loads_per_pallet[index] if station.function != "supply" else 1
    for task in station.option.equipment.attendance.tasks:
        if task.minutes > 0:
            cans = cans_between(
                task, container, form, loads, habits.cans_per_case, habits.cases_per_full_pallet
            )
            yield TaskModel(float(cans), float(task.minutes))
    split_min = float(habits.split_pallet_minutes) * (loads - 1)
    if station.function == "unload" and split_min > 0:
        cans = stack_layers(container, form) * container.pallet.per_layer
        yield TaskModel(cans, split_min)
