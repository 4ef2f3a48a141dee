"""Records: recommendations and layouts as plain data for `--json`, as the contract names them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from typing import Any

from lineconfig import __version__
from lineconfig.choose.inquiry import Inquiry
from lineconfig.demand import demand_of, shortfalls
from lineconfig.explain import ClassAnswer, NoLayout
from lineconfig.hazards import LOCAL_CODES, layout_cautions
from lineconfig.layout import Layout, Station
from lineconfig.need_reading import brief_as_read
from lineconfig.present.money import first_cost_record, hours_record, range_record
from lineconfig.present.placement import floor_record
from lineconfig.present.stacks import stacks_record
from lineconfig.present.why import class_record, nothing_record, opening_record
from lineconfig.rank import Ranked, Recommendation
from lineconfig.session import Study

OFF_THE_FLOW = frozenset({"guard", "convey"})
"""Stations that cans do not pass one after the other."""


def _by_format(study: Study, values: Sequence[float]) -> dict[str, float | None]:
    return {
        fmt.id: round(value, 3) if math.isfinite(value) else None
        for fmt, value in zip(study.need.formats, values, strict=True)
    }


def _mm(value: float | None) -> float | None:
    return None if value is None else round(value, 1)


def station_record(study: Study, station: Station) -> dict[str, Any]:
    """One station."""
    return {
        "function": station.function,
        "class": station.option.id,
        "name": station.option.equipment.name,
        "quantity": round(station.quantity, 2),
        "formats": [fmt.id for fmt in study.need.formats],
        "existing": station.option.owned,
        "first_cost": range_record(station.first_cost),
        "change_parts": [
            {
                "part": parts.part,
                "count": parts.count,
                "for": list(parts.serves),
                "price": range_record(parts.price),
            }
            for parts in station.parts
        ],
        "size_mm": {
            "length": _mm(station.length_mm),
            "width": _mm(station.width_mm),
            "height": _mm(station.height_mm),
        },
        "infeed_mm": _mm(station.infeed_mm),
        "discharge_mm": _mm(station.discharge_mm),
        "rated_cpm": _by_format(study, station.rated_cpm),
    }


def connections(layout: Layout) -> list[list[int]]:
    """Pairs of stations between which cans pass, by index."""
    flow = [
        index
        for index, station in enumerate(layout.stations)
        if station.function not in OFF_THE_FLOW
    ]
    return [list(pair) for pair in itertools.pairwise(flow)]


def layout_record(study: Study, layout: Layout, ranked: Ranked | None = None) -> dict[str, Any]:
    """One layout with every figure."""
    main = study.need.formats.index(study.need.main_format)
    speed, plan, money = layout.speed, layout.heights, layout.money
    rinse = next((s for s in layout.stations if s.function == "rinse"), None)
    short = shortfalls(study.need, speed)
    changeovers = {
        station.option.id: round(station.changeover_min, 2)
        for station in layout.stations
        if station.changeover_min
    }
    return {
        "rank": ranked.rank if ranked else None,
        "id": layout.id,
        "title": layout.title,
        "kind": layout.family,
        "reason": ranked.reason if ranked else None,
        "drawbacks": list(ranked.drawbacks) if ranked else None,
        "stations": [station_record(study, station) for station in layout.stations],
        "connections": connections(layout),
        "speed_cpm": {
            "rated": round(speed.rated[main], 3),
            "effective": round(speed.effective[main], 3),
            "lower_bound": round(speed.lower[main], 3),
            "upper_bound": round(speed.upper[main], 3),
            "by_format": {
                fmt.id: {
                    "rated": round(speed.rated[i], 3),
                    "effective": round(speed.effective[i], 3),
                    "lower_bound": round(speed.lower[i], 3),
                    "upper_bound": round(speed.upper[i], 3),
                    "needed": round(fmt.needed_cpm, 3),
                    "below_need": short[i],
                }
                for i, fmt in enumerate(study.need.formats)
            },
        },
        "heights_mm": {
            "filler_infeed": _mm(layout.infeed_mm),
            "unload_deck": _mm(plan.deck_mm),
            "drop": _mm(plan.drop_mm),
            "frame_top": _mm(plan.top_mm),
            "highest_point": _mm(layout.highest.height_mm),
            "ceiling_spare": _mm(study.inquiry.ceiling_mm - layout.highest.height_mm),
        },
        "highest": {"station": layout.highest.station, "what": layout.highest_name},
        "pallet_layers_at_once": plan.layers_at_once[main],
        "pallet_layers_by_format": dict(
            zip((fmt.id for fmt in study.need.formats), plan.layers_at_once, strict=True)
        ),
        "stack_by_format": stacks_record(study, layout),
        "intervals_min": {
            "layer": round(layout.layer_interval_min[main], 3),
            "pallet": round(layout.pallet_interval_min[main], 3),
            "unloader_stands": round(layout.change.standing_min, 3),
            "table_carries": round(layout.carried_min, 3),
            "by_format": {
                fmt.id: {
                    "layer": round(layout.layer_interval_min[i], 3),
                    "pallet": round(layout.pallet_interval_min[i], 3),
                }
                for i, fmt in enumerate(study.need.formats)
            },
        },
        "crew": {
            "people": layout.crew.people,
            "posts": [
                {
                    "stations": sorted(post.stations),
                    "workload": round(post.workload, 4),
                    "always": post.always,
                }
                for post in layout.crew.posts
            ],
        },
        "first_cost": range_record(money.first_cost),
        "first_cost_items": first_cost_record(study, layout),
        "annual_cost": {heading: round(cost, 2) for heading, cost in money.annual.items()},
        "life_cycle_cost": range_record(money.life_cycle_cost),
        "cost_per_1000_cans": round(money.cost_per_1000_cans, 4),
        "payback_years": _years(ranked.payback_years) if ranked else None,
        "net_present_value": round(ranked.net_present_value, 2) if ranked else None,
        "hours_per_year": hours_record(study, layout),
        "floor": floor_record(study, layout),
        "rinse": rinse.option.equipment.medium if rinse else "none",
        "changeover_min": {
            "line": round(layout.changeover_min, 2),
            "person_minutes": round(layout.changeover_person_min, 2),
            "stations": changeovers,
        },
        "stays_first": ranked.stays_first if ranked else None,
        "cautions": cautions_record(study, layout),
    }


def warnings_record(study: Study) -> list[dict[str, Any]]:
    """What is odd in the input, but is taken as it stands."""
    return [{"file": note.file, "line": note.line, "text": note.text} for note in study.notes]


def cautions_record(study: Study, layout: Layout) -> list[dict[str, Any]]:
    """Every caution, the general one first, then the worst first; stations by index."""
    placed = [(item.caution, item.stations) for item in layout_cautions(study.inquiry, layout)]
    return [
        {"code": item.code, "text": item.text, "basis": item.basis, "stations": list(stations)}
        for item, stations in [(LOCAL_CODES, ()), *placed]
    ]


def _years(years: float | None) -> float | None:
    return None if years is None or not math.isfinite(years) else round(years, 2)


def no_layout_record(answer: NoLayout | None) -> dict[str, Any] | None:
    """Why nothing fits, and what would open a layout."""
    if answer is None:
        return None
    return {
        "conflict": [
            {"rule": clash.rule, "field": clash.field, "text": clash.text}
            for clash in answer.conflict
        ],
        "openings": [
            opening_record(opening, title=opening.layout.title) for opening in answer.openings
        ],
        **nothing_record(answer),
    }


def recommendation_record(study: Study, answer: Recommendation) -> dict[str, Any]:
    """The answer of `recommend --json`."""
    demand = demand_of(study.inquiry)
    return {
        "lineconfig": __version__,
        "brief": brief_as_read(study.need),
        "defaults_used": list(study.need.defaults_used),
        "warnings": warnings_record(study),
        "currency": study.need.currency,
        "speed_cpm": {
            "asked": round(demand.asked_cpm, 3),
            "by_volume": round(demand.by_volume_cpm, 3),
        },
        "view": answer.view,
        "complete": answer.complete,
        "valid_layouts": answer.valid_layouts,
        "combinations": study.combinations,
        "seconds": round(answer.seconds, 4),
        "seed": answer.seed,
        "layouts": [layout_record(study, item.layout, item) for item in answer.layouts],
        "arrangements": [layout_record(study, item.layout, item) for item in answer.arrangements],
        "no_layout": no_layout_record(answer.no_layout),
    }


def utilities_record(layout: Layout) -> dict[str, float | None]:
    """Utilities as `show --json` has them."""
    figures = layout.utilities
    return {
        "kw": round(figures.power_kw, 2),
        "amperes": None if figures.amperes is None else round(figures.amperes, 1),
        "water_l_min": round(figures.water_l_min, 2),
        "air_l_min": round(figures.air_l_min, 1),
    }


def bill_of_materials(layout: Layout) -> list[dict[str, Any]]:
    """What to buy: machines, tracks and change parts, line by line."""
    lines = []
    for station in layout.stations:
        lines.append(
            {
                "class": station.option.id,
                "item": station.option.equipment.name,
                "quantity": round(station.quantity, 2),
                "unit": "m" if station.by_length else "pieces",
                "existing": station.option.owned,
                "price": range_record(station.price),
            }
        )
        lines += [
            {
                "class": station.option.id,
                "item": f"{parts.part} ({', '.join(parts.serves)})",
                "quantity": parts.count,
                "unit": "pieces",
                "existing": False,
                "price": range_record(parts.price),
            }
            for parts in station.parts
        ]
    return lines


def inputs_record(inquiry: Inquiry) -> dict[str, Any]:
    """The numbers that a layout's figures were worked out from."""
    need, demand = inquiry.need, demand_of(inquiry)
    return {
        "asked_cpm": round(demand.asked_cpm, 3),
        "by_volume_cpm": round(demand.by_volume_cpm, 3),
        "needed_cpm": {fmt.id: round(fmt.needed_cpm, 3) for fmt in need.formats},
        "annual_cans": {fmt.id: round(fmt.annual_cans) for fmt in need.formats},
        "hours_per_year": need.available_hours,
        "changeovers_per_year": need.changeovers_per_year,
        "wage_per_h": need.wage_per_h,
        "horizon_years": float(need.horizon_years),
        "discount_rate": float(need.discount_rate),
        "carbonation_vol": need.carbonation_vol,
        "currency": need.currency,
    }


def why_record(
    study: Study, no_layout: NoLayout | None, answers: Mapping[str, ClassAnswer]
) -> dict[str, Any]:
    """The answer of `why --json`."""
    return {
        "lineconfig": __version__,
        "brief": study.need.brief.name,
        "warnings": warnings_record(study),
        "no_layout": no_layout_record(no_layout),
        "classes": {class_id: class_record(answer) for class_id, answer in answers.items()},
    }
