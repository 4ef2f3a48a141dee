"""Running hours of a triple of bundles: never fewer than its best ways would take.

A line of given speeds never runs faster when its stops take more of its time, or the same time in
fewer and longer stops. The minutes that a can takes through two neighbouring sections are convex in
how fast the sections are and how long they stand still, since completion times are maxima of sums
of durations; so a tangent lies below them everywhere. Both are property tests.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from operator import mul
from typing import NamedTuple

from lineconfig.assess.flow import (
    EffectiveSpeed,
    Machine,
    line_effective_speed,
    two_machine_throughput,
)
from lineconfig.connect.bundles import SIDES, Bundle, ByFormat, Stretch
from lineconfig.connect.terms import MINUTES_PER_HOUR, Terms

Triple = tuple[Bundle, Bundle, Bundle]
Slopes = tuple[ByFormat, ...]
SECTIONS = range(len(SIDES))
PAIRS = SECTIONS[:-1]
"""Stretches that have a neighbour behind them."""

CATCH_UP = 10.0
"""A choice without a machine never holds the line up: this many times the fastest machine."""
TANGENT_SLACK = 1e-6
"""Relative slack of hours read off a tangent, whose slopes are differences."""
ESTIMATE_SLACK = 1e-6
"""Relative slack of the estimate, whose best speeds are searched for."""
STEP = 1e-5
"""Relative step of those differences."""
LEAST = 1e-12
"""Standstill at which a tangent can be laid [min/can]."""


def stretches(triple: Triple) -> tuple[Stretch, ...]:
    """A line between its buffers: to the unloader's table, to the filler's end, to the last."""
    empties, filling, packing = triple
    return (
        empties.stretches[0],
        empties.stretches[1].joined(filling.stretches[1]),
        packing.stretches[2],
    )


def room_cans(triple: Triple, number: int) -> int:
    """Cans that go between a stretch and the next."""
    return triple[2 * number].holds_cans


class Manner(NamedTuple):
    """How the stretches of a line run."""

    stop_min: tuple[tuple[float, ...], ...]
    """Mean standstill, by stretch and format [min/can]."""
    pace: tuple[tuple[float, ...], ...]
    """Minutes that a can takes at rated speed, by stretch and format [min/can]."""


class Tangent(NamedTuple):
    """A plane below the running hours of a triple's lines."""

    hours: float
    """Where nothing took any time [h/year]."""
    stop_min: tuple[tuple[float, ...], ...]
    """Slopes over the standstill, by stretch and format [h/year per min/can]."""
    pace: tuple[tuple[float, ...], ...]
    """Slopes over the pace, by stretch and format [h/year per min/can]."""

    def at(self, manner: Manner) -> float:
        """Hours that a line which runs in this manner takes at least [h/year]."""
        hours = self.hours
        for slopes, lost in zip(self.stop_min, manner.stop_min, strict=True):
            hours += sum(map(mul, slopes, lost))
        for slopes, paces in zip(self.pace, manner.pace, strict=True):
            hours += sum(map(mul, slopes, paces))
        return hours

    def mixed(self, other: Tangent, share: float) -> Tangent:
        """Between this plane and another, which lies below the hours as both do."""
        mine = 1 - share

        def mix(ours: Slopes, theirs: Slopes) -> Slopes:
            return tuple(
                tuple(mine * a + share * b for a, b in zip(p, q, strict=True))
                for p, q in zip(ours, theirs, strict=True)
            )

        return Tangent(
            mine * self.hours + share * other.hours,
            mix(self.stop_min, other.stop_min),
            mix(self.pace, other.pace),
        )


class Hours:
    """Works out running hours under one client's terms, and remembers them."""

    def __init__(self, terms: Terms) -> None:
        self.terms = terms
        self._effective: dict[tuple[object, ...], EffectiveSpeed] = {}

    def effective(self, triple: Triple, index: int) -> EffectiveSpeed:
        """The effective speed of a triple with one format; for bundles, one that none beats."""
        machines = _machines(stretches(triple), index)
        before, after = room_cans(triple, 0), room_cans(triple, 1)
        key = (*machines, before, after)
        if key not in self._effective:
            upstream, filler, downstream = machines
            self._effective[key] = line_effective_speed(upstream, filler, downstream, before, after)
        return self._effective[key]

    def least(self, triple: Triple) -> float:
        """Hours that every line of a triple takes [h/year].

        The estimate takes time. While anything is open, it is worked out for one format of those
        that run at one pace, and serves all that stand no less and are cleared no faster; what
        they take beyond it is told by the exact throughput of pairs.
        """
        formats = range(len(self.terms.cans))
        if all(bundle.single for bundle in triple):
            return self.terms.run_hours(
                [1 / self.effective(triple, index).estimate_cpm for index in formats]
            )
        line = stretches(triple)
        first: dict[ByFormat, tuple[list[Machine], float]] = {}
        minutes = [0.0 for _ in formats]
        for index in sorted(formats, key=lambda i: sum(each.stop_min_per_can[i] for each in line)):
            machines = _machines(line, index)
            paces = tuple(machine.speed_cpm for machine in machines)
            if paces not in first:
                minutes[index] = 1 / self.effective(triple, index).estimate_cpm
                first[paces] = machines, minutes[index]
                continue
            best, known = first[paces]
            pairs = [
                pair_minutes(machines[i], machines[i + 1], room_cans(triple, i)) for i in PAIRS
            ]
            minutes[index] = max(*pairs, known if _no_worse(best, machines) else 0.0)
        return self.terms.run_hours(minutes) * (1 - ESTIMATE_SLACK)

    def tangent(self, triple: Triple, manner: Manner) -> Tangent:
        """The plane that touches the running hours of a triple where it runs in this manner.

        Formats that run at the same pace have one plane, laid where they stand still on average: by
        convexity it lies below each of them.
        """
        terms = self.terms
        line = stretches(triple)
        total = base = 0.0
        over_stop_min = [[0.0 for _ in terms.cans] for _ in SECTIONS]
        over_pace = [[0.0 for _ in terms.cans] for _ in SECTIONS]
        together: dict[ByFormat, list[int]] = {}
        for index in range(len(terms.cans)):
            speeds = _speeds([1 / p[index] if p[index] else float("inf") for p in manner.pace])
            together.setdefault(tuple(1 / speed for speed in speeds), []).append(index)
        for paces, formats in together.items():
            cans = sum(terms.cans[i] for i in formats)
            lost = [
                max(sum(each[i] * terms.cans[i] for i in formats) / cans, LEAST)
                for each in manner.stop_min
            ]
            often = [max(each.stops_per_can[i] for i in formats) for each in line]
            minutes, slopes = _slopes(triple, often, lost, paces)
            total += cans * minutes
            base += cans * minutes
            for number, by_stop_min, by_pace in slopes:
                for i in formats:
                    over_stop_min[number][i] += terms.cans[i] * by_stop_min
                    over_pace[number][i] += terms.cans[i] * by_pace
                base -= cans * (by_stop_min * lost[number] + by_pace * paces[number])
        factor = (1 + terms.startup_share) / MINUTES_PER_HOUR
        return Tangent(
            factor * (base - TANGENT_SLACK * total),
            tuple(tuple(factor * slope for slope in slopes) for slopes in over_stop_min),
            tuple(tuple(factor * slope for slope in slopes) for slopes in over_pace),
        )


def _machines(line: Sequence[Stretch], index: int) -> list[Machine]:
    """The stretches with one format, as machines that none of their ways beats."""
    speeds = _speeds([each.speed_most[index] for each in line])
    machines = []
    for each, speed_cpm in zip(line, speeds, strict=True):
        lost = each.stop_min_per_can[index]
        often = min(each.stops_per_can[index], each.repairs_per_min[index] * lost)
        machines.append(stopping(speed_cpm, often, lost))
    return machines


def _no_worse(ones: Sequence[Machine], others: Sequence[Machine]) -> bool:
    """Whether machines at the same speeds stand no longer than others and are cleared no slower."""
    return all(
        one.alone_cpm >= other.alone_cpm and one.repairs_per_min >= other.repairs_per_min
        for one, other in zip(ones, others, strict=True)
    )


def _speeds(speeds: Sequence[float]) -> list[float]:
    """Speeds of which none is without end."""
    fastest = max((speed for speed in speeds if speed < float("inf")), default=1.0) * CATCH_UP
    return [min(speed, fastest) for speed in speeds]


def stopping(speed_cpm: float, stops_per_can: float, stop_min_per_can: float) -> Machine:
    """A machine that stops so often for so long [cans/min, 1/can, min/can]."""
    if stops_per_can <= 0 or stop_min_per_can <= 0:
        return Machine(speed_cpm, 0.0, 1.0)
    return Machine(speed_cpm, stops_per_can * speed_cpm, stops_per_can / stop_min_per_can)


def pair_minutes(first: Machine, second: Machine, buffer_cans: float) -> float:
    """Minutes that a can takes through two stretches with a buffer between them [min/can]."""
    return 1 / two_machine_throughput(first, second, buffer_cans)


def _slopes(
    triple: Triple, often: Sequence[float], lost: Sequence[float], paces: Sequence[float]
) -> tuple[float, list[tuple[int, float, float]]]:
    """Minutes per can of the slower pair of stretches, and its slopes.

    A slope is a stretch's number, over its standstill, and over its pace.
    """
    machines = [stopping(1 / paces[i], often[i], lost[i]) for i in SECTIONS]

    def minutes(i: int, changed: Mapping[int, Machine]) -> float:
        first, second = (changed.get(j, machines[j]) for j in (i, i + 1))
        return pair_minutes(first, second, room_cans(triple, i))

    slowest, i = max((minutes(i, {}), i) for i in PAIRS)
    slopes = []
    for j in (i, i + 1):
        longer = stopping(1 / paces[j], often[j], lost[j] * (1 + STEP))
        slower = stopping(1 / (paces[j] * (1 + STEP)), often[j], lost[j])
        slopes.append(
            (
                j,
                max(0.0, minutes(i, {j: longer}) - slowest) / (STEP * lost[j]),
                max(0.0, minutes(i, {j: slower}) - slowest) / (STEP * paces[j]),
            )
        )
    return slowest, slopes
