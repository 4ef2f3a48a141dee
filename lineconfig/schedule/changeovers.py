"""Minutes of a format change on a line, for each pair of formats."""

from __future__ import annotations

from collections.abc import Sequence

from lineconfig.catalog import Changeover
from lineconfig.containers import Container
from lineconfig.layout import Layout


def station_minutes(change: Changeover | None, one: Container, other: Container) -> float:
    """Minutes that a change from one format to another takes at a station [min].

    What differs adds up, and is never more than the most that the class states. A class that does
    not say what its minutes depend on takes them all in every change.
    """
    if change is None:
        return 0.0
    if change.by is None:
        return float(change.minutes)
    by = change.by
    causes = (
        (by.any_min, True),
        (by.diameter_min, one.diameter_mm != other.diameter_mm),
        (by.height_min, one.height_mm != other.height_mm),
        (by.end_min, one.end != other.end),
        (by.closing_min, one.closing != other.closing),
    )
    minutes = sum(float(cause) for cause, holds in causes if holds and cause is not None)
    return min(float(change.minutes), minutes)


def change_minutes(layout: Layout, one: Container, other: Container) -> float:
    """Minutes from the last can of one format to the first of the next [min].

    The line's people share the work, and no station is changed faster than by itself.
    """
    longest, work = 0.0, 0.0
    for station in layout.stations:
        change = station.option.equipment.changeover
        minutes = station_minutes(change, one, other)
        longest = max(longest, minutes)
        work += minutes * (change.persons if change else 0)
    return max(longest, work / layout.crew.people)


def change_matrix(layout: Layout, containers: Sequence[Container]) -> list[list[float]]:
    """Minutes of every change, from rows to columns; nothing on the diagonal [min]."""
    return [
        [0.0 if one is other else change_minutes(layout, one, other) for other in containers]
        for one in containers
    ]
