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
from collections.abc import Callable, Iterator, Mapping, Sequence
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
    """Traces switching values of one study, sharing what the solves have in common."""

    def __init__(self, study: Study, view: View | None = None) -> None:
        self.study: PooledStudy = pooled(study)
        self.view: View = view or study.need.view
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

    def solved(self, need: Need) -> Layout | None:
        """The first layout of a changed need."""
        return next(iter(self.study.varied(need=need).best(1, self.view)), None)


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


Solve = Callable[[float], _Line]


def _envelope(low: _Line, high: _Line, a: float, b: float, solve: Solve) -> list[float | _Line]:
    """Lines and crossings in order from a to b, where `low` is first at a and `high` at b."""
    if low.layout.id == high.layout.id:
        return [low]
    bend = low.slope - high.slope
    gap = high.at(a) - low.at(a)
    if abs(bend) * (b - a) <= CENT or gap <= CENT / 100:
        # Equal all along, or `high` is as cheap at a already: ties are settled by ids.
        return [low, a, high] if gap <= CENT else [low, b, high]
    x = min(b, max(a, a + gap / bend))
    between = solve(x)
    if between.at(x) >= low.at(x) - CENT or between.layout.id in (low.layout.id, high.layout.id):
        return [low, x, high]
    left = _envelope(low, between, a, x, solve)
    return [*left[:-1], *_envelope(between, high, x, b, solve)]


def _pieces(parts: list[float | _Line], a: float, b: float) -> list[tuple[float, float, _Line]]:
    lines = [part for part in parts if isinstance(part, _Line)]
    ends = [a, *(part for part in parts if not isinstance(part, _Line)), b]
    return [
        (low, high, line)
        for (low, high), line in zip(pairwise(ends), lines, strict=True)
        if high > low
    ]


def _linear(
    switcher: Switcher, a: float, b: float, write: Callable[[float], Need],
    line: Callable[[Layout, float], _Line],
) -> list[tuple[float, float, Layout]]:  # fmt: skip
    """Stretches where whatever is valid stays so along the axis."""

    def solve(x: float) -> _Line:
        layout = switcher.solved(write(x))
        if layout is None:
            raise _LostError
        return line(layout, x)

    pieces = _pieces(_envelope(solve(a), solve(b), a, b, solve), a, b)
    return [(low, high, piece.layout) for low, high, piece in pieces]


# --- wage ----------------------------------------------------------------------------------------


def _annuity(need: Need) -> float:
    return annuity_factor(float(need.discount_rate), float(need.horizon_years))


def _wage(switcher: Switcher) -> Switching | None:
    need = switcher.study.need
    now = need.wage_per_h
    if now <= 0:
        return None
    a, b = now * HALF, now * DOUBLE

    def line(layout: Layout, wage: float) -> _Line:
        cost = LifeCost.of(layout)
        slope = _annuity(need) * cost.people * cost.hours()
        return _Line(layout, layout.money.life_cycle_cost.typical - slope * wage, slope)

    found = _linear(switcher, a, b, lambda x: needs.with_wage(need, x), line)
    return _told("wage", "staff.wage", f"{need.currency}/h", now, found)


# --- horizon and rate ----------------------------------------------------------------------------


def _over_annuity(
    switcher: Switcher, a: float, b: float, write: Callable[[float], Need]
) -> list[tuple[float, float, Layout]]:
    def line(layout: Layout, annuity: float) -> _Line:
        return _Line(layout, layout.money.first_cost.typical, layout.money.annual_total)

    return _linear(switcher, a, b, write, line)


def _horizon(switcher: Switcher) -> Switching | None:
    need = switcher.study.need
    rate, now = float(need.discount_rate), float(need.horizon_years)
    low, high = min(HORIZON_YEARS[0], now), max(HORIZON_YEARS[1], now)

    def years(annuity: float) -> float:
        return min(high, max(low, years_of_annuity(annuity, rate)))

    a, b = annuity_factor(rate, low), annuity_factor(rate, high)
    found = _over_annuity(switcher, a, b, lambda x: needs.with_horizon(need, years(x)))
    turned = [(years(x), years(y), layout) for x, y, layout in found]
    return _told("horizon", "horizon", "years", now, turned)


def _rate(switcher: Switcher) -> Switching | None:
    need = switcher.study.need
    years, now = float(need.horizon_years), float(need.discount_rate)
    low, high = RATES[0], max(RATES[1], now)

    def rate(annuity: float) -> float:
        return rate_of_annuity(annuity, years, low, high)

    a, b = annuity_factor(high, years), annuity_factor(low, years)
    found = _over_annuity(switcher, a, b, lambda x: needs.with_discount_rate(need, rate(x)))
    turned = [(rate(y), rate(x), layout) for x, y, layout in reversed(found)]
    turned[0] = (low, *turned[0][1:])
    turned[-1] = (turned[-1][0], high, turned[-1][2])
    return _told("discount_rate", "discount_rate", "1/year", now, turned)


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
    end, drops, drops_below = DOUBLE, 0, 0
    while start < end and drops < MOST_DROPS and drops_below < MOST_DROPS_BELOW:
        solve = _lasting(switcher, start)
        first = solve(start)
        if first is None:
            found.append((start, end, None))
            break
        last = solve(end)
        if last is None:
            raise _LostError
        drops_out = end
        for low, high, line in _pieces(
            _envelope(first, last, start, end, _sure(solve)), start, end
        ):
            lasts = min(high, line.lasts)
            if lasts > low:
                found.append((low, lasts, line.layout))
            if lasts < high:
                drops_out = max(lasts, low)
                break
        drops += 1 <= drops_out < end
        drops_below += drops_out < 1
        start = drops_out if drops_out >= end else drops_out * (1 + JUST_BEYOND)
    return found


def _lasting(switcher: Switcher, start: float) -> Callable[[float], _Line | None]:
    """Solves at a share of the volume among the layouts that have the hours at `start`."""
    need, most_hours = switcher.study.need, switcher.study.need.available_hours

    def solve(share: float) -> _Line | None:
        # Hours grow with the share at the most in proportion: so many are enough for all of them.
        more = share / start
        there = replace(with_share(need, share), hours_per_week=need.hours_per_week * more)
        study = switcher.study.varied(need=there)
        for found in study.found(switcher.view):
            running = found.running
            if running.run_hours / more + running.changeover_hours <= most_hours * (1 + 1e-12):
                return line(assemble(study.inquiry, study.terms, found), share)
        return None

    def line(layout: Layout, share: float) -> _Line:
        cost = LifeCost.of(layout)
        each = cost.with_cans + need.wage_per_h * cost.people * cost.run_hours
        slope = _annuity(need) * each / share
        lasts = share * (most_hours - cost.changeover_hours) / cost.run_hours
        start_cost = layout.money.life_cycle_cost.typical - slope * share
        return _Line(layout, start_cost, slope, lasts)

    return solve


def _sure(solve: Callable[[float], _Line | None]) -> Solve:
    def solved(x: float) -> _Line:
        line = solve(x)
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
