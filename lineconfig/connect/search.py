"""Exact k-best search.

Best-first with admissible bounds (`bounds`) over triples of bundles, one for each section. A triple
comes with a figure that no line in it undercuts, read off the triple that it is a part of. When it
comes up, its own bounds are worked out and it goes back; when it comes up again it is opened where
its parts lie furthest apart, and the parts go on the heap. A triple of single ways is one line: it
is worked out exactly and goes back with its true figure. A line is given out when it comes up
exact: nothing that is left can be better, so the list is complete as far as it goes, and the search
never looks at the rest.
"""

from __future__ import annotations

import heapq
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import count
from typing import NamedTuple

from lineconfig.assess.flow import EffectiveSpeed
from lineconfig.brief import View
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.limits import ADDITIVE, HOURS, LIMITS, PEOPLE
from lineconfig.choose.sections import CancelledError, Scheme
from lineconfig.connect.bounds import BOUND_SLACK, Bounds, Node
from lineconfig.connect.bundles import PARTS, Bundle, Bundler, Stated
from lineconfig.connect.graph import agree
from lineconfig.connect.hours import CATCH_UP, Hours, Triple
from lineconfig.connect.openings import Gains, Opening, PartFigures, SpeedSplit, openings_of
from lineconfig.connect.terms import Terms

__all__ = ["BOUND_SLACK", "CATCH_UP", "Found", "Key", "Node", "Running", "Search"]

Key = tuple[float, float]
"""The view's figure, then life-cycle cost: what lines are ordered by."""

AMPLE = 1.5
"""With so many times the hours that a node takes at the least, the effective speed can wait."""
REACHED_SLACK = 1e-6
"""Relative slack over a cost that a line is known to have."""
NO_RISE = 1e-9
"""Cost above its node's up to which a part is the one that comes first [currency]."""
DECIMALS = 2
"""To which the figures that rank are rounded, so that equals are equals."""


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


@dataclass(frozen=True, slots=True)
class Found:
    """One line in the order of the search.

    A line that is put into a room comes out of the search with the least chain between its
    machines, which no plan undercuts; `Search.restated` makes of it the line that its plan has.
    """

    key: Key
    cost: float
    """Life-cycle cost."""
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
        hours: Hours | None = None,
        may_fit: Callable[[Triple], bool] | None = None,
    ) -> None:
        self.may_fit = may_fit
        """Whether any line of a triple may fit the room; None where that is not asked."""
        self.schemes = schemes
        self.bundler = bundler
        self.terms = terms
        self.cancel = cancel
        allowed = {
            limit.id: None if limit.id in without else limit.allowed(inquiry) for limit in LIMITS
        }
        self.most = {name: float("inf") if a is None else a for name, a in allowed.items()}
        self.most_uses = tuple(self.most[limit.id] for limit in ADDITIVE)
        self.whole: Node | None = None
        """The node of all lines, once it has been priced with care."""
        self.gains = Gains()
        """What is learned of openings serves every run."""
        self.bounds = Bounds(
            terms, self.most, self.most_uses, hours or Hours(terms),
            speed_is_needed="speed" not in without,
        )  # fmt: skip

    def root(self, section: str, only: Mapping[str, frozenset[str]]) -> Bundle | None:
        """Everything that a section allows."""
        schemes = self.schemes[section]
        concerned = {name: only[name] for name in only if schemes and name in schemes[0].options}
        return self.bundler.root(schemes, concerned)

    def ranked(
        self,
        view: View,
        only: Mapping[str, frozenset[str]] | None = None,
        *,
        reached: float = float("inf"),
    ) -> Iterator[Found]:
        """Lines in the order of the view, best first, each exactly once.

        `only` narrows functions to some classes. `reached` is a life-cycle cost that some line is
        known to have: what costs more is looked at less closely. Raises CancelledError when called
        off.
        """
        root = self.start(only)
        if root is None:
            return iter(())
        return _Ranking(self, view, reached).run(root, self.whole if only else None)

    def node(self, triple: Triple) -> Node | None:
        """A triple with its bounds; None where no line in it can serve."""
        if self.may_fit is not None and not self.may_fit(triple):
            return None
        return self.bounds.node(triple)

    def start(self, only: Mapping[str, frozenset[str]] | None = None) -> Triple | None:
        """The triple that holds every line; None where a section allows nothing."""
        empties, filling, packing = (self.root(name, only or {}) for name in self.schemes)
        if empties is None or filling is None or packing is None:
            return None
        return empties, filling, packing

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
        people = max(1, self.bounds.roster(triple, rated_cpm).people)
        speeds = tuple(self.bounds.hours.effective(triple, i) for i in range(len(terms.cans)))
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
        cost = self.bounds.life_cycle_cost(triple, people, run_hours)
        figure = self.bounds.figure(triple, people, view)
        key = rounded(cost, 0.0) if view == "life-cycle-cost" else rounded(figure, cost)
        schemes = tuple(bundle.scheme for bundle in triple if bundle.scheme is not None)
        order = tuple(item.class_id for item in stated if item.station.function != "convey")
        return Found(key, cost, order, schemes, stated, running)

    def restated(self, found: Found, stated: tuple[Stated, ...], view: View) -> Found | None:
        """A line found with its conveyors as its plan has them; None where it breaks a limit then.

        Speeds, people and hours stay as they are: chain has no stops of its own, and the buffer
        that they count on is that of the least chain.
        """
        uses = map(sum, zip(*(item.uses for item in stated), strict=True))
        if any(use > most for use, most in zip(uses, self.most_uses, strict=True)):
            return None
        terms, running = self.terms, found.running
        yearly = terms.labour(running.run_hours, running.changeover_hours, running.people)
        yearly += running.run_hours * sum(item.per_hour for item in stated)
        cost = sum(item.standing for item in stated) + terms.annuity * yearly
        match view:
            case "life-cycle-cost":
                key = rounded(cost, 0.0)
            case "first-cost":
                key = rounded(sum(item.whole[0] for item in stated) / PARTS, cost)
            case "floor":
                key = rounded(sum(item.whole[1] for item in stated) / PARTS, cost)
            case "people" | "changeover":
                key = rounded(found.key[0], cost)
        # Sums in another order may fall short of the bound by less than a cent.
        return replace(found, key=max(key, found.key), cost=cost, stated=stated)

    def check_cancelled(self) -> None:
        """Raise CancelledError where the search was called off."""
        if self.cancel is not None and self.cancel.is_set():
            raise CancelledError("called off")


def rounded(figure: float, cost: float) -> Key:
    """A key in which equal lines are equal."""
    return round(figure, DECIMALS), round(cost, DECIMALS)


class Branch(NamedTuple):
    """A part of a node that nobody has looked at yet."""

    parent: Node
    opening: Opening | SpeedSplit
    which: int
    rise: float
    """What it is known to cost more than the parent at least [currency]."""

    @property
    def part(self) -> Triple:
        """The triple that holds its lines."""
        return self.opening.part(self.which)


class _Ranking:
    """One run of the search in one view."""

    def __init__(self, search: Search, view: View, reached: float = float("inf")) -> None:
        self.search = search
        self.bounds = search.bounds
        self.view = view
        self.heap: list[tuple[Key, int, tuple[str, ...], int, Node | Branch | Found]] = []
        self.ticket = count()
        self.gains = search.gains
        self.roughly = view == "first-cost"
        self.enough = reached * (1 + REACHED_SLACK) if view == "life-cycle-cost" else float("inf")

    def run(self, root: Triple, holding: Node | None = None) -> Iterator[Found]:
        """Give out lines, best first; `holding` is a priced node that the root is a part of."""
        start = self.search.node(root)
        if start is not None and self.bounds.settle(start):
            self._take(start, (0.0, 0.0), holding)
            if holding is None and not self.roughly and any(one.prices for one in start.staffed):
                self.search.whole = start
        while self.heap:
            self.search.check_cancelled()
            key, _, _, _, item = heapq.heappop(self.heap)
            if isinstance(item, Found):
                yield item
            elif isinstance(item, Branch):
                node = self.search.node(item.part)
                cost = None
                if node is not None and self._settled(node):
                    cost = self._take(node, key, item.parent)
                # The part that comes first is opened in any case: what it gains is what counts.
                if item.rise <= NO_RISE:
                    self.gains.learn(item.opening.name, item.parent.cost + item.rise, cost)
            else:
                self.open(item, key)

    def _settled(self, node: Node) -> bool:
        """Whether the node keeps to the hours, as far as it is worth knowing."""
        if self.roughly and node.run_hours * AMPLE < self.search.most[HOURS.id]:
            return True
        return self.bounds.settle(node)

    def _take(self, node: Node, key: Key, parent: Node | None) -> float | None:
        """Put a node on the heap with its own bounds, or its line; its life-cycle cost at least.

        None where it is a line that breaks a limit.
        """
        if node.single:
            found = self.search.finish(node, self.view)
            if found is None:
                return None
            self._put(found.key, found)
            return found.cost
        self.bounds.price(node, parent, roughly=self.roughly, enough=self.enough)
        self._put(max(key, self.bound(node)), node)
        return node.cost

    def open(self, node: Node, key: Key) -> None:
        """Put a node's parts on the heap, each with what it costs more at the node's prices."""
        opening = self._widest(node)
        rises = [opening.rises(each.prices) for each in node.staffed]
        for which in range(len(rises[0])):
            part = opening.figures(which)
            if part is None:
                continue
            rise = [each[which] for each in rises]
            cost = self._cost(node, rise)
            bound = self._key(self._figure(node, part), cost)
            self._put(max(key, bound), Branch(node, opening, which, cost - node.cost))

    def _widest(self, node: Node) -> Opening | SpeedSplit:
        """Where to open a node: first what speeds hang on, then where bounds rise most.

        Speeds decide on crew and hours alike, and bounds are loose while they are open.
        """
        openings = openings_of(node.triple)
        if len(openings) == 1:
            return openings[0]
        _, prices = node.guess
        for opening in openings:
            if opening.name not in self.gains:
                self._try(node, opening)
        return max(openings, key=lambda opening: opening.score(self.gains, prices))

    def _try(self, node: Node, opening: Opening | SpeedSplit) -> None:
        """Look at one part of an opening of which nothing is known yet."""
        _, prices = node.guess
        rises = opening.rises(prices)
        which = rises.index(min(rises))
        child = self.search.node(opening.part(which))
        cost = None
        if child is not None and self._settled(child):
            self.bounds.price(child, node, roughly=self.roughly, enough=self.enough)
            cost = child.cost
        self.gains.learn(opening.name, node.cost + rises[which], cost)

    def _figure(self, node: Node, part: PartFigures) -> float:
        match self.view:
            case "first-cost":
                return part.first_cost / PARTS
            case "floor":
                return part.area / PARTS
            case "changeover":
                return part.changeover_person_min
            case "people":
                return node.people
            case "life-cycle-cost":
                return 0.0

    def _cost(self, node: Node, rise: Sequence[float]) -> float:
        """The least life-cycle cost of a part that comes first in the view."""
        if self.view == "people":
            return node.staffed[0].raised(rise[0])
        return min(each.raised(more) for each, more in zip(node.staffed, rise, strict=True))

    def _put(self, key: Key, item: Node | Branch | Found) -> None:
        exact, order = (1, item.order) if isinstance(item, Found) else (0, ())
        heapq.heappush(self.heap, (key, exact, order, next(self.ticket), item))

    def bound(self, node: Node) -> Key:
        """What no line of a node comes before."""
        figure = self.bounds.figure(node.triple, node.people, self.view)
        return self._key(figure, self._cost(node, [0.0 for _ in node.staffed]))

    def _key(self, figure: float, cost: float) -> Key:
        cost *= 1 - BOUND_SLACK
        if self.view == "life-cycle-cost":
            return rounded(cost, 0.0)
        slack = 0.0 if self.view == "people" else figure * BOUND_SLACK
        return rounded(figure - slack, cost)
