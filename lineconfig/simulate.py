"""Seeded event simulation of one line: stops, buffers, and people who clear, load and refill.

Cans are a continuous flow, so that the clock jumps from one change to the next: a station stops or
is cleared, a buffer runs full or empty, a task falls due or is done. A station that waits does not
stop of itself, for stops and tasks come with the cans it works on.

Rules
-----
- Cans between stops and minutes to clear are exponential; minutes of a task are fixed.
- A stop that needs a person waits until somebody of the station's posts is free. So does a task,
  while the station goes on; if it falls due again before it is done, the station waits for it.
- People take stops first, then tasks, each in order of call, and finish what they have begun.
- A station slowed by a neighbour counts as waiting for the share of its speed that it loses.

Reference for the intervals: A. M. Law, Simulation Modeling and Analysis, batch means (from memory).
"""

from __future__ import annotations

import heapq
import itertools
import math
import random
from dataclasses import dataclass
from enum import Enum
from statistics import NormalDist, fmean, stdev

from lineconfig.assess.inputs import require_not_negative, require_positive

LEAST_BATCHES = 5
"""Fewer batches say too little about their spread."""
CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class TaskModel:
    """Work at a station that comes back with the cans."""

    every_cans: float
    """Cans from one time to the next [cans]."""
    minutes: float
    """How long it takes one person [min]."""


@dataclass(frozen=True, slots=True)
class StationModel:
    """One station of the line."""

    speed_cpm: float
    """Speed while it works [cans/min]."""
    cans_between_stops: float = math.inf
    """Mean cans from one stop to the next [cans]; infinite where it never stops."""
    clear_min: float = 1.0
    """Mean minutes to clear a stop once somebody is there [min]."""
    needs_person: bool = True
    """Whether somebody must come to clear it."""
    tasks: tuple[TaskModel, ...] = ()

    @property
    def calls_people(self) -> bool:
        """Whether it ever needs a person."""
        return bool(self.tasks) or (self.needs_person and math.isfinite(self.cans_between_stops))


@dataclass(frozen=True, slots=True)
class PostModel:
    """One person, or a pool of people, and the stations that they serve."""

    stations: tuple[int, ...]
    """Indices of the stations, in flow order."""
    people: int = 1


@dataclass(frozen=True, slots=True)
class LineModel:
    """Stations in series, what the tracks between them hold, and the crew."""

    stations: tuple[StationModel, ...]
    buffers_cans: tuple[float, ...]
    """Cans that go between each station and the next [cans]: one less than stations."""
    posts: tuple[PostModel, ...] = ()

    def __post_init__(self) -> None:
        """Raise ValueError for a line that cannot be run."""
        if not self.stations:
            raise ValueError("stations must not be empty")
        if len(self.buffers_cans) != len(self.stations) - 1:
            raise ValueError(
                f"buffers_cans must be one less than the {len(self.stations)} stations,"
                f" found {len(self.buffers_cans)}"
            )
        for station in self.stations:
            require_positive(speed_cpm=station.speed_cpm, clear_min=station.clear_min)
            if not station.cans_between_stops > 0:
                raise ValueError(
                    f"cans_between_stops must be above 0, found {station.cans_between_stops}"
                )
            for task in station.tasks:
                require_positive(every_cans=task.every_cans, task_minutes=task.minutes)
        for cans in self.buffers_cans:
            if not cans >= 0:
                raise ValueError(f"buffers_cans must be 0 or more, found {cans}")
        served: set[int] = set()
        for post in self.posts:
            require_positive(people=post.people)
            served.update(post.stations)
        if strangers := served - set(range(len(self.stations))):
            raise ValueError(f"posts name stations that are not there: {sorted(strangers)}")
        for index, station in enumerate(self.stations):
            if station.calls_people and index not in served:
                raise ValueError(f"station {index} needs a person and is in no post")


@dataclass(frozen=True, slots=True)
class StationShares:
    """How a station spends its time; the shares add up to 1."""

    running: float
    starved: float
    """Short of cans from before."""
    blocked: float
    """Short of room behind."""
    down: float
    """Being cleared."""
    waiting: float
    """Stopped or held up, and nobody has come yet or an overdue task is being done."""


@dataclass(frozen=True, slots=True)
class PostResult:
    """How one post fared."""

    utilisation: float
    """Share of the people's time that is work, 0 to 1."""
    calls: int
    """Stops and tasks begun."""
    wait_min: float
    """Mean minutes from a call to its beginning [min]."""


@dataclass(frozen=True, slots=True)
class SimulationResult:
    """One run of a line."""

    throughput_cpm: float
    """Cans off the last station [cans/min]."""
    low_cpm: float
    high_cpm: float
    """Ends of the 95 % interval of the throughput by batch means [cans/min]."""
    batches_cpm: tuple[float, ...]
    """Throughput of each batch, in order [cans/min]."""
    stations: tuple[StationShares, ...]
    posts: tuple[PostResult, ...]
    minutes: float
    """Simulated time without the warm-up [min]."""
    seed: int


def simulate_line(
    line: LineModel,
    minutes: float,
    warmup_min: float = 60.0,
    seed: int = 1,
    batches: int = 20,
) -> SimulationResult:
    """Run a line from empty buffers, and measure it after a warm-up.

    The same arguments give the same result, and a station meets its stops after the same cans
    whatever the rest of the line does.

    Parameters
    ----------
    line : stations, buffers and crew
    minutes : time that is measured [min]
    warmup_min : time before that, left out of every figure [min]
    seed : of the random numbers
    batches : spans of equal length for the interval, 5 or more; a span should be long beside the
        time between stops

    Raises ValueError for times or batches that make no sense.
    """
    require_positive(minutes=minutes)
    require_not_negative(warmup_min=warmup_min)
    if batches < LEAST_BATCHES:
        raise ValueError(f"batches must be {LEAST_BATCHES} or more, found {batches}")
    run = _Run(line, seed)
    run.until(warmup_min)
    run.measure()
    made = [run.made]
    for batch in range(1, batches + 1):
        run.until(warmup_min + minutes * batch / batches)
        made.append(run.made)
    span = minutes / batches
    batches_cpm = tuple((after - before) / span for before, after in itertools.pairwise(made))
    throughput_cpm = fmean(batches_cpm)
    half = student_quantile(batches - 1) * stdev(batches_cpm) / math.sqrt(batches)
    return SimulationResult(
        throughput_cpm=throughput_cpm,
        low_cpm=throughput_cpm - half,
        high_cpm=throughput_cpm + half,
        batches_cpm=batches_cpm,
        stations=run.shares(minutes),
        posts=run.post_results(minutes),
        minutes=minutes,
        seed=seed,
    )


def student_quantile(degrees: int) -> float:
    """Two-sided 95 % point of Student's t distribution [-].

    Cornish and Fisher's expansion about the normal point, right to 0.001 from 4 degrees on.

    Parameters
    ----------
    degrees : degrees of freedom, 4 or more

    Reference: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.5 (from memory).
    """
    z = NormalDist().inv_cdf((1 + CONFIDENCE) / 2)
    terms = (
        (z**3 + z) / 4,
        (5 * z**5 + 16 * z**3 + 3 * z) / 96,
        (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384,
        (79 * z**9 + 776 * z**7 + 1482 * z**5 - 1920 * z**3 - 945 * z) / 92160,
    )
    return z + math.fsum(term / float(degrees**power) for power, term in enumerate(terms, start=1))


class _State(Enum):
    """What keeps a station from working."""

    ABLE = 0
    DOWN = 1
    WAITING = 2


@dataclass(slots=True)
class _Call:
    """A stop or a task that a person must see to."""

    station: int
    task: int | None
    """Number of the task at its station; None for a stop."""
    minutes: float
    since: float
    post: int = -1
    """The post that has taken it."""


class _Post:
    """Who is free at a post, and what its people have done since the measuring began."""

    def __init__(self, people: int) -> None:
        self.people = people
        self.free = people
        self.calls = 0
        self.worked = 0.0
        self.waited = 0.0

    def clear(self) -> None:
        self.calls = 0
        self.worked = 0.0
        self.waited = 0.0


class _Run:
    """The line in motion.

    Rates are constant from one change to the next: `levels` and `worked` hold at the time `since`,
    and `marks` (the next stop or task of each station) and `turns` (the next buffer to run full or
    empty) are the times of the changes that the flow brings about by itself.
    """

    def __init__(self, line: LineModel, seed: int) -> None:
        self.stations = line.stations
        self.capacities = line.buffers_cans
        count = len(line.stations)
        self.indices = range(count)
        source = random.Random(seed)
        self.chances = [random.Random(source.getrandbits(64)) for _ in line.stations]
        self.since = 0.0
        self.worked = [0.0] * count
        self.levels = [0.0] * (count - 1)
        self.states = [_State.ABLE] * count
        self.next_stop = [self._cans_to_stop(index) for index in self.indices]
        self.next_due = [[task.every_cans for task in station.tasks] for station in line.stations]
        self.undone = [[False] * len(station.tasks) for station in line.stations]
        self.held_by: list[int | None] = [None] * count
        self.posts = [_Post(post.people) for post in line.posts]
        self.serving = [
            [number for number, post in enumerate(line.posts) if index in post.stations]
            for index in self.indices
        ]
        self.queue: list[tuple[bool, float, int, _Call]] = []
        self.endings: list[tuple[float, int, _Call]] = []
        self.ticket = 0
        self.rates = [0.0] * count
        self.fed = [0.0] * count
        self.marks = [math.inf] * count
        self.turns = [math.inf] * (count - 1)
        self.measure()
        self._flow()

    # --- figures -----------------------------------------------------------------------------

    def measure(self) -> None:
        """Begin to measure now."""
        count = len(self.stations)
        self.running = [0.0] * count
        self.starved = [0.0] * count
        self.blocked = [0.0] * count
        self.idle = {state: [0.0] * count for state in _State}
        for post in self.posts:
            post.clear()
        # Work in hand counts from now on.
        for end, _, call in self.endings:
            if call.post >= 0:
                self.posts[call.post].worked += end - self.since

    @property
    def made(self) -> float:
        """Cans off the last station since the start."""
        return self.worked[-1]

    def shares(self, minutes: float) -> tuple[StationShares, ...]:
        """How each station has spent the measured time."""
        return tuple(
            StationShares(
                self.running[index] / minutes,
                self.starved[index] / minutes,
                self.blocked[index] / minutes,
                self.idle[_State.DOWN][index] / minutes,
                self.idle[_State.WAITING][index] / minutes,
            )
            for index in self.indices
        )

    def post_results(self, minutes: float) -> tuple[PostResult, ...]:
        """What each post has done in the measured time."""
        ahead = [0.0] * len(self.posts)
        for end, _, call in self.endings:
            if call.post >= 0:
                ahead[call.post] += end - self.since
        return tuple(
            PostResult(
                utilisation=(post.worked - rest) / (post.people * minutes),
                calls=post.calls,
                wait_min=post.waited / post.calls if post.calls else 0.0,
            )
            for post, rest in zip(self.posts, ahead, strict=True)
        )

    # --- the clock ---------------------------------------------------------------------------

    def until(self, end: float) -> None:
        """Run to a time."""
        marks, turns, endings = self.marks, self.turns, self.endings
        while True:
            mark = min(marks)
            turn = min(turns, default=math.inf)
            ending = endings[0][0] if endings else math.inf
            now = min(mark, turn, ending)
            if now > end:
                self._advance(end)
                return
            if ending == now:
                self._finish(heapq.heappop(endings)[2], now)
            elif mark == now:
                self._reach(marks.index(mark), now)
            else:
                self._turn(turns.index(turn), now)

    def _advance(self, now: float) -> None:
        """Let the flow go on at its rates up to a time."""
        span = now - self.since
        self.since = now
        if span <= 0:
            return
        worked, rates, fed = self.worked, self.rates, self.fed
        running, starved, blocked = self.running, self.starved, self.blocked
        for index, state in enumerate(self.states):
            if state is _State.ABLE:
                rate, speed = rates[index], self.stations[index].speed_cpm
                worked[index] += rate * span
                running[index] += rate / speed * span
                starved[index] += (1 - fed[index] / speed) * span
                blocked[index] += (fed[index] - rate) / speed * span
            else:
                self.idle[state][index] += span
        levels = self.levels
        for index, capacity in enumerate(self.capacities):
            drift = rates[index] - rates[index + 1]
            if drift:
                levels[index] = min(capacity, max(0.0, levels[index] + drift * span))

    def _flow(self) -> None:
        """Work out the rates from who is able, and when the flow changes next."""
        rates, levels, capacities = self.rates, self.levels, self.capacities
        states, stations = self.states, self.stations
        last = len(rates) - 1
        before = math.inf
        for index, station in enumerate(stations):
            rate = station.speed_cpm if states[index] is _State.ABLE else 0.0
            if index and levels[index - 1] <= 0 and before < rate:
                rate = before
            rates[index] = before = rate
        self.fed[:] = rates
        for index in range(last - 1, -1, -1):
            if levels[index] >= capacities[index] and rates[index] > rates[index + 1]:
                rates[index] = rates[index + 1]
        for index in range(last):
            drift = rates[index] - rates[index + 1]
            if drift > 0:
                self.turns[index] = self.since + (capacities[index] - levels[index]) / drift
            elif drift < 0:
                self.turns[index] = self.since - levels[index] / drift
            else:
                self.turns[index] = math.inf
        for index in self.indices:
            self._set_mark(index)

    def _set_mark(self, index: int) -> None:
        """When a station reaches its next stop or task at its rate."""
        rate = self.rates[index]
        if rate > 0:
            cans = min([self.next_stop[index], *self.next_due[index]]) - self.worked[index]
            self.marks[index] = self.since + max(0.0, cans) / rate
        else:
            self.marks[index] = math.inf

    # --- what happens ------------------------------------------------------------------------

    def _turn(self, index: int, now: float) -> None:
        """A buffer has run full or empty."""
        filling = self.rates[index] > self.rates[index + 1]
        self._advance(now)
        self.levels[index] = self.capacities[index] if filling else 0.0
        self._flow()

    def _reach(self, index: int, now: float) -> None:
        """A station has come to a stop, or a task has fallen due."""
        due = self.next_due[index]
        if not due or self.next_stop[index] <= min(due):
            self._stop(index, now)
            return
        task = due.index(min(due))
        if self.undone[index][task]:
            self._advance(now)
            self.held_by[index] = task
            self.states[index] = _State.WAITING
            self._flow()
            return
        self._fall_due(index, task, now)
        self._set_mark(index)

    def _fall_due(self, index: int, task: int, now: float) -> None:
        work = self.stations[index].tasks[task]
        self.next_due[index][task] += work.every_cans
        self.undone[index][task] = True
        self._ask(_Call(index, task, work.minutes, now))

    def _stop(self, index: int, now: float) -> None:
        station = self.stations[index]
        self._advance(now)
        self.worked[index] = self.next_stop[index]
        self.next_stop[index] += self._cans_to_stop(index)
        call = _Call(index, None, self.chances[index].expovariate(1 / station.clear_min), now)
        if station.needs_person:
            self.states[index] = _State.WAITING
            self._ask(call)
        else:
            self.states[index] = _State.DOWN
            self._end_later(call, now)
        self._flow()

    def _finish(self, call: _Call, now: float) -> None:
        """A stop is cleared or a task done, and its person is free."""
        index = call.station
        if call.task is None:
            self._advance(now)
            self.states[index] = _State.ABLE
            self._flow()
        else:
            self.undone[index][call.task] = False
            if self.held_by[index] == call.task:
                self._advance(now)
                self.held_by[index] = None
                self.states[index] = _State.ABLE
                self._fall_due(index, call.task, now)
                self._flow()
        if call.post >= 0:
            self.posts[call.post].free += 1
            self._serve_next(call.post, now)

    # --- people ------------------------------------------------------------------------------

    def _ask(self, call: _Call) -> None:
        for number in self.serving[call.station]:
            if self.posts[number].free:
                self._serve(call, number, call.since)
                return
        self.ticket += 1
        heapq.heappush(self.queue, (call.task is not None, call.since, self.ticket, call))

    def _serve_next(self, number: int, now: float) -> None:
        """Give a free person the next call of the post, stops before tasks."""
        waiting = [entry for entry in self.queue if number in self.serving[entry[3].station]]
        if waiting:
            entry = min(waiting)
            self.queue.remove(entry)
            heapq.heapify(self.queue)
            self._serve(entry[3], number, now)

    def _serve(self, call: _Call, number: int, now: float) -> None:
        post = self.posts[number]
        post.free -= 1
        post.calls += 1
        post.waited += now - call.since
        post.worked += call.minutes
        call.post = number
        if call.task is None:
            self._advance(now)
            self.states[call.station] = _State.DOWN
        self._end_later(call, now)

    def _end_later(self, call: _Call, now: float) -> None:
        self.ticket += 1
        heapq.heappush(self.endings, (now + call.minutes, self.ticket, call))

    def _cans_to_stop(self, index: int) -> float:
        mean = self.stations[index].cans_between_stops
        return self.chances[index].expovariate(1 / mean) if math.isfinite(mean) else math.inf
