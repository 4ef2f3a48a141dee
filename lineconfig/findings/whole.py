"""Every finding of one layout, and the cautions that follow from them."""

from __future__ import annotations

from dataclasses import dataclass

from lineconfig.assess.cautions import Caution
from lineconfig.choose.inquiry import Inquiry
from lineconfig.findings.guards import GuardFinding, guard_cautions, guards_of
from lineconfig.findings.lifts import Lifting, lifting_cautions, lifting_of
from lineconfig.findings.places import Places
from lineconfig.findings.product import (
    HeatFinding,
    PressureFinding,
    heat_of,
    pressure_of,
    product_cautions,
)
from lineconfig.findings.reach import (
    PlatformFinding,
    ReachFinding,
    platforms_of,
    reach_cautions,
    reach_of,
)
from lineconfig.findings.rinse import RinseFinding, rinse_cautions, rinse_of
from lineconfig.layout import Layout


@dataclass(frozen=True, slots=True)
class Findings:
    """What a layout does to the people at it and to the product."""

    lifting: Lifting
    reach: tuple[ReachFinding, ...]
    platforms: tuple[PlatformFinding, ...]
    guards: tuple[GuardFinding, ...]
    rinse: RinseFinding | None
    pressure: PressureFinding | None
    heat: HeatFinding | None
    cautions: tuple[Caution, ...]
    """Those that follow from the figures."""


def findings_of(inquiry: Inquiry, layout: Layout) -> Findings:
    """Work out every finding of a layout."""
    places = Places(inquiry, layout)
    lifting, reach, guards = lifting_of(places), reach_of(places), guards_of(layout)
    rinse, pressure, heat = (
        rinse_of(inquiry, layout),
        pressure_of(inquiry),
        heat_of(inquiry, layout),
    )
    cautions = (
        *lifting_cautions(layout, lifting),
        *reach_cautions(places, reach),
        *guard_cautions(layout, guards),
        *rinse_cautions(inquiry, rinse),
        *product_cautions(inquiry, pressure, heat),
    )
    return Findings(lifting, reach, platforms_of(places), guards, rinse, pressure, heat, cautions)
