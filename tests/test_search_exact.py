"""The best-first search against witnesses that share no arithmetic with it."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import islice

import pytest

from lineconfig.brief import VIEWS
from lineconfig.catalog_loading import load_catalog
from lineconfig.locate import examples_dir
from lineconfig.need_reading import read_need
from lineconfig.session import Study
from tests.oracle import cpsat, flat, joined
from tests.oracle.recheck import recheck
from tests.oracle.sampling import Case, case

CASES = 200
BATCH = 10
TOP = 10
EXAMPLES = sorted(path.stem for path in examples_dir().glob("*.yaml"))

batches = pytest.mark.parametrize("first", range(0, CASES, BATCH))


def view_of(number: int) -> str:
    return VIEWS[number % len(VIEWS)]


def agree(asked: Case, expected: list[flat.Line], count: int | None) -> None:
    study = Study(asked.need, asked.catalog)
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


@pytest.mark.parametrize("name", EXAMPLES)
def test_each_example_is_the_joined_enumeration(name: str) -> None:
    """Every way of every section, joined in arrays: see tests/oracle/joined.py."""
    catalog = load_catalog()
    need = read_need(examples_dir() / f"{name}.yaml", catalog)
    study = Study(need, catalog)
    expected, _ = joined.ranked(need, catalog, need.view, TOP)
    found = list(islice(study.found(), TOP))
    assert [item.order for item in found] == [line.classes for line in expected]
    for ours, theirs in zip(found, expected, strict=True):
        assert ours.key == pytest.approx(theirs.key, rel=1e-9, abs=0.02)
    for layout in study.best(TOP) + study.arrangements():
        assert recheck(layout, need, catalog) == []


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
