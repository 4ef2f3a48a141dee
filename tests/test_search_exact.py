"""The best-first search against witnesses that share no arithmetic with it.

On 200 random small catalogues: a flat enumeration (tests/oracle/flat.py), an integer model
(cpsat.py) and a second look at every rule (recheck.py). On the examples: every combination of the
sections' ways, bounded in arrays (joined.py, itself checked against the flat enumeration); CP-SAT
on all classes where the order adds up, with limits on people and hours left aside; and CP-SAT on
the whole question with the classes of the first thirty lines.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import chain, islice
from typing import Any

import pytest

from lineconfig.brief import VIEWS, Brief
from lineconfig.catalog import Catalog, EquipmentClass, Function
from lineconfig.catalog_loading import load_catalog
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.rules import RULES
from lineconfig.connect.search import Found
from lineconfig.floorplan.room import FLOOR_PLAN
from lineconfig.locate import examples_dir
from lineconfig.need_reading import read_need, settle
from lineconfig.session import Study
from tests.oracle import cpsat, flat, joined
from tests.oracle.arithmetic import FLOW, Arithmetic
from tests.oracle.recheck import broken_rules, recheck
from tests.oracle.sampling import Case, case

CASES = 200
BATCH = 10
TOP = 10
MOST_ROWS = 300
"""Lines in the tables of the whole integer model, beyond which it grows slow."""
ASIDE = frozenset({FLOOR_PLAN})
"""The witnesses choose and connect; floor plans have witnesses of their own."""
EXAMPLES = sorted(path.stem for path in examples_dir().glob("*.yaml"))

batches = pytest.mark.parametrize("first", range(0, CASES, BATCH))


def view_of(number: int) -> str:
    return VIEWS[number % len(VIEWS)]


def agree(asked: Case, expected: list[flat.Line], count: int | None) -> None:
    study = Study(asked.need, asked.catalog, without=ASIDE)
    found = list(islice(study.found(view_of(asked.number)), count))  # type: ignore[arg-type]
    assert [item.order for item in found] == [line.classes for line in expected], asked.number
    for ours, theirs in zip(found, expected, strict=True):
        assert ours.key == pytest.approx(theirs.key, abs=0.02), asked.number


@batches
def test_the_list_is_the_flat_enumeration(first: int) -> None:
    """Same lines in the same order with the same figures, feasible or not, in all views."""
    for number in range(first, first + BATCH):
        asked = case(number)
        agree(asked, flat.ranked(asked.need, asked.catalog, view_of(number), TOP), TOP)


@pytest.mark.parametrize("number", range(0, CASES, 8))
def test_the_whole_list_is_the_flat_enumeration(number: int) -> None:
    """To its end, and nothing more."""
    asked = case(number)
    agree(asked, flat.ranked(asked.need, asked.catalog, view_of(number)), None)


@batches
def test_a_second_solver_finds_the_same_lines(first: int) -> None:
    """OR-Tools CP-SAT on the whole model: solve, exclude, solve again."""
    for number in range(first, first + BATCH):
        asked = case(number)
        view = view_of(number)
        theirs = cpsat.Model(asked.need, asked.catalog, view).top(TOP)
        agree(asked, theirs, TOP)


@batches
def test_nothing_shown_breaks_a_rule(first: int) -> None:
    for number in range(first, first + BATCH):
        asked = case(number)
        study = Study(asked.need, asked.catalog)
        for layout in study.best(3):
            assert recheck(layout, asked.need, asked.catalog) == [], (number, layout.id)


@batches
def test_joining_sections_is_the_flat_enumeration(first: int) -> None:
    """The witness for lists too long to work out one by one, on lists that are not."""
    for number in range(first, first + BATCH):
        asked, view = case(number), view_of(number)
        lines, _ = joined.ranked(asked.need, asked.catalog, view, TOP)
        assert lines == flat.ranked(asked.need, asked.catalog, view, TOP), number


# --- the examples ------------------------------------------------------------------------------


def example(name: str) -> Case:
    catalog = load_catalog()
    return Case(0, catalog, read_need(examples_dir() / f"{name}.yaml", catalog))


def same(found: Iterable[Found], expected: list[flat.Line]) -> None:
    lines = list(islice(found, TOP))
    assert [item.order for item in lines] == [line.classes for line in expected]
    for ours, theirs in zip(lines, expected, strict=True):
        assert ours.key == pytest.approx(theirs.key, rel=1e-9, abs=0.02)


@pytest.mark.parametrize("name", EXAMPLES)
def test_each_example_is_the_joined_enumeration(name: str) -> None:
    """Every way of every section, joined in arrays; nothing left out."""
    asked = example(name)
    need, study = asked.need, Study(asked.need, asked.catalog, without=ASIDE)
    # Bounds on people are loose in a large hall: that view is asked where it is the client's own.
    for view in {need.view, "first-cost", "floor", "changeover"}:
        expected, combinations = joined.ranked(need, asked.catalog, view, TOP)
        assert study.combinations == combinations
        same(study.found(view), expected)  # type: ignore[arg-type]
    for layout in study.best(TOP) + study.arrangements():
        assert recheck(layout, need, asked.catalog, placed=False) == []
    for layout in Study(need, asked.catalog).best(TOP):
        assert recheck(layout, need, asked.catalog) == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_second_solver_finds_what_adds_up_in_each_example(name: str) -> None:
    """All classes; limits on people and hours left aside, which do not add up."""
    asked = example(name)
    study = Study(asked.need, asked.catalog, without=ASIDE | frozenset(cpsat.NOT_LINEAR))
    for view in ("first-cost", "floor"):
        expected = cpsat.Model(asked.need, asked.catalog, view, whole=False).top(TOP)
        same(study.found(view), expected)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_second_solver_ranks_the_best_of_each_example(name: str) -> None:
    """The whole question, with the classes of the first lines only: its tables hold every line."""
    asked = example(name)
    study = Study(asked.need, asked.catalog, without=ASIDE)
    kept = {item.id for item in asked.catalog.of("convey")}
    for number, found in enumerate(islice(study.found(), 30)):
        more = kept | set(found.order)
        smaller = replace(asked.catalog, classes=_only(asked.catalog, more))
        if number >= TOP and Study(asked.need, smaller).combinations > MOST_ROWS:
            break
        kept = more
    smaller = replace(asked.catalog, classes=_only(asked.catalog, kept))
    same(study.found(), cpsat.Model(asked.need, smaller, asked.need.view).top(TOP))


def _only(catalog: Catalog, class_ids: set[str]) -> dict[str, EquipmentClass]:
    return {name: item for name, item in catalog.classes.items() if name in class_ids}


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(set(EXAMPLES) - {"growing-brewery"}))
def test_each_example_is_the_flat_enumeration(name: str) -> None:
    """One problem for the whole line, every line worked out; minutes for the large ones."""
    asked = example(name)
    study = Study(asked.need, asked.catalog, without=ASIDE)
    same(study.found(), flat.ranked(asked.need, asked.catalog, asked.need.view, TOP))


@pytest.mark.slow
@pytest.mark.parametrize("first", range(CASES, 20 * CASES, BATCH))
def test_more_random_catalogues(first: int) -> None:
    """Complete lists."""
    for number in range(first, first + BATCH):
        asked = case.__wrapped__(number)  # not kept
        agree(asked, flat.ranked(asked.need, asked.catalog, view_of(number)), None)


# --- the rules ---------------------------------------------------------------------------------


def neighbours(arithmetic: Arithmetic, line: dict[str, str]) -> Iterator[dict[str, str]]:
    """A line and every line with one other class."""
    yield line
    for function in FLOW:
        for other in arithmetic.candidates[function]:
            if other != line[function]:
                yield {**line, function: other}


def meets_every_rule(inquiry: Inquiry, line: dict[str, str]) -> bool:
    """What the project's own rules say of a whole line."""
    chosen: dict[str, Any] = {
        function: next(o for o in inquiry.options[function] if o.id == class_id)  # type: ignore[index]
        for function, class_id in line.items()
    }
    chosen |= {
        "infeed": chosen["fill"].infeed_mm,
        "rail": chosen["code"].equipment.place == "infeed-rail",
        "dry-cans": chosen["dry"].has("blows-dry"),
    }
    return all(
        rule.holds(inquiry, *(chosen[name] for name in scope))
        for rule in RULES
        for scope in ([(function,) for function in FLOW] if rule.each else [rule.scope])
    )


def compare_verdicts(asked: Case, lines: Iterable[dict[str, str]]) -> Counter[str]:
    """Both verdicts on lines and their neighbours; what alone spoke against some of them."""
    inquiry, arithmetic = Inquiry(asked.need, asked.catalog), Arithmetic(asked.need, asked.catalog)
    alone: Counter[str] = Counter()
    for line in lines:
        if any(line[function] not in arithmetic.candidates[function] for function in FLOW):
            continue  # the client owns another
        for each in neighbours(arithmetic, line):
            chosen = {f: arithmetic.candidates[f][class_id] for f, class_id in each.items()}
            broken = broken_rules(chosen, asked.need, asked.catalog)
            assert meets_every_rule(inquiry, each) == (not broken), (each, broken)
            if len(broken) == 1:
                # "fill: carbonation", "<class>: wants three phases", "...: diameter of <can>"
                alone[broken[0].split(": ")[1].split(" of ")[0].split(" for ")[0]] += 1
    return alone


def test_both_readings_of_the_rules_agree() -> None:
    """On valid lines, on every line with one other class, and on lines drawn blindly.

    Between them, each of the texts below is the only thing wrong with some line, so that no rule
    is passed over.
    """
    alone: Counter[str] = Counter()
    for number in range(0, CASES, 2):
        asked, rng = case(number), random.Random(number)
        options = Arithmetic(asked.need, asked.catalog).candidates
        lines = [
            {function: option.id for function, option in solution.items()}
            for solution in flat.solutions(asked.need, asked.catalog)
        ]
        lines = rng.sample(lines, min(2, len(lines)))
        lines.append({function: rng.choice(sorted(options[function])) for function in FLOW})
        alone += compare_verdicts(asked, lines)
    for name in ("startup", "growing-brewery", "mixed-containers", "mobile-canner"):
        asked = example(name)
        catalog = asked.catalog
        for change in CHANGES:
            plain = asked.need.brief.model_dump(by_alias=True, exclude_none=True)
            for key, value in change.items():
                plain[key] = {**plain[key], **value} if key in ("site", "product") else value
            need = settle(Brief.model_validate(plain), catalog)
            found = chain(Study(need, catalog).found(), Study(asked.need, catalog).found())
            lines = [{catalog.classes[i].function: i for i in f.order} for f in islice(found, 1)]
            alone += compare_verdicts(Case(0, catalog, need), lines)
    alone += compare_verdicts(*for_glass_only(example("startup"), "inspect"))
    missing = set(EVERY_TEXT) - set(alone)
    assert not missing, missing


def for_glass_only(asked: Case, function: Function) -> tuple[Case, list[dict[str, str]]]:
    """A case in which one class of a function takes glass alone, and its best line."""
    found = next(Study(asked.need, asked.catalog).found())
    line = {asked.catalog.classes[i].function: i for i in found.order}
    item = next(item for item in asked.catalog.of(function) if item.id != line[function])
    assert item.accepts is not None
    accepts = item.accepts.model_copy(update={"kinds": ["glass-bottle"]})
    classes = {**asked.catalog.classes, item.id: item.model_copy(update={"accepts": accepts})}
    return Case(0, replace(asked.catalog, classes=classes), asked.need), [line]


CHANGES: tuple[dict[str, Any], ...] = (
    {},
    {"rinse": "required"},
    {"rinse": "auto"},
    {"exclude": ["sample-weighing"]},
    {"site": {"ceiling": "3100 mm"}},
    {"site": {"ceiling": "2600 mm"}},
    {"site": {"length": "30 m", "width": "2200 mm"}},
    {"existing": [{"function": "fill", "class": "inline-16-head", "infeed_height": "1400 mm"}]},
    {"site": {"door": {"width": "1800 mm", "height": "2000 mm"}}},
    {"product": {"carbonation": "3.6 vol"}},
    {"product": {"carbonation": "0.2 vol"}},
    {"formats": [{"container": "can-355-standard"}, {"container": "can-950-wide"}]},
    {"formats": [{"container": "can-355-standard"}, {"container": "bottle-330-long-neck"}]},
    {"formats": [{"container": "threaded-330"}]},
    {"formats": [{"container": "can-473-standard", "supply": "full-pallet"}]},
)
EVERY_TEXT = (
    "kind", "diameter", "too slow", "does not travel", "wants three phases",
    "does not pass the door", "higher than the ceiling allows", "larger than the room", "excluded",
    "another is required", "carbonation", "another heat treatment", "soft cans without nitrogen",
    "idle", "nothing wraps", "not the way in which the largest load comes", "not from such loads",
    "layers are swept over by hand and must be level", "idle lift", "an unguarded unloader",
    "nothing to guard", "too few formats", "too many formats", "wants a low unloader",
    "raised", "cans stand upright", "cans are turned", "open or handled empties",
    "no steady lane", "no deck height does", "the frame does not stand under the ceiling",
    "tracks are exchanged out", "ladder work", "does not raise a stack overhead",
    "on wet cans", "wet cans on board", "no even feed", "nothing stacks before it",
)  # fmt: skip


def test_the_recheck_can_fail() -> None:
    catalog = load_catalog()
    need = read_need(examples_dir() / "growing-brewery.yaml", catalog)
    layout = Study(need, catalog).best(1)[0]
    swaps = {
        "full-height-depalletizer": "half-height-depalletizer",
        "twist-rinser-pair": "twist-rinser",
        "inline-16-head": "inline-4-6-head",
        "no-doser": "nitrogen-doser",
    }
    for ours, other in swaps.items():
        assert ours in layout.classes
        classes = tuple(other if each == ours else each for each in layout.classes)
        assert recheck(replace(layout, classes=classes), need, catalog) != [], other


def test_rated_speed_is_the_maximum_flow() -> None:
    """networkx's maximum flow through the stations, for each format."""
    from lineconfig.connect.graph import rated_by_flow_cpm

    catalog = load_catalog()
    need = read_need(examples_dir() / "co-packer.yaml", catalog)
    layout = Study(need, catalog).best(1)[0]
    for index, rated in enumerate(layout.speed.rated):
        assert math.isclose(rated_by_flow_cpm(layout, index), rated)
