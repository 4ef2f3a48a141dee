"""What must grow or stay when the brief, prices or wages change, and bounds that never overshoot.

Random small catalogues and briefs (invented), and the examples. The directions are facts of
arithmetic and geometry: more room, money or people only adds to what can be built.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from functools import cache
from itertools import islice
from typing import Any

import pytest

from lineconfig.assess.flow import line_effective_speed
from lineconfig.brief import VIEWS, Brief, View
from lineconfig.catalog import Catalog, EquipmentClass
from lineconfig.connect.bounds import Node
from lineconfig.connect.bundles import Bundle
from lineconfig.connect.hours import Triple, pair_minutes, stopping
from lineconfig.connect.pareto import objectives
from lineconfig.connect.search import Branch, Found, Key, _Ranking
from lineconfig.locate import examples_dir
from lineconfig.need import Need
from lineconfig.need_reading import read_need, settle
from lineconfig.session import Study
from tests.oracle.sampling import Case, case, shipped

CASES = range(60)
MANY = {19, 36, 41, 54, 59}
"""Cases with so many lines, each placed in its room, that they are looked at nightly."""
EACH_CASE = [
    pytest.param(number, marks=[pytest.mark.slow] if number in MANY else []) for number in CASES
]
FEW = 400
EXAMPLES = ("co-packer", "growing-brewery", "high-speed-plant", "mobile-canner", "startup")


@cache
def study_of(number: int) -> Study:
    return Study(case(number).need, case(number).catalog)


@cache
def answered() -> tuple[int, ...]:
    """The cases that have lines, few enough to look at each."""
    numbers = [n for n in CASES if 0 < study_of(n).combinations <= FEW and study_of(n).feasible]
    assert len(numbers) > len(CASES) // 3
    return tuple(numbers)


def ids(need: Need, catalog: Catalog) -> set[tuple[str, ...]]:
    return {found.order for found in Study(need, catalog).found("first-cost")}


def changed(asked: Case, **parts: dict[str, Any]) -> Need:
    """The need of the brief with other words in it."""
    plain = asked.need.brief.model_dump(by_alias=True, exclude_none=True)
    for key, value in parts.items():
        plain[key] = {**plain.get(key, {}), **value} if isinstance(value, dict) else value
    return settle(Brief.model_validate(plain), asked.catalog)


# --- more of something never loses a line ------------------------------------------------------


@pytest.mark.parametrize("number", EACH_CASE)
def test_a_higher_ceiling_loses_no_line(number: int) -> None:
    asked = case(number)
    before: set[tuple[str, ...]] = set()
    for ceiling_mm in (2400, 2800, 3300, 4000, 5000, 7000, 9000):
        found = ids(changed(asked, site={"ceiling": f"{ceiling_mm} mm"}), asked.catalog)
        assert before <= found, ceiling_mm
        before = found


@pytest.mark.parametrize("number", EACH_CASE)
def test_more_people_and_more_money_lose_no_line(number: int) -> None:
    asked = case(number)
    for key, texts in (
        ("staff", [{"per_shift": people} for people in (1, 2, 3, 4, 6, 10)]),
        ("budget", [f"{budget} USD" for budget in (100_000, 300_000, 700_000, 1_500_000, 10**7)]),
    ):
        before: set[tuple[str, ...]] = set()
        for value in texts:
            found = ids(changed(asked, **{key: value}), asked.catalog)
            assert before <= found, value
            before = found


def test_limits_do_cut_and_open() -> None:
    """The tests above would pass on empty lists: here they are not."""
    asked = case(answered()[0])
    none = ids(changed(asked, budget="1 USD"), asked.catalog)
    some = ids(changed(asked, budget="100000000 USD"), asked.catalog)
    assert not none and some
    low = ids(changed(asked, site={"ceiling": "1100 mm"}), asked.catalog)
    assert not low


# --- linear in prices and wages ----------------------------------------------------------------


def dearer(catalog: Catalog, factor: float, only: str | None = None) -> Catalog:
    """The catalogue with every price (or one class's) so many times as high."""

    def scaled(value: Any) -> Any:
        return {k: f"{float(v.split()[0]) * factor!r} USD" for k, v in value.items()}

    classes = {}
    for name, item in catalog.classes.items():
        plain = item.model_dump(by_alias=True, exclude_none=True)
        if only in (None, name):
            for key in ("price", "price_per_track", "area_price"):
                if key in plain:
                    plain[key] = scaled(plain[key])
            for part in plain.get("changeover", {}).get("parts", []):
                part["price"] = scaled(part["price"])
        classes[name] = EquipmentClass.model_validate(plain)
    return replace(catalog, classes=classes)


def first_costs(need: Need, catalog: Catalog) -> dict[tuple[str, ...], float]:
    return {
        layout.classes: layout.money.first_cost.typical
        for layout in Study(need, catalog).layouts("floor")
    }


@pytest.mark.parametrize("number", EACH_CASE[::3])
def test_first_cost_is_linear_in_prices(number: int) -> None:
    asked = case(number)
    need = changed(asked, budget="1000000000 USD")
    once, twice, thrice = (first_costs(need, dearer(asked.catalog, factor)) for factor in (1, 2, 3))
    assert once.keys() == twice.keys() == thrice.keys()
    for classes, cost in once.items():
        assert twice[classes] == pytest.approx(2 * cost, rel=1e-9)
        assert thrice[classes] == pytest.approx(3 * cost, rel=1e-9)


def test_a_dearer_class_makes_its_own_lines_dearer_only() -> None:
    asked = case(answered()[1])
    need = changed(asked, budget="1000000000 USD")
    before = first_costs(need, asked.catalog)
    packer = next(
        class_id
        for class_id in next(iter(before))
        if asked.catalog.classes[class_id].function == "pack"
    )
    after = first_costs(need, dearer(asked.catalog, 1.5, packer))
    for classes, cost in before.items():
        if packer in classes:
            assert after[classes] > cost
        else:
            assert after[classes] == pytest.approx(cost, rel=1e-12)


@pytest.mark.parametrize("name", EXAMPLES)
def test_life_cycle_cost_is_linear_in_the_wage(name: str) -> None:
    """For a line that stays the same: labour is hours times people times the wage."""
    catalog = shipped()
    need = read_need(examples_dir() / f"{name}.yaml", catalog)
    layout = Study(need, catalog).best(1)[0]
    fixed = {catalog.classes[class_id].function: class_id for class_id in layout.classes}
    costs = {}
    for wage in (10.0, 25.0, 40.0, 100.0):
        study = Study(replace(need, wage_per_h=wage), catalog, only=fixed)  # type: ignore[arg-type]
        (only,) = study.best(2)
        assert only.classes == layout.classes
        costs[wage] = only.money.life_cycle_cost.typical
    slope = (costs[40.0] - costs[10.0]) / 30
    assert slope > 0
    assert costs[25.0] == pytest.approx(costs[10.0] + 15 * slope, rel=1e-12)
    assert costs[100.0] == pytest.approx(costs[10.0] + 90 * slope, rel=1e-12)


# --- running times -----------------------------------------------------------------------------


def stretches_at_random(rng: random.Random) -> tuple[list[float], list[float], list[float]]:
    """Paces, stops per can and standstill of three stretches, as lines have them."""
    speed_cpm = rng.uniform(30, 800)
    paces = [1 / (speed_cpm * rng.choice((1, 1.1, rng.uniform(0.8, 2)))) for _ in range(3)]
    often = [1 / math.exp(rng.uniform(math.log(300), math.log(20_000))) for _ in range(3)]
    return paces, often, [each * rng.uniform(0.3, 5) for each in often]


@pytest.mark.parametrize("seed", range(20))
def test_time_through_two_stretches_is_convex_in_pace_and_standstill(seed: int) -> None:
    """What tangents rest on: half-way between two manners a can takes no longer than on average."""
    rng = random.Random(seed)
    for _ in range(100):
        paces, often, lost = stretches_at_random(rng)
        room_cans = rng.choice((0, 50, rng.uniform(0, 2000)))
        ends = []
        for _ in range(2):
            faster = [pace * math.exp(rng.uniform(-0.4, 0.4)) for pace in paces[:2]]
            longer = [each * math.exp(rng.uniform(-0.7, 0.7)) for each in lost[:2]]
            ends.append((faster, longer))
        pairs = zip(*ends, strict=True)
        middle = tuple([(a + b) / 2 for a, b in zip(*pair, strict=True)] for pair in pairs)

        def minutes(
            manner: tuple[list[float], list[float]],
            often: list[float] = often,
            room_cans: float = room_cans,
        ) -> float:
            first, second = (
                stopping(1 / pace, each, own)
                for pace, each, own in zip(manner[0], often, manner[1], strict=False)
            )
            return pair_minutes(first, second, room_cans)

        assert minutes(middle) <= (minutes(ends[0]) + minutes(ends[1])) / 2 * (1 + 1e-11)  # type: ignore[arg-type]


@pytest.mark.parametrize("seed", range(20))
def test_rarer_and_longer_stops_never_make_a_line_faster(seed: int) -> None:
    """The same standstill in fewer stops, or more standstill in as many."""
    rng = random.Random(seed)
    for _ in range(20):
        paces, often, lost = stretches_at_random(rng)
        rooms = [rng.choice((0, 50, rng.uniform(0, 2000))) for _ in range(2)]

        def cpm(
            often: list[float],
            lost: list[float],
            paces: list[float] = paces,
            rooms: list[float] = rooms,
        ) -> float:
            line = [
                stopping(1 / pace, each, own)
                for pace, each, own in zip(paces, often, lost, strict=True)
            ]
            upstream, filler, downstream = line
            return line_effective_speed(upstream, filler, downstream, *rooms).estimate_cpm

        before = cpm(often, lost)
        rarer = [each * rng.uniform(0.5, 1) for each in often]
        longer = [each * rng.uniform(1, 2) for each in lost]
        assert cpm(rarer, lost) <= before * (1 + 1e-9)
        assert cpm(often, longer) <= before * (1 + 1e-9)


# --- bounds ------------------------------------------------------------------------------------


def holds(bundle: Bundle, found: Found, section: int) -> bool:
    """Whether a bundle holds a line's way of its section."""
    if bundle.scheme is None:
        return any(holds(part, found, section) for part in bundle.parts)
    return bundle.scheme is found.schemes[section] and all(
        any(stated in found.stated for stated in place.stated) for place in bundle.places
    )


def branch_of(ranking: _Ranking, node: Node, found: Found) -> tuple[Key, Triple]:
    """The part of a node that holds a line, and what the search expects of it."""
    ranking.heap.clear()
    ranking.open(node, ranking.bound(node))
    parts = []
    for key, _, _, _, branch in ranking.heap:
        assert isinstance(branch, Branch)
        part = branch.part
        if all(holds(bundle, found, i) for i, bundle in enumerate(part)):
            parts.append((key, part))
    assert len(parts) == 1, "a line is in exactly one part"
    return parts[0]


def check_bounds(study: Study, found: Found, view: View) -> None:
    """On the way from everything down to a line, nothing said of its lines is above this one."""
    search, running = study.search, found.running
    bounds = search.bounds
    ranking = _Ranking(search, view)
    triple = search.start()
    assert triple is not None
    before: Node | None = None
    path = []
    while True:
        node = bounds.node(triple)
        assert node is not None, "a line that keeps to every limit was pruned"
        path.append(node)
        for settled in (False, True):
            if settled:
                assert bounds.settle(node), "a line that keeps to the hours was pruned"
            assert node.people <= running.people
            assert node.run_hours <= running.run_hours * (1 + 1e-9)
        if node.single:
            break
        bounds.price(node, before)
        assert ranking.bound(node) <= found.key, view
        key, triple = branch_of(ranking, node, found)
        assert key <= found.key, view
        before = node
    alone = search.finish(node, view)
    assert alone is not None and alone.order == found.order and alone.key == found.key
    exactly = replace(node, people=running.people, run_hours=running.run_hours)
    in_everything = objectives(search, exactly)
    for node in path:
        assert all(map(float.__le__, objectives(search, node), in_everything))


def test_no_bound_overshoots() -> None:
    """On the way from everything down to a line, no bound is above the line itself."""
    for number in answered():
        study = study_of(number)
        for view in VIEWS:
            # As the search gives them out: with the least chain, which every bound counts.
            lines = list(study.search.ranked(view))
            for found in random.Random(number).sample(lines, min(3, len(lines))):
                check_bounds(study, found, view)


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_bound_overshoots_in_the_examples(name: str) -> None:
    catalog = shipped()
    study = Study(read_need(examples_dir() / f"{name}.yaml", catalog), catalog)
    for view in VIEWS:
        for found in islice(study.search.ranked(view), 0, 10, 4):
            check_bounds(study, found, view)
