"""Brute force: every fold, every position on a grid, every way by flooding.

Everything is a multiple of `GRID` in the lines and rooms that it is given, so that the grid leaves
nothing out. It reads a line's blocks and shares no code with the search.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import product

from lineconfig.floorplan.blocks import Bend, Block, Box, Line
from lineconfig.floorplan.fitting import Site

GRID = 100
MOST_BENDS = 4
CROSS_STEP = 500
CROSS_MORE = 3

Item = tuple[str, int, int, int, int]
"""What, and from (x0, y0) to (x1, y1)."""


def is_solid(item: Item) -> bool:
    return item[0] in ("machine", "conveyor")


def cross(one: Item, other: Item) -> bool:
    """Whether two things of different parts of a line are in each other's way."""
    _, a, b, c, d = one
    _, e, f, g, h = other
    return (is_solid(one) or is_solid(other)) and a < g and e < c and b < h and f < d


@dataclass
class Turtle:
    """Walks along a line and leaves boxes behind, part by part."""

    x: int = 0
    y: int = 0
    dx: int = 1
    dy: int = 0
    parts: list[list[Item]] = field(default_factory=lambda: [[]])

    def leave(self, what: str, x0: int, y0: int, x1: int, y1: int) -> None:
        """A box given ahead (x) and to the left (y)."""
        corners = [
            (self.x + a * self.dx - b * self.dy, self.y + a * self.dy + b * self.dx)
            for a, b in ((x0, y0), (x1, y1))
        ]
        (p, q), (r, s) = corners
        self.parts[-1].append((what, min(p, r), min(q, s), max(p, r), max(q, s)))

    def go(self, ahead: int, left: int = 0) -> None:
        self.x, self.y = (
            self.x + ahead * self.dx - left * self.dy,
            self.y + ahead * self.dy + left * self.dx,
        )

    def part(self) -> None:
        self.parts.append([])

    def block(self, block: Block) -> None:
        for box in block.boxes:
            self.leave(box.what, box.x0, box.y0, box.x1, box.y1)
        self.go(*block.out)

    def chain(self, length: int, bend: Bend) -> None:
        half = bend.width // 2
        if length:
            self.leave("conveyor", 0, -half, length, half)
            self.leave("clearance", 0, half, length, half + bend.left)
            self.leave("clearance", 0, -half - bend.right, length, -half)
            self.go(length)

    def quarter(self, bend: Bend, letter: str) -> None:
        half, radius = bend.width // 2, bend.side - bend.width // 2
        if letter == "L":
            self.leave("conveyor", 0, -half, bend.side, bend.side - half)
            self.go(radius, radius)
            self.dx, self.dy = -self.dy, self.dx
        else:
            self.leave("conveyor", 0, half - bend.side, bend.side, half)
            self.go(radius, -radius)
            self.dx, self.dy = self.dy, -self.dx


def runs_of(words: tuple[str, ...]) -> list[tuple[int, int]]:
    """First and last block of each straight run."""
    ends = [place for place, word in enumerate(words) if word]
    return list(zip([0, *(end + 1 for end in ends)], [*ends, len(words)], strict=True))


def run(turtle: Turtle, line: Line, end: int, first: int, last: int) -> None:
    blocks = [*line.blocks, line.ends[end][1]]
    for place in range(first, last + 1):
        turtle.block(blocks[place])
        if place < last:
            lead = max(line.joint, blocks[place].lead_out, blocks[place + 1].lead_in)
            turtle.chain(lead, line.bend)


def apart(
    line: Line,
    end: int,
    one: tuple[int, int],
    other: tuple[int, int],
    word: str,
    at: tuple[int, int],
) -> bool:
    """Whether two runs joined by a turn with these straight lengths keep clear of each other."""
    turtle = Turtle()
    run(turtle, line, end, *one)
    blocks = [*line.blocks, line.ends[end][1]]
    lead_out, lead_in = blocks[one[1]].lead_out, blocks[other[0]].lead_in
    first = turtle.parts[0]
    turtle.part()
    if len(word) == 1:
        turtle.go(at[0])
        turtle.quarter(line.bend, word)
        turtle.go(at[1])
    else:
        turtle.go(lead_out)
        turtle.quarter(line.bend, word[0])
        turtle.go(at[0])
        turtle.quarter(line.bend, word[0])
        turtle.go(lead_in)
    turtle.part()
    run(turtle, line, end, *other)
    return not any(cross(a, b) for a in first for b in turtle.parts[-1])


def straights(
    line: Line, end: int, one: tuple[int, int], other: tuple[int, int], word: str
) -> list[tuple[int, int]]:
    """The straight lengths of each variant of a turn."""
    blocks = [*line.blocks, line.ends[end][1]]
    before, after = blocks[one[1]].lead_out, blocks[other[0]].lead_in
    if len(word) == 1:
        more = next(n for n in range(0, 10**5, GRID)
                    if apart(line, end, one, other, word, (before + n, after)))  # fmt: skip
        later = next(n for n in range(0, 10**5, GRID)
                     if apart(line, end, one, other, word, (before, after + n)))  # fmt: skip
        return [(before + more, after), (before, after + later)]
    least = 20 * CROSS_STEP
    while least and apart(line, end, one, other, word, (least - CROSS_STEP, 0)):
        least -= CROSS_STEP
    return [(least + CROSS_STEP * more, 0) for more in range(CROSS_MORE + 1)]


def folds(line: Line) -> Iterator[list[Item]]:
    """Every fold of a line that does not run into itself."""
    for words in product(("", "L", "R", "LL", "RR"), repeat=len(line.blocks)):
        if sum(map(len, words)) > MOST_BENDS:
            continue
        turns = [word for word in words if word]
        for end in range(len(line.ends)):
            runs = runs_of(words)
            choices = [
                straights(line, end, runs[k], runs[k + 1], word) for k, word in enumerate(turns)
            ]
            for lengths in product(*choices):
                made = fold(line, end, runs, turns, lengths)
                if made is not None:
                    yield made


def fold(
    line: Line, end: int, runs: list[tuple[int, int]], turns: list[str],
    lengths: tuple[tuple[int, int], ...],
) -> list[Item] | None:  # fmt: skip
    turtle = Turtle()
    blocks = [*line.blocks, line.ends[end][1]]
    for place, (first, last) in enumerate(runs):
        run(turtle, line, end, first, last)
        if place == len(turns):
            break
        turtle.part()
        word, (one, other) = turns[place], lengths[place]
        if len(word) == 1:
            turtle.chain(one, line.bend)
            turtle.quarter(line.bend, word)
            turtle.chain(other, line.bend)
        else:
            turtle.chain(blocks[last].lead_out, line.bend)
            turtle.quarter(line.bend, word[0])
            turtle.chain(one, line.bend)
            turtle.quarter(line.bend, word[0])
            turtle.chain(blocks[last + 1].lead_in, line.bend)
        turtle.part()
    for at, part in enumerate(turtle.parts):
        for other in turtle.parts[:at]:
            if any(cross(a, b) for a in part for b in other):
                return None
    return [item for part in turtle.parts for item in part]


# --- the room ----------------------------------------------------------------------------------


def turned(items: list[Item], quarter: int, mirror: bool) -> list[Item]:
    """Turned and mirrored, with the corner at the origin."""
    made = []
    for what, a, b, c, d in items:
        points = [(a, -b if mirror else b), (c, -d if mirror else d)]
        for _ in range(quarter):
            points = [(-y, x) for x, y in points]
        (p, q), (r, s) = points
        made.append((what, min(p, r), min(q, s), max(p, r), max(q, s)))
    west, south = min(item[1] for item in made), min(item[2] for item in made)
    return [(w, a - west, b - south, c - west, d - south) for w, a, b, c, d in made]


class Field:
    """Where the corner of a square may be: rows of bits, one bit for each grid point along x."""

    def __init__(self, site: Site, side: int, blocks: list[tuple[int, int, int, int]]) -> None:
        self.side = side
        self.columns = (site.room.length - side) // GRID + 1
        self.rows = (site.room.width - side) // GRID + 1
        everything = (1 << max(0, self.columns)) - 1
        self.free = [everything] * max(0, self.rows)
        for a, b, c, d in blocks:
            mask = self.bits(a - side + GRID, c - GRID)
            for row in range(max(0, (b - side) // GRID + 1), min(self.rows, d // GRID)):
                self.free[row] &= ~mask

    def bits(self, low: int, high: int) -> int:
        """Grid points from one x to another, both included."""
        first, last = max(0, -(-low // GRID)), min(self.columns - 1, high // GRID)
        return ((1 << (last + 1)) - (1 << first)) if last >= first else 0

    def parts(self) -> list[list[int]]:
        """Connected parts, each as rows of bits."""
        left = list(self.free)
        found = []
        for row in range(self.rows):
            while left[row]:
                part = [0] * self.rows
                part[row] = left[row] & -left[row]
                self.flood(part, row)
                found.append(part)
                left = [bits & ~gone for bits, gone in zip(left, part, strict=True)]
        return found

    def flood(self, part: list[int], start: int) -> None:
        waiting = [start]
        while waiting:
            row = waiting.pop()
            bits, free = part[row], self.free[row]
            while True:
                wider = (bits | bits << 1 | bits >> 1) & free
                if wider == bits:
                    break
                bits = wider
            part[row] = bits
            for other in (row - 1, row + 1):
                if 0 <= other < self.rows and bits & self.free[other] & ~part[other]:
                    part[other] |= bits & self.free[other]
                    waiting.append(other)

    def meets(self, part: list[int], place: tuple[int, int, int, int]) -> bool:
        """Whether the square meets a place along the whole of an edge of either."""
        a, b, c, d = place
        side = self.side
        along, across = min(side, c - a), min(side, d - b)
        for x0, x1, y0, y1 in (
            (a - side, c, b - side + across, d - across),
            (a - side + along, c - along, b - side, d),
        ):
            mask = self.bits(x0, x1)
            for row in range(max(0, -(-y0 // GRID)), min(self.rows - 1, y1 // GRID) + 1):
                if part[row] & mask:
                    return True
        return False

    def in_door(self, part: list[int], wall: str, start: int, end: int) -> bool:
        low, high = sorted((start, end - self.side))
        if wall in ("south", "north"):
            return bool(part[0 if wall == "south" else -1] & self.bits(low, high))
        bit = 1 if wall == "west" else 1 << (self.columns - 1)
        rows = range(max(0, low // GRID), min(self.rows - 1, high // GRID) + 1)
        return any(part[row] & bit for row in rows)

    def has_wall_for(self, part: list[int], width: int) -> bool:
        """Whether the square can be pushed along some wall for the width of a door."""
        need = max(0, width - self.side) // GRID + 1
        lines = [
            "".join("1" if part[row] >> column & 1 else "0" for row in range(self.rows))
            for column in (0, self.columns - 1)
        ] + [format(part[row], "b") for row in (0, -1)]
        return any("1" * need in line for line in lines)


def serves(items: list[Item], site: Site, line: Line, x: int, y: int) -> bool:
    """Whether a fold stands at a position and everybody gets everywhere."""
    moved = [(what, a + x, b + y, c + x, d + y) for what, a, b, c, d in items]
    for fixture in site.fixtures:
        a, b, c, d = fixture.rect
        for item in moved:
            if fixture.walkable and not is_solid(item):
                continue
            if item[1] < c and a < item[3] and item[2] < d and b < item[4]:
                return False
    blocks = [item[1:] for item in moved if is_solid(item)]
    blocks += [fixture.rect for fixture in site.fixtures if not fixture.walkable]
    pallets = [item[1:] for item in moved if item[0] == "pallet"]
    people = [item[1:] for item in moved if item[0] == "person"]
    route, walk = Field(site, line.pallet_route, blocks), Field(site, line.walkway, blocks)
    door = site.doorway
    ways = [part for part in route.parts() if all(route.meets(part, p) for p in pallets)]
    if door.wall is None:
        ways = [part for part in ways if route.has_wall_for(part, door.width)]
    else:
        at = (door.wall, door.start, door.start + door.width)
        ways = [part for part in ways if route.in_door(part, *at)]
    if not ways:
        return False
    for part in walk.parts():
        if not all(walk.meets(part, place) for place in (*people, *pallets)):
            continue
        if door.wall is not None:
            if walk.in_door(part, door.wall, door.start, door.start + door.width):
                return True
        elif any(row & walked for way in ways for row, walked in zip(way, part, strict=False)):
            # The narrower square goes wherever the wider one does, so one grid point is enough.
            return True
    return False


def fits(line: Line, site: Site) -> bool:
    """Whether any fold stands anywhere."""
    room = site.room
    seen = set()
    for items in folds(line):
        for quarter, mirror in product(range(4), (False, True)):
            stood = turned(items, quarter, mirror)
            key = tuple(sorted(stood))
            if key in seen:
                continue
            seen.add(key)
            far_x = room.length - max(item[3] for item in stood)
            far_y = room.width - max(item[4] for item in stood)
            for x in range(0, far_x + 1, GRID):
                for y in range(0, far_y + 1, GRID):
                    if serves(stood, site, line, x, y):
                        return True
    return False


def machine(function: str, length: int, width: int, left: int, right: int) -> list[Box]:
    """A machine with its infeed at the origin, a person on its left, service on its right."""
    half = width // 2
    boxes = [Box(function, "machine", 0, -half, length, half)]
    if left:
        boxes.append(Box(function, "person", 0, half, length, half + left))
    if right:
        boxes.append(Box(function, "clearance", 0, -half - right, length, -half))
    return boxes
