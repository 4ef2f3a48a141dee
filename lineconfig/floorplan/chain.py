"""The table-top chain of a placed line: what its bends and straights are, cost and hold.

A line that is not placed yet counts the least chain between its machines. Once it stands in the
room, every joint is as long as its plan makes it and has its bends; stations, cost, power and floor
follow from these. Setting the chain at a format change takes as long as before, and the buffer that
the speed counts on is still the least chain's: a longer one holds more, which is left as a reserve.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lineconfig.assess.money import Range
from lineconfig.catalog import EquipmentClass
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.options import Option
from lineconfig.choose.sections import SECTIONS
from lineconfig.connect.stations import BESIDE_THE_FLOW, MM2_PER_M2, least_chain, price_range
from lineconfig.floorplan.plan import Plan
from lineconfig.floorplan.shapes import Joint
from lineconfig.layout import BEND, CHAIN, Station


@dataclass(frozen=True, slots=True)
class Chain:
    """The conveyors of a plan."""

    bends: int
    straight_mm: float
    holds_cans: int
    """Cans between the machines when the chain is full."""
    price: Range
    """Of these pieces, before freight and installation [currency]."""
    least: Range
    """Of the shortest chain that could join the machines, in a straight line [currency]."""

    @property
    def beyond(self) -> float:
        """Typical price of the pieces beyond the least chain; below zero for less [currency]."""
        return self.price.typical - self.least.typical


def chain_of(plan: Plan, stations: Sequence[Station], inquiry: Inquiry) -> Chain:
    """What the conveyors of a plan come to, at the catalogue's prices."""
    straight, bend = inquiry.catalog.classes[CHAIN], inquiry.catalog.classes[BEND]
    pieces = _pieces(straight, plan.chain_mm)
    bends = len(plan.turns)
    return Chain(
        bends,
        plan.chain_mm,
        round(pieces * straight.holds_cans) + bends * bend.holds_cans,
        price_range(straight.price) * pieces + price_range(bend.price) * bends,
        least_chain(inquiry, sum(count for _, count in joints_by_section(stations))).price,
    )


def joints_by_section(stations: Sequence[Station]) -> tuple[tuple[str, int], ...]:
    """How many joints each section's conveyors are made of, in flow order; a joint belongs to the
    section of the machine that it leads to."""
    return tuple(
        (section, count)
        for section in ("filling", "packing")
        if (
            count := sum(
                station.length_mm > 0
                and station.function in SECTIONS[section]
                and station.function not in (*BESIDE_THE_FLOW, "fill")
                for station in stations
            )
        )
    )


def as_built(
    stations: Sequence[Station], joints: Sequence[Joint], inquiry: Inquiry
) -> tuple[Station, ...]:
    """The stations of a line with its conveyors as a plan has them: straight pieces, then bends.

    The same whether the line comes with its least chain or as built already.
    """
    runs = []
    start = 0
    for _, count in joints_by_section(stations):
        mine = joints[start : start + count]
        runs.append(Joint(sum(one.straight for one in mine), sum(one.bends for one in mine)))
        start += count
    made: list[Station] = []
    for place, station in enumerate(stations):
        if station.function != "convey":
            made.append(station)
        elif place == 0 or stations[place - 1].function != "convey":
            made += run_of(station, runs.pop(0), inquiry)
    return tuple(made)


def run_of(station: Station, run: Joint, inquiry: Inquiry) -> tuple[Station, ...]:
    """The conveyors of one section as built, in place of the station that stands for them.

    What it takes to set them at a format change, and the buffer that they are, stay with the first.
    """
    made: list[Station] = []
    for class_id, pieces, length_mm in (
        (CHAIN, _pieces(inquiry.catalog.classes[CHAIN], run.straight), float(run.straight)),
        (BEND, float(run.bends), None),
    ):
        if not pieces:
            continue
        equipment = inquiry.catalog.classes[class_id]
        size, utilities = equipment.size, equipment.utilities
        assert size is not None
        price = price_range(equipment.price) * pieces
        first = not made
        built = replace(
            station,
            option=Option(equipment, station.option.rated_cpm),
            quantity=pieces,
            price=price,
            length_mm=size.length_mm * pieces if length_mm is None else length_mm,
            width_mm=float(size.width_mm),
            height_mm=float(size.height_mm),
            area_m2=size.length_mm * size.width_mm / MM2_PER_M2 * pieces,
            power_kw=float(utilities.power_kw) * pieces if utilities else 0.0,
            yearly={"upkeep": float(equipment.upkeep or 0.0) * price.typical},
            changeover_min=station.changeover_min if first else 0.0,
            changeover_person_min=station.changeover_person_min if first else 0.0,
            spare_cans=station.holds_cans if first else 0,
        )
        made.append(built)
    return tuple(made)


def owners_of(stations: Sequence[Station]) -> Mapping[tuple[int, bool], int]:
    """The conveyor station of each joint, by the joint's number and whether it is a bend."""
    index: dict[tuple[int, bool], int] = {}
    places = [place for place, station in enumerate(stations) if station.function == "convey"]
    number = 0
    for _, count in joints_by_section(stations):
        if not places:
            break
        here = [places.pop(0)]
        while places and places[0] == here[-1] + 1:
            here.append(places.pop(0))
        by_class = {stations[place].option.id: place for place in here}
        for joint in range(number, number + count):
            index[joint, False] = by_class.get(CHAIN, here[0])
            index[joint, True] = by_class.get(BEND, here[0])
        number += count
    return index


def _pieces(equipment: EquipmentClass, length_mm: float) -> float:
    """How many pieces of a class a length of chain is."""
    assert equipment.size is not None
    return length_mm / equipment.size.length_mm
