"""Minutes of a format change on a line, for each pair of formats."""

from __future__ import annotations

from collections.abc import Sequence

from lineconfig.assess.changeover import differences, line_change_min
from lineconfig.connect.stations import change_of, shape_of
from lineconfig.containers import Container
from lineconfig.layout import Layout


def change_minutes(layout: Layout, one: Container, other: Container) -> float:
    """Minutes from the last can of one format to the first of the next [min].

    The line's people share the work, and no station is changed faster than by itself.
    """
    differing = differences(shape_of(one), shape_of(other))
    changes = [change_of(station.option.equipment) for station in layout.stations]
    minutes = [change.minutes(differing) for change in changes]
    work = [each * change.persons for each, change in zip(minutes, changes, strict=True)]
    return line_change_min(minutes, work, layout.crew.people)


def change_matrix(layout: Layout, containers: Sequence[Container]) -> list[list[float]]:
    """Minutes of every change, from rows to columns; nothing on the diagonal [min]."""
    return [
        [0.0 if one is other else change_minutes(layout, one, other) for other in containers]
        for one in containers
    ]
