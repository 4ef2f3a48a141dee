"""The running order: the cycle through all formats with the shortest changeovers.

Up to MOST_EXACT formats it is exact; above, a good cycle is improved as far as exchanges go, and a
bound says how far it may be from the shortest.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

MOST_EXACT = 12
ASCENT_STEPS = 300
EPSILON = 1e-9

Matrix = Sequence[Sequence[float]]


@dataclass(frozen=True, slots=True)
class Cycle:
    """A running order that starts again after the last format."""

    places: tuple[int, ...]
    """Formats in order, beginning with the first of the list."""
    minutes: float
    """All changes of one round, the one back to the beginning included [min]."""
    bound: float
    """No order takes less [min]."""

    @property
    def exact(self) -> bool:
        """Whether no order is shorter."""
        return self.minutes <= self.bound + 1e-6

    @property
    def gap(self) -> float:
        """By how much of itself it may be too long at the most."""
        return max(0.0, 1 - self.bound / self.minutes) if self.minutes > 0 else 0.0


def best_cycle(minutes: Matrix) -> Cycle:
    """The cycle with the shortest changeovers.

    Parameters
    ----------
    minutes : matrix of float
        Minutes of the change from each row's format to each column's. [min]

    Returns
    -------
    Cycle
        The order with its minutes and a bound. [min]

    Raises
    ------
    ValueError
        If the matrix is empty, not square, or holds a negative or infinite figure.

    References
    ----------
    Held and Karp, A dynamic programming approach to sequencing problems, J. SIAM 10 (1962); for
    the bound, The traveling-salesman problem and minimum spanning trees, Oper. Res. 18 (1970).
    """
    count = len(minutes)
    if not count or any(len(row) != count for row in minutes):
        raise ValueError("minutes must be a square matrix with at least one row")
    if not all(math.isfinite(value) and value >= 0 for row in minutes for value in row):
        raise ValueError("minutes must be finite and not negative")
    if count == 1:
        return Cycle((0,), 0.0, 0.0)
    if count <= MOST_EXACT:
        places = _exact(minutes)
        length = cycle_minutes(minutes, places)
        return Cycle(places, length, length)
    places = _improved(minutes)
    length = cycle_minutes(minutes, places)
    bound = max(_assignment_bound(minutes), _tree_bound(minutes, length))
    return Cycle(places, length, min(bound, length))


def cycle_minutes(minutes: Matrix, places: Sequence[int]) -> float:
    """Changeover minutes of one round in an order [min]."""
    if len(places) < 2:
        return 0.0
    return sum(minutes[one][other] for one, other in pairwise((*places, places[0])))


def _exact(minutes: Matrix) -> tuple[int, ...]:
    """Held-Karp: the shortest way from the first format through each set to each format."""
    others = len(minutes) - 1  # the first format is the start; bit k stands for format k + 1
    full = (1 << others) - 1
    length = [[math.inf] * others for _ in range(full + 1)]
    came = [[-1] * others for _ in range(full + 1)]
    for last in range(others):
        length[1 << last][last] = minutes[0][last + 1]
    for visited in range(1, full + 1):
        row = length[visited]
        for last in range(others):
            so_far = row[last]
            if so_far == math.inf:
                continue
            costs = minutes[last + 1]
            for nxt in range(others):
                bit = 1 << nxt
                if visited & bit:
                    continue
                total = so_far + costs[nxt + 1]
                if total < length[visited | bit][nxt] - EPSILON:
                    length[visited | bit][nxt] = total
                    came[visited | bit][nxt] = last
    last = min(range(others), key=lambda k: length[full][k] + minutes[k + 1][0])
    places, visited = [], full
    while last >= 0:
        places.append(last + 1)
        visited, last = visited & ~(1 << last), came[visited][last]
    return (0, *reversed(places))


def _improved(minutes: Matrix) -> tuple[int, ...]:
    """The best of the nearest-neighbour cycles from every start, improved by exchanges."""
    best: list[int] = []
    best_length = math.inf
    for start in range(len(minutes)):
        places = _by_exchanges(minutes, _nearest(minutes, start))
        length = cycle_minutes(minutes, places)
        if length < best_length - EPSILON:
            best, best_length = places, length
    turn = best.index(0)
    return (*best[turn:], *best[:turn])


def _nearest(minutes: Matrix, start: int) -> list[int]:
    places, left = [start], set(range(len(minutes))) - {start}
    while left:
        row = minutes[places[-1]]
        nearest = min(left, key=lambda place: (row[place], place))
        places.append(nearest)
        left.remove(nearest)
    return places


def _by_exchanges(minutes: Matrix, places: list[int]) -> list[int]:
    """Move stretches of up to three formats, and turn stretches round, while that helps."""
    length = cycle_minutes(minutes, places)
    improved = True
    while improved:
        improved = False
        for other in _neighbours(places):
            found = cycle_minutes(minutes, other)
            if found < length - EPSILON:
                places, length, improved = other, found, True
                break
    return places


def _neighbours(places: list[int]) -> Iterator[list[int]]:
    count = len(places)
    for size in (1, 2, 3):
        for begin in range(count - size + 1):
            stretch = places[begin : begin + size]
            rest = places[:begin] + places[begin + size :]
            for into in range(len(rest)):
                if into != begin:
                    yield rest[:into] + stretch + rest[into:]
    for begin in range(count - 1):
        for end in range(begin + 2, count + 1):
            yield places[:begin] + places[begin:end][::-1] + places[end:]


def _assignment_bound(minutes: Matrix) -> float:
    """The cheapest way to give each format one next format, rounds within rounds allowed.

    The Hungarian method with potentials.
    """
    count = len(minutes)
    large = 1 + sum(map(max, minutes))
    cost = [[large if i == j else minutes[i][j] for j in range(count)] for i in range(count)]
    row_potential, column_potential = [0.0] * (count + 1), [0.0] * (count + 1)
    matched, way = [0] * (count + 1), [0] * (count + 1)
    for row in range(1, count + 1):
        matched[0], column = row, 0
        least, used = [math.inf] * (count + 1), [False] * (count + 1)
        while True:
            used[column] = True
            current, delta, nxt = matched[column], math.inf, 0
            for j in range(1, count + 1):
                if used[j]:
                    continue
                reduced = cost[current - 1][j - 1] - row_potential[current] - column_potential[j]
                if reduced < least[j]:
                    least[j], way[j] = reduced, column
                if least[j] < delta:
                    delta, nxt = least[j], j
            for j in range(count + 1):
                if used[j]:
                    row_potential[matched[j]] += delta
                    column_potential[j] -= delta
                else:
                    least[j] -= delta
            column = nxt
            if matched[column] == 0:
                break
        while column:
            matched[column], column = matched[way[column]], way[column]
    return sum(cost[matched[j] - 1][j - 1] for j in range(1, count + 1))


def _tree_bound(minutes: Matrix, known: float) -> float:
    """The best one-tree over weighted formats: Held and Karp's bound with the shorter direction.

    A cycle is a spanning tree of all formats but the first, and two changes at the first. Weights
    on formats that a tree visits too often or too seldom bring it nearer to a cycle.
    """
    count = len(minutes)
    either = [[min(minutes[i][j], minutes[j][i]) for j in range(count)] for i in range(count)]
    weight = [0.0] * count
    best, scale = 0.0, 2.0
    for step in range(ASCENT_STEPS):
        length, degree = _one_tree(either, weight)
        if length > best:
            best = length
        off = sum((each - 2) ** 2 for each in degree)
        if off == 0 or best >= known - EPSILON:
            break
        if step % 30 == 29:
            scale /= 2
        stride = scale * max(known - length, 1e-6 * known) / off
        weight = [old + stride * (each - 2) for old, each in zip(weight, degree, strict=True)]
    return best


def _one_tree(either: Matrix, weight: Sequence[float]) -> tuple[float, list[int]]:
    count = len(either)

    def cost(i: int, j: int) -> float:
        return either[i][j] + weight[i] + weight[j]

    degree = [0] * count
    total = -2 * sum(weight)
    near = {place: (cost(1, place), 1) for place in range(2, count)}
    while near:
        place = min(near, key=lambda k: (near[k][0], k))
        length, to = near.pop(place)
        total += length
        degree[place] += 1
        degree[to] += 1
        for other in near:
            found = cost(place, other)
            if found < near[other][0]:
                near[other] = (found, place)
    for length, place in sorted((cost(0, place), place) for place in range(1, count))[:2]:
        total += length
        degree[place] += 1
        degree[0] += 1
    return total, degree
