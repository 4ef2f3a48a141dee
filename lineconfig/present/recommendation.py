"""A recommendation as text: the need, the arrangements, the best of all, and what was assumed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from lineconfig.demand import Demand, Shortfall, demand_of, shortfalls, worst
from lineconfig.growth.carrying import Carried, carried
from lineconfig.layout import Layout
from lineconfig.present.later import later_text, verdict_of
from lineconfig.present.nothing import no_layout_lines
from lineconfig.present.placement import passed_over_sentence
from lineconfig.present.text import VIEW_WORDS, differences, plain_name, short_amount, title_text
from lineconfig.present.wrapping import WIDTH, heading, named_row, wrapped
from lineconfig.rank import (
    CASE_ONLY,
    LETTERS,
    Ranked,
    Recommendation,
    codes_the_case_only,
)
from lineconfig.robustness import DRAWS
from lineconfig.rounding import area_text, cpm_text, hours_text
from lineconfig.session import Study

MOST_KINDS = 12


def recommendation_text(study: Study, answer: Recommendation) -> str:
    """What `recommend` prints."""
    lines = [*_need_lines(study), ""]
    if answer.no_layout is not None:
        lines += no_layout_lines(answer.no_layout)
        return "\n".join(lines)
    later = carried(study, answer.known) if study.need.phases else {}
    lines += _arrangement_table(study, answer, later)
    lines += _overall_table(study, answer, later)
    lines += _later_note(study, later)
    lines += _code_note(answer)
    lines += _counts(study, answer)
    lines += _defaults(study)
    lines += [
        "",
        *wrapped(
            "Prices are those of the catalogue (its own are invented). Look at one with "
            "`lineconfig show BRIEF A` or `show BRIEF 1`. Local codes and licensed practice decide "
            "on guarding, electrical work and egress."
        ),
    ]
    return "\n".join(lines)


def _need_lines(study: Study) -> list[str]:
    need = study.need
    demand = demand_of(study.inquiry)
    speed = f"{cpm_text(demand.asked_cpm)} cpm"
    if demand.forced:
        speed += f" asked, {cpm_text(demand.by_volume_cpm)} cpm needed"
    title = f"{need.brief.name}: {speed}"
    formats = ", ".join(
        f"{fmt.container.name} ({fmt.annual_cans:,.0f} a year)" for fmt in need.formats
    )
    lines = [*wrapped(title), "=" * min(len(title), WIDTH), *wrapped(formats)]
    if demand.forced:
        lines += ["", *wrapped(_forced_text(demand))]
    return lines


def _forced_text(demand: Demand) -> str:
    return (
        f"The speed asked for does not make the yearly cans: {demand.annual_cans:,.0f} of them in "
        f"{hours_text(demand.available_hours)} h a year, with {demand.startup_share:.0%} of "
        "running time on top for start-up and cleaning, need an effective "
        f"{cpm_text(demand.by_volume_cpm)} cpm, and more for every hour of format changes."
    )


def _arrangement_table(study: Study, answer: Recommendation, later: Later) -> list[str]:
    horizon = f"{study.need.horizon_years:g} years"
    lines = [
        f"Best of each kind of arrangement, {VIEW_WORDS[answer.view]}",
        "",
        (
            f"{'':3}{'first cost':>11}{'people':>8}{'effective cpm':>15}{'m2':>8}"
            f"{'cost of ' + horizon:>20}{'first in':>10}"
        ),
    ]
    for letter, item in zip(LETTERS[:MOST_KINDS], answer.arrangements, strict=False):
        lines += _arrangement_rows(study, letter, item)
        lines += _later_lines(study, later, item.layout, 5)
    if len(answer.arrangements) > MOST_KINDS:
        more = len(answer.arrangements) - MOST_KINDS
        lines.append(f"   and {more} more {'kind' if more == 1 else 'kinds'} (see --json)")
    return lines + _speed_notes(study, [item.layout for item in answer.arrangements[:MOST_KINDS]])


MARKS: dict[Shortfall | None, str] = {"effective": "*", "bracket": "~", None: ""}


def _speed_notes(study: Study, layouts: Sequence[Layout]) -> list[str]:
    """What the marks beside the speeds mean, where there are any."""
    found = {worst(shortfalls(study.need, layout.speed)) for layout in layouts}
    asked = "the speed asked for" + ("" if len(study.need.formats) == 1 else " with some format")
    notes = []
    if "effective" in found:
        notes.append(
            f"* effective speed below {asked}: rated for it, but stops and waits cost the rest"
        )
    if "bracket" in found:
        notes.append(f"~ may fall below {asked}: its lower bound does")
    return ["", *(line for note in notes for line in wrapped(note, 0, 2))] if notes else []


def _arrangement_rows(study: Study, letter: str, item: Ranked) -> Iterator[str]:
    layout = item.layout
    main = study.need.formats.index(study.need.main_format)
    unload, lower = (layout.station(f).option.equipment for f in ("unload", "lower"))
    mark = MARKS[worst(shortfalls(study.need, layout.speed))]
    yield from wrapped(f"{letter}  {unload.name} + {plain_name(lower)}", 0, 3)
    yield (
        f"{'':3}{short_amount(layout.money.first_cost.typical):>11}{layout.crew.people:>8}"
        f"{cpm_text(layout.speed.effective[main]):>15}{mark:1}{area_text(layout.floor.area_m2):>7}"
        f"{short_amount(layout.money.life_cycle_cost.typical):>20}{item.stays_first or 0:>10.0%}"
    )
    yield from wrapped(item.told, 5)


def _overall_table(study: Study, answer: Recommendation, later: Later) -> list[str]:
    first = answer.layouts[0].layout
    lines = [
        *heading(_overall_title(answer)),
        f"{'':3}{'id':34}{'first cost':>11}{'people':>8}{'cost of life':>14}{'first in':>10}",
    ]
    for item in answer.layouts:
        layout, share = item.layout, item.stays_first or 0.0
        lines += named_row(
            f"{item.rank:<3}", layout.id, 34,
            f"{short_amount(layout.money.first_cost.typical):>11}{layout.crew.people:>8}"
            f"{short_amount(layout.money.life_cycle_cost.typical):>14}{share:>10.0%}",
        )  # fmt: skip
        if layout is not first:
            lines += wrapped(differences(study, first, layout), 3, 5)
        else:
            lines += wrapped(title_text(layout), 3, 5)
        # What is as with the first need not be said ten times.
        same = verdict_of(later.get(layout.id, ())) == verdict_of(later.get(first.id, ()))
        if layout is first or not same:
            lines += _later_lines(study, later, layout, 3)
    return lines


def _overall_title(answer: Recommendation) -> str:
    if answer.valid_layouts == 1:
        return "The only layout that is valid"
    count = f"The {len(answer.layouts)} best" if len(answer.layouts) > 1 else "The best"
    return f"{count} of all, {VIEW_WORDS[answer.view]}"


Later = Mapping[str, Sequence[Carried]]
"""What the shown layouts take in the later years, by id."""


def _later_lines(study: Study, later: Later, layout: Layout, indent: int) -> list[str]:
    found = later.get(layout.id, ())
    return wrapped(later_text(study, found), indent, indent + 2) if found else []


def _later_note(study: Study, later: Later) -> list[str]:
    if not any(later.values()):
        return []
    return [
        "",
        *wrapped(
            "The order counts today's need alone. `later`: whether the very line carries the years "
            "of growth too (with change parts for the formats that come), or what must give; among "
            "the best of all it is told where it is other than with the first. `lineconfig grow "
            "BRIEF` plans what to buy now and what later."
        ),
    ]


def _code_note(answer: Recommendation) -> list[str]:
    """What it means that the date stands on the case alone, where a shown line has it so."""
    coders = {
        station.option.id
        for item in (*answer.layouts, *answer.arrangements)
        if codes_the_case_only(item.layout)
        for station in item.layout.stations
        if station.function == "code"
    }
    if not coders:
        return []
    return [
        "",
        *wrapped(
            f"`{CASE_ONLY}`: no code on the can itself. The trade commonly wants a code on every "
            "container, so that it can be traced without its case, and local rules may "
            "ask for one: ask before you order. "
            f"`exclude: [{', '.join(sorted(coders))}]` in the brief leaves only lines that code "
            "each container."
        ),
    ]


def _counts(study: Study, answer: Recommendation) -> list[str]:
    if answer.valid_layouts is not None:
        meet = "layout meets" if answer.valid_layouts == 1 else "layouts meet"
        count = f"{answer.valid_layouts:,} {meet} every rule and limit"
    else:
        count = (
            f"{study.combinations:,} combinations meet the rules; those beyond people, money, "
            "hours and floor are left out as the list is made"
        )
    complete = "the list is exact" if answer.complete else "the search was stopped: not complete"
    passed_over = passed_over_sentence(study)
    if passed_over is not None:
        complete += f". {passed_over.removesuffix('.')}"
    return [
        "",
        *wrapped(
            f"`first in`: prices, wages, stops, work and volume were drawn {DRAWS:,} times between "
            "their low and their high; this is the share of draws in which the layout costs "
            "least over its life of all in "
            f"its table (seed {answer.seed}).{_more_often(answer)}"
        ),
        "",
        *wrapped(f"{count}; {complete}."),
    ]


def _more_often(answer: Recommendation) -> str:
    """What is first in more draws than the first of its kind, where something is."""
    kinds = answer.arrangements
    shares = [item.stays_first or 0.0 for item in kinds]
    most = shares.index(max(shares))
    if answer.view != "life-cycle-cost" or most == 0 or round(shares[most] - shares[0], 2) <= 0:
        return ""
    return (
        f" The order goes by typical figures; yet {LETTERS[most]} is first in more draws than "
        f"{LETTERS[0]}, so look at both."
    )


def _defaults(study: Study) -> list[str]:
    if not study.need.defaults_used:
        return []
    return ["", *wrapped("Assumed, for want of an answer: " + "; ".join(study.need.defaults_used))]
