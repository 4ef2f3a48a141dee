"""Rinse: time over the header, time to drain, what stays in the can, and water for a thousand."""

from __future__ import annotations

from dataclasses import dataclass

from lineconfig.assess.cautions import Caution
from lineconfig.assess.tracks import (
    film_left_ml,
    inverted_times,
    line_speed_m_s,
    rinse_water_l_per_1000,
    wet_can_caution,
)
from lineconfig.choose.inquiry import Inquiry
from lineconfig.layout import Layout
from lineconfig.rounding import cpm_text

WET_MEDIA = frozenset({"water", "sanitizer"})


@dataclass(frozen=True, slots=True)
class InvertedCan:
    """One format on the inverted run at the line's rated speed, cans touching."""

    format_id: str
    speed_cpm: float
    rinse_s: float
    """Over the header. [s]"""
    drain_s: float
    """Upside down after it. [s]"""
    film_ml: float | None
    """Film on the wall after draining; None for a dry rinse, or without time to drain. [ml]"""
    water_l_per_1000: float
    """At the header's flow and rated speed. [l]"""


@dataclass(frozen=True, slots=True)
class RinseFinding:
    """The rinse of a layout."""

    station: int
    medium: str
    header_mm: float
    run_mm: float
    """Length on which containers are upside down. [mm]"""
    flow_l_min: float
    """Of the header in use. [l/min]"""
    counted_l_per_1000: float
    """What the yearly water counts for the rinse: its flow as long as cans run. [l]"""
    formats: tuple[InvertedCan, ...]


def rinse_of(inquiry: Inquiry, layout: Layout) -> RinseFinding | None:
    """The rinse of a layout; None without one, or where the catalogue has no lengths for it."""
    for place, station in enumerate(layout.stations):
        equipment = station.option.equipment
        run_mm = layout.station("lower").option.equipment.inverted_run_mm
        if station.function != "rinse" or equipment.header_mm is None or run_mm is None:
            continue
        medium = equipment.medium or "none"
        header_mm = min(equipment.header_mm, run_mm)
        flow_l_min = equipment.header_flow_l_min
        need = inquiry.need
        running_min = sum(
            fmt.annual_cans / speed_cpm
            for fmt, speed_cpm in zip(need.formats, layout.speed.effective, strict=True)
        )
        formats = []
        for can, speed_cpm in zip(inquiry.containers, layout.speed.rated, strict=True):
            speed_m_s = line_speed_m_s(speed_cpm, can.diameter_mm)
            times = inverted_times(run_mm, header_mm, speed_m_s, speed_m_s)
            drains = medium in WET_MEDIA and times.drain_s > 0.0
            formats.append(
                InvertedCan(
                    format_id=can.id,
                    speed_cpm=speed_cpm,
                    rinse_s=times.rinse_s,
                    drain_s=times.drain_s,
                    film_ml=film_left_ml(can.diameter_mm, can.height_mm, times.drain_s)
                    if drains
                    else None,
                    water_l_per_1000=rinse_water_l_per_1000(flow_l_min, speed_cpm),
                )
            )
        return RinseFinding(
            station=place,
            medium=medium,
            header_mm=float(header_mm),
            run_mm=float(run_mm),
            flow_l_min=flow_l_min,
            counted_l_per_1000=flow_l_min * running_min / need.annual_cans * 1000,
            formats=tuple(formats),
        )
    return None


def rinse_cautions(inquiry: Inquiry, rinse: RinseFinding | None) -> list[Caution]:
    """Cans that stay too wet, for the format that drains worst."""
    if rinse is None or rinse.medium not in WET_MEDIA:
        return []
    found = []
    for can, row in zip(inquiry.containers, rinse.formats, strict=True):
        caution = wet_can_caution(row.drain_s, can.diameter_mm, can.height_mm)
        if caution is not None:
            text = f"{can.name} at the rated {cpm_text(row.speed_cpm)} cpm: {caution.text}"
            film_ml = float("inf") if row.film_ml is None else row.film_ml
            found.append((film_ml, Caution(caution.code, text, caution.basis)))
    return [max(found, key=lambda pair: pair[0])[1]] if found else []
