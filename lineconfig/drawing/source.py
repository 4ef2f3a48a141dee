"""The plan that a drawing shows: the line placed in the client's room, or stretched out."""

from __future__ import annotations

from dataclasses import dataclass

from lineconfig.drawing.straight import straight_plan
from lineconfig.floorplan.packed import bed_plan
from lineconfig.floorplan.place import place
from lineconfig.floorplan.plan import Plan
from lineconfig.layout import Layout
from lineconfig.session import Study


@dataclass(frozen=True, slots=True)
class Drawn:
    """A plan and where it comes from."""

    plan: Plan
    placed: bool
    """Whether it stands in the client's room; otherwise it is stretched out on open floor."""
    remark: str
    """What a reader must know about it."""
    stowed: bool = False
    """Whether it is the arrangement between runs, or on the way."""
    bed: Plan | None = None
    """The modules of a mobile line on its vehicle."""
    on_vehicle: bool = False
    """Whether the plan shows a vehicle's bed in place of a room."""

    @property
    def packed(self) -> Drawn | None:
        """The packed-away arrangement, or the loaded vehicle; None for a line that stays."""
        if self.plan.stowed is not None:
            return Drawn(self.plan.stowed, self.placed, PACKED, stowed=True)
        if self.bed is not None:
            return Drawn(self.bed, True, LOADED, stowed=True, on_vehicle=True)
        return None


NO_ROOM = "The brief states no room: the line is drawn stretched out."


PACKED = "Packed away between runs: modules side by side, the floor inside the door left free."
LOADED = (
    "On the vehicle: modules in rows across its bed. Axle loads, lashing and the order of loading "
    "are not looked at."
)


def drawn_plan(study: Study, layout: Layout) -> Drawn:
    """The plan to draw for one layout of a study."""
    plan = place(layout.stations, study.inquiry)
    bed = bed_plan(layout.stations, study.inquiry)
    if isinstance(plan, Plan):
        return Drawn(plan, placed=True, remark=" ".join(plan.notes), bed=bed)
    stretched = straight_plan(study.inquiry, layout)
    if plan is None:
        return Drawn(stretched, placed=False, remark=NO_ROOM, bed=bed)
    sentence = plan.sentence[:1].upper() + plan.sentence[1:]
    return Drawn(stretched, placed=False, remark=f"{sentence}: drawn stretched out.", bed=bed)
