"""Two machines with a buffer between them, solved exactly as a continuous flow.

A machine works at its speed until it stops. Stops come with the cans it works on, so that a machine
that waits does not stop of itself and one that is slowed stops less often; working and clearing
times are exponential. One of the two machines may have two kinds of stops, each with a clearing
time of its own.

While both work, the level of the buffer drifts at the difference of the speeds. Between empty and
full, the density of the level x in a state (i, j) of the machines is a sum of terms
exp(lambda x) y_i z_j, where lambda and y are an eigenvalue and an eigenvector of each machine's
generator scaled by its speed: with kappa as the common parameter, y = p / (r + kappa) for a stop of
the faster machine, z = p / (r - kappa) for a stop of the slower one, 1 for working, and

    (1 + sum y) / fast = (1 + sum z) / slow,   lambda = -kappa (1 + sum y) / fast.

The first equation reads sum w / (kappa - pole) = fast - slow with one pole for each kind of stop
and positive weights w, so that there is one kappa after each pole. What the terms weigh follows
from the states that cannot be at the ends: the level never rests where it drifts away.

References
----------
.. [1] S. B. Gershwin, Manufacturing Systems Engineering, Prentice Hall, 1994, chapter 3:
   the continuous material two-machine line (from memory; derived again here).
.. [2] R. Levantesi, A. Matta and T. Tolio, "Performance evaluation of continuous production lines
   with machines having different processing times and multiple failure modes", Performance
   Evaluation 51 (2003): several kinds of stops (from memory; derived again here).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

Stop = tuple[float, float]
"""One kind of stop: stops per minute of work (p), clearings per minute (r) [1/min, 1/min]."""

_Triple = tuple[float, float, float]

_NEGLIGIBLE = 1e-13
"""Standstill per minute of work that no figure shows."""
_SAME_CLEARING = 1e-9
"""Relative difference below which two clearing rates are one."""
_LEAST_DRIFT = 1e-12
"""Relative difference of speeds below which the third term has left for infinity."""
_MOST_STEPS = 60


def standstill(stops: Sequence[Stop]) -> float:
    """Minutes of standstill for each minute of work: sum p / r [-].

    Parameters
    ----------
    stops : kinds of stops [1/min, 1/min]
    """
    return sum(p / r for p, r in stops)


def buffered_cpm(
    first_cpm: float,
    first_stops: Sequence[Stop],
    second_cpm: float,
    second_stops: Sequence[Stop],
    buffer_cans: float,
) -> float:
    """Throughput of two machines with one buffer between them [cans/min], exact.

    Parameters
    ----------
    first_cpm, second_cpm : speeds while the machines work [cans/min]
    first_stops, second_stops : their kinds of stops at these speeds; three kinds at most, of
        which each stopping machine has at least one [1/min, 1/min]
    buffer_cans : cans that go between them, 0 and infinity included [cans]

    Raises ValueError for a negative buffer and for more kinds of stops.

    References: [1]_, [2]_ of the module.
    """
    if not buffer_cans >= 0:
        raise ValueError(f"buffer_cans must be 0 or more, found {buffer_cans}")
    # A line runs as fast backwards: the faster machine may stand first.
    if first_cpm >= second_cpm:
        fast, fast_stops, slow, slow_stops = first_cpm, first_stops, second_cpm, second_stops
    else:
        fast, fast_stops, slow, slow_stops = second_cpm, second_stops, first_cpm, first_stops
    if buffer_cans == 0:
        return slow / (1 + standstill(fast_stops) * slow / fast + standstill(slow_stops))
    fast_alone = fast / (1 + standstill(fast_stops))
    slow_alone = slow / (1 + standstill(slow_stops))
    fast_kinds, slow_kinds = _distinct(fast_stops), _distinct(slow_stops)
    if not fast_kinds or math.isinf(buffer_cans):
        return min(fast_alone, slow_alone)
    if not slow_kinds:
        if fast == slow:
            return fast_alone
        slow_kinds = [(_NEGLIGIBLE, 1.0)]
    kinds = len(fast_kinds) + len(slow_kinds)
    if kinds == 2:
        return _one_each(fast, *fast_kinds[0], slow, *slow_kinds[0], buffer_cans)
    if kinds == 3:
        return _two_and_one(fast, fast_kinds, slow, slow_kinds, buffer_cans)
    raise ValueError(f"three kinds of stops can be solved, found {kinds}")


def _distinct(stops: Sequence[Stop]) -> list[Stop]:
    """Stops worth counting, kinds with the same clearing together."""
    kinds = [(p, r) for p, r in stops if p > _NEGLIGIBLE * r]
    if len(kinds) == 2 and abs(kinds[0][1] - kinds[1][1]) <= _SAME_CLEARING * kinds[0][1]:
        return [(kinds[0][0] + kinds[1][0], kinds[0][1])]
    return kinds


def _one_each(
    fast: float, p1: float, r1: float, slow: float, p2: float, r2: float, buffer_cans: float
) -> float:
    """One kind of stop at each machine: two terms, in closed form.

    Written so that only numbers of one sign are added: nothing cancels when speeds are nearly
    equal, machines nearly perfect or buffers large. All masses are multiplied by p2.
    """
    rates = r1 + r2
    drift = fast - slow
    lean = slow * p1 - drift * rates
    slows = fast * p2
    root = math.sqrt(lean * lean + slows * (2 * (drift * rates + slow * p1) + slows))
    pivot = (drift * rates + slow * p1 + slows + root) / 2
    large = (slows + root + abs(lean)) / 2
    small = slows * pivot / large if large > 0 else 0.0
    if large == 0:
        large = small = 1.0  # a double root: only the ratio matters
    weight_a, weight_b = (large, small) if lean >= 0 else (small, large)
    # Term a dies out towards the full end and has left for infinity at equal speeds, so it is
    # kept by its inverse; term b may rise or fall.
    inverse_a = p1 * drift / pivot
    both_up_b = slow * rates / pivot
    steep = (p1 - r1 * inverse_a) * (1 + inverse_a) / fast
    exponent = -(p1 * both_up_b - r1) * (1 + both_up_b) / (both_up_b * fast)
    reach = exponent * buffer_cans
    low = math.exp(-max(reach, 0.0))
    high = math.exp(min(reach, 0.0))
    fall = -math.inf if inverse_a == 0 else -steep * buffer_cans / inverse_a
    high_a = math.exp(fall) * low
    span_a = -math.expm1(fall) * low / steep  # over inverse_a
    span_b = buffer_cans if reach == 0 else -math.expm1(-abs(reach)) / abs(exponent)
    first_down_a = p1 * weight_a / pivot
    first_down_b = weight_b / slow

    empty_first_down = slow * (first_down_a + first_down_b) * low / r1
    full_both_up = fast * (first_down_a * high_a + first_down_b * high) / p1
    full_second_down = p2 * (fast * (high - high_a) + full_both_up) / r2
    both_up = rates * weight_b / pivot * span_b + first_down_a * span_a
    first_down = first_down_b * span_b + first_down_a * inverse_a * span_a
    second_down = p2 * (span_b - inverse_a * span_a)
    both_down = (p1 * second_down + p2 * first_down) / rates
    working = both_up + first_down + full_both_up
    waiting = second_down + both_down + empty_first_down + full_second_down
    return slow * working / (working + waiting)


def _balance(left: float, right: float, pull: float, gap: float) -> tuple[float, float]:
    """The x in (0, gap) where left / x - right / (gap - x) + pull = 0, and gap - x.

    Both come without cancellation, however close to an end the root is.
    """
    total = left + right
    tilt = pull * gap
    root = math.sqrt((left - right + tilt) ** 2 + 4 * left * right)
    down, up = total - tilt, total + tilt
    before = 2 * left * gap / (down + root) if down > 0 else gap * (root - down) / (2 * tilt)
    after = 2 * right * gap / (up + root) if up > 0 else gap * (up - root) / (2 * tilt)
    return before, after


def _root_between(
    left: float, right: float, gap: float, third: float, beyond: float, drift: float
) -> tuple[float, float]:
    """The x in (0, gap) where left / x - right / (gap - x) - third / (gap + beyond - x) = drift.

    The far pole is replaced by the near one with the same value and slope, time and again; the
    steps come from one side, and each doubles the digits. Returns x and gap - x.
    """
    before, after = _balance(left, right, -drift, gap)
    for _ in range(_MOST_STEPS):
        share = after / (after + beyond)
        pull = -third / (after + beyond) * (1 - share) - drift
        x, rest = _balance(left, right + third * share * share, pull, gap)
        settled = abs(x - before) <= 1e-8 * before and abs(rest - after) <= 1e-8 * after
        before, after = x, rest
        if settled:
            break
    return before, after


def _root_above(
    last: float, middle: float, gap: float, first: float, span: float, drift: float
) -> float:
    """The x > 0 where last / x + middle / (x + gap) + first / (x + span) = drift."""
    x = (last + middle + first) / drift
    for _ in range(_MOST_STEPS):
        near, far = x + gap, x + span
        share_near, share_far = x / near, x / far
        weight = last + middle * share_near**2 + first * share_far**2
        rest = middle / near * (1 - share_near) + first / far * (1 - share_far)
        before, x = x, weight / (drift - rest)
        if abs(x - before) <= 1e-8 * x:
            break
    return x


def _two_and_one(
    fast: float,
    fast_kinds: Sequence[Stop],
    slow: float,
    slow_kinds: Sequence[Stop],
    buffer_cans: float,
) -> float:
    """Two kinds of stops at one machine, one at the other: three terms.

    Poles a < b < c of kappa are -r for the faster machine's stops and r for the slower one's. All
    distances between roots and poles are sums of the gaps between neighbours, exact however close.
    """
    drift = max(fast - slow, _LEAST_DRIFT * fast)
    twice_fast = len(fast_kinds) == 2
    if twice_fast:
        (pa, ra), (pb, rb) = sorted(fast_kinds, key=lambda stop: -stop[1])
        ((pc, rc),) = slow_kinds
        gap_ab, gap_bc = ra - rb, rb + rc
        wa, wb, wc = slow * pa, slow * pb, fast * pc
    else:
        ((pa, ra),) = fast_kinds
        (pb, rb), (pc, rc) = sorted(slow_kinds, key=lambda stop: stop[1])
        gap_ab, gap_bc = ra + rb, rc - rb
        wa, wb, wc = slow * pa, fast * pb, fast * pc
    a1, b1 = _root_between(wa, wb, gap_ab, wc, gap_bc, drift)
    c2, b2 = _root_between(wc, wb, gap_bc, wa, gap_ab, -drift)
    c3 = _root_above(wc, wb, gap_bc, wa, gap_ab + gap_bc, drift)
    from_a = (a1, gap_ab + b2, gap_ab + gap_bc + c3)
    from_b = (-b1, b2, gap_bc + c3)
    from_c = (-b1 - gap_bc, -c2, c3)
    d12, d13, d23 = b1 + b2, b1 + gap_bc + c3, c2 + c3
    kappas = (a1 - ra, b2 - rb if twice_fast else b2 + rb, c3 + rc)
    apart = (d12 * d13, -d12 * d23, d13 * d23)

    # (1 + sum y) / fast, or the same as (1 + sum z) / slow, whichever has no negative parts.
    if twice_fast:
        paces = [
            (1 + pa / a + pb / b) / fast if kappa > 0 else (1 - pc / c) / slow
            for kappa, a, b, c in zip(kappas, from_a, from_b, from_c, strict=True)
        ]
    else:
        paces = [
            (1 + pa / a) / fast if kappa > 0 else (1 - pb / b - pc / c) / slow
            for kappa, a, b, c in zip(kappas, from_a, from_b, from_c, strict=True)
        ]
    exponents = [-kappa * pace for kappa, pace in zip(kappas, paces, strict=True)]
    reaches = [exponent * buffer_cans for exponent in exponents]
    # Each term is divided by its largest value in the buffer, so that nothing overflows.
    low = [math.exp(-max(reach, 0.0)) for reach in reaches]
    high = [math.exp(min(reach, 0.0)) for reach in reaches]
    spans = [
        buffer_cans if reach == 0 else -math.expm1(-abs(reach)) / abs(exponent)
        for reach, exponent in zip(reaches, exponents, strict=True)
    ]

    # No density of (faster works, slower stopped) at the empty buffer: the weights are residues of
    # a rational function that vanishes at the slower machine's poles. Two kinds of stops of the
    # faster machine must besides leave the full buffer as often as they come.
    weights: _Triple
    if twice_fast:
        r1, r2, r3 = (c / d for c, d in zip(from_c, apart, strict=True))
        e1, e2, e3 = (
            r * h / (a * b) for r, h, a, b in zip((r1, r2, r3), high, from_a, from_b, strict=True)
        )
        weights = (
            r1 * (e2 * d12 * low[2] + e3 * d13 * low[1]),
            r2 * (e3 * d23 * low[0] - e1 * d12 * low[2]),
            -r3 * (e1 * d13 * low[1] + e2 * d23 * low[0]),
        )
    else:
        weights = (
            from_b[0] * from_c[0] / apart[0] * low[1] * low[2],
            from_b[1] * from_c[1] / apart[1] * low[0] * low[2],
            from_b[2] * from_c[2] / apart[2] * low[0] * low[1],
        )
    at_empty = [w * end for w, end in zip(weights, low, strict=True)]
    at_full = [w * end for w, end in zip(weights, high, strict=True)]

    full_both_up = fast * _over(at_full, from_a)
    if twice_fast:
        empty_first_down = slow * (
            pa / ra * _over(at_empty, from_a) + pb / rb * _over(at_empty, from_b)
        )
        full_second_down = pc / rc * (full_both_up - fast * _over(at_full, from_c))
    else:
        empty_first_down = slow * pa / ra * _over(at_empty, from_a)
        full_second_down = pb / rb * (full_both_up - fast * _over(at_full, from_b)) + pc / rc * (
            full_both_up - fast * _over(at_full, from_c)
        )
    masses = [w * span * pace for w, span, pace in zip(weights, spans, paces, strict=True)]
    working = fast * sum(masses) + full_both_up
    inside = fast * slow * sum(mass * pace for mass, pace in zip(masses, paces, strict=True))
    everything = inside + empty_first_down + full_both_up + full_second_down
    return slow * working / everything


def _over(values: Sequence[float], distances: _Triple) -> float:
    return sum(value / distance for value, distance in zip(values, distances, strict=True))


def starving(
    feed_cpm: float, feed_stop: Stop, own_cpm: float, own_stop: Stop, buffer_cans: float
) -> Stop:
    """How a machine is stopped by the one before it, as one more kind of stop [1/min, 1/min].

    A feeding machine that is down when the buffer runs empty is down for its clearing time once
    more (exponential), so waits last as long as its stops; how often they come follows from the
    pair's exact throughput.

    Parameters
    ----------
    feed_cpm, feed_stop : the machine that feeds [cans/min; 1/min, 1/min]
    own_cpm, own_stop : the machine that waits, not faster than its feed [cans/min; 1/min, 1/min]
    buffer_cans : cans that go between them, 0 and infinity included [cans]

    Raises ValueError for a negative buffer.

    Reference: Tolio and Matta 1998 (from memory).
    """
    together_cpm = buffered_cpm(feed_cpm, (feed_stop,), own_cpm, (own_stop,), buffer_cans)
    waits = own_cpm / together_cpm - 1 - own_stop[0] / own_stop[1]
    return max(0.0, waits) * feed_stop[1], feed_stop[1]
