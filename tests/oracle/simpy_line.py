"""The same line in SimPy: cans move one by one or in small batches, people are resources.

An independent witness of `lineconfig.simulate`: it shares its model classes, none of its code.
"""

from __future__ import annotations

import math
import random
from collections.abc import Generator
from dataclasses import dataclass
from itertools import pairwise
from statistics import fmean, stdev

import simpy
from simpy.resources.resource import PriorityRequest as Request

from lineconfig.assess.waiting import PIECE_MIN, WALKING_M_PER_MIN
from lineconfig.simulate import HELPED_MIN, LineModel


@dataclass
class Measured:
    """What the reference model has seen."""

    low_cpm: float
    high_cpm: float
    utilisation: list[float]
    running: list[float]
    waits_min: list[list[float]]
    """Each wait of a stopped station, by post."""


BATCHES = 10
INSTANT_MIN = 1e-9
T_975_9 = 2.262  # Student's t, 9 degrees, two-sided 95 % (any statistical table)

STOP = 0
"""What is least is served first, stops in order of call."""


HELPING = 1 << 60
"""Added where a post helps out: whatever waits at its own stations comes first."""


def by_deadline(deadline_min: float) -> int:
    """Urgency of a task: the earlier its deadline, the sooner, and always after stops."""
    return 1 + round(deadline_min * 1e6)


def in_simpy(line: LineModel, batch: int, minutes: float, warmup: float, seed: int) -> Measured:
    """Run the line with batches of cans; each post is a resource that takes urgent work first."""
    rng = random.Random(seed)
    env = simpy.Environment()
    # A station holds the batch that it works on: the buffer holds that much less.
    stores = [simpy.Container(env, capacity=cans - batch) for cans in line.buffers_cans]
    crews = [simpy.PriorityResource(env, capacity=post.people) for post in line.posts]
    at_m = [line.stations[post.stations[0]].place_m for post in line.posts]
    busy = [0.0] * len(crews)
    waits: list[list[float]] = [[] for _ in crews]
    made = [0.0] * len(line.stations)

    def post_of(index: int) -> int:
        (crew,) = (number for number, post in enumerate(line.posts) if index in post.stations)
        return crew

    def attended(
        index: int, pieces: list[float], urgency: int, done: simpy.Event, helped: bool
    ) -> Generator[simpy.Event]:
        """Walk there and do the work; between two pieces whoever is more urgent comes first."""
        own, place_m = post_of(index), line.stations[index].place_m
        able = [own, *(n for n, post in enumerate(line.posts) if helped and index in post.helps)]
        called = env.now
        asked: dict[int, Request] = {}

        def ask(crew: int) -> None:
            asked[crew] = crews[crew].request(priority=urgency + (0 if crew == own else HELPING))

        def granted() -> list[int]:
            return [crew for crew in able if crew in asked and asked[crew].triggered]

        for number, piece in enumerate(pieces):
            # The own people first, helpers where those are busy, and whoever is free soonest.
            for crew in able:
                if not granted() and crew not in asked:
                    ask(crew)
            if not granted():
                yield simpy.AnyOf(env, list(asked.values()))
            crew = granted()[0]
            request = asked.pop(crew)
            for other, vain in asked.items():
                if vain.triggered:
                    crews[other].release(vain)
                else:
                    vain.cancel()
            asked.clear()
            begun = env.now
            walk = abs(place_m - at_m[crew]) / WALKING_M_PER_MIN
            at_m[crew] = place_m
            yield env.timeout(walk)
            if not number and urgency == STOP and called > warmup:
                waits[crew].append(env.now - called)
            yield env.timeout(piece)
            busy[crew] += env.now - max(begun, warmup) if env.now > warmup else 0.0
            # Nobody slips in who is less urgent: the next piece is asked for before this person is
            # free, and a station that waits for this work may ask for the next first.
            if number == len(pieces) - 1:
                done.succeed()
                yield env.timeout(INSTANT_MIN)
            else:
                ask(crew)
            crews[crew].release(request)

    def work(index: int) -> Generator[simpy.Event]:
        station = line.stations[index]
        until_stop = rng.expovariate(1 / station.cans_between_stops)
        until_due = [task.every_cans for task in station.tasks]
        undone: list[list[simpy.Event]] = [[] for _ in station.tasks]
        hands = line.posts[post_of(index)].people if station.calls_people else 0
        while True:
            if index:
                yield stores[index - 1].get(batch)
            left = float(batch)
            while left > 1e-9:
                step = min([left, until_stop, *until_due])
                yield env.timeout(step / station.speed_cpm)
                made[index] += step
                left -= step
                until_stop -= step
                until_due = [cans - step for cans in until_due]
                if until_stop <= 1e-9:
                    minutes = rng.expovariate(1 / station.clear_min)
                    if station.needs_person:
                        cleared = env.event()
                        env.process(attended(index, [minutes], STOP, cleared, True))
                        yield cleared
                    else:
                        yield env.timeout(minutes)
                    until_stop = rng.expovariate(1 / station.cans_between_stops)
                for number, task in enumerate(station.tasks):
                    if until_due[number] <= 1e-9:
                        undone[number] = [one for one in undone[number] if not one.triggered]
                        if len(undone[number]) >= max(1, hands):
                            yield simpy.AnyOf(env, undone[number])
                        until_due[number] = task.every_cans
                        work_min = task.minutes
                        if task.standing_min and not task.minutes:
                            yield env.timeout(task.standing_min)
                            continue
                        if task.standing_min:
                            ready = env.event()
                            env.process(attended(index, [task.standing_min], STOP, ready, True))
                            yield ready
                            work_min -= task.standing_min
                            if work_min <= 1e-9:
                                continue
                        whole, rest = divmod(work_min, PIECE_MIN)
                        pieces = [PIECE_MIN] * int(whole) + [rest] * (rest > 1e-9)
                        deadline = env.now + task.every_cans * hands / station.speed_cpm
                        done = env.event()
                        soon = task.every_cans / station.speed_cpm <= HELPED_MIN
                        env.process(attended(index, pieces, by_deadline(deadline), done, soon))
                        undone[number].append(done)
            if index < len(stores):
                yield stores[index].put(batch)

    for index in range(len(line.stations)):
        env.process(work(index))
    env.run(until=warmup)
    at_start = list(made)
    marks = [made[-1]]
    for number in range(1, BATCHES + 1):
        env.run(until=warmup + minutes * number / BATCHES)
        marks.append(made[-1])
    rates = [(after - before) / (minutes / BATCHES) for before, after in pairwise(marks)]
    half = T_975_9 * stdev(rates) / math.sqrt(BATCHES)
    return Measured(
        low_cpm=fmean(rates) - half,
        high_cpm=fmean(rates) + half,
        utilisation=[
            worked / (post.people * minutes) for worked, post in zip(busy, line.posts, strict=True)
        ],
        running=[
            (cans - before) / station.speed_cpm / minutes
            for cans, before, station in zip(made, at_start, line.stations, strict=True)
        ],
        waits_min=waits,
    )
