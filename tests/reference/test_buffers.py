"""Two machines with a buffer against published values, and against a direct solve.

The direct solve puts the same line on a grid of levels and solves the balance equations of the
Markov chain; it shares nothing with the closed form.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from lineconfig.assess.buffers import Stop, buffered_cpm, starving

# Continuous flow, both machines at speed 1 with r = .1 and p = .01 (Gershwin, Manufacturing Systems
# Engineering, 1994: the model, from memory; the values come from solving his deterministic model
# in ever smaller time steps and from simulation, N = 0 and infinity from Buzacott 1967).
EQUAL = [(0, 0.833333), (4, 0.846047), (10, 0.858726), (20, 0.871369), (50, 0.887574),
         (100, 0.896552), (math.inf, 0.909091)]  # fmt: skip


@pytest.mark.parametrize(("buffer_cans", "efficiency"), EQUAL)
def test_equal_machines(buffer_cans: float, efficiency: float) -> None:
    found = buffered_cpm(1.0, [(0.01, 0.1)], 1.0, [(0.01, 0.1)], buffer_cans)
    assert found == pytest.approx(efficiency, abs=1e-6)


def test_equal_speeds_and_unequal_stops() -> None:
    # r .1 and .12, p .01 and .02, buffer 10: .81986, from an event simulation (within .0015).
    first, second = [(0.01, 0.1)], [(0.02, 0.12)]
    assert buffered_cpm(1.0, first, 1.0, second, 10) == pytest.approx(0.81986, abs=1e-4)
    assert buffered_cpm(1.0, second, 1.0, first, 10) == pytest.approx(0.81986, abs=1e-4)


# --- the direct solve --------------------------------------------------------------------------


def chain(
    first_cpm: float,
    first_stops: Sequence[Stop],
    second_cpm: float,
    second_stops: Sequence[Stop],
    buffer_cans: float,
    cells: int,
) -> tuple[float, float]:
    """Throughput, and share of time that the second machine waits for a first one that is down.

    The level moves from cell to cell at the rate of its drift.
    """
    cell = buffer_cans / cells
    # State of a machine: 0 works, 1.. stopped in that way.
    states = [
        (level, a, b)
        for level in range(cells + 1)
        for a in range(len(first_stops) + 1)
        for b in range(len(second_stops) + 1)
    ]
    number = {state: i for i, state in enumerate(states)}
    rates = np.zeros((len(states), len(states)))
    output = np.zeros(len(states))
    for (level, a, b), here in number.items():
        v1, v2 = (0.0 if a else first_cpm), (0.0 if b else second_cpm)
        if level == 0:
            v2 = min(v2, v1)
        if level == cells:
            v1 = min(v1, v2)
        output[here] = v2
        if v1 != v2:
            rates[here, number[level + (1 if v1 > v2 else -1), a, b]] += abs(v1 - v2) / cell
        for kind, (p, r) in enumerate(first_stops, start=1):
            if a == 0:
                rates[here, number[level, kind, b]] += p * v1 / first_cpm
            elif a == kind:
                rates[here, number[level, 0, b]] += r
        for kind, (p, r) in enumerate(second_stops, start=1):
            if b == 0:
                rates[here, number[level, a, kind]] += p * v2 / second_cpm
            elif b == kind:
                rates[here, number[level, a, 0]] += r
    generator = rates - np.diag(rates.sum(axis=1))
    system = np.vstack([generator.T[:-1], np.ones(len(states))])
    masses = np.linalg.solve(system, np.append(np.zeros(len(states) - 1), 1.0))
    dry = sum(masses[number[0, a, 0]] for a in range(1, len(first_stops) + 1))
    return float(masses @ output), float(dry)


# Invented: faster, slower and equal; one and two kinds of stops at either machine.
LINES = [
    (120, [(0.05, 0.5)], 100, [(0.04, 0.4)], 200),
    (100, [(0.05, 0.5)], 130, [(0.10, 0.4)], 150),
    (250, [(0.02, 0.5)], 100, [(0.30, 1.0)], 60),
    (100, [(0.05, 1.0)], 102, [(0.05, 1.0)], 300),
    (2, [(0.10, 0.1)], 1, [(0.02, 0.3)], 3),
    (60, [(0.02, 2.0)], 60, [(0.20, 0.5)], 40),
    (120, [(0.05, 2.0), (0.01, 0.1)], 100, [(0.04, 0.4)], 200),
    (100, [(0.05, 2.0), (0.01, 0.1)], 120, [(0.04, 0.4)], 200),
    (100, [(0.30, 3.0), (0.05, 0.2)], 100, [(0.10, 0.5)], 100),
    (300, [(0.20, 0.5)], 100, [(0.30, 3.0), (0.02, 0.1)], 500),
    (101, [(0.10, 0.51), (0.05, 0.50)], 100, [(0.05, 0.3)], 150),
]


@pytest.mark.parametrize(("first_cpm", "first", "second_cpm", "second", "buffer_cans"), LINES)
def test_against_a_direct_solve(
    first_cpm: float,
    first: list[Stop],
    second_cpm: float,
    second: list[Stop],
    buffer_cans: float,
) -> None:
    # The error of a grid is a power series in its cell: three grids cancel two terms (Richardson).
    line = (first_cpm, first, second_cpm, second, buffer_cans)
    coarse, middle, fine = (chain(*line, cells)[0] for cells in (25, 50, 100))
    limit = (8 * fine - 6 * middle + coarse) / 3
    assert buffered_cpm(*line) == pytest.approx(limit, rel=1e-4)


def test_waits_come_as_often_as_the_buffer_runs_dry() -> None:
    feed, own = (0.05, 0.5), (0.04, 0.4)
    coarse, middle, fine = (chain(100, [feed], 100, [own], 100, cells) for cells in (40, 80, 160))
    together_cpm, dry = (
        (8 * f - 6 * m + c) / 3 for f, m, c in zip(fine, middle, coarse, strict=True)
    )
    per_minute, cleared = starving(100, feed, 100, own, 100)
    assert cleared == feed[1]
    # Waits per minute of work, times how long each lasts, times minutes of work in a minute.
    assert per_minute / cleared * together_cpm / 100 == pytest.approx(dry, rel=1e-4)
