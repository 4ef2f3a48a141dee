"""An independent judge of a plan, which shares no code with it: shapely and networkx."""

from __future__ import annotations

import math
from typing import Any

import networkx as nx
import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry import Point
from shapely.geometry import box as rectangle

from lineconfig.floorplan.plan import Opening, Plan, Rectangle

TOUCH_MM2 = 1.0
"""Overlap that counts as none: a sliver of a square millimetre."""
PORT_MM = 5.0
DOOR_FLOOR_MM = 1220.0
"""A leaf of 4 ft swings in over this floor; a door of 8 ft has two. Common practice."""
LEAST_WAY_MM = 711.0
"""Exit routes are at least 28 in wide at all points: 29 CFR 1910.36(g)(2), from memory."""


def polygon(item: Any) -> Any:
    return rectangle(item.x_mm, item.y_mm, item.x_mm + item.length_mm, item.y_mm + item.width_mm)


def solids(plan: Plan) -> list[Rectangle]:
    return [item for item in plan.rectangles if item.what in ("machine", "conveyor")]


def kept_free(plan: Plan) -> list[Rectangle]:
    return [item for item in plan.rectangles if item.what not in ("machine", "conveyor")]


def faults(plan: Plan, walkway_mm: float, grid_mm: float) -> list[str]:
    """Everything that is wrong with a plan; empty where nothing is."""
    return [
        *_geometry(plan), *_door(plan), *_ports(plan), *_walkways(plan, walkway_mm),
        *_grid(plan, grid_mm),
    ]  # fmt: skip


def _door(plan: Plan) -> list[str]:
    """Nothing stands where the door's leaves swing."""
    floor = [door_polygon(plan, door, DOOR_FLOOR_MM) for door in plan.doors]
    return [
        f"{item.label} stands in the door"
        for item in solids(plan)
        for place in floor
        if polygon(item).intersection(place).area > TOUCH_MM2
    ]


def _geometry(plan: Plan) -> list[str]:
    found = []
    standing = [polygon(item) for item in solids(plan)]
    tree = STRtree(standing)
    room = rectangle(0, 0, plan.room_length_mm, plan.room_width_mm)
    for one, other in tree.query(standing, predicate="intersects").T:
        if one < other and standing[one].intersection(standing[other]).area > TOUCH_MM2:
            labels = (solids(plan)[one].label, solids(plan)[other].label)
            found.append(f"{labels} overlap")
    for item in kept_free(plan):
        place = polygon(item)
        found += [
            f"{item.label} of {item.station} lies on {solids(plan)[at].label}"
            for at in tree.query(place, predicate="intersects")
            if place.intersection(standing[at]).area > TOUCH_MM2
        ]
    for item in plan.rectangles:
        if polygon(item).difference(room).area > TOUCH_MM2:
            found.append(f"{item.label} sticks out of the room")
        for obstacle in plan.obstacles:
            drain = "drain" in obstacle.name and item.what not in ("machine", "conveyor")
            if not drain and polygon(item).intersection(polygon(obstacle)).area > TOUCH_MM2:
                found.append(f"{item.label} lies on {obstacle.name}")
    return found


def _ports(plan: Plan) -> list[str]:
    found = []
    edges = [polygon(item).exterior for item in solids(plan)]
    for one, other in plan.ports:
        if math.dist((one.x_mm, one.y_mm), (other.x_mm, other.y_mm)) > PORT_MM:
            found.append(f"ports {one} and {other} do not meet")
        # Two pieces meet there: what hands over and what takes on.
        at = Point(one.x_mm, one.y_mm)
        if sum(edge.distance(at) <= PORT_MM for edge in edges) < 2:
            found.append(f"nothing takes on at {one}")
    return found


def door_polygon(plan: Plan, door: Opening, depth_mm: float) -> Any:
    start, end = door.start_mm, door.end_mm
    length, width = plan.room_length_mm, plan.room_width_mm
    return {
        "west": lambda: rectangle(0, start, depth_mm, end),
        "east": lambda: rectangle(length - depth_mm, start, length, end),
        "south": lambda: rectangle(start, 0, end, depth_mm),
        "north": lambda: rectangle(start, width - depth_mm, end, width),
    }[door.wall]()


def _walkways(plan: Plan, walkway_mm: float) -> list[str]:
    """The drawn walkways are wide enough and lead from the door to every place of work."""
    found = []
    ways = [polygon(item) for item in plan.rectangles if item.what == "walkway"]
    places = [item for item in plan.rectangles if item.what in ("person", "pallet")]
    graph = nx.Graph()
    graph.add_nodes_from(["door", *range(len(ways))])
    for at, way in enumerate(ways):
        a, b, c, d = way.bounds
        if min(c - a, d - b) < walkway_mm - 1e-6:
            found.append(f"walkway {at} is {min(c - a, d - b):.0f} mm wide")
        if way.intersection(door_polygon(plan, plan.doors[0], 50)).area > TOUCH_MM2:
            graph.add_edge("door", at)
        for other in range(at):
            if way.intersection(ways[other]).area > TOUCH_MM2:
                graph.add_edge(at, other)
    reached = nx.node_connected_component(graph, "door") - {"door"}
    net = shapely.union_all([ways[at] for at in sorted(reached)])
    found += [
        f"no walkway reaches the place {item.label} of {item.station}"
        for item in places
        if net.is_empty or polygon(item).distance(net) > 1.0
    ]
    return found


def free_cells(plan: Plan, grid_mm: float, side_mm: float) -> Any:
    """Which squares of a side, with corners on a grid, are free: an array over x and y."""
    xs = np.arange(0.0, plan.room_length_mm - side_mm + 1e-6, grid_mm)
    ys = np.arange(0.0, plan.room_width_mm - side_mm + 1e-6, grid_mm)
    x, y = np.meshgrid(xs, ys, indexing="ij")
    squares = shapely.box(
        x.ravel() + 1e-3, y.ravel() + 1e-3, x.ravel() + side_mm - 1e-3, y.ravel() + side_mm - 1e-3
    )
    standing = [polygon(item) for item in solids(plan)] + [
        polygon(item) for item in plan.obstacles if "drain" not in item.name
    ]
    blocked = np.unique(STRtree(standing).query(squares, predicate="intersects")[0])
    free = np.ones(x.size, dtype=bool)
    free[blocked] = False
    return free.reshape(x.shape), xs, ys


def _grid(plan: Plan, grid_mm: float) -> list[str]:
    """From the door, a square as wide as an exit route reaches every place over the free grid."""
    side = LEAST_WAY_MM
    free, xs, ys = free_cells(plan, grid_mm, side)
    graph = nx.grid_2d_graph(*free.shape)
    graph.remove_nodes_from([tuple(cell) for cell in np.argwhere(~free)])

    def cells(place: Any) -> list[tuple[int, int]]:
        a, b, c, d = place.bounds
        columns = np.flatnonzero((xs <= c) & (xs + side >= a))
        rows = np.flatnonzero((ys <= d) & (ys + side >= b))
        return [(i, j) for i in columns for j in rows if free[i, j]]

    at_door = cells(door_polygon(plan, plan.doors[0], grid_mm + 1.0))
    if not at_door:
        return ["nobody gets through the door"]
    part = nx.node_connected_component(graph, at_door[0])
    return [
        f"{item.label} of {item.station} is cut off from the door"
        for item in plan.rectangles
        if item.what in ("person", "pallet") and not part.intersection(cells(polygon(item)))
    ]
