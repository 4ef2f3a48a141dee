"""Bundles: sets of ways to build a section, with figures that none of them undercuts.

The root bundle of a section holds everything; its parts are clusters with the same ports and main
machines, theirs are single schemes, and a scheme's parts fix one function's station after the
other, down to bundles of exactly one way each. The search opens bundles only where their bounds
promise something. Bundles and their parts are shared by all that look at them, and made when
first asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import groupby
from operator import mul
from typing import Any, NamedTuple

from lineconfig.assess.money import Range
from lineconfig.choose.sections import Scheme
from lineconfig.connect.stations import BESIDE_THE_FLOW, Slot, StationBuilder
from lineconfig.connect.terms import Terms
from lineconfig.layout import Station

PARTS = 1_000_000
"""Parts in one unit of currency or square metre, counted whole."""

MAIN_FUNCTIONS: Mapping[str, tuple[str, ...]] = {
    "empties": ("unload", "lower"),
    "filling": ("fill",),
    "packing": ("pack", "palletize"),
}
"""Functions whose machines set the character of a section: clusters agree on them."""


BEHIND_THE_TABLE = frozenset({"lower", "rinse"})
"""Functions of the empties side that stand between the unloader's table and the filler: when they
stop, no buffer keeps the filler going."""
SIDES = tuple(MAIN_FUNCTIONS)
"""The sections in flow order, by which stretches are numbered too."""


ByFormat = tuple[float, ...]

Row = tuple[float, float, float, ByFormat, float, ByFormat]
"""Standing cost, running cost of an hour, share of a person, standstill per can by format, labour
of format changes, minutes per can at rated speed by format."""


class Prices(NamedTuple):
    """What a bound counts of each station beside its standing cost."""

    hour: float
    """Of an hour's electricity and water: how many hours, in present value [h]."""
    person: float
    """Of one person over the line's life [currency]."""
    minded: tuple[frozenset[str], ...]
    """By section, the functions whose work takes a share of that person."""
    stop_min: tuple[ByFormat, ...]
    """By stretch and format, of a minute's mean standstill for each can [currency/(min/can)]."""
    changes: bool
    """Whether the labour of format changes counts with the stations."""
    paced: tuple[str, ...]
    """By section, the function whose station sets the pace; empty for none."""
    pace: tuple[tuple[float, ...], ...]
    """By section and format, of a minute per can that this station takes [currency/(min/can)]."""


@dataclass(frozen=True, slots=True, eq=False)
class Stated:
    """A station with the figures that the search adds up."""

    station: Station
    first_cost: Range
    whole: tuple[int, int]
    """First cost and floor area in whole `PARTS`, so that sums do not depend on their order."""
    standing: float
    """Cost over the line's life whatever the hours."""
    share: float
    """Of one person's planned time, at the needed speeds at least."""
    changes: float
    """Cost over the line's life of its own work at format changes."""
    per_hour: float
    """Electricity and rinse water of an hour [currency]."""
    uses: tuple[float, ...]
    """What it takes of each additive limit, in the order of `limits.ADDITIVE`."""
    row: Row
    """What prices are put to."""
    faster: float
    """Its rated speed against the needed one, for the most demanding format [-]."""

    @property
    def class_id(self) -> str:
        """The station's class."""
        return self.station.option.id


def state(station: Station, terms: Terms) -> Stated:
    """The figures of one station under the client's terms."""
    first_cost = station.first_cost * terms.buy_factor
    in_flow_mm = 0.0 if station.function in BESIDE_THE_FLOW else station.length_mm
    standing = first_cost.typical + terms.annuity * sum(station.yearly.values())
    changes = terms.annuity * terms.labour(
        0.0, terms.changeover_hours(station.changeover_person_min, 0.0, 1), 1
    )
    share, per_hour = terms.share_of_a_person(station), terms.per_hour(station)
    pace = tuple(1 / speed for speed in station.rated_cpm)
    return Stated(
        station=station,
        first_cost=first_cost,
        whole=(round(first_cost.typical * PARTS), round(station.area_m2 * PARTS)),
        standing=standing,
        share=share,
        changes=changes,
        per_hour=per_hour,
        uses=(
            first_cost.typical, in_flow_mm, station.area_m2,
            station.power_kw, station.water_l_min, station.air_l_min,
        ),
        row=(standing, per_hour, share, station.stop_min_per_can, changes, pace),
        faster=min(
            speed / needed
            for speed, needed in zip(station.rated_cpm, terms.needed_cpm, strict=True)
        ),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Place:
    """One function of a bundle, the stations that may serve it, and the least they come to."""

    function: str
    stretch: int
    """Of the line between its buffers: 0 up to the unloader's table, 1 to the filler's end, 2."""
    stated: tuple[Stated, ...]
    first_cost: int
    area: int
    standing: float
    standing_most: float
    rows: tuple[Row, ...]
    even: bool
    """Whether every station here stands as long with one format as with another."""
    per_hour: float
    uses: tuple[float, ...]
    always: bool
    attended: bool
    """Whether somebody always stands at any station here."""
    minutes_per_can: tuple[float, ...]
    stops_most: ByFormat
    stop_min: ByFormat
    repairs_most: ByFormat
    """Fastest clearing of any station here [1/min]; zero where none stops."""
    holds_most: int
    changeover_min: float
    changeover_person_min: float
    speed_least: tuple[float, ...]
    speed_most: tuple[float, ...]
    _works: dict[tuple[float, ...], tuple[tuple[float, bool], ...]] = field(
        default_factory=dict, repr=False
    )

    def works(self, speeds_cpm: tuple[float, ...]) -> tuple[tuple[float, bool], ...]:
        """Work of each station for the most demanding format, and whether it is always attended."""
        if speeds_cpm not in self._works:
            self._works[speeds_cpm] = tuple(
                (
                    max(
                        each * speed
                        for each, speed in zip(
                            item.station.minutes_per_can, speeds_cpm, strict=True
                        )
                    ),
                    item.station.always,
                )
                for item in self.stated
            )
        return self._works[speeds_cpm]


def place(section: str, function: str, stated: Sequence[Stated]) -> Place:
    """The least figures of the stations that may serve one function of a section."""
    stations = [item.station for item in stated]
    standings = [item.standing for item in stated]
    attended = [s.always for s in stations]
    if any(attended) and not all(attended):
        # One person at an always-attended station may do more than its tasks alone would take.
        minutes = (0.0,) * len(stations[0].minutes_per_can)
    else:
        minutes = _least(s.minutes_per_can for s in stations)
    return Place(
        function=function,
        stretch=1 if function in BEHIND_THE_TABLE else SIDES.index(section),
        stated=tuple(stated),
        first_cost=min(item.whole[0] for item in stated),
        area=min(item.whole[1] for item in stated),
        standing=min(standings),
        standing_most=max(standings),
        rows=tuple(item.row for item in stated),
        even=all(len(set(s.stop_min_per_can)) == 1 for s in stations),
        per_hour=min(item.per_hour for item in stated),
        uses=_least(item.uses for item in stated),
        always=all(attended),
        attended=any(attended),
        minutes_per_can=minutes,
        stops_most=_most(s.stops_per_can for s in stations),
        stop_min=_least(s.stop_min_per_can for s in stations),
        repairs_most=_most(
            tuple(
                often / lost if lost else 0.0
                for often, lost in zip(s.stops_per_can, s.stop_min_per_can, strict=True)
            )
            for s in stations
        ),
        holds_most=max(s.holds_cans for s in stations),
        changeover_min=min(s.changeover_min for s in stations),
        changeover_person_min=min(s.changeover_person_min for s in stations),
        speed_least=_least(s.rated_cpm for s in stations),
        speed_most=_most(s.rated_cpm for s in stations),
    )


def joined_place(places: Sequence[Place]) -> Place:
    """The least figures of one function over places of several bundles of the same section."""
    first = places[0]
    if len(places) == 1:
        return first
    stated = tuple(dict.fromkeys(item for p in places for item in p.stated))
    if len(stated) == len(first.stated):
        return first
    always, attended = all(p.always for p in places), any(p.attended for p in places)
    minutes = _least(p.minutes_per_can for p in places)
    return Place(
        function=first.function,
        stretch=first.stretch,
        stated=stated,
        first_cost=min(p.first_cost for p in places),
        area=min(p.area for p in places),
        standing=min(p.standing for p in places),
        standing_most=max(p.standing_most for p in places),
        rows=tuple(item.row for item in stated),
        even=all(p.even for p in places),
        per_hour=min(p.per_hour for p in places),
        uses=_least(p.uses for p in places),
        always=always,
        attended=attended,
        minutes_per_can=(0.0,) * len(minutes) if attended and not always else minutes,
        stops_most=_most(p.stops_most for p in places),
        stop_min=_least(p.stop_min for p in places),
        repairs_most=_most(p.repairs_most for p in places),
        holds_most=max(p.holds_most for p in places),
        changeover_min=min(p.changeover_min for p in places),
        changeover_person_min=min(p.changeover_person_min for p in places),
        speed_least=_least(p.speed_least for p in places),
        speed_most=_most(p.speed_most for p in places),
    )


def _least(rows: Iterable[ByFormat]) -> ByFormat:
    """The least of several figures, format by format."""
    return tuple(map(min, zip(*rows, strict=True)))


def _most(rows: Iterable[ByFormat]) -> ByFormat:
    """The most of several figures, format by format."""
    return tuple(map(max, zip(*rows, strict=True)))


def _sum(rows: Iterable[ByFormat]) -> ByFormat:
    """The sum of several figures, format by format."""
    return tuple(map(sum, zip(*rows, strict=True)))


class Stretch(NamedTuple):
    """What a bundle has in one stretch of line between buffers, at its best, by format."""

    stops_per_can: tuple[float, ...]
    """The most there may be: the same standstill in more and shorter stops costs less."""
    stop_min_per_can: tuple[float, ...]
    repairs_per_min: tuple[float, ...]
    """Fastest clearing of any stop [1/min]; zero where nothing stops."""
    speed_least: tuple[float, ...]
    speed_most: tuple[float, ...]

    def joined(self, other: Stretch) -> Stretch:
        """Both as one, without a buffer between them."""
        return Stretch(
            _sum((self.stops_per_can, other.stops_per_can)),
            _sum((self.stop_min_per_can, other.stop_min_per_can)),
            _most((self.repairs_per_min, other.repairs_per_min)),
            _least((self.speed_least, other.speed_least)),
            _least((self.speed_most, other.speed_most)),
        )


def stretch(places: Sequence[Place], number: int, formats: int) -> Stretch:
    """What some places have in one stretch."""
    mine = [p for p in places if p.stretch == number]
    if not mine:
        never, endless = (0.0,) * formats, (float("inf"),) * formats
        return Stretch(never, never, never, endless, endless)
    return Stretch(
        _sum(p.stops_most for p in mine),
        _sum(p.stop_min for p in mine),
        _most(p.repairs_most for p in mine),
        _least(p.speed_least for p in mine),
        _least(p.speed_most for p in mine),
    )


class Way(NamedTuple):
    """One way to build a section, as far as prices look at it."""

    cost: float
    share: float
    """Of one person's time, at the functions minded."""
    settled: Sequence[ByFormat]
    """Standstill of stations without a choice, by stretch and format [min/can]."""
    chosen: Sequence[tuple[int, ByFormat]]
    """Stretch and standstill by format of each station chosen [min/can]."""
    pace: ByFormat
    """Minutes per can at rated speed in the section's own stretch, by format."""

    def stop_min(self, stretch: int) -> ByFormat:
        """Standstill of one stretch, by format [min/can]."""
        return _sum([self.settled[stretch], *(lost for at, lost in self.chosen if at == stretch)])


class Bundle:
    """A set of ways to build one section."""

    def __init__(
        self,
        section: str,
        ports: Mapping[str, Any],
        places: Sequence[Place],
        scheme: Scheme | None = None,
        open_parts: Callable[[], Iterable[Bundle]] | None = None,
    ) -> None:
        self.section = section
        self.ports = ports
        """Ports on which every way in the bundle agrees."""
        self.places = tuple(places)
        self.scheme = scheme
        """The one scheme of all ways in the bundle; None for a cluster of several."""
        self._open_parts = open_parts
        self.first_cost = sum(p.first_cost for p in places)
        self.area = sum(p.area for p in places)
        self.standing = sum(p.standing for p in places)
        self.spread = sum(p.standing_most - p.standing for p in places)
        """How far the standing costs of its ways may lie apart: wide ones are opened first."""
        self.per_hour = sum(p.per_hour for p in places)
        self.uses = _sum(p.uses for p in places)
        self.worked = tuple(p for p in places if p.always or any(p.minutes_per_can))
        """Places where somebody has something to do."""
        self.always = tuple(p.always for p in self.worked)
        self.minutes_per_can = tuple(p.minutes_per_can for p in self.worked)
        self.holds_cans = sum(p.holds_most for p in places)
        self.changeover_min = max(p.changeover_min for p in places)
        self.changeover_person_min = sum(p.changeover_person_min for p in places)
        self.speed_least = _least(p.speed_least for p in places)
        self.speed_most = _least(p.speed_most for p in places)
        numbers = (0, 1) if section == SIDES[0] else (SIDES.index(section),)
        self.stretches = {
            number: stretch(places, number, len(self.speed_most)) for number in numbers
        }
        """Its parts between buffers, by number."""
        self._workloads: dict[tuple[float, ...], tuple[float, ...]] = {}
        self._fixed: dict[tuple[int, int], Bundle] = {}
        self._narrowed: dict[tuple[int, tuple[int, ...]], Bundle] = {}

    @property
    def own(self) -> Stretch:
        """The stretch that carries the section's number."""
        return self.stretches[SIDES.index(self.section)]

    @property
    def single(self) -> bool:
        """Whether it holds exactly one way."""
        return self.scheme is not None and all(len(p.stated) == 1 for p in self.places)

    @property
    def stated(self) -> tuple[Stated, ...]:
        """The stations of a bundle of one way."""
        return tuple(p.stated[0] for p in self.places)

    @cached_property
    def parts(self) -> tuple[Bundle, ...]:
        """Smaller bundles that hold the same ways, each in exactly one of them."""
        if self._open_parts is not None:
            return tuple(self._open_parts())
        assert not self.single, "a single way has no parts"
        widest = max(
            (i for i, p in enumerate(self.places) if len(p.stated) > 1),
            key=lambda i: self.places[i].standing_most - self.places[i].standing,
        )
        return tuple(self.fixed(widest, i) for i in range(len(self.places[widest].stated)))

    def fixed(self, index: int, which: int) -> Bundle:
        """The bundle with one of its places settled."""
        if (index, which) not in self._fixed:
            here = self.places[index]
            one = place(self.section, here.function, [here.stated[which]])
            places = (*self.places[:index], one, *self.places[index + 1 :])
            self._fixed[index, which] = Bundle(self.section, self.ports, places, self.scheme)
        return self._fixed[index, which]

    def narrowed(self, index: int, kept: tuple[int, ...]) -> Bundle:
        """The bundle with only some stations of one of its places."""
        if len(kept) == 1:
            return self.fixed(index, kept[0])
        here = self.places[index]
        if len(kept) == len(here.stated):
            return self
        if (index, kept) not in self._narrowed:
            some = place(self.section, here.function, [here.stated[i] for i in kept])
            places = (*self.places[:index], some, *self.places[index + 1 :])
            self._narrowed[index, kept] = Bundle(self.section, self.ports, places, self.scheme)
        return self._narrowed[index, kept]

    @cached_property
    def fastest(self) -> tuple[float, ...]:
        """Minutes that a can takes at the highest rated speeds, by format [min/can]."""
        return tuple(1 / speed for speed in self.own.speed_most)

    @cached_property
    def paced(self) -> str:
        """The function by whose choice the section's speed varies most; empty for none."""
        slow = [
            (
                sum(
                    max(0.0, 1 / speed - pace)
                    for speed, pace in zip(p.speed_least, self.fastest, strict=True)
                ),
                p.function,
            )
            for p in self.places
            if p.stretch == SIDES.index(self.section)
        ]
        spread, function = max(slow, default=(0.0, ""))
        return function if spread > 0 else ""

    @cached_property
    def paces(self) -> Mapping[str, Sequence[tuple[float, ...]]]:
        """Minutes per can of the section with each station of its places, by function and format.

        A section is no faster than any of its stations.
        """
        return {
            p.function: [tuple(map(max, row[5], self.fastest)) for row in p.rows]
            for p in self.places
        }

    def priced(self, place: Place, prices: Prices, section: int) -> list[float]:
        """What each station of a place comes to at these prices, in the place's order [currency].

        Standing cost, and what the prices make of the rest.
        """
        hour, stops = prices.hour, prices.stop_min[place.stretch]
        person = prices.person if place.function in prices.minded[section] else 0.0
        count = 1.0 if prices.changes else 0.0
        if place.even:
            stop = sum(stops)
            costs = [
                a + hour * b + person * c + stop * d[0] + count * e
                for a, b, c, d, e, _ in place.rows
            ]
        else:
            costs = [
                a + hour * b + person * c + sum(map(mul, stops, d)) + count * e
                for a, b, c, d, e, _ in place.rows
            ]
        if prices.paced[section] == place.function:
            pace = prices.pace[section]
            paces = self.paces[place.function]
            return [
                cost + sum([x * y for x, y in zip(pace, each, strict=True)])
                for cost, each in zip(costs, paces, strict=True)
            ]
        return costs

    @cached_property
    def _settled(self) -> tuple[list[ByFormat], float, float, float, list[tuple[str, float]]]:
        """Sums over the places without a choice: standstill by stretch and format, standing and
        hourly cost, labour of format changes, and the shares of a person by function."""
        stop_min = [(0.0,) * len(self.speed_most) for _ in SIDES]
        standing = hourly = changes = 0.0
        shares = []
        for p in self.places:
            if len(p.rows) == 1:
                ((a, b, share, lost, e, _),) = p.rows
                standing, hourly, changes = standing + a, hourly + b, changes + e
                stop_min[p.stretch] = _sum((stop_min[p.stretch], lost))
                if share:
                    shares.append((p.function, share))
        return stop_min, standing, hourly, changes, shares

    def cheapest(self, prices: Prices, section: int) -> Way:
        """The way that is cheapest at these prices: none in the bundle costs less."""
        settled, standing, hourly, changes, shares = self._settled
        minded, paced = prices.minded[section], prices.paced[section]
        chosen = []
        share = sum([own for function, own in shares if function in minded])
        cost = standing + prices.hour * hourly + prices.person * share
        cost += sum([sum(map(mul, *pair)) for pair in zip(prices.stop_min, settled, strict=True)])
        if prices.changes:
            cost += changes
        pace = self.fastest
        for p in self.places:
            if len(p.rows) == 1:
                if p.function == paced:
                    pace = self.paces[paced][0]
                    cost += sum([x * y for x, y in zip(prices.pace[section], pace, strict=True)])
                continue
            costs = self.priced(p, prices, section)
            least = min(costs)
            which = costs.index(least)
            cost += least
            row = p.rows[which]
            if p.function in minded:
                share += row[2]
            chosen.append((p.stretch, row[3]))
            if p.function == paced:
                pace = self.paces[paced][which]
        if not paced:
            cost += sum([x * y for x, y in zip(prices.pace[section], pace, strict=True)])
        return Way(cost, share, settled, chosen, pace)

    @property
    def ways(self) -> int:
        """Number of ways in it."""
        if self.scheme is None:
            return sum(part.ways for part in self.parts)
        ways = 1
        for each in self.places:
            ways *= len(each.stated)
        return ways

    def workloads(self, speeds_cpm: tuple[float, ...]) -> tuple[float, ...]:
        """Least work at each attended place at these speeds, for the most demanding format."""
        if speeds_cpm not in self._workloads:
            self._workloads[speeds_cpm] = tuple(
                max(each * speed for each, speed in zip(minutes, speeds_cpm, strict=True))
                for minutes in self.minutes_per_can
            )
        return self._workloads[speeds_cpm]


class Bundler:
    """Makes the root bundles of one inquiry's sections."""

    def __init__(self, builder: StationBuilder, terms: Terms) -> None:
        self._builder = builder
        self._terms = terms
        self._stated: dict[Station, Stated] = {}
        self._places: dict[tuple[str, str, tuple[Stated, ...]], Place] = {}
        # By identity: schemes are large to compare. What is kept with its scheme keeps it alive.
        self._whole: dict[int, tuple[Scheme, Bundle]] = {}
        self._roots: dict[tuple[int, ...], tuple[Sequence[Scheme], Bundle | None]] = {}

    def _place(self, section: str, function: str, stated: tuple[Stated, ...]) -> Place:
        """A place, made once: many schemes have the same stations to choose from."""
        key = (section, function, stated)
        if key not in self._places:
            self._places[key] = place(section, function, stated)
        return self._places[key]

    def _state(self, station: Station) -> Stated:
        if station not in self._stated:
            self._stated[station] = state(station, self._terms)
        return self._stated[station]

    def scheme_bundle(self, scheme: Scheme, only: Mapping[str, frozenset[str]]) -> Bundle | None:
        """All ways of one scheme with the allowed classes; None where there is none."""
        narrowed: dict[str, frozenset[str]] = {}
        for function, options in scheme.options.items():
            allowed = only.get(function)
            kept = [allowed is None or option.id in allowed for option in options]
            if not any(kept):
                return None
            if allowed is not None and not all(kept):
                narrowed[function] = allowed
        if narrowed:
            return self._bundle(scheme, narrowed)
        if id(scheme) not in self._whole:
            made = self._bundle(scheme, {})
            assert made is not None
            self._whole[id(scheme)] = scheme, made
        return self._whole[id(scheme)][1]

    def _bundle(self, scheme: Scheme, only: Mapping[str, frozenset[str]]) -> Bundle | None:
        places = []
        for slot in self._builder.slots(scheme):
            stated = self._allowed(slot, only)
            if not stated:
                return None
            places.append(self._place(scheme.section, slot.function, tuple(stated)))
        return Bundle(scheme.section, scheme.ports, places, scheme)

    def _allowed(self, slot: Slot, only: Mapping[str, frozenset[str]]) -> list[Stated]:
        allowed = only.get(slot.function)
        return [
            self._state(station)
            for station in slot.stations
            if allowed is None or station.option.id in allowed
        ]

    def root(
        self, schemes: Sequence[Scheme], only: Mapping[str, frozenset[str]] | None = None
    ) -> Bundle | None:
        """Everything that these schemes of one section allow; None where that is nothing.

        `only` narrows functions to some classes.
        """
        if only:
            return self._root(schemes, only)
        key = tuple(map(id, schemes))
        if key not in self._roots:
            self._roots[key] = schemes, self._root(schemes, {})
        return self._roots[key][1]

    def _root(self, schemes: Sequence[Scheme], only: Mapping[str, frozenset[str]]) -> Bundle | None:
        made = [self.scheme_bundle(scheme, only) for scheme in schemes]
        bundles = [bundle for bundle in made if bundle is not None]
        if not bundles:
            return None
        clusters = [
            cluster(list(group))
            for _, group in groupby(sorted(bundles, key=_character), key=_character)
        ]
        return clusters[0] if len(clusters) == 1 else merged({}, clusters)


def _character(bundle: Bundle) -> tuple[str, ...]:
    assert bundle.scheme is not None
    main = [bundle.scheme.first(f).id for f in MAIN_FUNCTIONS[bundle.section]]  # type: ignore[arg-type]
    return (repr(sorted(bundle.ports.items())), *main)


def cluster(bundles: list[Bundle]) -> Bundle:
    """Bundles with the same ports and main machines as one."""
    return bundles[0] if len(bundles) == 1 else merged(bundles[0].ports, bundles)


def merged(ports: Mapping[str, Any], bundles: Sequence[Bundle]) -> Bundle:
    """A bundle of bundles: its figures are the least of theirs, function by function."""
    by_function: dict[str, dict[Place, None]] = {}
    absent: set[str] = set()
    names = {p.function for bundle in bundles for p in bundle.places}
    for bundle in bundles:
        for each in bundle.places:
            by_function.setdefault(each.function, {})[each] = None
        absent |= names - {p.function for p in bundle.places}
    # A coder may stand at either end of the filling side, and joints may be missing: such functions
    # are left out of the sums of a mixed bundle, which only makes its bound lower.
    loose = absent | {name for name in names if name == "code" and not ports}
    places = [
        joined_place(tuple(same)) for function, same in by_function.items() if function not in loose
    ]
    bundle = Bundle(bundles[0].section, ports, places, None, lambda: bundles)
    bundle.speed_least = _least(b.speed_least for b in bundles)
    bundle.speed_most = _most(b.speed_most for b in bundles)
    bundle.holds_cans = max(b.holds_cans for b in bundles)
    for number in bundle.stretches:
        theirs = [b.stretches[number] for b in bundles]
        bundle.stretches[number] = Stretch(
            _most(each.stops_per_can for each in theirs),
            _least(each.stop_min_per_can for each in theirs),
            _most(each.repairs_per_min for each in theirs),
            _least(each.speed_least for each in theirs),
            _most(each.speed_most for each in theirs),
        )
    return bundle
