"""The plan that a drawing shows: the line placed in the client's room, or stretched out."""

from __future__ import annotations

from dataclasses import dataclass

from lineconfig.drawing.straight import straight_plan
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
    """Whether it is the arrangement between runs."""

    @property
    def packed(self) -> Drawn | None:
        """The packed-away arrangement; None for a line that is not stowed between runs."""
        if self.plan.stowed is None:
            return None
        return Drawn(self.plan.stowed, self.placed, PACKED, stowed=True)


NO_ROOM = "The brief states no room: the line is drawn stretched out."


PACKED = "Packed away between runs: modules side by side, the floor inside the door left free."


def drawn_plan(study: Study, layout: Layout) -> Drawn:
    """The plan to draw for one layout of a study."""
    plan = place(layout.stations, study.inquiry)
    if isinstance(plan, Plan):
        return Drawn(plan, placed=True, remark=" ".join(plan.notes))
    stretched = straight_plan(study.inquiry, layout)
    if plan is None:
        return Drawn(stretched, placed=False, remark=NO_ROOM)
    sentence = plan.sentence[:1].upper() + plan.sentence[1:]
    return Drawn(stretched, placed=False, remark=f"{sentence}: drawn stretched out.")
