"""Product: pressure in the closed can, and what heat treatment does to it."""

from __future__ import annotations

from dataclasses import dataclass

from lineconfig.assess.carbonation import (
    CAN_RATING_KPA,
    COLDEST_C,
    LEAST_VOLUMES,
    MOST_VOLUMES,
    WARMEST_C,
    can_pressure_caution,
    carbonation_pressure_kpa,
    heated_can_caution,
)
from lineconfig.assess.cautions import Caution
from lineconfig.assess.pasteurizing import (
    Hold,
    pasteurization_caution,
    pasteurization_units,
)
from lineconfig.choose.inquiry import Inquiry
from lineconfig.connect.stations import belt_area_m2
from lineconfig.layout import Layout

RATED_KINDS = frozenset({"two-piece-can", "threaded-can-bottle"})
"""Containers that the pressure class of cans is compared with."""


@dataclass(frozen=True, slots=True)
class PressureFinding:
    """Pressure over the product in balance with its headspace."""

    volumes: float
    fill_temperature_c: float
    fill_kpa: float | None
    """Gauge pressure; None outside the published table. [kPa]"""
    warm_c: float
    """Warmest temperature of the published table. [degC]"""
    warm_kpa: float | None
    rating_kpa: float | None
    """What cans of the common class must withstand; None where no can is filled. [kPa]"""


@dataclass(frozen=True, slots=True)
class HeatFinding:
    """Heat treatment of the closed containers."""

    station: int
    temperature_c: float
    hold_min: float
    units: float
    """Pasteurization units of the hold alone. [PU]"""
    dwell_min: float | None
    """From entry to exit. [min]"""
    belt_m2: float | None
    """Belt of a tunnel; None for a cabinet. [m^2]"""
    length_mm: float
    """Of the whole station along the flow. [mm]"""


def pressure_of(inquiry: Inquiry) -> PressureFinding | None:
    """Pressure in the can; None for a still product."""
    need = inquiry.need
    volumes = float(need.carbonation_vol)
    if volumes <= 0.0:
        return None
    cans = any(can.kind in RATED_KINDS for can in inquiry.containers)
    return PressureFinding(
        volumes=volumes,
        fill_temperature_c=float(need.fill_temperature_degc),
        fill_kpa=_pressure_kpa(need.fill_temperature_degc, volumes),
        warm_c=WARMEST_C,
        warm_kpa=_pressure_kpa(WARMEST_C, volumes),
        rating_kpa=CAN_RATING_KPA if cans else None,
    )


def _pressure_kpa(temperature_c: float, volumes: float) -> float | None:
    if not (COLDEST_C <= temperature_c <= WARMEST_C and LEAST_VOLUMES <= volumes <= MOST_VOLUMES):
        return None
    # Over a cold, barely carbonated product the fit runs slightly below zero.
    return max(0.0, carbonation_pressure_kpa(temperature_c, volumes))


def heat_of(inquiry: Inquiry, layout: Layout) -> HeatFinding | None:
    """Heat treatment; None without one, or where the catalogue does not say how hot it gets."""
    for place, station in enumerate(layout.stations):
        equipment = station.option.equipment
        if station.function != "pasteurize" or equipment.heat is None:
            continue
        heat, dwell_min = equipment.heat, equipment.dwell_min
        belt = equipment.area_price is not None and dwell_min is not None
        return HeatFinding(
            station=place,
            temperature_c=float(heat.temperature_degc),
            hold_min=float(heat.hold_min),
            units=pasteurization_units([Hold(heat.hold_min, heat.temperature_degc)]),
            dwell_min=None if dwell_min is None else float(dwell_min),
            belt_m2=belt_area_m2(inquiry, dwell_min) if belt and dwell_min else None,
            length_mm=station.length_mm,
        )
    return None


def product_cautions(
    inquiry: Inquiry, pressure: PressureFinding | None, heat: HeatFinding | None
) -> list[Caution]:
    """What pressure and heat call for."""
    found: list[Caution | None] = []
    if pressure is not None and pressure.rating_kpa is not None:
        highest_kpa = max(pressure.fill_kpa or 0.0, pressure.warm_kpa or 0.0)
        found.append(can_pressure_caution(highest_kpa, rating_kpa=pressure.rating_kpa))
    if heat is not None:
        found.append(heated_can_caution(inquiry.need.carbonation_vol, heat.temperature_c))
        found.append(pasteurization_caution(heat.units))
    return [caution for caution in found if caution is not None]
