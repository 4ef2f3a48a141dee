"""Packed away: a line's modules between two runs in the room, or on the way on a vehicle's bed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.rules import length_text
from lineconfig.floorplan.blocks import down, up
from lineconfig.floorplan.fitting import Site
from lineconfig.floorplan.folding import Folded
from lineconfig.floorplan.plan import MM2_PER_M2, NoPlan, Plan, Rectangle
from lineconfig.floorplan.stowing import empty_rectangles, modules_of, stow
from lineconfig.floorplan.ways import Rect, area
from lineconfig.layout import Station


def stowed_boxes(
    stations: Sequence[Station], inquiry: Inquiry, site: Site, folded: Folded
) -> list[tuple[str, Rect]] | None:
    """The modules of a line that is packed away in the room; None where they do not go in.

    The floor inside the door stays free, as deep as a pallet's route is wide.
    """
    modules = modules_of(stations, up(inquiry.habits.joint_mm))
    wall, start, end = folded.ways.door
    room, depth = site.room, folded.ways.pallets.side
    inside = {
        "west": (0, start, depth, end),
        "east": (room.length - depth, start, room.length, end),
        "south": (start, 0, end, depth),
        "north": (start, room.width - depth, end, room.width),
    }[wall]
    blocks = [inside, *(item.rect for item in site.fixtures)]
    for x0, y0, x1, y1 in sorted(
        empty_rectangles(room.length, room.width, blocks),
        key=lambda r: ((r[2] - r[0]) * (r[3] - r[1]), r),
    ):
        places = stow(modules, x1 - x0, y1 - y0)
        if places is not None:
            # Against the far end of the place.
            back = x1 - x0 - max(place[2] for place in places)
            return [
                (module.function, (a + x0 + back, b + y0, c + x0 + back, d + y0))
                for module, (a, b, c, d) in zip(modules, places, strict=True)
            ]
    return None


def stowed_plan(plan: Plan, boxes: list[tuple[str, Rect]], stations: Sequence[Station]) -> Plan:
    """The arrangement between runs, in the room of a plan."""
    rects = [rect for _, rect in boxes]
    return replace(
        plan,
        rectangles=_rectangles(boxes, stations),
        path=(),
        turns=(),
        ports=(),
        length_mm=float(max(r[2] for r in rects) - min(r[0] for r in rects)),
        width_mm=float(max(r[3] for r in rects) - min(r[1] for r in rects)),
        area_m2=area(rects) / MM2_PER_M2,
        stowed=None,
        notes=(),
    )


def _rectangles(
    boxes: Sequence[tuple[str, Rect]], stations: Sequence[Station]
) -> tuple[Rectangle, ...]:
    """Modules as pieces of floor."""
    index: dict[str, int] = {}
    for place, station in enumerate(stations):
        index.setdefault(station.function, place)
    return tuple(
        Rectangle(
            index[function],
            "conveyor" if function == "convey" else "machine",
            float(a),
            float(b),
            float(c - a),
            float(d - b),
            "chain, taken apart"
            if function == "convey"
            else stations[index[function]].option.equipment.name,
        )
        for function, (a, b, c, d) in boxes
    )


def bed_plan(stations: Sequence[Station], inquiry: Inquiry) -> Plan | None:
    """A mobile line's modules on its vehicle's bed, which takes the place of a room; None where
    they do not fit or no vehicle is named."""
    places, vehicle = on_the_bed(stations, inquiry), inquiry.need.brief.vehicle
    if places is None or vehicle is None:
        return None
    modules = modules_of(stations, up(inquiry.habits.joint_mm))
    boxes = [(module.function, rect) for module, rect in zip(modules, places, strict=True)]
    return Plan(
        room_length_mm=float(vehicle.length_mm),
        room_width_mm=float(vehicle.width_mm),
        rectangles=_rectangles(boxes, stations),
        obstacles=(),
        path=(),
        doors=(),
        exits=(),
        hand="left",
        turns=(),
        length_mm=float(max(rect[2] for rect in places)),
        width_mm=float(max(rect[3] for rect in places)),
        area_m2=area(places) / MM2_PER_M2,
    )


def no_bed(stations: Sequence[Station], inquiry: Inquiry) -> NoPlan | None:
    """What keeps a line's modules off its vehicle's bed; None where they fit or none is named."""
    vehicle = inquiry.need.brief.vehicle
    if inquiry.need.brief.mobility != "mobile" or vehicle is None:
        return None
    if on_the_bed(stations, inquiry):
        return None
    modules = modules_of(stations, up(inquiry.habits.joint_mm))
    if vehicle.height_mm is not None:
        tall = max(modules, key=lambda module: module.height)
        if tall.height > vehicle.height_mm:
            over = tall.height - down(vehicle.height_mm)
            return NoPlan(
                float(over),
                "vehicle height",
                (),
                f"its tallest module is {length_text(over)} too tall for the vehicle",
            )
    length, width = down(vehicle.length_mm), down(vehicle.width_mm)
    longer = length
    while longer < 10 * length and stow(modules, longer, width) is None:
        longer += 100
    over = longer - length
    return NoPlan(
        float(over),
        "vehicle length",
        (),
        f"side by side in rows, its modules take about {length_text(over)} more than the "
        "vehicle's bed is long",
    )


def on_the_bed(stations: Sequence[Station], inquiry: Inquiry) -> tuple[Rect, ...] | None:
    """Where the modules of a mobile line stand on its vehicle's bed; None where they do not fit,
    and where no vehicle is named."""
    vehicle = inquiry.need.brief.vehicle
    if inquiry.need.brief.mobility != "mobile" or vehicle is None:
        return None
    modules = modules_of(stations, up(inquiry.habits.joint_mm))
    if vehicle.height_mm is not None and any(m.height > vehicle.height_mm for m in modules):
        return None
    return stow(modules, down(vehicle.length_mm), down(vehicle.width_mm))
