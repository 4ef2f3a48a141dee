"""Doors with leaves: drawn with their swing, and the floor under it kept free."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from lineconfig.drawing.elevation import Elevation
from lineconfig.drawing.paper import Words
from lineconfig.drawing.plan_figure import PlanFigure
from lineconfig.drawing.shapes import Shape, box_round
from lineconfig.drawing.source import Drawn
from lineconfig.drawing.words import plain
from lineconfig.floorplan.place import SWING
from lineconfig.floorplan.plan import Opening, Rectangle
from lineconfig.hazards import cautions_for
from lineconfig.layout import Layout
from lineconfig.session import Study
from tests.drawing.drawings import NAMES, drawn_line, example, example_sheet

# ISO 13855:2010 by hand: 1600 mm/s for .06 + .35 s.
STANDS_MM = 656
# The guard's 2,200 mm, as the catalogue has it, in two leaves.
LEAF_MM = 1100


def site(door: str = "8 ft", **more: Any) -> dict[str, Any]:
    place = {"width": door, "height": "8 ft", "wall": "west", "at": "3 m"}
    return {"length": "30 m", "width": "14 m", "ceiling": "6 m", "door": place} | more


def guarded(**changes: Any) -> tuple[Study, Layout, Drawn]:
    return drawn_line(require=["interlocked-doors", "full-height-depalletizer"], **changes)


def leaves(drawn: Drawn, layout: Layout, station: int | None) -> list[Shape]:
    shapes = PlanFigure(drawn, layout).shapes
    return [s for s in shapes if s.role == "swing" and s.station == station]


def overlap(one: Rectangle, other: Rectangle) -> bool:
    return (
        one.x_mm < other.far_x_mm - 0.01
        and other.x_mm < one.far_x_mm - 0.01
        and one.y_mm < other.far_y_mm - 0.01
        and other.y_mm < one.far_y_mm - 0.01
    )


@pytest.mark.parametrize("changes", [{"site": site()}, {}], ids=["in a room", "stretched out"])
def test_the_leaves_of_a_guard_are_drawn_where_it_stands(changes: dict[str, Any]) -> None:
    _, layout, drawn = guarded(**changes)
    guard = next(i for i, s in enumerate(layout.stations) if s.function == "guard")
    unload = next(i for i, s in enumerate(layout.stations) if s.function == "unload")
    drawn_leaves = leaves(drawn, layout, guard)
    stand = [s for s in drawn_leaves if len(s.points) == 2]
    arcs = [s for s in drawn_leaves if len(s.points) > 2]
    assert len(stand) == len(arcs) == 2
    (machine,) = [r for r in drawn.plan.rectangles if r.station == unload and r.what == "machine"]
    for leaf, arc in zip(stand, arcs, strict=True):
        hinge, edge = leaf.points
        assert math.dist(hinge, edge) == pytest.approx(LEAF_MM)
        for point in arc.points:
            assert math.dist(hinge, point) == pytest.approx(LEAF_MM)
        # Hung beside the pallet opening, as far from the machine as the guard must be.
        gaps = [
            machine.x_mm - hinge[0], hinge[0] - machine.far_x_mm,
            machine.y_mm - hinge[1], hinge[1] - machine.far_y_mm,
        ]  # fmt: skip
        assert max(gaps) == pytest.approx(STANDS_MM, abs=1)
    # Shut, both edges meet.
    ends = [min(arc.points, key=lambda p: math.dist(p, arcs[0].points[0])) for arc in arcs]
    assert math.dist(*ends) < 1


@pytest.mark.parametrize("changes", [{"site": site()}, {}], ids=["in a room", "stretched out"])
def test_nothing_stands_where_the_leaves_swing(changes: dict[str, Any]) -> None:
    _, layout, drawn = guarded(**changes)
    guard = next(i for i, s in enumerate(layout.stations) if s.function == "guard")
    (swing,) = [r for r in drawn.plan.rectangles if r.label.startswith(SWING)]
    for leaf in leaves(drawn, layout, guard):
        for x_mm, y_mm in leaf.points:
            assert swing.x_mm - 1 <= x_mm <= swing.far_x_mm + 1
            assert swing.y_mm - 1 <= y_mm <= swing.far_y_mm + 1
    standing = [r for r in drawn.plan.rectangles if r.what in ("machine", "conveyor")]
    assert not [r for r in standing if overlap(swing, r)]
    (pallets,) = [r for r in drawn.plan.rectangles if r.what == "pallet" and (
        "in" in r.label.split(":")[0] or r.label == "empties"
    )]  # fmt: skip
    # A 56 in pallet waits beyond them while they are opened.
    spare = [
        swing.x_mm - pallets.x_mm, pallets.far_x_mm - swing.far_x_mm,
        swing.y_mm - pallets.y_mm, pallets.far_y_mm - swing.far_y_mm,
    ]  # fmt: skip
    assert max(spare) >= 1422.4 - 1


def test_a_column_in_the_swing_moves_the_line() -> None:
    _, _, drawn = guarded(site=site())
    (swing,) = [r for r in drawn.plan.rectangles if r.label.startswith(SWING)]
    column = {"name": "column", "length": "200 mm", "width": "200 mm",
              "x": f"{swing.x_mm + 20:.0f} mm", "y": f"{swing.y_mm + 20:.0f} mm"}  # fmt: skip
    _, _, moved = guarded(site=site(obstacles=[column]))
    (swing,) = [r for r in moved.plan.rectangles if r.label.startswith(SWING)]
    (obstacle,) = moved.plan.obstacles
    there = Rectangle(None, "machine", obstacle.x_mm, obstacle.y_mm, 200.0, 200.0)
    assert moved.placed and not overlap(swing, there)


def test_a_curtain_has_no_leaves() -> None:
    _, layout, drawn = drawn_line(
        require=["light-curtain", "full-height-depalletizer"], site=site()
    )
    guard = next(i for i, s in enumerate(layout.stations) if s.function == "guard")
    assert not leaves(drawn, layout, guard)
    assert not [r for r in drawn.plan.rectangles if r.label.startswith(SWING)]
    # Its line is drawn all the same.
    shapes = PlanFigure(drawn, layout).shapes
    assert [s for s in shapes if s.station == guard and s.role == "machine"]


def test_the_caution_says_how_far_the_leaves_swing() -> None:
    found, layout, _ = guarded()
    (caution,) = [c for c in cautions_for(found.inquiry, layout) if c.code == "guard-distance"]
    assert f"{LEAF_MM:,} mm" in caution.text


@pytest.mark.parametrize("wall", ["west", "east", "south", "north"])
@pytest.mark.parametrize(("width_mm", "count"), [(914.0, 1), (2438.4, 2), (3048.0, 0)])
def test_the_leaves_of_the_entrance_swing_into_the_room(
    wall: Any, width_mm: float, count: int
) -> None:
    """A leaf up to 4 ft, two up to 8 ft; wider doors roll up (common practice)."""
    _, layout, drawn = guarded(site=site())
    door = Opening("door", wall, 3000.0, 3000.0 + width_mm)
    drawn = replace(drawn, plan=replace(drawn.plan, doors=(door,), exits=()))
    stand = [s for s in leaves(drawn, layout, None) if len(s.points) == 2]
    assert len(stand) == count
    room = (drawn.plan.room_length_mm, drawn.plan.room_width_mm)
    across = 0 if wall in ("west", "east") else 1
    at_wall = 0.0 if wall in ("west", "south") else room[across]
    inward = 1 if at_wall == 0 else -1
    for leaf in stand:
        hinge, edge = leaf.points
        assert hinge[across] == pytest.approx(at_wall)
        assert (edge[across] - hinge[across]) * inward == pytest.approx(width_mm / count)
        assert hinge[1 - across] == edge[1 - across]
        assert hinge[1 - across] in (pytest.approx(3000), pytest.approx(3000 + width_mm))


def test_the_guard_stands_before_the_unloader_in_the_elevation_too() -> None:
    study, layout, drawn = guarded(site=site())
    elevation = Elevation(study.inquiry, layout, drawn.plan)
    guard = next(i for i, s in enumerate(layout.stations) if s.function == "guard")
    (shape,) = [s for s in elevation.shapes if s.station == guard]
    box = box_round(shape.points)
    start_mm = min(start for start, _ in elevation.spans.values())
    assert start_mm - box.right == pytest.approx(STANDS_MM, abs=1)
    assert (box.low, box.high) == (0.0, layout.stations[guard].height_mm)
    supply = [s for s in elevation.shapes if s.role == "stack" and s.name.startswith("stack")]
    assert min(box_round(s.points).right for s in supply) < box.left


@pytest.mark.parametrize("name", NAMES)
def test_no_name_of_a_door_lies_over_its_leaves_and_no_title_is_cut(name: str) -> None:
    sheet = example_sheet(name)
    (view,) = [view for view in sheet.views if view.figure.name == "plan"]
    swings = [s for s in view.figure.shapes if s.role == "swing"]
    labels = [item for item in view.items if isinstance(item, Words) and item.key == "label"]
    for shape in swings:
        points = [
            (view.origin[0] + x / view.scale, view.origin[1] - y / view.scale)
            for x, y in shape.points
        ]
        for label in labels:
            box = label.box
            assert not any(
                box.left <= x <= box.right and box.low <= y <= box.high for x, y in points
            )
    titles = [w.text for w in sheet.items if isinstance(w, Words) and w.key == "layout"]
    assert " ".join(titles) == plain(example(name)[1].title)
