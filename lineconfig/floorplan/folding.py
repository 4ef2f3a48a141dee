"""Folding a line into a room: the first shape, fewest bends first, that stands somewhere.

Exact for the shapes that `shapes` folds: every pattern of bends, hand and heading is tried, and
for each of them `fitting` decides over all positions. Two bounds prune: no run may be longer than
the room's longer side, and no pattern's outline may stick out of the room.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import chain
from typing import Literal

from lineconfig.floorplan.blocks import Block, Box, Line
from lineconfig.floorplan.fitting import Demands, Fitting, Position, Site, Ways
from lineconfig.floorplan.plan import Hand, Turn
from lineconfig.floorplan.shapes import (
    MOST_BENDS,
    Folder,
    Joint,
    Outline,
    Shape,
    extent_of,
    turned,
    turned_box,
)
from lineconfig.floorplan.ways import Point, Rect, Room

MEMORY = 4096
"""Lines whose folding is remembered."""
PRECISION_MM = 1
"""To which a shortage is worked out. [mm]"""
MOST_GROWTH_MM = 1_000_000
"""Growth of one side beyond which it is of no use. [mm]"""


@dataclass(frozen=True, slots=True)
class Folded:
    """A shape as it stands in the room [mm]."""

    boxes: tuple[Box, ...]
    path: tuple[Point, ...]
    ports: tuple[tuple[Point, Point], ...]
    hand: Hand
    turns: tuple[Turn, ...]
    ways: Ways
    length: int
    width: int
    joints: tuple[Joint, ...]


def oriented(shape: Shape, heading: int, hand: Hand) -> Shape:
    """A shape turned by quarters to the left, mirrored first where it is right-handed."""
    boxes, path, ports = shape.boxes, shape.path, shape.ports
    length, width = shape.length, shape.width
    if hand == "right":
        boxes = tuple(box.mirrored().moved(0, width) for box in boxes)
        path = tuple((x, width - y) for x, y in path)
        ports = tuple(((ax, width - ay), (bx, width - by)) for (ax, ay), (bx, by) in ports)
    if heading:
        dx = (0, width, length, 0)[heading]
        dy = (0, 0, width, length)[heading]
        boxes = tuple(turned_box(box, heading, dx, dy) for box in boxes)

        def at(point: Point) -> Point:
            x, y = turned(*point, heading)
            return x + dx, y + dy

        path = tuple(at(point) for point in path)
        ports = tuple((at(one), at(other)) for one, other in ports)
        if heading in (1, 3):
            length, width = width, length
    return Shape(shape.turns, boxes, path, ports, length, width, shape.joints)


def turns_of(shape: Shape, hand: Hand) -> tuple[Turn, ...]:
    """The bends in flow order as they are built."""
    if hand == "left":
        return shape.turns
    return tuple("right" if turn == "left" else "left" for turn in shape.turns)


def demands_of(shape: Shape, line: Line) -> Demands:
    """What a shape takes and wants."""
    return _demands(shape.boxes, shape.length, shape.width, line.walkway, line.pallet_route)


def _demands(
    all_boxes: Sequence[Box], length: int, width: int, walkway: int, pallet_route: int
) -> Demands:
    def rects(*kinds: str) -> tuple[Rect, ...]:
        return tuple(
            dict.fromkeys(
                (box.x0, box.y0, box.x1, box.y1) for box in all_boxes if box.what in kinds
            )
        )

    return Demands(
        length,
        width,
        _joined(rects("machine", "conveyor")),
        rects("clearance", "person", "pallet"),
        rects("person"),
        rects("pallet"),
        walkway,
        pallet_route,
    )


def _joined(rects: tuple[Rect, ...]) -> tuple[Rect, ...]:
    """The same floor in fewer rectangles: those inside others left out."""
    return tuple(
        one
        for one in rects
        if not any(
            other is not one
            and other[0] <= one[0]
            and other[1] <= one[1]
            and one[2] <= other[2]
            and one[3] <= other[3]
            for other in rects
        )
    )


def orientations(site: Site) -> tuple[tuple[int, Hand], ...]:
    """Headings and hands that differ in a site.

    A bare room whose door may be anywhere looks the same when it is turned by half or mirrored,
    and every pattern is tried with its mirror image.
    """
    if not site.fixtures and site.doorway.wall is None:
        return ((0, "left"), (1, "left"))
    hands: tuple[Hand, ...] = ("left", "right")
    return tuple((heading, hand) for hand in hands for heading in range(4))


def block_stands(block: Block, site: Site, walkway: int, pallet_route: int) -> bool:
    """Whether a block alone would stand somewhere in a room, pallets coming to it.

    What else a line has only takes more floor, and wants more to be reached: where this fails, no
    line with the block fits.
    """
    x0, y0, x1, y1 = extent_of(block.boxes)
    boxes = tuple(box.moved(-x0, -y0) for box in block.boxes)
    shape = Shape((), boxes, (), (), x1 - x0, y1 - y0, ())
    for heading, hand in orientations(site):
        stood = oriented(shape, heading, hand)
        if stood.length > site.room.length or stood.width > site.room.width:
            continue
        demands = replace(
            _demands(stood.boxes, stood.length, stood.width, walkway, pallet_route), people=()
        )
        if Fitting(site, demands).position() is not None:
            return True
    return False


@dataclass(frozen=True, slots=True)
class Tried:
    """What came of folding a line into a room."""

    folded: Folded | None
    shapes: int
    """How many shapes were looked at."""


def fold(line: Line, site: Site) -> Folded | None:
    """The first shape that stands in the room; None where none does."""
    return tried(line, site).folded


@lru_cache(maxsize=MEMORY)
def tried(line: Line, site: Site) -> Tried:
    """The same, with what it took."""
    room, shapes = site.room, 0
    folder = Folder(line)
    ways_round = orientations(site)
    long_side, short_side = max(room.length, room.width), min(room.length, room.width)
    for outline in chain.from_iterable(
        folder.outlines(bends, long_side, short_side) for bends in range(MOST_BENDS + 1)
    ):
        shapes += 1
        shape = folder.shape(outline)
        if shape is None:
            continue
        for heading, hand in ways_round:
            across = heading in (1, 3)
            if (shape.width if across else shape.length) > room.length:
                continue
            if (shape.length if across else shape.width) > room.width:
                continue
            stood = oriented(shape, heading, hand)
            found = Fitting(site, demands_of(stood, line)).position()
            if found is not None:
                return Tried(_folded(stood, hand, found), shapes)
    return Tried(None, shapes)


def _folded(shape: Shape, hand: Hand, found: tuple[Position, Ways]) -> Folded:
    (x, y), ways = found
    return Folded(
        tuple(box.moved(x, y) for box in shape.boxes),
        tuple((px + x, py + y) for px, py in shape.path),
        tuple(((ax + x, ay + y), (bx + x, by + y)) for (ax, ay), (bx, by) in shape.ports),
        hand,
        turns_of(shape, hand),
        ways,
        shape.length,
        shape.width,
        shape.joints,
    )


# --- what is short -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Short:
    """What one side of a room lacks [mm], and how the line would lie in it then."""

    by: int
    dimension: Literal["length", "width"]
    turns: tuple[Turn, ...]


def sides_of(outline: Outline) -> tuple[int, int]:
    """Length and width of an outline, its first run along x."""
    x0, y0, x1, y1 = outline.extent
    return x1 - x0, y1 - y0


@dataclass(eq=False)
class Shortage:
    """Why a line does not stand in a room: the least that one side alone would have to grow.

    Exact for the same shapes, to `PRECISION_MM`. Patterns are looked at in the order of what their
    outline lacks, so that the search ends with the first that cannot do better than the best.
    """

    line: Line
    site: Site

    @cached_property
    def folder(self) -> Folder:
        """Shared by both sides."""
        return Folder(self.line)

    def _outlines(self, short_side: int) -> Iterator[Outline]:
        for bends in range(MOST_BENDS + 1):
            yield from self.folder.outlines(bends, MOST_GROWTH_MM, short_side)

    def least(self) -> Short | None:
        """The side that lacks least; None where neither can help alone."""
        best: Short | None = None
        sides: tuple[Literal["length", "width"], ...] = ("length", "width")
        for dimension in sides:
            short = self.of(dimension, MOST_GROWTH_MM if best is None else best.by)
            if short is not None:
                best = short
        return best

    def of(self, dimension: Literal["length", "width"], most: int) -> Short | None:
        """The least growth of one side that is below `most`; None where there is none."""
        room = self.site.room
        across_most = room.width if dimension == "length" else room.length
        tries: list[tuple[int, int, Outline]] = []
        for place, outline in enumerate(self._outlines(across_most)):
            length, width = sides_of(outline)
            for heading in (0, 1):
                x, y = (length, width) if heading == 0 else (width, length)
                over, across = (x - room.length, y - room.width)
                if dimension == "width":
                    over, across = across, over
                if across <= 0 and over < most:
                    tries.append((max(0, over), 2 * place + heading, outline))
        tries.sort(key=lambda item: item[:2])
        best: Short | None = None
        ways_round = orientations(self.site)
        for over, number, outline in tries:
            if over >= most:
                break
            shape = self.folder.shape(outline)
            if shape is None:
                continue
            for heading, hand in ways_round:
                if heading % 2 != number % 2:
                    continue
                stood = oriented(shape, heading, hand)
                growth = self._growth(stood, dimension, over, most)
                if growth is not None:
                    most = growth
                    best = Short(growth, dimension, turns_of(shape, hand))
        return best

    def _growth(self, shape: Shape, dimension: str, least: int, most: int) -> int | None:
        """The least growth below `most` with which a shape stands; None where there is none."""
        demands = demands_of(shape, self.line)

        def stands(by: int) -> bool:
            room = self.site.room
            bigger = (
                Room(room.length + by, room.width)
                if dimension == "length"
                else Room(room.length, room.width + by)
            )
            return Fitting(replace(self.site, room=bigger), demands).position() is not None

        room = self.site.room
        if dimension == "length":
            least = max(least, shape.length - room.length)
        else:
            least = max(least, shape.width - room.width)
        if least >= most:
            return None
        if stands(least):
            return least
        # More than a room around it in which everything can be reached is of no use.
        high = min(most, least + 4 * self.line.pallet_route) - 1
        if high <= least or not stands(high):
            return None
        low = least
        while high - low > PRECISION_MM:
            middle = (low + high) // 2
            if stands(middle):
                high = middle
            else:
                low = middle
        return high

    def closest(self) -> tuple[int, int, tuple[Turn, ...]]:
        """By how much the outline that comes closest lacks length and width, and its bends."""
        room = self.site.room
        lacks = (
            (x - room.length, y - room.width, outline.turns)
            for outline in self._outlines(MOST_GROWTH_MM)
            for length, width in (sides_of(outline),)
            for x, y in ((length, width), (width, length))
        )
        return min(lacks, key=lambda lack: (max(0, lack[0]) + max(0, lack[1]), len(lack[2]), lack))
