"""Running orders against a general solver and against every order there is."""

from __future__ import annotations

import itertools
import random

import pytest
from ortools.sat.python import cp_model

from lineconfig.schedule.order import MOST_EXACT, best_cycle, cycle_minutes


def random_minutes(seed: int, count: int, kind: str) -> list[list[int]]:
    """Changeover minutes: any, the same both ways, or by what differs between formats; invented."""
    draw = random.Random(seed)
    if kind == "causes":
        formats = [
            (draw.randint(0, 2), draw.randint(0, 4), draw.randint(0, 1)) for _ in range(count)
        ]
        weights = (25, 20, 15)
        pairs = {
            (i, j): 10 + sum(w for w, a, b in zip(weights, x, y, strict=True) if a != b)
            for (i, x), (j, y) in itertools.permutations(enumerate(formats), 2)
        }
        return [[pairs.get((i, j), 0) for j in range(count)] for i in range(count)]
    rows = [[0 if i == j else draw.randint(0, 90) for j in range(count)] for i in range(count)]
    if kind == "even":
        return [[rows[min(i, j)][max(i, j)] for j in range(count)] for i in range(count)]
    return rows


def solver_minutes(minutes: list[list[int]]) -> tuple[int, int]:
    """The shortest cycle and its bound by CP-SAT's circuit constraint."""
    model, count = cp_model.CpModel(), len(minutes)
    arcs = [
        (i, j, model.new_bool_var(f"{i}>{j}")) for i, j in itertools.permutations(range(count), 2)
    ]
    model.add_circuit(arcs)
    model.minimize(sum(minutes[i][j] * arc for i, j, arc in arcs))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value), round(solver.best_objective_bound)


@pytest.mark.parametrize("kind", ["any", "even", "causes"])
def test_the_order_is_as_short_as_a_general_solver_finds(kind: str) -> None:
    for seed, count in enumerate((2, 3, 4, 5, 6, 7, 8, 9, 10, MOST_EXACT)):
        minutes = random_minutes(seed, count, kind)
        cycle = best_cycle(minutes)
        assert cycle.minutes == solver_minutes(minutes)[0], (kind, count)
        assert cycle.exact and cycle.bound == cycle.minutes
        assert sorted(cycle.places) == list(range(count)) and cycle.places[0] == 0
        assert cycle_minutes(minutes, cycle.places) == cycle.minutes


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["any", "even", "causes"])
def test_many_orders_are_as_short_as_a_general_solver_finds(kind: str) -> None:
    for seed in range(100, 200):
        minutes = random_minutes(seed, 2 + seed % (MOST_EXACT - 1), kind)
        assert best_cycle(minutes).minutes == solver_minutes(minutes)[0], (kind, seed)


def test_the_order_is_the_shortest_of_all_orders() -> None:
    for seed in range(60):
        minutes = random_minutes(seed, random.Random(seed).randint(2, 7), "any")
        rest = range(1, len(minutes))
        least = min(cycle_minutes(minutes, (0, *each)) for each in itertools.permutations(rest))
        assert best_cycle(minutes).minutes == least


@pytest.mark.parametrize("kind", ["any", "even", "causes"])
@pytest.mark.parametrize("count", [13, 16])
def test_above_the_exact_size_the_bound_holds(kind: str, count: int) -> None:
    minutes = random_minutes(7 * count, count, kind)
    cycle = best_cycle(minutes)
    shortest, _ = solver_minutes(minutes)
    assert cycle.bound <= shortest + 1e-6 <= cycle.minutes + 2e-6
    assert cycle.minutes <= 1.1 * shortest
    assert cycle.minutes * (1 - cycle.gap) <= shortest + 1e-6
    assert cycle.exact == (cycle.minutes <= cycle.bound + 1e-6)
    assert sorted(cycle.places) == list(range(count)) and cycle.places[0] == 0


def test_many_formats_that_differ_in_few_things_leave_a_small_gap() -> None:
    cycle = best_cycle(random_minutes(3, 24, "causes"))
    assert cycle.gap < 0.1


def test_one_format_never_changes_and_two_change_there_and_back() -> None:
    assert best_cycle([[0]]).minutes == 0 and best_cycle([[0]]).exact
    assert best_cycle([[0, 7], [11, 0]]).minutes == 18


@pytest.mark.parametrize("minutes", [[], [[0, 1]], [[0, -1], [1, 0]], [[0, float("inf")], [1, 0]]])
def test_what_is_no_matrix_of_minutes_is_refused(minutes: list[list[float]]) -> None:
    with pytest.raises(ValueError, match="minutes must be"):
        best_cycle(minutes)
