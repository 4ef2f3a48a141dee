"""The least change of one number with which some line is valid.

Feasibility is monotone in every number that is looked for here: more budget, more room, more hours
or a lower speed never lose a line.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

Opens = Callable[[float], bool]


def least_of(values: Sequence[float], opens: Opens) -> float | None:
    """The first of these values that opens; None where not even the last does.

    Parameters
    ----------
    values : from the least change to the largest; once one opens, all behind it do
    """
    if not values or not opens(values[-1]):
        return None
    low, high = 0, len(values) - 1
    while low < high:
        middle = (low + high) // 2
        if opens(values[middle]):
            high = middle
        else:
            low = middle + 1
    return values[low]


def least_step(start: int, end: int, opened: Callable[[int], int | None]) -> int | None:
    """The first step from `start` (exclusive, towards `end`) that opens; None where `end` does not.

    Parameters
    ----------
    start : a step that does not open
    end : a step that should, above or below
    opened : for a step, None where it does not open; else a step that a line found there would
        do with, which is that step itself or nearer to the start
    """
    up = 1 if end > start else -1
    hoped = opened(end)
    if hoped is None:
        return None
    low, sure = 0, (end - start) * up
    high = max(1, min(sure, (hoped - start) * up))
    while high > low + 1 or high != sure:
        tried = high if high == low + 1 else (low + high) // 2
        hoped = opened(start + up * tried)
        if hoped is not None:
            sure = tried
            high = max(low + 1, min(tried, (hoped - start) * up))
        else:
            low = tried
            if high <= low:  # what a line hoped for was a rounding too little
                high = sure
    return start + up * sure
