"""The cheapest path against every path there is, and against a general shortest-path library."""

from __future__ import annotations

import itertools
import random

import networkx as nx
import pytest

from lineconfig.growth.ledger import Choice, Item, Market
from lineconfig.growth.stages import StageGraph

TOLERANCE = 1e-6


def random_case(seed: int) -> StageGraph:
    """Some lines over some phases; invented."""
    draw = random.Random(seed)
    names = [f"{function}-{kind}" for function in "abcd" for kind in range(3)]
    shares = {
        (f"{function}-{old}", f"{function}-{new}"): draw.choice((0.3, 0.6, 1.0))
        for function in "abcd"
        for old, new in ((0, 1), (0, 2), (1, 2))
        if draw.random() < 0.5
    }
    market = Market(
        rate=draw.choice((0.0, 0.05, 0.12)),
        buy_factor=draw.choice((1.0, 1.25)),
        at_once=draw.choice((0.0, 0.5, 0.9)),
        yearly_decline=draw.choice((0.0, 0.1, 0.3)),
        credits=shares,
    )
    price = {name: draw.uniform(5, 100) for name in names}
    phases = draw.randint(1, 4)
    starts = [0.0, *sorted(draw.sample(range(1, 9), phases - 1))]
    stages = []
    for phase in range(phases):
        lines = {}
        for _ in range(draw.randint(1, 6)):
            classes = tuple(draw.choice([n for n in names if n[0] == f]) for f in "abcd")
            lines[classes] = Choice(
                classes,
                {
                    name: Item(
                        price[name] * draw.choice((1, 1, 1 + phase)),
                        {"guides": (draw.randint(0, 1 + phase), 3.0)},
                        resold=draw.random() < 0.9,
                    )
                    for name in classes
                },
                yearly=draw.uniform(10, 90),
            )
        stages.append(tuple(lines.values()))
    return StageGraph(market, tuple(starts), 10.0, tuple(stages))


def plain_cost(graph: StageGraph, picks: tuple[Choice, ...]) -> float:
    """A path's cost, year by year, by a bookkeeper who knows nothing of the ledger."""
    market = graph.market
    owned: dict[str, tuple[float, float, dict[str, int], bool]] = {}  # bought, price, parts, resold
    cash: dict[float, float] = {}

    def book(time: float, amount: float) -> None:
        cash[time] = cash.get(time, 0.0) + amount

    def used(price: float, resold: bool, age: float) -> float:
        return price * market.at_once * (1 - market.yearly_decline) ** age if resold else 0.0

    stops = [*graph.starts[1:], graph.end]
    for start, stop, choice in zip(graph.starts, stops, picks, strict=True):
        fresh = [name for name in choice.items if name not in owned]
        for name in [name for name in owned if name not in choice.items]:
            bought, price, _, resold = owned.pop(name)
            value = used(price, resold, start - bought)
            gains = [value]
            for new in fresh:
                share = market.credits.get((name, new))
                if share is not None:
                    credit = min(share * price, choice.items[new].price)
                    gains.append(credit + (1 - share) * value)
                    break
            book(start, -max(gains))
        for name, item in choice.items.items():
            parts = {part: count for part, (count, _) in item.parts.items()}
            if name in fresh:
                cost = item.price + sum(count * price for count, price in item.parts.values())
                owned[name] = (start, item.price, parts, item.resold)
            else:
                bought, price, old_parts, _ = owned[name]
                cost = max(0.0, item.price - price) + sum(
                    max(0, count - old_parts[part]) * each
                    for part, (count, each) in item.parts.items()
                )
                owned[name] = (bought, item.price, parts, item.resold)
            book(start, cost * market.buy_factor)
        for year in range(int(start) + 1, int(stop) + 1):
            book(float(year), choice.yearly)
    for bought, price, _, resold in owned.values():
        book(graph.end, -used(price, resold, graph.end - bought))
    return sum(amount / (1 + market.rate) ** time for time, amount in cash.items())


def is_step(picks: tuple[Choice, ...]) -> bool:
    return len({choice.classes for choice in picks}) > 1


# In block 27 a machine is extended after it was kept, so that its age comes to count for more.
@pytest.mark.parametrize(
    "block",
    [*range(10), 27, *(pytest.param(n, marks=pytest.mark.slow) for n in range(10, 110) if n != 27)],
)
def test_the_cheapest_path_is_that_of_brute_force(block: int) -> None:
    for seed in range(20 * block, 20 * block + 20):
        graph = random_case(seed)
        costs = {picks: plain_cost(graph, picks) for picks in itertools.product(*graph.stages)}
        best = graph.cheapest()
        assert best is not None
        assert best.total == pytest.approx(min(costs.values()), abs=TOLERANCE), seed
        assert best.total == pytest.approx(costs[best.choices], abs=TOLERANCE), seed
        stepping = graph.cheapest(stepping=True)
        steps = [cost for picks, cost in costs.items() if is_step(picks)]
        assert (stepping is None) == (not steps), seed
        if stepping is not None:
            assert stepping.total == pytest.approx(min(steps), abs=TOLERANCE), seed
            assert stepping.steps
        for place in range(len(graph.stages[0])):
            begun = graph.cheapest(first=place)
            assert begun is not None
            least = min(c for picks, c in costs.items() if picks[0] is graph.stages[0][place])
            assert begun.total == pytest.approx(least, abs=TOLERANCE), seed


def test_lines_that_stay_are_all_found() -> None:
    for seed in range(40):
        graph = random_case(seed)
        staying = {
            picks[0].classes: plain_cost(graph, picks)
            for picks in itertools.product(*graph.stages)
            if not is_step(picks)
        }
        found = {path.choices[0].classes: path.total for path in graph.unchanging()}
        assert found == pytest.approx(staying)


def test_a_general_library_finds_the_same_path_where_age_does_not_count() -> None:
    for seed in range(40):
        case = random_case(seed)
        market = Market(case.market.rate, case.market.buy_factor, case.market.at_once, 0.0,
                        case.market.credits)  # fmt: skip
        graph = StageGraph(market, case.starts, case.end, case.stages)
        # With values that age does not change, a path costs the sum of its pairs of lines.
        shift = 1e5  # Dijkstra's method wants no negative length
        net: nx.DiGraph = nx.DiGraph()
        last = len(graph.stages) - 1
        for place, choice in enumerate(graph.stages[0]):
            cost = StageGraph(market, (0.0,), graph.starts[1] if last else graph.end,
                              ((choice,),)).along([0])  # fmt: skip
            left = sum(cost.left.values()) * market.at(cost.end)
            net.add_edge("start", (0, place), weight=cost.total + left + shift)
        for phase, (before, after) in enumerate(itertools.pairwise(graph.stages)):
            start = graph.starts[phase + 1]
            stop = graph.starts[phase + 2] if phase + 2 < len(graph.starts) else graph.end
            for (i, old), (j, new) in itertools.product(enumerate(before), enumerate(after)):
                pair = StageGraph(market, (0.0, start), stop, ((old,), (new,))).along([0, 0])
                alone = StageGraph(market, (0.0,), start, ((old,),)).along([0])
                weight = (
                    pair.total + sum(pair.left.values()) * market.at(stop)
                    - alone.total - sum(alone.left.values()) * market.at(start)
                )  # fmt: skip
                net.add_edge((phase, i), (phase + 1, j), weight=weight + shift)
        for place, choice in enumerate(graph.stages[last]):
            left = sum(market.resale(item, 0.0) for item in choice.items.values())
            net.add_edge((last, place), "end", weight=shift - left * market.at(graph.end))
        length = nx.shortest_path_length(net, "start", "end", weight="weight")
        best = graph.cheapest()
        assert best is not None
        assert best.total == pytest.approx(length - shift * (last + 2), abs=1e-5), seed


def test_a_line_beyond_the_budget_is_not_bought_today_but_counts_as_one_that_stays() -> None:
    market = Market(0.0, 1.0, 0.0, 0.0)
    small = Choice(("small",), {"small": Item(10.0)}, 10.0)
    large = Choice(("large",), {"large": Item(50.0)}, 1.0, affordable=False)
    graph = StageGraph(market, (0.0,), 10.0, ((small, large),))
    best = graph.cheapest()
    assert best is not None and best.choices == (small,)
    assert [path.total for path in graph.unchanging()] == [110.0, 60.0]
    assert StageGraph(market, (0.0,), 10.0, ((large,),)).cheapest() is None
    assert StageGraph(market, (0.0,), 10.0, ((large,),)).least_spend() is None


def test_the_least_spend_each_time_looks_no_further() -> None:
    market = Market(0.0, 1.0, 0.0, 0.0, {("table", "machine"): 1.0})
    table = Choice(("table",), {"table": Item(30.0)}, 10.0)
    trough = Choice(("trough",), {"trough": Item(20.0)}, 10.0)
    machine = Choice(("machine",), {"machine": Item(80.0)}, 5.0)
    graph = StageGraph(market, (0.0, 3.0), 5.0, ((table, trough), (machine,)))
    path = graph.least_spend()
    assert path is not None
    assert path.choices == (trough, machine)
    assert path.total == pytest.approx(20 + 30 + 80 + 10)
    best = graph.cheapest()
    assert best is not None
    assert best.choices == (table, machine)
    assert best.total == pytest.approx(30 + 30 + (80 - 30) + 10)
