"""Life-cycle cost from below, everything that binds the stations together priced.

With so many people, labour is hours times people. Hours lie above any tangent, so that standstill
and pace get a price at each station. The stations' shares of a person add up to that many people at
the most: whatever a person is priced at, the stations cost no less than the least of cost and
priced work together, less the price of the people there are. Then every station may be chosen by
itself, and the cheapest of each bounds them all. Prices are looked for that make the bound high.

Reference: A. M. Geoffrion, "Lagrangean relaxation for integer programming", Mathematical
Programming Study 2 (1974) (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from lineconfig.assess.crew import Roster, empty_roster, extend
from lineconfig.connect.bundles import Prices, Way
from lineconfig.connect.hours import SECTIONS, Hours, Manner, Tangent, Triple, stretches
from lineconfig.connect.terms import Terms

FIRST_STEP = 0.03
"""First step of the price of a person, as a share of a person's wages over the line's life."""
WIDENING = 4.0
MOST_LOOKS = 8
NEAR = 2e-5
"""Relative distance to the top that is not worth another look."""
ROUNDS, FIRST_ROUNDS = 1, 6
"""How often prices are mended, from a good guess and from none."""


class Choice(NamedTuple):
    """The cheapest stations at some prices."""

    cost: float
    share: float
    """Of one person's time, all stations together."""
    ways: Sequence[Way]
    """By section."""

    @property
    def manner(self) -> Manner:
        """How a line of these stations runs."""
        first, second, third = self.ways
        between = tuple(map(sum, zip(first.stop_min(1), second.stop_min(1), strict=True)))
        return Manner(
            (first.stop_min(0), between, third.stop_min(2)), tuple(way.pace for way in self.ways)
        )


class Relaxed(NamedTuple):
    """A bound and what it rests on."""

    cost: float
    prices: Prices
    tangent: Tangent
    choice: Choice


class Point(NamedTuple):
    """A concave function looked at somewhere."""

    at: float
    value: float
    slope: float
    relaxed: Relaxed


class Relaxation:
    """The relaxed bound of one triple with so many people."""

    def __init__(
        self,
        triple: Triple,
        terms: Terms,
        hours: Hours,
        *,
        people: int,
        spare: float,
        minded: tuple[frozenset[str], ...],
        run_hours: float,
        changing: float,
    ) -> None:
        self.triple, self.terms, self.hours = triple, terms, hours
        self.spare = spare
        """People's time that the shares of the stations minded add up to at the most."""
        self.minded = minded
        self.per_hour = terms.annuity * run_hours
        self.person_cost = terms.annuity * terms.wage_per_h * people
        """Of one hour in which all are there, over the line's life."""
        self.changing = changing
        """Labour of format changes over the line's life, where it is not counted by station."""

    def at(self, tangent: Tangent, person: float, *, changes: bool) -> Relaxed:
        """The bound at a tangent and a price of a person."""
        paid = self.person_cost
        prices = Prices(
            hour=self.per_hour,
            person=person,
            minded=self.minded,
            stop_min=tuple(tuple(paid * slope for slope in each) for each in tangent.stop_min),
            changes=changes,
            paced=tuple(
                bundle.paced if any(slopes) else ""
                for bundle, slopes in zip(self.triple, tangent.pace, strict=True)
            ),
            pace=tuple(tuple(paid * slope for slope in slopes) for slopes in tangent.pace),
        )
        ways = [self.triple[i].cheapest(prices, i) for i in SECTIONS]
        choice = Choice(sum(way.cost for way in ways), sum(way.share for way in ways), ways)
        fixed = paid * tangent.hours + (0.0 if changes else self.changing)
        return Relaxed(fixed + choice.cost - person * self.spare, prices, tangent, choice)

    def flat(self, run_hours: float) -> Relaxed:
        """The bound with hours as they are at the least and people for nothing."""
        level = tuple(0.0 for _ in self.terms.cans)
        tangent = Tangent(run_hours, (level,) * len(SECTIONS), (level,) * len(SECTIONS))
        return self.at(tangent, 0.0, changes=False)

    def best(self, guess: tuple[Tangent, Prices] | None, enough: float = float("inf")) -> Relaxed:
        """The highest bound that a few looks find, or one that is `enough`."""
        if guess is not None:
            tangent, prices = guess
            relaxed = self.at(tangent, prices.person, changes=prices.changes)
            return self._mended(relaxed, ROUNDS, enough)
        manner = Manner(
            tuple(each.stop_min_per_can for each in stretches(self.triple)),
            tuple(bundle.fastest for bundle in self.triple),
        )
        tangent = self.hours.tangent(self.triple, manner)
        counted = (False, True) if self.terms.changeovers else (False,)
        return max(
            (self._mended(self.at(tangent, 0.0, changes=changes), FIRST_ROUNDS, enough)
             for changes in counted),
            key=lambda relaxed: relaxed.cost,
        )  # fmt: skip

    def crewed(self, relaxed: Relaxed, people: int, speeds_cpm: tuple[float, ...]) -> float:
        """The bound at a plane with the crew put together station by station, not priced.

        The least cost of stations that no more than so many people can mind at these speeds.
        """
        prices = relaxed.prices._replace(person=0.0)
        habits = self.terms.crew
        labels = [(0.0, empty_roster(habits))]
        cost = self.person_cost * relaxed.tangent.hours
        cost += 0.0 if prices.changes else self.changing
        for section, bundle in enumerate(self.triple):
            if not prices.paced[section]:
                paces = zip(prices.pace[section], bundle.fastest, strict=True)
                cost += sum(x * y for x, y in paces)
            for place in bundle.places:
                options = _worthwhile(
                    bundle.priced(place, prices, section), place.works(speeds_cpm)
                )
                if options == [(options[0][0], 0.0, False)]:
                    cost += options[0][0]
                    continue
                labels = _unbeaten(
                    [
                        (before + price, after)
                        for before, roster in labels
                        for price, work, always in options
                        for after in (extend(roster, work, always, habits),)
                        if after.people <= people
                    ]
                )
        return cost + min((label[0] for label in labels), default=float("inf"))

    def _mended(self, relaxed: Relaxed, rounds: int, enough: float) -> Relaxed:
        for _ in range(rounds):
            before = relaxed.cost
            if before >= enough:
                break
            relaxed = self._bent(relaxed)
            if relaxed.cost >= enough:
                break
            relaxed = self._priced(relaxed)
            if relaxed.cost <= before + NEAR * abs(before):
                break
        return relaxed

    def _bent(self, start: Relaxed) -> Relaxed:
        """The bound with the plane bent towards the tangent at the stations that it chooses."""
        old = start.tangent
        new = self.hours.tangent(self.triple, start.choice.manner)

        def point(share: float, relaxed: Relaxed) -> Point:
            manner = relaxed.choice.manner
            slope = self.person_cost * (new.at(manner) - old.at(manner))
            return Point(share, relaxed.cost, slope, relaxed)

        def look(share: float) -> Point:
            tangent = old.mixed(new, share)
            prices = start.prices
            return point(share, self.at(tangent, prices.person, changes=prices.changes))

        first = point(0.0, start)
        if first.slope <= NEAR * abs(start.cost):
            return start
        return highest(look, first, 1.0, 1.0).relaxed

    def _priced(self, start: Relaxed) -> Relaxed:
        """The bound at a better price of a person."""

        def point(person: float, relaxed: Relaxed) -> Point:
            return Point(person, relaxed.cost, relaxed.choice.share - self.spare, relaxed)

        def look(person: float) -> Point:
            changes = start.prices.changes
            return point(person, self.at(start.tangent, person, changes=changes))

        step = FIRST_STEP * self.terms.person_price
        return highest(look, point(start.prices.person, start), step, float("inf")).relaxed


def _worthwhile(
    costs: Sequence[float], works: Sequence[tuple[float, bool]]
) -> list[tuple[float, float, bool]]:
    """Stations worth having for their cost or for the little work they make."""
    kept: list[tuple[float, float, bool]] = []
    least, attended = float("inf"), False
    for cost, (work, always) in sorted(zip(costs, works, strict=True)):
        if always:
            if not attended:
                kept.append((cost, work, always))
            attended = True
        elif work < least:
            kept.append((cost, work, always))
            least = work
    return kept


def _unbeaten(labels: list[tuple[float, Roster]]) -> list[tuple[float, Roster]]:
    """Labels that no other beats in cost and in what is left of the crew's time."""
    kept: list[tuple[float, Roster]] = []
    for label in sorted(labels, key=lambda item: (item[0], item[1].people, item[1].taken)):
        mine = label[1]
        for _, other in kept:
            if other.people < mine.people or (
                other.people == mine.people
                and other.taken <= mine.taken
                and other.stations <= mine.stations
            ):
                break
        else:
            kept.append(label)
    return kept


def highest(look: Callable[[float], Point], first: Point, step: float, most: float) -> Point:
    """Where a concave function on 0 to `most` is highest, or nearly.

    Tangents at both sides of the top meet above it: there the function is looked at next.
    """
    low = high = best = first
    for _ in range(MOST_LOOKS):
        here = low if best.slope > 0 else high
        if low.slope > 0 >= high.slope:
            break
        onward = here.at + step if here.slope > 0 else here.at - step
        onward = min(most, max(0.0, onward))
        if onward == here.at:
            return best
        here = look(onward)
        step *= WIDENING
        best = max(best, here, key=lambda point: point.value)
        low, high = (here, high) if here.slope > 0 else (low, here)
        if low is first and low.slope <= 0:
            low = high
        if high is first and high.slope > 0:
            high = low
    for _ in range(MOST_LOOKS):
        if not low.slope > 0 >= high.slope:
            break
        meet = (high.value - low.value + low.slope * low.at - high.slope * high.at) / (
            low.slope - high.slope
        )
        top = low.value + low.slope * (meet - low.at)
        if top <= best.value + NEAR * abs(best.value):
            break
        here = look(meet)
        best = max(best, here, key=lambda point: point.value)
        low, high = (here, high) if here.slope > 0 else (low, here)
    return best
