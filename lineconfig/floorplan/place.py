"""Placing a layout: from its stations to a plan of the client's room, or to what is short."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.rules import length_text
from lineconfig.floorplan.blocks import Box, Line, down, line_of, up
from lineconfig.floorplan.chain import as_built, owners_of
from lineconfig.floorplan.fitting import Doorway, Fixture, Site
from lineconfig.floorplan.folding import Folded, Shortage, fold
from lineconfig.floorplan.packed import no_bed, on_the_bed, stowed_boxes, stowed_plan
from lineconfig.floorplan.plan import (
    MM2_PER_M2,
    NoPlan,
    Obstacle,
    Opening,
    Plan,
    Port,
    Rectangle,
    Turn,
    Wall,
)
from lineconfig.floorplan.shapes import Joint
from lineconfig.floorplan.ways import Rect, Room, area, contact, door_contact
from lineconfig.layout import Station
from lineconfig.need import Need

DOOR_MM = 2440
"""Width of the door that is assumed where the brief names none: 8 ft. Common practice. [mm]"""

SWING = "leaves swing here"
"""What floor is called over which a guard's doors swing."""

DOOR_FLOOR_MM = 1220
"""Floor inside a door on which nothing stands: a leaf of up to 4 ft swings in there, one of two
leaves up to 8 ft; wider doors roll up or slide. Common practice. [mm]"""


def site_of(need: Need) -> Site | None:
    """The room of a brief; None where it states no length or no width."""
    site = need.brief.site
    if site.length_mm is None or site.width_mm is None:
        return None
    fixtures = tuple(
        Fixture(
            (
                down(item.x_mm),
                down(item.y_mm),
                up(item.x_mm + item.length_mm),
                up(item.y_mm + item.width_mm),
            ),
            walkable="drain" in item.name.lower(),
        )
        for item in site.obstacles
    )
    door = site.door
    doorway = Doorway(DOOR_MM if door is None else down(door.width_mm))
    if door is not None and door.wall is not None and door.at_mm is not None:
        doorway = Doorway(down(door.width_mm), door.wall, up(door.at_mm))
    room = Room(down(site.length_mm), down(site.width_mm))
    if doorway.wall is not None:
        # Nothing stands where its leaves swing. A door that the plan may choose has its floor free
        # anyhow: pallets come along its whole width.
        fixtures = (*fixtures, Fixture(_inside(doorway, room, DOOR_FLOOR_MM), walkable=True))
    return Site(room, fixtures, doorway)


def _inside(doorway: Doorway, room: Room, depth: int) -> Rect:
    """The floor inside a door, as wide as the door."""
    start, end = doorway.start, doorway.start + doorway.width
    return {
        "west": (0, start, depth, end),
        "east": (room.length - depth, start, room.length, end),
        "south": (start, 0, end, depth),
        "north": (start, room.width - depth, end, room.width),
    }[str(doorway.wall)]


def stands(stations: Sequence[Station], inquiry: Inquiry) -> bool | None:
    """Whether a line fits its room, and its vehicle where it travels on one; None where the brief
    states neither."""
    site = site_of(inquiry.need)
    if site is not None:
        return standing(stations, inquiry, site) is not None
    if no_bed(stations, inquiry) is not None:
        return False
    return True if on_the_bed(stations, inquiry) else None


def standing(stations: Sequence[Station], inquiry: Inquiry, site: Site) -> tuple[Joint, ...] | None:
    """What the joints of a line are made of where it stands in a room; None where it does not fit
    there, or on its vehicle where it travels on one."""
    folded = fold(line_of(stations, inquiry), site)
    if folded is None:
        return None
    mobility = inquiry.need.brief.mobility
    if mobility != "fixed":
        built = as_built(stations, folded.joints, inquiry)
        if no_bed(built, inquiry) is not None:
            return None
        if mobility == "stowed" and stowed_boxes(built, inquiry, site, folded) is None:
            return None
    return folded.joints


def place(stations: Sequence[Station], inquiry: Inquiry) -> Plan | NoPlan | None:
    """The plan of a line in its room, or what is short; None where the brief states no room.

    Lengths are in [mm]. Of several plans the one with the fewest bends is taken, of these the first
    that fits; the same in every view, so that a line is one and the same under all of them. Line
    and plan may be put together from the least chain of a line or from what its plan has.
    """
    site = site_of(inquiry.need)
    if site is None:
        return no_bed(stations, inquiry)
    line = line_of(stations, inquiry)
    folded = fold(line, site)
    if folded is not None:
        stations = as_built(stations, folded.joints, inquiry)
    off = no_bed(stations, inquiry)
    if off is not None:
        return off
    if folded is None:
        return shortage(line, site)
    plan = _plan(folded, line, site, stations, inquiry.need)
    if inquiry.need.brief.mobility != "stowed":
        return plan
    boxes = stowed_boxes(stations, inquiry, site, folded)
    if boxes is None:
        return NoPlan(
            0.0,
            "length",
            folded.turns,
            "packed away between runs, the line's modules do not stand in the room with the "
            "floor inside the door free",
        )
    return replace(plan, stowed=stowed_plan(plan, boxes, stations))


# --- a plan ------------------------------------------------------------------------------------


def _plan(folded: Folded, line: Line, site: Site, stations: Sequence[Station], need: Need) -> Plan:
    index = {station.function: place for place, station in enumerate(stations)}
    owners = owners_of(stations)
    rectangles = []
    for box in folded.boxes:
        owner = index.get(box.function)  # type: ignore[call-overload]
        if box.joint >= 0:
            owner = owners.get((box.joint, box.note == "bend"))
        rectangles.append(
            Rectangle(
                owner,
                box.what,
                float(box.x0),
                float(box.y0),
                float(box.x1 - box.x0),
                float(box.y1 - box.y0),
                _label(box, stations, owner),
            )
        )
    rectangles += [
        Rectangle(None, "walkway", float(a), float(b), float(c - a), float(d - b), label)
        for label, (a, b, c, d) in _walkways(folded, line, site)
    ]
    wall, start, end = folded.ways.door
    door = Opening("door", wall, float(start), float(end))  # type: ignore[arg-type]
    notes = []
    if site.doorway.wall is None:
        notes.append(
            f"The brief does not say where the door is: this plan wants it in the {wall} wall, "
            f"{length_text(start)} from its {_corner(door.wall)} end."
        )
    return Plan(
        room_length_mm=float(site.room.length),
        room_width_mm=float(site.room.width),
        rectangles=tuple(rectangles),
        obstacles=tuple(
            Obstacle(
                item.name,
                float(item.x_mm),
                float(item.y_mm),
                float(item.length_mm),
                float(item.width_mm),
            )
            for item in need.brief.site.obstacles
        ),
        path=tuple((float(x), float(y)) for x, y in folded.path),
        doors=(door,),
        exits=(replace(door, name="exit"),),
        hand=folded.hand,
        turns=folded.turns,
        length_mm=float(folded.length),
        width_mm=float(folded.width),
        area_m2=area([(b.x0, b.y0, b.x1, b.y1) for b in folded.boxes]) / MM2_PER_M2,
        ports=tuple(
            (Port(float(ax), float(ay)), Port(float(bx), float(by)))
            for (ax, ay), (bx, by) in folded.ports
        ),
        chain_mm=float(sum(joint.straight for joint in folded.joints)),
        notes=tuple(notes),
    )


def _corner(wall: Wall) -> str:
    return "south" if wall in ("west", "east") else "west"


def _label(box: Box, stations: Sequence[Station], owner: int | None) -> str:
    """What a rectangle is called on a drawing."""
    name = "" if owner is None else stations[owner].option.equipment.name
    match box.what, box.note:
        case "machine", note:
            return f"{name}, {note}" if note else name
        case "conveyor", "bend":
            return "90-degree bend"
        case "conveyor", note:
            return "chain" if note in ("", "chain") else note
        case "pallet", note:
            return f"{note}: {name}" if note else name
        case _, "panel":
            return "panel working space"
        case _, "guard":
            return f"in front of the guard: {name}"
        case _, "swing":
            return f"{SWING}: {name}"
        case "person", _:
            return "operator"
    return "service"


def _walkways(folded: Folded, line: Line, site: Site) -> list[tuple[str, Rect]]:
    """Floor on which people and pallets come from the door to each place, drawn once."""
    door = folded.ways.door
    found: dict[tuple[str, Rect], None] = {}
    for label, space, kinds in (
        ("pallet route", folded.ways.pallets, ("pallet",)),
        ("walkway", folded.ways.people, ("person", "pallet")),
    ):
        side = space.side
        start = [door_contact(site.room, *door, side)]
        for box in folded.boxes:
            if box.what in kinds:
                way = space.way(start, contact((box.x0, box.y0, box.x1, box.y1), side))
                for rect in way or ():
                    found[label, rect] = None
    return _largest(list(found))


def _largest(named: list[tuple[str, Rect]]) -> list[tuple[str, Rect]]:
    """Those that no other covers."""

    def covers(one: Rect, other: Rect) -> bool:
        return (
            one[0] <= other[0] and one[1] <= other[1] and other[2] <= one[2] and other[3] <= one[3]
        )

    return [
        item
        for place, item in enumerate(named)
        if not any(
            covers(other[1], item[1]) and (other[1] != item[1] or at < place)
            for at, other in enumerate(named)
            if at != place
        )
    ]


# --- what is short -----------------------------------------------------------------------------


def shortage(line: Line, site: Site) -> NoPlan:
    """What is short for a line that does not stand in a room [mm]."""
    found = Shortage(line, site)
    short = found.least()
    if short is not None:
        sentence = (
            f"the room is {length_text(short.by)} short in {short.dimension} for this line, even "
            f"{_folded_words(short.turns)}, with the floor that it keeps free and its ways to the "
            "door"
        )
        return NoPlan(float(short.by), short.dimension, short.turns, sentence)
    length, width, turns = found.closest()
    sentence = (
        f"the room is {length_text(max(0, length))} short in length and "
        f"{length_text(max(0, width))} in width for this line, even {_folded_words(turns)}"
    )
    longer = length >= width
    return NoPlan(float(max(length, width)), "length" if longer else "width", turns, sentence)


def _folded_words(turns: tuple[Turn, ...]) -> str:
    return f"turning {', then '.join(turns)}" if turns else "in a straight line"
