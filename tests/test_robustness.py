"""Draws of prices: shares that add up, the same for the same seed, and a triangular law."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.money import Range
from lineconfig.locate import examples_dir
from lineconfig.robustness import _deciding, _Model, stays_first, triangular
from lineconfig.session import open_study


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_inside_its_ends_and_rising(a: float, b: float, u: float) -> None:
    low, typical, high = sorted((a * 100, b * 100, 100.0))
    price = Range(low, typical, high)
    value = triangular(price, u)
    assert low - 1e-9 <= value <= high + 1e-9
    assert triangular(price, min(1.0, u + 0.1)) >= value - 1e-9


def test_the_mean_of_a_triangular_law() -> None:
    """Mean (low + mode + high) / 3, median of a symmetric one its mode: any statistics text."""
    price = Range(10, 20, 60)
    mean = sum(triangular(price, (i + 0.5) / 20_000) for i in range(20_000)) / 20_000
    assert mean == pytest.approx(30, abs=0.01)
    assert triangular(Range(0, 50, 100), 0.5) == pytest.approx(50)


def test_shares_add_up_and_repeat() -> None:
    layouts = open_study(examples_dir() / "startup.yaml").best(5)
    shares = stays_first(layouts, seed=3)
    assert sum(shares) == pytest.approx(1)
    assert shares == stays_first(layouts, seed=3)
    assert shares != stays_first(layouts, seed=4)
    assert shares[0] > 0.2


def test_a_lone_layout_is_always_first() -> None:
    layouts = open_study(examples_dir() / "startup.yaml").best(1)
    assert stays_first(layouts, seed=1) == (1.0,)
    assert stays_first([], seed=1) == ()


def test_where_every_draw_is_typical_the_cost_is_the_layouts_own() -> None:
    """Price, wage, volume, stops and work at their typical values: the life-cycle cost itself."""
    study = open_study(examples_dir() / "growing-brewery.yaml")
    layouts = [*study.best(4), *study.arrangements()[:4]]
    model = _Model(layouts, 1, 3, study.terms.crew)
    ones = np.ones(3)
    model.factors = dict.fromkeys(model.factors, ones)
    model.stop_factors = dict.fromkeys(model.stop_factors, ones)
    for layout in layouts:
        for station in layout.stations:
            price = station.first_cost
            model._priced[station.option.id, price] = ones * price.typical
    for row in model.costs():
        assert row == pytest.approx([each.money.life_cycle_cost.typical for each in layouts])


def test_dearer_labour_speaks_for_the_layout_with_fewer_people() -> None:
    """The difference of two layouts on the same draws grows with the wage where people differ."""
    study = open_study(examples_dir() / "startup.yaml")
    layouts = sorted(study.arrangements()[:2], key=lambda layout: -layout.crew.people)
    assert layouts[0].crew.people > layouts[1].crew.people
    model = _Model(layouts, 1, 400, None)
    costs = model.costs()
    lead = costs[:, 1] - costs[:, 0]
    fixed = {name: np.ones(400) for name in model.factors if name != "wage"}
    model.factors = model.factors | fixed
    model.stop_factors = {name: np.ones(400) for name in model.stop_factors}
    model._priced = {
        (s.option.id, s.first_cost): np.full(400, s.first_cost.typical)
        for each in layouts for s in each.stations
    }  # fmt: skip
    model._speeds = {}
    wages_alone = model.costs()
    by_wage = np.argsort(model.factors["wage"])
    differences = (wages_alone[:, 1] - wages_alone[:, 0])[by_wage]
    assert np.all(np.diff(differences) <= 1e-6) and differences[0] > differences[-1]
    assert lead.std() > differences.std()  # the rest spreads it further


def test_what_decides_is_the_squared_rank_correlation() -> None:
    """Spearman's coefficient as 1 - 6 sum d2 / (n (n2 - 1)), any statistics text."""
    rng = np.random.default_rng(5)
    drawn = {name: rng.random(300) for name in ("a", "b", "c")}
    lead = 3 * drawn["a"] ** 3 - drawn["b"] + 0.2 * rng.random(300)

    def rank(values: np.ndarray) -> dict[float, int]:
        return {value: place for place, value in enumerate(sorted(values))}

    places = rank(lead)
    expected = {}
    for name, values in drawn.items():
        own = rank(values)
        squares = sum((own[v] - places[x]) ** 2 for v, x in zip(values, lead, strict=True))
        expected[name] = 1 - 6 * squares / (300 * (300**2 - 1))
    whole = sum(each**2 for each in expected.values())
    found = {each.input: each for each in _deciding(drawn, lead)}
    for name, correlation in expected.items():
        assert found[name].correlation == pytest.approx(correlation)
        assert found[name].share == pytest.approx(correlation**2 / whole)
    assert [each.input for each in _deciding(drawn, lead)][:2] == ["a", "b"]
