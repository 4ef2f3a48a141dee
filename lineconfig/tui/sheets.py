"""The pages of one layout as rows: each row knows which figures it shows, for their basis."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from lineconfig.changes import arrangement_name
from lineconfig.choose.heights import stack_layers
from lineconfig.choose.rules import length_text
from lineconfig.explain import ClassAnswer, why_class
from lineconfig.layout import Layout
from lineconfig.present.change_parts import change_parts
from lineconfig.present.text import differences, plain_name, range_text, short_amount
from lineconfig.quantities import feet_and_inches
from lineconfig.rank import Ranked
from lineconfig.sentences import lowered
from lineconfig.session import Study
from lineconfig.tui.fields import YES_NO, Form, form_for
from lineconfig.tui.glyphs import Glyphs
from lineconfig.tui.rows import clipped


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a page."""

    text: str
    basis: tuple[str, ...] = ()
    """Paths of the figures in it, as `layout_basis` has them."""
    heading: bool = False
    indent: int | None = None
    """For a sentence that is broken into lines where it is shown: the blanks before its first."""

    def fitted(self, width: int) -> str:
        """The text as it stands in so many columns."""
        return self.text if self.indent is None else _broken(self.text, width, self.indent)


@dataclass(frozen=True)
class Subject:
    """What a page is made from."""

    study: Study
    layout: Layout
    ranked: Ranked | None
    first: Layout | None
    """The first of the list, to tell the difference from."""
    width: int
    glyphs: Glyphs

    @property
    def main(self) -> int:
        """The place of the main format."""
        return self.study.need.formats.index(self.study.need.main_format)

    @property
    def currency(self) -> str:
        """The currency's label."""
        return self.study.need.currency


def head(text: str) -> Row:
    """A heading."""
    return Row(text, heading=True)


BLANK = Row("", heading=True)

FIGURES = {
    "price.typical": "price", "speed.most": "speed at most", "heights.infeed": "height in",
    "heights.discharge": "height out", "crew.people": "people",
    "heights_mm.unload_deck": "unloader deck", "heights_mm.frame_top": "unloader's top",
    "heights_mm.highest_point": "highest point",
    "attendance.tasks": "work", "changeover.parts": "change parts",
    "changeover.minutes": "minutes of a change", "changeover.persons": "people at a change",
    "economics.habits.ceiling_clearance": "kept free below the ceiling",
    "speed_cpm.effective": "effective speed", "speed_cpm.rated": "rated speed",
    "speed_cpm.lower_bound": "speed without buffers",
    "speed_cpm.upper_bound": "speed with endless buffers",
    "intervals_min.layer": "minutes between layers",
    "intervals_min.pallet": "minutes between pallets", "floor.area_m2": "floor",
    "utilities.amperes": "current", "changeover_min.line": "minutes of a change",
    "stays_first": "first in price draws", "life_cycle_cost": "cost over the years",
}  # fmt: skip
"""What the paths of figures are called on a screen."""


def figure_in_words(path: str) -> str:
    """The name of a figure, for somebody who does not know the paths."""
    parts = path.split(".")
    short = ".".join(parts[2:]) if parts[0] == "stations" else path
    return FIGURES.get(short) or short.rpartition(".")[2].replace("_", " ")


def _broken(text: str, width: int, indent: int) -> str:
    import textwrap

    return textwrap.fill(
        text, max(20, width), initial_indent=" " * indent, subsequent_indent=" " * (indent + 2),
        break_on_hyphens=False,
    )  # fmt: skip


def _told(text: str, indent: int = 2, *, basis: tuple[str, ...] = ()) -> Row:
    """A sentence."""
    return Row(text, basis, indent=indent)


# --- flow ----------------------------------------------------------------------------------------


def flow_rows(subject: Subject) -> list[Row]:
    """Stations in flow order with heights and speeds; the heights and speeds of the line."""
    layout, main = subject.layout, subject.main
    wide = subject.width >= 100
    in_mm, out_mm, cpm, cost = (8, 8, 7, 10) if wide else (7, 7, 6, 8)
    name_width = min(44, max(24, subject.width - (61 if wide else 33)))
    rows = [
        head(
            f"{'':4}{clipped('station', name_width)}{'in mm':>{in_mm}}{'out mm':>{out_mm}}"
            f"{'cpm':>{cpm}}{'price':>{cost}}"
        )
    ]
    tallest = max((s.infeed_mm or 0.0 for s in layout.stations), default=1.0) or 1.0
    for number, station in enumerate(layout.stations):
        rated = station.rated_cpm[main]
        price = (
            "owned" if station.option.owned else short_amount(station.first_cost.typical)
            if station.first_cost.typical >= 10_000 else f"{station.first_cost.typical:,.0f}"
        )  # fmt: skip
        count = f" x {station.quantity:.0f}" if station.quantity > 1 else ""
        if station.by_length:
            count = f", {station.quantity:.1f} m"
        text = (
            f"{number + 1:>2}  {clipped(station.option.equipment.name + count, name_width)}"
            f"{_mm(station.infeed_mm):>{in_mm}}{_mm(station.discharge_mm):>{out_mm}}"
            f"{f'{rated:,.0f}' if math.isfinite(rated) else '-':>{cpm}}{price:>{cost}}"
        )
        if wide and station.infeed_mm:
            text += "  " + subject.glyphs.full * max(1, round(station.infeed_mm / tallest * 18))
        rows.append(Row(text, _station_basis(number)))
    plan, ceiling = layout.heights, subject.study.inquiry.ceiling_mm
    highest_mm = layout.highest.height_mm
    forms = subject.study.inquiry.forms(layout.station("supply").option)
    delivered = stack_layers(subject.study.need.main_format.container, forms[main])
    rows += [
        BLANK,
        head("Heights"),
        Row(f"  filler infeed     {length_text(layout.infeed_mm)}", ("heights_mm.unload_deck",)),
        Row(f"  unloader deck     {length_text(plan.deck_mm)}", ("heights_mm.unload_deck",)),
        Row(
            f"  drop to filler    {plan.drop_mm:,.0f} mm, least {plan.least_drop_mm:,.0f} mm",
            ("heights_mm.unload_deck",),
        ),
        Row(f"  unloader's top    {length_text(plan.top_mm)}", ("heights_mm.frame_top",)),
        Row(
            f"  highest point     {length_text(highest_mm)}, {layout.highest_name}",
            ("heights_mm.highest_point",),
        ),
        Row(
            f"  below the ceiling {ceiling - highest_mm:,.0f} mm",
            ("heights_mm.highest_point", "economics.habits.ceiling_clearance"),
        ),
        Row(
            f"  layers at once    {plan.layers_at_once[main]} of {delivered}",
            ("pallet_layers_at_once",),
        ),
        BLANK,
        head("Speed, cans a minute"),
    ]
    speed = layout.speed
    for index, fmt in enumerate(subject.study.need.formats):
        rows.append(
            Row(
                f"  {clipped(fmt.container.name, 32)} rated {speed.rated[index]:.0f}, effective "
                f"{speed.effective[index]:.0f}",
                ("speed_cpm.effective", "speed_cpm.rated"),
            )
        )
        rows.append(
            Row(
                f"    between {speed.lower[index]:.0f} without and {speed.upper[index]:.0f} with "
                "endless buffers",
                ("speed_cpm.lower_bound", "speed_cpm.upper_bound"),
            )
        )
    rows.append(
        Row(
            f"  a layer every {layout.layer_interval_min[main]:.1f} min, a pallet every "
            f"{layout.pallet_interval_min[main]:.0f} min",
            ("intervals_min.layer", "intervals_min.pallet"),
        )
    )
    utilities, floor = layout.utilities, layout.floor
    amperes = "" if utilities.amperes is None else f", {utilities.amperes:,.0f} A"
    rows += [
        BLANK,
        head("Floor and supplies"),
        Row(f"  stretched out     {_both(floor.length_mm)}", ("floor.area_m2",)),
        Row(f"  with clearances   {floor.area_m2:,.0f} m2", ("floor.area_m2",)),
        Row(f"  power             {utilities.power_kw:,.1f} kW{amperes}", ("utilities.amperes",)),
        Row(f"  water             {utilities.water_l_min:,.1f} l/min"),
        Row(f"  air               {utilities.air_l_min:,.0f} l/min"),
    ]
    return rows


def _mm(value: float | None) -> str:
    return "-" if value is None else f"{value:,.0f}"


def _both(value: float) -> str:
    return f"{value / 1000:,.2f} m ({feet_and_inches(value)})"


def _station_basis(number: int) -> tuple[str, ...]:
    figures = ("price.typical", "speed.most", "heights.infeed", "heights.discharge")
    return tuple(f"stations.{number}.{figure}" for figure in figures)


# --- people --------------------------------------------------------------------------------------


def people_rows(subject: Subject) -> list[Row]:
    """Posts, then lifts and reaches."""
    from lineconfig.findings.whole import findings_of

    layout = subject.layout
    count = layout.crew.people
    rows = [
        head(f"{count} {'person' if count == 1 else 'people'} on shift, and who minds what"),
    ]
    bar = 12 if subject.width >= 76 else 0
    for number, post in enumerate(layout.crew.posts, 1):
        busy = "always there" if post.always else f"{post.workload:.0%} busy"
        gauge = ""
        if bar:
            filled = bar if post.always else min(bar, round(post.workload * bar))
            gauge = "  " + subject.glyphs.full * filled + subject.glyphs.dot * (bar - filled)
        rows.append(Row(f"  {number}. {busy:13}{gauge}", ("crew.people",)))
        names = [
            plain_name(layout.stations[index].option.equipment)
            for index in sorted(post.stations)
            if layout.crew.workloads[index] > 0 or post.always
        ]
        rows.append(_told(", ".join(names), 5, basis=("crew.people",)))
    rows += [BLANK, head("Work at each station, person-minutes a minute")]
    for index, station in enumerate(layout.stations):
        load = layout.crew.workloads[index]
        if load >= 0.005:
            rows.append(
                Row(
                    f"  {clipped(station.option.equipment.name, 44)}{load:>8.2f}",
                    (f"stations.{index}.attendance.tasks", "crew.people"),
                )
            )
    findings = findings_of(subject.study.inquiry, layout)
    lifts = findings.lifting.lifts
    if lifts:
        rows += [BLANK, head("Lifts: load, recommended at most, and their ratio")]
        for lift in lifts:
            share = lift.lifting_index
            ratio = f"{share:.1f}" if math.isfinite(share) else "no limit"
            over = " above 1: mend the place of work" if share > 1 else ""
            rows.append(
                Row(
                    f"  {clipped(lift.lift, 34)} {lift.load_kg:>6.1f} kg "
                    f"{lift.recommended_kg:>6.1f} kg {ratio:>8}{over}",
                    ("lifting.recommended_kg", "lifting.lifting_index", "lifting.load_kg"),
                )
            )
    if findings.reach:
        rows += [BLANK, head("Work above the shoulder")]
        for reach in findings.reach:
            name = layout.stations[reach.station].option.equipment.name
            stand = (
                f", from a platform {reach.standing_mm:,.0f} mm high" if reach.standing_mm else ""
            )
            rows.append(
                _told(
                    f"{name}, {plain(reach.task)}: hands at {reach.hands_mm:,.0f} mm{stand}",
                    basis=("reaching.hands_mm", "reaching.standing_mm"),
                )
            )
    return rows


def plain(text: str) -> str:
    """A text inside a sentence."""
    return text[:1].lower() + text[1:]


# --- money ---------------------------------------------------------------------------------------


def money_rows(subject: Subject) -> list[Row]:
    """First cost, yearly costs, and what is spent year by year."""
    money, need = subject.layout.money, subject.study.need
    rows = [
        head(f"To buy ({subject.currency})"),
        Row(f"  {'equipment and parts':26}{range_text(money.equipment)}", ("first_cost",)),
        Row(f"  {'first cost, all in':26}{range_text(money.first_cost)}", ("first_cost",)),
        BLANK,
        head(f"Every year ({subject.currency})"),
    ]
    rows += [
        Row(f"  {name:26}{cost:>12,.0f}", _annual_basis(name))
        for name, cost in sorted(money.annual.items(), key=lambda pair: -pair[1])
    ]
    rows += [
        Row(f"  {'together':26}{money.annual_total:>12,.0f}", ("life_cycle_cost",)),
        Row(
            f"  {'hours a year':26}{money.hours:>12,.0f}, of them "
            f"{money.changeover_hours:,.0f} changing over", ("annual_cost.labour",),
        ),
        BLANK,
        head("Over the years"),
        Row(
            f"  {f'cost of {need.horizon_years:g} years':26}{range_text(money.life_cycle_cost)}",
            ("life_cycle_cost",),
        ),
        Row(f"  {'for 1000 cans':26}{money.cost_per_1000_cans:>12,.2f}", ("cost_per_1000_cans",)),
    ]  # fmt: skip
    if subject.ranked is not None:
        ranked = subject.ranked
        years = ranked.payback_years
        back = "never" if years is None else f"{years:.1f} years"
        rows.append(Row(f"  {'pays its extra price in':26}{back:>12}", ("payback_years",)))
        if ranked.stays_first is not None:
            rows.append(
                Row(f"  {'first in price draws':26}{ranked.stays_first:>12.0%}", ("stays_first",))
            )  # fmt: skip
    rows += [BLANK, head("Spent by the end of each year, undiscounted"), *_chart(subject)]
    return rows


def _annual_basis(name: str) -> tuple[str, ...]:
    return (f"annual_cost.{name}", "annual_cost.labour" if name == "labour" else "life_cycle_cost")


def _chart(subject: Subject) -> list[Row]:
    """A bar a year: what is spent so far, in one colour and one sign."""
    money, years = subject.layout.money, round(subject.study.need.horizon_years)
    spent = [
        money.first_cost.typical + money.annual_total * year for year in range(max(1, years) + 1)
    ]
    room = max(10, min(80, subject.width - 22))
    rows = []
    for year, amount in enumerate(spent):
        bar = max(1, round(amount / spent[-1] * room)) if spent[-1] else 0
        label = "to buy" if year == 0 else f"year {year}"
        rows.append(
            Row(
                f"  {label:8}{short_amount(amount):>8}  {subject.glyphs.full * bar}",
                ("first_cost", "life_cycle_cost"),
            )
        )
    return rows


# --- parts ---------------------------------------------------------------------------------------


def parts_rows(subject: Subject) -> list[Row]:
    """Change parts by station, and what a change of format takes."""
    layout, need = subject.layout, subject.study.need
    rows = [head(f"Change parts ({subject.currency})")]
    places = {station.option.id: index for index, station in enumerate(layout.stations)}
    station = ""
    for part in change_parts(subject.study, layout):
        if part.station != station:
            station = part.station
            rows.append(head(f"  {station}"))
        said = f"{part.part} for {part.serves}: "
        said += "comes with the machine" if part.included else range_text(part.price)
        if part.lead_time_weeks is not None and not part.included:
            said += f", {part.lead_time_weeks:g} weeks"
        if part.shared:
            said += f"; shared by {', '.join(part.formats)}"
        path = f"stations.{places[part.class_id]}"
        # Tracks are priced apart from parts: the one that is there is told.
        basis = (f"{path}.changeover.parts", f"{path}.price_per_track.typical")
        rows.append(_told(said, 4, basis=basis))
    if len(rows) == 1:
        rows.append(Row("  none: nothing is changed between the formats of this brief"))
    rows += [BLANK, head("A change of format")]
    if len(need.formats) < 2:
        rows.append(Row("  there is only one format"))
        return rows
    rows.append(
        Row(
            f"  {layout.changeover_min:.0f} min with this crew, "
            f"{layout.changeover_person_min:.0f} person-minutes", ("changeover_min.line",),
        )
    )  # fmt: skip
    rows += [
        Row(
            f"    {clipped(station.option.equipment.name, 44)}{station.changeover_min:>6.0f} min",
            (f"stations.{index}.changeover.minutes", f"stations.{index}.changeover.persons"),
        )
        for index, station in enumerate(layout.stations)
        if station.changeover_min
    ]
    return rows


# --- cautions, why -------------------------------------------------------------------------------


def caution_rows(subject: Subject) -> list[Row]:
    """Every caution with its source."""
    from lineconfig.hazards import cautions_for

    cautions = cautions_for(subject.study.inquiry, subject.layout)
    return [
        head("What can hurt somebody or spoil the product"),
        *(_told(f"! {caution.text} [{caution.basis}]", 0) for caution in cautions),
    ]


def why_rows(subject: Subject) -> Iterator[Row]:
    """What speaks for it, what sets it apart, why other classes are not there, what is assumed."""
    study, layout = subject.study, subject.layout
    yield head("What speaks for it")
    if subject.ranked is not None:
        yield _told(subject.ranked.reason or "It meets every rule and limit.")
        if subject.ranked.drawbacks:
            yield from (BLANK, head("What speaks against it"))
            yield _told(", ".join(subject.ranked.drawbacks))
    if subject.first is not None and subject.first is not layout:
        yield from (BLANK, head("Instead of what the first has"))
        yield _told(differences(study, subject.first, layout))
    if study.need.defaults_used:
        yield from (BLANK, head("Assumed, for want of an answer"))
        for text in study.need.defaults_used:
            yield _told(assumption_in_words(text, form_for(subject.currency)))
    yield from (BLANK, head("Why not something else"))
    shown = [layout, *([subject.first] if subject.first is not None else [])]
    function = ""
    for class_id, equipment in study.catalog.classes.items():
        if class_id in layout.classes or equipment.function == "convey":
            continue
        # A study for each: what one search has worked out serves no other, and takes memory.
        answer = why_class(replace(study), class_id, shown)
        if equipment.function != function:
            function = equipment.function
            yield head(f"  {function.capitalize()}")
        yield _told(_named(answer, subject), 4)


def _named(answer: ClassAnswer, subject: Subject) -> str:
    """What became of a class, with layouts called as they are on the screen and not by their ids.

    The page tells of one layout: that is `this one`, whatever its place.
    """
    text, shown, first = answer.text, subject.layout, subject.first
    if first is not None and first is not shown:
        text = text.replace(f"layout 2 ({first.id})", "the first layout")
        text = text.replace(first.id, "the first layout")
    text = text.replace(shown.id, "this one")
    if answer.layout is not None:
        text = text.replace(f"best layout {answer.layout.id}", "best layout")
    classes = subject.study.catalog.classes
    # What the brief insists on stands in refusals by its id.
    text = ID.sub(lambda m: lowered(classes[m[0]].name) if m[0] in classes else m[0], text)
    name = classes[answer.class_id].name
    # A sentence that names another class than the one that it answers for would be misread.
    return text if text.startswith(name) else f"{name}: {text}"


ID = re.compile(r"[a-z]+(?:-[a-z0-9]+)+")
"""What may be the id of a class: those without a hyphen are words."""


def assumption_in_words(text: str, form: Form) -> str:
    """`product.heat_treatment: none` as the questions put it: `Pasteurize: no`."""
    key, _, value = text.partition(": ")
    value, bracket, why = value.partition(" (")
    field = form.by_key.get(key)
    label = field.label if field is not None else key.rpartition(".")[2].replace("_", " ")
    words = field.in_words(value) if field is not None else value
    return f"{label}: {dict(YES_NO).get(words, words)}{bracket}{why}"


def drawing_rows(subject: Subject) -> list[Row]:
    """Plan and elevation in characters."""
    from lineconfig.drawing.terminal import drawing_lines

    lines = drawing_lines(subject.study, subject.layout, subject.width, subject.glyphs.ascii)
    return [Row(line) for line in lines]


def in_short(study: Study, layout: Layout) -> str:
    """The kind of a line, and the figures that it is judged by."""
    main = study.need.formats.index(study.need.main_format)
    people, money, currency = layout.crew.people, layout.money, study.need.currency
    return (
        f"{arrangement_name(study, layout)}:\n"
        f"{short_amount(money.first_cost.typical)} {currency} to buy, "
        f"{people} {'person' if people == 1 else 'people'}, "
        f"{layout.speed.effective[main]:.0f} cans a minute, {layout.floor.area_m2:.0f} m2, "
        f"{short_amount(money.life_cycle_cost.typical)} {currency} over "
        f"{study.need.horizon_years:g} years"
    )


def short_of(study: Study, layout: Layout, width: int, glyphs: Glyphs) -> str:
    """A line in short, for beside a list: its stations, and how it stands."""
    subject = Subject(study, layout, None, None, width, glyphs)
    rows = (*flow_rows(subject), BLANK, *drawing_rows(subject))
    return "\n".join(row.fitted(width) for row in rows)


def growth_rows(subject: Subject) -> list[Row]:
    """What to buy now and what later."""
    from lineconfig.growth.plan import Blocked, plan_growth
    from lineconfig.growth.scenarios import plan_scenarios
    from lineconfig.present.growth import blocked_text, growth_text

    plan = plan_growth(subject.study)
    if isinstance(plan, Blocked):
        return text_rows(blocked_text(plan))
    scenarios = plan_scenarios(subject.study)
    if isinstance(scenarios, Blocked):
        return text_rows(blocked_text(scenarios))
    return text_rows(growth_text(plan, scenarios))


def week_rows(subject: Subject) -> list[Row]:
    """The running order of the formats, and the hours that are left."""
    from lineconfig.present.schedule import schedule_text
    from lineconfig.schedule.plan import schedule_of

    text = schedule_text(schedule_of(subject.study, subject.layout, None))
    # Which layout it is stands above the page already, and its id is for other commands.
    return [row for row in text_rows(text) if row.text != f"id {subject.layout.id}"]


def text_rows(text: str) -> list[Row]:
    """A text as it is printed, one row a line."""
    return [
        Row(line, heading=not line.strip() or not line.strip("-=")) for line in text.split("\n")
    ]


@dataclass(frozen=True, slots=True)
class Page:
    """One page of a layout."""

    id: str
    title: str
    make: Callable[[Subject], Iterable[Row]]
    """For a slow page, an iterator that gives rows as they are found."""
    slow: bool = False
    """Whether it solves something again, and so is made in a thread."""
    asked: Callable[[Study], bool] = lambda study: True
    """Whether the brief gives reason for it."""


PAGES = (
    Page("flow", "Flow", flow_rows),
    Page("drawing", "Plan", drawing_rows),
    Page("people", "People", people_rows),
    Page("money", "Money", money_rows),
    Page("parts", "Parts", parts_rows),
    Page("cautions", "Cautions", caution_rows),
    Page("why", "Why", why_rows, slow=True),
    Page("week", "Week", week_rows, slow=True, asked=lambda study: len(study.need.formats) > 1),
    Page("growth", "Growth", growth_rows, slow=True, asked=lambda s: bool(s.need.brief.growth)),
)
"""In the order of their tabs."""
