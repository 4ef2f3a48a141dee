"""The demonstration catalogue: complete, with a basis for each figure, and true to the trade.

Facts of the trade are marked `common practice`: they have no single source. Published values name
their source beside the check.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml

from lineconfig.catalog import FUNCTIONS, EquipmentClass, EquipmentFile
from lineconfig.containers import Container, FormatsFile
from lineconfig.economics import Economics

ROOT = Path(__file__).resolve().parents[1]
CATALOG = ROOT / "catalog"
OVERLAY = ROOT / "examples" / "overlay-quotes"

CLASSES_NEEDED: dict[str, set[str]] = {
    "supply": {
        "full-pallet-jack", "half-stack-jack", "half-stack-lift-table", "half-stack-stacker",
        "loose-trays-lift-table",
    },
    "unload": {
        "hand-loading-shelf", "rotary-unscrambling-table", "gravity-trough",
        "gravity-trough-raised", "single-filing-table", "half-height-depalletizer",
        "full-height-depalletizer", "tall-depalletizer", "layer-grip-depalletizer",
        "bulk-depalletizer",
    },
    "guard": {"no-guard", "light-curtain", "interlocked-doors"},
    "lower": {
        "level-run", "gravity-track", "short-twist-rinser", "twist-rinser", "twist-rinser-pair",
        "twist-rinser-row", "twist-rinser-quad", "gripper-lowerator", "gripper-elevator",
    },
    "rinse": {"no-rinse", "water-rinse", "sanitizer-rinse", "ionized-air-rinse"},
    "code": {
        "rail-ink-jet", "rail-thermal-ink-jet", "rail-laser", "dryer-ink-jet", "dryer-laser",
        "case-only-thermal-ink-jet",
    },
    "fill": {
        "hand-fed-2-head", "inline-4-6-head", "inline-8-12-head", "inline-16-head",
        "rotary-open-fill", "rotary-counter-pressure-small", "rotary-counter-pressure-medium",
        "rotary-counter-pressure-high-speed",
    },
    "dose": {"no-doser", "nitrogen-doser"},
    "dry": {"hand-wipe", "rinse-blow-off", "two-stage-air-knife"},
    "inspect": {"sample-weighing", "inline-level-reject", "inline-checkweigher"},
    "label": {"printed-cans", "wrap-labeller"},
    "pasteurize": {"no-pasteurizer", "batch-pasteurizer", "tunnel-pasteurizer"},
    "gather": {"no-accumulation", "rotary-table", "bidirectional-table", "lane-conveyor-gather"},
    "pack": {
        "hand-pack", "press-on-carriers", "carrier-applicator", "tray-packer",
        "wrap-around-packer",
    },
    "palletize": {
        "hand-palletizing", "vacuum-lift-assist", "collaborative-palletizer", "row-palletizer",
    },
    "wrap": {"hand-stretch-wrap", "turntable-wrapper", "automatic-wrapper"},
    "convey": {"table-top-straight", "table-top-bend", "single-to-mass-widening", "incline"},
}  # fmt: skip

NOT_FIGURES = {
    "id", "name", "summary", "function", "absent", "supply_form", "medium", "place", "treatment",
    "kind", "closing", "cautions", "basis",
}  # fmt: skip
"""What a class is, rather than how much; cautions carry a basis of their own."""

NEEDED_FIGURES = {
    "accepts", "speed", "lanes", "size", "clearance", "operator_sides", "mass", "mobility",
    "largest_part", "utilities", "changeover", "attendance", "stops", "price", "upkeep",
    "lead_time_weeks", "cautions",
}  # fmt: skip
HEIGHT_SHOWN = {
    "unload", "lower", "fill", "dry", "inspect", "label", "pasteurize", "gather", "pack",
    "palletize", "convey",
}  # fmt: skip
"""Functions whose machines pass containers on by themselves; the rest sit on or beside them."""

Raw = dict[str, Any]


@cache
def equipment_files() -> dict[str, Raw]:
    files = sorted((CATALOG / "equipment").glob("*.yaml"))
    return {path.stem: yaml.safe_load(path.read_text(encoding="utf-8")) for path in files}


@cache
def raw_classes() -> dict[str, Raw]:
    return {item["id"]: item for file in equipment_files().values() for item in file["classes"]}


@cache
def classes() -> dict[str, EquipmentClass]:
    read = [EquipmentFile.model_validate(file) for file in equipment_files().values()]
    return {item.id: item for file in read for item in file.classes}


@cache
def raw_formats() -> list[Raw]:
    text = (CATALOG / "formats.yaml").read_text(encoding="utf-8")
    formats: list[Raw] = yaml.safe_load(text)["formats"]
    return formats


@cache
def formats() -> dict[str, Container]:
    return {
        item.id: item for item in FormatsFile.model_validate({"formats": raw_formats()}).formats
    }


@cache
def raw_economics() -> Raw:
    economics: Raw = yaml.safe_load((CATALOG / "economics.yaml").read_text(encoding="utf-8"))
    return economics


@cache
def economics() -> Economics:
    return Economics.model_validate(raw_economics())


@cache
def overlay_entries() -> list[Raw]:
    files = sorted(OVERLAY.glob("*.yaml"))
    read = [yaml.safe_load(path.read_text(encoding="utf-8")) for path in files]
    return [{"function": file["function"], **item} for file in read for item in file["classes"]]


def overlaid(entry: Raw) -> Raw:
    """A class of the overlay on top of the catalogue's, figure by figure."""
    base = raw_classes().get(entry["id"], {})
    return {**base, **entry, "basis": {**base.get("basis", {}), **entry["basis"]}}


def typical(class_id: str) -> float:
    price = classes()[class_id].price
    assert price is not None
    return float(price.typical)


def per_track(class_id: str) -> float:
    price = classes()[class_id].price_per_track
    assert price is not None
    return float(price.typical)


def deck(class_id: str) -> tuple[float, float]:
    span = classes()[class_id].heights.discharge_mm
    assert span is not None
    return span.least, span.most


def leaf_paths(value: Any, path: str = "") -> Iterator[str]:
    """Dotted paths of all leaves; the places in a list share one path."""
    if isinstance(value, dict):
        for key, item in value.items():
            yield from leaf_paths(item, f"{path}.{key}" if path else key)
    elif isinstance(value, list) and value:
        for item in value:
            yield from leaf_paths(item, path)
    else:
        yield path


def leaf_values(value: Any) -> Iterator[Any]:
    if isinstance(value, dict | list):
        for item in value.values() if isinstance(value, dict) else value:
            yield from leaf_values(item)
    else:
        yield value


def basis_of(path: str, basis: dict[str, str]) -> str | None:
    parts = path.split(".")
    for length in range(len(parts), 0, -1):
        found = basis.get(".".join(parts[:length]))
        if found is not None:
            return found
    return basis.get("default")


def figures(record: Raw) -> list[str]:
    kept = {key: value for key, value in record.items() if key not in NOT_FIGURES}
    return list(leaf_paths(kept))


# --- files and ids -----------------------------------------------------------------------------


def test_there_is_one_file_for_each_function() -> None:
    assert set(equipment_files()) == {*FUNCTIONS, "convey"}
    for stem, file in equipment_files().items():
        assert file["function"] == stem
        assert {item["function"] for item in file["classes"]} == {stem}


@pytest.mark.parametrize("function", sorted(CLASSES_NEEDED))
def test_each_function_has_its_classes(function: str) -> None:
    ids = {item["id"] for item in equipment_files()[function]["classes"]}
    assert CLASSES_NEEDED[function] <= ids


def test_no_key_is_written_twice() -> None:
    # YAML readers keep the last of two equal keys without a word.
    def walk(node: yaml.Node, file: str) -> None:
        if isinstance(node, yaml.MappingNode):
            keys = [key.value for key, _ in node.value]
            assert len(keys) == len(set(keys)), f"{file}:{node.start_mark.line + 1}"
            for _, value in node.value:
                walk(value, file)
        elif isinstance(node, yaml.SequenceNode):
            for item in node.value:
                walk(item, file)

    paths = [*CATALOG.rglob("*.yaml"), *OVERLAY.glob("*.yaml")]
    assert len(paths) >= 21
    for path in paths:
        document = yaml.compose(path.read_text(encoding="utf-8"), yaml.SafeLoader)
        assert document is not None, path.name
        walk(document, path.name)


def test_no_two_classes_share_an_id_or_a_name() -> None:
    every = [item for file in equipment_files().values() for item in file["classes"]]
    for key in ("id", "name"):
        twice = [name for name, count in Counter(item[key] for item in every).items() if count > 1]
        assert twice == []


def test_no_two_formats_share_an_id_or_a_name() -> None:
    for key in ("id", "name"):
        twice = [
            n for n, count in Counter(item[key] for item in raw_formats()).items() if count > 1
        ]
        assert twice == []


def test_there_are_formats_of_every_kind() -> None:
    kinds = Counter(can.kind for can in formats().values())
    assert len(formats()) >= 16
    assert set(kinds) == {"two-piece-can", "threaded-can-bottle", "glass-bottle"}
    assert min(kinds.values()) >= 2


# --- completeness and provenance ---------------------------------------------------------------


@pytest.mark.parametrize("class_id", sorted(raw_classes()))
def test_each_machine_carries_every_figure(class_id: str) -> None:
    record = raw_classes()[class_id]
    if record.get("absent"):
        # Doing without costs nothing to buy, but may lose product.
        assert set(figures(record)) <= {"product_loss"}
        return
    assert NEEDED_FIGURES - set(record) == set()
    assert record["cautions"], "no class is without a hazard or a limit"
    if record["function"] in HEIGHT_SHOWN:
        assert record["heights"]
    own = {
        "supply": "supply_form", "rinse": "medium", "code": "place", "pasteurize": "treatment",
        "lower": "tracks",
    }  # fmt: skip
    if record["function"] in own:
        assert record[own[record["function"]]]


@pytest.mark.parametrize("class_id", sorted(raw_classes()))
def test_each_figure_of_a_class_has_a_basis(class_id: str) -> None:
    record = raw_classes()[class_id]
    assert [path for path in figures(record) if basis_of(path, record["basis"]) is None] == []


@pytest.mark.parametrize("class_id", sorted(raw_classes()))
def test_each_basis_belongs_to_a_figure(class_id: str) -> None:
    record = raw_classes()[class_id]
    there = {
        ".".join(path.split(".")[:length])
        for path in figures(record)
        for length in range(1, path.count(".") + 2)
    }
    assert set(record["basis"]) - there == set()


@pytest.mark.parametrize("class_id", sorted(raw_classes()))
def test_money_and_demonstration_rates_are_said_to_be_invented(class_id: str) -> None:
    record = raw_classes()[class_id]
    money = [p for p in figures(record) if re.search(r"price|consumables|^speed\.|upkeep", p)]
    assert record.get("absent") or money
    for path in money:
        assert basis_of(path, record["basis"]) == "invented", path


def test_each_figure_of_a_format_has_a_basis() -> None:
    for record in raw_formats():
        for path in figures(record):
            assert basis_of(path, record["basis"]), (record["id"], path)


def test_each_assumption_has_a_basis() -> None:
    record = raw_economics()
    for path in leaf_paths({k: v for k, v in record.items() if k not in ("basis", "currency")}):
        assert basis_of(path, record["basis"]), path


def test_one_caution_code_has_one_text_and_promises_nothing() -> None:
    texts: dict[str, str] = {}
    for item in classes().values():
        codes = [caution.code for caution in item.cautions]
        assert len(codes) == len(set(codes)), item.id
        for caution in item.cautions:
            assert texts.setdefault(caution.code, caution.text) == caution.text
    assert len(texts) > 20
    for text in texts.values():
        assert not re.search(r"\bcompl(y|ies|iant)\b|\bsafe\b|\bsafely\b", text, re.IGNORECASE)


def test_all_money_is_in_the_currency_of_the_economics_file() -> None:
    amounts = re.compile(r"[\d.]+ ([A-Z]{3})(/h)?")
    records: list[Raw] = [*raw_classes().values(), raw_economics()]
    texts = [str(value) for record in records for value in leaf_values(record)]
    named = [match[1] for text in texts if (match := amounts.fullmatch(text))]
    assert len(named) > 300
    assert set(named) == {economics().currency}


# --- prices ------------------------------------------------------------------------------------


def _prices(item: EquipmentClass) -> Iterator[tuple[float, float, float]]:
    parts = item.changeover.parts if item.changeover else []
    for price in (item.price, item.price_per_track, item.area_price, *(p.price for p in parts)):
        if price is not None:
            yield float(price.low), float(price.typical), float(price.high)


@pytest.mark.parametrize("class_id", sorted(raw_classes()))
def test_prices_run_from_low_to_high(class_id: str) -> None:
    for low, middle, high in _prices(classes()[class_id]):
        assert 0 <= low <= middle <= high
        assert high <= 2 * low or high == 0, "a range that wide says nothing"


# Ratios of typical prices that the trade expects: common practice.
PRICE_RATIOS = [
    ("single-filing-table", "gravity-trough", 5.0, 10.0),
    ("half-height-depalletizer", "single-filing-table", 2.0, 4.0),
    ("full-height-depalletizer", "half-height-depalletizer", 1.05, 1.3),
    ("tall-depalletizer", "full-height-depalletizer", 1.0, 1.1),
    ("layer-grip-depalletizer", "full-height-depalletizer", 1.8, 2.5),
    ("bulk-depalletizer", "full-height-depalletizer", 3.5, 5.0),
    ("gripper-lowerator", "gripper-elevator", 1.0, 1.3),
    ("rail-laser", "rail-ink-jet", 2.0, 4.0),
    ("two-stage-air-knife", "rinse-blow-off", 1.5, 3.0),
    ("inline-8-12-head", "inline-4-6-head", 1.4, 2.5),
    ("rotary-open-fill", "inline-16-head", 1.7, 3.0),
    ("rotary-counter-pressure-small", "rotary-open-fill", 1.1, 2.0),
    ("rotary-counter-pressure-high-speed", "rotary-counter-pressure-small", 3.0, 5.0),
    ("row-palletizer", "collaborative-palletizer", 1.2, 2.5),
    ("tunnel-pasteurizer", "batch-pasteurizer", 3.0, 10.0),
    ("automatic-wrapper", "turntable-wrapper", 4.0, 10.0),
]


@pytest.mark.parametrize(("dearer", "cheaper", "least", "most"), PRICE_RATIOS)
def test_prices_stand_in_the_trades_proportion(
    dearer: str, cheaper: str, least: float, most: float
) -> None:
    assert least <= typical(dearer) / typical(cheaper) <= most


def test_a_tall_twist_costs_about_twice_a_short_one() -> None:
    # Common practice.
    assert 1.7 <= per_track("twist-rinser") / per_track("short-twist-rinser") <= 2.8


def test_many_formats_make_an_adjustable_lowerator_worth_its_price() -> None:
    # Common practice: with a track for each format the adjustable device is dearer for a few
    # formats and cheaper from about eight tall twists on.
    twist, adjustable = per_track("twist-rinser"), typical("gripper-lowerator")
    assert 4 * twist < adjustable < 9 * twist
    four = typical("twist-rinser-quad") + 4 * per_track("twist-rinser-quad")
    assert four == pytest.approx(2 * 11_000 + 2 * 14_000)  # invented: two plain, two over the top
    row = typical("twist-rinser-row") + 3 * per_track("twist-rinser-row")
    assert 3 * twist < row < four


def test_more_speed_costs_more_money() -> None:
    # Common practice: of one kind of filler or packer the faster one is the dearer one.
    for kind in (
        ["hand-fed-2-head", "inline-4-6-head", "inline-8-12-head", "inline-16-head"],
        ["rotary-counter-pressure-small", "rotary-counter-pressure-medium",
         "rotary-counter-pressure-high-speed"],
        ["press-on-carriers", "carrier-applicator", "tray-packer", "wrap-around-packer"],
        ["vacuum-lift-assist", "collaborative-palletizer", "row-palletizer"],
    ):  # fmt: skip
        speeds = [float(item.speed.most_cpm) for name in kind if (item := classes()[name]).speed]
        prices = [typical(name) for name in kind]
        assert speeds == sorted(speeds) and prices == sorted(prices)
        assert len(set(prices)) == len(speeds) == len(kind)


# --- people ------------------------------------------------------------------------------------


def minutes_per_can(class_id: str, can: Container, form: str) -> float:
    """Person-minutes for each can from the list of tasks; a person always there at full speed."""
    item = classes()[class_id]
    layers = {"full-pallet": can.pallet.layers, "half-stack": can.pallet.half_stack_layers}
    load = can.pallet.per_layer * layers[form]
    case = economics().habits.cans_per_case
    cans_for = {
        "pallet": load, "load": load, "layer": can.pallet.per_layer, "case": case,
        "full-pallet-out": case * economics().habits.cases_per_full_pallet,
    }  # fmt: skip
    work = sum(
        float(task.minutes) / (cans_for.get(task.every) or float(task.cans or math.nan))
        for task in item.attendance.tasks
    )
    if item.attendance.always:
        assert item.speed is not None
        work = max(work, 1 / float(item.speed.most_cpm))
    return work


def unloading_minutes(class_id: str, can: Container) -> float:
    accepts = classes()[class_id].accepts
    assert accepts is not None and accepts.supply is not None
    form = "full-pallet" if "full-pallet" in accepts.supply else "half-stack"
    return minutes_per_can(class_id, can, form)


@pytest.mark.parametrize("format_id", ["can-355-standard", "can-473-standard", "can-250-slim"])
def test_dearer_unloaders_ask_less_of_people(format_id: str) -> None:
    # Common practice: shelf and trough more than the single-filing table, then half height, full
    # and tall, layer grip, bulk.
    can = formats()[format_id]
    steps = [
        ("hand-loading-shelf", "gravity-trough", "gravity-trough-raised"),
        ("single-filing-table",),
        ("half-height-depalletizer",),
        ("full-height-depalletizer", "tall-depalletizer"),
        ("layer-grip-depalletizer",),
        ("bulk-depalletizer",),
    ]
    work = [[unloading_minutes(name, can) for name in step] for step in steps]
    for more, less in pairwise(work):
        assert min(more) > max(less)
    assert work[-1][0] > 0, "no unloader runs unattended"


def test_unloading_takes_the_trades_share_of_a_person() -> None:
    # Common practice, with 12 oz cans: about half a person on a powered table at 60 cpm and on a
    # rotary table at 40 cpm; a fifth to a third on a depalletizer at 100 cpm.
    can = formats()["can-355-standard"]
    assert 0.5 <= 60 * unloading_minutes("single-filing-table", can) <= 0.7
    assert 40 * unloading_minutes("rotary-unscrambling-table", can) >= 0.5
    assert 60 * unloading_minutes("rotary-unscrambling-table", can) <= 0.85
    for name in ("half-height-depalletizer", "full-height-depalletizer", "tall-depalletizer"):
        assert 0.2 <= 100 * unloading_minutes(name, can) <= 0.35
    assert 0.4 <= 1000 * unloading_minutes("bulk-depalletizer", can) <= 0.85


def test_who_must_always_be_there() -> None:
    # Common practice: cans set or tipped in by hand, and cans set under filling heads by hand.
    always = {item.id for item in classes().values() if item.attendance.always}
    assert always == {
        "hand-loading-shelf", "gravity-trough", "gravity-trough-raised", "hand-fed-2-head",
    }  # fmt: skip


LINES = [
    # speed, form, people from and to (common practice), stations
    (30, "half-stack", 2, 3, (
     "half-stack-lift-table rotary-unscrambling-table level-run inline-4-6-head hand-wipe "
     "sample-weighing rotary-table hand-pack hand-palletizing hand-stretch-wrap")),
    (100, "full-pallet", 3, 4, (
     "full-pallet-jack full-height-depalletizer light-curtain twist-rinser water-rinse "
     "inline-16-head rinse-blow-off sample-weighing rotary-table press-on-carriers "
     "hand-palletizing turntable-wrapper")),
    (240, "full-pallet", 3, 4, (
     "full-pallet-jack full-height-depalletizer light-curtain twist-rinser ionized-air-rinse "
     "rail-ink-jet rotary-counter-pressure-small two-stage-air-knife inline-checkweigher "
     "bidirectional-table tray-packer collaborative-palletizer turntable-wrapper")),
    (800, "full-pallet", 3, 5, (
     "full-pallet-jack bulk-depalletizer interlocked-doors twist-rinser ionized-air-rinse "
     "rail-laser rotary-counter-pressure-high-speed two-stage-air-knife inline-level-reject "
     "lane-conveyor-gather wrap-around-packer row-palletizer automatic-wrapper")),
]  # fmt: skip


@pytest.mark.parametrize(("speed", "form", "least", "most", "stations"), LINES)
def test_whole_lines_take_the_trades_crew(
    speed: int, form: str, least: int, most: int, stations: str
) -> None:
    # Each person minds neighbouring stations, so a new one starts where the last one is full.
    can, allowed = formats()["can-355-standard"], float(economics().habits.allowed_utilisation)
    people, free = 0, 0.0
    for name in stations.split():
        stops = classes()[name].stops
        assert stops is not None
        calls = float(stops.minutes) / float(stops.every_cans) if stops.person else 0.0
        work = speed * (minutes_per_can(name, can, form) + calls)
        if work > free and work <= allowed:
            people, free = people + 1, allowed
        while work > free:
            people, work, free = people + 1, work - free, allowed
        free -= work
    assert least <= people <= most


@pytest.mark.parametrize(("speed", "form", "least", "most", "stations"), LINES)
def test_whole_lines_run_at_the_trades_efficiency(
    speed: int, form: str, least: int, most: int, stations: str
) -> None:
    # Zero-buffer line with operation-dependent stops, E = 1 / (1 + sum p/r), from memory (Buzacott
    # 1967). Common practice: 75 to 92 % before larger losses.
    down = 0.0
    for name in stations.split():
        item = classes()[name]
        assert item.stops is not None and item.speed is not None
        assert float(item.speed.most_cpm) >= speed
        down += speed * float(item.stops.minutes) / float(item.stops.every_cans)
    assert 0.75 <= 1 / (1 + down) <= 0.92


# --- heights -----------------------------------------------------------------------------------


def top_layer_mm(can: Container, layers: int) -> float:
    """Height of the floor of a stack's top layer: pallet, cans and sheets below it."""
    below = layers - 1
    return can.pallet.base_mm + below * can.height_mm + below * can.pallet.sheet_mm


def test_half_height_frames_take_half_stacks_and_full_frames_take_full_pallets() -> None:
    # Common practice, from geometry: the frame lifts a load that stands on the floor.
    half_most, full_most = deck("half-height-depalletizer")[1], deck("full-height-depalletizer")[1]
    for can in formats().values():
        if can.kind == "glass-bottle":
            continue
        assert top_layer_mm(can, can.pallet.half_stack_layers) <= half_most
        assert half_most < top_layer_mm(can, can.pallet.layers) <= full_most
        assert top_layer_mm(can, can.pallet.layers) <= deck("bulk-depalletizer")[1]


def test_decks_follow_one_another_upwards() -> None:
    half, full = deck("half-height-depalletizer"), deck("full-height-depalletizer")
    tall, low = deck("tall-depalletizer"), deck("layer-grip-depalletizer")
    assert low[1] < half[0] and half[1] < full[0] and full[1] < tall[1] and full[0] < tall[0]


def infeeds_mm() -> list[float]:
    spans = [c.heights.infeed_mm for c in classes().values() if c.function == "fill"]
    return sorted({span.least for span in spans if span is not None})


def test_fillers_take_cans_in_at_a_few_heights_near_the_waist() -> None:
    # Common practice: 38 to 42 in.
    assert 2 <= len(infeeds_mm()) <= 4
    assert all(38 * 25.4 - 1 <= mm <= 42 * 25.4 + 1 for mm in infeeds_mm())
    for item in classes().values():
        if item.function == "fill":
            assert item.heights.infeed_mm is not None
            assert item.heights.infeed_mm.least == item.heights.infeed_mm.most


def least_drop(class_id: str, can: Container) -> float:
    drop = classes()[class_id].heights.drop
    assert drop is not None
    return drop.base_mm + drop.container_heights * can.height_mm


def test_a_half_height_frame_has_no_drop_for_a_gripper_lowerator() -> None:
    # Common practice, from geometry; even for the shortest can into the lowest filler.
    shortest = min(formats().values(), key=lambda can: can.height_mm)
    room = deck("half-height-depalletizer")[1] - infeeds_mm()[0]
    assert least_drop("gripper-lowerator", shortest) > room
    for can in formats().values():
        if can.kind == "two-piece-can":
            assert least_drop("short-twist-rinser", can) < room


def test_a_full_height_frame_has_drop_for_every_lowering_device() -> None:
    can = formats()["can-355-standard"]
    room = deck("full-height-depalletizer")[1] - infeeds_mm()[-1]
    for name in ("twist-rinser", "twist-rinser-quad", "gripper-lowerator"):
        assert least_drop(name, can) < room
    drop = classes()["short-twist-rinser"].heights.drop
    assert drop is not None
    assert deck("full-height-depalletizer")[0] - infeeds_mm()[-1] > drop.most_mm


def test_a_raised_trough_over_a_twist_is_ladder_work_and_the_low_trough_is_not() -> None:
    # NIOSH 94-110: no lifting with hands above V = 175 cm. A layer tipped over the lip lifts its
    # far edge with the hands (common practice: about a third of the 44 in of its width).
    habits = economics().habits
    assert habits.overhead_mm == 1750
    rise = habits.tipping_rise * 44 * 25.4
    lip = classes()["gravity-trough-raised"].heights.lip_mm
    assert lip is not None
    for can in formats().values():
        if can.kind == "two-piece-can":
            raised = infeeds_mm()[0] + least_drop("short-twist-rinser", can) + lip + rise
            assert raised > habits.overhead_mm
    assert deck("gravity-trough")[1] + lip + rise < habits.overhead_mm


def test_the_trough_stands_40_inches_high_with_a_lip_of_44_to_46() -> None:
    # Common practice.
    low, high = deck("gravity-trough")
    assert low <= 40 * 25.4 <= high
    lip = classes()["gravity-trough"].heights.lip_mm
    assert lip is not None
    assert 44 * 25.4 <= 40 * 25.4 + lip <= 46 * 25.4


def test_machines_after_the_filler_stand_at_every_fillers_height() -> None:
    for item in classes().values():
        if item.function in ("dry", "inspect", "label", "gather", "pack") and not item.absent:
            assert item.heights.infeed_mm is not None
            for height in infeeds_mm():
                assert height in item.heights.infeed_mm, item.id


# --- what people lift, guards, rinse and heat --------------------------------------------------

LIFTED_BY_HAND = {
    "hand-loading-shelf": {"handful", "sheet"},
    "rotary-unscrambling-table": {"top-frame", "empties-pallet", "sheet"},
    "gravity-trough": {"top-frame", "empties-pallet", "layer", "sheet"},
    "gravity-trough-raised": {"top-frame", "empties-pallet", "layer", "sheet"},
    "single-filing-table": {"top-frame", "empties-pallet", "sheet"},
    "half-height-depalletizer": {"top-frame", "empties-pallet", "sheet"},
    "full-height-depalletizer": {"top-frame", "empties-pallet", "sheet"},
    "hand-pack": {"case"},
    "hand-palletizing": {"case", "shipping-pallet"},
}
"""Common practice."""


@pytest.mark.parametrize("class_id", sorted(LIFTED_BY_HAND))
def test_people_lift_what_the_trade_has_them_lift(class_id: str) -> None:
    tasks = classes()[class_id].attendance.tasks
    words = {lift.load for task in tasks for lift in task.lifts if isinstance(lift.load, str)}
    assert words == LIFTED_BY_HAND[class_id]


def test_lifts_are_within_what_one_person_handles_at_all() -> None:
    # NIOSH 94-110: a load constant of 23 kg and a reach of 63 cm end the equation's range.
    lifts = [
        lift for item in classes().values() for task in item.attendance.tasks for lift in task.lifts
    ]
    assert len(lifts) > 40
    for lift in lifts:
        assert isinstance(lift.load, str) or 0.5 <= float(lift.load) <= 23
        assert 250 <= lift.reach_mm <= 630
        assert lift.reach_to_mm is None or 250 <= lift.reach_to_mm <= 630


def test_goods_weigh_what_such_goods_weigh() -> None:
    # From memory, as bounds only: wooden and plastic pallets of 40 x 48 to 44 x 56 in 15 to 30 kg.
    handling = economics().handling
    assert 15 <= handling.empties_pallet_kg <= 30 and 15 <= handling.shipping_pallet_kg <= 30
    # A sheet of 56 x 44 in and 0.9 mm: 0.6 to 0.95 g/cm3 for board and plastic.
    litres = 14.224 * 11.176 * 0.009
    assert 0.6 * litres <= handling.sheet_kg <= 0.95 * litres
    # ISO pallets stand 145 mm high, 150 mm at most.
    assert 120 <= handling.shipping_pallet_height_mm <= 160
    assert economics().habits.cases_per_full_pallet % handling.cases_per_layer == 0


def test_what_moves_under_power_has_a_stopping_time_and_its_guards_a_response() -> None:
    for item in classes().values():
        powered = "powered-unloader" in item.traits
        assert (item.stopping_min is not None) == powered
        if item.stopping_min is not None:
            assert 0.1 <= item.stopping_min * 60 <= 1.5
        assert (item.guarding is not None) == (item.function == "guard" and not item.absent)
    curtain = classes()["light-curtain"].guarding
    assert curtain is not None and curtain.resolution_mm is not None
    # ISO 13855:2010: up to 40 mm a hand is detected.
    assert 14 <= curtain.resolution_mm <= 40


def test_whatever_turns_cans_over_says_for_how_long_a_run() -> None:
    runs = {c.id: c.inverted_run_mm for c in classes().values() if c.inverted_run_mm is not None}
    assert set(runs) == {c.id for c in classes().values() if "inverts" in c.traits}
    headers = [c.header_mm for c in classes().values() if c.header_mm is not None]
    assert len(headers) == len([c for c in classes().values() if c.medium not in (None, "none")])
    assert max(headers) <= min(runs.values())


def test_pasteurizers_hold_within_their_dwell() -> None:
    for item in classes().values():
        assert (item.heat is not None) == (item.treatment in ("batch", "tunnel"))
        if item.heat is not None and item.dwell_min is not None:
            # Warming up and cooling down take the rest of the dwell.
            assert 0 < item.heat.hold_min < item.dwell_min
            assert 58 <= item.heat.temperature_degc <= 72


# --- what fits what ----------------------------------------------------------------------------


def test_every_format_can_be_unloaded_filled_and_packed() -> None:
    for can in formats().values():
        for function in ("supply", "unload", "lower", "fill", "dry", "inspect", "pack"):
            takers = [
                item.id
                for item in classes().values()
                if item.function == function
                and item.accepts is not None
                and can.kind in item.accepts.kinds
                and can.diameter_mm in item.accepts.diameter_mm
                and can.height_mm in item.accepts.height_mm
                and (item.accepts.closings is None or can.closing in item.accepts.closings)
                and (item.accepts.ends is None or can.end in item.accepts.ends)
            ]
            assert takers, (can.id, function)


def test_adjustable_grippers_take_every_format_and_twists_no_glass() -> None:
    # Common practice.
    for can in formats().values():
        accepts = classes()["gripper-lowerator"].accepts
        assert accepts is not None and can.kind in accepts.kinds
        assert can.diameter_mm in accepts.diameter_mm and can.height_mm in accepts.height_mm
    for name in ("short-twist-rinser", "twist-rinser", "twist-rinser-pair", "gravity-track"):
        accepts = classes()[name].accepts
        assert accepts is not None and "glass-bottle" not in accepts.kinds


def test_a_half_height_frame_never_takes_full_pallets_and_hands_never_do() -> None:
    takes_full = {
        item.id
        for item in classes().values()
        if item.function == "unload"
        and item.accepts
        and "full-pallet" in (item.accepts.supply or [])
    }
    assert takes_full == {
        "full-height-depalletizer", "tall-depalletizer", "layer-grip-depalletizer",
        "bulk-depalletizer",
    }  # fmt: skip


def test_only_pressure_fillers_fill_highly_carbonated_product() -> None:
    # Common practice: soft drinks of 3.5 vol and more want counter-pressure.
    for item in classes().values():
        if item.function != "fill":
            continue
        assert item.accepts is not None and item.accepts.carbonation_vol is not None
        assert (3.5 in item.accepts.carbonation_vol) == ("counter-pressure" in item.id)
        assert 2.6 in item.accepts.carbonation_vol


def test_caps_and_crowns_take_a_head_of_their_own() -> None:
    for item in classes().values():
        if item.function != "fill":
            continue
        assert item.accepts is not None and item.accepts.closings and item.changeover
        for closing in set(item.accepts.closings) - {"seam"}:
            heads = [p for p in item.changeover.parts if p.closings == [closing]]
            assert len(heads) == 1 and heads[0].for_each == "closing"
        for part in item.changeover.parts:
            assert set(part.closings) <= set(item.accepts.closings)


def test_powered_unloaders_are_the_depalletizers() -> None:
    powered = {item.id for item in classes().values() if "powered-unloader" in item.traits}
    assert powered == {name for name in CLASSES_NEEDED["unload"] if "depalletizer" in name}
    for name in powered:
        codes = {caution.code for caution in classes()[name].cautions}
        assert {"crush-zone", "nip-points"} <= codes


def test_twist_arrangements_serve_as_many_formats_as_they_have_tracks() -> None:
    counts = {"twist-rinser": 1, "twist-rinser-pair": 2, "twist-rinser-row": 3,
              "twist-rinser-quad": 4}  # fmt: skip
    for name, count in counts.items():
        tracks = classes()[name].tracks
        assert tracks is not None
        assert (tracks.formats_least, tracks.formats_most) == (count, count)
        assert tracks.mounted == "each-format"


def test_reused_parts_go_into_classes_of_the_same_function_that_exist() -> None:
    reused = [(item, reuse) for item in classes().values() for reuse in item.reuse]
    assert any(item.id == "single-filing-table" for item, _ in reused)
    for item, reuse in reused:
        assert 0 < reuse.credit <= 1
        for later in reuse.in_classes:
            assert classes()[later].function == item.function
            assert later != item.id


# --- formats -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("format_id", "per_layer", "layers", "count"),
    [
        # 44 x 56 in pallets: common practice and from memory; the products are arithmetic.
        ("can-355-standard", 389, 21, 8169),
        ("can-473-standard", 389, 16, 6224),
        ("can-568-standard", 389, 13, 5057),
    ],
)
def test_bulk_pallets_hold_the_trades_counts(
    format_id: str, per_layer: int, layers: int, count: int
) -> None:
    pallet = formats()[format_id].pallet
    assert (pallet.per_layer, pallet.layers, pallet.count) == (per_layer, layers, count)
    assert (pallet.length_mm, pallet.width_mm) == pytest.approx((56 * 25.4, 44 * 25.4))


def test_the_12_oz_can_has_its_published_size() -> None:
    # Can Manufacturers Institute, Voluntary Can and End Dimension Reference Manual: 211 x 413 body
    # 2.602 in, flanged height 4.812 in, 202 end.
    can = formats()["can-355-standard"]
    assert can.diameter_mm == pytest.approx(2.602 * 25.4, abs=0.01)
    assert can.height_mm == pytest.approx(4.812 * 25.4, abs=0.05)
    assert can.end == "202"


def lattice_counts(diameter: float, along: float, across: float) -> set[int]:
    """Circles of a triangular lattice inside a rectangle, centre by centre, both first rows."""
    counts = set()
    for first_shift in (0.0, diameter / 2):
        inside, row, y = 0, 0, diameter / 2
        while y <= across - diameter / 2 + 1e-9:
            x = diameter / 2 + (first_shift if row % 2 == 0 else diameter / 2 - first_shift)
            while x <= along - diameter / 2 + 1e-9:
                inside += 1
                x += diameter
            row, y = row + 1, y + diameter * math.cos(math.pi / 6)
        counts.add(inside)
    return counts


@pytest.mark.parametrize("record", raw_formats(), ids=[item["id"] for item in raw_formats()])
def test_layers_hold_what_nested_rows_hold(record: Raw) -> None:
    can = formats()[record["id"]]
    length, width = float(can.pallet.length_mm), float(can.pallet.width_mm)
    found = lattice_counts(can.diameter_mm, length, width)
    found |= lattice_counts(can.diameter_mm, width, length)
    # Nested rows are not always the densest start, and pallets keep an edge: within 4 %.
    assert can.pallet.per_layer <= max(found)
    assert can.pallet.per_layer >= 0.96 * max(found)


def test_389_is_rows_of_20_and_21_on_a_pallet_with_an_edge_kept_free() -> None:
    # 55.5 in of usable length: short row first.
    assert 389 in lattice_counts(2.602 * 25.4, 55.5 * 25.4, 44 * 25.4)


@pytest.mark.parametrize("format_id", sorted(item["id"] for item in raw_formats()))
def test_containers_hold_their_volume(format_id: str) -> None:
    can = formats()[format_id]
    cylinder_ml = math.pi / 4 * can.diameter_mm**2 * can.height_mm / 1000
    # Dome, neck and headspace of a can take 8 to 35 % on top of the fill; shoulders and necks of
    # bottles more. From memory, as bounds only.
    assert cylinder_ml > 1.08 * can.volume_ml
    assert cylinder_ml < (1.35 if can.kind == "two-piece-can" else 2.1) * can.volume_ml


@pytest.mark.parametrize("format_id", sorted(item["id"] for item in raw_formats()))
def test_empties_weigh_what_such_containers_weigh(format_id: str) -> None:
    # Grams of container for each millilitre, from memory, as bounds only.
    can = formats()[format_id]
    least, most = {
        "two-piece-can": (0.025, 0.055),
        "threaded-can-bottle": (0.05, 0.08),
        "glass-bottle": (0.4, 0.9),
    }[can.kind]
    assert least <= can.empty_mass_kg * 1000 / can.volume_ml <= most


@pytest.mark.parametrize("format_id", sorted(item["id"] for item in raw_formats()))
def test_pallets_of_empties_stand_at_the_trades_height(format_id: str) -> None:
    can = formats()[format_id]
    pallet = can.pallet
    height = pallet.base_mm + pallet.layers * (can.height_mm + pallet.sheet_mm)
    # Common practice: what a trailer's door passes, and not much less than that.
    assert 2100 <= height <= 2800
    assert pallet.layers / 2 - 1 <= pallet.half_stack_layers <= pallet.layers / 2 + 1


def test_one_trade_size_is_one_diameter() -> None:
    for name in ("slim", "sleek", "standard"):
        sizes = {
            float(can.diameter_mm) for can in formats().values() if can.id.endswith(f"-{name}")
        }
        assert len(sizes) == 1
    ends = {can.id: can.end for can in formats().values() if can.kind == "two-piece-can"}
    assert {end for name, end in ends.items() if name.endswith("-slim")} == {"200"}
    assert {end for name, end in ends.items() if name.endswith("-standard")} == {"202"}


def test_closings_follow_the_kind() -> None:
    expected = {
        "two-piece-can": "seam", "threaded-can-bottle": "screw-cap", "glass-bottle": "crown",
    }  # fmt: skip
    assert all(can.closing == expected[can.kind] for can in formats().values())


# --- assumptions -------------------------------------------------------------------------------


def test_electricity_is_the_published_industrial_average() -> None:
    # EIA, US industrial average 2023: 8.06 cents for a kilowatt-hour.
    assert economics().tariffs.electricity_per_kwh == pytest.approx(0.0806)


def test_the_walkway_is_at_least_the_exit_access_width() -> None:
    # 29 CFR 1910.36(g)(2): 28 in at all points.
    assert economics().habits.walkway_mm >= 28 * 25.4


def test_air_power_is_that_of_a_shop_compressor() -> None:
    # Isothermal compression of 1 m3/min from 1 to 8 bar absolute is the physical floor,
    # p V ln(p2/p1) = 3.5 kW; machines take about twice that (from memory).
    ideal_kw = 100.0 * (1 / 60) * math.log(8.0)
    assert 1.5 * ideal_kw <= economics().tariffs.specific_air_power_kw_per_m3_min <= 2.5 * ideal_kw


def test_added_first_costs_are_shares_well_below_the_machines_price() -> None:
    added = economics().first_cost
    shares: Sequence[float] = (
        added.freight, added.installation, added.training, added.contingency,
    )  # fmt: skip
    assert all(0 < share < 0.2 for share in shares)


# --- overlay -----------------------------------------------------------------------------------


def test_the_overlay_prices_three_classes_and_adds_one() -> None:
    ids = [entry["id"] for entry in overlay_entries()]
    assert len(ids) == len(set(ids)) == 4
    assert len([class_id for class_id in ids if class_id in classes()]) == 3


def test_the_overlay_yields_valid_classes_with_a_basis_for_each_figure() -> None:
    for entry in overlay_entries():
        merged = overlaid(entry)
        item = EquipmentClass.model_validate(merged)
        for low, middle, high in _prices(item):
            assert 0 < low <= middle <= high
        for path in figures(merged):
            assert basis_of(path, merged["basis"]), (item.id, path)
        assert "quotation" in merged["basis"]["price"]


def test_the_overlay_says_that_it_is_invented() -> None:
    for path in OVERLAY.glob("*.yaml"):
        lines = path.read_text(encoding="utf-8").splitlines()
        heading = " ".join(line for line in lines if line.startswith("#"))
        assert "invented" in heading, path.name
