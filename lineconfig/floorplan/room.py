"""The room as a rule: which of the lines that a search gives out stand in it, and in what order.

A search knows a line by the least chain between its machines. Where it stands it has the chain and
the bends of its plan, and costs, takes power and floor accordingly: never less. So lines come from
the search in the order of a bound, wait here with their own figures, and are given out when the
bound of what comes next has caught up: nothing unseen can come before them.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from itertools import product
from math import prod
from typing import Any, cast

from lineconfig.brief import View
from lineconfig.choose.inquiry import Inquiry
from lineconfig.connect.bundles import Place, Stated, state
from lineconfig.connect.hours import Triple
from lineconfig.connect.search import Found, Key, Node, Search
from lineconfig.connect.terms import Terms
from lineconfig.floorplan.blocks import (
    FIRST_BLOCK,
    Line,
    least_first_block,
    line_of,
    pallet_route,
    up,
)
from lineconfig.floorplan.chain import as_built
from lineconfig.floorplan.folding import block_stands, tried
from lineconfig.floorplan.place import site_of, standing, stands
from lineconfig.floorplan.shapes import Joint
from lineconfig.floorplan.stowing import Module, modules_of
from lineconfig.layout import Station

FLOOR_PLAN = "floor-plan"
"""The name under which a study leaves this rule aside."""
SUPERSEDED = frozenset({"floor-length", "floor-area"})
"""Limits that only estimate what a floor plan decides: left aside where it does."""
MOST_REFUSED = 200
"""Different geometries in a row that may fail to fit before a list ends as it is."""
MOST_IN_ALL = 600
"""Different geometries that may fail to fit in one study; `FEW` in a row end a list then."""
FEW = 20
MOST_LINES = 3000
"""Lines in a row that may fail to fit before a list ends, whatever they have in common."""
MOST_AT_FIRST = 400
"""The same as long as no line of the study is known to fit: what lacks is then explained."""
MOST_SHAPES = 30_000
"""Shapes in a row that may be folded in vain before a list ends: some seconds of work."""
MOST_BLOCKS = 60
"""First blocks of one set of lines up to which each is tried in the room by itself."""
MOST_UNBEATEN = 3000
"""The same on the way to the lines that no other beats."""
PARETO_VIEW: View = "life-cycle-cost"
"""In which the search works those out: their figures do not depend on it."""


Stood = tuple[Joint, ...] | None
"""The joints of a line as its plan has them, none where it travels without a room; None for a line
that does not fit."""
Geometry = tuple[Line | None, tuple[Module, ...] | None]
"""A line as it stands, and as it is packed; None where that does not matter."""


class RoomFilter:
    """Lets the lines through that fit; remembers what it has looked at."""

    def __init__(self, inquiry: Inquiry) -> None:
        self.inquiry = inquiry
        self.site = site_of(inquiry.need)
        self.supersedes = SUPERSEDED if self.site is not None else frozenset[str]()
        """Limits of the search that this one makes needless."""
        self.passed_over: set[tuple[str, ...]] = set()
        """Lines that meet every other rule and do not fit, so far."""
        self.given_up = False
        """Whether some list ended early because too many lines in a row did not fit."""
        self._geometries: dict[object, object] = {}
        """By a line's classes: what decides whether it fits."""
        self._known: dict[object, Stood] = {}
        self._any_fits = False
        self._may_fit: dict[tuple[Place, ...], bool] = {}
        self._blocks: dict[object, bool] = {}
        self.left_out = False
        """Whether lines were left out unseen, since their first block alone does not stand."""
        self._refused = 0

    def geometry(self, stations: Sequence[Station]) -> object:
        """What decides whether a line fits: the same for lines that differ in nothing else."""
        classes = tuple(
            (station.function, station.option.id, station.length_mm, station.quantity)
            for station in stations
        )
        if classes not in self._geometries:
            inquiry = self.inquiry
            packed = inquiry.need.brief.mobility != "fixed"
            self._geometries[classes] = (
                line_of(stations, inquiry) if self.site is not None else None,
                modules_of(stations, up(inquiry.habits.joint_mm)) if packed else None,
            )
        return self._geometries[classes]

    def effort(self, geometry: object) -> int:
        """Shapes that were looked at for a geometry."""
        line, _ = cast(Geometry, geometry)
        return 0 if line is None or self.site is None else tried(line, self.site).shapes

    def fits(self, stations: Sequence[Station]) -> bool:
        """Whether a line fits."""
        return self.joints(stations) is not None

    def joints(self, stations: Sequence[Station]) -> Stood:
        """The joints of a line where it stands; None where it does not fit."""
        geometry = self.geometry(stations)
        if geometry not in self._known:
            found = self._known[geometry] = self.stood(stations, geometry)
            self._any_fits |= found is not None
            self._refused += found is None
        return self._known[geometry]

    def stood(self, stations: Sequence[Station], geometry: object) -> Stood:
        """The same for a line of this geometry, tried anew."""
        if self.site is not None:
            return standing(stations, self.inquiry, self.site)
        return () if stands(stations, self.inquiry) is not False else None

    def may_fit(self, triple: Triple) -> bool:
        """Whether any line of a triple may fit, as far as its first block tells.

        From the pallet of empties to the filler machines stand directly behind one another: where
        that much alone does not stand in the room, whatever follows is left out unseen.
        """
        if self.site is None:
            return True
        there = {place.function: place for place in (*triple[0].places, *triple[1].places)}
        places = tuple(there[name] for name in FIRST_BLOCK if name in there)
        if len(places) < len(FIRST_BLOCK):
            return True
        if prod(len(place.stated) for place in places) > MOST_BLOCKS:
            return True
        if places not in self._may_fit:
            self._may_fit[places] = any(
                self._block_stands([item.station for item in chosen])
                for chosen in product(*(place.stated for place in places))
            )
            self.left_out |= not self._may_fit[places]
        return self._may_fit[places]

    def _block_stands(self, stations: Sequence[Station]) -> bool:
        assert self.site is not None
        key = tuple(
            (station.option.id, station.length_mm, station.quantity) for station in stations
        )
        if key not in self._blocks:
            block = least_first_block(stations, self.inquiry)
            self._blocks[key] = block_stands(
                block, self.site, up(self.inquiry.habits.walkway_mm), pallet_route(self.inquiry)
            )
        return self._blocks[key]

    def built(self, found: Found, search: Search, view: View) -> Found | None:
        """A line with the chain of its plan; None where it does not fit, or breaks a limit then."""
        stated = self.stated(found, search.terms)
        if stated is None or stated == found.stated:
            return None if stated is None else found
        return search.restated(found, stated, view)

    def stated(self, found: Found, terms: Terms) -> tuple[Stated, ...] | None:
        """What a line has where it stands; None where it does not fit."""
        joints = self.joints(stations_of(found))
        if not joints:
            return None if joints is None else found.stated
        known = {item.station: item for item in found.stated}
        stations = as_built([item.station for item in found.stated], joints, self.inquiry)
        return tuple(known.get(station) or state(station, terms) for station in stations)

    def unbeaten(self, search: Search) -> list[Found]:
        """The Pareto set of the lines that fit.

        Where more than `MOST_UNBEATEN` do not fit on the way, those of the whole set that do.
        """
        from lineconfig.connect.pareto import pareto_set

        try:
            return [found for _, found in pareto_set(cast(Search, _FittingSearch(search, self)))]
        except _TooManyError:
            self.given_up = True
            lines = (self.built(found, search, PARETO_VIEW) for _, found in pareto_set(search))
            return [found for found in lines if found is not None]

    def through(self, lines: Iterator[Found], search: Search, view: View) -> Iterator[Found]:
        """The lines that fit, in the order of the view, out of all in the order of their bounds.

        Where the list is given up, those that have come so far, in order.
        """
        return self._let_through(lines, search, view, ordered=True)

    def fitting(self, lines: Iterator[Found], search: Search, view: View) -> Iterator[Found]:
        """The lines that fit, each with the chain of its plan, as they come."""
        return self._let_through(lines, search, view, ordered=False)

    def _let_through(
        self, lines: Iterator[Found], search: Search, view: View, *, ordered: bool
    ) -> Iterator[Found]:
        waiting: list[tuple[Key, tuple[str, ...], Found]] = []
        refused: set[object] = set()
        lines_refused = shapes = 0
        for found in lines:
            while waiting and (not ordered or waiting[0][:2] <= (found.key, found.order)):
                yield heapq.heappop(waiting)[-1]
            stations = stations_of(found)
            if self.fits(stations):
                refused.clear()
                lines_refused = shapes = 0
                built = self.built(found, search, view)
                if built is not None:
                    heapq.heappush(waiting, (built.key, built.order, built))
                continue
            self.passed_over.add(found.order)
            geometry = self.geometry(stations)
            if geometry not in refused:
                refused.add(geometry)
                shapes += self.effort(geometry)
            lines_refused += 1
            most = MOST_REFUSED if self._refused <= MOST_IN_ALL else FEW
            most_lines = MOST_LINES if self._any_fits else MOST_AT_FIRST
            if len(refused) > most or lines_refused > most_lines or shapes > MOST_SHAPES:
                self.given_up = True
                break
        while waiting:
            yield heapq.heappop(waiting)[-1]


class _TooManyError(Exception):
    """Too many lines do not fit."""


class _FittingSearch:
    """A search that drops a line where it is worked out and does not fit."""

    def __init__(self, search: Search, room: RoomFilter) -> None:
        self._search = search
        self._room = room
        self._refused = 0

    def __getattr__(self, name: str) -> Any:
        return getattr(self._search, name)

    def finish(self, node: Node, view: View) -> Found | None:
        """The line of a node; None where it breaks a limit or does not fit."""
        found = self._search.finish(node, view)
        if found is None:
            return None
        if self._room.fits(stations_of(found)):
            return self._room.built(found, self._search, view)
        self._refused += 1
        if self._refused > MOST_UNBEATEN:
            raise _TooManyError
        return None


def stations_of(found: Found) -> tuple[Station, ...]:
    """What a line has, in flow order."""
    return tuple(item.station for item in found.stated if not item.station.option.equipment.absent)


def room_filter(inquiry: Inquiry, without: frozenset[str]) -> RoomFilter | None:
    """The filter of a brief; None where it states neither room nor vehicle, or leaves it aside."""
    brief = inquiry.need.brief
    travels = brief.mobility == "mobile" and brief.vehicle is not None
    if FLOOR_PLAN in without or (site_of(inquiry.need) is None and not travels):
        return None
    return RoomFilter(inquiry)
