"""Bundles: sets of ways to build a section, with figures that none of them undercuts.

The root bundle of a section holds everything; its parts are clusters with the same ports and main
machines, theirs are single schemes, and a scheme's parts fix one function's station after the
other, down to bundles of exactly one way each. The search opens bundles only where their bounds
promise something. Bundles and their parts are shared by all that look at them, and made when
first asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from typing import Any

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


Weighed = tuple[tuple[float, ...], tuple[float, ...]]


def _by_column(function: Callable[[Iterable[float]], float], rows: Sequence[Weighed]) -> Weighed:
    """Sums or minima of weighed figures, price by price."""
    plain, with_changes = zip(*rows, strict=True)
    return (
        tuple(map(function, zip(*plain, strict=True))),
        tuple(map(function, zip(*with_changes, strict=True))),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Stated:
    """A station with the figures that the search adds up."""

    station: Station
    first_cost: Range
    whole: tuple[int, int]
    """First cost and floor area in whole `PARTS`, so that sums do not depend on their order."""
    standing: float
    """Cost over the line's life whatever the hours."""
    weighed: Weighed
    """Standing cost and work together, at each of `Terms.person_prices`; then the same with the
    work of a year's format changes counted in."""
    per_hour: float
    """Electricity and rinse water of an hour [currency]."""
    uses: tuple[float, ...]
    """What it takes of each additive limit, in the order of `limits.ADDITIVE`."""

    @property
    def class_id(self) -> str:
        """The station's class."""
        return self.station.option.id


def state(station: Station, terms: Terms) -> Stated:
    """The figures of one station under the client's terms."""
    first_cost = station.first_cost * terms.buy_factor
    in_flow_mm = 0.0 if station.function in BESIDE_THE_FLOW else station.length_mm
    standing = first_cost.typical + terms.annuity * sum(station.yearly.values())
    share = terms.share_of_a_person(station)
    changes = terms.annuity * terms.labour(
        0.0, terms.changeover_hours(station.changeover_person_min, 0.0, 1), 1
    )
    return Stated(
        station=station,
        first_cost=first_cost,
        whole=(round(first_cost.typical * PARTS), round(station.area_m2 * PARTS)),
        standing=standing,
        weighed=(
            tuple(standing + price * share for price in terms.person_prices),
            tuple(standing + changes + price * share for price in terms.person_prices),
        ),
        per_hour=terms.per_hour(station),
        uses=(
            first_cost.typical, in_flow_mm, station.area_m2,
            station.power_kw, station.water_l_min, station.air_l_min,
        ),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Place:
    """One function of a bundle, the stations that may serve it, and the least they come to."""

    function: str
    stated: tuple[Stated, ...]
    first_cost: int
    area: int
    standing: float
    standing_most: float
    weighed: Weighed
    per_hour: float
    uses: tuple[float, ...]
    always: bool
    minutes_per_can: tuple[float, ...]
    stops_least: float
    stops_most: float
    stop_min: float
    repairs_most: float
    """Fastest clearing of any station here [1/min]; zero where none stops."""
    holds_most: int
    changeover_min: float
    changeover_person_min: float
    speed_least: tuple[float, ...]
    speed_most: tuple[float, ...]


def place(function: str, stated: Sequence[Stated]) -> Place:
    """The least figures of the stations that may serve one function."""
    stations = [item.station for item in stated]
    stopping = [s for s in stations if s.stop_min_per_can > 0]
    standings = [item.standing for item in stated]
    attended = [s.always for s in stations]
    if any(attended) and not all(attended):
        # One person at an always-attended station may do more than its tasks alone would take.
        minutes = (0.0,) * len(stations[0].minutes_per_can)
    else:
        minutes = tuple(map(min, zip(*(s.minutes_per_can for s in stations), strict=True)))
    return Place(
        function=function,
        stated=tuple(stated),
        first_cost=min(item.whole[0] for item in stated),
        area=min(item.whole[1] for item in stated),
        standing=min(standings),
        standing_most=max(standings),
        weighed=_by_column(min, [item.weighed for item in stated]),
        per_hour=min(item.per_hour for item in stated),
        uses=tuple(map(min, zip(*(item.uses for item in stated), strict=True))),
        always=all(attended),
        minutes_per_can=minutes,
        stops_least=min(s.stops_per_can for s in stations),
        stops_most=max(s.stops_per_can for s in stations),
        stop_min=min(s.stop_min_per_can for s in stations),
        repairs_most=max((s.stops_per_can / s.stop_min_per_can for s in stopping), default=0.0),
        holds_most=max(s.holds_cans for s in stations),
        changeover_min=min(s.changeover_min for s in stations),
        changeover_person_min=min(s.changeover_person_min for s in stations),
        speed_least=tuple(map(min, zip(*(s.rated_cpm for s in stations), strict=True))),
        speed_most=tuple(map(max, zip(*(s.rated_cpm for s in stations), strict=True))),
    )


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
        self.weighed = _by_column(sum, [p.weighed for p in places])
        """Least of standing cost and work together, at each of `Terms.person_prices`."""
        self.per_hour = sum(p.per_hour for p in places)
        self.uses = tuple(map(sum, zip(*(p.uses for p in places), strict=True)))
        self.always = tuple(p.always for p in places if p.always or any(p.minutes_per_can))
        self.minutes_per_can = tuple(
            p.minutes_per_can for p in places if p.always or any(p.minutes_per_can)
        )
        self.stops_per_can = sum(p.stops_least for p in places)
        self.stop_min_per_can = sum(p.stop_min for p in places)
        self.holds_cans = sum(p.holds_most for p in places)
        self.changeover_min = max(p.changeover_min for p in places)
        self.changeover_person_min = sum(p.changeover_person_min for p in places)
        self.speed_least = tuple(map(min, zip(*(p.speed_least for p in places), strict=True)))
        self.speed_most = tuple(map(min, zip(*(p.speed_most for p in places), strict=True)))
        self._workloads: dict[tuple[float, ...], tuple[float, ...]] = {}

    @cached_property
    def repairs_per_min(self) -> float:
        """Fastest mean clearing of stops that any of its ways can have [1/min]."""
        if self.stop_min_per_can == 0:
            return max((p.repairs_most for p in self.places), default=0.0) or 1.0
        most_stops = sum(p.stops_most for p in self.places)
        fastest = max(p.repairs_most for p in self.places)
        return min(fastest, most_stops / self.stop_min_per_can) or 1.0

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
        chosen = self.places[widest]
        return tuple(
            Bundle(
                self.section,
                self.ports,
                (*self.places[:widest], place(chosen.function, [one]), *self.places[widest + 1 :]),
                self.scheme,
            )
            for one in chosen.stated
        )

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

    def _state(self, station: Station) -> Stated:
        if station not in self._stated:
            self._stated[station] = state(station, self._terms)
        return self._stated[station]

    def scheme_bundle(self, scheme: Scheme, only: Mapping[str, frozenset[str]]) -> Bundle | None:
        """All ways of one scheme with the allowed classes; None where there is none."""
        places = []
        for slot in self._builder.slots(scheme):
            stated = self._allowed(slot, only)
            if not stated:
                return None
            places.append(place(slot.function, stated))
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
        made = [self.scheme_bundle(scheme, only or {}) for scheme in schemes]
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
    by_function: dict[str, dict[Stated, None]] = {}
    absent: set[str] = set()
    names = {p.function for bundle in bundles for p in bundle.places}
    for bundle in bundles:
        for each in bundle.places:
            by_function.setdefault(each.function, {}).update(dict.fromkeys(each.stated))
        absent |= names - {p.function for p in bundle.places}
    # A coder may stand at either end of the filling side, and joints may be missing: such functions
    # are left out of the sums of a mixed bundle, which only makes its bound lower.
    loose = absent | {name for name in names if name == "code" and not ports}
    places = [
        place(function, list(stated))
        for function, stated in by_function.items()
        if function not in loose
    ]
    bundle = Bundle(bundles[0].section, ports, places, None, lambda: bundles)
    bundle.speed_least = tuple(map(min, zip(*(b.speed_least for b in bundles), strict=True)))
    bundle.speed_most = tuple(map(max, zip(*(b.speed_most for b in bundles), strict=True)))
    bundle.holds_cans = max(b.holds_cans for b in bundles)
    bundle.repairs_per_min = max(b.repairs_per_min for b in bundles)
    return bundle
