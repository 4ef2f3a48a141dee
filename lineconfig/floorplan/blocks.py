"""Blocks: the stations of a line as rectangles that join port to port, seen along the flow.

A block is what stands between two joints: its infeed port is at the origin, cans run along +x, and
left of them is +y. Everything is in whole millimetres: machines rounded up, rooms down.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from lineconfig.catalog import Clearances, EquipmentClass, Function
from lineconfig.choose.inquiry import Inquiry
from lineconfig.connect.stations import guard_distance
from lineconfig.floorplan.plan import Turn, What
from lineconfig.layout import Station

BESIDE_A_PALLET_MM = 300
"""Floor on either side of a pallet where a truck brings or fetches it. Common practice. [mm]"""
ROUTE_BESIDE_A_PALLET_MM = 150
"""Floor on either side of a pallet on its way. Common practice. [mm]"""
SHIPPING_PALLET_MM = (1219, 1016)
"""A 48 x 40 in pallet: length and width. Common practice. [mm]"""
PANEL_DEPTH_MM = 915
"""Working space in front of a panel: 3 ft up to 150 V to ground, and up to 600 V where nothing
grounded faces it. NFPA 70 (NEC) 110.26(A)(1), from memory. [mm]"""
PANEL_WIDTH_MM = 762
"""Width of that space: 30 in, or the panel's own. NFPA 70 (NEC) 110.26(A)(2), from memory. [mm]"""
MERGING_LANE_MM = 300
"""Width of a lane that joins parallel tracks. Common practice. [mm]"""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle of a block [mm]: from (x0, y0) to (x1, y1)."""

    function: str
    """The function of the station that it belongs to; "" for the line as a whole."""
    what: What
    x0: int
    y0: int
    x1: int
    y1: int
    note: str = ""
    joint: int = -1
    """Conveyors between blocks: which joint."""

    @property
    def solid(self) -> bool:
        """Whether it stands on the floor; otherwise it is floor kept free."""
        return self.what in ("machine", "conveyor")

    def mirrored(self) -> Box:
        """The same, right-handed."""
        return Box(
            self.function, self.what, self.x0, -self.y1, self.x1, -self.y0, self.note, self.joint
        )

    def moved(self, x: int, y: int) -> Box:
        """The same, elsewhere."""
        return Box(
            self.function, self.what, self.x0 + x, self.y0 + y, self.x1 + x, self.y1 + y,
            self.note, self.joint,
        )  # fmt: skip


Point = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Block:
    """What stands between two joints."""

    boxes: tuple[Box, ...]
    path: tuple[Point, ...]
    """Centre line of the cans, from the infeed port to the discharge port."""
    lead_in: int
    """Floor before the infeed port that only a conveyor may cross [mm]."""
    lead_out: int
    """The same behind the discharge port [mm]."""
    ports: tuple[Point, ...] = ()
    """Where machines of one block hand over to each other."""

    @property
    def out(self) -> Point:
        """The discharge port."""
        return self.path[-1]


@dataclass(frozen=True, slots=True)
class Bend:
    """Table-top chain: what a joint is made of [mm]."""

    side: int
    """A quarter turn takes a square of this side."""
    width: int
    """Of the chain with its rails."""
    left: int
    right: int
    """Service clearance on either side."""

    @property
    def radius(self) -> int:
        """Of the centre line: how far a quarter turn takes the cans ahead, and aside."""
        return self.side - self.width // 2


@dataclass(frozen=True, slots=True)
class Line:
    """The geometry of one line: what a placement depends on, and nothing else."""

    blocks: tuple[Block, ...]
    """All but the last."""
    ends: tuple[tuple[Turn, Block], ...]
    """The last block, with the wrapper ahead or on either side of the pallets' way out."""
    joint: int
    """Chain between two blocks in a straight line, where they need no more [mm]."""
    bend: Bend
    walkway: int
    """Width kept for people [mm]."""
    pallet_route: int
    """Width kept for pallets on their way [mm]."""


def up(length_mm: float) -> int:
    """Whole millimetres, rounded up."""
    return math.ceil(length_mm - 1e-6)


def down(length_mm: float) -> int:
    """Whole millimetres, rounded down."""
    return math.floor(length_mm + 1e-6)


SITS_ON: dict[str, tuple[Function, ...]] = {
    "rinse": ("lower", "fill"),
    "dose": ("fill",),
    "infeed-rail": ("lower", "unload"),
    "after-dryer": ("dry", "fill"),
    "on-case": ("pack", "palletize"),
}
"""On whose machine a station without a place of its own sits: the first of these that is there."""

_NONE = Clearances.model_validate(
    {"left": "0 mm", "right": "0 mm", "infeed_end": "0 mm", "discharge_end": "0 mm"}
)


@dataclass(frozen=True, slots=True)
class _Machine:
    """One station on the floor, with what sits on it."""

    station: Station
    length: int
    half: int
    left: int
    right: int
    infeed_end: int
    discharge_end: int
    sides: frozenset[str]
    offset: int

    @property
    def function(self) -> Function:
        return self.station.function


def line_of(stations: Sequence[Station], inquiry: Inquiry) -> Line:
    """The geometry of a line."""
    habits = inquiry.habits
    walkway = up(habits.walkway_mm)
    sitting: dict[str, list[EquipmentClass]] = {}
    there = {station.function: station for station in stations}
    for station in stations:
        equipment = station.option.equipment
        key = equipment.place or station.function
        if station.length_mm == 0 and key in SITS_ON:
            host = next((name for name in SITS_ON[key] if name in there), "fill")
            sitting.setdefault(host, []).append(equipment)
    machines = {
        station.function: _machine(station, sitting.get(station.function, []), walkway)
        for station in stations
        if station.length_mm > 0 and station.function != "convey"
    }
    flow = [
        machine
        for function, machine in machines.items()
        if function not in ("supply", "unload", "lower", "fill", "wrap")
    ]
    first = _first_block(
        [machines[name] for name in ("unload", "lower", "fill") if name in machines],
        machines["supply"],
        there.get("guard"),
        inquiry,
    )
    blocks = [first, *(_block([machine], walkway) for machine in flow[:-1])]
    approach = up(habits.pallet_approach_mm)
    ends = _last_blocks(flow[-1], machines.get("wrap"), approach, walkway)
    return Line(
        blocks=tuple(blocks),
        ends=ends,
        joint=up(habits.joint_mm),
        bend=_bend(inquiry),
        walkway=walkway,
        pallet_route=pallet_route(inquiry),
    )


def pallet_route(inquiry: Inquiry) -> int:
    """Width kept for pallets on their way [mm]."""
    widths = [up(can.pallet.width_mm) for can in inquiry.containers]
    return max(*widths, SHIPPING_PALLET_MM[1]) + 2 * ROUTE_BESIDE_A_PALLET_MM


FIRST_BLOCK: tuple[Function, ...] = ("supply", "unload", "guard", "lower", "fill")
"""Functions whose machines stand directly behind one another at the infeed."""


def least_first_block(stations: Sequence[Station], inquiry: Inquiry) -> Block:
    """The first block of a line with these stations of `FIRST_BLOCK`, whatever else it has.

    What sits on the machines may want more floor beside them, and people there.
    """
    walkway = up(inquiry.habits.walkway_mm)
    there = {station.function: station for station in stations}
    machines = [
        _machine(there[name], [], walkway)
        for name in ("unload", "lower", "fill")
        if there[name].length_mm > 0
    ]
    guard = there["guard"]
    supply = _machine(there["supply"], [], walkway)
    return _first_block(machines, supply, None if guard.option.equipment.absent else guard, inquiry)


def _bend(inquiry: Inquiry) -> Bend:
    classes = inquiry.catalog.classes
    bend, straight = classes["table-top-bend"], classes["table-top-straight"]
    assert bend.size and straight.size
    clearance = straight.clearance or _NONE
    width = up(straight.size.width_mm)
    return Bend(
        side=up(max(bend.size.length_mm, bend.size.width_mm)),
        width=width + width % 2,
        left=up(clearance.left_mm),
        right=up(clearance.right_mm),
    )


def _machine(station: Station, sitting: Sequence[EquipmentClass], walkway: int) -> _Machine:
    equipment = station.option.equipment
    clear = equipment.clearance or _NONE
    sides = set(equipment.operator_sides)
    left, right = up(clear.left_mm), up(clear.right_mm)
    for item in sitting:
        beside = item.clearance or _NONE
        left, right = max(left, up(beside.left_mm)), max(right, up(beside.right_mm))
        sides.update(item.operator_sides)
    # Where people work along the line they also pass.
    if "left" in sides:
        left = max(left, walkway)
    if "right" in sides:
        right = max(right, walkway)
    return _Machine(
        station=station,
        length=up(station.length_mm),
        half=up(station.width_mm / 2),
        left=left,
        right=right,
        infeed_end=up(clear.infeed_end_mm),
        discharge_end=up(clear.discharge_end_mm),
        sides=frozenset(sides),
        offset=up(equipment.discharge_offset_mm or 0.0),
    )


def _beside(machine: _Machine, x: int, y: int) -> list[Box]:
    """A machine whose infeed port is at (x, y), with the floor on its left and right."""
    far, name = x + machine.length, machine.function
    boxes = _footprint(machine, x, y)
    top, bottom = y + machine.half, y - machine.half
    if machine.left:
        what: What = "person" if "left" in machine.sides else "clearance"
        boxes.append(Box(name, what, x, top, far, top + machine.left))
    if machine.right:
        what = "person" if "right" in machine.sides else "clearance"
        boxes.append(Box(name, what, x, bottom - machine.right, far, bottom))
    panel = machine.station.option.equipment.panel_side
    near = max(x, far - PANEL_WIDTH_MM)
    if panel == "left":
        boxes.append(Box(name, "clearance", near, top, far, top + PANEL_DEPTH_MM, "panel"))
    elif panel == "right":
        boxes.append(Box(name, "clearance", near, bottom - PANEL_DEPTH_MM, far, bottom, "panel"))
    return boxes


def _footprint(machine: _Machine, x: int, y: int) -> list[Box]:
    """The machine itself; parallel tracks one by one, with the lane that merges them."""
    far, top, bottom = x + machine.length, y + machine.half, y - machine.half
    equipment, count = machine.station.option.equipment, round(machine.station.quantity)
    tracks = equipment.tracks
    if machine.function != "lower" or count < 2 or tracks is None or tracks.mounted == "one":
        return [Box(machine.function, "machine", x, bottom, far, top)]
    boxes = [Box("lower", "conveyor", far - MERGING_LANE_MM, bottom, far, top, "merging lane")]
    if machine.station.power_kw > 0:
        # A driven lane across the flow brings the cans to the track in use.
        boxes.append(Box("lower", "conveyor", x, bottom, x + MERGING_LANE_MM, top, "lane"))
        x += MERGING_LANE_MM
    far -= MERGING_LANE_MM
    edges = [bottom + (top - bottom) * place // count for place in range(count + 1)]
    boxes += [
        Box("lower", "machine", x, low, far, high, f"track {place}")
        for place, (low, high) in enumerate(pairwise(edges), 1)
    ]
    return boxes


def _strips(
    machine: _Machine, side: str, x0: int, x1: int, y: int, port_y: int, lane: int
) -> list[Box]:
    """Floor at one end of a machine, on both sides of what carries the cans away there."""
    if x1 <= x0:
        return []
    what: What = "person" if side in machine.sides else "clearance"
    top, bottom = y + machine.half, y - machine.half
    strips = [(port_y + lane, top), (bottom, port_y - lane)]
    return [Box(machine.function, what, x0, low, x1, high) for low, high in strips if high > low]


LANE_MM = 150
"""Half the width of the chain that crosses the floor at a machine's end. [mm]"""


def _block(machines: Sequence[_Machine], walkway: int) -> Block:
    """Machines that stand directly behind one another."""
    boxes: list[Box] = []
    path: list[Point] = [(0, 0)]
    ports: list[Point] = []
    x = y = 0
    for place, machine in enumerate(machines):
        boxes += _beside(machine, x, y)
        far, out_y = x + machine.length, y + machine.offset
        if machine.offset:
            # Cans are lined up in the last part of the machine.
            near = far - min(machine.length // 4, 600)
            path += [(near, y), (near, out_y)]
        following = machines[place + 1] if place + 1 < len(machines) else None
        lane = max(LANE_MM, following.half) if following else LANE_MM
        if place == 0:
            boxes += _strips(machine, "infeed-end", x - machine.infeed_end, x, y, y, LANE_MM)
        boxes += _strips(machine, "discharge-end", far, far + machine.discharge_end, y, out_y, lane)
        x, y = far, out_y
        path.append((x, y))
        if following:
            ports.append((x, y))
    return Block(
        tuple(boxes),
        tuple(path),
        lead_in=machines[0].infeed_end,
        lead_out=machines[-1].discharge_end,
        ports=tuple(ports),
    )


def _first_block(
    machines: Sequence[_Machine],
    supply: _Machine,
    guard: Station | None,
    inquiry: Inquiry,
) -> Block:
    """Unloader, lowering class and filler, with the way in for pallets of empties."""
    walkway = up(inquiry.habits.walkway_mm)
    widths = [up(can.pallet.width_mm) for can in inquiry.containers]
    unload = machines[0]
    block = _block(machines, walkway)
    boxes = [box for box in block.boxes if not (box.function == "unload" and box.x1 <= 0)]
    depth = up(inquiry.habits.pallet_approach_mm)
    width = max(widths) + 2 * BESIDE_A_PALLET_MM
    end = 0
    if supply.station.option.has("keeps-layer-level"):
        # The raised stack stands against the unloader: people sweep layers across from its sides.
        end = -supply.length
        for side, sign in (("left", 1), ("right", -1)):
            person = side == "left" or "infeed-end" in unload.sides
            clear = supply.left if side == "left" else supply.right
            clear = max(clear, walkway, unload.infeed_end if side == "left" else 0)
            near, far = sorted((sign * supply.half, sign * (supply.half + clear)))
            what: What = "person" if person and side == "left" else "clearance"
            boxes.append(Box("supply", what, end, near, 0, far))
        boxes.append(Box("supply", "machine", end, -supply.half, 0, supply.half))
    else:
        free = unload.infeed_end
        half = unload.half
        owner: str = "unload"
        what = "person" if "infeed-end" in unload.sides else "clearance"
        if guard is not None:
            free = max(free, guard_depth(unload.station, guard))
            half = max(half, up(guard.width_mm / 2))
            owner, what = "guard", "clearance"
        if free:
            end = -free
            boxes.append(Box(owner, what, end, -half, 0, half, "guard" if guard else ""))
        if guard is not None and (leaf := guard_swing(guard)):
            # A pallet waits at the far end of its approach while the leaves are opened.
            stands, half = guard_at(unload.station, guard), up(guard.width_mm / 2)
            boxes.append(Box("guard", "clearance", -stands - leaf, -half, -stands, half, "swing"))
            longest = max(up(can.pallet.length_mm) for can in inquiry.containers)
            depth = max(depth, stands + leaf + longest + end)
    boxes.append(Box("supply", "pallet", end - depth, -(width // 2), end, width // 2, "pallets in"))
    return Block(tuple(boxes), block.path, 0, block.lead_out, block.ports)


def guard_depth(unload: Station, guard: Station) -> int:
    """Floor between an unloader and its guard [mm]: what the class keeps free, at the least the
    distance of ISO 13855:2010."""
    free = up((guard.option.equipment.clearance or _NONE).infeed_end_mm)
    return max(free, guard_at(unload, guard))


def guard_at(unload: Station, guard: Station) -> int:
    """Where a guard stands before its unloader [mm]: the distance of ISO 13855:2010, 0 where the
    unloader's stopping time is not stated."""
    distance = guard_distance(guard.option.equipment, unload.option.equipment)
    return 0 if distance is None else up(distance.distance_mm)


def guard_swing(guard: Station) -> int:
    """How far the leaves of a guard's doors swing out before it [mm]; 0 for a guard without."""
    guarding = guard.option.equipment.guarding
    if guarding is None or guarding.device != "interlocked-doors":
        return 0
    return up(guard.width_mm / guarding.leaves)


def _last_blocks(
    machine: _Machine, wrap: _Machine | None, approach: int, walkway: int
) -> tuple[tuple[Turn, Block], ...]:
    """The last machine with the way out for full pallets, and the wrapper beside that way."""
    block = _block([machine], walkway)
    x = machine.length
    kept = [box for box in block.boxes if box.x0 < x]
    half = (SHIPPING_PALLET_MM[1] + 2 * BESIDE_A_PALLET_MM) // 2
    boxes = [*kept, Box("palletize", "pallet", x, -half, x + approach, half, "pallets out")]
    if wrap is None:
        return (("straight", Block(tuple(boxes), block.path, block.lead_in, 0)),)
    # The wrapper's own end clearance lies on the pallets' way.
    ahead = [box.moved(x + approach, 0) for box in _wrapper(wrap)]
    near = max(x + max(wrap.left, wrap.right), x + approach - 2 * wrap.half)
    middle = near + wrap.half
    left = [_quarter(box).moved(middle, half) for box in _wrapper(wrap)]
    right = [_quarter(box, -1).moved(middle, -half) for box in _wrapper(wrap)]
    choices: tuple[tuple[Turn, list[Box]], ...] = (
        ("left", left), ("right", right), ("straight", ahead)
    )  # fmt: skip
    return tuple(
        (turn, Block(tuple(boxes + wrapper), block.path, block.lead_in, 0))
        for turn, wrapper in choices
    )


def _wrapper(wrap: _Machine) -> list[Box]:
    boxes = _beside(wrap, 0, 0)
    far = wrap.length
    return [
        *boxes,
        Box("wrap", "clearance", far, -wrap.half, far + wrap.discharge_end, wrap.half),
    ]


def _quarter(box: Box, sign: int = 1) -> Box:
    """A box turned a quarter to the left, or to the right."""
    if sign > 0:
        return Box(box.function, box.what, -box.y1, box.x0, -box.y0, box.x1, box.note)
    return Box(box.function, box.what, box.y0, -box.x1, box.y1, -box.x0, box.note)
