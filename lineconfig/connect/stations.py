"""Stations: what a section choice means in pieces, prices, work, stops, floor and utilities."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from lineconfig.assess.changeover import Shape, StationChange, worst_minutes
from lineconfig.assess.guarding import (
    GuardingDistance,
    interlocked_guard_distance,
    light_curtain_distance,
)
from lineconfig.assess.money import NOTHING, Range
from lineconfig.assess.pallets import nested_per_m2
from lineconfig.assess.platforms import platform_floor_m2
from lineconfig.catalog import (
    ChangePart,
    EquipmentClass,
    Function,
    Guarding,
    PriceRange,
    Stops,
    Task,
)
from lineconfig.choose.heights import HeightPlan, stack_layers
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.options import UNLIMITED_CPM, Option
from lineconfig.choose.sections import Scheme
from lineconfig.choose.standing import Deck, Surroundings, may_need_platform
from lineconfig.containers import Container, SupplyForm
from lineconfig.layout import BEND, CHAIN, OwnedParts, Recurring, Station

MM2_PER_M2 = 1e6
ML_PER_LITRE = 1000.0
SECONDS_PER_MIN = 60.0

SITS_ON_ANOTHER: frozenset[Function] = frozenset({"guard", "rinse", "dose", "code"})
"""Functions whose machines sit on a neighbour: no length of their own along the flow."""
FIXED_COUNTS = 2
"""As how many exponential stops a fixed one counts."""
BESIDE_THE_FLOW: frozenset[Function] = frozenset({"supply", "wrap"})
"""Functions that take floor beside the flow."""


def price_range(price: PriceRange | None) -> Range:
    """A catalogue price as a range of numbers; nothing where there is none."""
    if price is None:
        return NOTHING
    return Range(float(price.low), float(price.typical), float(price.high))


def shape_of(can: Container) -> Shape:
    """What of a container machines are set to."""
    return Shape(float(can.diameter_mm), float(can.height_mm), can.end, can.closing)


def change_of(equipment: EquipmentClass) -> StationChange:
    """What a format change takes at a class."""
    changeover = equipment.changeover
    if changeover is None:
        return StationChange(0.0, 0)
    minutes, by = float(changeover.minutes), changeover.by
    if by is None:
        return StationChange(minutes, changeover.persons)
    return StationChange(
        minutes,
        changeover.persons,
        always_min=float(by.any_min or 0.0),
        by_min=(
            ("diameter", float(by.diameter_min or 0.0)),
            ("height", float(by.height_min or 0.0)),
            ("end", float(by.end_min or 0.0)),
            ("closing", float(by.closing_min or 0.0)),
        ),
    )


def times_s(guard: Guarding, stopping_min: float) -> tuple[float, float]:
    """Response of a guard and stopping of the machine behind it [s].

    In whole milliseconds: the times were written so.
    """
    return (
        round(guard.response_min * SECONDS_PER_MIN, 3),
        round(stopping_min * SECONDS_PER_MIN, 3),
    )


def guard_distance(guard: EquipmentClass, unload: EquipmentClass) -> GuardingDistance | None:
    """How far a guard stands from the moving parts of the unloader behind it.

    None for a class that is no guard, and where the unloader's stopping time is not stated.
    """
    guarding = guard.guarding
    if guarding is None or unload.stopping_min is None:
        return None
    whole_s = round(sum(times_s(guarding, unload.stopping_min)), 3)
    if guarding.device == "light-curtain":
        assert guarding.resolution_mm is not None
        return light_curtain_distance(whole_s, float(guarding.resolution_mm))
    return interlocked_guard_distance(whole_s)


def guard_floor_m2(guard: EquipmentClass, unload: EquipmentClass) -> float:
    """Floor between a guard and the moving parts behind it, as wide as the guard [m2]."""
    distance = guard_distance(guard, unload)
    if distance is None or guard.size is None:
        return 0.0
    return distance.distance_mm * guard.size.width_mm / MM2_PER_M2


def platform_beside_m2(equipment: EquipmentClass, platform_mm: float) -> float:
    """Floor that a platform of this height takes beside a machine, its clearance apart [m2]."""
    size, clearance = equipment.size, equipment.clearance
    if size is None:
        return 0.0
    kept_free_mm = max(clearance.left_mm, clearance.right_mm) if clearance else 0.0
    return platform_floor_m2(platform_mm, float(size.length_mm), float(kept_free_mm))


def belt_area_m2(inquiry: Inquiry, dwell_min: float) -> float:
    """Belt of a tunnel that keeps up with the needed speed of every format [m2].

    Speed x dwell / containers per square metre, for the format that asks for most.
    """
    overspeed = 1 + float(inquiry.habits.overspeed)
    return max(
        fmt.needed_cpm * overspeed * dwell_min / nested_per_m2(fmt.container.diameter_mm)
        for fmt in inquiry.need.formats
    )


_SERVES: dict[str, Callable[[Container], str]] = {
    "format": lambda can: can.id,
    "diameter": lambda can: f"{can.diameter_mm:g} mm",
    "height": lambda can: f"{can.height_mm:g} mm",
    "end": lambda can: can.end,
    "closing": lambda can: can.closing,
}


def owned_parts(
    parts: Sequence[ChangePart], containers: Sequence[Container], *, owned: bool
) -> tuple[OwnedParts, ...]:
    """The change parts to own for these containers, one set for each distinct need."""
    result = []
    for part in parts:
        served = [can for can in containers if not part.closings or can.closing in part.closings]
        needs = tuple(dict.fromkeys(_SERVES[part.for_each](can) for can in served))
        count = len(needs) - (1 if needs and (part.first_included or owned) else 0)
        if count > 0:
            result.append(OwnedParts(part.part, count, needs, price_range(part.price) * count))
    return tuple(result)


def cans_between(
    task: Task,
    container: Container,
    form: SupplyForm,
    loads: int,
    cans_per_case: int,
    cases_per_full_pallet: int,
) -> float:
    """Cans that pass from one time a task comes up to the next."""
    pallet = container.pallet
    layers = pallet.layers if form == "full-pallet" else pallet.half_stack_layers
    match task.every:
        case "pallet":
            return layers * pallet.per_layer
        case "load":
            return layers * pallet.per_layer / loads
        case "layer":
            return pallet.per_layer
        case "case":
            return cans_per_case
        case "full-pallet-out":
            return cans_per_case * cases_per_full_pallet
        case "cans" | "handful":
            assert task.cans is not None
            return task.cans


def halts_of(
    faults: Stops | None, tasks: Sequence[Recurring], answer_min: float
) -> tuple[float, float]:
    """How often a station stands for each can, and for how long [1/can, min/can].

    The speed takes stops for exponential, which are as long again on average whenever one looks. A
    change of pallet takes a fixed time, of which half is left on average: it counts as two stops of
    half its length, so that its standstill and what is left of it are both kept.

    Parameters
    ----------
    faults : its short stops
    tasks : its work with one format; for some of it the station stands
    answer_min : how long somebody takes to come where they must [min]
    """
    often = lost = 0.0
    for task in tasks:
        if task.standing_min > 0:
            often += FIXED_COUNTS / task.every_cans
            lost += (task.standing_min + answer_min * (task.minutes > 0)) / task.every_cans
    if faults is not None and faults.minutes > 0:
        often += 1 / faults.every_cans
        lost += (faults.minutes + answer_min * faults.person) / faults.every_cans
    return often, lost


@dataclass(frozen=True, slots=True)
class Slot:
    """One function of a section scheme and the stations that could serve it."""

    function: Function
    stations: tuple[Station, ...]


@dataclass(frozen=True, slots=True)
class LeastChain:
    """What some joints come to at the least."""

    pieces: float
    length_mm: float
    area_m2: float
    price: Range
    power_kw: float
    upkeep: float
    """A year [currency]."""


def least_chain(inquiry: Inquiry, joints: int, *, may_bend: bool = False) -> LeastChain:
    """The straight chain of so many joints, each as short as it can be.

    Where a plan may put a bend in place of a joint's straight chain (`may_bend`), the lesser of the
    two in every respect: what no plan undercuts.
    """
    classes, habits = inquiry.catalog.classes, inquiry.habits
    made: list[LeastChain] = []
    for equipment in (classes[CHAIN], classes[BEND])[: 2 if may_bend else 1]:
        size, utilities = equipment.size, equipment.utilities
        assert size is not None
        length_mm = float(size.length_mm if made else habits.joint_mm) * joints
        pieces = length_mm / size.length_mm
        price = price_range(equipment.price) * pieces
        made.append(
            LeastChain(
                pieces,
                length_mm,
                length_mm * size.width_mm / MM2_PER_M2,
                price,
                float(utilities.power_kw) * pieces if utilities else 0.0,
                float(equipment.upkeep or 0.0) * price.typical,
            )
        )
    straight, least = made[0], made[-1]
    return LeastChain(
        straight.pieces,
        straight.length_mm,
        min(straight.area_m2, least.area_m2),
        min(straight.price, least.price, key=lambda price: price.typical),
        min(straight.power_kw, least.power_kw),
        min(straight.upkeep, least.upkeep),
    )


class StationBuilder:
    """Builds the stations of section schemes; equal stations are built once.

    `may_bend` says that the lines are put into a room, where chain may turn.
    """

    def __init__(self, inquiry: Inquiry, *, may_bend: bool = False) -> None:
        self.inquiry = inquiry
        self.may_bend = may_bend
        self._shapes = [shape_of(can) for can in inquiry.containers]
        self._changes: dict[str, tuple[float, int]] = {}
        self._platforms: dict[str, bool] = {}
        self._made: dict[Any, Station] = {}
        self._slots: dict[Any, Slot] = {}

    def slots(self, scheme: Scheme) -> tuple[Slot, ...]:
        """The slots of one scheme in flow order, joints last."""
        made = [
            self._slot(scheme, function, options) for function, options in scheme.options.items()
        ]
        if scheme.section == "filling" and not scheme.ports["rail"]:
            # Behind the dryer, or on the case: the coder is minded from the end of the section.
            made = [*made[1:], made[0]]
        joints = sum(
            1
            for slot in made
            if slot.stations[0].length_mm > 0 and slot.function not in BESIDE_THE_FLOW
        )
        if scheme.section == "filling":
            joints -= 1  # the empties side ends at the filler itself
        if scheme.section != "empties" and joints > 0:
            made.append(Slot("convey", (self._joints(joints),)))
        return tuple(made)

    def _change(self, equipment: EquipmentClass) -> tuple[float, int]:
        """Minutes of the longest format change at a class, and the persons that it takes."""
        if equipment.id not in self._changes:
            change = change_of(equipment)
            self._changes[equipment.id] = worst_minutes(change, self._shapes), change.persons
        return self._changes[equipment.id]

    def _on_platform(self, equipment: EquipmentClass) -> bool:
        """Whether any work at a class may be done from a platform."""
        if equipment.id not in self._platforms:
            self._platforms[equipment.id] = may_need_platform(equipment)
        return self._platforms[equipment.id]

    def _slot(self, scheme: Scheme, function: Function, options: tuple[Option, ...]) -> Slot:
        """One slot, made once: many schemes have it in common."""
        plan, context = self._context(scheme, function)
        deck = None
        if scheme.section == "empties" and any(
            self._on_platform(option.equipment) for option in options
        ):
            deck = self._deck(scheme)
        key = (function, options, context, deck)
        if key not in self._slots:
            stations = []
            for option in options:
                around = deck if self._on_platform(option.equipment) else None
                made = (option.id, option.owned, context, around)
                if made not in self._made:
                    self._made[made] = self._build(scheme, function, option, plan)
                stations.append(self._made[made])
            self._slots[key] = Slot(function, tuple(stations))
        return self._slots[key]

    def _context(
        self, scheme: Scheme, function: Function
    ) -> tuple[HeightPlan | None, tuple[Any, ...]]:
        """The heights that stations of a function are built to, and all that they depend on."""
        if scheme.section != "empties":
            return None, ()
        supply, lower = scheme.first("supply"), scheme.first("lower")
        form = supply.equipment.supply_form
        if function == "rinse":
            return None, (form, lower.equipment.tracks)
        if function not in ("unload", "guard", "lower"):
            return None, (form,)
        plan = self._plan(scheme)
        context = (form, plan.loads_per_pallet)
        match function:
            case "unload":
                return plan, (*context, plan.deck_mm, plan.top_mm)
            case "guard":
                return plan, (*context, scheme.first("unload").equipment.stopping_min)
            case _:
                return plan, (*context, plan.deck_mm, scheme.ports["infeed"])

    def _plan(self, scheme: Scheme) -> HeightPlan:
        """The heights of the empties side."""
        supply, unload, lower = (scheme.first(f) for f in ("supply", "unload", "lower"))
        return self.inquiry.heights(supply, unload, lower, scheme.ports["infeed"], ceiling=True)

    def _deck(self, scheme: Scheme) -> Deck | None:
        """Where hands work on the empties side; None for another section."""
        if scheme.section != "empties":
            return None
        return Deck.of(self._plan(scheme), scheme.first("unload").equipment)

    def _platform_m2(self, scheme: Scheme, equipment: EquipmentClass) -> float:
        """Floor of the platform that a class needs here, besides its clearance."""
        if not self._on_platform(equipment):
            return 0.0
        around = Surroundings(
            self.inquiry.catalog.economics, self.inquiry.containers, self._deck(scheme)
        )
        return platform_beside_m2(equipment, around.platform_mm(equipment))

    def _build(
        self, scheme: Scheme, function: Function, option: Option, plan: HeightPlan | None
    ) -> Station:
        inquiry, equipment = self.inquiry, option.equipment
        quantity, belt_m2 = 1.0, 0.0
        rated_cpm = option.rated_cpm
        count = len(inquiry.containers)
        price = price_range(equipment.price)
        if equipment.price_per_track is not None:
            quantity = count
            price = price + price_range(equipment.price_per_track) * count
        if function == "rinse" and equipment.tracks_per_header:
            tracks = scheme.first("lower").equipment.tracks
            mounted = count if tracks and tracks.mounted == "each-format" else 1
            quantity = math.ceil(mounted / equipment.tracks_per_header)
            price = price * quantity
        if equipment.area_price is not None and equipment.dwell_min is not None:
            belt_m2 = belt_area_m2(inquiry, equipment.dwell_min)
            price = price + price_range(equipment.area_price) * belt_m2
            rated_cpm = tuple(
                min(speed, belt_m2 * nested_per_m2(can.diameter_mm) / equipment.dwell_min)
                for speed, can in zip(rated_cpm, inquiry.containers, strict=True)
            )
        upkeep = float(equipment.upkeep or 0.0) * price.typical
        if option.owned:
            price = NOTHING
        changeover = equipment.changeover
        parts = owned_parts(
            changeover.parts if changeover else [], inquiry.containers, owned=option.owned
        )
        length_mm, width_mm, height_mm, area_m2 = self._floor(function, equipment, belt_m2)
        area_m2 += self._platform_m2(scheme, equipment)
        if function == "guard":
            area_m2 += guard_floor_m2(equipment, scheme.first("unload").equipment)
        stops, utilities = equipment.stops, equipment.utilities
        infeed_mm, discharge_mm = self._ports(scheme, function, option, plan)
        changeover_min, changing = self._change(equipment)
        tasks = tuple(self._tasks(scheme, function, equipment, plan))
        called = stops.minutes / stops.every_cans if stops and stops.person else 0.0
        halts = [halts_of(stops, each, float(inquiry.habits.answer_min)) for each in tasks]
        return Station(
            function=function,
            option=option,
            quantity=quantity,
            price=price,
            parts=parts,
            rated_cpm=rated_cpm,
            minutes_per_can=tuple(
                called + sum(task.minutes / task.every_cans for task in each) for each in tasks
            ),
            stops_per_can=tuple(often for often, _ in halts),
            stop_min_per_can=tuple(lost for _, lost in halts),
            length_mm=length_mm,
            width_mm=width_mm,
            height_mm=plan.top_mm if plan and function == "unload" else height_mm,
            area_m2=area_m2,
            infeed_mm=infeed_mm,
            discharge_mm=discharge_mm,
            power_kw=float(utilities.power_kw) if utilities else 0.0,
            water_l_min=float(utilities.water_l_min) * quantity if utilities else 0.0,
            air_l_min=float(utilities.air_l_min) * quantity if utilities else 0.0,
            yearly=self._yearly(scheme, function, equipment, upkeep),
            changeover_min=changeover_min,
            changeover_person_min=changeover_min * changing,
            tasks=tasks,
        )

    def _tasks(
        self,
        scheme: Scheme,
        function: Function,
        equipment: EquipmentClass,
        plan: HeightPlan | None,
    ) -> Iterator[tuple[Recurring, ...]]:
        """The station's work by format."""
        containers, habits = self.inquiry.containers, self.inquiry.habits
        forms: Sequence[SupplyForm] = ["full-pallet"] * len(containers)
        if scheme.section == "empties":
            forms = self.inquiry.forms(scheme.first("supply"))
        for index, (can, form) in enumerate(zip(containers, forms, strict=True)):
            loads = plan.loads_per_pallet[index] if plan else 1
            work = [
                Recurring(
                    float(
                        cans_between(
                            task, can, form, loads,
                            habits.cans_per_case, habits.cases_per_full_pallet,
                        )
                    ),
                    float(task.minutes),
                    float(task.standing_min or 0.0),
                )
                for task in equipment.attendance.tasks
                if task.minutes or task.standing_min
            ]  # fmt: skip
            split_min = float(habits.split_pallet_minutes) * (loads - 1)
            if function == "unload" and split_min > 0:
                cans = stack_layers(can, form) * can.pallet.per_layer
                work.append(Recurring(float(cans), split_min))
            yield tuple(work)

    def _floor(
        self, function: Function, equipment: EquipmentClass, belt_m2: float
    ) -> tuple[float, float, float, float]:
        size, clearance = equipment.size, equipment.clearance
        if size is None:
            return 0.0, 0.0, 0.0, 0.0
        length_mm, width_mm = float(size.length_mm), float(size.width_mm)
        if belt_m2:
            length_mm += belt_m2 * MM2_PER_M2 / width_mm
        if function in SITS_ON_ANOTHER:
            return 0.0, width_mm, float(size.height_mm), 0.0
        across_mm, along_mm = width_mm, length_mm
        if clearance is not None:
            across_mm += clearance.left_mm + clearance.right_mm
            if function in BESIDE_THE_FLOW:
                along_mm += clearance.infeed_end_mm + clearance.discharge_end_mm
        return length_mm, width_mm, float(size.height_mm), across_mm * along_mm / MM2_PER_M2

    def _ports(
        self,
        scheme: Scheme,
        function: Function,
        option: Option,
        plan: HeightPlan | None,
    ) -> tuple[float | None, float | None]:
        heights = option.equipment.heights
        infeed_mm = heights.infeed_mm.least if heights.infeed_mm else None
        discharge_mm = heights.discharge_mm.least if heights.discharge_mm else None
        if function == "unload" and plan:
            return infeed_mm, plan.deck_mm
        if function == "lower" and plan:
            return plan.deck_mm, scheme.ports["infeed"]
        if function == "fill":
            return option.infeed_mm, discharge_mm
        return infeed_mm, discharge_mm

    def _yearly(
        self, scheme: Scheme, function: Function, equipment: EquipmentClass, upkeep: float
    ) -> dict[str, float]:
        need, tariffs = self.inquiry.need, self.inquiry.catalog.economics.tariffs
        cans = need.annual_cans
        litres = sum(
            fmt.annual_cans * fmt.container.volume_ml / ML_PER_LITRE for fmt in need.formats
        )
        costs = {
            "upkeep": upkeep,
            "consumables": float(equipment.consumables_per_1000 or 0.0) * cans / 1000,
            "water": equipment.water_l_per_1000 * cans / 1e6 * tariffs.water_per_m3,
            "can losses": float(equipment.can_loss or 0.0) * cans * tariffs.empties_per_1000 / 1000,
            "product losses": float(equipment.product_loss or 0.0)
            * litres
            * tariffs.product_per_litre,
        }
        if function == "supply":
            premiums = {
                "full-pallet": 0.0,
                "half-stack": float(tariffs.half_stack_premium_per_1000),
                "loose": float(tariffs.loose_premium_per_1000),
            }
            forms = self.inquiry.forms(scheme.first("supply"))
            costs["empties premium"] = sum(
                fmt.annual_cans * premiums[form] / 1000
                for fmt, form in zip(need.formats, forms, strict=True)
            )
        return {heading: cost for heading, cost in costs.items() if cost}

    def _joints(self, joints: int) -> Station:
        key = ("joints", joints)
        if key not in self._made:
            equipment = self.inquiry.catalog.classes[CHAIN]
            assert equipment.size is not None
            least = least_chain(self.inquiry, joints, may_bend=self.may_bend)
            formats = len(self.inquiry.containers)
            changeover_min, changing = self._change(equipment)
            self._made[key] = Station(
                function="convey",
                option=Option(equipment, (UNLIMITED_CPM,) * formats),
                quantity=least.pieces,
                price=least.price,
                parts=(),
                rated_cpm=(UNLIMITED_CPM,) * formats,
                minutes_per_can=(0.0,) * formats,
                stops_per_can=(0.0,) * formats,
                stop_min_per_can=(0.0,) * formats,
                length_mm=least.length_mm,
                width_mm=float(equipment.size.width_mm),
                height_mm=float(equipment.size.height_mm),
                area_m2=least.area_m2,
                infeed_mm=None,
                discharge_mm=None,
                power_kw=least.power_kw,
                water_l_min=0.0,
                air_l_min=0.0,
                yearly={"upkeep": least.upkeep},
                changeover_min=changeover_min,
                changeover_person_min=changeover_min * changing,
                tasks=((),) * formats,
            )
        return self._made[key]
