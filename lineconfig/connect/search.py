"""Exact k-best search.

Best-first with admissible bounds over triples of bundles, one for each section. A triple comes
with a figure that no line in it undercuts. When it comes up, its effective speed is bounded too
and it goes back; when it comes up again, its widest bundle is opened and the parts go on the
heap. A triple of single ways is one line: it is worked out exactly and goes back with its true
figure. A line is given out when it comes up exact: nothing that is left can be better, so the
list is complete as far as it goes, and the search never looks at the rest.

The bounds rest on monotony: more work never takes fewer people; more or longer stops, or a smaller
buffer, never make a line of given speeds faster. Both are tested.
"""

from __future__ import annotations

import heapq
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import count

from lineconfig.assess.crew import Roster, people_needed
from lineconfig.assess.flow import EffectiveSpeed, Machine, line_effective_speed
from lineconfig.brief import View
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.limits import ADDITIVE, HOURS, LIMITS, PEOPLE
from lineconfig.choose.sections import CancelledError, Scheme
from lineconfig.connect.bundles import PARTS, Bundle, Bundler, Stated
from lineconfig.connect.graph import agree
from lineconfig.connect.terms import Terms

Triple = tuple[Bundle, Bundle, Bundle]
Key = tuple[float, float]
"""The view's figure, then life-cycle cost: what lines are ordered by."""

BOUND_SLACK = 1e-9
"""Relative slack of a bound against rounding in sums taken in another order."""
DECIMALS = 2
"""To which the figures that rank are rounded, so that equals are equals."""
CATCH_UP = 10.0
"""A choice without a machine never holds the line up: this many times the fastest machine."""


@dataclass(frozen=True, slots=True)
class Running:
    """How a line runs."""

    rated_cpm: tuple[float, ...]
    speeds: tuple[EffectiveSpeed, ...]
    people: int
    run_hours: float
    changeover_hours: float

    @property
    def hours(self) -> float:
        """Hours of a year in which people are at the line."""
        return self.run_hours + self.changeover_hours


@dataclass(slots=True)
class Node:
    """A triple with what no line in it undercuts."""

    triple: Triple
    people: int
    run_hours: float
    settled: bool = False
    """Whether its effective speed has been worked out."""

    @property
    def single(self) -> bool:
        """Whether it is one line."""
        return all(bundle.single for bundle in self.triple)


@dataclass(frozen=True, slots=True)
class Found:
    """One line in the order of the search."""

    key: Key
    order: tuple[str, ...]
    """Class ids in flow order, which settle ties."""
    schemes: tuple[Scheme, ...]
    stated: tuple[Stated, ...]
    running: Running


class Search:
    """Looks for the best lines of one inquiry, remembering what it has worked out."""

    def __init__(
        self,
        inquiry: Inquiry,
        schemes: Mapping[str, Sequence[Scheme]],
        bundler: Bundler,
        terms: Terms,
        *,
        without: frozenset[str] = frozenset(),
        cancel: threading.Event | None = None,
    ) -> None:
        self.schemes = schemes
        self.bundler = bundler
        self.terms = terms
        self.cancel = cancel
        allowed = {
            limit.id: None if limit.id in without else limit.allowed(inquiry) for limit in LIMITS
        }
        self.most = {name: float("inf") if a is None else a for name, a in allowed.items()}
        self.most_uses = tuple(self.most[limit.id] for limit in ADDITIVE)
        self._roots: dict[str, Bundle | None] = {}
        self.speed_is_needed = "speed" not in without
        self._speeds: dict[tuple[object, ...], EffectiveSpeed] = {}

    def root(self, section: str, only: Mapping[str, frozenset[str]]) -> Bundle | None:
        """Everything that a section allows; kept where it is not narrowed."""
        schemes = self.schemes[section]
        if schemes and set(only) & set(schemes[0].options):
            return self.bundler.root(schemes, only)
        if section not in self._roots:
            self._roots[section] = self.bundler.root(schemes)
        return self._roots[section]

    def ranked(
        self, view: View, only: Mapping[str, frozenset[str]] | None = None
    ) -> Iterator[Found]:
        """Lines in the order of the view, best first, each exactly once.

        `only` narrows functions to some classes. Raises CancelledError when called off.
        """
        root = self.start(only)
        return iter(()) if root is None else _Ranking(self, view).run(root)

    def start(self, only: Mapping[str, frozenset[str]] | None = None) -> Triple | None:
        """The triple that holds every line; None where a section allows nothing."""
        empties, filling, packing = (self.root(name, only or {}) for name in self.schemes)
        if empties is None or filling is None or packing is None:
            return None
        return empties, filling, packing

    # --- what a triple comes to --------------------------------------------------------------

    def roster(self, triple: Triple, speeds_cpm: tuple[float, ...]) -> Roster:
        """The smallest crew for a triple at these speeds."""
        habits = self.terms.crew
        roster: Roster | None = None
        for bundle in triple:
            roster = people_needed(bundle.workloads(speeds_cpm), bundle.always, habits, roster)
        assert roster is not None
        return roster

    def effective(self, triple: Triple, index: int) -> EffectiveSpeed:
        """The effective speed of a triple with one format; for bundles, one that none beats."""
        speeds = [bundle.speed_most[index] for bundle in triple]
        fastest = max((speed for speed in speeds if speed < float("inf")), default=1.0) * CATCH_UP
        machines = []
        for bundle, speed in zip(triple, speeds, strict=True):
            speed_cpm = min(speed, fastest)
            machines.append(
                Machine(speed_cpm, bundle.stops_per_can * speed_cpm, bundle.repairs_per_min)
            )
        before, after = triple[0].holds_cans, triple[2].holds_cans
        key = (*machines, before, after)
        if key not in self._speeds:
            upstream, filler, downstream = machines
            self._speeds[key] = line_effective_speed(upstream, filler, downstream, before, after)
        return self._speeds[key]

    # --- bounds ------------------------------------------------------------------------------

    def node(self, triple: Triple) -> Node | None:
        """A triple with its bounds; None where it breaks a limit whatever comes."""
        uses = map(sum, zip(*(bundle.uses for bundle in triple), strict=True))
        if any(
            use > allowed * (1 + BOUND_SLACK)
            for use, allowed in zip(uses, self.most_uses, strict=True)
        ):
            return None
        people = max(1, self.roster(triple, self._slowest(triple)).people)
        if people > self.most[PEOPLE.id]:
            return None
        minutes = [
            max(1 / bundle.speed_most[i] + bundle.stop_min_per_can for bundle in triple)
            for i in range(len(self.terms.cans))
        ]
        node = Node(triple, people, self.terms.run_hours(minutes))
        return node if self._in_time(node) else None

    def settle(self, node: Node) -> bool:
        """Bound the effective speed as well; whether the node still keeps to the hours."""
        speeds = [self._fastest_cpm(node.triple, i) for i in range(len(self.terms.cans))]
        run_hours = self.terms.run_hours([1 / speed for speed in speeds])
        node.run_hours = max(node.run_hours, run_hours)
        node.settled = True
        return self._in_time(node)

    def parts(self, node: Node) -> Iterator[Node]:
        """The node's widest bundle opened: nodes that hold the same lines, each in one of them."""
        triple = node.triple
        mixed = [i for i, bundle in enumerate(triple) if not bundle.ports]
        candidates = mixed or [i for i, bundle in enumerate(triple) if not bundle.single]
        chosen = max(candidates, key=lambda i: triple[i].spread)
        for part in triple[chosen].parts:
            parts: Triple = (*triple[:chosen], part, *triple[chosen + 1 :])  # type: ignore[assignment]
            if agree(parts[0].ports, parts[1].ports) and agree(parts[1].ports, parts[2].ports):
                opened = self.node(parts)
                if opened is not None:
                    yield opened

    def finish(self, node: Node, view: View) -> Found | None:
        """Work one line out exactly; None where it breaks a limit."""
        terms, triple = self.terms, node.triple
        stated = tuple(item for bundle in triple for item in bundle.stated)
        rated_cpm = tuple(map(min, zip(*(bundle.speed_most for bundle in triple), strict=True)))
        people = max(1, self.roster(triple, rated_cpm).people)
        speeds = tuple(self.effective(triple, i) for i in range(len(terms.cans)))
        run_hours = terms.run_hours([1 / speed.estimate_cpm for speed in speeds])
        changeover_hours = terms.changeover_hours(
            sum(bundle.changeover_person_min for bundle in triple),
            max(bundle.changeover_min for bundle in triple),
            people,
        )
        running = Running(rated_cpm, speeds, people, run_hours, changeover_hours)
        uses = map(sum, zip(*(item.uses for item in stated), strict=True))
        if (
            people > self.most[PEOPLE.id]
            or running.hours > self.most[HOURS.id]
            or any(use > most for use, most in zip(uses, self.most_uses, strict=True))
        ):
            return None
        key = rounded(*self.figures(triple, people, run_hours, view))
        schemes = tuple(bundle.scheme for bundle in triple if bundle.scheme is not None)
        order = tuple(item.class_id for item in stated if item.station.function != "convey")
        return Found(key, order, schemes, stated, running)

    def figures(
        self, triple: Triple, people: int, run_hours: float, view: View
    ) -> tuple[float, float]:
        """The view's figure and the life-cycle cost, from sums over the bundles.

        Exact for single ways with their true people and hours, a lower bound otherwise: more people
        change formats in fewer hours, but never with less labour in all.
        """
        person_min = sum(bundle.changeover_person_min for bundle in triple)
        yearly = self.labour(triple, people, run_hours)
        yearly += run_hours * sum(bundle.per_hour for bundle in triple)
        cost = sum(bundle.standing for bundle in triple) + self.terms.annuity * yearly
        match view:
            case "first-cost":
                return sum(bundle.first_cost for bundle in triple) / PARTS, cost
            case "floor":
                return sum(bundle.area for bundle in triple) / PARTS, cost
            case "people":
                return people, cost
            case "changeover":
                return person_min, cost
            case "life-cycle-cost":
                return cost, 0.0

    def coupled_cost(self, node: Node) -> float:
        """A life-cycle cost that no line of the node undercuts, work and cost weighed together.

        Cheap stations take more work: with so many people, the stations' shares of a person add up
        to that many at the most, so that whatever a person is priced at, the stations cost no less
        than the least of cost and priced work together, less the price of the people there are
        (Lagrange's relaxation). The number of people that comes out cheapest bounds all. The work
        of format changes may be counted with the stations too, since it is done by somebody.
        """
        triple, terms = node.triple, self.terms
        used = terms.annuity * node.run_hours * sum(bundle.per_hour for bundle in triple)
        slowest = self._slowest(triple)
        faster = min(v / needed for v, needed in zip(slowest, terms.needed_cpm, strict=True))
        attended = sum(sum(bundle.always) for bundle in triple)
        best = 0.0
        for changes in (0, 1) if terms.changeovers else (0,):
            weighed = [
                sum(column) for column in zip(*(b.weighed[changes] for b in triple), strict=True)
            ]

            def staffed(people: int, changes: int = changes) -> float:
                if changes:
                    labour = terms.labour(node.run_hours, 0.0, people)
                else:
                    labour = self.labour(triple, people, node.run_hours)
                return used + terms.annuity * labour

            best = max(best, self._least_staffed(weighed, node.people, attended, faster, staffed))
        return best

    def _least_staffed(
        self,
        weighed: Sequence[float],
        people: int,
        attended: int,
        faster: float,
        staffed: Callable[[int], float],
    ) -> float:
        """The least over numbers of people of what they and the stations for them cost.

        `attended` of them stay at one station each and have no time for others.
        """
        best = float("inf")
        while staffed(people) + weighed[0] < best:
            stations = max(
                cost - price * (people - attended) / faster
                for cost, price in zip(weighed, self.terms.person_prices, strict=True)
            )
            best = min(best, staffed(people) + stations)
            people += 1
        return best

    def labour(self, triple: Triple, people: int, run_hours: float) -> float:
        """Yearly labour; a lower bound for bundles."""
        person_min = sum(bundle.changeover_person_min for bundle in triple)
        longest_min = max(bundle.changeover_min for bundle in triple)
        changeover_hours = self.terms.changeover_hours(person_min, longest_min, people)
        return self.terms.labour(run_hours, changeover_hours, people)

    def _slowest(self, triple: Triple) -> tuple[float, ...]:
        """Speeds that every line of the triple reaches at least, by format."""
        slowest = tuple(map(min, zip(*(bundle.speed_least for bundle in triple), strict=True)))
        if not self.speed_is_needed:
            return slowest
        return tuple(map(max, zip(slowest, self.terms.needed_cpm, strict=True)))

    def _fastest_cpm(self, triple: Triple, index: int) -> float:
        """A speed that no line of the triple exceeds with one format.

        The estimate falls when stops get more frequent or longer and when buffers get smaller, but
        not always when a section gets slower: it bounds only triples whose speeds are settled. The
        exact throughput of a pair of sections falls then too, and bounds the rest.
        """
        effective = self.effective(triple, index)
        settled = all(bundle.speed_least[index] == bundle.speed_most[index] for bundle in triple)
        return effective.estimate_cpm if settled else effective.pairs_cpm

    def _in_time(self, node: Node) -> bool:
        """Whether some line of the node may keep to the hours there are."""
        longest = max(bundle.changeover_min for bundle in node.triple)
        hours = node.run_hours + self.terms.changeover_hours(0.0, longest, 1)
        return hours <= self.most[HOURS.id] * (1 + BOUND_SLACK)

    def check_cancelled(self) -> None:
        """Raise CancelledError where the search was called off."""
        if self.cancel is not None and self.cancel.is_set():
            raise CancelledError("called off")


def rounded(figure: float, cost: float) -> Key:
    """A key in which equal lines are equal."""
    return round(figure, DECIMALS), round(cost, DECIMALS)


class _Ranking:
    """One run of the search in one view."""

    def __init__(self, search: Search, view: View) -> None:
        self.search = search
        self.view = view
        self.heap: list[tuple[Key, int, tuple[str, ...], int, Node | Found]] = []
        self.ticket = count()

    def run(self, root: Triple) -> Iterator[Found]:
        """Give out lines, best first."""
        search = self.search
        start = search.node(root)
        if start is not None:
            self._put(self._bound(start), start)
        while self.heap:
            search.check_cancelled()
            key, _, _, _, item = heapq.heappop(self.heap)
            if isinstance(item, Found):
                yield item
            elif not item.settled:
                if search.settle(item):
                    self._put(max(key, self._bound(item)), item)
            elif item.single:
                found = search.finish(item, self.view)
                if found is not None:
                    self._put(found.key, found)
            else:
                for part in search.parts(item):
                    self._put(max(key, self._bound(part)), part)

    def _put(self, key: Key, item: Node | Found) -> None:
        exact, order = (1, item.order) if isinstance(item, Found) else (0, ())
        heapq.heappush(self.heap, (key, exact, order, next(self.ticket), item))

    def _bound(self, node: Node) -> Key:
        figure, cost = self.search.figures(node.triple, node.people, node.run_hours, self.view)
        if self.view == "life-cycle-cost":
            figure = max(figure, self.search.coupled_cost(node))
        slack = 0.0 if isinstance(figure, int) else figure * BOUND_SLACK
        return rounded(figure - slack, cost * (1 - BOUND_SLACK))
