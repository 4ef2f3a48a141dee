"""From a layout and its crew to a simulated line: speeds confirmed, and how long machines wait.

What a layout says of its stations becomes a `LineModel` for one format:

- Each station keeps its speed, stops and tasks. Pallets, rolls, magazines, sheets and cases are
  crew work at the catalogue's intervals. For a change of pallet or roll the station stands as long
  as the catalogue says, and an unloader's table carries the filler over it; otherwise the station
  goes on meanwhile, and waits where the next falls due before the last is done.
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
from collections.abc import Sequence
from dataclasses import dataclass, replace

from lineconfig import minding
from lineconfig.choose.inquiry import Inquiry
from lineconfig.connect.search import CATCH_UP
from lineconfig.layout import Layout
from lineconfig.minding import PostWait, joint_of, spots
from lineconfig.simulate import (
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
HELPING_M = 6.0
"""How far from an own station one sees and hears what a neighbour needs [m]; from memory."""


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
    flow = stations_of(layout)
    fastest = max(cpm for n in flow if math.isfinite(cpm := layout.stations[n].rated_cpm[index]))
    places = spots(layout.stations, joint_of(inquiry), index)
    stations = []
    for number in flow:
        station = layout.stations[number]
        faults = station.faults
        stations.append(
            StationModel(
                speed_cpm=min(station.rated_cpm[index], CATCH_UP * fastest),
                cans_between_stops=float(faults.every_cans) if faults else math.inf,
                clear_min=float(faults.minutes) if faults else 1.0,
                needs_person=station.calls_person,
                tasks=tuple(
                    TaskModel(task.every_cans, task.minutes, task.standing_min)
                    for task in station.tasks[index]
                ),
                place_m=places[number].place_m,
            )
        )
    buffers = tuple(places[number].room_cans for number in flow[1:])
    numbers = {number: at for at, number in enumerate(flow)}
    own = [tuple(numbers[n] for n in post.stations) for post in layout.crew.posts]
    # Whoever always attends a station neither helps nor keeps others from helping past them.
    able = [mine for post, mine in zip(layout.crew.posts, own, strict=True) if not post.always]
    places_m = [station.place_m for station in stations]
    posts = tuple(
        PostModel(mine, helps=() if post.always else _near(able, able.index(mine), places_m))
        for post, mine in zip(layout.crew.posts, own, strict=True)
    )
    return LineModel(tuple(stations), buffers, posts)


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
    stations = tuple(
        replace(
            station,
            needs_person=False,
            tasks=tuple(
                replace(task, minutes=0.0) for task in station.tasks if task.standing_min > 0
            ),
        )
        for station in line.stations
    )
    return LineModel(stations, line.buffers_cans)


def post_waits(inquiry: Inquiry, layout: Layout) -> tuple[PostWait, ...]:
    """How long a stopped machine waits for the person of its post, by post.

    By finite-source queueing, with the walk there, at the format that makes them wait longest.

    Parameters
    ----------
    inquiry : what the layout was made for
    layout : the layout
    """
    crew, joint = layout.crew, joint_of(inquiry)
    by_format = [
        minding.post_waits(layout.stations, crew.posts, crew.workloads, joint, index)
        for index in range(len(inquiry.containers))
    ]
    return tuple(
        max(waits, key=lambda wait: wait.wait_min) for waits in zip(*by_format, strict=True)
    )
