"""Effective speed against textbook figures and simulation.

The source of each value or formula is named beside it.
"""

from __future__ import annotations

import math
import random
from collections.abc import Generator, Sequence

import pytest
import simpy

from lineconfig.assess.flow import (
    Machine,
    infinite_buffer_efficiency,
    line_effective_speed,
    merge,
    two_machine_throughput,
    zero_buffer_efficiency,
)

# Groover, Automation, Production Systems, examples 16A.2 and 16A.4 (holooly.com/solutions-v20):
# 20 stations, p = .005 per cycle, ideal cycle 1.2 min, mean downtime 8 min; k infinite buffers cut
# the line into k + 1 equal stages.
GROOVER = [(0, 0.60, 30.0), (1, 0.75, 37.5), (3, 0.8571, 42.86), (19, 0.9677, 48.39)]


@pytest.mark.parametrize(("buffers", "efficiency", "pieces_per_h"), GROOVER)
def test_groover_stages(buffers: int, efficiency: float, pieces_per_h: float) -> None:
    stations = 20 // (buffers + 1)
    station = Machine(1 / 1.2, 0.005 / 1.2, 1 / 8)
    assert zero_buffer_efficiency([station.stop] * stations) == pytest.approx(efficiency, abs=1e-4)
    stage = merge([station] * stations)
    assert stage.alone_cpm * 60 == pytest.approx(pieces_per_h, abs=0.01)
    whole = [stage.stop] * (buffers + 1)
    assert infinite_buffer_efficiency(whole) == pytest.approx(efficiency, abs=1e-4)


def test_machine_efficiency_of_a_packaging_line() -> None:
    # 301 of 430 minutes at 240 a minute: 70 %, 168 a minute (packworld.com, article 13339169).
    machine = Machine(240.0, 1.0, 301 / 129)
    assert machine.alone_cpm == pytest.approx(168.0)


# Buzacott 1967, Gershwin 1994 (from memory): the bounds, worked by hand for p = .01, r = .1 twice.
@pytest.mark.parametrize(("buffer_cans", "share"), [(0, 1 / 1.2), (math.inf, 1 / 1.1)])
def test_the_bounds_by_hand(buffer_cans: float, share: float) -> None:
    machine = Machine(60.0, 0.01, 0.1)
    assert two_machine_throughput(machine, machine, buffer_cans) == pytest.approx(60 * share)
    found = line_effective_speed(machine, machine, machine, buffer_cans, buffer_cans)
    by_hand = 60 / 1.3 if buffer_cans == 0 else 60 / 1.1
    assert found.estimate_cpm == pytest.approx(by_hand)


# --- three sections against an event simulation of the continuous flow -------------------------


def flowing_cpm(
    machines: Sequence[Machine], buffers: Sequence[float], stops: int, seed: int
) -> float:
    """Throughput of machines in series, from one change of state or level to the next."""
    rng = random.Random(seed)
    clock = made = 0.0
    count = len(machines)
    levels, up = [0.0] * (count - 1), [True] * count
    while stops:
        speeds = [m.speed_cpm if u else 0.0 for m, u in zip(machines, up, strict=True)]
        for _ in range(count):
            for i, most in enumerate(buffers):
                if levels[i] <= 1e-9:
                    speeds[i + 1] = min(speeds[i + 1], speeds[i])
                if levels[i] >= most - 1e-9:
                    speeds[i] = min(speeds[i], speeds[i + 1])
        rates = [
            m.stops_per_min * v / m.speed_cpm if u else m.repairs_per_min
            for m, v, u in zip(machines, speeds, up, strict=True)
        ]
        change = rng.expovariate(sum(rates))
        reach = math.inf
        for i, most in enumerate(buffers):
            drift = speeds[i] - speeds[i + 1]
            if drift > 1e-12:
                reach = min(reach, (most - levels[i]) / drift)
            elif drift < -1e-12:
                reach = min(reach, -levels[i] / drift)
        step = min(change, reach)
        made += speeds[-1] * step
        clock += step
        for i, most in enumerate(buffers):
            levels[i] = min(most, max(0.0, levels[i] + (speeds[i] - speeds[i + 1]) * step))
        if change <= reach:
            (which,) = rng.choices(range(count), rates)
            up[which] = not up[which]
            stops -= not up[which]
    return made / clock


# Invented: 30 to 800 cans a minute, stops every 500 to 30,000 cans, clearing in 0.3 to 6 min.
@pytest.mark.parametrize("seed", range(12))
def test_three_sections_against_continuous_flow(seed: int) -> None:
    rng = random.Random(seed)
    base = rng.choice([30, 60, 100, 250, 800])
    machines = []
    for factor in (rng.choice([1, 1.1, 1.3]), 1, rng.choice([1, 1.1, 1.3])):
        speed = base * factor
        cans_between = 10 ** rng.uniform(math.log10(500), math.log10(30_000))
        machines.append(Machine(speed, speed / cans_between, 1 / rng.uniform(0.3, 6)))
    buffers = [rng.choice([20, 100, 300, 1000, 3000]) for _ in range(2)]
    found = line_effective_speed(*machines, *buffers)
    simulated = flowing_cpm(machines, buffers, 20_000, seed)
    assert found.estimate_cpm == pytest.approx(simulated, rel=0.02)


# --- three sections against a simulation of cans in SimPy --------------------------------------


def moved_cpm(
    machines: Sequence[Machine], buffers: Sequence[float], batch: int, minutes: float, seed: int
) -> float:
    """Throughput of machines that take, work and hand on small batches of cans."""
    rng = random.Random(seed)
    env = simpy.Environment()
    # A machine holds the batch that it works on: the buffer holds that much less.
    stores = [simpy.Container(env, capacity=most - batch) for most in buffers]
    made = 0

    def work(machine: Machine, before: simpy.Container | None, after: simpy.Container | None
             ) -> Generator[simpy.Event]:  # fmt: skip
        nonlocal made
        stops_per_can = machine.stops_per_min / machine.speed_cpm
        until_stop = rng.expovariate(stops_per_can)
        while True:
            if before is not None:
                yield before.get(batch)
            left = float(batch)
            while until_stop < left:
                yield env.timeout(until_stop / machine.speed_cpm)
                yield env.timeout(rng.expovariate(machine.repairs_per_min))
                left -= until_stop
                until_stop = rng.expovariate(stops_per_can)
            until_stop -= left
            yield env.timeout(left / machine.speed_cpm)
            if after is not None:
                yield after.put(batch)
            else:
                made += batch

    for machine, before, after in zip(machines, [None, *stores], [*stores, None], strict=True):
        env.process(work(machine, before, after))
    env.run(until=minutes)
    return made / minutes


# Invented: speed [cans/min], cans between stops, minutes to clear; cans before and after.
SECTIONS = [
    ((66, 800, 1.0), (60, 1500, 2.0), (75, 1000, 1.5), 200, 200),
    ((30, 600, 2.0), (30, 900, 3.0), (36, 700, 2.0), 100, 60),
    ((120, 2000, 3.0), (100, 2500, 2.0), (110, 1500, 1.0), 300, 500),
    ((250, 3000, 1.0), (250, 2000, 0.5), (250, 1500, 0.3), 200, 150),
    ((800, 9000, 0.6), (700, 8000, 1.0), (900, 9000, 0.8), 1200, 900),
    ((60, 500, 0.5), (60, 4000, 6.0), (90, 900, 1.0), 120, 400),
    ((45, 500, 1.0), (50, 900, 1.2), (60, 600, 0.8), 80, 300),
    ((130, 1000, 0.8), (100, 3000, 4.0), (100, 900, 0.4), 400, 200),
    ((400, 3000, 0.4), (300, 6000, 1.5), (330, 5000, 1.0), 600, 1500),
    ((100, 700, 0.4), (150, 1200, 1.0), (110, 900, 0.7), 150, 150),
]


@pytest.mark.parametrize(("upstream", "filler", "downstream", "before", "after"), SECTIONS)
def test_three_sections_against_moving_cans(
    upstream: tuple[float, float, float],
    filler: tuple[float, float, float],
    downstream: tuple[float, float, float],
    before: int,
    after: int,
) -> None:
    machines = [
        Machine(speed, speed / cans_between, 1 / minutes)
        for speed, cans_between, minutes in (upstream, filler, downstream)
    ]
    batch = min(before, after) // 8
    found = line_effective_speed(*machines, before, after)
    cans = 30_000 * batch
    simulated = moved_cpm(machines, [before, after], batch, cans / found.estimate_cpm, seed=1)
    assert found.estimate_cpm == pytest.approx(simulated, rel=0.03)
    assert found.lower_cpm < simulated < found.upper_cpm * 1.01  # runs are finite
