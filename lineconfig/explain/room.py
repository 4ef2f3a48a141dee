"""Why nothing fits where only the room, or the vehicle, stands in the way."""

from __future__ import annotations

import math

from lineconfig.choose.rules import length_text
from lineconfig.explain import needs
from lineconfig.explain.clashes import Clash, Shortfall
from lineconfig.explain.openings import Opening, opened_by
from lineconfig.floorplan.plan import NoPlan
from lineconfig.floorplan.room import FLOOR_PLAN
from lineconfig.floorplan.why import why_no_plan
from lineconfig.session import Study

STEP_MM = 10
"""To which a side of the room is rounded up. [mm]"""


def room_conflict(study: Study) -> tuple[Clash, list[Opening]] | None:
    """What the room lacks, and the side that would open a layout; None where more is in the way.

    The opening is solved again to make sure.
    """
    why = why_no_plan(study)
    if why is None:
        return None
    if why.dimension not in ("length", "width"):
        return Clash(FLOOR_PLAN, "vehicle", why.sentence), []
    site = study.need.brief.site
    key = f"{why.dimension}_mm"
    given = site.length_mm if why.dimension == "length" else site.width_mm
    assert given is not None
    needed = math.ceil((given + why.short_by_mm) / STEP_MM) * STEP_MM
    clash = Clash(
        FLOOR_PLAN, f"site.{why.dimension}", why.sentence, Shortfall(needed, float(given), "mm")
    )
    opening = _opening(study, why, key, float(given), needed)
    return clash, [] if opening is None else [opening]


def _opening(study: Study, why: NoPlan, key: str, given: float, needed: float) -> Opening | None:
    need = needs.site_length(key)(study.need, needed)
    layout = opened_by(study, need)
    if layout is None:
        return None
    return Opening(
        f"site.{why.dimension}",
        length_text(given),
        length_text(needed),
        f"a room of {length_text(needed)} in {why.dimension}, {length_text(needed - given)} more",
        layout,
        need,
        Shortfall(needed, given, "mm"),
    )
