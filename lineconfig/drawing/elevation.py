"""The elevation: the line seen from its side, its path unrolled along the flow.

x is the place along the flow, y the height above the floor. [mm]
Everything follows from the layout's heights, the plan and the catalogue's sizes; nothing is drawn
to look right.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from lineconfig.assess.reaching import WORK_HEIGHTS
from lineconfig.choose.heights import deck_for_layers_mm, delivered_stack_mm, stack_layers
from lineconfig.choose.inquiry import Inquiry
from lineconfig.connect.stations import BESIDE_THE_FLOW
from lineconfig.drawing.flow import Run, host_of, unrolled
from lineconfig.drawing.shapes import Box, Figure, Level, Mark, Measure, Point, Shape, box_round
from lineconfig.findings.places import Places
from lineconfig.floorplan.blocks import guard_at
from lineconfig.floorplan.plan import Plan
from lineconfig.layout import Layout, Station

STACK_GAP_MM = 300.0
"""Between the delivered stack and what it is brought to, as drawn."""
CHAIN_DEPTH_MM = 120.0
"""Depth of a conveyor's frame below its chain, as drawn."""
STATURE_MM = 1740.0
"""Height of a man at the middle of the population; Pheasant and Haslegrave, Bodyspace, 3rd edition
(2006), British men aged 19 to 65 (from memory)."""
HEAD_SHARE, SHOULDER_SHARE, HIP_SHARE = 0.065, 0.82, 0.52
"""Radius of the head, heights of shoulder and hip, as shares of stature (as drawn)."""
LEVEL_TRACK_SHARE = 0.12
"""Share of a lowering device's length on which its track is level at either end, as drawn."""
HANDRAIL_MM = 1067.0
"""42 in: the top edge of a guardrail, 29 CFR 1910.29(b)(1)."""


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works at a station."""

    station: int
    x_mm: float
    standing_mm: float
    """Height of the surface under the feet."""
    hands_mm: float
    """Highest place at which the hands work."""


@dataclass(eq=False)
class Elevation:
    """The profile of one placed line."""

    inquiry: Inquiry
    layout: Layout
    plan: Plan

    @cached_property
    def runs(self) -> list[Run]:
        """Machines and conveyors in flow order."""
        return unrolled(self.plan, self.layout)

    @cached_property
    def length_mm(self) -> float:
        """Length of the line along the flow."""
        return self.runs[-1].end_mm

    @property
    def title(self) -> str:
        """What it shows."""
        bends = ", bends unrolled" if self.plan.turns else ""
        return f"Elevation along the flow{bends}"

    @cached_property
    def main(self) -> int:
        """The format that is drawn: the one with the largest volume."""
        return self.inquiry.need.formats.index(self.inquiry.need.main_format)

    @cached_property
    def places(self) -> Places:
        """Where hands work."""
        return Places(self.inquiry, self.layout)

    @cached_property
    def guard_mm(self) -> tuple[float, float] | None:
        """First and last place of the guard before the unloader, at its distance; None without."""
        index = self.index("guard")
        if index is None:
            return None
        station = self.layout.stations[index]
        size = station.option.equipment.size
        stands_mm = float(guard_at(self.layout.station("unload"), station))
        return -stands_mm - (float(size.length_mm) if size else 0.0), -stands_mm

    @cached_property
    def gap_mm(self) -> float:
        """From the delivered stack to the unloader, as drawn: clear of a guard."""
        return STACK_GAP_MM if self.guard_mm is None else STACK_GAP_MM - self.guard_mm[0]

    @cached_property
    def spans(self) -> dict[int, tuple[float, float]]:
        """First and last place along the flow of each station that stands on it."""
        found: dict[int, tuple[float, float]] = {}
        for run in self.runs:
            assert run.piece.station is not None
            start, end = found.get(run.piece.station, (run.start_mm, run.end_mm))
            found[run.piece.station] = (min(start, run.start_mm), max(end, run.end_mm))
        return found

    def index(self, function: str) -> int | None:
        """The station of a function."""
        for place, station in enumerate(self.layout.stations):
            if station.function == function:
                return place
        return None

    # --- heights along the flow ----------------------------------------------------------------

    def ports_mm(self, station: Station) -> tuple[float, float]:
        """Heights at which cans enter and leave a station on the flow."""
        heights = self.layout.heights
        match station.function:
            case "unload":
                return heights.deck_mm, heights.deck_mm
            case "lower":
                return heights.deck_mm, self.layout.infeed_mm
            case "fill":
                discharge_mm = station.discharge_mm
                return self.layout.infeed_mm, (
                    self.layout.infeed_mm if discharge_mm is None else discharge_mm
                )
        span = station.option.equipment.heights
        level_mm = self.places.line_mm
        return tuple(
            level_mm if port is None else min(max(level_mm, port.least), port.most)
            for port in (span.infeed_mm, span.discharge_mm or span.infeed_mm)
        )  # type: ignore[return-value]

    @cached_property
    def profile(self) -> tuple[Point, ...]:
        """The path of the cans: place along the flow and height."""
        points: list[Point] = []
        for run in self.runs:
            assert run.piece.station is not None
            station = self.layout.stations[run.piece.station]
            if station.function == "convey":
                continue  # joins the ports on either side of it
            infeed_mm, discharge_mm = self.ports_mm(station)
            if station.function == "lower":
                points += self.track(run)
            elif station.function == "palletize":
                points.append((run.start_mm, infeed_mm))  # cases go where the stack grows
            else:
                points += [(run.start_mm, infeed_mm), (run.end_mm, discharge_mm)]
        return tuple(dict.fromkeys(points))

    def level_at(self, x_mm: float) -> float:
        """Height of the cans' path at a place along the flow."""
        points = self.profile
        for (x0, z0), (x1, z1) in pairwise(points):
            if x0 <= x_mm <= x1 and x1 > x0:
                return z0 + (z1 - z0) * (x_mm - x0) / (x1 - x0)
        return points[-1][1] if x_mm > points[-1][0] else points[0][1]

    def track(self, run: Run) -> list[Point]:
        """The track of a lowering device, from the deck to the filler's infeed.

        The second and third point from the middle bound its inverted run, where it has one.
        """
        assert run.piece.station is not None
        station = self.layout.stations[run.piece.station]
        equipment = station.option.equipment
        deck_mm, infeed_mm = self.layout.heights.deck_mm, self.layout.infeed_mm
        start, length = run.start_mm, run.end_mm - run.start_mm
        if "takes-from-low-level" in equipment.traits:
            top_mm = station.height_mm - self._tallest_mm
            inverted_mm = min(float(equipment.inverted_run_mm or 0.0), 0.6 * length)
            ahead = (length - inverted_mm) / 2
            return [
                (start, deck_mm),
                (start + ahead, top_mm),
                (run.end_mm - ahead, top_mm),
                (run.end_mm, infeed_mm),
            ]
        level = LEVEL_TRACK_SHARE * length if deck_mm > infeed_mm else 0.0
        high, low = (start + level, deck_mm), (run.end_mm - level, infeed_mm)
        return [(start, deck_mm), high, low, (run.end_mm, infeed_mm)]

    def inverted(self, run: Run) -> tuple[Point, Point] | None:
        """Ends of the run on which cans are upside down; None where they stay upright."""
        assert run.piece.station is not None
        equipment = self.layout.stations[run.piece.station].option.equipment
        if not equipment.inverted_run_mm:
            return None
        (x0, z0), (x1, z1) = self.track(run)[1:3]
        length = ((x1 - x0) ** 2 + (z1 - z0) ** 2) ** 0.5
        share = min(1.0, float(equipment.inverted_run_mm) / length) if length else 1.0
        near, far = (1 - share) / 2, (1 + share) / 2
        return (
            (x0 + near * (x1 - x0), z0 + near * (z1 - z0)),
            (x0 + far * (x1 - x0), z0 + far * (z1 - z0)),
        )

    @cached_property
    def _tallest_mm(self) -> float:
        return max(can.height_mm for can in self.inquiry.containers)

    # --- stacks --------------------------------------------------------------------------------

    @cached_property
    def stack_layers(self) -> int:
        """Layers of the delivered stack of the main format."""
        forms = self.inquiry.forms(self.layout.station("supply").option)
        return stack_layers(self.inquiry.containers[self.main], forms[self.main])

    @cached_property
    def stack_mm(self) -> float:
        """Top of the delivered stack, standing on the floor."""
        forms = self.inquiry.forms(self.layout.station("supply").option)
        return delivered_stack_mm(self.inquiry.containers[self.main], forms[self.main])

    @cached_property
    def raised(self) -> bool:
        """Whether the supply aid raises the stack from which the unloader is fed."""
        swept = self.layout.station("unload").option.has("sweeps-layers")
        return self.layout.station("supply").option.has("keeps-layer-level") and not swept

    @cached_property
    def load_layers(self) -> int:
        """Layers of the load that stands at the unloader when its top layer is taken."""
        return len(self.layout.heights.taken_mm[self.main])

    @cached_property
    def lifted_mm(self) -> float:
        """How high the pallet stands when the unloader begins to take its top layer."""
        can, heights = self.inquiry.containers[self.main], self.layout.heights
        if self.raised or self.layout.station("unload").option.has("sweeps-layers"):
            above_mm = deck_for_layers_mm(can, self.load_layers)
            return max(heights.foot_mm, heights.deck_mm - above_mm)
        return 0.0

    def _stack(self, x_mm: float, foot_mm: float, layers: int, station: int) -> Iterator[Shape]:
        """A pallet of empties with its layers."""
        can = self.inquiry.containers[self.main]
        pallet = can.pallet
        far_mm = x_mm + pallet.length_mm
        base = Box(x_mm, foot_mm, far_mm, foot_mm + pallet.base_mm)
        yield Shape(base.corners(), "pallet", True, station, "pallet")
        pitch_mm = can.height_mm + pallet.sheet_mm
        top_mm = base.high + layers * pitch_mm
        yield Shape(
            Box(x_mm, base.high, far_mm, top_mm).corners(), "stack", True, station,
            f"stack of {layers} layers",
        )  # fmt: skip
        for layer in range(1, layers):
            level_mm = base.high + layer * pitch_mm
            yield Shape(((x_mm, level_mm), (far_mm, level_mm)), "symbol", False, station)

    # --- what is drawn -------------------------------------------------------------------------

    @cached_property
    def people(self) -> tuple[Person, ...]:
        """Somebody at each station on the flow where hands work."""
        found = []
        for index, (start, end) in self.spans.items():
            station = self.layout.stations[index]
            tasks = station.option.equipment.attendance.tasks
            hands = [self.places.hands(index, task) for task in tasks]
            known = [place for place in hands if place is not None]
            if not (known or station.always):
                continue
            standing_mm = self.places.platforms_mm[index]
            high_mm = max((place.highest_mm for place in known), default=self.level_at(start))
            at_end = station.option.equipment.operator_sides[:1] == ["infeed-end"]
            x_mm = start if at_end else (start + end) / 2
            found.append(Person(index, x_mm, standing_mm, high_mm))
        return tuple(found)

    @cached_property
    def shapes(self) -> tuple[Shape, ...]:
        """Every outline, the farthest first."""
        return (
            *self._building(),
            *self._machines(),
            *self._stacks(),
            *self._platforms(),
            *self._flow(),
            *self._figures(),
        )

    @cached_property
    def extent(self) -> Box:
        """From the delivered stack to the end of the line, floor to ceiling."""
        pallet = self.inquiry.containers[self.main].pallet
        left_mm = -(pallet.length_mm + self.gap_mm + STACK_GAP_MM)
        right_mm = self.length_mm + STACK_GAP_MM
        wrapped = self._behind_mm
        if wrapped is not None:
            right_mm = wrapped[1] + STACK_GAP_MM
        ceiling_mm = self.inquiry.ceiling_mm
        return Box(left_mm, 0.0, right_mm, max(ceiling_mm, self.layout.highest.height_mm))

    @cached_property
    def highest_x_mm(self) -> float:
        """Where the highest point of the line stands along the flow."""
        highest = self.layout.highest
        if highest.station in self.spans:
            return self.spans[highest.station][1]
        if self.layout.stations[highest.station].function == "wrap" and self._behind_mm is not None:
            return self._behind_mm[1]
        if self.layout.stations[highest.station].function == "supply":
            return -self.gap_mm
        host = host_of(self.layout, highest.station, set(self.spans))
        return self.spans[host][1] if host is not None else 0.0

    @cached_property
    def _behind_mm(self) -> tuple[float, float] | None:
        """Where the wrapper is drawn: behind the last machine, whatever its place on the floor."""
        index = self.index("wrap")
        if index is None:
            return None
        station = self.layout.stations[index]
        start_mm = self.length_mm + STACK_GAP_MM
        return (start_mm, start_mm + station.length_mm) if station.length_mm else None

    def _building(self) -> Iterator[Shape]:
        box = self.extent
        ceiling_mm = self.inquiry.ceiling_mm
        yield Shape(((box.left, 0.0), (box.right, 0.0)), "floor", name="floor")
        yield Shape(((box.left, ceiling_mm), (box.right, ceiling_mm)), "ceiling", name="ceiling")
        light = WORK_HEIGHTS["light"]
        zone = Box(0.0, light.low_mm, self.length_mm, light.high_mm)
        yield Shape(zone.corners(), "zone", True, name="heights for light work")
        overhead_mm = float(self.inquiry.habits.overhead_mm)
        yield Shape(((0.0, overhead_mm), (self.length_mm, overhead_mm)), "zone", name="reach limit")

    def _machines(self) -> Iterator[Shape]:
        for run in self.runs:
            index = run.piece.station
            assert index is not None
            station = self.layout.stations[index]
            start, end = run.start_mm, run.end_mm
            if station.function == "convey":
                yield from self._conveyor(run, index)
            elif station.function == "lower":
                yield from self._lowering(run, index)
            elif station.function == "palletize" and station.height_mm < self.level_at(start):
                yield Shape(Box(start, 0.0, end, station.height_mm).corners(), "machine", True,
                            index, station.option.equipment.name)  # fmt: skip
            else:
                top_mm = max(station.height_mm, self.level_at(start))
                yield Shape(Box(start, 0.0, end, top_mm).corners(), "machine", True, index,
                            station.option.equipment.name)  # fmt: skip
            if station.function == "unload":
                yield from self._deck(run, index)
        guard = self.index("guard")
        if guard is not None and self.guard_mm is not None:
            start, end = self.guard_mm
            station = self.layout.stations[guard]
            yield Shape(Box(start, 0.0, end, station.height_mm).corners(), "machine", True, guard,
                        station.option.equipment.name)  # fmt: skip
        wrap, behind = self.index("wrap"), self._behind_mm
        if wrap is not None and behind is not None:
            station = self.layout.stations[wrap]
            yield Shape(Box(behind[0], 0.0, behind[1], station.height_mm).corners(), "machine",
                        True, wrap, station.option.equipment.name)  # fmt: skip

    def _conveyor(self, run: Run, index: int) -> Iterator[Shape]:
        start_mm, end_mm = self.level_at(run.start_mm), self.level_at(run.end_mm)
        yield Shape(
            (
                (run.start_mm, start_mm - CHAIN_DEPTH_MM), (run.end_mm, end_mm - CHAIN_DEPTH_MM),
                (run.end_mm, end_mm), (run.start_mm, start_mm),
            ),
            "conveyor", True, index, self.layout.stations[index].option.equipment.name,
        )  # fmt: skip
        for share in (0.15, 0.85):
            x_mm = run.start_mm + share * (run.end_mm - run.start_mm)
            foot = ((x_mm, 0.0), (x_mm, self.level_at(x_mm) - CHAIN_DEPTH_MM))
            yield Shape(foot, "symbol", False, index)

    def _lowering(self, run: Run, index: int) -> Iterator[Shape]:
        track = self.track(run)
        above = [(x, z + self._tallest_mm) for x, z in reversed(track)]
        yield Shape((*track, *above), "machine", True, index,
                    self.layout.stations[index].option.equipment.name)  # fmt: skip
        for x_mm, z_mm in (track[0], track[-1]):
            yield Shape(((x_mm, 0.0), (x_mm, z_mm)), "symbol", False, index)
        inverted = self.inverted(run)
        if inverted is not None:
            (x0, z0), (x1, z1) = inverted
            tall = self._tallest_mm
            yield Shape(((x0, z0), (x1, z1), (x1, z1 + tall), (x0, z0 + tall)), "inverted", True,
                        index, "inverted run")  # fmt: skip

    def _deck(self, run: Run, index: int) -> Iterator[Shape]:
        deck_mm = self.layout.heights.deck_mm
        yield Shape(((run.start_mm, deck_mm), (run.end_mm, deck_mm)), "symbol", False, index,
                    "deck")  # fmt: skip
        if "sweeps-layers" in self.layout.stations[index].option.equipment.traits:
            head_mm = deck_mm + self._tallest_mm
            yield Shape(((run.start_mm, head_mm), (run.end_mm, head_mm)), "symbol", False, index,
                        "head")  # fmt: skip
        lip_mm = self.layout.stations[index].option.equipment.heights.lip_mm
        if lip_mm:
            slope = ((run.start_mm, deck_mm + lip_mm), (run.end_mm, deck_mm))
            yield Shape(slope, "symbol", False, index, "lip")

    def _stacks(self) -> Iterator[Shape]:
        pallet = self.inquiry.containers[self.main].pallet
        unload = self.layout.station("unload").option.equipment
        supply, unloader = self.index("supply"), self.index("unload")
        assert unloader is not None and supply is not None
        beside_mm = -(pallet.length_mm + self.gap_mm)
        if "sweeps-layers" in unload.traits:
            yield from self._stack(beside_mm, 0.0, self.stack_layers, supply)
            start, end = self.spans[unloader]
            inside_mm = start + max(0.0, min(end - start - pallet.length_mm, STACK_GAP_MM))
            yield from self._stack(inside_mm, self.lifted_mm, self.load_layers, unloader)
        elif self.raised:
            station = self.layout.stations[supply]
            foot_mm = self.lifted_mm
            if foot_mm > 0:
                lift = Box(beside_mm, 0.0, beside_mm + pallet.length_mm, foot_mm)
                yield Shape(lift.corners(), "machine", True, supply, station.option.equipment.name)
            yield from self._stack(beside_mm, foot_mm, self.load_layers, supply)
        else:
            yield from self._stack(beside_mm, 0.0, self.stack_layers, supply)
        yield from self._full_pallet()

    def _full_pallet(self) -> Iterator[Shape]:
        """Full goods where they are stacked."""
        index = self.index("palletize")
        if index is None or index not in self.spans:
            return
        handling = self.inquiry.catalog.economics.handling
        can = self.inquiry.containers[self.main]
        levels_mm = self.places.above_floor_mm("pallet-stack", self.layout.stations[index],
                                               self.main)  # fmt: skip
        top_mm = max(levels_mm) + can.height_mm + handling.case_board_mm
        start, end = self.spans[index]
        width_mm = min(end - start, SHIPPING_PALLET_MM)
        left_mm = end - width_mm
        base_mm = float(handling.shipping_pallet_height_mm)
        box = Box(left_mm, base_mm, end, top_mm)
        yield Shape(Box(left_mm, 0.0, end, base_mm).corners(), "pallet", True, index)
        yield Shape(box.corners(), "stack", True, index, "full goods")
        for level_mm in levels_mm[1:]:
            yield Shape(((left_mm, level_mm), (end, level_mm)), "symbol", False, index)

    def _platforms(self) -> Iterator[Shape]:
        for person in self.people:
            if person.standing_mm <= 0:
                continue
            half_mm, z_mm = 450.0, person.standing_mm
            x_mm = person.x_mm
            box = Box(x_mm - half_mm, z_mm - 50.0, x_mm + half_mm, z_mm)
            yield Shape(box.corners(), "platform", True, person.station, "platform")
            for side in (-half_mm, half_mm):
                post = ((x_mm + side, 0.0), (x_mm + side, z_mm + HANDRAIL_MM))
                yield Shape(post, "platform", False, person.station)
            rail_mm = z_mm + HANDRAIL_MM
            rail = ((x_mm - half_mm, rail_mm), (x_mm + half_mm, rail_mm))
            yield Shape(rail, "platform", False, person.station)

    def _flow(self) -> Iterator[Shape]:
        yield Shape(self.profile, "path", name="path of the cans")

    def _figures(self) -> Iterator[Shape]:
        for person in self.people:
            yield from person_outline(person)

    # --- the figure ----------------------------------------------------------------------------

    @cached_property
    def levels(self) -> tuple[Level, ...]:
        """The heights that are written beside it."""
        heights, layout = self.layout.heights, self.layout
        highest_mm = layout.highest.height_mm
        ceiling_mm = self.inquiry.ceiling_mm
        unload, fill = self.index("unload"), self.index("fill")
        assert unload is not None and fill is not None
        start = self.spans[unload][0]
        filler = self.spans[fill][0]
        found = [
            Level("ceiling", ceiling_mm, "left", self.extent.left),
            Level("highest point", highest_mm, "left", self.highest_x_mm),
            Level("unloader deck", heights.deck_mm, "left", start),
            Level("filler infeed", layout.infeed_mm, "left", filler),
            self._stack_level,
        ]  # fmt: skip
        if heights.top_mm < highest_mm:
            found.append(Level("unloader's top", heights.top_mm, "left", start))
        found += [
            Level("platform", person.standing_mm, "left", person.x_mm)
            for person in self.people
            if person.standing_mm > 0
        ][:1]
        light = WORK_HEIGHTS["light"]
        found += [
            Level("reach from the floor", float(self.inquiry.habits.overhead_mm), "right",
                  self.length_mm),
            Level("light work, highest", light.high_mm, "right", self.length_mm),
            Level("light work, lowest", light.low_mm, "right", self.length_mm),
        ]  # fmt: skip
        return tuple(found)

    @cached_property
    def _stack_level(self) -> Level:
        """The top of the stack that is drawn beside the line."""
        x_mm = self.extent.left + STACK_GAP_MM
        if not self.raised:
            return Level("stack as delivered", self.stack_mm, "left", x_mm)
        can = self.inquiry.containers[self.main]
        pitch_mm = can.height_mm + can.pallet.sheet_mm
        top_mm = self.lifted_mm + can.pallet.base_mm + self.load_layers * pitch_mm
        lowered = self.lifted_mm == self.layout.heights.foot_mm
        name = "stack as set down" if lowered else "stack, raised"
        return Level(name, top_mm, "left", x_mm)

    @cached_property
    def figure(self) -> Figure:
        """The elevation as a figure with its numbers and dimensions."""
        box = box_round([*self.extent.corners(), *(p for s in self.shapes for p in s.points)])
        return Figure(
            "elevation", self.title, self.shapes, tuple(self._marks()),
            tuple(self._measures()), self.levels, (), box,
        )  # fmt: skip

    def _marks(self) -> Iterator[Mark]:
        there = set(self.spans)
        pallet = self.inquiry.containers[self.main].pallet
        for index, station in enumerate(self.layout.stations):
            if station.function == "supply":
                x_mm = -(self.gap_mm + pallet.length_mm / 2)
                z_mm = self.lifted_mm if self.raised else 0.0
            elif station.function == "guard":
                assert self.guard_mm is not None
                x_mm, z_mm = sum(self.guard_mm) / 2, station.height_mm / 2
            elif station.function == "wrap":
                if self._behind_mm is None:
                    continue
                x_mm = sum(self._behind_mm) / 2
                z_mm = station.height_mm / 2
            elif index in there:
                run = max(
                    (run for run in self.runs if run.piece.station == index),
                    key=lambda run: (round(run.end_mm - run.start_mm), -run.start_mm),
                )
                x_mm = run.middle_mm
                z_mm = self.level_at(x_mm)
                if station.function == "palletize":
                    z_mm = station.height_mm / 2
                elif station.function != "convey":
                    z_mm = min(z_mm, station.height_mm) / 2
            else:
                host = host_of(self.layout, index, there)
                if host is None or station.function in BESIDE_THE_FLOW:
                    continue
                start, end = self.spans[host]
                x_mm = start + 0.75 * (end - start)
                z_mm = self.level_at(x_mm)
            yield Mark(index, (x_mm, z_mm), Box(x_mm, z_mm, x_mm, z_mm), row=True)

    def _measures(self) -> Iterator[Measure]:
        lower = self.index("lower")
        heights = self.layout.heights
        if lower is not None and lower in self.spans and heights.drop_mm > 0:
            x_mm = self.spans[lower][1]
            yield Measure((x_mm, self.layout.infeed_mm), (x_mm, heights.deck_mm), "right", 0)
        ceiling_mm, highest_mm = self.inquiry.ceiling_mm, self.layout.highest.height_mm
        if ceiling_mm > highest_mm:
            x_mm = self.highest_x_mm
            yield Measure((x_mm, highest_mm), (x_mm, ceiling_mm), "right", 0)
        yield Measure((0.0, 0.0), (self.length_mm, 0.0), "below", 0)


SHIPPING_PALLET_MM = 1219.0
"""48 in: length of the common North American shipping pallet (common practice)."""


def person_outline(person: Person) -> Iterator[Shape]:
    """A standing person: a head, a trunk, legs, and an arm to where the hands work."""
    x_mm, foot_mm = person.x_mm, person.standing_mm
    radius = HEAD_SHARE * STATURE_MM
    head_mm = foot_mm + STATURE_MM - radius
    shoulder_mm, hip_mm = foot_mm + SHOULDER_SHARE * STATURE_MM, foot_mm + HIP_SHARE * STATURE_MM
    octagon = [(1, 0), (0.7, 0.7), (0, 1), (-0.7, 0.7), (-1, 0), (-0.7, -0.7), (0, -1), (0.7, -0.7)]
    head = tuple((x_mm + radius * dx, head_mm + radius * dz) for dx, dz in octagon)
    yield Shape(head, "figure", True, person.station, "person")
    lines: list[tuple[Point, ...]] = [
        ((x_mm, head_mm - radius), (x_mm, hip_mm)),
        ((x_mm - 130, foot_mm), (x_mm, hip_mm), (x_mm + 130, foot_mm)),
    ]
    arm_mm = 0.44 * STATURE_MM
    rise_mm = min(max(person.hands_mm - shoulder_mm, -arm_mm), arm_mm)
    reach_mm = (arm_mm**2 - rise_mm**2) ** 0.5
    lines.append(((x_mm, shoulder_mm), (x_mm + reach_mm, shoulder_mm + rise_mm)))
    for line in lines:
        yield Shape(line, "figure", False, person.station)
