"""What must grow or stay when the brief, prices or wages change, and bounds that never overshoot.

Random small catalogues and briefs (invented), and the examples. The directions are facts of
arithmetic and geometry: more room, money or people only adds to what can be built.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import islice
from typing import Any

import pytest

from lineconfig.brief import VIEWS, Brief, View
from lineconfig.catalog import Catalog, EquipmentClass
from lineconfig.connect.bundles import Bundle
from lineconfig.connect.pareto import objectives
from lineconfig.connect.search import Found, Key, Node, Search, _Ranking
from lineconfig.locate import examples_dir
from lineconfig.need import Need
from lineconfig.need_reading import read_need, settle
from lineconfig.session import Study
from tests.oracle.sampling import Case, case, shipped

CASES = range(60)
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


@pytest.mark.parametrize("number", CASES)
def test_a_higher_ceiling_loses_no_line(number: int) -> None:
    asked = case(number)
    before: set[tuple[str, ...]] = set()
    for ceiling_mm in (2400, 2800, 3300, 4000, 5000, 7000, 9000):
        found = ids(changed(asked, site={"ceiling": f"{ceiling_mm} mm"}), asked.catalog)
        assert before <= found, ceiling_mm
        before = found


@pytest.mark.parametrize("number", CASES)
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


@pytest.mark.parametrize("number", range(0, 60, 3))
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


# --- bounds ------------------------------------------------------------------------------------


def holds(bundle: Bundle, found: Found, section: int) -> bool:
    """Whether a bundle holds a line's way of its section."""
    if bundle.scheme is None:
        return any(holds(part, found, section) for part in bundle.parts)
    return bundle.scheme is found.schemes[section] and all(
        any(stated in found.stated for stated in place.stated) for place in bundle.places
    )


def way_down(search: Search, found: Found) -> Iterator[Node]:
    """The nodes that hold a line, from the one that holds all to itself alone."""
    root = search.start()
    assert root is not None
    node = search.node(root)
    while True:
        assert node is not None, "a line that keeps to every limit was pruned"
        yield node
        if node.single:
            return
        parts = [
            part
            for part in search.parts(node)
            if all(holds(bundle, found, i) for i, bundle in enumerate(part.triple))
        ]
        assert len(parts) == 1, "a line is in exactly one part"
        node = parts[0]


def check_bounds(study: Study, found: Found) -> None:
    """Nothing that a node says of its lines is above what this line of it comes to."""
    search, running = study.search, found.running
    path = list(way_down(search, found))
    keys: dict[View, Key] = {}
    for view in VIEWS:
        alone = search.finish(path[-1], view)
        assert alone is not None and alone.order == found.order
        keys[view] = alone.key
    exactly = replace(path[-1], people=running.people, run_hours=running.run_hours)
    in_everything = objectives(search, exactly)
    for node in path:
        for settled in (False, True):
            if settled:
                assert search.settle(node), "a line that keeps to the hours was pruned"
            assert node.people <= running.people
            assert node.run_hours <= running.run_hours * (1 + 1e-9)
            for view, key in keys.items():
                assert _Ranking(search, view)._bound(node) <= key, view
            bounds = objectives(search, node)
            assert all(map(float.__le__, bounds, in_everything))


def test_no_bound_overshoots() -> None:
    """On the way from everything down to a line, no bound is above the line itself."""
    for number in answered():
        study = study_of(number)
        lines = list(study.found("first-cost"))
        for found in random.Random(number).sample(lines, min(6, len(lines))):
            check_bounds(study, found)


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_bound_overshoots_in_the_examples(name: str) -> None:
    catalog = shipped()
    study = Study(read_need(examples_dir() / f"{name}.yaml", catalog), catalog)
    for view in VIEWS:
        for found in islice(study.found(view), 0, 10, 4):
            check_bounds(study, found)
