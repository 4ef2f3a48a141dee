"""Lists of lines that are placed: in the order of what each costs with the chain of its plan.

Against tests/oracle/placed.py, which places every line of a flat enumeration and sorts.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from functools import cache

import pytest
import yaml

from lineconfig.brief import VIEWS, Brief, View
from lineconfig.catalog import Catalog, EquipmentClass
from lineconfig.connect.search import Found
from lineconfig.explain import why_nothing
from lineconfig.floorplan.plan import Plan
from lineconfig.floorplan.room import FLOOR_PLAN
from lineconfig.layout import BEND, CHAIN
from lineconfig.locate import examples_dir
from lineconfig.need import Need
from lineconfig.need_reading import settle
from lineconfig.present.placement import floor_record
from lineconfig.session import Study
from lineconfig.varying.needs import site_length
from tests.oracle import placed
from tests.oracle.recheck import recheck
from tests.oracle.sampling import case, shipped

PRICES = ((1800, 3200), (9000, 3200), (1800, 300), (1800, 30000))
"""Of a metre of chain and of a bend [USD]: as shipped, chain dear, a bend for less than a metre,
bends dear. The shipped ones are the catalogue's own, the others invented."""
CASES = (6, 11, 17, 27, 63, 91, 95, 105, 126, 145, 147, 163, 189, 192, 195)
"""Fixed, stowed and mobile lines; in most of them chain changes the order, in some the budget."""


def priced(catalog: Catalog, prices: tuple[int, int]) -> Catalog:
    """The catalogue with other prices of chain."""
    classes = dict(catalog.classes)
    for class_id, price in zip((CHAIN, BEND), prices, strict=True):
        plain = classes[class_id].model_dump(by_alias=True, exclude_none=True)
        classes[class_id] = EquipmentClass.model_validate({**plain, "price": f"{price} USD"})
    return replace(catalog, classes=classes)


def cramped(number: int) -> tuple[Need, Catalog, View]:
    """A random need in a room in which lines turn, and what chain costs there."""
    asked, draw = case(number), random.Random(number)
    need = asked.need
    for key, metres in (("length_mm", draw.randrange(9, 19)), ("width_mm", draw.randrange(7, 12))):
        need = site_length(key)(need, 1000.0 * metres)
    catalog = priced(asked.catalog, PRICES[number % len(PRICES)])
    return need, catalog, VIEWS[number // len(PRICES) % len(VIEWS)]


@cache
def listed(number: int) -> tuple[Study, tuple[Found, ...]]:
    """The study of a case and its whole list."""
    need, catalog, view = cramped(number)
    study = Study(need, catalog)
    return study, tuple(study.found(view))


@pytest.mark.parametrize("number", CASES)
def test_the_list_is_every_line_placed_costed_and_sorted(number: int) -> None:
    need, catalog, view = cramped(number)
    study, found = listed(number)
    assert study.room is not None and not study.room.given_up
    expected = placed.ranked(need, catalog, view)
    assert [line.order for line in found] == [line.classes for line in expected]
    for ours, theirs in zip(found, expected, strict=True):
        assert ours.key == pytest.approx(theirs.key, abs=0.02)


def test_chain_changes_the_order_and_the_budget_is_kept_with_it() -> None:
    """A check that could not fail would show nothing."""
    reordered = lost = 0
    for number in CASES:
        _, _, view = cramped(number)
        study, lines = listed(number)
        found = [line.order for line in lines]
        by_bound = [line.order for line in study.search.ranked(view)]
        reordered += [order for order in by_bound if order in set(found)] != found
        assert study.room is not None
        lost += len(set(by_bound) - set(found) - study.room.passed_over)
    assert reordered >= 5
    assert lost >= 10


@pytest.mark.parametrize("name", ["startup", "growing-brewery", "mobile-canner"])
def test_shown_layouts_cost_what_they_are_drawn_with(name: str) -> None:
    """In rooms in which lines turn; figures from tests/oracle/recheck.py."""
    plain = yaml.safe_load((examples_dir() / f"{name}.yaml").read_text())
    plain["site"] |= {"length": "48 ft", "width": "34 ft"}
    need = settle(Brief.model_validate(plain), shipped())
    study = Study(need, shipped())
    layouts = study.best(5)
    bends = 0
    for layout in layouts:
        plan = study.plan(layout)
        assert isinstance(plan, Plan)
        bends += len(plan.turns)
        assert recheck(layout, need, shipped()) == []
        assert floor_record(study, layout)["chain"]["price"] == pytest.approx(
            sum(s.price.typical for s in layout.stations if s.function == "convey"), abs=0.01
        )
        drawn = {item.station for item in plan.rectangles if item.label == "90-degree bend"}
        assert all(layout.stations[place].option.id == BEND for place in drawn if place is not None)
        assert None not in drawn
    assert bends > 0


def test_a_budget_between_the_least_chain_and_that_of_the_plan_is_not_kept() -> None:
    plain = yaml.safe_load((examples_dir() / "growing-brewery.yaml").read_text())
    plain["site"] |= {"length": "48 ft", "width": "34 ft"}
    plain["budget"] = None
    free = Study(settle(Brief.model_validate(plain), shipped()), shipped())
    cheapest = next(free.found("first-cost"))
    least = next(line for line in free.search.ranked("first-cost") if line.order == cheapest.order)
    assert least.key[0] + 2 < cheapest.key[0]
    for budget, allowed in ((least.key[0] + 1, False), (math.ceil(cheapest.key[0]), True)):
        plain["budget"] = f"{math.ceil(budget)} USD"
        study = Study(settle(Brief.model_validate(plain), shipped()), shipped())
        assert study.feasible is allowed
        if not allowed:
            answer = why_nothing(study)
            assert {clash.rule for clash in answer.conflict} >= {"budget", FLOOR_PLAN}
