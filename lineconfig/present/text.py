"""Text for people: tables and sentences that fit 80 columns."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from lineconfig.assess.money import Range
from lineconfig.catalog import Catalog, EquipmentClass
from lineconfig.choose.rules import length_text
from lineconfig.explain import ClassAnswer, NoLayout
from lineconfig.findings.whole import Findings, findings_of
from lineconfig.hazards import cautions_for
from lineconfig.layout import Layout
from lineconfig.present.findings import findings_lines
from lineconfig.present.records import bill_of_materials
from lineconfig.present.wrapping import WIDTH, clip, heading, wrapped
from lineconfig.rank import LETTERS, Ranked, Recommendation
from lineconfig.session import Study

THOUSAND, MILLION = 1e3, 1e6
MOST_KINDS = 12

VIEW_WORDS = {
    "life-cycle-cost": "lowest life-cycle cost first",
    "first-cost": "lowest first cost first",
    "people": "fewest people first",
    "floor": "least floor first",
    "changeover": "quickest changeover first",
}


def short_amount(value: float) -> str:
    """An amount in four or five characters: `620k`, `1.60M`."""
    if abs(value) >= MILLION * 0.9995:
        return f"{value / MILLION:.2f}M"
    return f"{value / THOUSAND:.0f}k"


def range_text(amounts: Range) -> str:
    """Typical amount with its range: `619,880 (520,000 to 740,000)`."""
    if amounts.high == amounts.low:
        return f"{amounts.typical:,.0f}"
    return f"{amounts.typical:,.0f} ({amounts.low:,.0f} to {amounts.high:,.0f})"


# --- recommend ---------------------------------------------------------------------------------


def recommendation_text(study: Study, answer: Recommendation) -> str:
    """What `recommend` prints."""
    lines = [*_need_lines(study), ""]
    if answer.no_layout is not None:
        lines += no_layout_lines(answer.no_layout)
        return "\n".join(lines)
    lines += _arrangement_table(study, answer)
    lines += _overall_table(study, answer)
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
    title = f"{need.brief.name}: {need.main_format.needed_cpm:,.0f} cpm"
    formats = ", ".join(
        f"{fmt.container.name} ({fmt.annual_cans:,.0f} a year)" for fmt in need.formats
    )
    return [title, "=" * min(len(title), WIDTH), *wrapped(formats)]


def _arrangement_table(study: Study, answer: Recommendation) -> list[str]:
    horizon = f"{study.need.horizon_years:g} years"
    lines = [
        f"Best of each kind of arrangement, {VIEW_WORDS[answer.view]}",
        "",
        (
            f"{'':4}{'unloading':31}{'first cost':>11}{'people':>8}{'cpm':>6}{'m2':>5}"
            f"{'in ' + horizon:>15}"
        ),
    ]
    for letter, item in zip(LETTERS[:MOST_KINDS], answer.arrangements, strict=False):
        lines += _arrangement_rows(study, letter, item)
    if len(answer.arrangements) > MOST_KINDS:
        lines.append(f"    and {len(answer.arrangements) - MOST_KINDS} more kinds (see --json)")
    return lines


def _arrangement_rows(study: Study, letter: str, item: Ranked) -> Iterator[str]:
    layout = item.layout
    main = study.need.formats.index(study.need.main_format)
    name = layout.station("unload").option.equipment.name
    yield (
        f"{letter:3} {clip(name, 31):31}{short_amount(layout.money.first_cost.typical):>11}"
        f"{layout.crew.people:>8}{layout.speed.effective[main]:>6.0f}{layout.floor.area_m2:>5.0f}"
        f"{short_amount(layout.money.life_cycle_cost.typical):>15}"
    )
    lower = layout.station("lower").option.equipment.name
    yield from wrapped(f"+ {lower[0].lower()}{lower[1:]}; {item.reason}", 4, 6)


def _overall_table(study: Study, answer: Recommendation) -> list[str]:
    first = answer.layouts[0].layout
    lines = [
        *heading(f"The {len(answer.layouts)} best of all, {VIEW_WORDS[answer.view]}"),
        f"{'':3}{'id':34}{'first cost':>11}{'people':>8}{'cost of life':>14}{'first in':>10}",
    ]
    for item in answer.layouts:
        layout, share = item.layout, item.stays_first or 0.0
        lines.append(
            f"{item.rank:<3}{clip(layout.id, 34):34}"
            f"{short_amount(layout.money.first_cost.typical):>11}{layout.crew.people:>8}"
            f"{short_amount(layout.money.life_cycle_cost.typical):>14}{share:>10.0%}"
        )
        if layout is not first:
            lines += wrapped(differences(study, first, layout), 3, 5)
        else:
            lines += wrapped(layout.title, 3, 5)
    return lines


def differences(study: Study, base: Layout, other: Layout) -> str:
    """In which classes a layout differs from another, in words."""
    classes = study.catalog.classes
    changed = [
        f"{_plain(classes[theirs])} instead of {_plain(classes[ours])}"
        for ours, theirs in _aligned(study, base, other)
        if ours != theirs
    ]
    return "; ".join(changed) or "the same classes"


def _aligned(study: Study, base: Layout, other: Layout) -> Iterator[tuple[str, str]]:
    """Pairs of class ids of two layouts by function: a coder may stand in two places."""
    classes = study.catalog.classes
    ours = {classes[class_id].function: class_id for class_id in base.classes}
    theirs = {classes[class_id].function: class_id for class_id in other.classes}
    for function, class_id in ours.items():
        yield class_id, theirs[function]


def _plain(equipment: EquipmentClass) -> str:
    return equipment.name[0].lower() + equipment.name[1:]


def _counts(study: Study, answer: Recommendation) -> list[str]:
    if answer.valid_layouts is not None:
        count = f"{answer.valid_layouts:,} layouts meet every rule and limit"
    else:
        count = (
            f"{study.combinations:,} combinations meet the rules; those beyond people, money, "
            "hours and floor are left out as the list is made"
        )
    complete = "the list is exact" if answer.complete else "the search was stopped: not complete"
    return ["", *wrapped(f"{count}; {complete}. `first in`: share of price draws in which the "
                         f"layout is first of these (seed {answer.seed}).")]  # fmt: skip


def _defaults(study: Study) -> list[str]:
    if not study.need.defaults_used:
        return []
    return ["", *wrapped("Assumed, for want of an answer: " + "; ".join(study.need.defaults_used))]


# --- nothing fits ------------------------------------------------------------------------------


def no_layout_lines(answer: NoLayout) -> list[str]:
    """Why nothing fits, and what would open a layout."""
    count = len(answer.conflict)
    together = "These cannot be met together" if count > 1 else "This cannot be met"
    lines = [f"No layout fits. {together}:", ""]
    for clash in answer.conflict:
        where = f" ({clash.field})" if clash.field else ""
        lines += wrapped(f"* {clash.text}{where}", 2, 4)
    if answer.openings:
        lines += [
            "",
            "Each of these changes alone would open a layout (solved again to be sure):",
            "",
        ]
        for opening in answer.openings:
            lines += wrapped(f"* {opening.text}: {opening.layout.title}", 2, 4)
    return lines


# --- why ---------------------------------------------------------------------------------------


def why_text(study: Study, no_layout: NoLayout | None, answers: Iterable[ClassAnswer]) -> str:
    """What `why` prints."""
    lines: list[str] = []
    if no_layout is not None:
        lines += [*no_layout_lines(no_layout), ""]
    for answer in answers:
        rule = f" [{answer.rule}]" if answer.rule else ""
        lines += wrapped(f"{answer.class_id}: {answer.status}. {answer.text}{rule}", 0, 4)
    return "\n".join(lines).rstrip()


# --- show --------------------------------------------------------------------------------------


def layout_text(study: Study, layout: Layout) -> str:
    """What `show` prints: one layout in full."""
    findings = findings_of(study.inquiry, layout)
    lines = [*wrapped(layout.title), f"id {layout.id}"]
    lines += _station_lines(study, layout)
    lines += _height_lines(study, layout)
    lines += _speed_lines(study, layout)
    lines += _crew_lines(layout)
    lines += _money_lines(study, layout)
    lines += _parts_lines(study, layout)
    lines += _site_lines(study, layout)
    lines += findings_lines(study, layout, findings)
    lines += _caution_lines(study, layout, findings)
    lines += [
        "",
        *wrapped(
            "Prices are those of the catalogue and its overlays (the catalogue's own are invented; "
            "`--basis` says which). First cost adds freight, installation, training and "
            "contingency; costs of later years are in present value. Not in it: compressor, "
            "cleaning plant, cooling, building work."
        ),
    ]
    return "\n".join(lines)


def _station_lines(study: Study, layout: Layout) -> list[str]:
    main = study.need.formats.index(study.need.main_format)
    lines = [
        *heading("Stations in flow order"),
        f"{'':3}{'station':42}{'pieces':>7}{'cpm':>7}{'infeed':>7}{'price':>9}",
    ]
    for number, station in enumerate(layout.stations, 1):
        speed = station.rated_cpm[main]
        rated = f"{speed:,.0f}" if math.isfinite(speed) else "-"
        infeed = "-" if station.infeed_mm is None else f"{station.infeed_mm:.0f}"
        price = "owned" if station.option.owned else f"{station.first_cost.typical:,.0f}"
        pieces = f"{station.quantity:.0f}" + (" m" if station.function == "convey" else "")
        name = clip(station.option.equipment.name, 42)
        lines.append(f"{number:<3}{name:42}{pieces:>7}{rated:>7}{infeed:>7}{price:>9}")
    return lines


def _height_lines(study: Study, layout: Layout) -> list[str]:
    plan, main = layout.heights, study.need.formats.index(study.need.main_format)
    ceiling_mm = study.inquiry.ceiling_mm
    pallet = study.need.main_format.container.pallet
    return [
        *heading("Heights"),
        f"  filler infeed   {length_text(layout.infeed_mm)}",
        (
            f"  unloader deck   {length_text(plan.deck_mm)}, drop {plan.drop_mm:,.0f} mm "
            f"(least {plan.least_drop_mm:,.0f})"
        ),
        (
            f"  frame top       {length_text(plan.top_mm)}, "
            f"{ceiling_mm - plan.top_mm:,.0f} mm below the ceiling"
        ),
        f"  layers at once  {plan.layers_at_once[main]} of {pallet.layers} on a full pallet",
    ]


def _speed_lines(study: Study, layout: Layout) -> list[str]:
    lines = [
        *heading("Speed"),
        f"  {'format':34}{'rated':>7}{'effective':>11}{'between':>16}",
    ]
    speed = layout.speed
    for index, fmt in enumerate(study.need.formats):
        between = f"{speed.lower[index]:.0f} and {speed.upper[index]:.0f}"
        lines.append(
            f"  {clip(fmt.container.name, 34):34}{speed.rated[index]:>7.0f}"
            f"{speed.effective[index]:>11.0f}{between:>16}"
        )
    main = study.need.formats.index(study.need.main_format)
    lines += wrapped(
        f"A layer every {layout.layer_interval_min[main]:.1f} min, a pallet every "
        f"{layout.pallet_interval_min[main]:.0f} min at rated speed.", 2,
    )  # fmt: skip
    return lines


def _crew_lines(layout: Layout) -> list[str]:
    people = "1 person" if layout.crew.people == 1 else f"{layout.crew.people} people"
    lines = [*heading(f"Crew: {people}")]
    for number, post in enumerate(layout.crew.posts, 1):
        names = ", ".join(
            _plain(layout.stations[index].option.equipment)
            for index in post.stations
            if layout.crew.workloads[index] > 0 or post.always
        )
        busy = "always there" if post.always else f"{post.workload:.0%} busy"
        lines += wrapped(f"{number}. {names}: {busy}", 2, 5)
    return lines


def _money_lines(study: Study, layout: Layout) -> list[str]:
    money, currency = layout.money, study.need.currency
    lines = [
        *heading(f"Money ({currency})"),
        f"  {'equipment and parts':28}{range_text(money.equipment)}",
        f"  {'first cost':28}{range_text(money.first_cost)}",
        f"  {f'cost of {study.need.horizon_years:g} years':28}{range_text(money.life_cycle_cost)}",
        f"  {'per 1000 cans':28}{money.cost_per_1000_cans:,.2f}",
        (
            f"  {'hours a year':28}{money.hours:,.0f}, "
            f"of them {money.changeover_hours:,.0f} changing over"
        ),
        "",
        "  a year:",
    ]
    lines += [
        f"    {name:26}{cost:>12,.0f}"
        for name, cost in sorted(money.annual.items(), key=lambda pair: -pair[1])
    ]
    lines.append(f"    {'together':26}{money.annual_total:>12,.0f}")
    return lines


def _parts_lines(study: Study, layout: Layout) -> list[str]:
    parts = [
        (line["quantity"], line["item"], line["price"]["typical"])
        for line in bill_of_materials(layout)
        if line["item"] != study.catalog.classes[line["class"]].name
    ]
    lines = [*heading("Change parts and changeover")]
    for quantity, item, price in parts:
        lines += wrapped(f"{quantity} x {item}: {price:,.0f} {study.need.currency}", 2, 6)
    if len(study.need.formats) > 1:
        lines += wrapped(
            f"One format change takes {layout.changeover_min:.0f} min with this crew "
            f"({layout.changeover_person_min:.0f} person-minutes).", 2,
        )  # fmt: skip
    return lines if len(lines) > 3 else []


def _site_lines(study: Study, layout: Layout) -> list[str]:
    utilities, floor = layout.utilities, layout.floor
    amperes = "" if utilities.amperes is None else f", {utilities.amperes:,.0f} A at the site"
    return [
        *heading("Floor and utilities"),
        *wrapped(
            f"Stretched out {length_text(floor.length_mm)}, widest machine "
            f"{length_text(floor.widest_mm)}, {floor.area_m2:,.0f} m2 with clearances.", 2,
        ),
        *wrapped(
            f"{utilities.power_kw:,.1f} kW connected{amperes}; water up to "
            f"{utilities.water_l_min:,.1f} l/min; air up to {utilities.air_l_min:,.0f} l/min.", 2,
        ),
    ]  # fmt: skip


def _caution_lines(study: Study, layout: Layout, findings: Findings) -> list[str]:
    lines = [*heading("Cautions")]
    for caution in cautions_for(study.inquiry, layout, findings):
        lines += wrapped(f"! {caution.text} [{caution.basis}]", 2, 4)
    return lines


# --- catalogue ---------------------------------------------------------------------------------


def catalog_text(catalog: Catalog) -> str:
    """What `catalog` prints: every class, by function."""
    lines: list[str] = []
    function = ""
    for equipment in catalog.classes.values():
        if equipment.function != function:
            function = equipment.function
            lines += ["", function] if lines else [function]
        price = _price_text(equipment)
        lines += [f"  {equipment.id:58}{price:>20}", f"      {equipment.name}"]
    lines += ["", "formats"]
    for container in catalog.containers.values():
        lines.append(
            f"  {container.id:35}{container.kind:22}{container.diameter_mm:>6g} x "
            f"{container.height_mm:g} mm"
        )
    return "\n".join(lines)


def _price_text(equipment: EquipmentClass) -> str:
    if equipment.price is None or equipment.absent:
        return "-"
    base = float(equipment.price.typical) / THOUSAND
    if equipment.price_per_track is None:
        return f"{base:g}k"
    track = f"{equipment.price_per_track.typical / THOUSAND:g}k each"
    return f"{base:g}k + {track}" if base else track


def figures_text(title: str, summary: str, figures: Sequence[tuple[str, str, str]]) -> str:
    """One class or format in full: figure, value, basis."""
    lines = [title, "=" * min(len(title), WIDTH), *wrapped(summary), ""]
    for path, value, basis in figures:
        lines += wrapped(f"{path}: {value}  [{basis}]", 2, 6)
    return "\n".join(lines)
