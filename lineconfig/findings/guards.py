"""Guards: how far a guard stands from the moving parts, and the floor that this takes."""

from __future__ import annotations

from dataclasses import dataclass

from lineconfig.assess.cautions import Caution
from lineconfig.assess.guarding import GuardingDistance, us_distance
from lineconfig.connect.stations import guard_distance, guard_floor_m2, times_s
from lineconfig.layout import Layout
from lineconfig.rounding import mm_text

DISTANCE_BASIS = "ISO 13855:2010, from memory; stopping and response times of the catalogue"


@dataclass(frozen=True, slots=True)
class GuardFinding:
    """One guard and its distance from the hazard."""

    station: int
    """Index of the guard among the stations."""
    device: str
    stopping_s: float | None
    """Of the unloader, from the stop signal to standstill; None where not stated. [s]"""
    response_s: float
    """Of the device and the control. [s]"""
    resolution_mm: float | None
    iso: GuardingDistance | None
    """None where the stopping time is not known."""
    us: GuardingDistance | None
    """For comparison, and for light curtains only."""
    kept_free_mm: float
    """Clearance that the guard's class keeps free in front of it. [mm]"""
    area_m2: float
    """Floor between the guard and the hazard, as wide as the guard; part of the line's. [m2]"""

    @property
    def floor_mm(self) -> float | None:
        """Depth of floor between the guard and the hazard. [mm]"""
        return None if self.iso is None else self.iso.distance_mm

    @property
    def beyond_mm(self) -> float | None:
        """What of it the clearance does not cover. [mm]"""
        return None if self.iso is None else max(0.0, self.iso.distance_mm - self.kept_free_mm)


def guards_of(layout: Layout) -> tuple[GuardFinding, ...]:
    """The guards of a layout; none where nothing needs one."""
    found = []
    for place, station in enumerate(layout.stations):
        equipment = station.option.equipment
        guarding = equipment.guarding
        if guarding is None:
            continue
        unload = layout.station("unload").option.equipment
        response_s, stopping_s = times_s(guarding, unload.stopping_min or 0.0)
        iso = guard_distance(equipment, unload)
        curtain = iso is not None and guarding.device == "light-curtain"
        found.append(
            GuardFinding(
                station=place,
                device=guarding.device,
                stopping_s=None if iso is None else stopping_s,
                response_s=response_s,
                resolution_mm=None
                if guarding.resolution_mm is None
                else float(guarding.resolution_mm),
                iso=iso,
                us=us_distance(round(stopping_s + response_s, 3)) if curtain else None,
                kept_free_mm=float(equipment.clearance.infeed_end_mm)
                if equipment.clearance
                else 0.0,
                area_m2=guard_floor_m2(equipment, unload),
            )
        )
    return tuple(found)


def guard_cautions(layout: Layout, guards: tuple[GuardFinding, ...]) -> list[Caution]:
    """What the distances call for."""
    return [_caution(layout, guard) for guard in guards]


def _caution(layout: Layout, guard: GuardFinding) -> Caution:
    name = layout.stations[guard.station].option.equipment.name
    if guard.iso is None:
        text = f"{name}: the unloader's stopping time is not stated, so the distance is open."
        return Caution("guard-distance", text, "ISO 13855:2010, from memory")
    text = (
        f"{name}: at least {mm_text(guard.iso.distance_mm)} mm from the moving parts "
        f"({guard.iso.formula})"
    )
    if guard.beyond_mm:
        text += f", {mm_text(guard.beyond_mm)} mm beyond the clearance that is kept free there"
    station = layout.stations[guard.station]
    guarding = station.option.equipment.guarding
    if guarding is not None and guarding.device == "interlocked-doors":
        leaf_mm = station.width_mm / guarding.leaves
        text += (
            f". Its {guarding.leaves} leaves swing {mm_text(leaf_mm)} mm out from "
            "there: that floor is kept free in the plan, and a pallet waits beyond it"
        )
    text += (
        ". The stopping time measured on the machine decides, and reaching over, under and round "
        "the guard is a matter of its own."
    )
    return Caution("guard-distance", text, DISTANCE_BASIS)
