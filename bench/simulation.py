"""`python -m bench.simulation`: one shift of a whole line, ours beside SimPy can by can.

Twelve stations (invented figures) with a crew of four run for eight hours behind a filler of 250
cans a minute. Both simulate the same stops, room, tasks and walks, after half an hour; they draw
other random numbers, so that their cans agree within chance only. Times are CPU seconds.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TypeVar

from lineconfig.simulate import LineModel, PostModel, StationModel, TaskModel, simulate_line

SHIFT_MIN = 480.0
WARMUP_MIN = 30.0
FILLER_CPM = 250.0
SEED = 1
BEST_OF = 5

Answer = TypeVar("Answer")


def _station(
    speed_cpm: float,
    cans_between_stops: float,
    clear_min: float,
    place_m: float,
    *tasks: tuple[float, float],
) -> StationModel:
    work = tuple(TaskModel(cans, minutes) for cans, minutes in tasks)
    return StationModel(speed_cpm, cans_between_stops, clear_min, True, work, place_m)


WHOLE_LINE = LineModel(
    stations=(
        _station(330, 3500, 0.8, 1.5, (8169, 5.0), (389, 0.35), (600, 0.4)),  # unloader
        _station(320, 12000, 0.8, 4.0, (4000, 0.3)),  # lowerator
        _station(310, 60000, 0.5, 5.5),  # rinse
        _station(FILLER_CPM, 5000, 1.3, 8.0, (3000, 1.0), (1000, 0.8)),  # filler and seamer
        _station(275, 20000, 0.6, 12.0),  # dryer
        _station(300, 60000, 0.6, 14.0, (10000, 1.0), (60000, 12.0)),  # level check
        _station(300, 40000, 1.0, 16.0, (30000, 0.5)),  # coder
        _station(290, 7000, 0.8, 19.0, (5000, 2.5), (2000, 0.3)),  # labeller
        _station(320, 25000, 0.4, 23.0, (8000, 0.4)),  # lane conveyor
        _station(300, 9000, 0.6, 28.0, (24, 0.05), (4000, 0.8)),  # packer
        _station(340, 30000, 0.8, 33.0, (1920, 0.8), (20000, 0.5)),  # palletizer
        _station(400, 150000, 1.0, 37.0, (1920, 0.5)),  # wrapper
    ),
    buffers_cans=(450, 30, 30, 14, 14, 14, 14, 14, 600, 14, 48),
    posts=(
        PostModel((0, 1, 2)),
        PostModel((3, 4, 5, 6)),
        PostModel((7, 8, 9)),
        PostModel((10, 11)),
    ),
)


def cpu_seconds(work: Callable[[], Answer]) -> tuple[float, Answer]:
    """CPU seconds of one piece of work, and what came of it."""
    started = time.process_time()
    answer = work()
    return time.process_time() - started, answer


def ours() -> tuple[float, float]:
    """Ends of the 95 % interval of the cans a minute over one shift."""
    found = simulate_line(WHOLE_LINE, SHIFT_MIN, WARMUP_MIN, SEED)
    return found.low_cpm, found.high_cpm


def can_by_can() -> tuple[float, float]:
    """The same in SimPy, every can an event of its own."""
    from tests.oracle.simpy_line import in_simpy

    found = in_simpy(WHOLE_LINE, 1, SHIFT_MIN, WARMUP_MIN, SEED)
    return found.low_cpm, found.high_cpm


def _line(name: str, seconds: float, interval_cpm: tuple[float, float]) -> str:
    low_cpm, high_cpm = interval_cpm
    return f"{name:22}{seconds:>8.3f} s CPU   95 %: {low_cpm:.0f} to {high_cpm:.0f} cpm"


def main() -> None:
    """Measure and print."""
    print(
        f"one shift of {SHIFT_MIN / 60:.0f} h, {len(WHOLE_LINE.stations)} stations, "
        f"{len(WHOLE_LINE.posts)} people, {FILLER_CPM:.0f} cpm"
    )
    ours_s, found = min((cpu_seconds(ours) for _ in range(BEST_OF)), key=lambda pair: pair[0])
    print(_line(f"lineconfig, best of {BEST_OF}", ours_s, found), flush=True)
    theirs_s, theirs = cpu_seconds(can_by_can)
    print(_line("SimPy can by can", theirs_s, theirs))
    print(f"ratio {theirs_s / ours_s:,.0f}")


if __name__ == "__main__":
    main()
