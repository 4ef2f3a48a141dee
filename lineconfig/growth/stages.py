"""The cheapest path through the phases: a shortest path in a stage graph.

A node of the graph is a line in a phase together with the age of its machines, since what a machine
brings in depends on its age. Nodes that cannot lead to a cheaper end than another node of the same
line are dropped as they are made: an older machine is worth less from then on, but never by more
than it is worth less now, taken at the dearest that it may be extended to.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from lineconfig.growth.ledger import Choice, Item, Market, Path, follow, move


@dataclass(frozen=True, slots=True)
class _Node:
    cost: float
    """Spent up to and with this phase, in present value."""
    place: int
    bought: tuple[float, ...]
    """When each of the line's items was bought."""
    stepped: bool
    before: _Node | None

    def places(self) -> list[int]:
        node: _Node | None = self
        result = []
        while node is not None:
            result.append(node.place)
            node = node.before
        return result[::-1]


@dataclass(frozen=True)
class StageGraph:
    """The lines of every phase, and the terms that lead from one to the next."""

    market: Market
    starts: tuple[float, ...]
    """When each phase starts, the first at 0 [years]."""
    end: float
    stages: tuple[tuple[Choice, ...], ...]
    """The lines of each phase."""
    _spends: dict[tuple[int, int, int, tuple[float, ...]], float] = field(
        default_factory=dict, repr=False, compare=False
    )
    """What was worked out: by phase, line before, line after and when what is sold was bought."""
    _dearest: dict[tuple[int, str], Item] = field(default_factory=dict, repr=False, compare=False)

    def cheapest(self, *, stepping: bool = False, first: int | None = None) -> Path | None:
        """The cheapest path; None where there is none.

        `stepping` asks for a path that changes the line at least once, `first` for one that begins
        with that line. The first of equals, in the order of the stages.
        """
        nodes = self._first_nodes(first)
        for phase in range(1, len(self.stages)):
            nodes = self._next_nodes(nodes, phase)
        ends = [node for node in nodes if node.stepped or not stepping]
        if not ends:
            return None
        last = len(self.stages) - 1
        best = min(ends, key=lambda node: (node.cost - self._left(node, last), node.places()))
        return self.along(best.places())

    def along(self, places: Sequence[int]) -> Path:
        """The path with these places in the stages."""
        choices = [stage[place] for stage, place in zip(self.stages, places, strict=True)]
        return follow(self.market, self.starts, self.end, choices)

    def unchanging(self) -> list[Path]:
        """One path for every line that serves all phases as it is, within the budget or not."""
        rows = [{choice.classes: choice for choice in stage} for stage in self.stages]
        return [
            follow(self.market, self.starts, self.end, [row[classes] for row in rows])
            for classes in rows[0]
            if all(classes in row for row in rows)
        ]

    def least_spend(self) -> Path | None:
        """Whatever costs least to buy, each time anew; the cheaper to run of equals."""
        places: list[int] = []
        bought: dict[str, float] = {}
        before: Choice | None = None
        for phase, stage in enumerate(self.stages):
            start = self.starts[phase]
            ages = {name: start - at for name, at in bought.items()}
            old = before.items if before else {}
            ranked = sorted(
                (round(move(self.market, old, choice.items, ages).spend, 6), choice.yearly, place)
                for place, choice in enumerate(stage)
                if phase or choice.affordable
            )
            if not ranked:
                return None
            places.append(ranked[0][2])
            before = stage[places[-1]]
            bought = {name: bought.get(name, start) for name in before.items}
        return self.along(places)

    # --- nodes -----------------------------------------------------------------------------------

    def _running(self, phase: int, choice: Choice) -> float:
        stop = self.starts[phase + 1] if phase + 1 < len(self.starts) else self.end
        return choice.yearly * self.market.during(self.starts[phase], stop)

    def _first_nodes(self, first: int | None) -> list[_Node]:
        nodes = []
        for place, choice in enumerate(self.stages[0]):
            if choice.affordable and first in (None, place):
                cost = move(self.market, {}, choice.items, {}).spend + self._running(0, choice)
                nodes.append(_Node(cost, place, (0.0,) * len(choice.items), False, None))
        return nodes

    def _next_nodes(self, nodes: Sequence[_Node], phase: int) -> list[_Node]:
        start, factor = self.starts[phase], self.market.at(self.starts[phase])
        made: dict[tuple[int, bool], list[_Node]] = defaultdict(list)
        running = [self._running(phase, choice) for choice in self.stages[phase]]
        for node in nodes:
            old = self.stages[phase - 1][node.place]
            bought = dict(zip(old.items, node.bought, strict=True))
            for place, choice in enumerate(self.stages[phase]):
                spend = self._spend(phase, node.place, place, bought)
                stepped = node.stepped or choice.classes != old.classes
                made[place, stepped].append(
                    _Node(
                        node.cost + spend * factor + running[place],
                        place,
                        tuple(bought.get(name, start) for name in choice.items),
                        stepped,
                        node,
                    )
                )
        return [node for group in made.values() for node in self._undominated(group, phase)]

    def _spend(self, phase: int, before: int, after: int, bought: dict[str, float]) -> float:
        old, new = self.stages[phase - 1][before].items, self.stages[phase][after].items
        sold = tuple(at for name, at in bought.items() if name not in new)
        key = (phase, before, after, sold)
        if key not in self._spends:
            ages = {name: self.starts[phase] - at for name, at in bought.items()}
            self._spends[key] = move(self.market, old, new, ages).spend
        return self._spends[key]

    def _undominated(self, group: list[_Node], phase: int) -> list[_Node]:
        """The nodes of one line that may still lead to the cheapest end."""
        start, factor = self.starts[phase], self.market.at(self.starts[phase])
        names = tuple(self.stages[phase][group[0].place].items)
        items = [self._at_its_dearest(phase, name) for name in names]
        kept: list[tuple[_Node, list[float]]] = []
        for node in sorted(group, key=lambda node: (node.cost, node.places())):
            values = [
                self.market.resale(item, start - at) * factor
                for item, at in zip(items, node.bought, strict=True)
            ]
            if not any(
                other.cost
                + sum(max(0.0, mine - theirs) for mine, theirs in zip(values, worth, strict=True))
                <= node.cost
                for other, worth in kept
            ):
                kept.append((node, values))
        return [node for node, _ in kept]

    def _at_its_dearest(self, phase: int, name: str) -> Item:
        """A class as the dearest line has it from a phase on: kept machines may be extended."""
        key = (phase, name)
        if key not in self._dearest:
            later = [
                choice.items[name]
                for stage in self.stages[phase:]
                for choice in stage
                if name in choice.items
            ]
            prices = [item.price for item in later if item.resold]
            self._dearest[key] = Item(max(prices, default=0.0))
        return self._dearest[key]

    def _left(self, node: _Node, phase: int) -> float:
        items = self.stages[phase][node.place].items.values()
        return self.market.at(self.end) * sum(
            self.market.resale(item, self.end - at)
            for item, at in zip(items, node.bought, strict=True)
        )
