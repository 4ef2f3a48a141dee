"""Waits for people: how long a stopped station stands before the person of its post is there.

A stop that calls somebody lasts until they come and then until it is cleared. How long they take to
come follows from what else they have in hand: other stopped machines of the post, the piece of a
task, and the walk. The speed that ranks counts one usual wait for every such stop; here they are
worked out post by post.

Where stations stand, and what room for cans lies between them, is what a line is simulated with.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce

from lineconfig.assess.crew import Post, shares
from lineconfig.assess.waiting import (
    PIECE_MIN,
    WALKING_M_PER_MIN,
    Calls,
    OtherWork,
    stopped_wait_min,
)
from lineconfig.catalog import Function
from lineconfig.choose.inquiry import Inquiry
from lineconfig.connect.stations import BESIDE_THE_FLOW, SITS_ON_ANOTHER
from lineconfig.layout import Station

ROOMY: frozenset[Function] = frozenset({"unload", "gather"})
"""Functions whose `holds_cans` is room to spare between two stations."""
CHAIN = "table-top-straight"
MM_PER_M = 1000.0


@dataclass(frozen=True, slots=True)
class Joint:
    """The piece of chain that leads to a machine behind the filler."""

    length_mm: float
    holds_cans: float
    """Single cans that stand on it."""
    cased_cans: tuple[float, ...]
    """Cans in the cases that stand on it, by format."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a station stands."""

    place_m: float
    """Along the line, where a person stands to see to it [m]."""
    room_cans: float
    """What goes between the station before and this one [cans]."""


@dataclass(frozen=True, slots=True)
class PostWait:
    """How a post makes its stopped machines wait."""

    wait_min: float
    """From the stop until the person is there [min]."""
    share: float
    """Of the time that a machine stands, clearing included, 0 to 1."""


def joint_of(inquiry: Inquiry) -> Joint:
    """The chain between machines, as the habits and the chain's class say."""
    chain, habits = inquiry.catalog.classes[CHAIN], inquiry.habits
    assert chain.size is not None
    length_mm = float(habits.joint_mm)
    count = habits.cans_per_case
    # Cans stand in rows, as nearly square as they go, and the case travels lengthwise.
    across = max(n for n in range(1, math.isqrt(count) + 1) if count % n == 0)
    board_mm = inquiry.catalog.economics.handling.case_board_mm
    return Joint(
        length_mm,
        chain.holds_cans * length_mm / chain.size.length_mm,
        tuple(
            count * length_mm / (count / across * can.diameter_mm + board_mm)
            for can in inquiry.containers
        ),
    )


def spots(stations: Sequence[Station], joint: Joint, index: int) -> list[Spot]:
    """Where stations stand, in flow order; conveyors are room and stand nowhere themselves.

    Parameters
    ----------
    stations : of one line in flow order, conveyors among them
    joint : the chain between machines
    index : of the format in the brief
    """
    made: list[Spot] = []
    waiting_cans = end_mm = begin_mm = 0.0
    behind_filler = packed = False
    for station in stations:
        if station.function == "convey":
            made.append(Spot(end_mm / MM_PER_M, 0.0))
            continue
        in_flow = station.length_mm > 0 and station.function not in BESIDE_THE_FLOW
        joined = behind_filler and in_flow
        if in_flow:
            begin_mm = end_mm + (joint.length_mm if joined else 0.0)
            end_mm = begin_mm + station.length_mm
        carried = waiting_cans if station.function not in SITS_ON_ANOTHER else 0.0
        on_joint = joint.cased_cans[index] if packed else joint.holds_cans
        made.append(
            Spot((begin_mm + end_mm) / 2 / MM_PER_M, carried + (on_joint if joined else 0.0))
        )
        waiting_cans -= carried
        if station.function in ROOMY:
            waiting_cans += station.holds_cans
        behind_filler = behind_filler or station.function == "fill"
        packed = packed or station.function == "pack"
    return made


def post_waits(
    stations: Sequence[Station],
    posts: Sequence[Post],
    workloads: Sequence[float],
    joint: Joint,
    index: int,
) -> tuple[PostWait, ...]:
    """How long a stopped machine waits for the person of its post, by post.

    By finite-source queueing, with the walk there, at rated speed.

    Parameters
    ----------
    stations : of one line in flow order
    posts : who minds what
    workloads : by station, as the posts were made from [person-minutes per minute]
    joint : the chain between machines
    index : of the format in the brief
    """
    places = spots(stations, joint, index)
    pace_cpm = min(station.rated_cpm[index] for station in stations)
    # What stands between two stations, from the sums of all room before them.
    rooms, before = [], 0.0
    for spot in places:
        before += spot.room_cans
        rooms.append(before)
    return tuple(
        _wait(stations, places, rooms, sorted(parts), pace_cpm, index)
        for parts in shares(posts, workloads)
    )


def _wait(
    stations: Sequence[Station],
    places: Sequence[Spot],
    rooms: Sequence[float],
    parts: Sequence[tuple[int, float]],
    pace_cpm: float,
    index: int,
) -> PostWait:
    calls: list[Calls] = []
    last = -1
    for at, part in parts:
        station = stations[at]
        call = _calls(station, pace_cpm * part, index)
        if call is None:
            continue
        service_min = call.service_min
        if calls and rooms[at] - rooms[last] < pace_cpm * service_min:
            # They stop together, as one machine.
            call = _together(calls.pop(), call)
        calls.append(call)
        last = at
    others = [
        OtherWork(
            share=part * goes_on_min * pace_cpm / task.every_cans,
            piece_min=PIECE_MIN,
            minutes=goes_on_min,
        )
        for at, part in parts
        for task in stations[at].tasks[index]
        if (goes_on_min := task.minutes - task.standing_min) > 0
    ]
    wait_min = stopped_wait_min(calls, others) + _walk_min([places[at].place_m for at, _ in parts])
    clearing = math.fsum(call.per_min * call.service_min for call in calls)
    waiting = math.fsum(call.per_min for call in calls) * wait_min
    return PostWait(wait_min, waiting / (waiting + clearing) if calls else 0.0)


def _calls(station: Station, cpm: float, index: int) -> Calls | None:
    """Stops of a station that somebody must come to, changes for which it stands among them."""
    calls = [
        Calls(cpm / task.every_cans, task.standing_min)
        for task in station.tasks[index]
        if task.standing_min > 0 and task.minutes > 0
    ]
    if station.faults is not None and station.faults.person:
        calls.append(Calls(cpm / station.faults.every_cans, float(station.faults.minutes)))
    return reduce(_together, calls) if calls else None


def _together(first: Calls, second: Calls) -> Calls:
    """Two machines that stop together, as one."""
    often = first.per_min + second.per_min
    minutes = first.per_min * first.service_min + second.per_min * second.service_min
    return Calls(often, minutes / often)


def _walk_min(places_m: Sequence[float]) -> float:
    """Mean walk from one station of a post to another or the same [min]."""
    pairs = [abs(here - there) for here in places_m for there in places_m]
    return sum(pairs) / len(pairs) / WALKING_M_PER_MIN
