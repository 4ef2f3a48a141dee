"""Levers: what of a brief can give way, one number or one refusal at a time.

A lever knows the rules and limits that hang on it, and finds the least change with which some line
is valid, the rest of the brief staying as it is.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.limits import ADDITIVE, HOURS, PEOPLE, SQRT3, W_PER_KW, Limit
from lineconfig.choose.rules import length_text
from lineconfig.connect.search import Found
from lineconfig.explain.clashes import Shortfall, used_of
from lineconfig.explain.conflict import line_of
from lineconfig.explain.least import least_of, least_step
from lineconfig.explain.room import ROOM_RULES, lines_without_room
from lineconfig.floorplan.place import stands
from lineconfig.floorplan.room import FLOOR_PLAN
from lineconfig.layout import Station
from lineconfig.need import Need
from lineconfig.sentences import lowered
from lineconfig.session import Study
from lineconfig.varying import needs

BY_ID = {limit.id: limit for limit in (*ADDITIVE, PEOPLE, HOURS)}
HOURS_OF_WEEK, WEEKS_OF_YEAR = 168.0, 53.0
SLOWEST_CPM = 0.1
MOST_TRIES = 12
"""Values of what is not monotone that are tried, nearest first."""
SLACK = 1e-9


@dataclass(frozen=True)
class Change:
    """One change of a brief."""

    field: str
    before: str
    after: str
    """As the brief would say it."""
    text: str
    """In the words of a sentence: `a budget of 312,874 USD (+52,874)`."""
    need: Need
    """The changed need."""
    size: float
    """How much of what there was changes; 1 for a refusal that is given up."""
    shortfall: Shortfall | None = None
    said: str = ""
    """How far short the brief is, as a sentence of its own."""
    line: Found | None = None
    """The line that the sentence speaks of, where it is one."""


@dataclass(frozen=True)
class Lever:
    """One number or refusal of the brief that can give way."""

    field: str
    rules: frozenset[str]
    """Rules and limits that hang on it."""
    least: Callable[[Study], Change | None]
    """The least change with which some line is valid; None where none does."""
    numeric: bool = True


def levers(study: Study) -> list[Lever]:
    """Every lever that the brief has, numbers first."""
    return [*_numbers(study), *_refusals(study)]


# --- numbers that a line's figures settle --------------------------------------------------------


def _numbers(study: Study) -> Iterator[Lever]:
    brief, site = study.need.brief, study.need.brief.site
    if brief.budget is not None:
        yield Lever("budget", frozenset({"budget"}), _budget)
    if brief.staff.per_shift is not None:
        yield Lever("staff.per_shift", frozenset({PEOPLE.id}), _people)
    yield Lever("site.ceiling", CEILING_RULES, _ceiling)
    yield Lever("operation.hours_per_week", _timed(study, {HOURS.id}), _hours_per_week)
    yield Lever("operation.weeks_per_year", _timed(study, {HOURS.id}), _weeks)
    if study.need.changeovers_per_year > 0:
        yield Lever("operation.changeovers_per_week", frozenset({HOURS.id}), _changeovers)
    yield Lever("formats.annual_cans", _timed(study, {HOURS.id}), _volume)
    yield Lever(
        "speed", SPEED_RULES | {HOURS.id} if _tunnel(study) else frozenset({"speed"}), _speed
    )
    if site.length_mm is not None:
        yield Lever("site.length", ROOM_RULES, _room_side("length_mm", "length"))
    if site.width_mm is not None:
        yield Lever("site.width", ROOM_RULES, _room_side("width_mm", "width"))
    if site.power is not None:
        yield Lever("site.power.amperes", frozenset({"power"}), _amperes)
    if site.water_l_min is not None:
        yield Lever("site.water", frozenset({"water"}), _flow("water_l_min", "water"))
    if site.air_l_min is not None:
        yield Lever("site.air", frozenset({"air"}), _flow("air_l_min", "air"))
    if site.door is not None:
        yield Lever("site.door.width", frozenset({"door"}), _door("width"))
        yield Lever("site.door.height", frozenset({"door"}), _door("height"))
    yield Lever("product.carbonation", frozenset({"carbonation", "nitrogen"}), _carbonation)


CEILING_RULES = frozenset({"frame-under-ceiling", "machine-under-ceiling"})
SPEED_RULES = frozenset({"speed", "budget", "floor-length", "floor-area", "power", "water", "air"})
"""A tunnel's belt, and all that hangs on it, grows with the speed; without one only the first."""


def _tunnel(study: Study) -> bool:
    return study.need.brief.product.heat_treatment == "tunnel"


def _timed(study: Study, rules: set[str]) -> frozenset[str]:
    """Rules that hang on time or volume: a speed that was derived from them as well."""
    derived = study.need.brief.speed_cpm is None
    return frozenset(rules) | (SPEED_RULES if derived else frozenset())


def _signed(difference: float, unit: str = "", decimals: int = 0) -> str:
    return f"{difference:+,.{decimals}f} {unit}".strip()


def _number(value: float) -> str:
    return f"{value:.10g}"


def _budget(study: Study) -> Change | None:
    budget = study.need.brief.budget
    line = line_of(study.varied(without=study.without | {"budget"}))
    if budget is None or line is None:
        return None
    after = float(math.ceil(used_of(line, BY_ID["budget"]) - SLACK))
    if after <= budget:
        return None
    currency = study.need.currency
    return Change(
        "budget", budget.text, f"{after:.0f} {currency}",
        f"a budget of {after:,.0f} {currency} ({_signed(after - budget)})",
        needs.with_budget(study.need, after), after / budget - 1,
        Shortfall(after, float(budget), currency),
        f"the cheapest such line costs {after:,.0f} {currency} to buy; the budget is "
        f"{float(budget):,.0f}, {after - budget:,.0f} short", line,
    )  # fmt: skip


def _people(study: Study) -> Change | None:
    people = study.need.brief.staff.per_shift
    line = next(study.varied(without=study.without | {PEOPLE.id}).found("people"), None)
    if people is None or line is None or line.running.people <= people:
        return None
    after = line.running.people
    return Change(
        "staff.per_shift", str(people), str(after),
        f"{after} people on shift ({_signed(after - people)})",
        needs.with_people(study.need, after), after / people - 1,
        Shortfall(after, people, "people"),
        f"such a line needs {after} people at the least; {people} are on shift, "
        f"{after - people} short", line,
    )  # fmt: skip


def _on_steps(
    study: Study,
    rules: Iterable[str],
    now: float,
    step: float,
    up: int,
    write: needs.Write,
    enough: Callable[[Study, Found], float | None],
    far: float,
) -> float | None:
    """The least change in whole steps with which some line is valid.

    `enough` is what a line found would do with (None where that cannot be said); `far` the end of
    what is looked at.
    """
    need = study.need
    relaxed = study.varied(without=study.without | frozenset(rules))
    line = line_of(relaxed)
    if line is None:
        return None
    start = math.floor(now / step + SLACK) if up > 0 else math.ceil(now / step - SLACK)

    def steps(value: float) -> int:
        return math.ceil(value / step - SLACK) if up > 0 else math.floor(value / step + SLACK)

    def opened(place: int) -> int | None:
        there = study.varied(need=write(need, place * step))
        found = line_of(there)
        if found is None:
            return None
        would_do = enough(there, found)
        return place if would_do is None else steps(would_do)

    roomless = _without_room(study)
    if roomless is not None:
        # Where no line would do even without the room, none needs to be put into it.
        bound = _on_steps(roomless, rules, now, step, up, write, enough, far)
        if bound is None:
            return None
        start = round(bound / step)
        if opened(start) is not None:
            return bound
    furthest = math.floor(far / step + SLACK) if up > 0 else math.ceil(far / step - SLACK)
    if (furthest - start) * up <= 0:
        return None
    would_do = enough(relaxed, line)
    ends = [furthest]
    if would_do is not None:
        hoped = steps(would_do)
        if 0 < (hoped - start) * up < (furthest - start) * up:
            ends.insert(0, hoped)
    for end in ends:
        found = least_step(start, end, opened)
        if found is not None:
            return found * step
    return None


def _without_room(study: Study) -> Study | None:
    """The same study without the room, neither placed nor estimated; None where none is asked."""
    if study.room is None:
        return None
    return study.varied(without=study.without | {FLOOR_PLAN} | study.room.supersedes)


def _least_value(study: Study, values: Sequence[float], write: needs.Write) -> float | None:
    """The least change among these values with which some line is valid, least change first."""

    def opens(there: Study) -> Callable[[float], bool]:
        return lambda value: there.varied(need=write(study.need, value)).feasible

    roomless = _without_room(study)
    if roomless is not None:
        bound = least_of(values, opens(roomless))
        if bound is None:
            return None
        if opens(study)(bound):
            return bound
        values = values[values.index(bound) + 1 :]
    return least_of(values, opens(study))


def _hours_per_week(study: Study) -> Change | None:
    need, habits = study.need, study.inquiry.habits

    def write(changed: Need, value: float) -> Need:
        return needs.with_operation(changed, "hours_per_week", value, habits)

    def enough(there: Study, line: Found) -> float | None:
        return None if need.brief.speed_cpm is None else line.running.hours / need.weeks_per_year

    now = need.hours_per_week
    rules = _timed(study, {HOURS.id})
    after = _on_steps(study, rules, now, 0.1, 1, write, enough, HOURS_OF_WEEK)
    if after is None:
        return None
    after = round(after, 1)
    return Change(
        "operation.hours_per_week", _number(now), _number(after),
        f"{after:,.1f} hours a week ({_signed(after - now, decimals=1)})",
        write(need, after), after / now - 1, Shortfall(after, now, "h/week"),
        f"{need.annual_cans:,.0f} cans a year take {after:,.1f} hours a week at the least; there "
        f"are {now:,.1f}, {after - now:,.1f} short",
    )  # fmt: skip


def _weeks(study: Study) -> Change | None:
    need, habits = study.need, study.inquiry.habits

    def write(changed: Need, value: float) -> Need:
        return needs.with_operation(changed, "weeks_per_year", value, habits)

    def enough(there: Study, line: Found) -> float | None:
        if need.brief.speed_cpm is None:
            return None
        weekly = line.running.changeover_hours / there.need.weeks_per_year
        spare = need.hours_per_week - weekly
        return line.running.run_hours / spare if spare > 0 else None

    now = need.weeks_per_year
    rules = _timed(study, {HOURS.id})
    after = _on_steps(study, rules, now, 1.0, 1, write, enough, WEEKS_OF_YEAR)
    if after is None:
        return None
    return Change(
        "operation.weeks_per_year", _number(now), _number(after),
        f"{after:,.0f} weeks a year ({_signed(after - now)})",
        write(need, after), after / now - 1, Shortfall(after, now, "weeks/year"),
        f"the yearly volume takes {after:,.0f} weeks a year; there are {now:g}",
    )  # fmt: skip


def _changeovers(study: Study) -> Change | None:
    need, habits = study.need, study.inquiry.habits

    def write(changed: Need, value: float) -> Need:
        return needs.with_operation(changed, "changeovers_per_week", max(0.0, value), habits)

    def enough(there: Study, line: Found) -> float | None:
        each = line.running.changeover_hours / there.need.changeovers_per_week if (
            there.need.changeovers_per_week
        ) else 0.0  # fmt: skip
        spare = there.need.available_hours - line.running.run_hours
        return spare / each if each > 0 and spare > 0 else None

    now = need.changeovers_per_week
    after = _on_steps(study, {HOURS.id}, now, 1.0, -1, write, enough, 0.0)
    if after is None:
        return None
    after = max(0.0, after)
    return Change(
        "operation.changeovers_per_week", _number(now), _number(after),
        f"{after:,.0f} format changes a week ({_signed(after - now)})",
        write(need, after), 1 - after / now, Shortfall(after, now, "changes/week"),
        f"the hours allow {after:,.0f} format changes a week; the brief has {now:g}",
    )  # fmt: skip


def _volume(study: Study) -> Change | None:
    need, habits = study.need, study.inquiry.habits
    total = need.annual_cans
    step = 10.0 ** max(0, math.floor(math.log10(max(total, 1.0))) - 3)

    def write(changed: Need, value: float) -> Need:
        return needs.with_volume(changed, value / total, habits)

    def enough(there: Study, line: Found) -> float | None:
        if need.brief.speed_cpm is None:
            return None
        spare = there.need.available_hours - line.running.changeover_hours
        return there.need.annual_cans * spare / line.running.run_hours if spare > 0 else None

    rules = _timed(study, {HOURS.id})
    after = _on_steps(study, rules, total, step, -1, write, enough, step)
    if after is None:
        return None
    after = round(after)
    shares = "" if len(need.formats) == 1 else ", every format by the same share"
    return Change(
        "formats.annual_cans", f"{total:.0f}", f"{after:.0f}",
        f"{after:,.0f} cans a year ({_signed(after - total)}{shares})",
        write(need, after), 1 - after / total, Shortfall(after, total, "cans/year"),
        f"the hours there are make {after:,.0f} cans a year; {total:,.0f} are asked for, "
        f"{total - after:,.0f} too many",
    )  # fmt: skip


def _speed(study: Study) -> Change | None:
    need = study.need
    now = need.speed_cpm
    slower = sorted(_speeds(study.inquiry, now), reverse=True)
    if _tunnel(study):
        after = _near_speed(study, now)
    elif line_of(study.varied(without=study.without | {"speed"})) is None:
        after = None
    else:
        after = _least_value(study, slower, needs.with_speed)
    if after is None:
        return None
    after = round(after, 2)
    stated = need.brief.speed_cpm
    return Change(
        "speed", stated.text if stated is not None else f"{now:.10g} cpm", f"{after:.10g} cpm",
        f"a speed of {after:,.10g} cpm ({_signed(after - now, 'cpm', 1)})",
        needs.with_speed(need, after), abs(1 - after / now), Shortfall(after, now, "cpm"),
        f"the fastest such line makes {after:,.10g} cpm; {now:,.10g} cpm are asked for, "
        f"{now - after:,.10g} short"
        if after < now
        else f"such a line wants to be built for {after:,.10g} cpm, not for {now:,.10g}",
    )  # fmt: skip


def _near_speed(study: Study, now: float) -> float | None:
    """The nearest speed with which some line is valid, tried in steps: with a tunnel, which grows
    with the speed, a slower line may run out of hours where a faster one runs out of money."""
    relaxed = study.varied(without=study.without | SPEED_RULES | {HOURS.id})
    if line_of(relaxed) is None:
        return None

    def opens(speed_cpm: float) -> bool:
        return study.varied(need=needs.with_speed(study.need, speed_cpm)).feasible

    def tried(part: int) -> int:
        return round(now * (1 + part / TUNNEL_PARTS) * TENTHS)

    for step in range(1, TUNNEL_STEPS + 1):
        for side in (-1, 1):
            if opens(tried(side * step) / TENTHS):
                # The step before does not: what is nearest lies between the two.
                between = range(tried(side * (step - 1)) + side, tried(side * step) + side, side)
                return least_of([each / TENTHS for each in between], opens)
    return None


TENTHS = 10
TUNNEL_PARTS, TUNNEL_STEPS = 50, 25
"""Steps of a fiftieth, up to half of the speed; in between, tenths of a can per minute."""


def _speeds(inquiry: Inquiry, now: float) -> set[float]:
    """Speeds below this one at which some class just keeps up [cpm], in hundredths."""
    need = inquiry.need
    own = [entry.speed_cpm is not None for entry in need.brief.formats]
    own += [False] * (len(need.formats) - len(own))
    speeds = set()
    for options in inquiry.options.values():
        for option in options:
            keeps_up = [
                rated / (fmt.needed_cpm / now)
                for rated, fmt, stated in zip(option.rated_cpm, need.formats, own, strict=True)
                if not stated
            ]
            most = min(keeps_up, default=math.inf)
            if SLOWEST_CPM <= most < now:
                speeds.add(math.floor(most * 100 + 1e-6) / 100)
    return speeds


# --- the room ----------------------------------------------------------------------------------


def _room_side(key: str, name: str) -> Callable[[Study], Change | None]:
    def least(study: Study) -> Change | None:
        need = study.need
        now = getattr(need.brief.site, key)
        if now is None:
            return None
        write = needs.site_length(key)

        def enough(there: Study, line: Found) -> float | None:
            return _side_enough(there.inquiry, line, key)

        if study.room is not None:
            after = _placed_side(study, write, float(now))
        else:
            after = _on_steps(study, ROOM_RULES, float(now), 10.0, 1, write, enough, LONGEST_MM)
        if after is None:
            return None
        word = "long" if name == "length" else "wide"
        return Change(
            f"site.{name}", now.text, f"{after:.0f} mm",
            f"a room {length_text(after)} {word} ({_signed(after - now, 'mm')})",
            write(need, after), after / now - 1, Shortfall(after, float(now), "mm"),
            f"such a line wants a room {length_text(after)} {word}; it is {length_text(now)}, "
            f"{after - now:,.0f} mm short",
        )  # fmt: skip

    return least


LONGEST_MM = 1_000_000.0
LONGEST_SHARE = 4
"""Times the side of a room up to which a line is tried in it."""


def _placed_side(study: Study, write: needs.Write, now: float) -> float | None:
    """A side of the room with which some line stands in it [mm].

    The least for the lines looked at: those that take least floor, cost least, or are best in the
    client's order.
    """
    best: float | None = None
    start = math.floor(now / STEP_MM + SLACK)
    for stations in lines_without_room(study):

        def stood(step: int, stations: tuple[Station, ...] = stations) -> int | None:
            there = Inquiry(write(study.need, step * STEP_MM), study.catalog)
            return step if stands(stations, there) else None

        end = start * LONGEST_SHARE if best is None else round(best / STEP_MM) - 1
        if end > start:
            found = least_step(start, end, stood)
            best = best if found is None else found * STEP_MM
    return best


STEP_MM = 10.0


def _side_enough(inquiry: Inquiry, line: Found, key: str) -> float | None:
    """The side of a room that a line would do with, the other side as it is [mm]."""
    site, habits = inquiry.need.brief.site, inquiry.habits
    other = site.width_mm if key == "length_mm" else site.length_mm
    if other is None or site.length_mm is None or site.width_mm is None:
        return None
    wanted = [0.0]
    for item in line.stated:
        size = item.station.option.equipment.size
        if size is not None:
            long_mm, short_mm = sorted((size.length_mm, size.width_mm), reverse=True)
            if long_mm <= other:
                wanted.append(short_mm)
            elif short_mm <= other:
                wanted.append(long_mm)
            else:
                return None
    blocked = sum(item.length_mm * item.width_mm for item in site.obstacles)
    wanted.append((used_of(line, BY_ID["floor-area"]) * 1e6 + blocked) / other)
    in_flow_mm, pitch_mm = (
        used_of(line, BY_ID["floor-length"]),
        (habits.walkway_mm + habits.pallet_approach_mm),
    )
    if key == "length_mm":
        wanted.append(in_flow_mm / max(1.0, site.width_mm // pitch_mm))
    else:
        rows = math.ceil(in_flow_mm / site.length_mm - SLACK)
        wanted.append(rows * pitch_mm if rows > 1 else 0.0)
    return max(wanted)


def _ceiling(study: Study) -> Change | None:
    free = study.varied(without=study.without | CEILING_RULES)
    if line_of(free) is None:
        return None
    need = study.need
    now = study.inquiry.ceiling_mm
    clearance_mm = study.inquiry.habits.ceiling_clearance_mm
    heights = {
        option.equipment.size.height_mm + clearance_mm
        for options in free.admission.options.values()
        for option in options
        if option.equipment.size is not None and not option.has("sweeps-layers")
    }
    stacks = set()
    for scheme in free.joined["empties"]:
        supply, unload, lower = (scheme.first(f) for f in ("supply", "unload", "lower"))
        plan = free.inquiry.heights(supply, unload, lower, scheme.ports["infeed"], ceiling=False)
        heights.add(plan.ceiling_needed_mm)
        stacks.add(float(math.ceil(plan.stack_mm + clearance_mm - SLACK)))
    wanted = sorted({float(math.ceil(height - SLACK)) for height in heights if height > now})
    after = _least_value(study, wanted, needs.with_ceiling)
    if after is None:
        return None
    why = ", for its empties as they are delivered" if after in stacks else ""
    return Change(
        "site.ceiling", need.brief.site.ceiling_mm.text, f"{after:.0f} mm",
        f"a ceiling of {length_text(after)} ({_signed(after - now, 'mm')})",
        needs.with_ceiling(need, after), after / now - 1, Shortfall(after, now, "mm"),
        f"such a line needs a ceiling of {length_text(after)} at the least{why}; there are "
        f"{length_text(now)}, {after - now:,.0f} mm short",
    )  # fmt: skip


def _door(side: str) -> Callable[[Study], Change | None]:
    def least(study: Study) -> Change | None:
        need, door = study.need, study.need.brief.site.door
        if door is None or line_of(study.varied(without=study.without | {"door"})) is None:
            return None
        now = door.width_mm if side == "width" else door.height_mm
        sizes = {
            float(math.ceil(length_mm - SLACK))
            for options in study.inquiry.options.values()
            for option in options
            for piece in (option.equipment.size, option.equipment.largest_part)
            if piece is not None
            for length_mm in sorted((piece.length_mm, piece.width_mm, piece.height_mm))[:2]
            if length_mm > now
        }

        def write(changed: Need, value: float) -> Need:
            return needs.with_door(changed, **{f"{side}_mm": value})

        after = _least_value(study, sorted(sizes), write)
        if after is None:
            return None
        word = "wide" if side == "width" else "high"
        return Change(
            f"site.door.{side}", now.text, f"{after:.0f} mm",
            f"a door {length_text(after)} {word} ({_signed(after - now, 'mm')})",
            write(need, after), after / now - 1, Shortfall(after, float(now), "mm"),
            f"the pieces of such a line want a door {length_text(after)} {word}; it is "
            f"{length_text(now)}, {after - now:,.0f} mm short",
        )  # fmt: skip

    return least


# --- utilities ---------------------------------------------------------------------------------


def _amperes(study: Study) -> Change | None:
    power = study.need.brief.site.power
    if power is None:
        return None

    def enough(there: Study, line: Found) -> float | None:
        return _drawn_amperes(there.inquiry, used_of(line, BY_ID["power"]))

    now = float(power.amperes)
    after = _on_steps(study, {"power"}, now, 1.0, 1, needs.with_amperes, enough, 10_000.0)
    if after is None:
        return None
    return Change(
        "site.power.amperes", _number(now), _number(after),
        f"a connection of {after:,.0f} A ({_signed(after - now, 'A')})",
        needs.with_amperes(study.need, after), after / now - 1, Shortfall(after, now, "A"),
        f"such a line draws {after:,.0f} A at the least; the site gives {now:,.10g} A, "
        f"{after - now:,.10g} A short",
    )  # fmt: skip


def _drawn_amperes(inquiry: Inquiry, power_kw: float) -> float:
    power, habits = inquiry.need.brief.site.power, inquiry.habits
    assert power is not None
    factor = SQRT3 if power.phases == 3 else 1.0
    return power_kw * habits.simultaneity / habits.power_factor * W_PER_KW / (factor * power.volts)


def _flow(key: str, name: str) -> Callable[[Study], Change | None]:
    def least(study: Study) -> Change | None:
        now = getattr(study.need.brief.site, key)
        if now is None:
            return None
        limit: Limit = BY_ID[name]

        def enough(there: Study, line: Found) -> float | None:
            return used_of(line, limit)

        write = needs.site_flow(key)
        after = _on_steps(study, {name}, float(now), 0.1, 1, write, enough, 1e6)
        if after is None:
            return None
        after = round(after, 1)
        return Change(
            f"site.{name}", now.text, f"{after:.10g} l/min",
            f"{after:,.1f} l/min of {name} ({_signed(after - now, 'l/min', 1)})",
            write(study.need, after), after / now - 1 if now else 1.0,
            Shortfall(after, float(now), "l/min"),
            f"such a line draws {after:,.1f} l/min of {name} at the least; the site gives "
            f"{float(now):,.1f}, {after - now:,.1f} short",
        )  # fmt: skip

    return least


# --- the product -------------------------------------------------------------------------------


def _carbonation(study: Study) -> Change | None:
    relaxed = study.varied(without=study.without | {"carbonation", "nitrogen"})
    if line_of(relaxed) is None:
        return None
    need, now = study.need, study.need.carbonation_vol
    ends = {float(study.inquiry.habits.nitrogen_below_vol)}
    for option in study.inquiry.options["fill"]:
        accepts = option.equipment.accepts
        if accepts is not None and accepts.carbonation_vol is not None:
            ends |= {float(accepts.carbonation_vol.least), float(accepts.carbonation_vol.most)}
    # Just below the limit, nitrogen is needed; at it, not.
    ends |= {round(study.inquiry.habits.nitrogen_below_vol - 0.01, 2)}
    for after in sorted(ends - {now}, key=lambda value: abs(value - now))[:MOST_TRIES]:
        if after < 0 or not study.varied(need=needs.with_carbonation(need, after)).feasible:
            continue
        stated = need.brief.product.carbonation_vol
        before = stated.text if stated is not None else f"{now:g} vol"
        return Change(
            "product.carbonation", before, f"{after:.10g} vol",
            f"a carbonation of {after:g} vol ({_signed(after - now, 'vol', 2)})",
            needs.with_carbonation(need, after), abs(after - now) / max(now, 0.1),
            Shortfall(after, now, "vol"),
            f"such a line fills {after:g} vol; the product has {now:g} vol",
        )  # fmt: skip
    return None


# --- refusals ----------------------------------------------------------------------------------

SUPPLY_RULES = frozenset(
    {"supply-form", "unloader-takes-supply", "level-supply", "heights-connect", "ladder-work",
     "frame-under-ceiling", "stack-to-the-lip", "rinse-wanted", PEOPLE.id}
)  # fmt: skip
FORMAT_RULES = frozenset(
    {"container-fits", "closing", "speed", "format-count", "supply-form", "unloader-takes-supply",
     "frame-under-ceiling", "heights-connect", "swapped-within-reach", "rinse-wanted", "label",
     "ladder-work", "nitrogen", HOURS.id, PEOPLE.id, "budget"}
)  # fmt: skip


def _refusals(study: Study) -> Iterator[Lever]:
    need, brief, classes = study.need, study.need.brief, study.catalog.classes
    if not brief.staff.ladder_work:
        yield _refusal(
            "staff.ladder_work", {"ladder-work"}, "false", "true",
            "ladder or platform work allowed", needs.with_ladder_work,
        )  # fmt: skip
    words = {"stowed": "a line that is packed away between runs", "fixed": "a line that stays"}
    for mobility in CALMER[brief.mobility]:
        yield _refusal(
            "mobility", {"mobility", "door"}, brief.mobility, mobility,
            f"{words[mobility]} (mobility: {mobility})", _choosing("mobility", mobility),
        )  # fmt: skip
    if brief.rinse == "required":
        yield _refusal(
            "rinse", {"rinse-wanted"}, brief.rinse, "auto",
            "a rinse only where the containers ask for it (rinse: auto)",
            _choosing("rinse", "auto"),
        )  # fmt: skip
    if brief.rinse != "none-accepted":
        yield _refusal(
            "rinse", {"rinse-wanted"}, brief.rinse, "none-accepted",
            "containers filled unrinsed (rinse: none-accepted)",
            _choosing("rinse", "none-accepted"),
        )  # fmt: skip
    for key, rule, verb in (
        ("exclude", "excluded", "accepting"), ("require", "required", "not insisting on")
    ):  # fmt: skip
        members: Sequence[str] = getattr(brief, key)
        for member in members:
            name = lowered(classes[member].name) if member in classes else f"any {member} class"
            rest = ", ".join(item for item in members if item != member)
            yield _refusal(
                key, {rule}, ", ".join(members), rest, f"{verb} {name}", _dropping(key, member)
            )
        if len(members) > 1:
            yield _refusal(
                key, {rule}, ", ".join(members), "", f"nothing under {key}", _choosing(key, [])
            )
    power = brief.site.power
    if power is not None and power.phases == 1:
        yield _refusal(
            "site.power.phases", {"three-phase", "power"}, "1", "3",
            "a three-phase connection of the same amperes", needs.with_three_phases,
        )  # fmt: skip
    if any(fmt.supply for fmt in need.formats):
        stated = ", ".join(sorted({fmt.supply for fmt in need.formats if fmt.supply}))
        yield _refusal(
            "formats.supply", SUPPLY_RULES, stated, "",
            "empties supplied in whichever form suits the line", needs.with_any_supply,
        )  # fmt: skip
    if any(fmt.label == "wrap" for fmt in need.formats):
        yield _refusal(
            "formats.label", {"label", "label-on-dry-can", PEOPLE.id, HOURS.id, "budget"},
            "wrap", "printed", "containers that arrive printed", needs.with_printed_containers,
        )  # fmt: skip
    for fmt in need.formats if len(need.formats) > 1 else ():
        yield _refusal(
            "formats", FORMAT_RULES, fmt.id, "", f"doing without {fmt.container.name}",
            _without_format(fmt.id),
        )  # fmt: skip
    for item in brief.existing:
        yield _refusal(
            "existing", OWNED_RULES, item.function, "",
            f"not using the owned {item.function} equipment", _dropping("existing", item),
        )  # fmt: skip


CALMER = {"mobile": ("stowed", "fixed"), "stowed": ("fixed",), "fixed": ()}
"""What asks less of the machines."""


def _refusal(
    path: str, rules: Iterable[str], before: str, after: str, text: str,
    write: Callable[[Need], Need],
) -> Lever:  # fmt: skip
    def least(study: Study) -> Change | None:
        changed = write(study.need)
        if changed is study.need or not study.varied(need=changed).feasible:
            return None
        return Change(path, before, after, text, changed, 1.0)

    return Lever(path, frozenset(rules), least, numeric=False)


def _choosing(key: str, value: object) -> Callable[[Need], Need]:
    return lambda need: needs.with_choice(need, key, value)


def _dropping(key: str, member: object) -> Callable[[Need], Need]:
    return lambda need: needs.without_member(need, key, member)


def _without_format(container_id: str) -> Callable[[Need], Need]:
    def write(need: Need) -> Need:
        places = [place for place, fmt in enumerate(need.formats) if fmt.id == container_id]
        return needs.without_format(need, places[0]) if places and need.formats[1:] else need

    return write


OWNED_RULES = frozenset(
    {"container-fits", "closing", "speed", "carbonation", "filler-height", "heights-connect",
     "frame-under-ceiling", "mobility", "three-phase", "machine-in-room", HOURS.id, PEOPLE.id,
     "machine-under-ceiling", "required", "excluded", "coder-place", "unloader-takes-supply"}
)  # fmt: skip
