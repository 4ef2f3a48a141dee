"""Placement for people and programs: where a layout stands in the client's room."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from lineconfig.choose.rules import length_text
from lineconfig.drawing.flow import flow_length_mm
from lineconfig.floorplan.chain import chain_of
from lineconfig.floorplan.plan import NoPlan, Plan, Rectangle
from lineconfig.layout import BEND, Layout
from lineconfig.present.wrapping import wrapped
from lineconfig.rounding import amount_text, area_text, mm_text
from lineconfig.session import Study


def floor_record(study: Study, layout: Layout) -> dict[str, Any]:
    """The key `floor` of a layout's record; stretched out where the brief states no room [mm]."""
    plan = study.plan(layout)
    if not isinstance(plan, Plan):
        return {
            "fits": None if plan is None else False,
            "length_mm": round(layout.floor.length_mm, 1),
            "width_mm": round(layout.floor.widest_mm, 1),
            "area_m2": round(layout.floor.area_m2, 2),
            "hand": None,
            "rectangles": [],
            "why_not": plan.sentence if isinstance(plan, NoPlan) else None,
        }
    return {
        "fits": True,
        "length_mm": plan.length_mm,
        "width_mm": plan.width_mm,
        "area_m2": round(plan.area_m2, 2),
        "hand": plan.hand,
        "rectangles": [_rectangle(item) for item in plan.rectangles],
        "turns": list(plan.turns),
        "doors": [
            {"wall": door.wall, "start_mm": door.start_mm, "end_mm": door.end_mm}
            for door in plan.doors
        ],
        "path_mm": [list(point) for point in plan.path],
        "chain": _chain(study, layout, plan),
        "along_flow_mm": round(flow_length_mm(plan, layout), 1),
        "stowed": None
        if plan.stowed is None
        else {
            "length_mm": plan.stowed.length_mm,
            "width_mm": plan.stowed.width_mm,
            "rectangles": [_rectangle(item) for item in plan.stowed.rectangles],
        },
        "notes": list(plan.notes),
    }


def _chain(study: Study, layout: Layout, plan: Plan) -> Mapping[str, Any]:
    chain = chain_of(plan, layout.stations, study.inquiry)
    return {
        "bends": chain.bends,
        "straight_mm": chain.straight_mm,
        "holds_cans": chain.holds_cans,
        "price": round(chain.price.typical, 2),
        "beyond_price": round(chain.beyond, 2),
    }


def _rectangle(item: Rectangle) -> Mapping[str, Any]:
    return {
        "station": item.station,
        "what": item.what,
        "x_mm": item.x_mm,
        "y_mm": item.y_mm,
        "length_mm": item.length_mm,
        "width_mm": item.width_mm,
        "label": item.label,
    }


def floor_lines(study: Study, layout: Layout) -> list[str]:
    """What `show` says of the place in the room; nothing where the brief states no room."""
    plan = study.plan(layout)
    if plan is None:
        return []
    if isinstance(plan, NoPlan):
        return wrapped(f"Does not fit: {plan.sentence}.", 2)
    way = f"turning {', then '.join(plan.turns)}" if plan.turns else "in a straight line"
    lines = wrapped(
        f"Fits the room {way}, operators on the {plan.hand} of the flow: "
        f"{length_text(plan.length_mm)} by {length_text(plan.width_mm)} with the floor that it "
        f"keeps free, {area_text(plan.area_m2)} m2 of it used.",
        2,
    )
    chain = chain_of(plan, layout.stations, study.inquiry)
    more = "more" if chain.beyond >= 0 else "less"
    beyond = (
        f", {amount_text(abs(chain.beyond))} {more} than in a straight line" if chain.beyond else ""
    )
    lines += wrapped(
        f"Chain between the machines: {chain.straight_mm / 1000:,.1f} m straight, "
        f"{chain.bends} {'bend' if chain.bends == 1 else 'bends'}, {chain.holds_cans} cans when "
        f"full; {amount_text(chain.price.typical)} to buy{beyond}, counted in every figure.",
        2,
    )
    lines += wrapped(along_flow_text(study, layout, plan), 2)
    for note in plan.notes:
        lines += wrapped(note, 2)
    if plan.stowed is not None:
        lines += wrapped(
            f"Packed away between runs: {length_text(plan.stowed.length_mm)} by "
            f"{length_text(plan.stowed.width_mm)}.",
            2,
        )
    return lines


def along_flow_text(study: Study, layout: Layout, plan: Plan) -> str:
    """How long the placed line is along its flow, and why that is not its length in a line."""
    along_mm, straight_mm = flow_length_mm(plan, layout), layout.floor.length_mm
    text = f"Along its flow in this plan the line is {length_text(along_mm)} long"
    if abs(along_mm - straight_mm) < 0.5:
        return f"{text}, as stretched out."
    size = study.catalog.classes[BEND].size
    side = (
        "" if size is None else f", each bend counted by its side of {mm_text(size.length_mm)} mm"
    )
    return (
        f"{text}, measured along the middle of its bends, as the elevation shows it; stretched out"
        f"{side}, it is {length_text(straight_mm)}."
    )


def passed_over_sentence(study: Study) -> str | None:
    """How many lines a list left out for want of room; None where it left out none."""
    room = study.room
    if room is None:
        return None
    unseen = (
        "Layouts whose unloader, lowering class and filler alone do not stand in the room were "
        "left out at once."
    )
    if not room.passed_over:
        return unseen if room.left_out else None
    count = len(room.passed_over)
    said = (
        f"{count:,} {'layout was' if count == 1 else 'layouts were'} passed over while these lists "
        "were made: every other rule is met, but the room is too small for "
        f"{'it' if count == 1 else 'them'}."
    )
    if room.left_out:
        said += f" {unseen}"
    if room.given_up:
        said += " After too many in a row the search was ended: there may be more that fit."
    return said
