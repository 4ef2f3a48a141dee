"""What becomes first as one number of the brief changes, and where it changes hands.

Every value is solved; between two values with different first layouts, the one where they change
places is closed in by halving. Nothing is read off a line between two points.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from lineconfig.errors import InputError
from lineconfig.layout import Layout
from lineconfig.session import Study

HALVINGS = 12
"""A switching value is closed in to a four-thousandth of the step."""


@dataclass(frozen=True, slots=True)
class Point:
    """One value and what is first there."""

    value: float
    layout: Layout | None
    """None where nothing fits, or where the value is refused."""
    refused: str = ""
    """Why the brief is not sound with this value."""

    @property
    def family(self) -> str:
        """What tells one first layout from another."""
        return self.layout.family if self.layout is not None else ""


@dataclass(frozen=True, slots=True)
class Switch:
    """Between these two values, the first place changes hands."""

    below: Point
    above: Point


Solve = Callable[[float], Study]
"""The study of a value; it may raise InputError for a value that is not sound."""


def point_at(solve: Solve, value: float) -> Point:
    """What is first at a value."""
    try:
        study = solve(value)
    except InputError as error:
        return Point(value, None, error.problems[0].text)
    return Point(value, next(study.layouts(), None))


def switch_between(solve: Solve, below: Point, above: Point, resolution: float) -> Switch:
    """Close in on a value at which the first place changes hands.

    Parameters
    ----------
    solve : the study of a value
    below, above : two values with different first layouts
    resolution : how close the two ends come [unit of the values]
    """
    for _ in range(HALVINGS):
        if above.value - below.value <= resolution:
            break
        middle = point_at(solve, (below.value + above.value) / 2)
        if middle.family == below.family:
            below = middle
        else:
            above = middle
    return Switch(below, above)


def points_over(solve: Solve, values: list[float]) -> Iterator[Point]:
    """What is first at each value, one by one."""
    for value in values:
        yield point_at(solve, value)
