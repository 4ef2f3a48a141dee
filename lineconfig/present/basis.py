"""Where each printed figure comes from: its formula, or the catalogue's basis."""

from __future__ import annotations

from lineconfig.catalog import Function
from lineconfig.layout import Layout
from lineconfig.present.assessed import ASSESSED
from lineconfig.present.confirmed import CONFIRMED
from lineconfig.present.figures import class_figures, container_figures
from lineconfig.session import Study

COMPUTED: dict[str, tuple[str, str]] = {
    "speed_cpm.needed": (
        ("the speed asked for, less in proportion where a format holds more than the main one (an "
        "assumption, told among those); a format's own speed where it asks for one"),
        "the brief; assumed for larger formats",
    ),
    "speed_cpm.by_volume": (
        ("sum over formats of yearly cans / needed speed x (1 + start-up and cleaning) / hours of "
        "a year x the main format's needed speed"),
        "arithmetic; economics.yaml: habits",
    ),
    "speed_cpm.rated": (
        "slowest station with that format", "line definition, common practice",
    ),
    "speed_cpm.lower_bound": (
        "rated / (1 + sum of stop minutes and waits for people per can x rated): no buffers",
        "Buzacott 1967, operation-dependent stops (from memory)",
    ),
    "speed_cpm.upper_bound": (
        "slowest section alone, its own stops and waits only: buffers without end",
        "Gershwin, Manufacturing Systems Engineering, 1994 (from memory)",
    ),
    "speed_cpm.effective": (
        ("two-machine one-buffer lines: empties | filling | packing; a stop that calls somebody "
        "lasts until they come (on average the usual wait) and then until it is cleared"),
        "Gershwin, Manufacturing Systems Engineering, 1994, continuous material (from memory)",
    ),
    "heights_mm.filler_infeed": ("the filler's infeed height", "the catalogue or the brief"),
    "heights_mm.drop": ("deck - filler infeed", "geometry"),
    "heights_mm.ceiling_spare": ("ceiling - highest point", "geometry"),
    "heights_mm.unload_deck": (
        ("max(filler infeed + drop, foot + pallet base + (layers - 1) x (can + sheet)) within the "
        "class; foot: where the pallet stands before it is raised, 0 for the floor; loaded by "
        "handfuls: as low as the drop allows"),
        "geometry",
    ),
    "heights_mm.frame_top": (
        "unloader: deck + can height + head above the can, or its own height above its deck",
        "geometry",
    ),
    "heights_mm.highest_point": (
        ("highest of every machine's own height, the unloader's top, cans where they enter and "
        "leave, and the stack of empties as delivered"),
        "geometry; the catalogue's sizes",
    ),
    "highest": ("the station that the highest point belongs to", "geometry"),
    "pallet_layers_at_once": (
        ("floor((deck - foot - pallet base) / (can + sheet)) + 1, at most the stack; foot: where "
        "the pallet stands before it is raised, 0 for the floor; gripped from above: the stack"),
        "geometry",
    ),
    "stack_by_format": (
        ("layers of the delivered stack and its height; foot: where its pallet stands before it is "
        "raised; taken: feet of the layers as they are taken, max(deck, foot + pallet base + k x "
        "(can + sheet)) where the stack is raised, the deck where a load is pushed or swept"),
        "geometry; the catalogue's formats and heights.lowered",
    ),
    "intervals_min.layer": ("containers per layer / rated speed", "arithmetic"),
    "intervals_min.pallet": ("containers per delivered stack / rated speed", "arithmetic"),
    "crew.people": (
        ("fewest contiguous posts with workload <= allowed utilisation; an always-attended "
        "station takes one whole person"),
        "exact partition of the stations' workloads",
    ),
    "crew.posts.workload": (
        ("rated speed x minutes of tasks and called stops per can, summed over the post's share of "
        "its stations; the busiest format counts"),
        "arithmetic; the catalogue's attendance and stops",
    ),
    "first_cost_items.equipment_and_parts": (
        ("sum over stations of pieces x price, tracks, belt area and the change parts that the "
        "formats need"),
        "the catalogue and its overlays",
    ),
    "first_cost_items.freight": ("equipment and parts x share", "economics.yaml: first_cost"),
    "first_cost_items.installation": ("equipment and parts x share", "economics.yaml: first_cost"),
    "first_cost_items.training": ("equipment and parts x share", "economics.yaml: first_cost"),
    "first_cost_items.contingency": (
        "(equipment and parts + freight + installation + training) x share",
        "economics.yaml: first_cost",
    ),
    "first_cost": (
        ("sum of prices and change parts x (1 + freight + installation + training) "
        "x (1 + contingency)"),
        "economics.yaml: first_cost",
    ),
    "annual_cost.upkeep": ("sum of typical prices x yearly share", "the catalogue"),
    "annual_cost.consumables": ("yearly cans x consumables per 1000", "the catalogue"),
    "annual_cost.can losses": (
        "yearly cans x sum of shares lost x price of empties",
        "the catalogue; economics.yaml: tariffs",
    ),
    "annual_cost.product losses": (
        "litres a year x sum of shares lost x value of a litre",
        "the catalogue; economics.yaml: tariffs",
    ),
    "annual_cost.empties premium": (
        "yearly cans x premium for half stacks or loose trays", "economics.yaml: tariffs",
    ),
    "annual_cost.water": (
        ("(cans x litres per 1000 of filler, dryer and pasteurizer + flow of one rinse header x "
        "minutes in which cans run) x tariff"),
        "the catalogue's utilities; economics.yaml: tariffs",
    ),
    "hours_per_year.running": ("sum over formats of yearly cans / effective speed", "arithmetic"),
    "hours_per_year.start_up_and_cleaning": (
        "running hours x share", "economics.yaml: habits",
    ),
    "hours_per_year.changeover": (
        "format changes a year x minutes of one change with this crew", "arithmetic",
    ),
    "annual_cost.labour": (
        "(running + starting and cleaning + changeover hours) x people x wage", "arithmetic",
    ),
    "annual_cost.electricity": (
        "running hours x average kW, compressed air included, x tariff",
        "economics.yaml: tariffs, habits",
    ),
    "life_cycle_cost": (
        "first cost + yearly cost x (P/A, discount rate, horizon)",
        "engineering economics, any (P/A, i, n) table",
    ),
    "cost_per_1000_cans": (
        "(first cost / (P/A) + yearly cost) / yearly cans x 1000", "engineering economics",
    ),
    "payback_years": (
        "extra first cost / yearly saving against the valid layout with the lowest first cost",
        "simple payback",
    ),
    "stays_first": (
        ("share of triangular draws (prices, stops: one per class; wage, tariffs, losses, upkeep, "
        "work, volume: one each) in which it has the lowest life-cycle cost of those shown"),
        "seeded draws; ranges of prices from the catalogue, other spreads invented",
    ),
    "lifting.load_kg": (
        ("case: containers of a case x (empty + fill) + packaging; layer: containers + sheet; "
        "handful, tray: their empties; x the share that the hands carry"),
        "economics.yaml: handling; masses of the formats",
    ),
    "lifting.hands_mm": (
        "heights of origin and destination, less the platform that the person stands on",
        "geometry; the catalogue's lifts",
    ),
    "lifting.standing_mm": ("as reaching.standing_mm", "geometry"),
    "lifting.recommended_kg": (
        ("23 kg x HM x VM x DM x AM x FM x CM at the pace of the person who does most of it; for a "
        "stack, the load at which the index over all its layers is 1"),
        "DHHS (NIOSH) 94-110, revised 9/2021",
    ),
    "lifting.lifting_index": (
        ("load / recommended weight; over the layers of a stack the composite index; the worst "
        "format counts"),
        "DHHS (NIOSH) 94-110, revised 9/2021, sections 1.4 and 2.4",
    ),
    "lifting.lifts_per_min": (
        ("rated speed / cans between two times of the task x lifts each time x share of the "
        "station's work that falls to the person"),
        "the line's pace and the posts of the crew",
    ),
    "lifting.duration": (
        ("short up to 1 h, moderate up to 2 h, long up to 8 h of a shift no longer than the hours "
        "of a week; short below 0.1 lifts a minute"),
        "DHHS (NIOSH) 94-110, revised 9/2021, pp. 13-15",
    ),
    "lifting_posts.composite_index": (
        ("highest single index + sum of FILI x (1 / FM with the lift - 1 / FM without it) over all "
        "lifts of one person"),
        "DHHS (NIOSH) 94-110, revised 9/2021, section 2.4",
    ),
    "lifting_posts.lifts_per_min": ("sum over the person's lifts", "arithmetic"),
    "lifting_posts.duration": ("longest of the person's lifts, as lifting.duration", "as there"),
    "reaching.hands_mm": (
        ("highest place at which the task's hands work, above the floor; who empties a stack "
        "reaches its highest layer"),
        "geometry",
    ),
    "reaching.lowest_mm": ("lowest such place, above the floor", "geometry"),
    "reaching.standing_mm": (
        ("where hands pass the overhead height: max(lowest of that work - 1,020 mm, highest - "
        "overhead height)"),
        ("middle of the range for light standing work, Pheasant and Haslegrave, Bodyspace, 2006; "
        "NIOSH 94-110, V at most 175 cm"),
    ),
    "guarding.distance_mm": (
        ("light curtain: 2000 T + 8 (d - 14), at least 100 mm; beyond 500 mm with 1600 in place of "
        "2000, and at least 500 mm; d over 40 mm: 1600 T + 850. Interlocked doors: 1600 T. T = "
        "response of the guard + stopping time of the unloader"),
        "ISO 13855:2010, 6.2.3, 6.2.4 and 9 (from memory)",
    ),
    "guarding.us_distance_mm": (
        "63 in/s x T, rounded up to half an inch", "29 CFR 1910.217(c)(3)(iii)(e)",
    ),
    "guarding.floor_mm": ("as guarding.distance_mm: the guard takes that depth", "geometry"),
    "guarding.beyond_clearance_mm": (
        "distance - clearance that the guard's class keeps free at its infeed end", "arithmetic",
    ),
    "guarding.area_m2": ("distance x width of the guard", "geometry"),
    "platforms.height_mm": ("as reaching.standing_mm", "geometry"),
    "platforms.steps_mm": (
        "(risers of at most 9.5 in - 1) x treads of 9.5 in", "29 CFR 1910.25(c) (from memory)",
    ),
    "platforms.area_m2": (
        ("machine's length x what 30 in of depth exceed the clearance beside it + steps x 22 in"),
        "29 CFR 1910.25(b)(4) and (c) (figures of (c) from memory)",
    ),
    "rinsing.speed_cpm": ("rated speed with that format", "as speed_cpm.rated"),
    "rinsing.rinse_s": (
        "header / (rated speed x diameter of the container), containers touching", "arithmetic",
    ),
    "rinsing.drain_s": (
        "(inverted run - header) / (rated speed x diameter of the container)", "arithmetic",
    ),
    "rinsing.film_ml": (
        "2/3 x wall x sqrt(viscosity x height / (g x drain time))",
        "H. Jeffreys, Proc. Camb. Phil. Soc. 26 (1930) 204, draining of a vertical plate",
    ),
    "rinsing.water_l_per_1000": ("flow of one header / rated speed x 1000", "arithmetic"),
    "rinsing.water_l_per_1000_counted": (
        ("flow of one header x sum over formats of yearly cans / effective speed / yearly cans x "
        "1000"),
        "the header flows as long as cans run, common practice",
    ),
    "pressure.fill_kpa": (
        ("P [psi] = -16.6999 - 0.0101059 T + 0.00116512 T^2 + 0.173354 T V + 4.24267 V - 0.0684226 "
        "V^2, T in degF, 32 to 80 degF and 2 to 3 vol"),
        "brewery.org/library/CO2charts.html",
    ),
    "pressure.warm_degc": (
        "80 degF, the warmest of the published table", "brewery.org/library/CO2charts.html",
    ),
    "pressure.warm_kpa": ("as pressure.fill_kpa", "brewery.org/library/CO2charts.html"),
    "pressure.carbonation_vol": ("volumes of CO2 in one of product", "the brief or its default"),
    "pressure.fill_temperature_degc": ("temperature at the filler", "the brief or its default"),
    "pressure.can_class_kpa": (
        "6.2 bar, the 90 psi class; the can maker's own figure counts", "de.wiki.li/Getraenkedose",
    ),
    "pasteurizing.pasteurization_units": (
        "minutes held x 1.393^(degC - 60); warming and cooling left out",
        "Del Vecchio, Dayharsh and Baselt, ASBC Proceedings 1951",
    ),
    "pasteurizing.belt_m2": (
        ("max over formats of needed speed x (1 + overspeed) x dwell / containers nested on a "
        "square metre"),
        "plane geometry, rows d x sqrt(3) / 2 apart",
    ),
    "pasteurizing.length_mm": ("end modules + belt area / belt width", "geometry"),
    "floor.length_mm": ("sum of lengths along the flow, joints included", "geometry"),
    "floor.along_flow_mm": (
        "machines at their own length, conveyors along the path of the cans, bends included",
        "geometry of the plan",
    ),
    "utilities.kw": ("sum of connected power", "the catalogue"),
    "utilities.water_l_min": ("sum of the stations' peak flows, all headers", "the catalogue"),
    "utilities.air_l_min": ("sum of the stations' peak flows", "the catalogue"),
    "floor.area_m2": (
        ("in a room: floor under the placed rectangles, overlaps counted once; otherwise sum over "
        "stations of length x (width + side clearances), joints, the depth between guard "
        "and unloader, and platforms with their steps included"),
        "geometry; ISO 13855:2010; 29 CFR 1910.25(b)(4) and (c) (figures of (c) from memory)",
    ),
    "changeover_min.line": (
        "max(longest station, person-minutes / people)", "common practice",
    ),
    "utilities.amperes": (
        "kW x simultaneity / power factor / (sqrt 3 x volts)", "three-phase power",
    ),
}  # fmt: skip
"""Formula and source of the figures that are worked out, by their path in the JSON."""


GIVEN: dict[str, tuple[Function, str]] = {
    "guarding.stopping_s": ("unload", "stopping"),
    "guarding.response_s": ("guard", "guarding.response"),
    "guarding.resolution_mm": ("guard", "guarding.resolution"),
    "rinsing.header_mm": ("rinse", "header"),
    "rinsing.inverted_run_mm": ("lower", "inverted_run"),
    "pasteurizing.temperature_degc": ("pasteurize", "heat.temperature"),
    "pasteurizing.hold_min": ("pasteurize", "heat.hold"),
    "pasteurizing.dwell_min": ("pasteurize", "dwell"),
}
"""Figures that a layout's classes state: function and figure of the class, by path in the JSON."""


def layout_basis(study: Study, layout: Layout) -> dict[str, dict[str, str]]:
    """Formula, source and kind of every figure of a layout, by its path."""
    basis = {
        path: {"formula": formula, "source": source, "kind": "computed"}
        for path, (formula, source) in (COMPUTED | CONFIRMED | ASSESSED).items()
    }
    classes = {station.function: station.option.id for station in layout.stations}
    for path, (function, figure) in GIVEN.items():
        if function in classes:
            class_id = classes[function]
            stated = {
                named: (value, source)
                for named, value, source in class_figures(study.catalog, class_id)
            }
            if figure in stated:
                value, source = stated[figure]
                basis[path] = {
                    "formula": f"{value}, as {class_id} states",
                    "source": source,
                    "kind": "catalogue",
                }
    for number, station in enumerate(layout.stations):
        class_id = station.option.id
        for path, value, source in class_figures(study.catalog, class_id):
            entry = {"formula": f"{class_id}: {value}", "source": source, "kind": "catalogue"}
            # Tasks, lifts and change parts share a path: none of them is dropped.
            before = basis.get(f"stations.{number}.{path}")
            if before is not None:
                entry["formula"] = f"{before['formula']}; {value}"
            basis[f"stations.{number}.{path}"] = entry
    for fmt in study.need.formats:
        if fmt.id in study.catalog.containers:
            for path, value, source in container_figures(study.catalog, fmt.id):
                basis[f"formats.{fmt.id}.{path}"] = {
                    "formula": value,
                    "source": source,
                    "kind": "catalogue",
                }
    habits = study.catalog.economics.model_dump(by_alias=True)
    for group in ("first_cost", "tariffs", "habits", "handling", "stores", "defaults"):
        for name, value in habits[group].items():
            path = f"{group}.{name}"
            basis[f"economics.{path}"] = {
                "formula": str(value),
                "source": study.catalog.economics_basis(path),
                "kind": "catalogue",
            }
    return basis
