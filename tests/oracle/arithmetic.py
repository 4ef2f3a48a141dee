"""The figures of one line, worked out from the catalogue and the need by arithmetic of its own.

It shares with the project only the geometry of heights (`plan_heights`) and the formula of the
effective speed, both of which are checked elsewhere. Prices, change parts, floor, work, people,
hours and money are worked out here again, so that a slip there shows.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

from lineconfig.assess.flow import Machine, line_effective_speed
from lineconfig.catalog import Catalog, EquipmentClass, PriceRange
from lineconfig.choose.heights import HeightPlan, plan_heights
from lineconfig.containers import Container
from lineconfig.need import Need

FLOW = (
    "supply", "unload", "guard", "lower", "rinse", "code", "fill", "dose", "dry", "inspect",
    "label", "pasteurize", "gather", "pack", "palletize", "wrap",
)  # fmt: skip
"""Functions in the order of the catalogue."""
EMPTIES = FLOW[:5]
FILLING = FLOW[5:12]
PACKING = FLOW[12:]
ON_ANOTHER = ("guard", "rinse", "dose", "code")
"""Their machines sit on a neighbour's frame: no floor and no length of their own."""
BEHIND = ("fill", "dry", "inspect", "label", "pasteurize", "gather", "pack", "palletize")
AHEAD_OF_FILLER = ("lower", "rinse")
"""Functions between the table of what unloads and the filler."""
"""From the filler on, the machines that cans pass through."""
BESIDE = ("supply", "wrap")
"""They stand beside the line: floor, but no length of the line."""
CHAIN, BEND = "table-top-straight", "table-top-bend"
MILLION = 1_000_000

Drawn = tuple[float, int]
"""Chain of a line as its plan draws it: straight length [mm] and bends."""
Price = tuple[float, float, float]
"""Low, typical and high [currency]."""


def price_of(price: PriceRange | None) -> Price:
    """A catalogue price as three numbers; nothing where there is none."""
    return (price.low, price.typical, price.high) if price else (0.0, 0.0, 0.0)


def added(first: Price, second: Price, times: float = 1.0) -> Price:
    """The first price and so many times the second."""
    return tuple(a + times * b for a, b in zip(first, second, strict=True))  # type: ignore[return-value]


@dataclass(frozen=True, eq=False)
class Candidate:
    """A class as it would serve one client."""

    item: EquipmentClass
    rated_cpm: tuple[float, ...]
    owned: bool
    infeed_mm: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """What one function of a line comes to."""

    class_id: str
    function: str
    equipment_price: Price
    """Machines, tracks and change parts [currency]."""
    flow_mm: float
    area_m2: float
    power_kw: float
    water_l_min: float
    air_l_min: float
    yearly: Mapping[str, float]
    minutes: tuple[float, ...]
    """People's work by format [person-min/can]."""
    always: bool
    stops: tuple[float, ...]
    """Stops per can, by format."""
    standstill: tuple[float, ...]
    """Minutes of standstill per can, by format."""
    holds: int
    change_min: float
    change_person_min: float
    rated_cpm: tuple[float, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Figures:
    """What one line comes to."""

    classes: tuple[str, ...]
    """Class ids in the order of the line."""
    first_cost: Price
    area_m2: float
    ranking: tuple[int, int]
    """First cost and floor area in whole millionths: an order does not hang on that of a sum."""
    length_mm: float
    power_kw: float
    water_l_min: float
    air_l_min: float
    rated_cpm: tuple[float, ...]
    effective_cpm: tuple[float, ...]
    workloads: tuple[float, ...]
    people: int
    run_hours: float
    changeover_hours: float
    changeover_person_min: float
    annual: Mapping[str, float]
    life_cycle_cost: float

    def key(self, view: str) -> tuple[float, float]:
        """What lines are ordered by in a view, to the cent."""
        cost = round(self.life_cycle_cost, 2)
        match view:
            case "first-cost":
                return round(self.ranking[0] / MILLION, 2), cost
            case "people":
                return float(self.people), cost
            case "floor":
                return round(self.ranking[1] / MILLION, 2), cost
            case "changeover":
                return round(self.changeover_person_min, 2), cost
            case _:
                return cost, 0.0


class Arithmetic:
    """The figures of every line of one need, catalogue in hand."""

    def __init__(self, need: Need, catalog: Catalog, without: Collection[str] = ()) -> None:
        self.need = need
        self.without = without
        """Limits that are left aside."""
        self.catalog = catalog
        self.economics = catalog.economics
        self.habits = catalog.economics.habits
        self.cans = [fmt.container for fmt in need.formats]
        rate, years = need.discount_rate, need.horizon_years
        self.annuity = years if rate == 0 else (1 - (1 + rate) ** -years) / rate
        shares = self.economics.first_cost
        self.on_top = (1 + shares.freight + shares.installation + shares.training) * (
            1 + shares.contingency
        )
        self._pieces: dict[tuple[object, ...], Piece] = {}
        self._plans: dict[tuple[object, ...], HeightPlan] = {}
        self._speeds: dict[tuple[object, ...], float] = {}

    # --- candidates --------------------------------------------------------------------------

    @cached_property
    def candidates(self) -> dict[str, dict[str, Candidate]]:
        """By function, then class id: what there is to choose from; owned things have no rival."""
        owned = {entry.function: entry for entry in self.need.brief.existing}
        found: dict[str, dict[str, Candidate]] = {}
        for function in FLOW:
            classes = [item for item in self.catalog.classes.values() if item.function == function]
            entry = owned.get(function)  # type: ignore[call-overload]
            if entry is None:
                found[function] = {item.id: self._candidate(item) for item in classes}
                continue
            machines = [item for item in classes if item.speed] or classes
            if entry.class_id is not None:
                kind = next(item for item in classes if item.id == entry.class_id)
            elif entry.speed_cpm is None:
                kind = machines[0]
            else:
                wanted = float(entry.speed_cpm)
                kind = min(
                    machines,
                    key=lambda item: abs(item.speed.most_cpm - wanted) if item.speed else math.inf,
                )
            plain = self._candidate(kind)
            factor = 1.0
            if entry.speed_cpm is not None and kind.speed:
                factor = entry.speed_cpm / kind.speed.most_cpm
            infeed = plain.infeed_mm if entry.infeed_height_mm is None else entry.infeed_height_mm
            found[function] = {
                kind.id: Candidate(kind, tuple(v * factor for v in plain.rated_cpm), True, infeed)
            }
        return found

    def _candidate(self, item: EquipmentClass) -> Candidate:
        infeed = item.heights.infeed_mm
        rated = tuple(self._rated_cpm(item, can) for can in self.cans)
        return Candidate(item, rated, False, infeed.least if infeed else None)

    def _rated_cpm(self, item: EquipmentClass, can: Container) -> float:
        speed = item.speed
        if speed is None:
            return math.inf
        limits = [float(speed.most_cpm)]
        if speed.layers_per_min:
            limits.append(speed.layers_per_min * can.pallet.per_layer)
        if speed.cases_per_min:
            limits.append(speed.cases_per_min * self.habits.cans_per_case)
        if speed.at_volume_ml and speed.volume_share is not None:
            slower = can.volume_ml / speed.at_volume_ml
            share = speed.volume_share
            limits.append(speed.most_cpm / (1 - share + share * slower))
        return min(limits)

    # --- pieces ------------------------------------------------------------------------------

    def forms(self, supply: Candidate) -> tuple[str, ...]:
        """How each format's empties come."""
        return tuple(fmt.supply or str(supply.item.supply_form) for fmt in self.need.formats)

    def plan(self, line: Mapping[str, Candidate], infeed_mm: float) -> HeightPlan:
        """The heights of a line under the client's ceiling."""
        forms = self.forms(line["supply"])
        items = [line[function].item for function in ("supply", "unload", "lower")]
        key = (*(item.id for item in items), infeed_mm, forms)
        if key not in self._plans:
            self._plans[key] = plan_heights(
                *items, infeed_mm, self.cans, forms, self.habits, self.need.brief.site.ceiling_mm,  # type: ignore[arg-type]
            )  # fmt: skip
        return self._plans[key]

    def pieces(self, line: Mapping[str, Candidate], drawn: Drawn | None = None) -> list[Piece]:
        """Every function of a line in the order of the line, chains last: as they are drawn, or the
        least there can be."""
        infeed_mm = line["fill"].infeed_mm
        assert infeed_mm is not None
        made = self.section(line, infeed_mm)
        # From the filler on, every machine in the flow hangs on the one before by a chain.
        standing = [piece for piece in made if piece.function in BEHIND and piece.flow_mm > 0]
        packing = sum(1 for piece in standing if piece.function in PACKING)
        if len(standing) > 1:
            runs = (packing > 0) + (len(standing) - packing > 1)
            made.append(self.chains(len(standing) - 1, runs, drawn))
        return made

    def section(self, line: Mapping[str, Candidate], infeed_mm: float | None) -> list[Piece]:
        """The functions that are given, in the order of the line, without chains."""
        forms, loads = ("full-pallet",) * len(self.cans), (1,) * len(self.cans)
        hanging = 1
        if "supply" in line and infeed_mm is not None:
            forms = self.forms(line["supply"])
            loads = self.plan(line, infeed_mm).loads_per_pallet
            tracks = line["lower"].item.tracks
            hanging = len(self.cans) if tracks and tracks.mounted == "each-format" else 1
        beside_m2 = {}
        if "supply" in line and infeed_mm is not None:
            beside_m2["guard"] = self.guard_m2(line["guard"], line["unload"])
            beside_m2["unload"] = self.platform_m2(line, infeed_mm)
        return [
            self.piece(function, line[function], forms, loads, hanging, beside_m2.get(function, 0))
            for function in order_of_work(line)
        ]

    def guard_m2(self, guard: Candidate, unload: Candidate) -> float:
        """Floor between a guard and the machine behind it."""
        device, stopping_min = guard.item.guarding, unload.item.stopping_min
        if device is None or stopping_min is None or guard.item.size is None:
            return 0.0
        seconds = round(60 * device.response_min, 3) + round(60 * stopping_min, 3)
        metres = 1.6 * seconds
        if device.resolution_mm is not None:
            # ISO 13855:2010, 6.2.3.
            finger_m = 8 * max(0.0, device.resolution_mm - 14) / 1000
            near_m = 2 * seconds + finger_m
            far_m = max(0.5, metres + finger_m)
            metres = max(0.1, near_m) if near_m <= 0.5 else far_m
            if device.resolution_mm > 40:
                metres = 1.6 * seconds + 0.85
        return metres * guard.item.size.width_mm / 1000

    def platform_m2(self, line: Mapping[str, Candidate], infeed_mm: float) -> float:
        """Floor of the platform at the unloader: what lies beyond its clearance, and the steps."""
        item = line["unload"].item
        plan, forms = self.plan(line, infeed_mm), self.forms(line["supply"])
        level = "keeps-layer-level" in line["supply"].item.traits
        overhead_mm = self.habits.overhead_mm
        work: list[list[float]] = []
        for can, form in zip(self.cans, forms, strict=True):
            layers = can.pallet.layers if form == "full-pallet" else can.pallet.half_stack_layers
            rise_mm = can.height_mm + can.pallet.sheet_mm
            top_mm = can.pallet.base_mm + layers * rise_mm
            # Raised as it empties, so that the top layer is level with the deck; never lowered.
            lifted_mm = float(line["supply"].item.heights.lowered_mm or 0) if level else 0.0
            pushed = "needs-level-supply" in item.traits
            whole = lifted_mm + top_mm - rise_mm <= plan.deck_mm + 1e-6
            foot_mm = lifted_mm if whole or not pushed else 0.0
            stand_mm = [lifted_mm + top_mm - k * rise_mm for k in range(1, layers + 1)]
            if level:
                stand_mm = [max(plan.deck_mm, mm) for mm in stand_mm]
            if pushed:
                stand_mm = [plan.deck_mm]
            at: dict[Any, list[float]] = {
                "deck": [plan.deck_mm],
                "deck-top": [plan.deck_mm + can.height_mm],
                "lip": [plan.deck_mm + (item.heights.lip_mm or 0)],
                "tipped": [max(plan.deck_mm, plan.hands_mm)],
                "stack-base": [can.pallet.base_mm],
                "stack-top": [max(plan.deck_mm + can.height_mm, foot_mm + top_mm)] if level
                else [top_mm],
                "stack": stand_mm,
            }  # fmt: skip
            for task in item.attendance.tasks:
                if task.platform:
                    work.append(at.get(task.hands, []))
                for lift in task.lifts:
                    if lift.platform:
                        work += [
                            [mm for mm in (start, end) if not math.isnan(mm)]
                            for start in at.get(lift.origin, [math.nan])
                            for end in at.get(lift.destination, [math.nan])
                        ]
        raised = [heights for heights in work if heights and max(heights) > overhead_mm]
        if not raised or item.size is None:
            return 0.0
        # Light standing work is done at 870 to 1170 mm, its middle 1020 mm.
        stand_mm = max(0.0, min(map(min, raised)) - 1020, max(map(max, raised)) - overhead_mm)
        if not stand_mm:
            return 0.0
        free_mm = max(item.clearance.left_mm, item.clearance.right_mm) if item.clearance else 0
        treads = -(-stand_mm // 241.3) - 1  # risers and treads of 9.5 in, 22 in wide
        beyond_m2 = item.size.length_mm * max(0.0, 762 - free_mm) / MILLION
        return beyond_m2 + max(0, treads) * 241.3 * 558.8 / MILLION

    def piece(
        self,
        function: str,
        candidate: Candidate,
        forms: Sequence[str],
        loads: Sequence[int],
        hanging: int,
        beside_m2: float = 0.0,
    ) -> Piece:
        """One function: how empties come, loads of a pallet and tracks that hang are given.

        So is the floor that it takes beside itself because of its neighbours.
        """
        item = candidate.item
        # Empties matter to the empties side, loads and tracks to some of it: the rest is shared.
        key = (item.id, forms, loads, hanging, beside_m2) if function in EMPTIES else (item.id,)
        if key in self._pieces:
            return self._pieces[key]
        formats = self.need.formats
        price, number = price_of(item.price), 1
        price = added(price, price_of(item.price_per_track), len(formats))
        if function == "rinse" and item.tracks_per_header:
            number = -(-hanging // item.tracks_per_header)
            price = added((0.0, 0.0, 0.0), price, number)
        rated = list(candidate.rated_cpm)
        belt_m2 = 0.0
        if item.area_price and item.dwell_min:
            # Rows of cans nest at d * sqrt(3) / 2.
            per_m2 = [
                1 / (math.sin(math.pi / 3) * (can.diameter_mm / 1000) ** 2) for can in self.cans
            ]
            faster = 1 + self.habits.overspeed
            belt_m2 = max(
                faster * fmt.needed_cpm * item.dwell_min / per
                for fmt, per in zip(formats, per_m2, strict=True)
            )
            price = added(price, price_of(item.area_price), belt_m2)
            rated = [
                min(speed, per * belt_m2 / item.dwell_min)
                for speed, per in zip(rated, per_m2, strict=True)
            ]
        yearly = self._yearly(item, price[1], forms if function == "supply" else ())
        parts = (0.0, 0.0, 0.0)
        for part in item.changeover.parts if item.changeover else []:
            wanted = {
                {
                    "format": can.id, "diameter": float(can.diameter_mm),
                    "height": float(can.height_mm), "end": can.end, "closing": can.closing,
                }[part.for_each]
                for can in self.cans
                if can.closing in (part.closings or [can.closing])
            }  # fmt: skip
            free = 1 if part.first_included or candidate.owned else 0
            parts = added(parts, price_of(part.price), max(0, len(wanted) - free))
        machines = (0.0, 0.0, 0.0) if candidate.owned else price
        flow_mm, area_m2 = self._floor(function, item, belt_m2)
        use, change = item.utilities, item.changeover
        halts = [
            self._halts(item, can, form, load)
            for can, form, load in zip(self.cans, forms, loads, strict=True)
        ]
        piece = Piece(
            class_id=item.id,
            function=function,
            equipment_price=added(machines, parts),
            flow_mm=flow_mm,
            area_m2=area_m2 + beside_m2,
            power_kw=use.power_kw if use else 0.0,
            water_l_min=use.water_l_min * number if use else 0.0,
            air_l_min=use.air_l_min * number if use else 0.0,
            yearly=yearly,
            minutes=tuple(
                self._minutes(function, item, can, form, load)
                for can, form, load in zip(self.cans, forms, loads, strict=True)
            ),
            always=item.attendance.always,
            stops=tuple(math.fsum(often for often, _ in each) for each in halts),
            standstill=tuple(math.fsum(often * long for often, long in each) for each in halts),
            holds=item.holds_cans,
            change_min=self.change_min(item),
            change_person_min=self.change_min(item) * change.persons if change else 0.0,
            rated_cpm=tuple(rated),
        )
        return self._pieces.setdefault(key, piece)

    def change_min(self, item: EquipmentClass) -> float:
        """Longest change at a class between any two of the formats."""
        change = item.changeover
        if change is None:
            return 0.0
        if change.by is None or len(self.cans) < 2:
            return float(change.minutes)
        by = change.by
        longest = 0.0
        for one in self.cans:
            for other in self.cans:
                if one is other:
                    continue
                minutes = by.any_min or 0.0
                if one.diameter_mm != other.diameter_mm:
                    minutes += by.diameter_min or 0.0
                if one.height_mm != other.height_mm:
                    minutes += by.height_min or 0.0
                if one.end != other.end:
                    minutes += by.end_min or 0.0
                if one.closing != other.closing:
                    minutes += by.closing_min or 0.0
                longest = max(longest, min(minutes, change.minutes))
        return longest

    def _floor(self, function: str, item: EquipmentClass, belt_m2: float) -> tuple[float, float]:
        if item.size is None or function in ON_ANOTHER:
            return 0.0, 0.0
        long_m, wide_m = item.size.length_mm / 1000, item.size.width_mm / 1000
        long_m += belt_m2 / wide_m
        flow_mm = 0.0 if function in BESIDE else 1000 * long_m
        if item.clearance:
            wide_m += (item.clearance.left_mm + item.clearance.right_mm) / 1000
            if function in BESIDE:
                long_m += (item.clearance.infeed_end_mm + item.clearance.discharge_end_mm) / 1000
        return flow_mm, long_m * wide_m

    def _cans_between(self, can: Container, form: str, loads: int) -> dict[str, float]:
        """Cans from one time to the next of what comes with pallets, layers and cases."""
        pallet, habits = can.pallet, self.habits
        layers = pallet.layers if form == "full-pallet" else pallet.half_stack_layers
        delivered = layers * pallet.per_layer
        return {
            "pallet": delivered,
            "load": delivered / loads,
            "layer": pallet.per_layer,
            "case": habits.cans_per_case,
            "full-pallet-out": habits.cans_per_case * habits.cases_per_full_pallet,
        }

    def _halts(
        self, item: EquipmentClass, can: Container, form: str, loads: int
    ) -> list[tuple[float, float]]:
        """How often a machine stands per can, and how long each time, waits for people included."""
        cans_between, answer_min = self._cans_between(can, form, loads), self.habits.answer_min
        found = []
        if item.stops and item.stops.minutes:
            wait_min = answer_min if item.stops.person else 0.0
            found.append((1 / item.stops.every_cans, item.stops.minutes + wait_min))
        for task in item.attendance.tasks:
            if task.standing_min:
                between = task.cans if task.cans is not None else cans_between[task.every]
                wait_min = answer_min if task.minutes else 0.0
                # Of a fixed time half is left on average: two exponential stops of half of it.
                found.append((2 / between, (task.standing_min + wait_min) / 2))
        return found

    def _minutes(
        self, function: str, item: EquipmentClass, can: Container, form: str, loads: int
    ) -> float:
        habits, cans_between = self.habits, self._cans_between(can, form, loads)
        minutes = 0.0
        for task in item.attendance.tasks:
            between = task.cans if task.cans is not None else cans_between[task.every]
            minutes += task.minutes / between
        if item.stops and item.stops.person:
            minutes += item.stops.minutes / item.stops.every_cans
        if function == "unload":
            minutes += (loads - 1) * habits.split_pallet_minutes / cans_between["pallet"]
        return minutes

    def _yearly(
        self, item: EquipmentClass, list_price: float, forms: Sequence[str]
    ) -> dict[str, float]:
        tariffs, cans = self.economics.tariffs, sum(f.annual_cans for f in self.need.formats)
        litres = sum(f.annual_cans * f.container.volume_ml for f in self.need.formats) / 1000
        premium = {
            "full-pallet": 0.0,
            "half-stack": tariffs.half_stack_premium_per_1000,
            "loose": tariffs.loose_premium_per_1000,
        }
        return {
            "upkeep": (item.upkeep or 0.0) * list_price,
            "consumables": cans / 1000 * (item.consumables_per_1000 or 0.0),
            "water": cans / 1000 * item.water_l_per_1000 / 1000 * tariffs.water_per_m3,
            "can losses": cans * (item.can_loss or 0.0) / 1000 * tariffs.empties_per_1000,
            "product losses": litres * (item.product_loss or 0.0) * tariffs.product_per_litre,
            "empties premium": sum(
                fmt.annual_cans / 1000 * premium[form]
                for fmt, form in zip(self.need.formats, forms or ["full-pallet"] * 99, strict=False)
            ),
        }

    def chains(self, number: int, runs: int, drawn: Drawn | None = None) -> Piece:
        """So many chains in so many runs; each run is set by itself at a changeover.

        In a straight line each as short as can be, in a plan as it is drawn there.
        """
        key = (CHAIN, number, runs, drawn)
        if key in self._pieces:
            return self._pieces[key]
        item, bend = self.catalog.classes[CHAIN], self.catalog.classes[BEND]
        assert item.size is not None and bend.size is not None
        straight_mm, bends = drawn or (number * self.habits.joint_mm, 0)
        metres = straight_mm / item.size.length_mm
        straight_price = added((0.0, 0.0, 0.0), price_of(item.price), metres)
        price = added(straight_price, price_of(bend.price), bends)
        kw = [each.utilities.power_kw if each.utilities else 0.0 for each in (item, bend)]
        none = tuple(0.0 for _ in self.cans)
        piece = Piece(
            class_id=CHAIN,
            function="convey",
            equipment_price=price,
            flow_mm=straight_mm + bends * bend.size.length_mm,
            area_m2=(
                straight_mm * item.size.width_mm + bends * bend.size.length_mm * bend.size.width_mm
            )
            / MILLION,
            power_kw=metres * kw[0] + bends * kw[1],
            water_l_min=0.0,
            air_l_min=0.0,
            yearly={
                "upkeep": (item.upkeep or 0.0) * straight_price[1]
                + (bend.upkeep or 0.0) * (price[1] - straight_price[1])
            },
            minutes=none,
            always=False,
            stops=none,
            standstill=none,
            holds=0,
            change_min=self.change_min(item),
            change_person_min=runs * self.change_min(item) * item.changeover.persons
            if item.changeover
            else 0.0,
            rated_cpm=tuple(math.inf for _ in self.cans),
        )
        return self._pieces.setdefault(key, piece)

    def millionths(self, piece: Piece) -> tuple[int, int]:
        """First cost and floor area of one piece in whole millionths."""
        return (
            round(piece.equipment_price[1] * self.on_top * MILLION),
            round(piece.area_m2 * MILLION),
        )

    # --- the line ----------------------------------------------------------------------------

    def effective_cpm(self, sections: Sequence[Sequence[Piece]], index: int) -> float:
        """Effective speed with one format: empties side, filling side, packing side."""
        # Between the buffers: what lowers and rinses stands behind the unloader's table.
        stretches = [
            [p for p in sections[0] if p.function not in AHEAD_OF_FILLER],
            [*(p for p in sections[0] if p.function in AHEAD_OF_FILLER), *sections[1]],
            list(sections[2]),
        ]
        own = [min((p.rated_cpm[index] for p in pieces), default=math.inf) for pieces in stretches]
        catch_up = 10 * max((speed for speed in own if speed < math.inf), default=1.0)
        machines = []
        for pieces, speed in zip(stretches, own, strict=True):
            speed_cpm = min(speed, catch_up)
            stops = sum(piece.stops[index] for piece in pieces)
            standstill = sum(piece.standstill[index] for piece in pieces)
            machines.append(
                Machine(speed_cpm, stops * speed_cpm, stops / standstill if standstill else 1.0)
            )
        before, after = (sum(p.holds for p in pieces) for pieces in (sections[0], sections[2]))
        if any(piece.flow_mm for piece in sections[2]):
            after += self.catalog.classes[CHAIN].holds_cans  # the chain that leads to the packer
        key = (*machines, before, after)
        if key not in self._speeds:
            self._speeds[key] = line_effective_speed(*machines, before, after).estimate_cpm
        return self._speeds[key]

    def figures(self, line: Mapping[str, Candidate], drawn: Drawn | None = None) -> Figures:
        """What a line comes to, with the least chain or with that of its plan."""
        return self.total(self.pieces(line, drawn))

    def running(
        self, sections: Sequence[Sequence[Piece]]
    ) -> tuple[tuple[float, ...], tuple[float, ...], int, float]:
        """Speeds, workloads, people and running hours of three sections, each in order."""
        need, formats = self.need, range(len(self.cans))
        pieces = [piece for section in sections for piece in section]
        rated = tuple(min(piece.rated_cpm[i] for piece in pieces) for i in formats)
        attended = [piece for piece in pieces if piece.always or any(piece.minutes)]
        workloads = tuple(
            max(minutes * speed for minutes, speed in zip(piece.minutes, rated, strict=True))
            for piece in attended
        )
        people = fewest_people(
            workloads,
            tuple(piece.always for piece in attended),
            float(self.habits.allowed_utilisation),
            self.habits.stations_per_person,
        )
        running_min = sum(
            fmt.annual_cans / self.effective_cpm(sections, i)
            for i, fmt in zip(formats, need.formats, strict=True)
        )
        run_hours = running_min / 60 * (1 + self.habits.startup_and_cleaning)
        return rated, workloads, max(1, people), run_hours

    def by_the_hour(self, pieces: Sequence[Piece], run_hours: float) -> float:
        """Yearly electricity and rinse water [currency]."""
        return self.electricity(pieces, run_hours) + self.rinse_water(pieces, run_hours)

    def rinse_water(self, pieces: Iterable[Piece], run_hours: float) -> float:
        """Yearly water of the one header that flows while cans run [currency]."""
        running_min = 60 * run_hours / (1 + self.habits.startup_and_cleaning)
        flows = [
            item.utilities.water_l_min
            for item in (self.catalog.classes[piece.class_id] for piece in pieces)
            if item.function == "rinse" and item.utilities
        ]
        return sum(flows) * running_min / 1000 * self.economics.tariffs.water_per_m3

    def electricity(self, pieces: Iterable[Piece], run_hours: float) -> float:
        """Yearly electricity, compressed air included [currency]."""
        tariffs = self.economics.tariffs
        power_kw = sum(
            piece.power_kw + piece.air_l_min / 1000 * tariffs.specific_air_power_kw_per_m3_min
            for piece in pieces
        )
        return power_kw * self.habits.motor_load * run_hours * tariffs.electricity_per_kwh

    def total(self, pieces: Sequence[Piece]) -> Figures:
        """What the pieces of a line come to, given in the order of the line."""
        need = self.need
        sections = [
            [piece for piece in pieces if piece.function in section]
            for section in (EMPTIES, FILLING, PACKING)
        ]
        rated, workloads, people, run_hours = self.running(sections)
        effective = tuple(self.effective_cpm(sections, i) for i in range(len(self.cans)))
        changes = need.changeovers_per_week * need.weeks_per_year if need.formats[1:] else 0.0
        person_min = sum(piece.change_person_min for piece in pieces)
        each_min = max(*(piece.change_min for piece in pieces), person_min / people)
        changeover_hours = changes * each_min / 60
        annual = {
            "labour": people * (run_hours + changeover_hours) * need.wage_per_h,
            "electricity": self.electricity(pieces, run_hours),
        }
        for piece in pieces:
            for heading, cost in piece.yearly.items():
                annual[heading] = annual.get(heading, 0.0) + cost
        annual["water"] = annual.get("water", 0.0) + self.rinse_water(pieces, run_hours)
        first_cost = (0.0, 0.0, 0.0)
        for piece in pieces:
            first_cost = added(first_cost, piece.equipment_price, self.on_top)
        return Figures(
            classes=tuple(piece.class_id for piece in pieces if piece.function != "convey"),
            first_cost=first_cost,
            area_m2=sum(piece.area_m2 for piece in pieces),
            ranking=(
                sum(self.millionths(piece)[0] for piece in pieces),
                sum(self.millionths(piece)[1] for piece in pieces),
            ),
            length_mm=sum(piece.flow_mm for piece in pieces),
            power_kw=sum(piece.power_kw for piece in pieces),
            water_l_min=sum(piece.water_l_min for piece in pieces),
            air_l_min=sum(piece.air_l_min for piece in pieces),
            rated_cpm=rated,
            effective_cpm=effective,
            workloads=workloads,
            people=people,
            run_hours=run_hours,
            changeover_hours=changeover_hours,
            changeover_person_min=person_min,
            annual=annual,
            life_cycle_cost=first_cost[1] + self.annuity * sum(annual.values()),
        )

    # --- limits ------------------------------------------------------------------------------

    @cached_property
    def limits(self) -> dict[str, float]:
        """The most of each figure that the brief allows; what it leaves open is not there."""
        need, brief, habits = self.need, self.need.brief, self.habits
        site = brief.site
        most = {"hours": need.hours_per_week * need.weeks_per_year}
        if brief.staff.per_shift is not None:
            most["people"] = brief.staff.per_shift
        if brief.budget is not None:
            most["budget"] = brief.budget
        if site.length_mm is not None and site.width_mm is not None:
            beside = site.width_mm // (habits.walkway_mm + habits.pallet_approach_mm)
            most["length"] = site.length_mm * max(1.0, beside)
            columns = sum(o.length_mm / 1000 * (o.width_mm / 1000) for o in site.obstacles)
            most["area"] = site.length_mm / 1000 * (site.width_mm / 1000) - columns
        if site.power is not None:
            volt_amperes = site.power.volts * site.power.amperes
            if site.power.phases == 3:
                volt_amperes *= 3**0.5
            most["power"] = volt_amperes / 1000 * habits.power_factor / habits.simultaneity
        if site.water_l_min is not None:
            most["water"] = site.water_l_min
        if site.air_l_min is not None:
            most["air"] = site.air_l_min
        return {name: limit for name, limit in most.items() if name not in self.without}

    def used(self, figures: Figures) -> dict[str, float]:
        """What a line takes of everything that may be limited."""
        return {
            "hours": figures.run_hours + figures.changeover_hours,
            "people": figures.people,
            "budget": figures.first_cost[1],
            "length": figures.length_mm,
            "area": figures.area_m2,
            "power": figures.power_kw,
            "water": figures.water_l_min,
            "air": figures.air_l_min,
        }

    def within_limits(self, figures: Figures) -> bool:
        """Whether a line keeps to every limit."""
        used = self.used(figures)
        return all(used[name] <= most for name, most in self.limits.items())


def order_of_work(line: Mapping[str, Candidate]) -> list[str]:
    """The functions of a line or a section in the order in which cans meet them.

    The coder stands before the filler, or at the end of the filling side.
    """
    order = [function for function in FLOW if function in line]
    if "code" in line and line["code"].item.place != "infeed-rail":
        order.remove("code")
        order.insert(order.index("pasteurize") + 1, "code")
    return order


@lru_cache(maxsize=200_000)
def fewest_people(
    workloads: tuple[float, ...], always: tuple[bool, ...], allowed: float, most_stations: int
) -> int:
    """The fewest people who can share the stations, found by following every way to share them.

    The person before takes none of a station, or as much as goes; new people take the rest. Nobody
    serves stations on both sides of one that is always attended. A way that takes two people more
    than another is given up: that one could have put a new person at this station and at the next.
    """
    reached = {(0, allowed, most_stations)}
    for workload, attended in zip(workloads, always, strict=True):
        onward = set()
        for people, taken, stations in reached:
            if attended:
                onward.add((people + 1, allowed, most_stations))
                continue
            if workload <= 0:
                onward.add((people, taken, stations))
                continue
            free = max(0.0, allowed - taken) if stations < most_stations else 0.0
            if workload <= free + 1e-9:
                onward.add((people, taken + workload, stations + 1))
            for given in {0.0, min(free, workload)}:
                rest, hands = workload - given, 0
                while rest > 1e-9:
                    hands += 1
                    last, rest = rest, rest - allowed
                if hands:
                    onward.add((people + hands, last, 1))
        fewest = min(people for people, _, _ in onward)
        reached = {state for state in onward if state[0] <= fewest + 1}
    return min(people for people, _, _ in reached)
