"""Every placed example before an independent judge."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest
from shapely.geometry import Point

from lineconfig.floorplan.plan import Obstacle, Opening, Plan, Port, Rectangle
from lineconfig.layout import Layout
from lineconfig.locate import examples_dir
from lineconfig.session import Study, open_study
from tests.floorplan.judge import faults, polygon, solids

EXAMPLES = sorted(
    path.stem for path in examples_dir().glob("*.yaml") if path.stem != "cannot-be-met"
)
MOST_JUDGED = 6
"""Different plans of an example that are judged: the rest differ little."""
each_example = pytest.mark.parametrize("name", EXAMPLES)


@cache
def study_of(name: str) -> Study:
    return open_study(examples_dir() / f"{name}.yaml")


@cache
def shown(name: str) -> list[Layout]:
    """The ten best and the best of each kind."""
    study = study_of(name)
    return list({item.id: item for item in (*study.best(10), *study.arrangements())}.values())


@cache
def plans(name: str) -> list[tuple[Layout, Plan]]:
    study = study_of(name)
    made = [(layout, study.plan(layout)) for layout in shown(name)]
    assert all(isinstance(plan, Plan) for _, plan in made)
    return made  # type: ignore[return-value]


@each_example
def test_everything_shown_fits_its_room(name: str) -> None:
    site = study_of(name).need.brief.site
    assert site.length_mm and site.width_mm
    grid_mm = max(100.0, site.length_mm / 250)
    seen = set()
    for layout, plan in plans(name):
        if plan.rectangles not in seen and len(seen) < MOST_JUDGED:
            seen.add(plan.rectangles)
            assert faults(plan, 915, grid_mm) == [], (name, layout.id)


def _moved(plan: Plan, at: int, x_mm: float, y_mm: float) -> Plan:
    items = list(plan.rectangles)
    items[at] = replace(items[at], x_mm=items[at].x_mm + x_mm, y_mm=items[at].y_mm + y_mm)
    return replace(plan, rectangles=tuple(items))


def _with(plan: Plan, item: Rectangle) -> Plan:
    return replace(plan, rectangles=(*plan.rectangles, item))


def _fenced(plan: Plan) -> Plan:
    """Something long stands across the room, one metre inside the door."""
    (door,) = plan.doors
    assert door.wall == "west"
    fence = Rectangle(None, "conveyor", 1000.0, 0.0, 50.0, plan.room_width_mm, "fence")
    return _with(plan, fence)


def _in_door(plan: Plan) -> Plan:
    (door,) = plan.doors
    box = Rectangle(None, "machine", 100.0, door.start_mm, 300.0, 300.0, "crate")
    return _with(plan, box)


def _column(plan: Plan) -> Plan:
    machine = next(item for item in plan.rectangles if item.what == "machine")
    column = Obstacle("column", machine.x_mm + 10, machine.y_mm + 10, 100.0, 100.0)
    return replace(plan, obstacles=(column,))


def _machine(plan: Plan) -> int:
    return next(k for k, item in enumerate(plan.rectangles) if item.what == "machine")


def _without_walkways(plan: Plan) -> Plan:
    kept = tuple(item for item in plan.rectangles if item.what != "walkway")
    return replace(plan, rectangles=kept)


def _walled_up(plan: Plan) -> Plan:
    door = Opening("door", "east", plan.room_width_mm - 900.0, plan.room_width_mm - 100.0)
    corner = Rectangle(None, "machine", plan.room_length_mm - 2000.0, plan.room_width_mm - 1000.0,
                       100.0, 1000.0, "shelf")  # fmt: skip
    beside = Rectangle(None, "machine", plan.room_length_mm - 2000.0, plan.room_width_mm - 1100.0,
                       2000.0, 100.0, "shelf")  # fmt: skip
    return replace(_with(_with(plan, corner), beside), doors=(door,), exits=(door,))


def _ports_apart(plan: Plan) -> Plan:
    (one, other), *rest = plan.ports
    return replace(plan, ports=((one, Port(other.x_mm + 6.0, other.y_mm)), *rest))


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda plan: _moved(plan, _machine(plan), 0.0, 200.0), "lies on"),
        (lambda plan: _moved(plan, _machine(plan), -1e5, 0.0), "sticks out"),
        (_ports_apart, "do not meet"),
        (_column, "lies on column"),
        (_in_door, "stands in the door"),
        (_without_walkways, "no walkway reaches"),
        (_fenced, "cut off from the door"),
        (_walled_up, "cut off from the door"),
    ],
)
def test_the_judge_finds_what_is_wrong_with_a_spoiled_plan(
    spoil: Callable[[Plan], Plan], said: str
) -> None:
    """A judge that could not find fault would show nothing."""
    _, plan = plans("startup")[0]
    found = faults(spoil(plan), 915, 100.0)
    assert any(said in fault for fault in found), found


@each_example
def test_every_machine_on_the_floor_is_drawn_to_its_size(name: str) -> None:
    for layout, plan in plans(name):
        for place, station in enumerate(layout.stations):
            if station.length_mm == 0 or station.function == "convey":
                continue
            parts = [item for item in solids(plan) if item.station == place]
            if station.function == "supply" and not parts:
                # A jack has no place of its own: it comes and goes on the pallets' way.
                owned = [item for item in plan.rectangles if item.station == place]
                assert any(item.what == "pallet" for item in owned)
                continue
            total = sum(polygon(item).area for item in parts)
            assert total == pytest.approx(station.length_mm * station.width_mm, rel=0.01)
            a, b = parts[0].x_mm, parts[0].y_mm
            c = max(item.x_mm + item.length_mm for item in parts) - min(p.x_mm for p in parts)
            d = max(item.y_mm + item.width_mm for item in parts) - min(p.y_mm for p in parts)
            assert sorted((c, d)) == pytest.approx(
                sorted((station.length_mm, station.width_mm)), abs=2
            ), (a, b)


@each_example
def test_machines_follow_one_another_in_flow_order(name: str) -> None:
    """The path of the cans goes through the machines in the order of the stations."""
    for layout, plan in plans(name):
        order = []
        for x, y in plan.path:
            for item in solids(plan):
                inside = polygon(item).distance(Point(x, y)) <= 1
                station = layout.stations[item.station] if item.station is not None else None
                if inside and station and station.function not in ("supply", "wrap", "convey"):
                    order.append(item.station)
        first_seen = list(dict.fromkeys(order))
        wanted = [
            place
            for place, station in enumerate(layout.stations)
            if station.length_mm > 0 and station.function not in ("supply", "wrap", "convey")
        ]
        assert first_seen == wanted, (name, layout.id)


@each_example
def test_parallel_tracks_end_in_a_merging_lane(name: str) -> None:
    for layout, plan in plans(name):
        lower = next((s for s in layout.stations if s.function == "lower"), None)
        if lower is None or lower.quantity < 2 or lower.option.equipment.tracks.mounted == "one":  # type: ignore[union-attr]
            continue
        parts = [p for p in plan.rectangles if p.station == layout.stations.index(lower)]
        tracks = [p for p in parts if p.what == "machine"]
        lanes = [p for p in parts if p.label == "merging lane"]
        assert len(tracks) == lower.quantity
        assert len(lanes) == 1
        assert all(polygon(track).distance(polygon(lanes[0])) < 1 for track in tracks)


@each_example
def test_placing_again_gives_the_same_plan(name: str) -> None:
    layout, plan = plans(name)[0]
    again = open_study(examples_dir() / f"{name}.yaml")
    assert again.plan(again.best(1)[0]) == plan
    assert layout.id == again.best(1)[0].id
