"""Where the pieces of a plan stand along the flow."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from lineconfig.connect.stations import BESIDE_THE_FLOW
from lineconfig.drawing.shapes import Box, Point
from lineconfig.floorplan.plan import Plan, Rectangle
from lineconfig.layout import Layout

TOUCH_MM = 5.0
"""A path that passes this near to a piece runs along its edge, not through it."""


@dataclass(frozen=True, slots=True)
class Run:
    """One piece of the line and the stretch of the path that runs through it."""

    piece: Rectangle
    start_mm: float
    """Along the path from its beginning."""
    end_mm: float

    @property
    def middle_mm(self) -> float:
        """Half-way along."""
        return (self.start_mm + self.end_mm) / 2


def box_of(piece: Rectangle) -> Box:
    """The floor of a piece."""
    return Box(piece.x_mm, piece.y_mm, piece.far_x_mm, piece.far_y_mm)


def runs_of(plan: Plan, layout: Layout) -> list[Run]:
    """The machines and conveyors that the path runs through, in the order of the flow."""
    runs = []
    for piece in _wholes(plan, layout):
        box = box_of(piece)
        span = _inside(plan.path, box)
        if span is not None and _inside(plan.path, box.grown(-TOUCH_MM)) is not None:
            runs.append(Run(piece, *span))
    return sorted(runs, key=lambda run: (run.start_mm, run.end_mm))


def unrolled(plan: Plan, layout: Layout) -> list[Run]:
    """The same, one after another: machines at their own length, conveyors at that of the path.

    Where the path changes lanes inside a machine it is longer than the machine; seen from the side
    that does not show.
    """
    runs: list[Run] = []
    at_mm, before_mm = 0.0, 0.0
    for run in runs_of(plan, layout):
        length_mm = run.end_mm - run.start_mm
        assert run.piece.station is not None
        if layout.stations[run.piece.station].function != "convey":
            dx, _ = heading_at(plan.path, run.middle_mm)
            length_mm = run.piece.length_mm if abs(dx) > 0.5 else run.piece.width_mm
        if runs:
            at_mm += max(0.0, run.start_mm - before_mm)
        runs.append(Run(run.piece, at_mm, at_mm + length_mm))
        at_mm += length_mm
        before_mm = run.end_mm
    return runs


def flow_length_mm(plan: Plan, layout: Layout) -> float:
    """Length of a placed line along its flow, bends and the chain of the plan included [mm]."""
    return unrolled(plan, layout)[-1].end_mm


def _wholes(plan: Plan, layout: Layout) -> list[Rectangle]:
    """Conveyors one by one; of every other station the floor that holds all its parts."""
    wholes: list[Rectangle] = []
    parts: dict[int, list[Rectangle]] = {}
    for piece in plan.rectangles:
        if piece.what not in ("machine", "conveyor") or piece.station is None:
            continue
        function = layout.stations[piece.station].function
        if function == "convey":
            wholes.append(piece)
        elif function not in BESIDE_THE_FLOW:
            parts.setdefault(piece.station, []).append(piece)
    return wholes + [whole_of(pieces) for pieces in parts.values()]


def whole_of(pieces: list[Rectangle]) -> Rectangle:
    """The smallest floor that holds some pieces, said of the first one's station."""
    x_mm, y_mm = min(p.x_mm for p in pieces), min(p.y_mm for p in pieces)
    length_mm = max(p.far_x_mm for p in pieces) - x_mm
    width_mm = max(p.far_y_mm for p in pieces) - y_mm
    return Rectangle(pieces[0].station, "machine", x_mm, y_mm, length_mm, width_mm)


def _inside(path: tuple[Point, ...], box: Box) -> tuple[float, float] | None:
    """First and last place along a path that lie in a box."""
    found: list[float] = []
    done_mm = 0.0
    for start, end in pairwise(path):
        length_mm = math.dist(start, end)
        cut = _cut(start, end, box)
        if cut is not None and length_mm > 0:
            found += [done_mm + cut[0] * length_mm, done_mm + cut[1] * length_mm]
        done_mm += length_mm
    return (round(min(found), 3), round(max(found), 3)) if found else None


def _cut(start: Point, end: Point, box: Box) -> tuple[float, float] | None:
    """The part of a segment inside a box, from 0 at its start to 1 at its end."""
    low, high = 0.0, 1.0
    limits = ((box.left, box.right), (box.low, box.high))
    for axis, (least, most) in enumerate(limits):
        begin, along = start[axis], end[axis] - start[axis]
        if along == 0:
            if not least <= begin <= most:
                return None
            continue
        near, far = sorted(((least - begin) / along, (most - begin) / along))
        low, high = max(low, near), min(high, far)
    return (low, high) if low < high else None


def heading_at(path: tuple[Point, ...], along_mm: float) -> Point:
    """Direction of the flow at a place along the path, as a step of length 1."""
    done_mm = 0.0
    step: Point = (1.0, 0.0)
    for start, end in pairwise(path):
        length_mm = math.dist(start, end)
        if length_mm == 0:
            continue
        step = ((end[0] - start[0]) / length_mm, (end[1] - start[1]) / length_mm)
        done_mm += length_mm
        if along_mm < done_mm:
            break
    return step


def point_at(path: tuple[Point, ...], along_mm: float) -> Point:
    """The place at a distance along the path."""
    done_mm = 0.0
    for start, end in pairwise(path):
        length_mm = math.dist(start, end)
        if length_mm and along_mm <= done_mm + length_mm:
            share = max(0.0, (along_mm - done_mm) / length_mm)
            return (
                start[0] + share * (end[0] - start[0]),
                start[1] + share * (end[1] - start[1]),
            )
        done_mm += length_mm
    return path[-1]


HOSTS = {
    "guard": ("unload",),
    "rinse": ("lower", "unload"),
    "dose": ("fill",),
    "infeed-rail": ("lower", "fill"),
    "after-dryer": ("dry", "inspect", "fill"),
    "on-case": ("pack", "palletize"),
    "convey": ("convey",),
}
"""The stations on which another sits, the nearest first: by function, for a coder by its place."""


def host_of(layout: Layout, index: int, there: set[int]) -> int | None:
    """The station, among those that stand somewhere, on which a station without floor sits."""
    station = layout.stations[index]
    key = station.option.equipment.place if station.function == "code" else station.function
    for function in HOSTS.get(str(key), ()):
        for place, other in enumerate(layout.stations):
            if other.function == function and place in there:
                return place
    return min(there, key=lambda place: abs(place - index), default=None)
