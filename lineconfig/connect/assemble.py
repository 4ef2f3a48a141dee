"""From a line found by the search to a layout with all its figures."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from dataclasses import replace

from lineconfig.assess.crew import people_needed, posts
from lineconfig.assess.money import total
from lineconfig.catalog import Function
from lineconfig.choose.heights import HeightPlan, stack_layers
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.limits import SQRT3, W_PER_KW
from lineconfig.connect.flow_order import flow_order
from lineconfig.connect.search import Found
from lineconfig.connect.stations import BESIDE_THE_FLOW
from lineconfig.connect.terms import Terms
from lineconfig.layout import (
    CrewFigures,
    FloorFigures,
    HighestPoint,
    Layout,
    MoneyFigures,
    SpeedFigures,
    Station,
    UtilityFigures,
)

ID_LENGTH = 6
FAMILY_FUNCTIONS: tuple[Function, ...] = ("unload", "lower")


def id_of(classes: tuple[str, ...]) -> str:
    """A short text that stays the same for the same classes."""
    digest = hashlib.sha256("\n".join(sorted(classes)).encode()).hexdigest()
    unload = classes[1].removesuffix("-depalletizer")
    return f"{unload}-{digest[:ID_LENGTH]}"


def kind_of_id(layout_id: str) -> str:
    """What of a layout's id names its unloader."""
    return layout_id.rpartition("-")[0]


def family_of(classes: tuple[str, ...]) -> str:
    """The kind of arrangement: the unloader and what lowers the cans."""
    return f"{classes[1]} + {classes[3]}"


def assemble(inquiry: Inquiry, terms: Terms, found: Found) -> Layout:
    """Every figure of one line.

    The totals that the search ranked by are worked out again here from the stations.
    """
    minded = tuple(
        item.station for item in found.stated if not item.station.option.equipment.absent
    )
    order = flow_order(minded)
    stations = tuple(minded[place] for place in order)
    running, need = found.running, inquiry.need
    empties = found.schemes[0]
    infeed_mm = empties.ports["infeed"]
    supply, unload, lower = (empties.first(f) for f in ("supply", "unload", "lower"))
    plan = inquiry.heights(supply, unload, lower, infeed_mm, ceiling=True)
    people_min = sum(station.changeover_person_min for station in minded)
    longest_min = max(station.changeover_min for station in minded)
    forms = inquiry.forms(supply)
    layers_min, pallets_min = [], []
    for can, form, speed in zip(inquiry.containers, forms, running.rated_cpm, strict=True):
        layers_min.append(can.pallet.per_layer / speed)
        pallets_min.append(can.pallet.per_layer * stack_layers(can, form) / speed)
    names = {station.function: station.option.equipment.name for station in stations}
    return Layout(
        id=id_of(found.order),
        family=family_of(found.order),
        title=", ".join(names[f] for f in ("unload", "lower", "fill", "pack", "palletize")),
        stations=stations,
        classes=found.order,
        infeed_mm=infeed_mm,
        heights=plan,
        highest=_highest(inquiry, stations, plan),
        speed=SpeedFigures(
            rated=running.rated_cpm,
            lower=tuple(speed.lower_cpm for speed in running.speeds),
            effective=tuple(speed.estimate_cpm for speed in running.speeds),
            upper=tuple(speed.upper_cpm for speed in running.speeds),
        ),
        crew=_crew(terms, minded, order, running.rated_cpm),
        money=_money(inquiry, terms, found),
        floor=FloorFigures(
            length_mm=sum(s.length_mm for s in minded if s.function not in BESIDE_THE_FLOW),
            widest_mm=max(s.width_mm for s in minded),
            area_m2=sum(s.area_m2 for s in minded),
        ),
        utilities=_utilities(inquiry, minded),
        changeover_min=max(longest_min, people_min / running.people) if need.formats[1:] else 0.0,
        changeover_person_min=people_min,
        layer_interval_min=tuple(layers_min),
        pallet_interval_min=tuple(pallets_min),
    )


def _highest(inquiry: Inquiry, stations: tuple[Station, ...], plan: HeightPlan) -> HighestPoint:
    """The highest of all machines, of cans where they enter and leave them, and of the empties."""
    tallest_mm = max(can.height_mm for can in inquiry.containers)
    tops = []
    for place, station in enumerate(stations):
        ports_mm = [mm for mm in (station.infeed_mm, station.discharge_mm) if mm is not None]
        cans_mm = max(ports_mm, default=-tallest_mm) + tallest_mm
        tops.append(HighestPoint(max(station.height_mm, cans_mm), place, stack=False))
    supply = next(place for place, each in enumerate(stations) if each.function == "supply")
    tops.append(HighestPoint(plan.stack_mm, supply, stack=True))
    return max(tops, key=lambda top: top.height_mm)


def _crew(
    terms: Terms,
    minded: tuple[Station, ...],
    order: tuple[int, ...],
    speeds_cpm: tuple[float, ...],
) -> CrewFigures:
    """People and posts of stations in the order in which they are minded, told in flow order."""
    workloads = tuple(
        max(each * speed for each, speed in zip(s.minutes_per_can, speeds_cpm, strict=True))
        for s in minded
    )
    always = tuple(station.always for station in minded)
    people = people_needed(workloads, always, terms.crew).people
    in_flow = {place: number for number, place in enumerate(order)}
    return CrewFigures(
        people=max(1, people),
        posts=tuple(
            replace(post, stations=tuple(in_flow[place] for place in post.stations))
            for post in posts(workloads, always, terms.crew)
        ),
        workloads=tuple(workloads[place] for place in order),
        minded=tuple(in_flow[place] for place in range(len(minded))),
    )


def _money(inquiry: Inquiry, terms: Terms, found: Found) -> MoneyFigures:
    running = found.running
    # Doing without costs something too, such as the losses of unrinsed cans.
    stations = [item.station for item in found.stated]
    equipment = total(station.first_cost for station in stations)
    first_cost = equipment * terms.buy_factor
    annual: dict[str, float] = defaultdict(float)
    annual["labour"] = terms.labour(running.run_hours, running.changeover_hours, running.people)
    annual["electricity"] = terms.electricity(
        running.run_hours, sum(map(terms.energy_kw, stations))
    )
    for station in stations:
        for heading, cost in station.yearly.items():
            annual[heading] += cost
        rinse_water = terms.rinse_water(running.run_hours, station)
        if rinse_water:
            annual["water"] += rinse_water
    present = terms.annuity * sum(annual.values())
    equivalent = first_cost.typical / terms.annuity if terms.annuity else 0.0
    cans = inquiry.need.annual_cans
    return MoneyFigures(
        equipment=equipment,
        first_cost=first_cost,
        annual=dict(annual),
        life_cycle_cost=first_cost.shifted(present),
        cost_per_1000_cans=1000 * (equivalent + sum(annual.values())) / cans if cans else 0.0,
        run_hours=running.run_hours,
        changeover_hours=running.changeover_hours,
        hours=running.hours,
    )


def _utilities(inquiry: Inquiry, stations: tuple[Station, ...]) -> UtilityFigures:
    power, habits = inquiry.need.brief.site.power, inquiry.habits
    power_kw = sum(station.power_kw for station in stations)
    amperes = None
    if power is not None:
        factor = SQRT3 if power.phases == 3 else 1.0
        drawn_w = power_kw * W_PER_KW * habits.simultaneity / habits.power_factor
        amperes = drawn_w / (factor * power.volts)
    return UtilityFigures(
        power_kw,
        sum(station.water_l_min for station in stations),
        sum(station.air_l_min for station in stations),
        amperes,
    )
