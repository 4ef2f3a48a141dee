"""What a room, or a vehicle, lacks for the lines that come closest."""

from __future__ import annotations

import math
from itertools import islice

from lineconfig.brief import View
from lineconfig.explain.clashes import Clash, Shortfall
from lineconfig.floorplan.room import FLOOR_PLAN, stations_of
from lineconfig.floorplan.why import why_no_plan
from lineconfig.layout import Station
from lineconfig.session import Study

ROOM_RULES = frozenset({"machine-in-room", "floor-length", "floor-area", FLOOR_PLAN})
VIEWS_ASKED: tuple[View, ...] = ("floor", "first-cost", "life-cycle-cost")
MOST_ASKED = 12
"""Lines of each view that are placed in other rooms."""


def lines_without_room(study: Study) -> list[tuple[Station, ...]]:
    """The stations of lines that meet everything but the room, each set of machines once."""
    aside = study.varied(without=study.without | ROOM_RULES)
    found: dict[object, tuple[Station, ...]] = {}
    for view in VIEWS_ASKED:
        for line in islice(aside.found(view), MOST_ASKED):
            stations = stations_of(line)
            machines = tuple(s.option.id for s in stations if s.length_mm > 0)
            found.setdefault(machines, stations)
    return list(found.values())


def room_clash(study: Study, narrower: Study) -> Clash | None:
    """What the room lacks for the line that comes closest; None where no line lacks only room.

    Looked for first among the lines that meet every other rule (`narrower`), then among those that
    meet the rest of a conflict (`study`).
    """
    why = why_no_plan(narrower) or why_no_plan(study)
    if why is None:
        return None
    if why.dimension not in ("length", "width"):
        return Clash(FLOOR_PLAN, "vehicle", why.sentence)
    site = study.need.brief.site
    given = site.length_mm if why.dimension == "length" else site.width_mm
    assert given is not None
    needed = math.ceil(given + why.short_by_mm)
    return Clash(
        FLOOR_PLAN, f"site.{why.dimension}", why.sentence, Shortfall(needed, float(given), "mm")
    )
