"""What changes the answer: the values of wage, volume, horizon, rate and speed at which another
layout comes first, and which is first on which stretch.

The life-cycle cost of a fixed layout is linear in the wage, in the yearly volume and in the annuity
factor (and so, after turning that factor back, in the horizon and the rate). The least cost over
all layouts is then the lower envelope of straight lines, and is traced exactly: solve at both ends;
where their layouts differ, solve where their two lines cross; if nothing undercuts them there, that
is where the answer changes, and else the two halves are looked at in the same way (Eisner and
Severance, "Mathematical techniques for efficient record segmentation in large shared databases",
Journal of the ACM 23, 1976). A higher volume also makes layouts run out of hours, and a higher
speed makes machines too slow: there the next layout is solved for just beyond.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import Literal

from lineconfig.assess.finance import annuity_factor
from lineconfig.brief import View
from lineconfig.connect.assemble import assemble
from lineconfig.layout import Layout
from lineconfig.lifecost import LifeCost, rate_of_annuity, years_of_annuity
from lineconfig.need import Need
from lineconfig.session import Study
from lineconfig.varying import needs
from lineconfig.varying.pooled import PooledStudy, pooled

Parameter = Literal["wage", "volume", "horizon", "discount_rate", "speed"]
PARAMETERS: tuple[Parameter, ...] = ("wage", "volume", "horizon", "discount_rate", "speed")

HALF, DOUBLE = 0.5, 2.0
"""Ends of what is looked at, as shares of the brief's wage, volume and speed."""
HORIZON_YEARS = (1.0, 20.0)
RATES = (0.0, 0.25)
CENT = 0.011
"""Costs are ordered by whole cents: lines that cross within this count as equal."""
JUST_BEYOND = 1e-7
TUNNEL_STEP_CPM = 0.5
"""With a tunnel, which grows with the speed, switching speeds are found to within this."""
MOST_STRETCHES = 60
MOST_DROPS = 2
"""Layouts that may run out of hours above today's volume before the range ends."""
MOST_DROPS_BELOW = 6
"""The same below today's volume."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Values of one parameter over which one layout is first."""

    low: float
    high: float
    layout: Layout | None
    """As solved within the stretch, or at its end; None where nothing is valid."""

    @property
    def id(self) -> str | None:
        """The layout's id."""
        return None if self.layout is None else self.layout.id


@dataclass(frozen=True, slots=True)
class Switching:
    """Which layout is first over a range of one parameter."""

    parameter: Parameter
    field: str
    unit: str
    now: float
    low: float
    high: float
    stretches: tuple[Stretch, ...]
    exact: bool = True
    """False where values are only known to within a step."""
    ends: str = ""
    """Why the range ends early, if it does."""

    @property
    def values(self) -> tuple[float, ...]:
        """The switching values, lowest first."""
        return tuple(stretch.low for stretch in self.stretches[1:])

    @property
    def current(self) -> Stretch:
        """The stretch that holds the brief's own value."""
        holding = [item for item in self.stretches if item.low <= self.now <= item.high]
        return holding[0]

    def nearest(self, holds: Callable[[Layout], bool]) -> tuple[float, Stretch] | None:
        """The value nearest to the brief's own at which a layout of some kind comes first."""
        found: list[tuple[float, float, Stretch]] = []
        for item in self.stretches:
            if item.layout is not None and holds(item.layout):
                value = min(max(self.now, item.low), item.high)
                found.append((abs(value - self.now), value, item))
        return min(found, key=lambda each: each[:2])[1:] if found else None


def at_value(need: Need, parameter: Parameter, value: float) -> Need:
    """The same need with another value of one parameter; volumes all by the same share."""
    match parameter:
        case "wage":
            return needs.with_wage(need, value)
        case "volume":
            return with_share(need, value / need.annual_cans)
        case "horizon":
            return needs.with_horizon(need, value)
        case "discount_rate":
            return needs.with_discount_rate(need, value)
        case "speed":
            return needs.with_speed(need, value)


class Switcher:
    """Traces switching values of one study, sharing what the solves have in common.

    `known` are layouts that the brief allows: where they already hold the least cost, the trace
    only has to prove it.
    """

    def __init__(
        self, study: Study, view: View | None = None, known: Sequence[Layout] = ()
    ) -> None:
        self.study: PooledStudy = pooled(study)
        self.view: View = view or study.need.view
        # In other views a layout that costs less need not come first.
        self.known: dict[str, Layout] = (
            {layout.id: layout for layout in known} if self.view == "life-cycle-cost" else {}
        )
        self._traced: dict[Parameter, Switching | None] = {}

    def of(self, parameter: Parameter) -> Switching | None:
        """The stretches of one parameter; None where the brief gives no value to vary.

        Raises ValueError for a brief that no layout meets.
        """
        if parameter not in self._traced:
            if self.first is None:
                raise ValueError("no layout is valid: there is none to change hands")
            try:
                self._traced[parameter] = _TRACERS[parameter](self)
            except _LostError:
                self._traced[parameter] = None
        return self._traced[parameter]

    def all(self) -> dict[Parameter, Switching]:
        """Every parameter that the brief gives a value to vary."""
        traced = {parameter: self.of(parameter) for parameter in PARAMETERS}
        return {parameter: found for parameter, found in traced.items() if found is not None}

    @cached_property
    def first(self) -> Layout | None:
        """The first layout of the brief as it is."""
        return self.solved(self.study.need)

    def solved(self, need: Need, reached: float = math.inf) -> Layout | None:
        """The first layout of a changed need, for which some layout is known to cost so much."""
        study = self.study.varied(need=need)
        return next(iter(study.best(1, self.view, reached=reached)), None)

    @cached_property
    def annuities(self) -> list[Piece]:
        """Which layout is first over the annuity factors of every horizon and rate looked at."""
        return _annuities(self)


class _LostError(Exception):
    """In a tight room the search may give up at one value and not at another."""


@dataclass(frozen=True)
class _Line:
    """The cost of a layout as a straight line over the axis: `start + slope * x`."""

    layout: Layout
    start: float
    slope: float
    lasts: float = math.inf
    """Value of x up to which the layout is valid."""

    def at(self, x: float) -> float:
        return self.start + self.slope * x


Solve = Callable[[float, float], _Line]
"""Finds the lowest line somewhere, given how low a line is known to be there."""
Piece = tuple[float, float, _Line]
"""A line and from where to where it is the lowest."""


def _envelope(
    known: Iterable[_Line], a: float, b: float, solve: Solve, proved: float | None = None
) -> Iterator[Piece]:
    """Which line is lowest of all from a to b, or up to where the lowest lasts.

    `solve` finds the lowest of all lines somewhere. The lowest of the `known` ones is solved for at
    both ends of its stretch: where nothing undercuts it there, nothing does in between. At `proved`
    the lowest is among the known ones.
    """
    lines = {line.layout.id: line for line in known}
    known_at = {proved}

    def holds(x: float) -> bool:
        """Whether the lowest known line is the lowest of all at x; if not, the lowest is known
        then."""
        if x in known_at:
            return True
        lowest = min((line.at(x) for line in lines.values()), default=math.inf)
        found = solve(x, lowest)
        lines.setdefault(found.layout.id, found)
        known_at.add(x)
        return found.at(x) >= lowest - CENT

    here, last = a, None
    holds(a)
    while here < b:
        lowest = min(line.at(here) for line in lines.values()) + CENT
        line = min(
            (line for line in lines.values() if line.at(here) <= lowest),
            key=lambda line: (line.slope, line is not last, line.at(here), line.layout.classes),
        )
        end = min((b, line.lasts, *_crossings(line, lines.values(), here)))
        if end <= here:
            return
        if holds(end):
            yield here, end, line
            here, last = end, line
            if line.lasts <= end < b:
                return


def _crossings(line: _Line, others: Iterable[_Line], here: float) -> Iterator[float]:
    """Where others come to lie below a line, from somewhere on."""
    for other in others:
        if other.slope < line.slope:
            x = (other.start - line.start) / (line.slope - other.slope)
            if x > here:
                yield x


def _linear(
    switcher: Switcher, a: float, b: float, write: Callable[[float], Need],
    line: Callable[[Layout, float], _Line], now: float,
) -> list[Piece]:  # fmt: skip
    """Stretches where whatever is valid stays so along the axis; `now` is the brief's value."""

    def solve(x: float, reached: float) -> _Line:
        layout = switcher.solved(write(x), reached)
        if layout is None:
            raise _LostError
        return line(layout, x)

    known = [line(layout, now) for layout in switcher.known.values()]
    return list(_envelope(known, a, b, solve))


# --- wage ----------------------------------------------------------------------------------------


def _annuity(need: Need) -> float:
    return annuity_factor(float(need.discount_rate), float(need.horizon_years))


def _wage(switcher: Switcher) -> Switching | None:
    need = switcher.study.need
    now = need.wage_per_h
    if now <= 0:
        return None

    def line(layout: Layout, wage: float) -> _Line:
        cost = LifeCost.of(layout)
        slope = _annuity(need) * cost.people * cost.hours()
        return _Line(layout, layout.money.life_cycle_cost.typical - slope * wage, slope)

    found = _linear(
        switcher, now * HALF, now * DOUBLE, lambda x: needs.with_wage(need, x), line, now
    )
    pieces = [(low, high, piece.layout) for low, high, piece in found]
    return _told("wage", "staff.wage", f"{need.currency}/h", now, pieces)


# --- horizon and rate ----------------------------------------------------------------------------


def _horizons(need: Need) -> tuple[float, float]:
    now = float(need.horizon_years)
    return min(HORIZON_YEARS[0], now), max(HORIZON_YEARS[1], now)


def _rates(need: Need) -> tuple[float, float]:
    return RATES[0], max(RATES[1], float(need.discount_rate))


def _annuities(switcher: Switcher) -> list[Piece]:
    """Costs depend on horizon and rate by the annuity factor alone: one trace serves both."""
    need = switcher.study.need
    rate, years = float(need.discount_rate), float(need.horizon_years)
    shortest, longest = _horizons(need)
    low_rate, high_rate = _rates(need)
    short, long = annuity_factor(rate, shortest), annuity_factor(rate, longest)

    def write(annuity: float) -> Need:
        if short <= annuity <= long:
            return needs.with_horizon(need, years_of_annuity(annuity, rate))
        return needs.with_discount_rate(need, rate_of_annuity(annuity, years, low_rate, high_rate))

    def line(layout: Layout, _: float) -> _Line:
        return _Line(layout, layout.money.first_cost.typical, layout.money.annual_total)

    a, b = annuity_factor(high_rate, years), annuity_factor(low_rate, years)
    return _linear(switcher, min(a, short), max(b, long), write, line, _annuity(need))


def _over_annuity(switcher: Switcher, a: float, b: float) -> list[tuple[float, float, Layout]]:
    return [
        (max(a, low), min(b, high), line.layout)
        for low, high, line in switcher.annuities
        if high > a and low < b
    ]


def _horizon(switcher: Switcher) -> Switching | None:
    need = switcher.study.need
    rate = float(need.discount_rate)
    low, high = _horizons(need)

    def years(annuity: float) -> float:
        return min(high, max(low, years_of_annuity(annuity, rate)))

    found = _over_annuity(switcher, annuity_factor(rate, low), annuity_factor(rate, high))
    turned = [(years(x), years(y), layout) for x, y, layout in found]
    return _told("horizon", "horizon", "years", float(need.horizon_years), turned)


def _rate(switcher: Switcher) -> Switching | None:
    need = switcher.study.need
    years = float(need.horizon_years)
    low, high = _rates(need)

    def rate(annuity: float) -> float:
        return rate_of_annuity(annuity, years, low, high)

    found = _over_annuity(switcher, annuity_factor(high, years), annuity_factor(low, years))
    turned = [(rate(y), rate(x), layout) for x, y, layout in reversed(found)]
    turned[0] = (low, *turned[0][1:])
    turned[-1] = (turned[-1][0], high, turned[-1][2])
    return _told("discount_rate", "discount_rate", "1/year", float(need.discount_rate), turned)


# --- volume --------------------------------------------------------------------------------------


def with_share(need: Need, share: float) -> Need:
    """The same need with a share of every yearly volume; the speed asked for stays."""
    formats = tuple(replace(fmt, annual_cans=fmt.annual_cans * share) for fmt in need.formats)
    return replace(need, formats=formats)


def _volume(switcher: Switcher) -> Switching | None:
    """Over shares of today's volume; layouts drop out as they run out of hours.

    From one dropping out to the next, the lines of all layouts that have the hours at the start are
    traced; what is first is valid as long as it has the hours itself.
    """
    walked = _walked(switcher, HALF)
    if walked[-1][1] < 1:
        # Too many run out of hours on the way to today's volume: look from there on.
        walked = _walked(switcher, 1.0)
    total = switcher.study.need.annual_cans
    scaled = [(low * total, high * total, layout) for low, high, layout in walked]
    told = _told("volume", "formats.annual_cans", "cans/year", total, scaled)
    if walked[-1][1] < DOUBLE or walked[-1][2] is None:
        return replace(told, ends="beyond that the hours run out")
    return told


def _walked(switcher: Switcher, start: float) -> list[tuple[float, float, Layout | None]]:
    """Shares of today's volume from `start` on, until layouts run out of hours too often."""
    found: list[tuple[float, float, Layout | None]] = []
    lines = {
        layout.id: _over_shares(switcher.study.need, layout, 1.0)
        for layout in switcher.known.values()
    }
    end, drops, drops_below = DOUBLE, 0, 0
    while start < end and drops < MOST_DROPS and drops_below < MOST_DROPS_BELOW:
        solve = _lasting(switcher, start)
        # Costs do not depend on the share that a line was found at.
        known = [line for line in lines.values() if line.lasts >= start]
        first = solve(start, min((line.at(start) for line in known), default=math.inf))
        if first is None:
            found.append((start, end, None))
            break
        known.append(first)
        for low, high, line in _envelope(known, start, end, _sure(solve), proved=start):
            found.append((low, high, line.layout))
            lines.setdefault(line.layout.id, line)
        drops_out = found[-1][1]
        drops += 1 <= drops_out < end
        drops_below += drops_out < 1
        start = drops_out if drops_out >= end else drops_out * (1 + JUST_BEYOND)
    return found


def _lasting(switcher: Switcher, start: float) -> Callable[[float, float], _Line | None]:
    """Solves at a share of the volume among the layouts that have the hours at `start`."""
    need, most_hours = switcher.study.need, switcher.study.need.available_hours

    def solve(share: float, reached: float = math.inf) -> _Line | None:
        # Hours grow with the share at the most in proportion: so many are enough for all of them.
        more = share / start
        there = replace(with_share(need, share), hours_per_week=need.hours_per_week * more)
        study = switcher.study.varied(need=there)
        for found in study.found(switcher.view, reached=reached):
            running = found.running
            if running.run_hours / more + running.changeover_hours <= most_hours * (1 + 1e-12):
                return _over_shares(need, assemble(study.inquiry, study.terms, found), share)
        return None

    return solve


def _over_shares(need: Need, layout: Layout, share: float) -> _Line:
    """The cost of a layout, worked out at a share of the volume, over all shares."""
    cost = LifeCost.of(layout)
    each = cost.with_cans + need.wage_per_h * cost.people * cost.run_hours
    slope = _annuity(need) * each / share
    lasts = share * (need.available_hours - cost.changeover_hours) / cost.run_hours
    start_cost = layout.money.life_cycle_cost.typical - slope * share
    return _Line(layout, start_cost, slope, lasts)


def _sure(solve: Callable[[float, float], _Line | None]) -> Solve:
    def solved(x: float, reached: float) -> _Line:
        line = solve(x, reached)
        if line is None:
            raise _LostError
        return line

    return solved


# --- speed ---------------------------------------------------------------------------------------


def _speed(switcher: Switcher) -> Switching | None:
    """A fixed layout costs the same whatever speed is asked for, up to the speed that it has."""
    study = switcher.study
    now = study.need.speed_cpm
    low, high = now * HALF, now * DOUBLE
    if study.need.brief.product.heat_treatment == "tunnel":
        found = _by_halving(switcher, low, high)
        return _told("speed", "speed", "cpm", now, found, exact=False)
    walked: list[tuple[float, float, Layout | None]] = []
    speed_cpm = low
    while speed_cpm < high and len(walked) < MOST_STRETCHES:
        need = needs.with_speed(study.need, speed_cpm)
        layout = switcher.solved(need)
        if layout is None:
            walked.append((speed_cpm, high, None))
            break
        lasts = speed_cpm * _spare(study.need, need, layout)
        walked.append((speed_cpm, min(high, lasts), layout))
        speed_cpm = lasts + SLOWER_CPM
    return _told("speed", "speed", "cpm", now, walked)


SLOWER_CPM = 2e-6
"""Twice what the rule on speed forgives."""


def _spare(original: Need, need: Need, layout: Layout) -> float:
    """How many times the speed asked for a layout has, formats with a speed of their own apart."""
    own = [entry.speed_cpm is not None for entry in original.brief.formats]
    own += [False] * (len(need.formats) - len(own))
    return min(
        (
            rated / fmt.needed_cpm
            for rated, fmt, stated in zip(layout.speed.rated, need.formats, own, strict=True)
            if not stated
        ),
        default=math.inf,
    )


def _by_halving(
    switcher: Switcher, low: float, high: float
) -> list[tuple[float, float, Layout | None]]:
    """Changes of the first layout between evenly spaced speeds, each halved to a step."""
    spots = [low + (high - low) * part / SPOTS for part in range(SPOTS + 1)]

    def first(speed_cpm: float) -> Layout | None:
        return switcher.solved(needs.with_speed(switcher.study.need, speed_cpm))

    def halved(a: float, at_a: Layout | None, b: float, at_b: Layout | None) -> Iterator[
        tuple[float, Layout | None]
    ]:  # fmt: skip
        if _id(at_a) == _id(at_b):
            return
        if b - a <= TUNNEL_STEP_CPM:
            yield b, at_b
            return
        middle = (a + b) / 2
        between = first(middle)
        yield from halved(a, at_a, middle, between)
        yield from halved(middle, between, b, at_b)

    answers = [first(spot) for spot in spots]
    changes = [(low, answers[0])]
    for (a, b), (at_a, at_b) in zip(pairwise(spots), pairwise(answers), strict=True):
        changes += halved(a, at_a, b, at_b)
    ends = [*(start for start, _ in changes[1:]), high]
    return [(start, end, layout) for (start, layout), end in zip(changes, ends, strict=True)]


SPOTS = 8
"""Stretches of speed that are looked at first with a tunnel."""


def _id(layout: Layout | None) -> str | None:
    return None if layout is None else layout.id


# --- the answer ----------------------------------------------------------------------------------


def _told(
    parameter: Parameter, path: str, unit: str, now: float,
    found: Sequence[tuple[float, float, Layout | None]], *, exact: bool = True,
) -> Switching:  # fmt: skip
    """Stretches with neighbours of the same layout joined, and no gaps between them."""
    joined: list[Stretch] = []
    for low, high, layout in found:
        if joined and joined[-1].id == _id(layout):
            joined[-1] = replace(joined[-1], high=high)
        elif joined:
            joined.append(Stretch(joined[-1].high, high, layout))
        else:
            joined.append(Stretch(low, high, layout))
    return Switching(
        parameter, path, unit, now, joined[0].low, joined[-1].high, tuple(joined), exact
    )


_TRACERS: Mapping[Parameter, Callable[[Switcher], Switching | None]] = {
    "wage": _wage,
    "volume": _volume,
    "horizon": _horizon,
    "discount_rate": _rate,
    "speed": _speed,
}
