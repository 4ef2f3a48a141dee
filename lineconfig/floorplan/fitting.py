"""Fitting: where in a room a shape can stand so that people and pallets get everywhere.

A position is the shape's south-west corner. What is blocked and what is connected changes only
where an edge that moves with the shape comes level with one that does not, at the width of a
square or without it. Between such critical positions everything stays as it is, and the positions
that serve are a closed set: so either one of the critical positions serves, or none does. They are
searched by halving: a rectangle of positions is given up when even the room that all of them leave
free together does not serve.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from lineconfig.floorplan.ways import FreeSpace, Rect, Room, contact, door_contact

Position = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Fixture:
    """Something in the room [mm]."""

    rect: Rect
    walkable: bool
    """Whether floor that is kept free may lie on it: a drain."""


@dataclass(frozen=True, slots=True)
class Doorway:
    """A door: in a wall, or of a width only, in a wall that the plan may choose."""

    width: int
    wall: str | None = None
    start: int = 0


@dataclass(frozen=True, slots=True)
class Site:
    """The room with what stands in it."""

    room: Room
    fixtures: tuple[Fixture, ...]
    doorway: Doorway


@dataclass(frozen=True, slots=True)
class Demands:
    """What a shape takes and wants at a position of (0, 0) [mm]."""

    length: int
    width: int
    solids: tuple[Rect, ...]
    free: tuple[Rect, ...]
    """Floor that it keeps free."""
    people: tuple[Rect, ...]
    """Places that a walkway must reach."""
    pallets: tuple[Rect, ...]
    """Places that a pallet must reach."""
    walkway: int
    pallet_route: int


@dataclass(frozen=True, slots=True)
class Ways:
    """The free space of one position, for people and for pallets."""

    people: FreeSpace
    pallets: FreeSpace
    door: tuple[str, int, int]
    """Wall, from, to."""


def _moved(rect: Rect, x: int, y: int) -> Rect:
    return rect[0] + x, rect[1] + y, rect[2] + x, rect[3] + y


def _overlap(one: Rect, other: Rect) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


@dataclass(eq=False)
class Fitting:
    """One shape, one site."""

    site: Site
    demands: Demands

    def position(self) -> tuple[Position, Ways] | None:
        """The first position that serves, nearest to the corners first; None where none does."""
        self._tried: dict[Position, Ways | None] = {}
        room = self.site.room
        far_x, far_y = room.length - self.demands.length, room.width - self.demands.width
        if far_x < 0 or far_y < 0:
            return None
        boxes = [(0, 0, far_x, far_y)]
        while boxes:
            x0, y0, x1, y1 = boxes.pop()
            for corner in dict.fromkeys(((x0, y0), (x0, y1), (x1, y0), (x1, y1))):
                if corner not in self._tried:
                    self._tried[corner] = self._serves(*corner, *corner)
                ways = self._tried[corner]
                if ways is not None:
                    return corner, ways
            if (x0, y0) == (x1, y1):
                continue
            if not self._possible(x0, y0, x1, y1):
                continue
            boxes += self._halves(x0, y0, x1, y1)
        return None

    def _halves(self, x0: int, y0: int, x1: int, y1: int) -> list[Rect]:
        """The two halves of a rectangle of positions, cut at a critical one; none without."""
        xs, ys = self.critical
        in_x = xs[bisect_right(xs, x0) : bisect_left(xs, x1)]
        in_y = ys[bisect_right(ys, y0) : bisect_left(ys, y1)]
        if not in_x and not in_y:
            return []
        if len(in_x) >= len(in_y):
            middle = in_x[len(in_x) // 2]
            return [(middle, y0, x1, y1), (x0, y0, middle, y1)]
        middle = in_y[len(in_y) // 2]
        return [(x0, middle, x1, y1), (x0, y0, x1, middle)]

    def _possible(self, x0: int, y0: int, x1: int, y1: int) -> bool:
        """Whether what all these positions leave free together would serve."""
        return self._serves(x0, y0, x1, y1) is not None

    def _serves(self, x0: int, y0: int, x1: int, y1: int) -> Ways | None:
        """The ways of one position, or those that a rectangle of positions cannot do better than.

        What the shape blocks is what it blocks from every position; what it wants to be reached
        is wherever it is from any.
        """
        demands, site = self.demands, self.site
        for fixture in site.fixtures:
            if self._covered(fixture, x0, y0, x1, y1):
                return None
        solids = [
            (a + x1, b + y1, c + x0, d + y0)
            for a, b, c, d in demands.solids
            if a + x1 < c + x0 and b + y1 < d + y0
        ]
        blocks = solids + [item.rect for item in site.fixtures if not item.walkable]
        pallets = FreeSpace.of(site.room, demands.pallet_route, blocks)
        parts = self._parts(pallets, demands.pallets, demands.pallet_route, x0, y0, x1, y1)
        if not parts:
            return None
        people = FreeSpace.of(site.room, demands.walkway, blocks)
        walked = self._parts(
            people, (*demands.people, *demands.pallets), demands.walkway, x0, y0, x1, y1
        )
        for part in sorted(parts):
            door = self._door(pallets, part)
            if door is not None and walked & people.touching(
                [door_contact(site.room, *door, demands.walkway)]
            ):
                return Ways(people, pallets, door)
        return None

    def _covered(self, fixture: Fixture, x0: int, y0: int, x1: int, y1: int) -> bool:
        """Whether the shape stands on a fixture from each of these positions."""
        demands = self.demands
        rects = demands.solids if fixture.walkable else (*demands.solids, *demands.free)
        a, b, c, d = fixture.rect
        return any(
            r[0] + x1 < c and a < r[2] + x0 and r[1] + y1 < d and b < r[3] + y0 for r in rects
        )

    def _parts(
        self,
        space: FreeSpace,
        places: Sequence[Rect],
        side: int,
        x0: int,
        y0: int,
        x1: int,
        y1: int,
    ) -> set[int]:
        """Connected parts that reach every place; and the door, where its wall is given."""
        doorway, room = self.site.doorway, self.site.room
        parts: set[int] | None = None
        if doorway.wall is not None:
            end = doorway.start + doorway.width
            zone = door_contact(room, doorway.wall, doorway.start, end, side)
            parts = space.touching([zone])
        for place in places:
            if parts is not None and not parts:
                return parts
            zones = [(a + x0, b + y0, c + x1, d + y1) for a, b, c, d in contact(place, side)]
            reached = space.touching(zones)
            parts = reached if parts is None else parts & reached
        return set(space.component) if parts is None else parts

    def _door(self, pallets: FreeSpace, part: int) -> tuple[str, int, int] | None:
        doorway = self.site.doorway
        if doorway.wall is not None:
            return doorway.wall, doorway.start, doorway.start + doorway.width
        for wall, start, end in pallets.along_walls(part):
            if end - start >= doorway.width:
                middle = (start + end - doorway.width) // 2
                return wall, middle, middle + doorway.width
        return None

    @cached_property
    def critical(self) -> tuple[list[int], list[int]]:
        """Positions at which something can change, along x and along y."""
        found = []
        for axis in (0, 1):
            room = self.site.room.length if axis == 0 else self.site.room.width
            far = room - (self.demands.length if axis == 0 else self.demands.width)
            values = self._critical(axis, room)
            found.append(sorted(value for value in values if 0 < value < far))
        return found[0], found[1]

    def _critical(self, axis: int, room: int) -> set[int]:
        demands, site = self.demands, self.site
        low, high = axis, axis + 2
        values: set[int] = set()
        for rect in (*demands.solids, *demands.free):
            for fixture in site.fixtures:
                values |= {fixture.rect[low] - rect[high], fixture.rect[high] - rect[low]}
        for side, places in (
            (demands.walkway, (*demands.people, *demands.pallets)),
            (demands.pallet_route, demands.pallets),
        ):
            moving = {rect[low] - side for rect in demands.solids}
            moving |= {rect[high] for rect in demands.solids}
            for place in places:
                for zone in contact(place, side):
                    moving |= {zone[low], zone[high]}
            fixed = {0, room - side}
            for fixture in site.fixtures:
                fixed |= {fixture.rect[low] - side, fixture.rect[high]}
            doorway = site.doorway
            if doorway.wall is not None:
                zone = door_contact(
                    site.room, doorway.wall, doorway.start, doorway.start + doorway.width, side
                )
                fixed |= {zone[low], zone[high]}
            else:
                # A stretch of wall is as long as the door where its ends are so far apart.
                span = doorway.width - side
                fixed |= {value + span for value in fixed} | {value - span for value in fixed}
            values |= {one - other for one in fixed for other in moving}
        return values
