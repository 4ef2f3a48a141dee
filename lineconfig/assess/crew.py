"""Crew: the fewest people who can run a line, each minding neighbouring stations.

A station's workload is the share of one person's time that its tasks take while the line runs
[person-minutes per minute]. People serve stretches of neighbouring stations, not too many of
them, so that nobody walks past a colleague's post; where two stretches meet, both people may
share the tasks of the station between them. A station that somebody must always attend takes one
whole person.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Post:
    """One person's stretch of the line."""

    stations: tuple[int, ...]
    """Indices of the stations, in the order in which they are minded."""
    workload: float
    """Share of the person's time that is taken by tasks, 0 to 1."""
    always: bool = False
    """Whether the person never leaves the station."""


@dataclass(frozen=True, slots=True)
class Habits:
    """How much one person may be planned with."""

    allowed: float
    """Share of a person's time that may be planned with tasks, 0 to 1."""
    most_stations: int
    """Stations with work that one person may mind: beyond that the walks are too long."""


@dataclass(frozen=True, slots=True)
class Roster:
    """A partly filled roster: people so far, and what the last of them has taken on."""

    people: int
    taken: float
    stations: int


def empty_roster(habits: Habits) -> Roster:
    """A roster before the first station: nobody, so nobody with time left."""
    return Roster(0, habits.allowed, habits.most_stations)


def extend(roster: Roster, workload: float, always: bool, habits: Habits) -> Roster:
    """The best roster after one more station.

    The last person takes on as much of the station as time and stations allow, further people the
    rest. Each post then ends as far down the line as it can, so that people, time and stations are
    least at once, and keeping only this one state is exact; for the same reason less work anywhere
    never takes more people.
    """
    if always:
        return Roster(roster.people + 1, habits.allowed, habits.most_stations)
    if workload <= _SLACK:
        return roster
    free = habits.allowed - roster.taken if roster.stations < habits.most_stations else 0.0
    if workload <= free + _SLACK:
        return Roster(roster.people, roster.taken + workload, roster.stations + 1)
    rest = workload - max(0.0, free)
    more = math.ceil((rest - _SLACK) / habits.allowed)
    return Roster(roster.people + more, rest - (more - 1) * habits.allowed, 1)


def people_needed(
    workloads: Sequence[float],
    always: Sequence[bool],
    habits: Habits,
    start: Roster | None = None,
) -> Roster:
    """The roster after these stations, fewest people first.

    Parameters
    ----------
    workloads : by station in flow order [person-minutes per minute]
    always : by station, whether somebody must always be there
    habits : how much one person may be planned with
    start : the roster of the stations before these
    """
    roster = start or empty_roster(habits)
    for workload, attended in zip(workloads, always, strict=True):
        roster = extend(roster, workload, attended, habits)
    return roster


def posts(workloads: Sequence[float], always: Sequence[bool], habits: Habits) -> tuple[Post, ...]:
    """Who minds what in the smallest crew; stations without work are in nobody's post.

    The number of posts equals `people_needed(...).people`.
    """
    made: list[Post] = []
    stations: list[int] = []
    taken = 0.0
    allowed = habits.allowed

    def close() -> None:
        nonlocal stations, taken
        if stations:
            made.append(Post(tuple(stations), taken))
        stations, taken = [], 0.0

    for index, (workload, attended) in enumerate(zip(workloads, always, strict=True)):
        if attended:
            close()
            made.append(Post((index,), max(1.0, workload), always=True))
            continue
        if workload <= _SLACK:
            continue
        free = allowed - taken if stations and len(stations) < habits.most_stations else 0.0
        rest = workload
        if workload > free + _SLACK:
            if free > _SLACK:
                stations.append(index)
                taken, rest = allowed, workload - free
            close()
            while rest > allowed + _SLACK:
                made.append(Post((index,), allowed))
                rest -= allowed
        stations.append(index)
        taken += rest
    close()
    return tuple(made)


def shares(
    posts: Sequence[Post], workloads: Sequence[float]
) -> tuple[tuple[tuple[int, float], ...], ...]:
    """How much of each station's work each post has taken on, by post: (station, share of 0 to 1).

    Parameters
    ----------
    posts : as `posts` makes them, in flow order
    workloads : by station, as the posts were made from [person-minutes per minute]
    """
    left = list(workloads)
    result = []
    for post in posts:
        free = post.workload
        taken = []
        for index in post.stations:
            part = left[index] if post.always else min(left[index], free)
            free -= part
            left[index] -= part
            taken.append((index, part / workloads[index] if workloads[index] else 1.0))
        result.append(tuple(taken))
    return tuple(result)
