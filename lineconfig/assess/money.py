"""Money: amounts that come as low, typical and high, in the catalogue's currency."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Range:
    """A low, a typical and a high amount [currency]."""

    low: float
    typical: float
    high: float

    def __add__(self, other: Range) -> Range:
        return Range(self.low + other.low, self.typical + other.typical, self.high + other.high)

    def __mul__(self, factor: float) -> Range:
        return Range(self.low * factor, self.typical * factor, self.high * factor)

    def shifted(self, amount: float) -> Range:
        """The range moved by a fixed amount."""
        return Range(self.low + amount, self.typical + amount, self.high + amount)


NOTHING = Range(0.0, 0.0, 0.0)


def total(ranges: Iterable[Range]) -> Range:
    """The sum of several ranges: all low, all typical, all high."""
    result = NOTHING
    for item in ranges:
        result = result + item
    return result
