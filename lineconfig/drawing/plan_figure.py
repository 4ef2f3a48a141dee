"""The plan: a placed line seen from above, with what it keeps free, its numbers and dimensions."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import Literal

from lineconfig.drawing.flow import box_of, heading_at, host_of, point_at, runs_of
from lineconfig.drawing.shapes import (
    Box,
    Figure,
    Label,
    Mark,
    Measure,
    Point,
    Role,
    Shape,
    box_round,
)
from lineconfig.drawing.source import Drawn
from lineconfig.drawing.symbols import strokes
from lineconfig.floorplan.blocks import guard_at, guard_swing
from lineconfig.floorplan.place import DOOR_FLOOR_MM
from lineconfig.floorplan.plan import Obstacle, Opening, Plan, Rectangle
from lineconfig.layout import Layout
from lineconfig.quantities import feet_and_inches

BEND = "90-degree bend"
"""What a plan calls a bend of the chain."""
WHOLE_ROOM_MM = 50_000.0
"""A side of the room no longer than this is drawn whole."""
WHOLE_ROOM_SHARE = 1.6
"""So is one that is no longer than the line by this factor."""
ROUND_THE_LINE_MM = 3000.0
"""Floor round the line that is drawn where the room is not."""
ARC_STEPS = 12
"""Straight pieces in which a quarter circle is drawn."""
WALL_MM = 150.0
"""Thickness of a wall, as drawn."""

BACKGROUND: tuple[Literal["clearance", "person", "pallet"], ...] = ("clearance", "person", "pallet")
"""Floor that is kept free, the most general first."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A machine or conveyor in its place: which way it faces, and its size in its own frame."""

    piece: Rectangle
    heading: Point
    """Direction of the flow through it: one of the four."""
    length_mm: float
    """Along the flow."""
    width_mm: float

    def at(self, point: Point) -> Point:
        """A place given in parts of its length and width, on the floor."""
        dx, dy = self.heading
        along, across = point[0] * self.length_mm, point[1] * self.width_mm
        x_mm, y_mm = self.origin
        return x_mm + along * dx - across * dy, y_mm + along * dy + across * dx

    @property
    def origin(self) -> Point:
        """Its right corner at the infeed."""
        piece = self.piece
        dx, dy = self.heading
        x_mm = piece.x_mm if dx > 0 or dy < 0 else piece.far_x_mm
        y_mm = piece.y_mm if dx > 0 or dy > 0 else piece.far_y_mm
        return x_mm, y_mm


@dataclass(eq=False)
class PlanFigure:
    """The plan of one layout, ready to be set out on paper."""

    drawn: Drawn
    layout: Layout

    @property
    def plan(self) -> Plan:
        """The placed line."""
        return self.drawn.plan

    @cached_property
    def units(self) -> tuple[Unit, ...]:
        """Every machine and conveyor with its direction."""
        runs = runs_of(self.plan, self.layout)
        units = []
        for piece in self.plan.rectangles:
            if piece.what not in ("machine", "conveyor"):
                continue
            heading = (1.0, 0.0)
            for run in runs:
                if run.piece.station == piece.station and box_of(run.piece).holds(box_of(piece)):
                    heading = heading_at(self.plan.path, run.middle_mm)
            units.append(_unit(piece, heading))
        return tuple(units)

    @cached_property
    def shapes(self) -> tuple[Shape, ...]:
        """Every outline, the farthest first."""
        shapes = (
            *self._floor(), *self._room(), *self._line(), *self._guard(), *self._flow(),
        )  # fmt: skip
        if not self.cut:
            return shapes
        parts = (_clipped(shape, self.window) for shape in shapes)
        return (*(part for part in parts if part is not None), *self._breaks())

    @cached_property
    def window(self) -> Box:
        """The part of the room that is drawn: the whole of it, unless the line is small in it."""
        plan = self.plan
        whole = Box(-WALL_MM, -WALL_MM, plan.room_length_mm + WALL_MM, plan.room_width_mm + WALL_MM)
        if not self.drawn.placed:
            return whole
        line = box_round(
            corner
            for piece in plan.rectangles
            if piece.what != "walkway"
            for corner in box_of(piece).corners()
        ).grown(ROUND_THE_LINE_MM)
        left, right = _part(whole.left, whole.right, line.left, line.right)
        low, high = _part(whole.low, whole.high, line.low, line.high)
        return Box(left, low, right, high)

    @property
    def cut(self) -> bool:
        """Whether only a part of the room is drawn."""
        plan, window = self.plan, self.window
        return self.drawn.placed and (
            window.left > 0.0
            or window.low > 0.0
            or window.right < plan.room_length_mm
            or window.high < plan.room_width_mm
        )

    def _breaks(self) -> Iterator[Shape]:
        """Lines where the drawing of the room breaks off."""
        plan, box = self.plan, self.window
        lower_left, lower_right, upper_right, upper_left = box.corners()
        for broken, edge in (
            (box.left > 0.0, (lower_left, upper_left)),
            (box.right < plan.room_length_mm, (lower_right, upper_right)),
            (box.low > 0.0, (lower_left, lower_right)),
            (box.high < plan.room_width_mm, (upper_left, upper_right)),
        ):
            if broken:
                yield Shape(edge, "break", name="the room goes on")

    def _floor(self) -> Iterator[Shape]:
        ways = [box_of(piece) for piece in self.plan.rectangles if piece.what == "walkway"]
        pieces, edges = united(ways)
        for box in pieces:
            yield Shape(box.corners(), "walkway", True, name="walkway")
        for edge in edges:
            yield Shape(edge, "walkway")
        for what in BACKGROUND:
            for piece in self.plan.rectangles:
                if piece.what == what:
                    yield Shape(
                        box_of(piece).corners(), what, True, piece.station, piece.label or what
                    )

    def _room(self) -> Iterator[Shape]:
        if self.drawn.on_vehicle:
            bed = Box(0.0, 0.0, self.plan.room_length_mm, self.plan.room_width_mm)
            yield Shape(bed.corners(), "opening", True, name="vehicle bed")
        elif self.drawn.placed:
            plan = self.plan
            openings: dict[Box, str] = {}
            for opening in (*plan.doors, *plan.exits):
                openings.setdefault(_gap(opening, plan), opening.name)
            yield from _walls(plan.room_length_mm, plan.room_width_mm, list(openings))
            for box, name in openings.items():
                yield Shape(box.corners(), "opening", True, name=name)
            for door in plan.doors:
                yield from _door_leaves(door, plan)
        for obstacle in self.plan.obstacles:
            box = Box(obstacle.x_mm, obstacle.y_mm, obstacle.x_mm + obstacle.length_mm,
                      obstacle.y_mm + obstacle.width_mm)  # fmt: skip
            yield Shape(box.corners(), "obstacle", True, name=obstacle.name)

    def _line(self) -> Iterator[Shape]:
        for unit in self.units:
            piece = unit.piece
            name = piece.label
            function = "convey"
            if piece.station is not None:
                station = self.layout.stations[piece.station]
                name, function = station.option.equipment.name, station.function
            role: Role = "machine" if piece.what == "machine" else "conveyor"
            yield Shape(box_of(piece).corners(), role, True, piece.station, name)
            if piece.label == BEND:
                function = "bend"
            for stroke in strokes(function, unit.length_mm, unit.width_mm):
                points = tuple(unit.at(point) for point in stroke)
                yield Shape(points, "symbol", False, piece.station)

    @cached_property
    def _guarded(self) -> tuple[int, Unit] | None:
        """The guard's station, and the line on which it stands as a unit without depth."""
        if self.drawn.stowed:
            return None
        index = next((i for i, s in enumerate(self.layout.stations) if s.function == "guard"), None)
        unloader = next((u for u in self.units if self._function(u.piece) == "unload"), None)
        if index is None or unloader is None:
            return None
        guard, unload = self.layout.stations[index], self.layout.station("unload")
        stands_mm, half_mm = guard_at(unload, guard), guard.width_mm / 2
        ends = [
            unloader.at((-stands_mm / unloader.length_mm, 0.5 + side * half_mm / unloader.width_mm))
            for side in (-1, 1)
        ]
        box = box_round(ends)
        line = Rectangle(index, "clearance", box.left, box.low, box.width, box.height)
        return index, Unit(line, unloader.heading, 0.0, guard.width_mm)

    def _function(self, piece: Rectangle) -> str:
        return "" if piece.station is None else self.layout.stations[piece.station].function

    def _guard(self) -> Iterator[Shape]:
        """The guard before the unloader; the leaves of doors, shut and open, with their swing."""
        if self._guarded is None:
            return
        index, line = self._guarded
        guard = self.layout.stations[index]
        name = guard.option.equipment.name
        yield Shape((line.at((0, 0)), line.at((0, 1))), "machine", False, index, name)
        leaf_mm = guard_swing(guard)
        if leaf_mm:
            dx, dy = line.heading
            for hinge, share in ((0.0, 1.0), (1.0, -1.0)):
                yield from _leaf(line.at((0, hinge)), (-dx, -dy), (-share * dy, share * dx),
                                 float(leaf_mm), index, f"leaf of {name}")  # fmt: skip

    def _flow(self) -> Iterator[Shape]:
        if len(self.plan.path) > 1:
            yield Shape(self.plan.path, "path", name="flow of the cans")

    # --- numbers and dimensions ----------------------------------------------------------------

    @cached_property
    def figure(self) -> Figure:
        """The plan as a figure."""
        title = "Plan" if self.drawn.placed else "Plan, stretched out"
        if self.drawn.stowed:
            title = "Plan, on the vehicle" if self.drawn.on_vehicle else "Plan, packed away"
        elif self.cut:
            title = "Plan, part of the room"
        box = box_round(point for shape in self.shapes for point in shape.points)
        return Figure(
            "plan", title, self.shapes, tuple(self._marks()), tuple(self._measures()), (),
            tuple(self._labels()), box,
        )  # fmt: skip

    def _labels(self) -> Iterator[Label]:
        """Names of doors, exits and obstacles."""
        plan = self.plan
        named: dict[Box, list[str]] = {}
        for opening in (*plan.doors, *plan.exits) if self.drawn.placed else ():
            names = named.setdefault(_gap(opening, plan), [])
            names += [opening.name] if opening.name not in names else []
        for box, names in named.items():
            width = feet_and_inches(max(box.width, box.height))
            if self.window.meets(box):
                texts = f"{' and '.join(names)} {width}", f"{names[0]} {width}", names[0]
                yield Label(texts, box, upright=box.height > box.width)
        for obstacle in plan.obstacles:
            box = _obstacle_box(obstacle)
            if self.window.holds(box):
                yield Label((obstacle.name,), box)

    def _marks(self) -> Iterator[Mark]:
        largest: dict[int, Rectangle] = {}
        pallets = (piece for piece in self.plan.rectangles if piece.what == "pallet")
        for piece in [*(unit.piece for unit in self.units), *pallets]:
            index = piece.station
            if index is None or (piece.what == "pallet" and index in largest):
                continue
            known = largest.get(index)
            size = piece.length_mm * piece.width_mm
            if known is None or size > known.length_mm * known.width_mm + 1e-6:
                largest[index] = piece
        there = set(largest)
        runs = {run.piece.station: run for run in runs_of(self.plan, self.layout)}
        for index in range(len(self.layout.stations)):
            if index in largest:
                box = box_of(largest[index])
                yield Mark(index, box.middle, box)
                continue
            host = host_of(self.layout, index, there)
            if self._guarded is not None and index == self._guarded[0]:
                at = self._guarded[1].at((0, 0.5))
            elif host is None:
                at = self.window.middle
            elif host in runs:
                run = runs[host]
                along_mm = run.start_mm + 0.8 * (run.end_mm - run.start_mm)
                at = point_at(self.plan.path, along_mm)
            else:
                # Beside the middle, where the number of the host itself stands.
                box = box_of(largest[host])
                at = box.left + 0.15 * box.width, box.high - 0.15 * box.height
            yield Mark(index, at, Box(*at, *at))

    def _measures(self) -> Iterator[Measure]:
        pieces = [box_of(piece) for piece in self.plan.rectangles]
        standing = [box_of(unit.piece) for unit in self.units]
        line = box_round(corner for box in standing for corner in box.corners())
        whole = box_round(corner for box in pieces for corner in box.corners())
        plan = self.plan
        if self.drawn.placed:
            length_mm, width_mm = plan.room_length_mm, plan.room_width_mm
            box = self.window
            across = [door for door in plan.doors if door.wall in ("south", "north")]
            along = [door for door in plan.doors if door.wall in ("west", "east")]
            yield from _rows(length_mm, (line.left, line.right), across, (box.left, box.right),
                             along_x=True)  # fmt: skip
            yield from _rows(width_mm, (line.low, line.high), along, (box.low, box.high),
                             along_x=False)  # fmt: skip
            return
        path = [point[0] for point in plan.path]
        yield Measure((min(path), 0.0), (max(path), 0.0), "below", 0)
        yield Measure((line.left, 0.0), (line.right, 0.0), "below", 1)
        yield Measure((0.0, line.low), (0.0, line.high), "left", 0)
        yield Measure((0.0, whole.low), (0.0, whole.high), "left", 1)


def _leaf(
    hinge: Point, out: Point, across: Point, leaf_mm: float, station: int | None, name: str
) -> Iterator[Shape]:
    """A door's leaf as it stands open, and the quarter circle that its edge describes.

    `out` is where it opens to and `across` where it lies when it is shut, each a step of length 1.
    """

    def at(angle: float) -> Point:
        along, aside = leaf_mm * math.sin(angle), leaf_mm * math.cos(angle)
        return (
            hinge[0] + along * out[0] + aside * across[0],
            hinge[1] + along * out[1] + aside * across[1],
        )

    quarter = math.pi / 2
    yield Shape((hinge, at(quarter)), "swing", False, station, name)
    arc = tuple(at(quarter * step / ARC_STEPS) for step in range(ARC_STEPS + 1))
    yield Shape(arc, "swing", False, station, f"swing of {name}")


def _door_leaves(door: Opening, plan: Plan) -> Iterator[Shape]:
    """The leaves of a door into the room, as the floor inside it is kept free for them."""
    if door.width_mm > 2 * DOOR_FLOOR_MM:
        return  # rolls up or slides
    box = _gap(door, plan)
    leaves = 1 if door.width_mm <= DOOR_FLOOR_MM else 2
    corners = {
        "south": ((box.left, 0.0), (box.right, 0.0), (0.0, 1.0)),
        "north": ((box.left, box.low), (box.right, box.low), (0.0, -1.0)),
        "west": ((0.0, box.low), (0.0, box.high), (1.0, 0.0)),
        "east": ((box.left, box.low), (box.left, box.high), (-1.0, 0.0)),
    }
    start, end, out = corners[door.wall]
    length_mm = door.width_mm
    across = (end[0] - start[0]) / length_mm, (end[1] - start[1]) / length_mm
    back = (-across[0], -across[1])
    for hinge, along in ((start, across), (end, back))[:leaves]:
        yield from _leaf(hinge, out, along, length_mm / leaves, None, f"leaf of the {door.name}")


def _rows(
    whole_mm: float,
    line: tuple[float, float],
    doors: list[Opening],
    seen: tuple[float, float],
    *,
    along_x: bool,
) -> Iterator[Measure]:
    """Along one side of the room: where its doors are, where the line stands, and the whole."""
    row = 0
    for door in doors:
        places = _seen((0.0, door.start_mm, door.end_mm, whole_mm), *seen)
        yield from _chain(places, row, along_x=along_x)
        row += 1
    yield from _chain(_seen((0.0, *line, whole_mm), *seen), row, along_x=along_x)
    if seen[0] <= 0.0 and seen[1] >= whole_mm:
        yield from _chain((0.0, whole_mm), row + 1, along_x=along_x)


def _part(start: float, end: float, line_start: float, line_end: float) -> tuple[float, float]:
    """The stretch of one side of the room that is drawn: all of it where that is not too much."""
    if end - start - 2 * WALL_MM <= max(WHOLE_ROOM_MM, WHOLE_ROOM_SHARE * (line_end - line_start)):
        return start, end
    return max(start, line_start), min(end, line_end)


def _seen(places: tuple[float, ...], start: float, end: float) -> tuple[float, ...]:
    """The places that lie on the drawn stretch."""
    return tuple(place for place in places if start <= place <= end)


def _clipped(shape: Shape, window: Box) -> Shape | None:
    """The part of an outline inside the window; outlines that reach out of it are upright."""
    box = box_round(shape.points)
    if window.holds(box):
        return shape
    if not (
        box.left <= window.right
        and window.left <= box.right
        and box.low <= window.high
        and window.low <= box.high
    ):
        return None  # fmt: skip
    points = tuple(
        (min(max(x, window.left), window.right), min(max(y, window.low), window.high))
        for x, y in shape.points
    )
    return replace(shape, points=points)


def _unit(piece: Rectangle, heading: Point) -> Unit:
    dx, dy = (round(part) for part in heading)
    if abs(dx) + abs(dy) != 1:
        dx, dy = 1, 0
    along, across = piece.length_mm, piece.width_mm
    if dy:
        along, across = across, along
    return Unit(piece, (float(dx), float(dy)), along, across)


def united(boxes: list[Box]) -> tuple[list[Box], list[tuple[Point, Point]]]:
    """The floor under some boxes, as boxes that do not overlap, and its outline as lines."""
    xs = sorted({x for box in boxes for x in (box.left, box.right)})
    ys = sorted({y for box in boxes for y in (box.low, box.high)})

    def taken(column: int, row: int) -> bool:
        if not (0 <= column < len(xs) - 1 and 0 <= row < len(ys) - 1):
            return False
        x, y = (xs[column] + xs[column + 1]) / 2, (ys[row] + ys[row + 1]) / 2
        return any(box.left < x < box.right and box.low < y < box.high for box in boxes)

    cells = {(c, r) for c in range(len(xs) - 1) for r in range(len(ys) - 1) if taken(c, r)}
    pieces = [
        Box(xs[first], ys[row], xs[last + 1], ys[row + 1])
        for row in range(len(ys) - 1)
        for first, last in _stretches([c for c in range(len(xs) - 1) if (c, row) in cells])
    ]
    edges: list[tuple[Point, Point]] = []
    for row in range(len(ys)):
        border = [c for c in range(len(xs)) if ((c, row) in cells) != ((c, row - 1) in cells)]
        edges += [((xs[a], ys[row]), (xs[b + 1], ys[row])) for a, b in _stretches(border)]
    for column in range(len(xs)):
        border = [r for r in range(len(ys)) if ((column, r) in cells) != ((column - 1, r) in cells)]
        edges += [((xs[column], ys[a]), (xs[column], ys[b + 1])) for a, b in _stretches(border)]
    return pieces, edges


def _stretches(numbers: list[int]) -> list[tuple[int, int]]:
    """First and last of each run of numbers without a gap."""
    found: list[tuple[int, int]] = []
    for number in numbers:
        if found and number == found[-1][1] + 1:
            found[-1] = (found[-1][0], number)
        else:
            found.append((number, number))
    return found


def _chain(places: tuple[float, ...], row: int, *, along_x: bool) -> Iterator[Measure]:
    """Dimensions end to end; stretches of nothing are left out."""
    for start, end in pairwise(places):
        if end - start < 1.0:
            continue
        if along_x:
            yield Measure((start, 0.0), (end, 0.0), "below", row)
        else:
            yield Measure((0.0, start), (0.0, end), "left", row)


def _walls(length_mm: float, width_mm: float, gaps: list[Box]) -> Iterator[Shape]:
    """The four walls, each in the pieces that its openings leave."""
    t = WALL_MM
    for name, box in (
        ("south wall", Box(-t, -t, length_mm + t, 0.0)),
        ("north wall", Box(-t, width_mm, length_mm + t, width_mm + t)),
        ("west wall", Box(-t, 0.0, 0.0, width_mm)),
        ("east wall", Box(length_mm, 0.0, length_mm + t, width_mm)),
    ):
        own = [gap for gap in gaps if box.holds(gap)]
        if box.width > box.height:
            ends = sorted(place for gap in own for place in (gap.left, gap.right))
            places = [box.left, *ends, box.right]
            pieces = [Box(places[k], box.low, places[k + 1], box.high)
                      for k in range(0, len(places), 2)]  # fmt: skip
        else:
            ends = sorted(place for gap in own for place in (gap.low, gap.high))
            places = [box.low, *ends, box.high]
            pieces = [Box(box.left, places[k], box.right, places[k + 1])
                      for k in range(0, len(places), 2)]  # fmt: skip
        for piece in pieces:
            if piece.width > 0 and piece.height > 0:
                yield Shape(piece.corners(), "wall", True, name=name)


def _obstacle_box(obstacle: Obstacle) -> Box:
    x_mm, y_mm = obstacle.x_mm, obstacle.y_mm
    return Box(x_mm, y_mm, x_mm + obstacle.length_mm, y_mm + obstacle.width_mm)


def _gap(opening: Opening, plan: Plan) -> Box:
    """Where an opening breaks its wall."""
    start, end, t = opening.start_mm, opening.end_mm, WALL_MM
    match opening.wall:
        case "south":
            return Box(start, -t, end, 0.0)
        case "north":
            return Box(start, plan.room_width_mm, end, plan.room_width_mm + t)
        case "west":
            return Box(-t, start, 0.0, end)
        case "east":
            return Box(plan.room_length_mm, start, plan.room_length_mm + t, end)
