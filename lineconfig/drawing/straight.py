"""A line stretched out on an open floor: what is drawn where no room is known or none is large
enough.

The flow runs east; left of it is north. Nothing here decides whether a line fits.
"""

from __future__ import annotations

from dataclasses import replace

from lineconfig.choose.inquiry import Inquiry
from lineconfig.connect.stations import BESIDE_THE_FLOW
from lineconfig.drawing.shapes import Box
from lineconfig.floorplan.blocks import guard_at, guard_depth, guard_swing
from lineconfig.floorplan.place import SWING
from lineconfig.floorplan.plan import MM2_PER_M2, Plan, Rectangle
from lineconfig.layout import Layout

PERSON_MM = 600.0
"""Side of the square that a standing person is drawn in (common practice)."""
PERSON_GAP_MM = 100.0


def straight_plan(inquiry: Inquiry, layout: Layout) -> Plan:
    """The line in one straight run, with the floor that each station keeps free."""
    pieces = _along_the_flow(inquiry, layout)
    path = ((pieces[0].x_mm, 0.0), (pieces[-1].far_x_mm, 0.0))
    pieces += _before(inquiry, layout)
    pieces += _behind(layout, path[1][0])
    pieces += [strip for piece in pieces for strip in _beside(layout, piece)]
    pieces += _people(layout, pieces)
    left_mm = min(piece.x_mm for piece in pieces)
    low_mm = min(piece.y_mm for piece in pieces)
    moved = tuple(
        replace(piece, x_mm=piece.x_mm - left_mm, y_mm=piece.y_mm - low_mm) for piece in pieces
    )
    length_mm = max(piece.far_x_mm for piece in moved)
    width_mm = max(piece.far_y_mm for piece in moved)
    return Plan(
        room_length_mm=length_mm,
        room_width_mm=width_mm,
        rectangles=moved,
        obstacles=(),
        path=tuple((x_mm - left_mm, y_mm - low_mm) for x_mm, y_mm in path),
        doors=(),
        exits=(),
        hand="left",
        turns=(),
        length_mm=length_mm,
        width_mm=width_mm,
        area_m2=length_mm * width_mm / MM2_PER_M2,
    )


def _along_the_flow(inquiry: Inquiry, layout: Layout) -> list[Rectangle]:
    """Machines and the joints between them, from x = 0 on the line y = 0."""
    joint_mm = float(inquiry.habits.joint_mm)
    joints = [
        index
        for index, station in enumerate(layout.stations)
        if station.function == "convey"
        for _ in range(round(station.length_mm / joint_mm))
    ]
    pieces: list[Rectangle] = []
    x_mm, behind_filler = 0.0, False
    for index, station in enumerate(layout.stations):
        if station.function in (*BESIDE_THE_FLOW, "convey") or station.length_mm == 0:
            continue
        if behind_filler and joints:
            chain = joints.pop(0)
            width_mm = layout.stations[chain].width_mm
            pieces.append(Rectangle(chain, "conveyor", x_mm, -width_mm / 2, joint_mm, width_mm))
            x_mm += joint_mm
        pieces.append(_machine(layout, index, x_mm))
        x_mm += station.length_mm
        behind_filler = behind_filler or station.function == "fill"
    return pieces


def _machine(layout: Layout, index: int, x_mm: float) -> Rectangle:
    station = layout.stations[index]
    return Rectangle(
        index, "machine", x_mm, -station.width_mm / 2, station.length_mm, station.width_mm
    )


def _before(inquiry: Inquiry, layout: Layout) -> list[Rectangle]:
    """The pallet of empties at the unloader, and what brings it."""
    pallet = inquiry.need.main_format.container.pallet
    unload = layout.station("unload")
    index = layout.stations.index(unload)
    clearance = unload.option.equipment.clearance
    free_mm = float(clearance.infeed_end_mm) if clearance is not None else 0.0
    width_mm = unload.width_mm
    pieces = []
    for place, guard in enumerate(layout.stations):
        if guard.function != "guard":
            continue
        free_mm = max(free_mm, guard_depth(unload, guard))
        leaf_mm, stands_mm = float(guard_swing(guard)), float(guard_at(unload, guard))
        if leaf_mm:
            low_mm = -guard.width_mm / 2
            pieces.append(
                Rectangle(
                    place, "clearance", -stands_mm - leaf_mm, low_mm, leaf_mm, guard.width_mm,
                    f"{SWING}: {guard.option.equipment.name}",
                )
            )  # fmt: skip
            free_mm = max(free_mm, stands_mm + leaf_mm)
    pieces.append(Rectangle(index, "clearance", -free_mm, -width_mm / 2, free_mm, width_mm))
    x_mm = -free_mm - pallet.length_mm
    pieces.append(
        Rectangle(
            index, "pallet", x_mm, -pallet.width_mm / 2,
            float(pallet.length_mm), float(pallet.width_mm), "empties",
        )
    )  # fmt: skip
    for place, station in enumerate(layout.stations):
        if station.function == "supply" and station.length_mm:
            x_mm -= station.length_mm
            pieces.append(_machine(layout, place, x_mm))
    return [piece for piece in pieces if piece.length_mm > 0]


def _behind(layout: Layout, x_mm: float) -> list[Rectangle]:
    """What takes the full pallets behind the last machine."""
    pieces: list[Rectangle] = []
    for index, station in enumerate(layout.stations):
        if station.function != "wrap" or not station.length_mm:
            continue
        clearance = station.option.equipment.clearance
        if clearance and clearance.infeed_end_mm:
            free_mm, width_mm = float(clearance.infeed_end_mm), station.width_mm
            pieces.append(Rectangle(index, "clearance", x_mm, -width_mm / 2, free_mm, width_mm))
            x_mm += free_mm
        pieces.append(_machine(layout, index, x_mm))
        x_mm += station.length_mm
    return pieces


def _beside(layout: Layout, piece: Rectangle) -> list[Rectangle]:
    """The strips that a machine keeps free left and right of the flow."""
    if piece.what != "machine" or piece.station is None:
        return []
    clearance = layout.stations[piece.station].option.equipment.clearance
    if clearance is None:
        return []
    left_mm, right_mm = float(clearance.left_mm), float(clearance.right_mm)
    strips = [
        replace(piece, what="clearance", y_mm=piece.far_y_mm, width_mm=left_mm),
        replace(piece, what="clearance", y_mm=piece.y_mm - right_mm, width_mm=right_mm),
    ]
    return [strip for strip in strips if strip.width_mm > 0]


def _people(layout: Layout, pieces: list[Rectangle]) -> list[Rectangle]:
    """One person for each post, left of the machine that keeps them busiest."""
    machines = {piece.station: piece for piece in pieces if piece.what == "machine"}
    people: list[Rectangle] = []
    taken: list[Box] = []
    for post in layout.crew.posts:
        there = [index for index in post.stations if index in machines]
        if not there:
            continue
        index = max(there, key=lambda place: layout.crew.workloads[place])
        machine = machines[index]
        x_mm = machine.x_mm + (machine.length_mm - PERSON_MM) / 2
        y_mm = machine.far_y_mm + PERSON_GAP_MM
        place = Box(x_mm, y_mm, x_mm + PERSON_MM, y_mm + PERSON_MM)
        while any(place.meets(other) for other in taken):
            x_mm += PERSON_MM + PERSON_GAP_MM
            place = Box(x_mm, y_mm, x_mm + PERSON_MM, y_mm + PERSON_MM)
        taken.append(place)
        people.append(Rectangle(index, "person", x_mm, y_mm, PERSON_MM, PERSON_MM))
    return people
