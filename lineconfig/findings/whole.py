"""Every finding of one layout, and the cautions that follow from them."""

from __future__ import annotations

from dataclasses import dataclass

from lineconfig.assess.cautions import Caution
from lineconfig.choose.inquiry import Inquiry
from lineconfig.findings.changeover import PairChange, changeovers_of
from lineconfig.findings.guards import GuardFinding, guard_cautions, guards_of
from lineconfig.findings.lifts import Lifting, lifting_cautions, lifting_of
from lineconfig.findings.noise import Noise, noise_findings_cautions, noise_of
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
from lineconfig.findings.stores import Stores, stores_cautions, stores_of
from lineconfig.findings.utilities import UtilityFinding, utilities_of, utility_cautions
from lineconfig.layout import Layout


@dataclass(frozen=True, slots=True)
class Findings:
    """What a layout does to the people at it and to the product, and what it needs around it."""

    lifting: Lifting
    reach: tuple[ReachFinding, ...]
    platforms: tuple[PlatformFinding, ...]
    guards: tuple[GuardFinding, ...]
    rinse: RinseFinding | None
    pressure: PressureFinding | None
    heat: HeatFinding | None
    noise: Noise
    utilities: UtilityFinding
    stores: Stores
    changes: tuple[PairChange, ...]
    """Every ordered pair of formats."""
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
    noise, utilities = noise_of(inquiry, layout), utilities_of(inquiry, layout)
    stores = stores_of(inquiry, layout)
    cautions = (
        *lifting_cautions(layout, lifting),
        *reach_cautions(places, reach),
        *guard_cautions(layout, guards),
        *rinse_cautions(inquiry, rinse),
        *product_cautions(inquiry, pressure, heat),
        *noise_findings_cautions(inquiry, layout, noise),
        *utility_cautions(utilities),
        *stores_cautions(inquiry, stores),
    )
    return Findings(
        lifting=lifting,
        reach=reach,
        platforms=platforms_of(places),
        guards=guards,
        rinse=rinse,
        pressure=pressure,
        heat=heat,
        noise=noise,
        utilities=utilities,
        stores=stores,
        changes=changeovers_of(inquiry, layout),
        cautions=cautions,
    )
