"""The simulation of a line against SimPy, exact results and published figures.

The source of each value is named beside it; lines are invented.
"""

from __future__ import annotations

import math
from statistics import fmean, stdev

import pytest

from lineconfig.assess.waiting import WALKING_M_PER_MIN
from lineconfig.simulate import (
    LineModel,
    PostModel,
    SimulationResult,
    StationModel,
    TaskModel,
    simulate_line,
    student_quantile,
)
from tests.oracle.simpy_line import in_simpy


def station(
    speed_cpm: float,
    cans_between_stops: float,
    clear_min: float,
    *tasks: tuple[float, ...],
    alone: bool = False,
    place_m: float = 0.0,
) -> StationModel:
    work = tuple(TaskModel(*task) for task in tasks)
    return StationModel(speed_cpm, cans_between_stops, clear_min, not alone, work, place_m)


# Line, cans in a batch of the reference model.
LINES = {
    "nobody needed": (
        LineModel((station(66, 800, 1, alone=True), station(60, 900, 1.5, alone=True)), (160,)),
        8,
    ),
    "three sections, nobody needed": (
        LineModel(
            (
                station(120, 900, 1, alone=True),
                station(100, 1500, 2, alone=True),
                station(110, 700, 0.6, alone=True),
            ),
            (200, 120),
        ),
        10,
    ),
    "one person for two stations": (
        LineModel((station(40, 300, 2), station(40, 300, 2)), (60,), (PostModel((0, 1)),)),
        4,
    ),
    "one person each": (
        LineModel(
            (station(30, 250, 2), station(30, 250, 2)), (60,), (PostModel((0,)), PostModel((1,)))
        ),
        4,
    ),
    "a pool of two for three stations": (
        LineModel(
            (station(60, 300, 2), station(50, 300, 1.5), station(55, 250, 1.8)),
            (80, 80),
            (PostModel((0, 1, 2), people=2),),
        ),
        8,
    ),
    "tasks that are done in time": (
        LineModel(
            (station(50, 400, 1, (100, 0.5)), station(45, 500, 1.5, (200, 1.0))),
            (90,),
            (PostModel((0, 1)),),
        ),
        5,
    ),
    "a person who is the limit": (
        LineModel(
            (station(40, 600, 1, (20, 0.4)), station(40, 500, 1, (60, 0.5))),
            (60,),
            (PostModel((0, 1)),),
        ),
        4,
    ),
    "loading by hand": (
        LineModel(
            (station(16, 2000, 0.5, (8, 0.4)), station(12, 300, 1.5)),
            (40,),
            (PostModel((0,)), PostModel((1,))),
        ),
        2,
    ),
    "five stations, two people": (
        LineModel(
            (
                station(72, 500, 0.6, (300, 1.2)),
                station(70, 900, 0.5, alone=True),
                station(60, 700, 1.8, (500, 0.5)),
                station(70, 450, 0.7),
                station(75, 400, 0.5, (120, 0.5)),
            ),
            (120, 60, 80, 100),
            (PostModel((0, 1)), PostModel((2, 3, 4))),
        ),
        6,
    ),
    "six stations, a pool of two": (
        LineModel(
            (
                station(150, 1500, 0.8, (400, 0.8)),
                station(140, 1200, 0.4),
                station(120, 1100, 1.2, (900, 0.5)),
                station(140, 1600, 0.5, alone=True),
                station(140, 800, 0.4),
                station(160, 900, 0.6, (240, 0.6)),
            ),
            (150, 100, 100, 120, 200),
            (PostModel((0, 1, 2, 3, 4, 5), people=2),),
        ),
        10,
    ),
    "a long task that is left for what is urgent": (
        LineModel(
            (station(60, 500, 0.8, (2400, 12.0)), station(50, 600, 0.6, (24, 0.2))),
            (150,),
            (PostModel((0, 1)),),
        ),
        6,
    ),
    "two people who fill cases at one station": (
        LineModel(
            (station(60, 900, 0.5), station(70, 2000, 0.4, (24, 0.6))),
            (100,),
            (PostModel((0, 1), people=2),),
        ),
        6,
    ),
    "walks of 12 m": (
        LineModel(
            (
                station(60, 300, 1.0, (120, 0.4), place_m=2),
                station(50, 700, 1.2, (100, 0.3), place_m=8),
                station(60, 400, 0.5, place_m=14),
            ),
            (120, 90),
            (PostModel((0, 1, 2)),),
        ),
        5,
    ),
    "neighbours who help out": (
        LineModel(
            (
                station(60, 350, 0.8, (300, 1.5), place_m=1),
                station(50, 600, 1.2, (24, 0.25), place_m=5),
                station(60, 700, 0.5, (200, 0.4), place_m=8),
            ),
            (60, 60),
            (PostModel((0,), helps=(1,)), PostModel((1, 2), helps=(0,))),
        ),
        5,
    ),
    "a neighbour who has little to do": (
        LineModel(
            (
                station(70, 2000, 0.6, (2500, 2.0)),
                station(45, 500, 1.5, (200, 0.6)),
                station(60, 2000, 0.4, (6, 0.05)),
                station(70, 2500, 0.6, (24, 0.25)),
            ),
            (120, 30, 40),
            (PostModel((0, 1), helps=(2,)), PostModel((2, 3))),
        ),
        6,
    ),
    "a change of pallet and a roll that changes itself": (
        LineModel(
            (
                station(80, 900, 0.6, (1200, 4.0, 2.0), (150, 0.4)),
                station(60, 700, 1.2, (200, 0.5)),
                station(70, 2000, 0.5, (2500, 0.0, 3.0), (24, 0.2)),
            ),
            (90, 60),
            (PostModel((0, 1)), PostModel((2,))),
        ),
        5,
    ),
    "equal speeds, small buffers": (
        LineModel(
            (station(90, 600, 0.5), station(90, 700, 0.6), station(90, 500, 0.4)),
            (50, 50),
            (PostModel((0, 1)), PostModel((2,))),
        ),
        5,
    ),
}


@pytest.mark.parametrize("name", LINES)
def test_agrees_with_simpy(name: str) -> None:
    line, batch = LINES[name]
    slowest = min(station.speed_cpm for station in line.stations)
    minutes = 30_000 * batch / slowest / len(line.stations)
    reference = in_simpy(line, batch, minutes, minutes / 20, seed=1)
    found = simulate_line(line, 25_000, warmup_min=500, seed=1)
    # Each mean lies in the other's reach: the intervals of both together hold the difference.
    assert found.low_cpm <= reference.high_cpm
    assert reference.low_cpm <= found.high_cpm
    for post, utilisation in zip(found.posts, reference.utilisation, strict=True):
        assert post.utilisation == pytest.approx(utilisation, abs=0.03)
    for post, waits in zip(found.posts, reference.waits_min, strict=True):
        if len(waits) > 1:
            # Four standard errors: some stations of the reference stop but a few times.
            reach = 4 * stdev(waits) / math.sqrt(len(waits))
            assert abs(post.stop_wait_min - fmean(waits)) <= reach + 0.01
    for shares, running in zip(found.stations, reference.running, strict=True):
        assert shares.running == pytest.approx(running, abs=0.03)


# --- exact results -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("room_cans", "expected_cpm"),
    [
        # Without room the filler stands as long as the unloader: 3000 cans in 30 + 2 min.
        (0.0, 3000 / (3000 / 100 + 2)),
        # Half of the 2 min is carried by 100 cans, filled up again at 20 cpm more.
        (100.0, 3000 / (3000 / 100 + 1)),
        # A table that holds what passes in the meantime hides the change (common practice).
        (200.0, 100.0),
    ],
)
def test_a_change_of_pallet_costs_what_the_table_does_not_carry(
    room_cans: float, expected_cpm: float
) -> None:
    unload = StationModel(120, tasks=(TaskModel(3000, 0.0, 2.0),), needs_person=False)
    found = simulate_line(LineModel((unload, StationModel(100)), (room_cans,)), 16_000, 500)
    assert found.throughput_cpm == pytest.approx(expected_cpm, rel=2e-3)


def test_a_station_that_stands_waits_for_its_person() -> None:
    # The person comes from the other station, 0.2 min away: 3000 cans in 30 + 2.2 min.
    line = LineModel(
        (
            StationModel(100, tasks=(TaskModel(3000, 5.0, 2.0),)),
            StationModel(100, tasks=(TaskModel(900, 0.5),), place_m=0.2 * WALKING_M_PER_MIN),
        ),
        (1.0,),
        (PostModel((0, 1)),),
    )
    found = simulate_line(line, 16_000, 500)
    assert found.throughput_cpm == pytest.approx(3000 / (30 + 2.2), rel=2e-3)


def holds(found: SimulationResult, expected_cpm: float) -> bool:
    """Whether the interval, stretched by half for the many tests, holds the figure."""
    reach = (found.high_cpm - found.low_cpm) / 2 * 1.5
    return abs(found.throughput_cpm - expected_cpm) <= reach


@pytest.mark.parametrize(
    ("buffer_cans", "efficiency"),
    [(0, 0.833333), (4, 0.846047), (10, 0.858726), (20, 0.871369), (50, 0.887574), (100, 0.896552)],
)
def test_two_equal_stations_with_a_buffer(buffer_cans: float, efficiency: float) -> None:
    # Continuous flow, speed 1, r = .1, p = .01 (Gershwin, Manufacturing Systems Engineering, 1994:
    # the model, from memory); values and where they come from: tests/reference/test_buffers.py.
    alike = station(1, 100, 10, alone=True)
    assert holds(simulate_line(LineModel((alike, alike), (buffer_cans,)), 1_500_000), efficiency)


def test_no_buffers_as_buzacott() -> None:
    # Buzacott 1967 (from memory): stops add up; 1 / (1 + .05 x 1 + .02 x 3 + .1 x .5) by hand.
    line = LineModel(
        (station(100, 2000, 1, alone=True), station(100, 5000, 3, alone=True),
         station(100, 1000, 0.5, alone=True)),
        (0, 0),
    )  # fmt: skip
    found = simulate_line(line, 300_000, seed=1)
    assert holds(found, 100 / 1.16)
    # Every station waits for the others' stops in equal parts of work and standstill.
    for shares, own in zip(found.stations, (0.05, 0.06, 0.05), strict=True):
        assert shares.down == pytest.approx(own / 1.16, abs=0.004)
        assert shares.starved + shares.blocked == pytest.approx((0.16 - own) / 1.16, abs=0.006)


# --- machine interference ----------------------------------------------------------------------


def minded(machines: int, people: int, run_min: float, service_min: float) -> SimulationResult:
    """Machines that never wait for each other's cans, minded together.

    Each is slower than the one before, with room without end between: what arrives is more than
    enough, and only people are short.
    """
    speeds = [100.0 * 2 ** (machines - index) for index in range(machines)]
    return simulate_line(
        LineModel(
            tuple(station(speed, speed * run_min, service_min) for speed in speeds),
            (math.inf,) * (machines - 1),
            (PostModel(tuple(range(machines)), people),),
        ),
        minutes=300_000,
        warmup_min=20_000,
        seed=1,
    )


def test_one_operator_with_five_machines() -> None:
    # Stevenson, Operations Management, 14th edition, Example 18-10 (fliphtml5.com/cviyu/vkrs): N 5,
    # T 10, U 70 min: F .920, L .40, J 4.025, W 6.957 min; the operator is busy .575 of the time.
    found = minded(5, 1, 70, 10)
    shares = found.stations
    assert sum(s.running for s in shares) == pytest.approx(4.025, abs=0.03)
    assert sum(s.waiting for s in shares) == pytest.approx(0.40, abs=0.02)
    assert sum(s.running + s.down for s in shares) / 5 == pytest.approx(0.920, abs=0.005)
    assert found.posts[0].utilisation == pytest.approx(0.575, abs=0.01)
    assert found.posts[0].wait_min == pytest.approx(6.957, rel=0.04)


def test_three_machines_and_two_repairers() -> None:
    # Ross, Introduction to Probability Models: up 10, repair 8 (quesba.com/699041); 1068/761 are
    # down, both repairers are busy 336/761 of the time (answers from memory).
    found = minded(3, 2, 10, 8)
    down = sum(s.down + s.waiting for s in found.stations)
    assert down == pytest.approx(1068 / 761, abs=0.02)
    # With one down, 300/761 of the time (balance by hand: 3 x 8/10 of the 125/761 with none down),
    # one is busy; with more, both.
    busy = (2 * 336 + 300) / 761 / 2
    assert found.posts[0].utilisation == pytest.approx(busy, abs=0.01)


# --- plain arithmetic --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("minutes_per_pair", "speed_cpm", "utilisation"),
    [(0.12, 12.0, 0.72), (0.25, 8.0, 1.0), (0.5, 4.0, 1.0)],
)
def test_loading_two_cans_at_a_time(
    minutes_per_pair: float, speed_cpm: float, utilisation: float
) -> None:
    # 12 cans a minute ask for 6 pairs: 0.72 of a person at 0.12 min; beyond 1/6 min hands set the
    # pace (arithmetic).
    work = StationModel(12, tasks=(TaskModel(2, minutes_per_pair),))
    found = simulate_line(LineModel((work,), (), (PostModel((0,)),)), 480, seed=1)
    assert found.throughput_cpm == pytest.approx(speed_cpm, rel=1e-3)
    assert found.posts[0].utilisation == pytest.approx(utilisation, rel=1e-3)


# Student's t, two-sided 95 % (any statistical table).
T_TABLE = [(4, 2.776), (5, 2.571), (7, 2.365), (9, 2.262), (19, 2.093), (29, 2.045), (120, 1.980)]


@pytest.mark.parametrize(("degrees", "printed"), T_TABLE)
def test_student_quantile(degrees: int, printed: float) -> None:
    assert student_quantile(degrees) == pytest.approx(printed, abs=1e-3)


def test_intervals_hold_the_exact_figure_as_often_as_they_say() -> None:
    # Buzacott 1967 (from memory): 100 / (1 + .1 + .1); 95 % of 80 runs are 76, give or take 2 x 2.
    line = LineModel((station(100, 1000, 1, alone=True), station(100, 500, 0.5, alone=True)), (0,))
    runs = [simulate_line(line, 3_000, seed=seed) for seed in range(80)]
    assert 71 <= sum(run.low_cpm <= 100 / 1.2 <= run.high_cpm for run in runs) < 80
