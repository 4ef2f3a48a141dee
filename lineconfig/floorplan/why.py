"""Why no layout fits the room, although some meet every other rule."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice
from typing import TYPE_CHECKING

from lineconfig.brief import View
from lineconfig.floorplan.place import place
from lineconfig.floorplan.plan import NoPlan
from lineconfig.floorplan.room import FLOOR_PLAN, SUPERSEDED, stations_of

if TYPE_CHECKING:
    from lineconfig.session import Study

MOST_ASKED = 8
"""Lines of each view that are asked how much they lack."""
VIEWS_ASKED: tuple[View, ...] = ("floor", "first-cost")


def why_no_plan(study: Study) -> NoPlan | None:
    """What the room, or the vehicle, lacks for the line that comes closest.

    None where some line fits, and where none meets the other rules either. Looked at are the lines
    that take least floor and those that cost least, `MOST_ASKED` of each: their shortages are
    exact, and another line may lack less.
    """
    if study.room is None or study.feasible:
        return None
    aside = study.varied(without=study.without | SUPERSEDED | {FLOOR_PLAN})
    closest: NoPlan | None = None
    for view in VIEWS_ASKED:
        for found in islice(aside.found(view), MOST_ASKED):
            stations = stations_of(found)
            why = place(stations, study.inquiry)
            if isinstance(why, NoPlan) and (
                closest is None or why.short_by_mm < closest.short_by_mm
            ):
                names = {s.function: s.option.equipment.name for s in stations}
                title = ", ".join(names[name] for name in ("unload", "lower", "fill"))
                where = "goes onto the vehicle" if "vehicle" in why.dimension else "fits the room"
                closest = replace(
                    why,
                    sentence=f"no layout {where}: of those looked at, {title.lower()} comes "
                    f"closest, and {why.sentence}",
                )
    return closest
