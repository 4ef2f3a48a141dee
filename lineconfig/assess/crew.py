"""Crew: the fewest people who can run a line, each minding neighbouring stations.

A station's workload is the share of one person's time that its tasks take while the line runs
[person-minutes per minute]. People serve stretches of neighbouring stations, so that nobody walks
past a colleague's post. Work of one station that is more than one person's is shared between people
beside each other; a station that somebody must always attend takes one whole person.
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
    """Indices of the stations, in flow order."""
    workload: float
    """Share of the person's time that is taken by tasks, 0 to 1."""
    always: bool = False
    """Whether the person never leaves the station."""


@dataclass(frozen=True, slots=True)
class Roster:
    """A partly filled roster: people so far, and how much of the last one's time is taken."""

    people: int
    taken: float


def empty_roster(allowed: float) -> Roster:
    """A roster before the first station: nobody, so nobody with time left."""
    return Roster(0, allowed)


def extend(roster: Roster, workload: float, always: bool, allowed: float) -> Roster:
    """The best roster after one more station.

    Best means fewest people and, among equals, the last of them least taken; the two never trade
    off, since a fresh person could always be added, so that keeping only this one state is exact.
    """
    if always:
        return Roster(roster.people + 1, allowed)
    total = roster.taken + workload
    if total <= allowed + _SLACK:
        return Roster(roster.people, total)
    if workload <= allowed + _SLACK:
        return Roster(roster.people + 1, workload)
    more = math.ceil((total - _SLACK) / allowed) - 1
    return Roster(roster.people + more, total - more * allowed)


def people_needed(
    workloads: Sequence[float], always: Sequence[bool], allowed: float, start: Roster | None = None
) -> Roster:
    """The roster after these stations, fewest people first [people, share of the last one].

    Parameters
    ----------
    workloads : by station in flow order [person-minutes per minute]
    always : by station, whether somebody must always be there
    allowed : share of a person's time that may be planned, 0 to 1
    start : the roster of the stations before these
    """
    roster = start or empty_roster(allowed)
    for workload, attended in zip(workloads, always, strict=True):
        roster = extend(roster, workload, attended, allowed)
    return roster


def posts(workloads: Sequence[float], always: Sequence[bool], allowed: float) -> tuple[Post, ...]:
    """Who minds what in the smallest crew; stations without work are in nobody's post.

    The number of posts equals `people_needed(...).people`.
    """
    made: list[Post] = []
    stations: list[int] = []
    taken = 0.0
    open_post = False

    def close() -> None:
        nonlocal stations, taken, open_post
        if open_post:
            made.append(Post(tuple(stations), taken))
        stations, taken, open_post = [], 0.0, False

    for index, (workload, attended) in enumerate(zip(workloads, always, strict=True)):
        if attended:
            close()
            made.append(Post((index,), max(1.0, workload), always=True))
            continue
        if workload <= 0:
            continue
        rest = workload
        if open_post and taken + rest > allowed + _SLACK:
            if workload > allowed + _SLACK and taken < allowed - _SLACK:
                stations.append(index)
                rest -= allowed - taken
                taken = allowed
            close()
        while rest > allowed + _SLACK:
            made.append(Post((index,), allowed))
            rest -= allowed
        if rest > 0:
            stations.append(index)
            taken += rest
            open_post = True
    close()
    return tuple(made)
