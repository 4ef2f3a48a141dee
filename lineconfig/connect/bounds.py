"""What no line of a triple of bundles undercuts: people, hours, cost, and the limits they break.

A triple has one bundle for each section. Sums of minima bound what adds up; people are bounded by
the smallest crew for the least work, since more work never takes fewer people; hours and life-cycle
cost are bounded by `hours` and `relaxation`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from lineconfig.assess.crew import Roster, empty_roster, extend, people_needed
from lineconfig.brief import View
from lineconfig.choose.limits import HOURS, PEOPLE
from lineconfig.connect.bundles import PARTS, Prices
from lineconfig.connect.hours import Hours, Tangent, Triple, stretches
from lineconfig.connect.relaxation import Relaxation
from lineconfig.connect.terms import Terms

FEW_CHOICES = 6
"""Places still to be settled up to which posts are put together one by one."""
BOUND_SLACK = 1e-9
"""Relative slack of a bound against rounding in sums taken in another order."""


class Staffed(NamedTuple):
    """The least life-cycle cost with one number of people."""

    people: int
    cost: float
    relaxed: float = 0.0
    """The part of the bound that rises with the choice of stations, as `prices` say."""
    prices: Prices | None = None
    """None where the bound is the same for all."""
    tangent: Tangent | None = None

    def raised(self, rise: float) -> float:
        """The least cost for a part whose stations cost so much more at the prices."""
        return max(self.cost, self.relaxed + rise)


@dataclass(slots=True)
class Node:
    """A triple with what no line in it undercuts."""

    triple: Triple
    people: int
    run_hours: float
    settled: bool = False
    """Whether its effective speed has been worked out."""
    staffed: tuple[Staffed, ...] = ()
    """The least life-cycle cost for each number of people worth having, fewest first."""

    @property
    def single(self) -> bool:
        """Whether it is one line."""
        return all(bundle.single for bundle in self.triple)

    @property
    def cost(self) -> float:
        """Least life-cycle cost with any number of people."""
        return min(each.cost for each in self.staffed)

    @property
    def guess(self) -> tuple[Tangent, Prices]:
        """Plane and prices with the number of people that comes out cheapest."""
        best = min((each for each in self.staffed if each.prices), key=lambda each: each.cost)
        assert best.prices is not None and best.tangent is not None
        return best.tangent, best.prices


class Tail(NamedTuple):
    """The end of a line, as far as it takes people."""

    minded: tuple[frozenset[str], ...]
    """Its functions, by section."""
    taken: float
    """Of people's time at the needed speeds, what the stations before it have taken."""
    of_each: float
    """Of people's time at the needed speeds, what each person has."""


class Bounds:
    """Bounds of triples under one client's terms and limits."""

    def __init__(
        self,
        terms: Terms,
        most: Mapping[str, float],
        most_uses: Sequence[float],
        hours: Hours,
        *,
        speed_is_needed: bool = True,
    ) -> None:
        self.terms = terms
        self.most = most
        self.most_uses = tuple(most_uses)
        self.speed_is_needed = speed_is_needed
        self.hours = hours

    def roster(self, triple: Triple, speeds_cpm: tuple[float, ...]) -> Roster:
        """The smallest crew for a triple at these speeds."""
        habits = self.terms.crew
        roster: Roster | None = None
        for bundle in triple:
            roster = people_needed(bundle.workloads(speeds_cpm), bundle.always, habits, roster)
        assert roster is not None
        return roster

    def slowest(self, triple: Triple) -> tuple[float, ...]:
        """Speeds that every line of the triple reaches at least, by format."""
        slowest = tuple(map(min, zip(*(bundle.speed_least for bundle in triple), strict=True)))
        if not self.speed_is_needed:
            return slowest
        return tuple(map(max, zip(slowest, self.terms.needed_cpm, strict=True)))

    # --- limits ------------------------------------------------------------------------------

    def node(self, triple: Triple) -> Node | None:
        """A triple with its bounds; None where it breaks a limit whatever comes."""
        uses = map(sum, zip(*(bundle.uses for bundle in triple), strict=True))
        if any(
            use > allowed * (1 + BOUND_SLACK)
            for use, allowed in zip(uses, self.most_uses, strict=True)
        ):
            return None
        people = max(1, self.roster(triple, self.slowest(triple)).people)
        if people > self.most[PEOPLE.id]:
            return None
        line = stretches(triple)
        minutes = [
            max(1 / each.speed_most[i] + each.stop_min_per_can[i] for each in line)
            for i in range(len(self.terms.cans))
        ]
        node = Node(triple, people, self.terms.run_hours(minutes))
        return node if self._in_time(node) else None

    def settle(self, node: Node) -> bool:
        """Bound the effective speed as well; whether the node still keeps to the hours."""
        node.run_hours = max(node.run_hours, self.hours.least(node.triple))
        node.settled = True
        return self._in_time(node)

    def _in_time(self, node: Node) -> bool:
        """Whether some line of the node may keep to the hours there are."""
        longest = max(bundle.changeover_min for bundle in node.triple)
        hours = node.run_hours + self.terms.changeover_hours(0.0, longest, 1)
        return hours <= self.most[HOURS.id] * (1 + BOUND_SLACK)

    # --- figures -----------------------------------------------------------------------------

    def labour(self, triple: Triple, people: int, run_hours: float) -> float:
        """Yearly labour; a lower bound for bundles."""
        person_min = sum(bundle.changeover_person_min for bundle in triple)
        longest_min = max(bundle.changeover_min for bundle in triple)
        changeover_hours = self.terms.changeover_hours(person_min, longest_min, people)
        return self.terms.labour(run_hours, changeover_hours, people)

    def life_cycle_cost(self, triple: Triple, people: int, run_hours: float) -> float:
        """Life-cycle cost, from sums over the bundles.

        Exact for single ways with their true people and hours, a lower bound otherwise: more people
        change formats in fewer hours, but never with less labour in all.
        """
        yearly = self.labour(triple, people, run_hours)
        yearly += run_hours * sum(bundle.per_hour for bundle in triple)
        return sum(bundle.standing for bundle in triple) + self.terms.annuity * yearly

    @staticmethod
    def figure(triple: Triple, people: int, view: View) -> float:
        """The figure that a view orders by; zero where that is the life-cycle cost itself."""
        match view:
            case "first-cost":
                return sum(bundle.first_cost for bundle in triple) / PARTS
            case "floor":
                return sum(bundle.area for bundle in triple) / PARTS
            case "people":
                return people
            case "changeover":
                return sum(bundle.changeover_person_min for bundle in triple)
            case "life-cycle-cost":
                return 0.0

    def _tail(self, triple: Triple) -> Tail:
        """The stretch at the end of the line whose work binds people most.

        Whoever minds the stations before it at the least work they have, and cannot go on for want
        of time, of stations or of leave to walk away, has no time for the rest.
        """
        habits, terms = self.terms.crew, self.terms
        slowest = self.slowest(triple)
        faster = min(v / needed for v, needed in zip(slowest, terms.needed_cpm, strict=True))
        places = [
            (section, place, work)
            for section, bundle in enumerate(triple)
            for place, work in zip(bundle.worked, bundle.workloads(slowest), strict=True)
        ]
        work_after = sum(work for _, place, work in places if not place.always) / habits.allowed
        always_after = sum(place.always for _, place, _ in places)
        roster = empty_roster(habits)
        best, start, taken = float("inf"), 0, 0.0
        for number in range(len(places) + 1):
            free = habits.allowed - roster.taken if roster.stations < habits.most_stations else 0.0
            gone = roster.people - free / habits.allowed + always_after
            # What is left of each number of people when the rest of the line has its least work.
            left = -gone - work_after
            if left < best - BOUND_SLACK and work_after > BOUND_SLACK:
                best, start, taken = left, number, gone
            if number < len(places):
                _, place, work = places[number]
                roster = extend(roster, work, place.always, habits)
                if place.always:
                    always_after -= 1
                else:
                    work_after -= work / habits.allowed
        minded = tuple(
            frozenset(place.function for s, place, _ in places[start:] if s == section)
            for section in range(len(triple))
        )
        return Tail(minded, taken / faster, 1 / faster)

    def price(
        self,
        node: Node,
        before: Node | None = None,
        *,
        roughly: bool = False,
        enough: float = float("inf"),
    ) -> None:
        """Work out the least life-cycle cost for each number of people worth having.

        `before` is a node that holds this one: its plane and prices are a good guess. `roughly`
        serves views in which cost only settles the rare tie. A bound that is `enough` is not looked
        at more closely.
        """
        triple, terms = node.triple, self.terms
        guess = before.guess if before else None
        crew = self._tail(triple)
        slowest = self.slowest(triple)
        # Posts are put together where few choices are left; before that prices say nearly as much.
        crewing = (
            node.settled
            and sum(len(place.stated) > 1 for bundle in triple for place in bundle.places)
            <= FEW_CHOICES
        )
        staffed: list[Staffed] = []
        people, best = node.people, float("inf")
        while people <= self.most[PEOPLE.id] or not staffed:
            plain = self.life_cycle_cost(triple, people, node.run_hours)
            if plain >= min(best, enough) and staffed:
                # So many people or more cost at least this, whatever the stations.
                staffed.append(Staffed(people, plain))
                break
            relaxation = Relaxation(
                triple, terms, self.hours,
                people=people,
                spare=people * crew.of_each - crew.taken,
                minded=crew.minded,
                run_hours=node.run_hours,
                changing=terms.annuity * self.labour(triple, people, 0.0),
            )  # fmt: skip
            relaxed = relaxation.flat(node.run_hours) if roughly else relaxation.best(guess, enough)
            cost = max(plain, relaxed.cost)
            if crewing and not roughly and cost < min(best, enough):
                cost = max(cost, relaxation.crewed(relaxed, people, slowest))
            staffed.append(Staffed(people, cost, relaxed.cost, relaxed.prices, relaxed.tangent))
            best = min(best, cost)
            people += 1
        node.staffed = tuple(staffed)
