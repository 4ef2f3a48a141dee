"""Ways: where a square of a given width can move between what stands in a room.

A walkway of width w is free where a square of side w passes. The square's lower left corner moves
in the room shrunk by w, outside of every open rectangle that is grown by w to the left and below.
That free set is closed and made of finitely many rectangles: between two neighbouring critical
heights it does not change. So what is connected is decided exactly, without a grid, and a passage
that is just as wide as w counts.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

Rect = tuple[int, int, int, int]
"""x0, y0, x1, y1 [mm]."""
Point = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Room:
    """A rectangle from the origin [mm]."""

    length: int
    width: int


@dataclass(slots=True)
class FreeSpace:
    """Where the lower left corner of a square of side `side` may be."""

    side: int
    length: int
    """Of the room, less the square."""
    width: int
    rows: list[tuple[int, int]]
    """Critical heights (equal ends) and the open strips between them, from the south."""
    runs: list[tuple[int, int]]
    """Free intervals along x, row by row."""
    starts: list[int]
    """Where each row's runs begin in `runs`; one more than rows."""
    component: list[int]
    """Of each run: the number of its connected part."""

    @staticmethod
    def of(room: Room, side: int, blocks: Iterable[Rect]) -> FreeSpace:
        """Free space for a square in a room with open rectangles that block it."""
        length, width = room.length - side, room.width - side
        empty = FreeSpace(side, length, width, [], [], [0], [])
        if length < 0 or width < 0:
            return empty
        grown = sorted(
            (x0 - side, x1, y0 - side, y1)
            for x0, y0, x1, y1 in blocks
            if x1 > x0 and y1 > y0 and x1 > 0 and y1 > 0
            and x0 - side < length and y0 - side < width
        )  # fmt: skip
        heights = sorted(
            {0, width}
            | {y0 for _, _, y0, _ in grown if 0 < y0 < width}
            | {y1 for _, _, _, y1 in grown if 0 < y1 < width}
        )
        for place, height in enumerate(heights):
            empty.rows.append((height, height))
            if place + 1 < len(heights):
                empty.rows.append((height, heights[place + 1]))
        empty._fill(grown)
        empty._join()
        return empty

    def _fill(self, grown: Sequence[tuple[int, int, int, int]]) -> None:
        length, runs = self.length, self.runs
        for low, high in self.rows:
            at, flat = 0, low == high
            for x0, x1, y0, y1 in grown:
                if (y0 < low < y1) if flat else (y0 <= low and high <= y1):
                    if x0 >= length and x0 >= at:
                        break
                    if x0 >= at:
                        runs.append((at, x0))
                    if x1 > at:
                        at = x1
            if at <= length:
                runs.append((at, length))
            self.starts.append(len(runs))

    def _join(self) -> None:
        runs, starts = self.runs, self.starts
        parent = list(range(len(runs)))

        def find(item: int) -> int:
            while parent[item] != item:
                parent[item] = parent[parent[item]]
                item = parent[item]
            return item

        for row in range(1, len(starts) - 1):
            below, above = starts[row - 1], starts[row]
            below_end, above_end = starts[row], starts[row + 1]
            while below < below_end and above < above_end:
                a, b = runs[below], runs[above]
                if a[0] <= b[1] and b[0] <= a[1]:
                    parent[find(below)] = find(above)
                if a[1] < b[1]:
                    below += 1
                else:
                    above += 1
        self.component = [find(item) for item in range(len(runs))]

    def touching(self, zones: Iterable[Rect]) -> set[int]:
        """Connected parts that meet one of some closed rectangles."""
        found: set[int] = set()
        rows, runs, starts = self.rows, self.runs, self.starts
        for x0, y0, x1, y1 in zones:
            if x0 > x1 or y0 > y1 or y1 < 0:
                continue
            row = self.row_from(y0)
            while row < len(rows):
                low, high = rows[row]
                if low > y1 or (low == y1 and low != high):
                    break
                for place in range(starts[row], starts[row + 1]):
                    a, b = runs[place]
                    if a <= x1 and b >= x0:
                        found.add(self.component[place])
                row += 1
        return found

    def row_from(self, y: int) -> int:
        """The first row that reaches up to a height."""
        row = bisect_left(self.rows, (y, y))
        # The strip below reaches beyond y where y is not critical.
        if row and self.rows[row - 1][1] > y:
            row -= 1
        return row

    def along_walls(self, component: int) -> list[tuple[str, int, int]]:
        """Stretches of each wall that the square sweeps in one connected part [mm]: wall, from, to.

        In the order west, south, east, north.
        """
        found: list[tuple[str, int, int]] = []
        for wall in ("west", "south", "east", "north"):
            if wall in ("south", "north"):
                row = 0 if wall == "south" else len(self.rows) - 1
                found += [
                    (wall, run[0], run[1] + self.side)
                    for place, run in self._row(row)
                    if self.component[place] == component
                ]
                continue
            edge = 0 if wall == "west" else self.length
            start: int | None = None
            end = 0
            for row, (_, high) in enumerate(self.rows):
                here = any(
                    run[0] <= edge <= run[1] and self.component[place] == component
                    for place, run in self._row(row)
                )
                if here:
                    start = self.rows[row][0] if start is None else start
                    end = high
                elif start is not None:
                    found.append((wall, start, end + self.side))
                    start = None
            if start is not None:
                found.append((wall, start, end + self.side))
        return found

    def _row(self, row: int) -> list[tuple[int, tuple[int, int]]]:
        return [
            (place, self.runs[place]) for place in range(self.starts[row], self.starts[row + 1])
        ]

    # --- a way in particular -----------------------------------------------------------------

    def way(self, starts: Sequence[Rect], ends: Sequence[Rect]) -> list[Rect] | None:
        """Floor that the square sweeps from one of some closed rectangles to one of others.

        A way through few rows, not the shortest; None where there is none.
        """
        sources = self._places(starts)
        goals = self._places(ends)
        if not sources or not goals:
            return None
        before: dict[int, int] = dict.fromkeys(sources, -1)
        queue = deque(sources)
        row_of = [0] * len(self.runs)
        for row in range(len(self.rows)):
            for place in range(self.starts[row], self.starts[row + 1]):
                row_of[place] = row
        while queue:
            place = queue.popleft()
            if place in goals:
                return self._swept(place, before, row_of, sources, goals)
            a, b = self.runs[place]
            for row in (row_of[place] - 1, row_of[place] + 1):
                if 0 <= row < len(self.rows):
                    for other in range(self.starts[row], self.starts[row + 1]):
                        c, d = self.runs[other]
                        if other not in before and a <= d and c <= b:
                            before[other] = place
                            queue.append(other)
        return None

    def _places(self, zones: Sequence[Rect]) -> dict[int, Point]:
        """Runs that meet one of some closed rectangles, and a point in both."""
        found: dict[int, Point] = {}
        for x0, y0, x1, y1 in zones:
            if x0 > x1 or y0 > y1:
                continue
            for row in range(self.row_from(y0), len(self.rows)):
                low, high = self.rows[row]
                if low > y1 or (low == y1 and low != high):
                    break
                for place in range(self.starts[row], self.starts[row + 1]):
                    a, b = self.runs[place]
                    if a <= x1 and b >= x0 and place not in found:
                        x = (max(a, x0) + min(b, x1)) // 2
                        found[place] = (x, (max(low, y0) + min(high, y1)) // 2)
        return found

    def _swept(
        self,
        place: int,
        before: dict[int, int],
        row_of: list[int],
        sources: dict[int, Point],
        goals: dict[int, Point],
    ) -> list[Rect]:
        chain = [place]
        while before[chain[-1]] != -1:
            chain.append(before[chain[-1]])
        chain.reverse()
        x, y = sources[chain[0]]
        points = [(x, y)]
        for one, other in pairwise(chain):
            (a, b), (c, d) = self.runs[one], self.runs[other]
            turn = min(max(x, a, c), b, d)
            low, high = self.rows[row_of[other]]
            points += [(turn, y), (turn, (low + high) // 2)]
            x, y = points[-1]
        # The last run is left where it meets the goal.
        points += [(goals[place][0], y), goals[place]]
        return swept(points, self.side)


def swept(points: Sequence[Point], side: int) -> list[Rect]:
    """Rectangles that a square sweeps along a path of points, straight pieces joined [mm]."""
    joined: list[Point] = []
    for point in points:
        if joined and joined[-1] == point:
            continue
        if len(joined) > 1:
            (ax, ay), (bx, by) = joined[-2], joined[-1]
            if (ax == bx == point[0]) or (ay == by == point[1]):
                joined[-1] = point
                continue
        joined.append(point)
    if len(joined) == 1:
        joined.append(joined[0])
    return [
        (min(ax, bx), min(ay, by), max(ax, bx) + side, max(ay, by) + side)
        for (ax, ay), (bx, by) in pairwise(joined)
    ]


def contact(place: Rect, side: int) -> tuple[Rect, Rect]:
    """Where the corner of a square may be for the square to meet a place along an edge.

    It meets it along the whole of its own side, or along the whole of the place's where that is
    shorter.
    """
    x0, y0, x1, y1 = place
    across = min(side, y1 - y0)
    along = min(side, x1 - x0)
    return (
        (x0 - side, y0 - side + across, x1, y1 - across),
        (x0 - side + along, y0 - side, x1 - along, y1),
    )


def door_contact(room: Room, wall: str, start: int, end: int, side: int) -> Rect:
    """Where the corner of a square is when it stands in a door."""
    low, high = sorted((start, end - side))
    if wall in ("south", "north"):
        y = 0 if wall == "south" else room.width - side
        return (low, y, high, y)
    x = 0 if wall == "west" else room.length - side
    return (x, low, x, high)


def area(rects: Sequence[Rect]) -> int:
    """Floor under some rectangles, overlaps counted once [mm2]."""
    total = 0
    xs = sorted({x for rect in rects for x in (rect[0], rect[2])})
    for x0, x1 in pairwise(xs):
        spans = sorted((r[1], r[3]) for r in rects if r[0] <= x0 and x1 <= r[2])
        at = None
        covered = 0
        for low, high in spans:
            if at is None or low > at:
                covered, at = covered + high - low, high
            elif high > at:
                covered, at = covered + high - at, high
        total += covered * (x1 - x0)
    return total
