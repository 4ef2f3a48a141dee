"""The room as a rule: which of the lines that a search gives out stand in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, cast

from lineconfig.brief import View
from lineconfig.choose.inquiry import Inquiry
from lineconfig.connect.search import Found, Node, Search
from lineconfig.floorplan.place import site_of, stands
from lineconfig.layout import Station

FLOOR_PLAN = "floor-plan"
"""The name under which a study leaves this rule aside."""
SUPERSEDED = frozenset({"floor-length", "floor-area"})
"""Limits that only estimate what a floor plan decides: left aside where it does."""
MOST_REFUSED = 200
"""Different sets of machines in a row that may fail to fit before a list ends as it is."""
MOST_IN_ALL = 600
"""Different sets of machines that may fail to fit in one study; `FEW` in a row end a list then."""
FEW = 20
MOST_LINES = 3000
"""The same for lines, whatever they have in common."""


class RoomFilter:
    """Lets the lines through that fit; remembers what it has looked at."""

    def __init__(self, inquiry: Inquiry) -> None:
        self.inquiry = inquiry
        self.supersedes = SUPERSEDED if site_of(inquiry.need) is not None else frozenset[str]()
        """Limits of the search that this one makes needless."""
        self.passed_over: set[tuple[str, ...]] = set()
        """Lines that meet every other rule and do not fit, so far."""
        self.given_up = False
        """Whether some list ended early because too many lines in a row did not fit."""
        self._known: dict[object, bool] = {}
        self._refused = 0

    def fits(self, stations: Sequence[Station]) -> bool:
        """Whether a line fits."""
        key = tuple(
            (station.function, station.option.id, station.length_mm, station.quantity)
            for station in stations
        )
        if key not in self._known:
            self._known[key] = stands(stations, self.inquiry) is not False
            self._refused += not self._known[key]
        return self._known[key]

    def unbeaten(self, search: Search) -> list[Found]:
        """The Pareto set of the lines that fit.

        Where more than `MOST_LINES` do not fit on the way, those of the whole set that do.
        """
        from lineconfig.connect.pareto import pareto_set

        try:
            return [found for _, found in pareto_set(cast(Search, _FittingSearch(search, self)))]
        except _TooManyError:
            self.given_up = True
            return [found for _, found in pareto_set(search) if self.fits(stations_of(found))]

    def through(self, lines: Iterator[Found]) -> Iterator[Found]:
        """The lines that fit, in the order in which they come."""
        refused: set[object] = set()
        lines_refused = 0
        for found in lines:
            stations = stations_of(found)
            if self.fits(stations):
                refused.clear()
                lines_refused = 0
                yield found
                continue
            self.passed_over.add(found.order)
            refused.add(
                tuple(s.option.id for s in stations if s.length_mm > 0 and s.function != "convey")
            )
            lines_refused += 1
            most = MOST_REFUSED if self._refused <= MOST_IN_ALL else FEW
            if len(refused) > most or lines_refused > MOST_LINES:
                self.given_up = True
                return


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
        if found is None or self._room.fits(stations_of(found)):
            return found
        self._refused += 1
        if self._refused > MOST_LINES:
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
