"""The lines of a client with a room: each one placed, costed with the chain that is drawn, sorted.

Which lines there are is said by the flat enumeration, what they cost by `arithmetic`. The project's
placement says where a line stands (its own witnesses are in tests/floorplan); how much chain it has
there is measured on the drawing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lineconfig.catalog import Catalog
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.limits import LIMITS
from lineconfig.floorplan.place import place, stands
from lineconfig.floorplan.plan import NoPlan, Plan
from lineconfig.floorplan.room import FLOOR_PLAN
from lineconfig.layout import Station
from lineconfig.need import Need
from lineconfig.session import Study
from tests.oracle.arithmetic import CHAIN, Arithmetic, Drawn
from tests.oracle.flat import Line, candidates, solutions

ESTIMATES = ("length", "area")
"""Limits that a floor plan decides better."""


@dataclass(frozen=True, slots=True)
class Unplaced:
    """A line that does not stand in its room, or on its vehicle."""

    sentence: str


def has_room(need: Need) -> bool:
    """Whether the brief states a room."""
    return need.brief.site.length_mm is not None and need.brief.site.width_mm is not None


def drawn_of(stations: Sequence[Station], inquiry: Inquiry) -> Drawn | Unplaced | None:
    """The chain of a line as it is drawn; None where nothing is, for want of a room."""
    if stands(stations, inquiry) is False:  # what is short takes long to say
        return Unplaced("no place for it")
    if not has_room(inquiry.need):
        return None
    plan = place(stations, inquiry)
    if isinstance(plan, NoPlan):
        return Unplaced(plan.sentence)
    assert isinstance(plan, Plan)
    width = inquiry.catalog.classes[CHAIN].size
    assert width is not None
    straight_mm, bends = 0.0, 0
    for piece in plan.rectangles:
        if piece.what == "conveyor" and piece.label == "90-degree bend":
            bends += 1
        elif piece.what == "conveyor" and piece.label == "chain":
            sides = [piece.length_mm, piece.width_mm]
            sides.remove(width.width_mm)
            straight_mm += sides[0]
    return straight_mm, bends


def ranked(need: Need, catalog: Catalog, view: str) -> list[Line]:
    """Every line that stands in its room and keeps to every limit with its chain, best first."""
    arithmetic = Arithmetic(need, catalog, ESTIMATES if has_room(need) else ())
    inquiry, stations = Inquiry(need, catalog), stations_by_classes(need, catalog)
    found = []
    for solution in solutions(need, catalog):
        line = candidates(arithmetic, solution)
        classes = arithmetic.figures(line).classes
        drawn = drawn_of(stations[classes], inquiry)
        if isinstance(drawn, Unplaced):
            continue
        figures = arithmetic.figures(line, drawn)
        if arithmetic.within_limits(figures):
            found.append(Line(figures.key(view), classes))
    return sorted(found, key=lambda line: (line.key, line.classes))


def stations_by_classes(
    need: Need, catalog: Catalog
) -> Mapping[tuple[str, ...], tuple[Station, ...]]:
    """What every line has, limits left aside: how large its machines are is not in question."""
    free = Study(need, catalog, without=frozenset({FLOOR_PLAN, *(limit.id for limit in LIMITS)}))
    return {
        found.order: tuple(
            item.station for item in found.stated if not item.station.option.equipment.absent
        )
        for found in free.found("first-cost")
    }
