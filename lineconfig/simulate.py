"""Seeded event simulation of one line: stops, buffers, and people who clear, load and refill.

Cans are a continuous flow, so that the clock jumps from one change to the next: a station stops or
is cleared, a buffer runs full or empty, a task falls due or is done. A station that waits does not
stop of itself, for stops and tasks come with the cans it works on.

Rules
-----
- Cans between stops and minutes to clear are exponential; minutes of a task are fixed.
- For some tasks, such as a change of pallet, the station stands: until somebody is there, and then
  for the beginning of the work. Such a task is called for as a stop is, and its rest as a task.
- A stop that needs a person waits until somebody of the station's posts is free and there. So does
  a task, while the station goes on; once as many of its kind are undone as people serve the
  station, the next that falls due makes the station wait.
- People take stops first, in order of call, then the task that will first make its station wait.
  They clear a stop in one go; a task is done in pieces, and after each they look what is urgent.
- People walk from where they were to where they are called, at a steady pace. Where several are
  free, the one goes who has had less to do so far.
- Posts may help each other out: where nobody of a station's own posts is free, somebody of a post
  that helps there goes, if nothing waits at their own stations: to a stop, or to work that
  comes round within five minutes. They go back after the stop or the piece in hand.
- A station slowed by a neighbour counts as waiting for the share of its speed that it loses.

References: the intervals: A. M. Law, Simulation Modeling and Analysis, batch means (from memory);
the order of tasks: C. L. Liu and J. W. Layland, Journal of the ACM 20 (1973): if any order gets
work done in time, the earliest deadline first does (from memory).
"""

from __future__ import annotations

import heapq
import itertools
import math
import random
from dataclasses import dataclass
from statistics import NormalDist, fmean, stdev

from lineconfig.assess.inputs import require_not_negative, require_positive
from lineconfig.assess.waiting import PIECE_MIN, WALKING_M_PER_MIN

LEAST_BATCHES = 5
"""Fewer batches say too little about their spread."""
CONFIDENCE = 0.95
HELPED_MIN = 5.0
"""Longest time between two rounds of a task with which others help out [min]; from memory: longer
rounds can wait for whoever knows them."""


@dataclass(frozen=True, slots=True)
class TaskModel:
    """Work at a station that comes back with the cans."""

    every_cans: float
    """Cans from one time to the next [cans]."""
    minutes: float
    """How long it takes one person [min]; none where the station does it by itself."""
    standing_min: float = 0.0
    """How long the station stands for it [min]; of a person's work, its beginning."""

    @property
    def goes_on_min(self) -> float:
        """A person's work while the station runs on [min]."""
        return max(0.0, self.minutes - self.standing_min)


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
    place_m: float = 0.0
    """Where along the line a person stands to see to it [m]."""

    @property
    def calls_people(self) -> bool:
        """Whether it ever needs a person."""
        return any(task.minutes for task in self.tasks) or (
            self.needs_person and math.isfinite(self.cans_between_stops)
        )


@dataclass(frozen=True, slots=True)
class PostModel:
    """One person, or a pool of people, and the stations that they serve."""

    stations: tuple[int, ...]
    """Indices of the stations, in flow order."""
    people: int = 1
    helps: tuple[int, ...] = ()
    """Indices of others' stations that it sees to while nobody of theirs is free."""


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
                require_positive(
                    every_cans=task.every_cans, task_minutes=task.minutes or task.standing_min
                )
                require_not_negative(task_minutes=task.minutes, standing_min=task.standing_min)
                if 0 < task.minutes < task.standing_min:
                    raise ValueError(
                        f"standing_min must be no more than the task's {task.minutes} min,"
                        f" found {task.standing_min}"
                    )
        for cans in self.buffers_cans:
            if not cans >= 0:
                raise ValueError(f"buffers_cans must be 0 or more, found {cans}")
        served: set[int] = set()
        for post in self.posts:
            require_positive(people=post.people)
            served.update(post.stations)
        helped = {index for post in self.posts for index in post.helps}
        if strangers := (served | helped) - set(range(len(self.stations))):
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
    """Walks included."""
    calls: int
    """Stops and tasks begun."""
    wait_min: float
    """Mean minutes from a call to its beginning [min]."""
    stops: int
    """Stops begun to be cleared."""
    stop_wait_min: float
    """Mean minutes that a stopped station waits for its person, walk included [min]."""


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


_NO_WORK = 1e-9
"""Minutes of a task that are none."""
_ABLE, _DOWN, _WAITING = 0, 1, 2
"""What keeps a station from working: nothing, the clearing of a stop, or people."""


@dataclass(slots=True)
class _Call:
    """A stop or a task that a person must see to."""

    station: int
    task: int | None
    """Number of the task at its station; None while the station stands."""
    left: float
    """Minutes of work that are left."""
    since: float
    deadline: float
    """When a task will make its station wait."""
    post: int = -1
    """The post that has it in hand."""
    until: float = 0.0
    """When the piece of work in hand is done."""
    begun: bool = False
    then: int | None = None
    """Number of the task that a station stands for."""

    @property
    def urgency(self) -> tuple[bool, float]:
        """What is least is taken first."""
        return (False, self.since) if self.task is None else (True, self.deadline)


class _Post:
    """Who is free at a post and where, and what its people have done since measuring began."""

    def __init__(self, people: int, place_m: float) -> None:
        self.people = people
        self.free = [place_m] * people
        """Where they are, the one who has been free longest first."""
        self.effort = 0.0
        """Minutes of work and walks since the start."""
        self.clear()

    def work(self, minutes: float) -> None:
        self.worked += minutes
        self.effort += minutes

    def clear(self) -> None:
        self.calls = 0
        self.worked = 0.0
        self.waited = 0.0
        self.stops = 0
        self.stop_waited = 0.0


class _Run:
    """The line in motion.

    Rates are constant from one change to the next: `levels` and `worked` hold at the time `since`,
    and `marks` (the next stop or task of each station) and `turns` (the next buffer to run full or
    empty) are the times of the changes that the flow brings about by itself.
    """

    def __init__(self, line: LineModel, seed: int) -> None:
        self.line = line
        self.stations = line.stations
        self.speeds = [station.speed_cpm for station in line.stations]
        self.capacities = line.buffers_cans
        count = len(line.stations)
        self.indices = range(count)
        source = random.Random(seed)
        self.chances = [random.Random(source.getrandbits(64)) for _ in line.stations]
        self.since = 0.0
        self.worked = [0.0] * count
        self.levels = [0.0] * (count - 1)
        self.states = [_ABLE] * count
        self.next_stop = [self._cans_to_stop(index) for index in self.indices]
        self.next_due = [[task.every_cans for task in station.tasks] for station in line.stations]
        self.undone = [[0] * len(station.tasks) for station in line.stations]
        self.held_by: list[int | None] = [None] * count
        self.posts = [
            _Post(post.people, line.stations[post.stations[0]].place_m if post.stations else 0.0)
            for post in line.posts
        ]
        self.serving = [
            [number for number, post in enumerate(line.posts) if index in post.stations]
            for index in self.indices
        ]
        self.helping = [
            [number for number, post in enumerate(line.posts) if index in post.helps]
            for index in self.indices
        ]
        self.hands = [
            sum(line.posts[number].people for number in numbers) for numbers in self.serving
        ]
        self.queue: list[tuple[tuple[bool, float], int, _Call]] = []
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
        self.idle = ([0.0] * count, [0.0] * count, [0.0] * count)
        for post in self.posts:
            post.clear()
        # Work in hand counts from now on.
        for _, _, call in self.endings:
            if call.post >= 0:
                self.posts[call.post].worked += call.until - self.since

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
                self.idle[_DOWN][index] / minutes,
                self.idle[_WAITING][index] / minutes,
            )
            for index in self.indices
        )

    def post_results(self, minutes: float) -> tuple[PostResult, ...]:
        """What each post has done in the measured time."""
        ahead = [0.0] * len(self.posts)
        for _, _, call in self.endings:
            if call.post >= 0:
                ahead[call.post] += call.until - self.since
        return tuple(
            PostResult(
                utilisation=(post.worked - rest) / (post.people * minutes),
                calls=post.calls,
                wait_min=post.waited / post.calls if post.calls else 0.0,
                stops=post.stops,
                stop_wait_min=post.stop_waited / post.stops if post.stops else 0.0,
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
        worked, rates, fed, states = self.worked, self.rates, self.fed, self.states
        for index, speed in enumerate(self.speeds):
            state = states[index]
            if state == _ABLE:
                rate = rates[index]
                feed = fed[index]
                if rate:
                    worked[index] += rate * span
                    self.running[index] += rate / speed * span
                if feed < speed:
                    self.starved[index] += (1 - feed / speed) * span
                if feed > rate:
                    self.blocked[index] += (feed - rate) / speed * span
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
        states, turns, since = self.states, self.turns, self.since
        last = len(rates) - 1
        before = math.inf
        for index, speed in enumerate(self.speeds):
            rate = speed if states[index] == _ABLE else 0.0
            if index and before < rate and levels[index - 1] <= 0:
                rate = before
            rates[index] = before = rate
        self.fed[:] = rates
        after = rates[last]
        for index in range(last - 1, -1, -1):
            rate = rates[index]
            if rate > after and levels[index] >= capacities[index]:
                rates[index] = rate = after
            drift = rate - after
            if drift > 0:
                turns[index] = since + (capacities[index] - levels[index]) / drift
            elif drift < 0:
                turns[index] = since - levels[index] / drift
            else:
                turns[index] = math.inf
            after = rate
        for index in self.indices:
            self._set_mark(index)

    def _set_mark(self, index: int) -> None:
        """When a station reaches its next stop or task at its rate."""
        rate = self.rates[index]
        if rate > 0:
            due = self.next_due[index]
            cans = self.next_stop[index]
            if due:
                cans = min(cans, *due)
            self.marks[index] = self.since + max(0.0, cans - self.worked[index]) / rate
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
        if self.undone[index][task] >= max(1, self.hands[index]):
            self._advance(now)
            self.held_by[index] = task
            self.states[index] = _WAITING
            self._flow()
            return
        self._fall_due(index, task, now)
        self._set_mark(index)

    def _fall_due(self, index: int, task: int, now: float) -> None:
        work = self.stations[index].tasks[task]
        self.next_due[index][task] += work.every_cans
        self.undone[index][task] += 1
        if work.standing_min:
            self._advance(now)
            call = _Call(index, None, work.standing_min, now, now, then=task)
            self._stand(call, now, called=work.minutes > 0)
            self._flow()
        else:
            self._go_on(index, task, now)

    def _go_on(self, index: int, task: int, now: float) -> None:
        """Ask for the part of a task during which the station works."""
        work = self.stations[index].tasks[task]
        deadline = now + work.every_cans * self.hands[index] / self.speeds[index]
        self._ask(_Call(index, task, work.goes_on_min, now, deadline), now)

    def _stop(self, index: int, now: float) -> None:
        station = self.stations[index]
        self._advance(now)
        self.worked[index] = self.next_stop[index]
        self.next_stop[index] += self._cans_to_stop(index)
        call = _Call(index, None, self.chances[index].expovariate(1 / station.clear_min), now, now)
        self._stand(call, now, called=station.needs_person)
        self._flow()

    def _stand(self, call: _Call, now: float, *, called: bool) -> None:
        """Let a station stand until somebody has seen to it, or for its time."""
        index = call.station
        if called:
            self.states[index] = _WAITING
            self._ask(call, now)
        else:
            self.states[index] = _DOWN
            call.until, call.left = now + call.left, 0.0
            self._end_later(call, call.until)

    def _finish(self, call: _Call, now: float) -> None:
        """A person has come, or a stop is cleared, or a piece of a task done."""
        index, number = call.station, call.post
        if call.task is None:
            self._advance(now)
            if call.left:
                # Somebody has come: the clearing begins.
                call.left = 0.0
                self.states[index] = _DOWN
                self._end_later(call, call.until)
                return
            self.states[index] = _ABLE
            if call.then is not None:
                if self.stations[index].tasks[call.then].goes_on_min > _NO_WORK:
                    self._go_on(index, call.then, now)
                else:
                    self.undone[index][call.then] -= 1
            self._flow()
        elif call.left:
            if not self._more_urgent_than(call):
                self._work_on(call, now, 0.0)
                return
            call.post = -1
            self._ask(call, now)
        else:
            self.undone[index][call.task] -= 1
            if self.held_by[index] == call.task:
                self._advance(now)
                self.held_by[index] = None
                self.states[index] = _ABLE
                self._fall_due(index, call.task, now)
                self._flow()
        if number >= 0:
            self.posts[number].free.append(self.stations[index].place_m)
            self._serve_next(number, now)

    # --- people ------------------------------------------------------------------------------

    def _ask(self, call: _Call, now: float) -> None:
        """Send somebody who is free, or let the call wait."""
        helpers = self.helping[call.station] if self._helped(call) else []
        for numbers in (self.serving[call.station], helpers):
            able = [number for number in numbers if self.posts[number].free]
            if able:
                self._serve(call, min(able, key=self._effort), now)
                return
        self.ticket += 1
        self.queue.append((call.urgency, self.ticket, call))

    def _helped(self, call: _Call) -> bool:
        """Whether others help out with it."""
        if call.task is None:
            return True
        station = self.stations[call.station]
        return station.tasks[call.task].every_cans <= HELPED_MIN * station.speed_cpm

    def _helps(self, post: PostModel, call: _Call) -> bool:
        return call.station in post.helps and self._helped(call)

    def _effort(self, number: int) -> float:
        """Work so far of each of a post's people [min]."""
        return self.posts[number].effort / self.posts[number].people

    def _more_urgent_than(self, call: _Call) -> bool:
        """Whether another call waits for the same people and is to be taken first."""
        urgency, post = call.urgency, self.line.posts[call.post]
        at_home = call.station in post.stations
        for other, _, entry in self.queue:
            if entry.station in post.stations:
                if not at_home or other < urgency:
                    return True
            elif not at_home and other < urgency and self._helps(post, entry):
                return True
        return False

    def _serve_next(self, number: int, now: float) -> None:
        """Give a free person the most urgent call of the post."""
        if not self.queue:
            return
        post = self.line.posts[number]
        waiting = [entry for entry in self.queue if entry[2].station in post.stations]
        if not waiting:
            waiting = [entry for entry in self.queue if self._helps(post, entry[2])]
        if waiting:
            entry = min(waiting)
            self.queue.remove(entry)
            self._serve(entry[2], number, now)

    def _serve(self, call: _Call, number: int, now: float) -> None:
        post, place_m = self.posts[number], self.stations[call.station].place_m
        at_m = post.free.pop(0)
        walk_min = abs(place_m - at_m) / WALKING_M_PER_MIN
        call.post = number
        if not call.begun:
            call.begun = True
            post.calls += 1
            post.waited += now + walk_min - call.since
        if call.task is not None:
            self._work_on(call, now, walk_min)
            return
        post.stops += 1
        post.stop_waited += now + walk_min - call.since
        post.work(walk_min + call.left)
        call.until = now + walk_min + call.left
        if walk_min:
            self._end_later(call, now + walk_min)
        else:
            call.left = 0.0
            self._advance(now)
            self.states[call.station] = _DOWN
            self._end_later(call, call.until)

    def _work_on(self, call: _Call, now: float, walk_min: float) -> None:
        """Do the next piece of a task."""
        piece_min = min(call.left, PIECE_MIN)
        call.left = call.left - piece_min if call.left - piece_min > _NO_WORK else 0.0
        call.until = now + walk_min + piece_min
        self.posts[call.post].work(walk_min + piece_min)
        self._end_later(call, call.until)

    def _end_later(self, call: _Call, when: float) -> None:
        self.ticket += 1
        heapq.heappush(self.endings, (when, self.ticket, call))

    def _cans_to_stop(self, index: int) -> float:
        mean = self.stations[index].cans_between_stops
        return self.chances[index].expovariate(1 / mean) if math.isfinite(mean) else math.inf
