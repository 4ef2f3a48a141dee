"""Folding a line into a room: the first shape, fewest bends first, that stands somewhere.

Exact for the shapes that `shapes` folds: every pattern of bends, hand and heading is tried, and
for each of them `fitting` decides over all positions. Two bounds prune: no run may be longer than
the room's longer side, and no pattern's outline may stick out of the room.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from lineconfig.floorplan.blocks import Box, Line
from lineconfig.floorplan.fitting import Demands, Fitting, Position, Site, Ways
from lineconfig.floorplan.plan import Hand, Turn
from lineconfig.floorplan.shapes import (
    MOST_BENDS,
    Choice,
    Folder,
    Pattern,
    Shape,
    turned,
    turned_box,
)
from lineconfig.floorplan.ways import Point, Rect, Room

MEMORY = 4096
"""Lines whose folding is remembered."""


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
    chain_mm: int


@dataclass(frozen=True, slots=True)
class Miss:
    """How far a pattern's outline sticks out of the room [mm]; nothing where it is negative."""

    length: int
    width: int
    turns: tuple[Turn, ...]


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
    return Shape(shape.pattern, boxes, path, ports, length, width, shape.chain_mm)


def turns_of(pattern: Pattern, hand: Hand) -> tuple[Turn, ...]:
    """The bends in flow order as they are built."""
    if hand == "left":
        return pattern.turns
    return tuple("right" if turn == "left" else "left" for turn in pattern.turns)


def demands_of(shape: Shape, line: Line) -> Demands:
    """What a shape takes and wants."""

    def rects(*kinds: str) -> tuple[Rect, ...]:
        return tuple(
            dict.fromkeys(
                (box.x0, box.y0, box.x1, box.y1) for box in shape.boxes if box.what in kinds
            )
        )

    return Demands(
        shape.length,
        shape.width,
        _joined(rects("machine", "conveyor")),
        rects("clearance", "person", "pallet"),
        rects("person"),
        rects("pallet"),
        line.walkway,
        line.pallet_route,
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


def candidates(folder: Folder, longest: int) -> Iterator[Pattern]:
    """Every pattern of up to `MOST_BENDS` bends, fewest first."""
    for bends in range(MOST_BENDS + 1):
        for words in folder.patterns(bends, longest):
            for choices in variants(folder, words):
                for end in range(len(folder.line.ends)):
                    yield Pattern(choices, end)


def variants(folder: Folder, words: tuple[str, ...]) -> list[tuple[Choice, ...]]:
    """A pattern with its variants, the least chain first."""
    made = list(folder.variants(words))
    made.sort(key=lambda choices: sum(variant for _, variant in choices))
    return made


@lru_cache(maxsize=MEMORY)
def fold(line: Line, site: Site) -> Folded | None:
    """The first shape that stands in the room; None where none does."""
    room = site.room
    folder = Folder(line)
    ways_round = orientations(site)
    long_side, short_side = max(room.length, room.width), min(room.length, room.width)
    for pattern in candidates(folder, long_side):
        (x0, y0, x1, y1), _, _ = folder.outline(pattern)
        length, width = x1 - x0, y1 - y0
        if max(length, width) > long_side or min(length, width) > short_side:
            continue
        shape = folder.shape(pattern)
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
                return _folded(stood, hand, found)
    return None


def _folded(shape: Shape, hand: Hand, found: tuple[Position, Ways]) -> Folded:
    (x, y), ways = found
    return Folded(
        tuple(box.moved(x, y) for box in shape.boxes),
        tuple((px + x, py + y) for px, py in shape.path),
        tuple(((ax + x, ay + y), (bx + x, by + y)) for (ax, ay), (bx, by) in shape.ports),
        hand,
        turns_of(shape.pattern, hand),
        ways,
        shape.length,
        shape.width,
        shape.chain_mm,
    )


def misses(line: Line, room: Room) -> list[Miss]:
    """By how much each pattern's outline sticks out of a bare room, either way round."""
    folder = Folder(line)
    found: dict[Miss, None] = {}
    # No run is left out here for its length: it is the length that is asked for.
    for pattern in candidates(folder, 10**9):
        (x0, y0, x1, y1), _, _ = folder.outline(pattern)
        for length, width in ((x1 - x0, y1 - y0), (y1 - y0, x1 - x0)):
            found[Miss(length - room.length, width - room.width, pattern.turns)] = None
    return list(found)
