"""Format change: the minutes of each station by what differs between two formats, and of the line.

What a station does in every change, and for another diameter, height, end or way of closing, is
stated apart; together they never take longer than its stated whole.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import Literal, get_args

from lineconfig.assess.inputs import require_not_negative, require_positive

Cause = Literal["diameter", "height", "end", "closing"]
CAUSES: tuple[Cause, ...] = get_args(Cause)


@dataclass(frozen=True, slots=True)
class Shape:
    """What of a container format machines are set to."""

    diameter_mm: float
    height_mm: float
    end: str
    closing: str


@dataclass(frozen=True, slots=True)
class StationChange:
    """What a format change takes at one station."""

    most_min: float
    """Where everything differs. [min]"""
    persons: int
    always_min: float | None = None
    """In every change; None where every change takes the whole. [min]"""
    by_min: tuple[tuple[Cause, float], ...] = ()
    """Besides, for each thing that differs. [min]"""

    def minutes(self, differing: Collection[Cause]) -> float:
        """Minutes for a change in which these differ [min]."""
        if self.always_min is None:
            return self.most_min
        special = sum(minutes for cause, minutes in self.by_min if cause in differing)
        return min(self.most_min, self.always_min + special)


def differences(before: Shape, after: Shape) -> frozenset[Cause]:
    """Say what differs between two formats.

    Parameters
    ----------
    before, after : Shape
        The two formats.

    Returns
    -------
    frozenset of str
        Among diameter, height, end and closing.

    References
    ----------
    Common practice.

    Examples
    --------
    >>> can, tall = Shape(66.1, 122, "202", "seam"), Shape(66.1, 157, "202", "seam")
    >>> sorted(differences(can, tall))
    ['height']
    """
    same: dict[Cause, bool] = {
        "diameter": before.diameter_mm == after.diameter_mm,
        "height": before.height_mm == after.height_mm,
        "end": before.end == after.end,
        "closing": before.closing == after.closing,
    }
    return frozenset(cause for cause in CAUSES if not same[cause])


def worst_minutes(change: StationChange, shapes: Sequence[Shape]) -> float:
    """Give the most that any change among these formats takes at a station.

    Parameters
    ----------
    change : StationChange
        What a change takes there.
    shapes : sequence of Shape
        The formats of the line.

    Returns
    -------
    float
        Minutes; the stated whole for a single format. [min]

    References
    ----------
    Common practice.
    """
    pairs = list(permutations(shapes, 2))
    if not pairs:
        return change.most_min
    return max(change.minutes(differences(before, after)) for before, after in pairs)


def line_change_min(
    station_min: Iterable[float], person_min: Iterable[float], people: int
) -> float:
    """Give the time from the last container of one format to the first of the next.

    Everybody helps; no station is done sooner than its own minutes.

    Parameters
    ----------
    station_min : iterable of float
        Minutes at each station. [min]
    person_min : iterable of float
        Work at each station. [person-min]
    people : int
        People who change. [-]

    Returns
    -------
    float
        Time. [min]

    Raises
    ------
    ValueError
        If a time is negative or there is nobody.

    References
    ----------
    Lower bound of a schedule on parallel workers: longest job, or all work over the workers.

    Examples
    --------
    >>> line_change_min([45, 8, 2], [45, 8, 2], 4)
    45
    """
    require_positive(people=people)
    longest, work = list(station_min), list(person_min)
    for minutes in (*longest, *work):
        require_not_negative(minutes=minutes)
    return max(max(longest, default=0.0), sum(work) / people)


def mean_change_min(
    pair_min: Mapping[tuple[str, str], float], shares: Mapping[str, float] | None = None
) -> float:
    """Give the mean over ordered pairs of formats.

    Parameters
    ----------
    pair_min : mapping from pairs of ids to float
        Minutes by ordered pair. [min]
    shares : mapping from id to float, optional
        How often a format is run; a pair counts by the product. All alike where not given. [-]

    Returns
    -------
    float
        Mean; 0 without any pair. [min]

    References
    ----------
    Arithmetic.
    """
    weights = {
        pair: 1.0 if shares is None else shares[pair[0]] * shares[pair[1]] for pair in pair_min
    }
    whole = sum(weights.values())
    if whole <= 0.0:
        return 0.0
    return sum(minutes * weights[pair] for pair, minutes in pair_min.items()) / whole
