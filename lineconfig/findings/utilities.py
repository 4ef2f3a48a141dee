"""Utilities: what each station draws, all of them together, and the site beside it."""

from __future__ import annotations

from dataclasses import dataclass

from lineconfig.assess.cautions import Caution
from lineconfig.assess.utilities import apparent_kva, compressor_kw, line_amperes, motor_size_kw
from lineconfig.choose.inquiry import Inquiry
from lineconfig.layout import Layout, Station
from lineconfig.rounding import amperes_text


@dataclass(frozen=True, slots=True)
class StationUse:
    """What one station draws."""

    station: int
    power_kw: float
    """Connected. [kW]"""
    average_kw: float
    """While the line runs. [kW]"""
    phases: int
    water_l_min: float
    """At the most. [l/min]"""
    air_l_min: float
    """Free air at the most. [l/min]"""


@dataclass(frozen=True, slots=True)
class Electrical:
    """The line at the site's connection."""

    volts: float
    phases: int
    line_a: float
    """The line alone. [A]"""
    compressor_a: float
    """A compressor for its air, where the site has none. [A]"""
    site_a: float
    """What the site carries. [A]"""

    @property
    def together_a(self) -> float:
        """Line and compressor. [A]"""
        return self.line_a + self.compressor_a


@dataclass(frozen=True, slots=True)
class Compressor:
    """The compressor that the line's air implies."""

    air_l_min: float
    """Every user at its most. [l/min]"""
    drawn_kw: float
    motor_kw: float
    """The next preferred motor size. [kW]"""
    on_site: bool
    """Whether the site states air, so that no compressor comes with the line."""


@dataclass(frozen=True, slots=True)
class UtilityFinding:
    """The utilities of a layout."""

    stations: tuple[StationUse, ...]
    """Those that draw anything, in flow order."""
    connected_kw: float
    at_once_kw: float
    """Connected power x simultaneity. [kW]"""
    average_kw: float
    at_once_kva: float
    simultaneity: float
    power_factor: float
    electrical: Electrical | None
    """None where the brief states no connection."""
    compressor: Compressor | None
    """None where nothing uses air."""
    water_l_min: float
    site_water_l_min: float | None
    air_l_min: float
    site_air_l_min: float | None


def utilities_of(inquiry: Inquiry, layout: Layout) -> UtilityFinding:
    """The utilities of a layout."""
    habits, site = inquiry.habits, inquiry.need.brief.site
    rows = tuple(
        _use(place, station, float(habits.motor_load))
        for place, station in enumerate(layout.stations)
        if station.power_kw or station.water_l_min or station.air_l_min
    )
    connected_kw = sum(row.power_kw for row in rows)
    at_once_kw = connected_kw * habits.simultaneity
    power_factor = float(habits.power_factor)
    compressor = _compressor(inquiry, sum(row.air_l_min for row in rows))
    electrical = None
    if site.power is not None:
        power = site.power
        extra_kw = 0.0
        if compressor is not None and not compressor.on_site:
            extra_kw = compressor.drawn_kw
        electrical = Electrical(
            volts=power.volts,
            phases=power.phases,
            line_a=line_amperes(at_once_kw, power.volts, power.phases, power_factor),
            compressor_a=line_amperes(extra_kw, power.volts, power.phases, power_factor),
            site_a=power.amperes,
        )
    return UtilityFinding(
        stations=rows,
        connected_kw=connected_kw,
        at_once_kw=at_once_kw,
        average_kw=sum(row.average_kw for row in rows),
        at_once_kva=apparent_kva(at_once_kw, power_factor),
        simultaneity=float(habits.simultaneity),
        power_factor=power_factor,
        electrical=electrical,
        compressor=compressor,
        water_l_min=sum(row.water_l_min for row in rows),
        site_water_l_min=None if site.water_l_min is None else float(site.water_l_min),
        air_l_min=sum(row.air_l_min for row in rows),
        site_air_l_min=None if site.air_l_min is None else float(site.air_l_min),
    )


def _use(place: int, station: Station, motor_load: float) -> StationUse:
    utilities = station.option.equipment.utilities
    return StationUse(
        station=place,
        power_kw=station.power_kw,
        average_kw=station.power_kw * motor_load,
        phases=utilities.phases if utilities else 1,
        water_l_min=station.water_l_min,
        air_l_min=station.air_l_min,
    )


def _compressor(inquiry: Inquiry, air_l_min: float) -> Compressor | None:
    if air_l_min <= 0.0:
        return None
    tariffs = inquiry.catalog.economics.tariffs
    drawn_kw = compressor_kw(air_l_min, tariffs.specific_air_power_kw_per_m3_min)
    on_site = inquiry.need.brief.site.air_l_min is not None
    return Compressor(air_l_min, drawn_kw, motor_size_kw(drawn_kw), on_site)


def utility_cautions(finding: UtilityFinding) -> list[Caution]:
    """A compressor that the site's connection does not carry besides the line."""
    electrical = finding.electrical
    if electrical is None or electrical.together_a <= electrical.site_a:
        return []
    text = (
        f"The line draws about {amperes_text(electrical.line_a)} A and a compressor for its air "
        f"{amperes_text(electrical.compressor_a)} A more, {amperes_text(electrical.together_a)} A "
        f"together; the site carries {amperes_text(electrical.site_a)} A. An electrician settles "
        "the connection by the machines' nameplates."
    )
    return [Caution("compressor-power", text, "three-phase power; economics.yaml: habits, tariffs")]
