"""A second look at one line: every rule and limit of the brief, from its meaning.

Written without the project's rules, sections, heights and limits. `broken_rules` looks at a choice
of classes; `recheck` looks at a shown layout with all its figures.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from lineconfig.brief import Door
from lineconfig.catalog import Catalog, EquipmentClass
from lineconfig.choose.inquiry import Inquiry
from lineconfig.layout import Layout
from lineconfig.need import Format, Need
from tests.oracle.arithmetic import BEND, CHAIN, FLOW, Arithmetic, Candidate, Drawn
from tests.oracle.placed import ESTIMATES, Unplaced, drawn_of, has_room

CLOSE = 1e-6


def recheck(layout: Layout, need: Need, catalog: Catalog, *, placed: bool = True) -> list[str]:
    """Everything that is wrong with a shown layout; nothing where all is well.

    One that is not `placed` was found with the floor plan left aside: it has the least chain.
    """
    arithmetic = Arithmetic(need, catalog, ESTIMATES if placed and has_room(need) else ())
    drawn = drawn_of(layout.stations, Inquiry(need, catalog)) if placed else None
    if isinstance(drawn, Unplaced):
        return [f"does not stand in the room: {drawn.sentence}"]
    chosen = [catalog.classes[class_id] for class_id in layout.classes]
    if sorted(item.function for item in chosen) != sorted(FLOW):
        return ["not one class for each function"]
    unknown = [item.id for item in chosen if item.id not in arithmetic.candidates[item.function]]
    if unknown:
        return [f"{class_id} is not to choose from" for class_id in unknown]
    line = {item.function: arithmetic.candidates[item.function][item.id] for item in chosen}
    return [
        *broken_rules(line, need, catalog),
        *_wrong_heights(layout, line, need, catalog),
        *_wrong_figures(layout, line, arithmetic, drawn),
        *_wrong_posts(layout, catalog),
        *_broken_limits(layout, arithmetic),
    ]


# --- rules on the choice of classes ------------------------------------------------------------


def broken_rules(line: Mapping[str, Candidate], need: Need, catalog: Catalog) -> list[str]:
    """What speaks against a choice of one class for each function, limits apart."""
    items = {function: candidate.item for function, candidate in line.items()}
    return [
        *(text for candidate in line.values() for text in _unfit(candidate, need, catalog)),
        *_product(items, need, catalog),
        *_empties(items, need),
        *_stacking(line, need, catalog),
        *_behind(items),
    ]


def _unfit(candidate: Candidate, need: Need, catalog: Catalog) -> Iterator[str]:
    """What keeps one machine from this client, whatever stands beside it."""
    item, brief, site = candidate.item, need.brief, need.brief.site
    for index, fmt in enumerate(need.formats):
        can, takes = fmt.container, item.accepts
        if takes is not None:
            if can.kind not in takes.kinds:
                yield f"{item.id}: kind of {can.id}"
            if not takes.diameter_mm.least <= can.diameter_mm <= takes.diameter_mm.most:
                yield f"{item.id}: diameter of {can.id}"
            if not takes.height_mm.least <= can.height_mm <= takes.height_mm.most:
                yield f"{item.id}: height of {can.id}"
        if candidate.rated_cpm[index] + CLOSE < fmt.needed_cpm:
            yield f"{item.id}: too slow for {can.id}"
    if brief.mobility != "fixed" and item.mobility == "fixed":
        yield f"{item.id}: does not travel"
    wants_three = item.utilities is not None and item.utilities.phases == 3
    if site.power is not None and site.power.phases == 1 and wants_three:
        yield f"{item.id}: wants three phases"
    if site.door is not None and not candidate.owned and not _passes(item, site.door, need):
        yield f"{item.id}: does not pass the door"
    if item.size is not None:
        clearance_mm = catalog.economics.habits.ceiling_clearance_mm
        lifts = "sweeps-layers" in item.traits  # its height follows from the deck
        if not lifts and item.size.height_mm > site.ceiling_mm - clearance_mm:
            yield f"{item.id}: higher than the ceiling allows"
        if site.length_mm is not None and site.width_mm is not None:
            footprint = item.size.length_mm, item.size.width_mm
            room = site.length_mm, site.width_mm
            if max(footprint) > max(room) or min(footprint) > min(room):
                yield f"{item.id}: larger than the room"
    if item.id in brief.exclude or (item.function in brief.exclude and not item.absent):
        yield f"{item.id}: excluded"
    rivals = [name for name in brief.require if catalog.classes[name].function == item.function]
    if rivals and item.id not in rivals:
        yield f"{item.id}: another is required"


def _passes(item: EquipmentClass, door: Door, need: Need) -> bool:
    """Whether some face of the piece that is brought in goes through the door."""
    whole = need.brief.mobility != "fixed"  # a line that travels is not taken apart
    piece = item.size if whole or item.largest_part is None else item.largest_part
    if piece is None:
        return True
    sides = (piece.length_mm, piece.width_mm, piece.height_mm)
    faces = [(sides[a], sides[b]) for a in range(3) for b in range(3) if a != b]
    return any(wide <= door.width_mm and high <= door.height_mm for wide, high in faces)


def _product(items: Mapping[str, EquipmentClass], need: Need, catalog: Catalog) -> Iterator[str]:
    """What the product and its decoration ask for."""
    fill = items["fill"].accepts
    vol = need.carbonation_vol
    if fill is not None:
        for fmt in need.formats:
            can = fmt.container
            if fill.closings is not None and can.closing not in fill.closings:
                yield f"fill: does not close {can.id}"
            elif can.closing == "seam" and fill.ends is not None and can.end not in fill.ends:
                yield f"fill: does not seam the end of {can.id}"
        span = fill.carbonation_vol
        if span is not None and (vol < span.least or vol > span.most):
            yield "fill: carbonation"
    if items["pasteurize"].treatment != need.brief.product.heat_treatment:
        yield "pasteurize: another heat treatment"
    thin = any(fmt.container.kind == "two-piece-can" for fmt in need.formats)
    soft = thin and vol < catalog.economics.habits.nitrogen_below_vol
    if soft and items["dose"].absent:
        yield "dose: soft cans without nitrogen"
    if not soft and not items["dose"].absent:
        yield "dose: idle"
    wraps = any(fmt.label == "wrap" for fmt in need.formats)
    if wraps and items["label"].absent:
        yield "label: nothing wraps"
    if not wraps and not items["label"].absent:
        yield "label: idle"


def _forms(supply: EquipmentClass, need: Need) -> list[str]:
    return [fmt.supply or str(supply.supply_form) for fmt in need.formats]


def _must_rinse(fmt: Format, form: str) -> bool:
    """Whether empties were open to dirt between the can plant and the line."""
    return fmt.rehandled or fmt.open_storage or form == "loose"


def _empties(items: Mapping[str, EquipmentClass], need: Need) -> Iterator[str]:
    """How empties come, how they are taken off, guarded, lowered and rinsed."""
    supply, unload, guard = items["supply"], items["unload"], items["guard"]
    lower, rinse = items["lower"], items["rinse"]
    forms = _forms(supply, need)
    if "full-pallet" in forms:
        largest = "full-pallet"
    elif "half-stack" in forms:
        largest = "half-stack"
    else:
        largest = "loose"
    if supply.supply_form != largest:
        yield "supply: not the way in which the largest load comes"
    takes = unload.accepts.supply if unload.accepts else None
    if takes is not None and any(form not in takes for form in forms):
        yield "unload: not from such loads"
    keeps_level = "keeps-layer-level" in supply.traits
    if "needs-level-supply" in unload.traits and not keeps_level:
        yield "supply: layers are swept over by hand and must be level"
    powered = "powered-unloader" in unload.traits
    if powered and keeps_level:
        yield "supply: idle lift"
    if powered and guard.absent:
        yield "guard: an unguarded unloader"
    if not powered and not guard.absent:
        yield "guard: nothing to guard"
    if lower.tracks is not None:
        if len(need.formats) < lower.tracks.formats_least:
            yield "lower: too few formats"
        if len(need.formats) > lower.tracks.formats_most:
            yield "lower: too many formats"
    if "takes-from-low-level" in lower.traits and "grips-layers" not in unload.traits:
        yield "lower: wants a low unloader"
    turns = "inverts" in lower.traits
    if "raised-for-rinsing" in unload.traits and not turns:
        yield "unload: raised for nothing"
    rinses = rinse.medium not in (None, "none")
    if rinses and not turns:
        yield "rinse: cans stand upright"
    if turns and not rinses:
        yield "rinse: cans are turned for nothing"
    if not rinses:
        if need.brief.rinse == "required":
            yield "rinse: required"
        dirty = any(_must_rinse(fmt, form) for fmt, form in zip(need.formats, forms, strict=True))
        if need.brief.rinse == "auto" and dirty:
            yield "rinse: open or handled empties"
    if items["code"].place == "infeed-rail" and "steady-single-file" not in unload.traits:
        yield "code: no steady lane for an offset rail"


def _stacking(line: Mapping[str, Candidate], need: Need, catalog: Catalog) -> Iterator[str]:
    """Heights from the floor to the filler: does a deck height exist that does for everything?"""
    unload, lower = line["unload"].item, line["lower"].item
    infeed_mm, habits = line["fill"].infeed_mm, catalog.economics.habits
    span = unload.heights.discharge_mm
    if infeed_mm is None or span is None:
        yield "heights: unknown"
        return
    tallest_mm = max(fmt.container.height_mm for fmt in need.formats)
    drop = lower.heights.drop
    lowest, highest = float(span.least), float(span.most)
    if drop is None:
        lowest = max(lowest, infeed_mm)
    else:
        lowest = max(lowest, infeed_mm + drop.base_mm + drop.container_heights * tallest_mm)
        highest = min(highest, infeed_mm + drop.most_mm)
    sweeps = "sweeps-layers" in unload.traits
    if sweeps:
        above_mm = (unload.heights.head_mm or 0.0) + tallest_mm
    else:
        sheet_mm = max(fmt.container.pallet.sheet_mm for fmt in need.formats)
        built_mm = (unload.size.height_mm if unload.size else 0.0) - span.least
        above_mm = max(tallest_mm + sheet_mm, built_mm)
    under_ceiling = need.brief.site.ceiling_mm - habits.ceiling_clearance_mm - above_mm
    if lowest > highest:
        yield "heights: no deck height does"
        return
    if lowest > under_ceiling + CLOSE:
        yield "heights: the frame does not stand under the ceiling"
        return
    for fmt, form in zip(need.formats, _forms(line["supply"].item, need), strict=True):
        pallet = fmt.container.pallet
        layers = pallet.layers if form == "full-pallet" else pallet.half_stack_layers
        top_mm = pallet.base_mm + layers * (fmt.container.height_mm + pallet.sheet_mm)
        if top_mm + habits.ceiling_clearance_mm > need.brief.site.ceiling_mm + CLOSE:
            yield f"heights: a stack of {fmt.id} as delivered does not stand under the ceiling"
    wanted = lowest
    pushed = "needs-level-supply" in unload.traits
    foot_mm = 0.0 if sweeps else _foot_mm(line["supply"].item)
    if sweeps or pushed:
        most = min(highest, under_ceiling)
        if pushed:  # a stack never brings hands overhead
            hands_mm = _hands_above_mm(unload, need, catalog)
            most = max(lowest, min(most, habits.overhead_mm - hands_mm))
        for fmt, form in zip(need.formats, _forms(line["supply"].item, need), strict=True):
            pallet = fmt.container.pallet
            layers = pallet.layers if form == "full-pallet" else pallet.half_stack_layers
            pitch_mm = fmt.container.height_mm + pallet.sheet_mm
            if sweeps:
                wanted = max(wanted, pallet.base_mm + (layers - 1) * pitch_mm)
            half = (layers + 1) // 2
            if foot_mm + pallet.base_mm + (half - 1) * pitch_mm > most + CLOSE:
                yield f"heights: a stack of {fmt.id} makes more than two loads"
    # The deck is as high as the stack asks for, as far as it goes.
    out_of_reach = min(wanted, highest) > habits.within_reach_mm
    if "swapped-by-hand" in lower.traits and len(need.formats) > 1 and out_of_reach:
        yield "lower: tracks are exchanged out of reach"
    if not sweeps:
        hands_mm = lowest + _hands_above_mm(unload, need, catalog)
        if not pushed and "powered-unloader" not in unload.traits:
            hands_mm = max(hands_mm, _top_layer_mm(line, need) + tallest_mm)
        if hands_mm > habits.overhead_mm:
            if not need.brief.staff.ladder_work:
                yield "unload: ladder work"
            tips = "tips-layers" in unload.traits
            if tips and "lifts-stack-overhead" not in line["supply"].item.traits:
                yield "supply: does not raise a stack overhead"


def _foot_mm(supply: EquipmentClass) -> float:
    """Where a pallet stands on a supply aid that raises stacks, before it does [mm]."""
    return float(supply.heights.lowered_mm or 0) if "keeps-layer-level" in supply.traits else 0.0


def _top_layer_mm(line: Mapping[str, Candidate], need: Need) -> float:
    """Foot of the highest layer of all stacks before they are raised [mm]."""
    supply = line["supply"].item
    return _foot_mm(supply) + max(
        fmt.container.pallet.base_mm
        + (
            fmt.container.pallet.layers
            if form == "full-pallet"
            else fmt.container.pallet.half_stack_layers
        )
        * (fmt.container.height_mm + fmt.container.pallet.sheet_mm)
        - fmt.container.height_mm
        - fmt.container.pallet.sheet_mm
        for fmt, form in zip(need.formats, _forms(supply, need), strict=True)
    )


def _hands_above_mm(unload: EquipmentClass, need: Need, catalog: Catalog) -> float:
    """How far hands go above the deck at an unloader that is worked by hand [mm]."""
    if "tips-layers" not in unload.traits:
        return max(fmt.container.height_mm for fmt in need.formats)
    widest_mm = max(fmt.container.pallet.width_mm for fmt in need.formats)
    return (unload.heights.lip_mm or 0.0) + catalog.economics.habits.tipping_rise * widest_mm


def _behind(items: Mapping[str, EquipmentClass]) -> Iterator[str]:
    """From the filler to the wrapped pallet."""
    dries = "blows-dry" in items["dry"].traits
    if not dries and items["code"].place == "after-dryer":
        yield "code: on wet cans"
    if not dries and "needs-dry-cans" in items["label"].traits:
        yield "label: on wet cans"
    if not dries and "needs-dry-cans" in items["pack"].traits:
        yield "pack: wet cans on board"
    uneven = "evens-flow" not in items["gather"].traits
    if uneven and "needs-steady-feed" in items["pack"].traits:
        yield "pack: no even feed"
    by_hand = "stacks-cases" not in items["palletize"].traits
    if by_hand and "needs-stacked-pallets" in items["wrap"].traits:
        yield "wrap: nothing stacks before it"


# --- a shown layout ----------------------------------------------------------------------------


def _wrong_heights(
    layout: Layout, line: Mapping[str, Candidate], need: Need, catalog: Catalog
) -> Iterator[str]:
    """Heights that are shown and do not hold."""
    plan, habits = layout.heights, catalog.economics.habits
    unload, lower = line["unload"].item, line["lower"].item
    span, drop = unload.heights.discharge_mm, lower.heights.drop
    if layout.infeed_mm != line["fill"].infeed_mm:
        yield "infeed is not the filler's"
    if span is None or not span.least - CLOSE <= plan.deck_mm <= span.most + CLOSE:
        yield "deck outside the unloader's range"
    if abs(plan.deck_mm - layout.infeed_mm - plan.drop_mm) > CLOSE:
        yield "drop is not from deck to infeed"
    if plan.drop_mm < -CLOSE:
        yield "cans would have to climb"
    if drop is not None:
        tallest_mm = max(fmt.container.height_mm for fmt in need.formats)
        if plan.drop_mm < drop.base_mm + drop.container_heights * tallest_mm - CLOSE:
            yield "drop too small"
        if plan.drop_mm > drop.most_mm + CLOSE:
            yield "drop too large"
    if plan.top_mm + habits.ceiling_clearance_mm > need.brief.site.ceiling_mm + CLOSE:
        yield "frame higher than the ceiling allows"
    # The highest of all machines and of the empties as they are delivered.
    tops_mm = [station.height_mm for station in layout.stations]
    for fmt, form in zip(need.formats, _forms(line["supply"].item, need), strict=True):
        pallet = fmt.container.pallet
        layers = pallet.layers if form == "full-pallet" else pallet.half_stack_layers
        tops_mm.append(pallet.base_mm + layers * (fmt.container.height_mm + pallet.sheet_mm))
    if layout.highest.height_mm < max(*tops_mm, plan.top_mm) - CLOSE:
        yield "something stands higher than the highest point"
    if layout.highest.height_mm + habits.ceiling_clearance_mm > need.brief.site.ceiling_mm + CLOSE:
        yield "highest point higher than the ceiling allows"
    sweeps = "sweeps-layers" in unload.traits
    tallest_mm = max(fmt.container.height_mm for fmt in need.formats)
    if sweeps and plan.top_mm < plan.deck_mm + tallest_mm + (unload.heights.head_mm or 0) - CLOSE:
        yield "no room for a can below the frame's head"
    pushed = "needs-level-supply" in unload.traits
    handfuls = not pushed and "powered-unloader" not in unload.traits
    hands_mm = plan.deck_mm + _hands_above_mm(unload, need, catalog)
    if handfuls:
        hands_mm = max(hands_mm, _top_layer_mm(line, need) + tallest_mm)
    if not sweeps and abs(plan.hands_mm - hands_mm) > CLOSE:
        yield "hands elsewhere than shown"
    foot_mm = 0.0 if sweeps else _foot_mm(line["supply"].item)
    for fmt, form, layers, loads in zip(
        need.formats, _forms(line["supply"].item, need), plan.layers_at_once,
        plan.loads_per_pallet, strict=True,
    ):  # fmt: skip
        pallet = fmt.container.pallet
        stack = pallet.layers if form == "full-pallet" else pallet.half_stack_layers
        if handfuls and loads != 1:
            yield f"a stack of {fmt.id} is split though handfuls are taken from it"
        if not handfuls and (loads * layers < stack or (loads - 1) * layers >= stack or loads > 2):
            yield f"loads of {fmt.id}"
        pitch_mm = fmt.container.height_mm + pallet.sheet_mm
        level_mm = foot_mm + pallet.base_mm + (layers - 1) * pitch_mm
        if "grips-layers" not in unload.traits and level_mm > plan.deck_mm + CLOSE:
            yield f"the top layer of {fmt.id} stands above the deck"
        if layers < stack and level_mm + pitch_mm <= plan.deck_mm - CLOSE:
            yield f"one more layer of {fmt.id} stands no higher than the deck"
    if layout.station("lower").infeed_mm != plan.deck_mm:
        yield "what lowers does not start at the deck"
    if layout.station("lower").discharge_mm != layout.infeed_mm:
        yield "what lowers does not end at the filler"


def _wrong_figures(
    layout: Layout, line: Mapping[str, Candidate], arithmetic: Arithmetic, drawn: Drawn | None
) -> Iterator[str]:
    """Figures that are shown and that another arithmetic does not arrive at."""
    figures, need = arithmetic.figures(line, drawn), arithmetic.need
    if layout.classes != figures.classes:
        yield "order of the classes"
    present = [name for name in figures.classes if not arithmetic.catalog.classes[name].absent]
    machines = [s.option.id for s in layout.stations if s.function != "convey"]
    if sorted(machines) != sorted(present):  # in the order of the flow, not of the sections
        yield "stations are not the chosen classes"
    joined = [s for s in layout.stations if s.function == "convey"]
    if any(s.option.id not in (CHAIN, BEND) for s in joined):
        yield "joined by something else"
    if drawn is not None:
        metres = sum(s.length_mm for s in joined if s.option.id == CHAIN)
        bends = sum(s.quantity for s in joined if s.option.id == BEND)
        if not (math.isclose(metres, drawn[0], abs_tol=CLOSE) and bends == drawn[1]):
            yield "other chain than is drawn"
    people = max(1, layout.crew.people)
    pairs: dict[str, tuple[float, float]] = {
        "first cost, low": (layout.money.first_cost.low, figures.first_cost[0]),
        "first cost": (layout.money.first_cost.typical, figures.first_cost[1]),
        "first cost, high": (layout.money.first_cost.high, figures.first_cost[2]),
        "life-cycle cost": (layout.money.life_cycle_cost.typical, figures.life_cycle_cost),
        "people": (layout.crew.people, figures.people),
        "floor": (layout.floor.area_m2, figures.area_m2),
        "length": (layout.floor.length_mm, figures.length_mm),
        "power": (layout.utilities.power_kw, figures.power_kw),
        "water": (layout.utilities.water_l_min, figures.water_l_min),
        "air": (layout.utilities.air_l_min, figures.air_l_min),
        "running hours": (layout.money.run_hours, figures.run_hours),
        "changeover hours": (layout.money.changeover_hours, figures.changeover_hours),
        "work of a changeover": (layout.changeover_person_min, figures.changeover_person_min),
        "a changeover": (
            layout.changeover_min * need.changeovers_per_week * need.weeks_per_year / 60,
            figures.changeover_hours,
        ),
        "work": (sum(layout.crew.workloads), sum(figures.workloads)),
        "posts": (max(1, len(layout.crew.posts)), people),
        "layers a minute": (
            1 / layout.layer_interval_min[0],
            figures.rated_cpm[0] / need.formats[0].container.pallet.per_layer,
        ),
    }
    for index, fmt in enumerate(need.formats):
        pairs[f"rated speed, {fmt.id}"] = layout.speed.rated[index], figures.rated_cpm[index]
        effective = layout.speed.effective[index], figures.effective_cpm[index]
        pairs[f"effective speed, {fmt.id}"] = effective
    for heading in {*layout.money.annual, *figures.annual}:
        shown = layout.money.annual.get(heading, 0.0)
        pairs[f"yearly {heading}"] = shown, figures.annual.get(heading, 0.0)
    for name, (shown, worked_out) in pairs.items():
        if not math.isclose(shown, worked_out, rel_tol=1e-9, abs_tol=1e-6):
            yield f"{name}: {shown} is shown, {worked_out} worked out"
    for low, mid, high, rated in zip(
        layout.speed.lower, layout.speed.effective, layout.speed.upper, layout.speed.rated,
        strict=True,
    ):  # fmt: skip
        if not low <= mid + CLOSE <= high + 2 * CLOSE <= rated + 3 * CLOSE:
            yield "speeds out of order"


def _wrong_posts(layout: Layout, catalog: Catalog) -> Iterator[str]:
    """Posts that leave work undone, or ask too much of a person."""
    habits = catalog.economics.habits
    # Stations are listed in the order of the flow and minded section by section; chain by nobody.
    place = {class_id: number for number, class_id in enumerate(layout.classes)}
    minded = sorted(
        range(len(layout.stations)),
        key=lambda index: place.get(layout.stations[index].option.id, len(place)),
    )
    work = [layout.crew.workloads[index] for index in minded]
    attended = [layout.stations[i].option.equipment.attendance.always for i in minded]
    last = -1
    for post in layout.crew.posts:
        stations = [minded.index(station) for station in post.stations]
        if any(attended[i] for i in stations):
            if len(stations) != 1 or not post.always:
                yield "a station that is always attended shares its person"
        elif post.workload > habits.allowed_utilisation + CLOSE:
            yield "a person with too much to do"
        if len(stations) > habits.stations_per_person:
            yield "a person with too many stations"
        between = range(min(stations), max(stations) + 1)
        if any(attended[i] or work[i] > 0 for i in between if i not in stations):
            yield "a person who walks past a colleague's post"
        if min(stations) < last:
            yield "posts out of order"
        last = max(stations)
    given = sum(post.workload for post in layout.crew.posts if not post.always)
    to_do = sum(w for w, always in zip(work, attended, strict=True) if not always)
    if abs(given - to_do) > CLOSE:
        yield "work left undone"
    served = {minded.index(i) for post in layout.crew.posts for i in post.stations}
    if any(
        (w > 0 or always) and i not in served
        for i, (w, always) in enumerate(zip(work, attended, strict=True))
    ):
        yield "a station without anybody"


def _broken_limits(layout: Layout, arithmetic: Arithmetic) -> Iterator[str]:
    """Limits of the brief that the shown figures break."""
    shown = {
        "people": layout.crew.people,
        "hours": layout.money.hours,
        "budget": layout.money.first_cost.typical,
        "length": layout.floor.length_mm,
        "area": layout.floor.area_m2,
        "power": layout.utilities.power_kw,
        "water": layout.utilities.water_l_min,
        "air": layout.utilities.air_l_min,
    }
    for name, most in arithmetic.limits.items():
        if shown[name] > most + CLOSE:
            yield f"{name}: {shown[name]} of {most}"
