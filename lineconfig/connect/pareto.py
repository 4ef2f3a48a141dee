"""The Pareto set: lines that no other line beats in everything at once.

Everything is first cost, floor, work of a changeover, running hours (which fall as effective speed
rises) and yearly labour. Found by the same bundles and bounds as the ranking: a bundle whose bounds
are all reached by one line that is known holds nothing new.
"""

from __future__ import annotations

import heapq
from collections.abc import Mapping
from itertools import count

from lineconfig.connect.bounds import BOUND_SLACK, Node
from lineconfig.connect.bundles import PARTS
from lineconfig.connect.search import DECIMALS, Found, Key, Search

Figures = tuple[float, float, float, float, float]
OBJECTIVES = ("first_cost", "area_m2", "changeover_person_min", "run_hours", "labour")


def figures_of(search: Search, found: Found) -> Figures:
    """The figures of OBJECTIVES of one line."""
    running = found.running
    return (
        round(sum(item.whole[0] for item in found.stated) / PARTS, DECIMALS),
        round(sum(item.whole[1] for item in found.stated) / PARTS, DECIMALS),
        round(sum(item.station.changeover_person_min for item in found.stated), DECIMALS),
        round(running.run_hours, DECIMALS),
        round(
            search.terms.labour(running.run_hours, running.changeover_hours, running.people),
            DECIMALS,
        ),
    )


def objectives(search: Search, node: Node) -> Figures:
    """The figures of OBJECTIVES that no line of the node undercuts, a little slack for rounding
    taken off."""
    triple = node.triple
    slack = 1 - BOUND_SLACK
    return (
        round(sum(bundle.first_cost for bundle in triple) / PARTS, DECIMALS),
        round(sum(bundle.area for bundle in triple) / PARTS, DECIMALS),
        round(sum(bundle.changeover_person_min for bundle in triple), DECIMALS),
        round(node.run_hours * slack, DECIMALS),
        round(search.bounds.labour(triple, node.people, node.run_hours) * slack, DECIMALS),
    )


class Front:
    """Lines of which none is reached by another in every figure."""

    def __init__(self) -> None:
        self.lines: list[tuple[Figures, Found]] = []

    def reaches(self, figures: Figures) -> bool:
        """Whether some known line is at least as good in everything.

        The line that answered last is asked first next time: neighbours are beaten by the same.
        """
        a, b, c, d, e = figures
        for place, ((p, q, r, s, t), _) in enumerate(self.lines):
            if p <= a and q <= b and r <= c and s <= d and t <= e:
                if place:
                    self.lines.insert(0, self.lines.pop(place))
                return True
        return False

    def add(self, figures: Figures, found: Found) -> None:
        """Take a line in, and drop those that it reaches."""
        self.lines = [
            (known, line)
            for known, line in self.lines
            if any(theirs < ours for theirs, ours in zip(known, figures, strict=True))
        ]
        self.lines.append((figures, found))


def pareto_set(
    search: Search, only: Mapping[str, frozenset[str]] | None = None
) -> list[tuple[Figures, Found]]:
    """One line for each unbeaten combination of the OBJECTIVES, lowest first cost first.

    Complete. Raises CancelledError when called off.
    """
    front = Front()
    root = search.start(only)
    start = search.node(root) if root is not None else None
    if start is None:
        return []
    ticket = count()
    heap: list[tuple[Key, int, Node]] = [((0.0, 0.0), next(ticket), start)]
    while heap:
        search.check_cancelled()
        key, _, node = heapq.heappop(heap)
        if front.reaches(objectives(search, node)):
            continue
        if not node.settled:
            if search.bounds.settle(node):
                heapq.heappush(heap, (key, next(ticket), node))
        elif node.single:
            found = search.finish(node, "life-cycle-cost")
            if found is not None:
                figures = figures_of(search, found)
                if not front.reaches(figures):
                    front.add(figures, found)
        else:
            for part in search.parts(node):
                if front.reaches(objectives(search, part)):
                    continue
                cost = search.bounds.life_cycle_cost(part.triple, part.people, part.run_hours)
                heapq.heappush(heap, ((cost, 0.0), next(ticket), part))
    return sorted(front.lines, key=lambda item: (item[0], item[1].order))
