"""Where a triple of bundles can be opened, and where that pays.

A place with several stations opens into one part for each station; a bundle of bundles into these.
What an opening gains is learned on the way: how far the bounds of its parts lie above what was
expected of them (pseudo-costs).

Reference: M. Benichou et al., "Experiments in mixed-integer linear programming", Mathematical
Programming 1 (1971) (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from lineconfig.connect.bundles import SIDES, Bundle, Prices
from lineconfig.connect.graph import agree
from lineconfig.connect.hours import Triple

APART = 1.03
"""Speeds of the slowest and the fastest lines nearer than this are not told apart."""
PRUNED = 0.05
"""Gain of a part that breaks a limit, as a share of its expected cost."""


class PartFigures(NamedTuple):
    """Least sums of a part, for the views that order by them."""

    first_cost: int
    area: int
    changeover_person_min: float


@dataclass(frozen=True, slots=True)
class Opening:
    """One way to take a triple apart."""

    triple: Triple
    section: int
    index: int | None
    """Of the place that is settled; None where the bundle's own parts are taken."""

    @property
    def bundle(self) -> Bundle:
        """The bundle that is opened."""
        return self.triple[self.section]

    @property
    def name(self) -> str:
        """What is settled."""
        if self.index is None:
            return SIDES[self.section]
        return self.bundle.places[self.index].function

    def part(self, which: int) -> Triple:
        """One of the parts."""
        bundle = self.bundle
        one = bundle.parts[which] if self.index is None else bundle.fixed(self.index, which)
        first, second, third = (
            one if section == self.section else old for section, old in enumerate(self.triple)
        )
        return first, second, third

    def rises(self, prices: Prices | None) -> list[float]:
        """What each part costs more than the cheapest of all, at some prices [currency]."""
        bundle, section = self.bundle, self.section
        if self.index is None:
            if prices is None:
                return [0.0 for _ in bundle.parts]
            low = bundle.cheapest(prices, section).cost
            return [part.cheapest(prices, section).cost - low for part in bundle.parts]
        place = bundle.places[self.index]
        if prices is None:
            return [0.0 for _ in place.stated]
        costs = bundle.priced(place, prices, section)
        low = min(costs)
        return [cost - low for cost in costs]

    def figures(self, which: int) -> PartFigures | None:
        """Sums of a part; None where its sections' ports do not agree."""
        if self.index is None:
            part = self.part(which)
            if not (agree(part[0].ports, part[1].ports) and agree(part[1].ports, part[2].ports)):
                return None
            return _sums(part)
        place = self.bundle.places[self.index]
        one, whole = place.stated[which], _sums(self.triple)
        return PartFigures(
            whole.first_cost + one.whole[0] - place.first_cost,
            whole.area + one.whole[1] - place.area,
            whole.changeover_person_min
            + one.station.changeover_person_min
            - place.changeover_person_min,
        )

    def score(self, gains: Gains, prices: Prices) -> tuple[bool, float]:
        """How much it promises: whether the line's speed hangs on it, and a gain."""
        rises = sorted(self.rises(prices))
        gain = gains.average(self.name)
        apart = rises[1] - rises[0]
        fastest = tuple(map(min, zip(*(bundle.speed_most for bundle in self.triple), strict=True)))
        places = self.bundle.places if self.index is None else (self.bundle.places[self.index],)
        slow = any(
            speed < line
            for place in places
            for speed, line in zip(place.speed_least, fastest, strict=True)
        )
        if self.index is None:
            # Its places can be settled only afterwards.
            gain = max(gain, *(gains.average(place.function) for place in self.bundle.places))
            return slow, gain + min(gain, apart) + 2 * max(0.0, rises[0])
        return slow, gain + min(gain, apart)


@dataclass(frozen=True, slots=True)
class SpeedSplit:
    """A triple taken apart by the speed of its lines.

    The first part has every station fast; the others have one place after the other slow, and those
    before it fast. Each line is in exactly one of them.
    """

    triple: Triple
    limit: float
    """Rated speed against the needed one from which a station is fast [-]."""
    parts: tuple[Triple, ...]
    name = "speed"

    @classmethod
    def of(cls, triple: Triple) -> SpeedSplit | None:
        """Where the slowest and the fastest lines lie far apart; None elsewhere."""
        places = [
            (section, index, [item.faster for item in place.stated])
            for section, bundle in enumerate(triple)
            for index, place in enumerate(bundle.places)
        ]
        fast = min(max(speeds) for _, _, speeds in places)
        slow = min(min(speeds) for _, _, speeds in places)
        if fast <= max(1.0, slow) * APART:
            return None
        limit = math.sqrt(fast * max(1.0, slow))
        parts = []
        rest = triple
        for section, index, speeds in places:
            behind = tuple(i for i, speed in enumerate(speeds) if speed < limit)
            if not behind:
                continue
            ahead = tuple(i for i, speed in enumerate(speeds) if speed >= limit)
            parts.append(_narrowed(rest, section, index, behind))
            rest = _narrowed(rest, section, index, ahead)
        return cls(triple, limit, (rest, *parts))

    def part(self, which: int) -> Triple:
        """One of the parts."""
        return self.parts[which]

    def rises(self, prices: Prices | None) -> list[float]:
        """What each part costs more than the cheapest of all, at some prices [currency]."""
        if prices is None:
            return [0.0 for _ in self.parts]

        def cost(triple: Triple) -> float:
            return sum(bundle.cheapest(prices, i).cost for i, bundle in enumerate(triple))

        low = cost(self.triple)
        return [cost(part) - low for part in self.parts]

    def figures(self, which: int) -> PartFigures:
        """Sums of a part."""
        return _sums(self.parts[which])

    def score(self, gains: Gains, prices: Prices) -> tuple[bool, float]:
        """It comes before all else."""
        return True, float("inf")


def _narrowed(triple: Triple, section: int, index: int, kept: tuple[int, ...]) -> Triple:
    first, second, third = (
        bundle.narrowed(index, kept) if i == section else bundle for i, bundle in enumerate(triple)
    )
    return first, second, third


def _sums(triple: Triple) -> PartFigures:
    return PartFigures(
        sum(bundle.first_cost for bundle in triple),
        sum(bundle.area for bundle in triple),
        sum(bundle.changeover_person_min for bundle in triple),
    )


def openings_of(triple: Triple) -> Sequence[Opening | SpeedSplit]:
    """Where a triple may be opened: where ports are still mixed, there and nowhere else."""
    mixed = [i for i, bundle in enumerate(triple) if not bundle.ports]
    if mixed:
        return [Opening(triple, max(mixed, key=lambda i: triple[i].spread), None)]
    if all(bundle.scheme is not None for bundle in triple):
        split = SpeedSplit.of(triple)
        if split is not None:
            return [split]
    openings = []
    for section, bundle in enumerate(triple):
        if bundle.scheme is None:
            openings.append(Opening(triple, section, None))
            continue
        openings += [
            Opening(triple, section, index)
            for index, place in enumerate(bundle.places)
            if len(place.stated) > 1
        ]
    return openings


class Gains:
    """What openings have gained so far, by what they settle [currency]."""

    def __init__(self) -> None:
        self._known: dict[str, tuple[float, int]] = {}

    def __contains__(self, name: str) -> bool:
        return name in self._known

    def learn(self, name: str, expected: float, cost: float | None) -> None:
        """Take in what a part came to; None where it broke a limit."""
        gain = PRUNED * expected if cost is None else max(0.0, cost - expected)
        total, times = self._known.get(name, (0.0, 0))
        self._known[name] = (total + gain, times + 1)

    def average(self, name: str) -> float:
        """Mean gain; zero of what nothing is known."""
        total, times = self._known.get(name, (0.0, 1))
        return total / times
