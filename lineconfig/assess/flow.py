"""Effective speed of a line whose machines stop: zero, finite and infinite buffers.

A machine works at its speed until it stops; stops come in proportion to the cans it works on
(operation-dependent), running times and clearing times are exponential. Cans are a continuous
flow. The two-machine line with one buffer is solved exactly, for equal and unequal speeds; longer
lines are reduced to it.

References
----------
Buzacott, J. A., "Automatic transfer lines with buffer stocks", International Journal of Production
Research 5 (1967): the zero-buffer efficiency (from memory).
Gershwin, S. B., Manufacturing Systems Engineering, Prentice Hall, 1994, chapter 3: the continuous
material two-machine line (from memory; derived again here).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

_EQUAL_SPEEDS = 1e-7
"""Relative difference below which two speeds are one: the second exponent has left for infinity."""
_NEARLY_PERFECT = 1e-9
"""Stops per clearing that stand for a machine that never stops."""


@dataclass(frozen=True, slots=True)
class Machine:
    """One machine, or a stretch of line seen as one."""

    speed_cpm: float
    """Speed while it works [cans/min]."""
    stops_per_min: float
    """Stops per minute of work at its speed (p) [1/min]."""
    repairs_per_min: float
    """One over the mean time to clear a stop (r) [1/min]."""

    @property
    def alone_cpm(self) -> float:
        """Throughput with nothing before or behind it that stops [cans/min]."""
        return self.speed_cpm / (1 + self.stops_per_min / self.repairs_per_min)

    def slowed(self, speed_cpm: float) -> Machine:
        """The same machine held to another speed: its stops come with the cans."""
        factor = speed_cpm / self.speed_cpm
        return Machine(speed_cpm, self.stops_per_min * factor, self.repairs_per_min)


@dataclass(frozen=True, slots=True)
class EffectiveSpeed:
    """A line's speed and its bracket [cans/min]."""

    rated_cpm: float
    lower_cpm: float
    """Without buffers: any stop stops all."""
    estimate_cpm: float
    upper_cpm: float
    """With buffers without end: the slowest section alone."""
    pairs_cpm: float
    """The slower of the two neighbouring pairs alone, exact: the line is no faster."""


def zero_buffer_efficiency(stops: Sequence[tuple[float, float]]) -> float:
    """Efficiency of machines in series without buffers: 1 / (1 + sum p/r).

    Parameters
    ----------
    stops : for each machine stops per minute of work and clearings per minute [1/min, 1/min]

    Reference: Buzacott 1967.
    """
    return 1 / (1 + sum(p / r for p, r in stops))


def infinite_buffer_efficiency(stops: Sequence[tuple[float, float]]) -> float:
    """Efficiency of machines in series with infinite buffers: min r / (r + p).

    Parameters as for `zero_buffer_efficiency`; 1 for no machines.
    """
    return min((r / (r + p) for p, r in stops), default=1.0)


def merge(machines: Sequence[Machine]) -> Machine:
    """Machines in series without buffers as one, at their common slowest speed.

    Stops add up, and the mean time to clear is weighted by how often each stops, so that the
    zero-buffer throughput is kept.
    """
    speed_cpm = min(machine.speed_cpm for machine in machines)
    slowed = [machine.slowed(speed_cpm) for machine in machines]
    stops = sum(machine.stops_per_min for machine in slowed)
    standstill = sum(machine.stops_per_min / machine.repairs_per_min for machine in slowed)
    return Machine(speed_cpm, stops, stops / standstill if standstill else 1.0)


def two_machine_throughput(first: Machine, second: Machine, buffer_cans: float) -> float:
    """Throughput of two machines with one buffer between them [cans/min], exact.

    While both work the level in the buffer drifts at the difference of their speeds; a full buffer
    slows or blocks the first, an empty one slows or starves the second, and a machine that waits
    does not stop of itself. In each state the density of the level is a sum of exponentials
    exp(l x) Y1^a1 Y2^a2 (a = 1 up, 0 down), with p1 Y1 + p2 Y2 = r1 + r2 and zero net flow across
    every level; the masses at the empty and the full buffer follow from the flows into them.

    Parameters
    ----------
    first, second : the machines [cans/min, 1/min, 1/min]
    buffer_cans : cans that go between them [cans]; may be 0 or infinite

    Raises ValueError for a negative buffer.
    """
    if buffer_cans < 0:
        raise ValueError(f"buffer_cans must not be negative, found {buffer_cans}")
    if first.speed_cpm < second.speed_cpm:
        first, second = second, first  # a line runs as fast backwards
    if buffer_cans == 0:
        return merge((first, second)).alone_cpm
    if math.isinf(buffer_cans):
        return min(first.alone_cpm, second.alone_cpm)
    r1, r2 = first.repairs_per_min, second.repairs_per_min
    p1 = max(first.stops_per_min, _NEARLY_PERFECT * r1)
    p2 = max(second.stops_per_min, _NEARLY_PERFECT * r2)
    fast, slow = first.speed_cpm, second.speed_cpm
    if fast - slow <= _EQUAL_SPEEDS * fast:
        return _equal_speeds(slow, p1, r1, p2, r2, buffer_cans)
    return _unequal_speeds(fast, slow, p1, r1, p2, r2, buffer_cans)


def _span(exponent: float, length: float) -> float:
    """Integral of exp(exponent x) from 0 to length, divided by exp(max(exponent, 0) length)."""
    reach = exponent * length
    if abs(reach) < 1e-8:
        return length * (1 - abs(reach) / 2)
    return -math.expm1(-abs(reach)) / abs(exponent)


def _equal_speeds(
    speed: float, p1: float, r1: float, p2: float, r2: float, buffer_cans: float
) -> float:
    up = (r1 + r2) / (p1 + p2)
    exponent = -(p1 * up - r1) * (1 + up) / (up * speed)
    # Densities are divided by their largest value, so that nothing overflows.
    low = math.exp(min(0.0, -exponent * buffer_cans))
    high = math.exp(min(0.0, exponent * buffer_cans))
    span = _span(exponent, buffer_cans)
    empty_both_up = speed * low * up / p2
    empty_first_down = (speed * low * up + p1 * empty_both_up) / r1
    full_both_up = speed * high * up / p1
    full_second_down = (speed * high * up + p2 * full_both_up) / r2
    working = span * up * (1 + up) + full_both_up + empty_both_up
    everything = span * (1 + up) ** 2 + sum(
        (empty_both_up, empty_first_down, full_both_up, full_second_down)
    )
    return speed * working / everything


def _unequal_speeds(
    fast: float, slow: float, p1: float, r1: float, p2: float, r2: float, buffer_cans: float
) -> float:
    rates = r1 + r2
    a = (fast - slow) * p1
    b = slow * (rates - p1) - fast * (p2 + rates)
    c = slow * rates
    q = -(b + math.copysign(math.sqrt(max(0.0, b * b - 4 * a * c)), b)) / 2
    first_up = (q / a, c / q)
    terms = []
    for y1 in first_up:
        y2 = (rates - p1 * y1) / p2
        exponent = -(p1 * y1 - r1) * (1 + y1) / (y1 * fast)
        terms.append((y1, y2, exponent))
    (y1a, y2a, la), (y1b, y2b, lb) = terms
    # No density of (first up, second down) at the empty buffer: weights cancel there.
    top = max(0.0, la * buffer_cans, lb * buffer_cans)
    weights = (1 / y1a, -1 / y1b)
    if weights[0] * y2a + weights[1] * y2b < 0:
        weights = (-weights[0], -weights[1])
    low = math.exp(-top)
    high = [math.exp(exponent * buffer_cans - top) for exponent in (la, lb)]
    spans = [
        _span(exponent, buffer_cans) * math.exp(max(0.0, exponent * buffer_cans) - top)
        for exponent in (la, lb)
    ]
    down_up_low = sum(w * y2 * low for w, (_, y2, _) in zip(weights, terms, strict=True))
    down_up_high = sum(w * y2 * e for w, (_, y2, _), e in zip(weights, terms, high, strict=True))
    up_down_high = sum(w * y1 * e for w, (y1, _, _), e in zip(weights, terms, high, strict=True))
    empty_first_down = slow * down_up_low / r1
    full_both_up = fast * down_up_high / p1
    full_second_down = (fast * up_down_high + p2 * full_both_up) / r2
    working = full_both_up + sum(
        w * y2 * (1 + y1) * s for w, (y1, y2, _), s in zip(weights, terms, spans, strict=True)
    )
    everything = (
        empty_first_down
        + full_both_up
        + full_second_down
        + sum(
            w * (1 + y1) * (1 + y2) * s
            for w, (y1, y2, _), s in zip(weights, terms, spans, strict=True)
        )
    )
    return slow * working / everything


def equivalent_machine(first: Machine, second: Machine, buffer_cans: float) -> Machine:
    """Two machines and their buffer as one, with the pair's exact throughput.

    It runs at the slower speed, is cleared as fast as the quicker of the two, and stops as often as
    the throughput says. The clearing does not hang on how often each stops, so that a better
    machine never makes a worse pair; simulation tells the difference to a weighted mean from noise.
    """
    speed_cpm = min(first.speed_cpm, second.speed_cpm)
    throughput_cpm = two_machine_throughput(first, second, buffer_cans)
    repairs = max(first.repairs_per_min, second.repairs_per_min)
    return Machine(speed_cpm, max(0.0, speed_cpm / throughput_cpm - 1) * repairs, repairs)


def line_effective_speed(
    upstream: Machine,
    filler: Machine,
    downstream: Machine,
    buffer_before_cans: float,
    buffer_after_cans: float,
) -> EffectiveSpeed:
    """Effective speed of upstream | filler | downstream [cans/min].

    The line is reduced to two machines from either end, each time by the exact two-machine result,
    and the two answers are averaged; both lie between the zero- and the infinite-buffer bound.

    Parameters
    ----------
    upstream, filler, downstream : the three sections [cans/min, 1/min, 1/min]
    buffer_before_cans, buffer_after_cans : cans held before and after the filling section [cans]
    """
    machines = (upstream, filler, downstream)
    rated_cpm = min(machine.speed_cpm for machine in machines)
    lower_cpm = merge(machines).alone_cpm
    upper_cpm = min(machine.alone_cpm for machine in machines)
    from_left = two_machine_throughput(
        equivalent_machine(upstream, filler, buffer_before_cans), downstream, buffer_after_cans
    )
    from_right = two_machine_throughput(
        upstream, equivalent_machine(filler, downstream, buffer_after_cans), buffer_before_cans
    )
    pairs_cpm = min(
        two_machine_throughput(upstream, filler, buffer_before_cans),
        two_machine_throughput(filler, downstream, buffer_after_cans),
    )
    estimate_cpm = max(lower_cpm, min((from_left + from_right) / 2, pairs_cpm, upper_cpm))
    return EffectiveSpeed(rated_cpm, lower_cpm, estimate_cpm, upper_cpm, pairs_cpm)
