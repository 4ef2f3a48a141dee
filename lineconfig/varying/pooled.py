"""Studies that share what they have in common: for asking one brief the same question many times.

What-if questions leave most of a study as it was. Schemes depend on the classes that are admitted,
on the rules of several functions, and on what those look at; stations and hours depend on the need
but not on limits and refusals, and the bundles of a scheme on wage, horizon and rate as well;
whether a line stands in the room depends on what stands in it and on the room. All are kept in a
pool under a key of exactly that. `tests/varying/test_pooled.py` holds pooled studies against plain
ones.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from lineconfig.catalog import Function
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.sections import SECTIONS, Scheme, solve_section
from lineconfig.connect.bundles import Bundler
from lineconfig.connect.hours import Hours
from lineconfig.connect.search import Search
from lineconfig.connect.stations import StationBuilder
from lineconfig.floorplan.room import RoomFilter, Stood, room_filter
from lineconfig.layout import Station
from lineconfig.need import Need
from lineconfig.session import Study

UNSEEN_BY_STATIONS: Mapping[str, Any] = {
    "name": "", "prefer": "life-cycle-cost", "budget": None, "exclude": [], "require": [],
    "rinse": "auto", "growth": [], "operation": None, "horizon_years": None,
    "discount_rate": None, "speed_cpm": None, "formats": [],
}  # fmt: skip
"""Keys of a brief that say only which classes and lines are allowed, or that the need has settled:
with the values that stand in for them in a key."""


def _plain(need: Need, *, rules: bool) -> str:
    """What of a need schemes (`rules`) or stations and hours depend on, as a text."""
    brief = need.brief
    site = brief.site.model_copy(
        update={"water_l_min": None, "air_l_min": None, "length_mm": None, "width_mm": None,
                "door": None, "obstacles": [], "power": None}
    )  # fmt: skip
    staff = brief.staff.model_copy(update={"per_shift": None, "wage_per_h": None})
    masked = {**UNSEEN_BY_STATIONS, "site": site}
    if rules:
        masked |= {"rinse": brief.rinse, "staff": staff}
        settled: tuple[Any, ...] = tuple(
            (fmt.container, fmt.supply, fmt.rehandled, fmt.open_storage, fmt.label)
            for fmt in need.formats
        )
    else:
        masked["staff"] = staff.model_copy(update={"ladder_work": False})
        settled = (
            need.formats,
            need.weeks_per_year,
            need.changeovers_per_week,
        )
    return repr((brief.model_copy(update=masked), need.carbonation_vol, settled))


def _room(need: Need) -> str:
    """What of a need decides whether a geometry stands in the room or on the vehicle, as a text."""
    site, brief = need.brief.site, need.brief
    return repr(
        (site.length_mm, site.width_mm, site.obstacles, site.door, brief.mobility, brief.vehicle)
    )


class _RememberingRoom(RoomFilter):
    """A room that each geometry is tried in once; what it counts is as in a room of its own."""

    def __init__(
        self, inquiry: Inquiry, geometries: dict[object, object], stood: dict[object, Stood]
    ) -> None:
        super().__init__(inquiry)
        self._geometries = geometries
        self._stood = stood

    def stood(self, stations: Sequence[Station], geometry: object) -> Stood:
        """How a line of this geometry stands, tried where nobody has."""
        if geometry not in self._stood:
            self._stood[geometry] = super().stood(stations, geometry)
        return self._stood[geometry]


@dataclass(eq=False)
class Pool:
    """What studies of one catalogue have in common."""

    sections: dict[Any, list[Scheme]] = field(default_factory=dict)
    schemes: dict[Any, Scheme] = field(default_factory=dict)
    builders: dict[tuple[str, bool], StationBuilder] = field(default_factory=dict)
    hours: dict[str, Hours] = field(default_factory=dict)
    bundlers: dict[tuple[Any, ...], Bundler] = field(default_factory=dict)
    geometries: dict[str, dict[object, object]] = field(default_factory=dict)
    """By what stations depend on: how the lines looked at stand."""
    rooms: dict[str, dict[object, Stood]] = field(default_factory=dict)
    """By room: how geometries stand in it."""

    def trim(self, most: int) -> None:
        """Let go of what was kept first, down to so many needs, rooms and terms of money."""
        kept: list[dict[Any, Any]] = [
            self.builders, self.hours, self.bundlers, self.geometries, self.rooms,
        ]  # fmt: skip
        for entries in kept:
            _trim(entries, most)
        _trim(self.sections, most * len(SECTIONS))
        used = {id(scheme) for schemes in self.sections.values() for scheme in schemes}
        self.schemes = {key: each for key, each in self.schemes.items() if id(each) in used}


def _trim(entries: dict[Any, Any], most: int) -> None:
    for key in list(entries)[: max(0, len(entries) - most)]:
        del entries[key]


@dataclass(eq=False)
class PooledStudy(Study):
    """A study that takes from a pool what another has worked out."""

    pool: Pool = field(default_factory=Pool)

    @cached_property
    def schemes(self) -> dict[str, list[Scheme]]:
        """Every valid way to build each section, interchangeable classes together."""
        seen = _plain(self.need, rules=True)
        return {name: self._section(name, seen) for name in SECTIONS}

    def _section(self, name: str, seen: str) -> list[Scheme]:
        variables = SECTIONS[name]
        rules = [r.id for r in self.active_rules if not r.each and set(r.scope) <= set(variables)]
        admitted = tuple(
            tuple(option.id for option in self.admission.options[function])  # type: ignore[index]
            for function in variables
            if function in self.admission.options
        )
        heights = tuple(option.infeed_mm for option in self.admission.options["fill"])
        key = (seen, name, tuple(rules), admitted, heights)
        pool = self.pool
        if key not in pool.sections:
            made = solve_section(self.inquiry, name, self.admission, self.active_rules, self.cancel)
            pool.sections[key] = [
                pool.schemes.setdefault((seen, *_identity(scheme)), scheme) for scheme in made
            ]
        return pool.sections[key]

    @cached_property
    def room(self) -> RoomFilter | None:
        """Which lines fit the room; None where the brief states none, or it is left aside."""
        if room_filter(self.inquiry, self.without) is None:
            return None
        geometries = self.pool.geometries.setdefault(_plain(self.need, rules=False), {})
        stood = self.pool.rooms.setdefault(_room(self.need), {})
        return _RememberingRoom(self.inquiry, geometries, stood)

    @cached_property
    def search(self) -> Search:
        """The search over the joined schemes."""
        need, pool = self.need, self.pool
        seen, placed = _plain(need, rules=False), self.in_a_room
        key = (seen, placed, need.wage_per_h, need.horizon_years, need.discount_rate)
        if seen not in pool.hours:
            pool.hours[seen] = Hours(self.terms)
        if (seen, placed) not in pool.builders:
            pool.builders[seen, placed] = StationBuilder(self.inquiry, may_bend=placed)
        if key not in pool.bundlers:
            pool.bundlers[key] = Bundler(pool.builders[seen, placed], self.terms)
        bundler = pool.bundlers[key]
        return Search(
            self.inquiry, self.joined, bundler, self.terms,
            without=self.without if self.room is None else self.without | self.room.supersedes,
            cancel=self.cancel, hours=pool.hours[seen],
            may_fit=None if self.room is None else self.room.may_fit,
        )  # fmt: skip

    def _again(
        self, need: Need, without: frozenset[str], only: Mapping[Function, str]
    ) -> PooledStudy:
        return PooledStudy(need, self.catalog, self.rules, without, only, self.cancel, self.pool)


def _identity(scheme: Scheme) -> tuple[Any, ...]:
    options = tuple(
        (name, tuple(option.id for option in options)) for name, options in scheme.options.items()
    )
    return scheme.section, options, tuple(scheme.ports.items())


def pooled(study: Study) -> PooledStudy:
    """The same study, sharing with all that are varied from it."""
    if isinstance(study, PooledStudy):
        return study
    made = PooledStudy(
        study.need, study.catalog, study.rules, study.without, study.only, study.cancel
    )
    if "feasible" in study.__dict__:
        made.__dict__["feasible"] = study.feasible
    return made
