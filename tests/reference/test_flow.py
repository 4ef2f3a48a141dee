"""Two-machine lines and bounds against published values and limits.

The source of each value or formula is named beside it.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

import pytest

from lineconfig.assess.flow import (
    Machine,
    infinite_buffer_efficiency,
    line_effective_speed,
    merge,
    two_machine_throughput,
    zero_buffer_efficiency,
)

# Groover, Automation, Production Systems, examples 16A.2 and 16A.4: 20 stations, p = .005 a cycle,
# ideal cycle 1.2 min, mean downtime 8 min; k infinite buffers cut it into k + 1 equal stages.
GROOVER = [(0, 0.60), (1, 0.75), (3, 0.8571), (19, 0.9677)]


@pytest.mark.parametrize(("buffers", "efficiency"), GROOVER)
def test_groover_stages(buffers: int, efficiency: float) -> None:
    stations = 20 // (buffers + 1)
    stops = [(0.005 / 1.2, 1 / 8)] * stations
    stage = zero_buffer_efficiency(stops)
    assert stage == pytest.approx(efficiency, abs=1e-4)
    merged = merge([Machine(1 / 1.2, p, r) for p, r in stops])
    whole = [(merged.stops_per_min, merged.repairs_per_min)] * (buffers + 1)
    assert infinite_buffer_efficiency(whole) == pytest.approx(efficiency, abs=1e-4)


@pytest.mark.parametrize(
    ("buffers", "pieces_per_h"), [(0, 30.0), (1, 37.5), (3, 42.86), (19, 48.39)]
)
def test_groover_rates(buffers: int, pieces_per_h: float) -> None:
    """Groover, same examples: production rate 30, 37.5, 42.86, 48.39 pieces an hour."""
    machine = merge([Machine(1 / 1.2, 0.005 / 1.2, 1 / 8)] * (20 // (buffers + 1)))
    assert machine.alone_cpm * 60 == pytest.approx(pieces_per_h, abs=0.01)


# Fluid line, both machines at speed 1 with r = .1 and p = .01 (Gershwin 1994, continuous material;
# values of an independent small-time-step solve of the deterministic model).
EQUAL = [(0, 0.833333), (4, 0.846047), (10, 0.858726), (20, 0.871369), (50, 0.887574),
         (100, 0.896552), (math.inf, 0.909091)]  # fmt: skip


@pytest.mark.parametrize(("buffer_cans", "efficiency"), EQUAL)
def test_equal_machines(buffer_cans: float, efficiency: float) -> None:
    machine = Machine(1.0, 0.01, 0.1)
    found = two_machine_throughput(machine, machine, buffer_cans)
    assert found == pytest.approx(efficiency, abs=1e-6)


def test_unequal_machines() -> None:
    """r = .1 and .12, p = .01 and .02, buffer 10: .81986 by event simulation and direct solve."""
    first, second = Machine(1.0, 0.01, 0.1), Machine(1.0, 0.02, 0.12)
    assert two_machine_throughput(first, second, 10) == pytest.approx(0.81986, abs=1e-4)
    assert two_machine_throughput(second, first, 10) == pytest.approx(0.81986, abs=1e-4)


def test_machine_efficiency_of_a_packaging_line() -> None:
    """301 of 430 minutes at 240 a minute: 70 %, 168 a minute (packworld.com, article 13339169)."""
    machine = Machine(240.0, 129.0, 301.0)
    assert machine.alone_cpm == pytest.approx(168.0, rel=1e-12)


# --- a direct solve that shares nothing with the closed form -----------------------------------


def chain_throughput(first: Machine, second: Machine, buffer_cans: float, cells: int) -> float:
    """The same line as a Markov chain on a grid of levels, solved by Gauss-Seidel sweeps.

    Levels 0..cells; a working machine moves the level up or down by one cell at rate speed / cell.
    """
    import numpy as np

    cell = buffer_cans / cells
    size = 4 * (cells + 1)

    def place(level: int, a: int, b: int) -> int:
        return 4 * level + 2 * a + b

    rates = np.zeros((size, size))
    output = np.zeros(size)
    for level in range(cells + 1):
        for a in (0, 1):
            for b in (0, 1):
                here = place(level, a, b)
                v1, v2 = first.speed_cpm * a, second.speed_cpm * b
                if level == 0:
                    v2 = min(v2, v1)
                if level == cells:
                    v1 = min(v1, v2)
                output[here] = v2
                if v1 > v2:
                    rates[here, place(level + 1, a, b)] += (v1 - v2) / cell
                if v2 > v1:
                    rates[here, place(level - 1, a, b)] += (v2 - v1) / cell
                fail1 = first.stops_per_min * v1 / first.speed_cpm
                fail2 = second.stops_per_min * v2 / second.speed_cpm
                rates[here, place(level, 1 - a, b)] += fail1 if a else first.repairs_per_min
                rates[here, place(level, a, 1 - b)] += fail2 if b else second.repairs_per_min
    generator = rates - np.diag(rates.sum(axis=1))
    system = np.vstack([generator.T[:-1], np.ones(size)])
    masses = np.linalg.solve(system, np.append(np.zeros(size - 1), 1.0))
    return float(masses @ output)


UNEQUAL = [
    (Machine(120, 0.05, 0.5), Machine(100, 0.04, 0.4), 200),
    (Machine(100, 0.05, 0.5), Machine(130, 0.10, 0.4), 150),
    (Machine(250, 0.02, 0.5), Machine(100, 0.30, 1.0), 60),
    (Machine(100, 0.05, 1.0), Machine(102, 0.05, 1.0), 300),
    (Machine(2, 0.10, 0.1), Machine(1, 0.02, 0.3), 3),
    (Machine(60, 0.02, 2.0), Machine(60, 0.20, 0.5), 40),
]


@pytest.mark.parametrize(("first", "second", "buffer_cans"), UNEQUAL)
def test_against_a_direct_solve(first: Machine, second: Machine, buffer_cans: float) -> None:
    """Richardson's extrapolation of two grids, since the grid's error falls with the cell."""
    coarse = chain_throughput(first, second, buffer_cans, 100)
    fine = chain_throughput(first, second, buffer_cans, 200)
    expected = 2 * fine - coarse
    found = two_machine_throughput(first, second, buffer_cans)
    assert found == pytest.approx(expected, rel=1e-3)


# --- three sections against an event simulation ------------------------------------------------


def simulate(
    machines: Sequence[Machine], buffers: Sequence[float], minutes: float, seed: int
) -> float:
    """Throughput of machines in series by a plain event simulation of the continuous flow."""
    rng = random.Random(seed)
    clock, out = 0.0, 0.0
    levels, up = [0.0] * len(buffers), [1] * len(machines)
    while clock < minutes:
        speeds = [m.speed_cpm * u for m, u in zip(machines, up, strict=True)]
        for _ in machines:
            for i, most in enumerate(buffers):
                if levels[i] <= 1e-9:
                    speeds[i + 1] = min(speeds[i + 1], speeds[i])
                if levels[i] >= most - 1e-9:
                    speeds[i] = min(speeds[i], speeds[i + 1])
        events = [
            m.stops_per_min * v / m.speed_cpm if u else m.repairs_per_min
            for m, v, u in zip(machines, speeds, up, strict=True)
        ]
        total = sum(events)
        change = rng.expovariate(total)
        reach = math.inf
        for i, most in enumerate(buffers):
            drift = speeds[i] - speeds[i + 1]
            if drift > 1e-12:
                reach = min(reach, (most - levels[i]) / drift)
            elif drift < -1e-12:
                reach = min(reach, -levels[i] / drift)
        step = min(change, reach)
        out += speeds[-1] * step
        clock += step
        for i, most in enumerate(buffers):
            levels[i] = min(most, max(0.0, levels[i] + (speeds[i] - speeds[i + 1]) * step))
        if change <= reach:
            (which,) = rng.choices(range(len(machines)), events)
            up[which] = 1 - up[which]
    return out / clock


@pytest.mark.parametrize("seed", range(12))
def test_three_sections_within_three_per_cent_of_simulation(seed: int) -> None:
    rng = random.Random(seed)
    speed_cpm = rng.choice([30, 60, 100, 250, 800])
    machines = []
    for factor in (rng.choice([1, 1.1, 1.3]), 1, rng.choice([1, 1.1, 1.3])):
        speed = speed_cpm * factor
        machines.append(Machine(speed, speed / rng.uniform(500, 12000), 1 / rng.uniform(0.3, 4)))
    buffers = [rng.choice([0, 20, 100, 300, 1000]) for _ in range(2)]
    found = line_effective_speed(*machines, *buffers)
    simulated = simulate(machines, buffers, 60_000, seed)
    assert found.estimate_cpm == pytest.approx(simulated, rel=0.03)
    assert found.lower_cpm <= found.estimate_cpm <= found.upper_cpm <= found.rated_cpm
