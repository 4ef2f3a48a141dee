"""Loading the catalogue: overlays, provenance, and every way in which an overlay can break it.

Prices and quotations are invented.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
import yaml

from lineconfig.catalog import FUNCTIONS, Catalog, basis_in
from lineconfig.catalog_loading import load_catalog
from lineconfig.errors import InputError, Problem
from lineconfig.locate import catalog_dir, examples_dir
from lineconfig.overlay import laid_over
from lineconfig.reading import read_tree

NEW_CLASS = """\
classes:
  - id: tray-table
    name: Tray table
    summary: Open trays are slid onto a belt.
    function: unload
    accepts: {kinds: [two-piece-can], diameter: 50 to 70 mm, height: 80 to 200 mm, supply: [loose]}
    speed: {most: 50 cpm}
    heights: {discharge: 900 mm to 1200 mm}
    size: {length: 1600 mm, width: 900 mm, height: 1200 mm}
    clearance: {left: 900 mm, right: 300 mm, infeed_end: 900 mm, discharge_end: 0 mm}
    mass: 190 kg
    mobility: castered
    utilities: {power: 0.6 kW, phases: 1, water: 0 l/min, air: 0 cfm}
    changeover: {minutes: 6 min, persons: 1}
    stops: {every: 1800 cans, minutes: 0.5 min, person: true}
    price: {low: 13000 USD, typical: 14000 USD, high: 16000 USD}
    basis: {default: invented}
"""


@cache
def shipped() -> Catalog:
    return load_catalog()


Overlay = Callable[[str], Path]


@pytest.fixture
def overlay(tmp_path: Path) -> Overlay:
    def write(text: str, name: str = "quotes.yaml") -> Path:
        file = tmp_path / name
        file.write_text(text, encoding="utf-8")
        return file

    return write


def problems(*overlays: Path) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        load_catalog(overlays)
    said = str(caught.value)
    assert not any(word in said for word in ("Value error", "Input should", "pydantic"))
    return caught.value.problems


def only(file: Path) -> tuple[int, str]:
    (problem,) = problems(file)
    assert problem.file == str(file)
    return problem.line, problem.text


def entry(lines: str) -> str:
    """An overlay that changes the half-height unloader; its first own line is the third."""
    rows = "".join(f"    {line}\n" for line in lines.splitlines())
    return f"classes:\n  - id: half-height-depalletizer\n{rows}"


# --- the shipped catalogue -------------------------------------------------------------------


def test_the_shipped_catalogue_loads_in_flow_order() -> None:
    places = [[*FUNCTIONS, "convey"].index(item.function) for item in shipped().classes.values()]
    assert places == sorted(places) and len(set(places)) == len(FUNCTIONS) + 1
    for path in (catalog_dir() / "equipment").glob("*.yaml"):
        raw = yaml.safe_load(path.read_text(encoding="utf-8"))
        found = shipped().of(raw["function"])
        assert [item.id for item in found] == [item["id"] for item in raw["classes"]]
        assert shipped().of(raw["function"]) is found
    assert "catalog/equipment/unload.yaml" in shipped().sources
    assert next(iter(shipped().containers)) == "can-150-slim"


def test_loading_twice_gives_the_same() -> None:
    again = load_catalog()
    assert list(again.classes) == list(shipped().classes)
    assert dict(again.classes) == dict(shipped().classes)
    assert again.economics == shipped().economics


def test_the_longest_key_of_a_basis_holds() -> None:
    basis = {"heights": "a", "heights.head": "b", "heights.head.x": "c", "default": "d"}
    assert basis_in(basis, "heights.discharge") == "a"
    assert basis_in(basis, "heights.head") == "b"
    assert basis_in(basis, "heights.head.y") == "b"
    assert basis_in(basis, "headroom") == "d"
    with pytest.raises(KeyError):
        basis_in({"heights": "a"}, "height")


def test_figures_name_their_basis() -> None:
    catalog = shipped()
    for item in catalog.classes.values():
        if item.price is not None:
            assert catalog.basis(item.id, "price.typical").startswith("invented")
    assert "CMI" in catalog.container_basis("can-355-standard", "diameter")
    assert catalog.container_basis("can-355-standard", "empty_mass") == "from memory"
    assert "EIA" in catalog.economics_basis("tariffs.electricity_per_kwh")
    assert catalog.economics_basis("tariffs.water_per_m3") == "invented"
    with pytest.raises(KeyError):
        catalog.basis("no-such-class", "price")
    with pytest.raises(KeyError):
        catalog.basis("no-guard", "price")


# --- overlays that work ----------------------------------------------------------------------


def test_a_partial_override_changes_what_it_says_and_nothing_else(overlay: Overlay) -> None:
    catalog = load_catalog([overlay(entry("price: {typical: 71500 USD}\nlead_time_weeks: 30"))])
    before = shipped().classes["half-height-depalletizer"]
    after = catalog.classes["half-height-depalletizer"]
    assert before.price is not None and after.price is not None
    assert after.price.typical == 71_500 and after.lead_time_weeks == 30
    assert (after.price.low, after.price.high) == (before.price.low, before.price.high)
    changed = {"price", "lead_time_weeks", "basis"}
    assert before.model_dump(exclude=changed) == after.model_dump(exclude=changed)
    others = {key: item for key, item in catalog.classes.items() if key != after.id}
    assert others == {key: item for key, item in shipped().classes.items() if key != after.id}
    assert list(catalog.classes) == list(shipped().classes)


def test_one_amount_is_a_firm_price(overlay: Overlay) -> None:
    catalog = load_catalog([overlay(entry("price: 26500 USD"))])
    price = catalog.classes["half-height-depalletizer"].price
    assert price is not None
    assert {float(price.low), float(price.typical), float(price.high)} == {26_500.0}
    assert catalog.basis("half-height-depalletizer", "price.high").startswith("quotes.yaml")
    line, said = only(overlay(entry("price: 26500")))
    assert line == 3 and "26500 has no unit: a firm price is written as '26500 USD'" in said


def test_lists_are_replaced_not_joined(overlay: Overlay) -> None:
    catalog = load_catalog([overlay(entry("operator_sides: [right]"))])
    assert catalog.classes["half-height-depalletizer"].operator_sides == ["right"]


def test_a_changed_figure_loses_the_catalogues_basis(overlay: Overlay) -> None:
    file = overlay(entry("price: {typical: 60000 USD}\nmass: 700 kg\nbasis: {price: quotation 7}"))
    catalog, name = load_catalog([file]), "half-height-depalletizer"
    assert catalog.basis(name, "price.typical") == "quotation 7"
    assert catalog.basis(name, "mass") == "quotes.yaml, which gives no basis"
    assert catalog.basis(name, "speed.most") == shipped().basis(name, "speed.most")
    silent = load_catalog([overlay(entry("heights: {head: 700 mm}"))])
    assert silent.basis(name, "heights.head") == "quotes.yaml, which gives no basis"
    assert silent.basis(name, "heights.discharge") == shipped().basis(name, "heights.discharge")


def test_an_overlays_default_basis_serves_its_own_figures_only(overlay: Overlay) -> None:
    file = overlay(entry("price: {typical: 60000 USD}\nbasis: {default: quotation 8}"))
    catalog, name = load_catalog([file]), "half-height-depalletizer"
    assert catalog.basis(name, "price.typical") == "quotation 8"
    assert catalog.basis(name, "mass") == shipped().basis(name, "mass")


def test_a_new_class_comes_last_of_its_function(overlay: Overlay) -> None:
    catalog = load_catalog([overlay(NEW_CLASS)])
    assert [item.id for item in catalog.of("unload")][-1] == "tray-table"
    assert [item.id for item in catalog.of("unload")][:-1] == [
        item.id for item in shipped().of("unload")
    ]
    assert catalog.basis("tray-table", "mass") == "invented"


def test_a_file_may_say_the_function_once(overlay: Overlay) -> None:
    text = "function: unload\n" + NEW_CLASS.replace("    function: unload\n", "")
    assert load_catalog([overlay(text)]).classes["tray-table"].function == "unload"


def test_formats_and_economics_may_be_laid_over(overlay: Overlay) -> None:
    file = overlay(
        "formats:\n  - {id: can-355-standard, pallet: {per_layer: 380}}\n"
        "economics:\n  tariffs: {water_per_m3: 5 USD}\n  basis: {tariffs.water_per_m3: the bill}\n"
    )
    catalog = load_catalog([file])
    can = catalog.containers["can-355-standard"]
    assert (can.pallet.per_layer, can.pallet.layers) == (380, 21)
    assert catalog.container_basis(can.id, "pallet.per_layer").startswith("quotes.yaml")
    assert catalog.economics.tariffs.water_per_m3 == 5
    assert catalog.economics_basis("tariffs.water_per_m3") == "the bill"


def test_economics_need_no_key_in_a_file_of_their_own(overlay: Overlay) -> None:
    catalog = load_catalog([overlay("defaults: {wage: 40 USD/h}\n", "economics.yaml")])
    assert catalog.economics.defaults.wage == 40
    assert catalog.economics.defaults.weeks_per_year == shipped().economics.defaults.weeks_per_year


def test_a_folder_is_read_file_by_file_and_later_overlays_win(tmp_path: Path) -> None:
    first, second = tmp_path / "first", tmp_path / "second.yaml"
    (first / "deeper").mkdir(parents=True)
    (first / "a.yaml").write_text(entry("price: {typical: 60000 USD}"))
    (first / "deeper" / "b.yml").write_text(NEW_CLASS)
    (first / ".hidden.yaml").write_text("not: [read")
    (first / "notes.txt").write_text("not: [read")
    second.write_text(entry("price: {typical: 61000 USD}"))
    catalog = load_catalog([first, str(second)])
    price = catalog.classes["half-height-depalletizer"].price
    assert price is not None and price.typical == 61_000
    assert "tray-table" in catalog.classes
    assert catalog.sources[-3:] == (
        str(first / "a.yaml"), str(first / "deeper" / "b.yml"), str(second),
    )  # fmt: skip


def test_the_catalogue_lies_over_itself_without_a_change() -> None:
    again = load_catalog([catalog_dir()])
    assert dict(again.containers) == dict(shipped().containers)
    assert again.economics == shipped().economics
    assert dict(again.classes) == dict(shipped().classes)


def test_the_shipped_overlay_loads() -> None:
    catalog = load_catalog([examples_dir() / "overlay-quotes"])
    assert "quotation" in catalog.basis("half-height-depalletizer", "price.typical")


def test_merging_keeps_the_places_of_the_overlay() -> None:
    base, _ = read_tree("id: x\nprice:\n  low: 1\n  high: 3\nsides: [a]\n", "base.yaml")
    over, _ = read_tree("\nid: x\nprice: {low: 2}\nsides: [b, c]\n", "over.yaml")
    merged = laid_over(base, over)
    assert merged.plain() == {"id": "x", "price": {"low": 2, "high": 3}, "sides": ["b", "c"]}
    places = {path: (merged.at(path).file, merged.at(path).line) for path in
              [("price", "low"), ("price", "high"), ("sides", 1), ()]}  # fmt: skip
    assert places == {
        ("price", "low"): ("over.yaml", 3), ("price", "high"): ("base.yaml", 4),
        ("sides", 1): ("over.yaml", 4), (): ("over.yaml", 2),
    }  # fmt: skip


# --- overlays that break a class -------------------------------------------------------------

TASK = (
    "{task: x, every: load, minutes: 1 min, lifts: [{lift: y, %s, from: deck, to: 1 m, "
    "reach: 0.4 m, coupling: fair}]}"
)
PART = (
    "{part: x, for_each: format, first_included: true, "
    "price: {low: 3 USD, typical: 2 USD, high: 4 USD}}"
)


@pytest.mark.parametrize(
    ("lines", "line", "said"),
    [
        ("price: {low: 90000 USD}", 3, "do not rise from low over typical to high"),
        ("price: {typical: 60000}", 3, "price.typical: 60000 has no unit"),
        ("price: {typical: 60000 EUR}", 3, "is not in USD, the catalogue's currency"),
        ("price: {typcial: 60000 USD}", 3,
         "unknown key 'typcial' in half-height-depalletizer.price; did you mean 'typical'?"),
        ("price:", 2, "half-height-depalletizer lacks price"),
        ("prise: {typical: 60000 USD}", 3, "did you mean 'price'?"),
        ("name: no", 3, "put it in quotes"),
        ("mass: 190 kg\nspeed: {most: 0 cpm}", 4, "speed.most: 0 cpm must be above zero"),
        ("size: {height: 0.0 m}", 3, "size.height: 0.0 m must be above zero"),
        ("heights: {head: null}", 2, "lacks heights.head: a class of the function unload needs it"),
        ("traits: [sweeps]", 3, "traits[1]: 'sweeps' is not accepted; did you mean 'sweeps-lay"),
        ("function: fill", 2, "is a class of the function 'unload', not of 'fill'"),
        ("reuse: [{part: the deck, in: [no-class], credit: 10 %}]", 3, "no class 'no-class'"),
        ("reuse: [{part: x, in: [half-height-depalletizer], credit: 1 %}]", 3, "another class"),
        ("reuse: [{part: x, in: [bulk-depalletizer], credit: 110 %}]", 3, "more than the whole"),
        ("can_loss: 100 %", 3, "can_loss: 100 % leaves nothing"),
        ("attendance: {tasks: [{task: x, every: cans, minutes: 1 min}]}", 3, "needs 'cans'"),
        ("tracks: {formats_least: 3, formats_most: 2, mounted: one}", 3, "formats_least is more"),
        (f"attendance: {{tasks: [{TASK % 'load: topframe'}]}}", 3, "did you mean 'top-frame'?"),
        (f"attendance: {{tasks: [{TASK % 'load: 4'}]}}", 3, "or write one of case, layer,"),
        (f"attendance: {{tasks: [{TASK % 'load: handful'}]}}", 3,
         "tasks[1]: a lift of a handful needs 'cans'"),
        (f"attendance: {{tasks: [{TASK % 'load: 4 kg, share: 0.5'}]}}", 3, "share: 0.5 has no"),
        (f"attendance: {{tasks: [{TASK % 'load: 4 kg, turn_deg: 200'}]}}", 3, "out of range"),
        ("attendance: {tasks: [{task: x, every: load, minutes: 1 min, hands: dekc}]}", 3,
         "did you mean 'deck'?"),
        ("guarding: {device: light-curtain, response: 0.1 s}", 3, "needs 'resolution'"),
        ("guarding: {device: light-curtain, response: 0.1 s, resolution: 0 mm}", 3,
         "guarding.resolution: 0 mm must be above zero"),
        ("stopping: 0.3", 3, "stopping: 0.3 has no unit"),
        ("inverted_run: 0 mm", 3, "inverted_run: 0 mm must be above zero"),
        ("basis: {prise: invented}", 3, "'prise' is not a figure; did you mean 'price'?"),
        ("basis: [a]", 3, "basis is a list: a mapping is needed"),
        (f"changeover: {{parts: [{PART}]}}", 3, "changeover.parts[1].price: 3 USD, 2 USD, 4 USD"),
    ],
)  # fmt: skip
def test_a_broken_class_is_reported_in_the_overlay(
    overlay: Overlay, lines: str, line: int, said: str
) -> None:
    found_line, found = only(overlay(entry(lines)))
    assert said in found
    assert found_line == line


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("    mass: 190 kg\n", "", "tray-table lacks mass: a class of the function unload needs"),
        ("    mass: 190 kg\n    mobility: castered\n", "", "lacks mass, mobility"),
        (", supply: [loose]", "", "lacks accepts.supply"),
        ("    heights: {discharge: 900 mm to 1200 mm}\n", "", "lacks heights.discharge"),
        ("    basis: {default: invented}\n", "", "tray-table.basis is missing"),
        ("{default: invented}", "{price: invented}", "tray-table.speed.most has no basis"),
        ("    function: unload\n", "", "tray-table.function is missing: write supply, unload,"),
        ("function: unload", "function: unlaod", "did you mean 'unload'?"),
        ("id: tray-table", "id: unload", "unload is the name of a function"),
        ("id: tray-table", "id: Tray Table", "is not an id"),
        ("id: tray-table", "id: 12", "classes[1].id: '12' is not an id: put it in quotes"),
        ("id: tray-table", "key: x", "classes[1].id is missing"),
        ("    name: Tray table\n", "", "there is no class 'tray-table' to change"),
        ("id: tray-table\n    name: Tray table\n", "id: half-hight-depalletizer\n",
         "there is no class 'half-hight-depalletizer' to change; did you mean 'half-height-dep"),
    ],
)  # fmt: skip
def test_a_broken_new_class(overlay: Overlay, old: str, new: str, said: str) -> None:
    assert old in NEW_CLASS
    file = overlay(NEW_CLASS.replace(old, new))
    found = problems(file)
    assert said in "\n".join(problem.text for problem in found)
    assert all(problem.file == str(file) and problem.line for problem in found)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is empty"),
        ("[a, b]\n", "not keys with values"),
        ("classes: {id: x}\n", "classes: a list is needed, each entry after '- ' with an id"),
        ("classes: [x]\n", "classes[1]: a mapping with an id is needed"),
        ("clases: []\n", "unknown key 'clases'; did you mean 'classes'?"),
        ("brief: 1\n", "this is a brief, not a catalogue"),
        ("function: unlaod\nclasses: []\n", "function: 'unlaod' is not a function; did you mean"),
        ("economics: 3\n", "economics: a mapping is needed"),
        ("economics: {tarifs: {}}\n", "unknown key 'tarifs' in economics; did you mean 'tariffs'?"),
        ("economics: {habits: {power_factor: 120 %}}\n", "power_factor: 120 % is more than"),
        ("economics: {habits: {cans_per_case: 0}}\n", "cans_per_case: 0 must be above zero"),
        ("economics: {currency: EUR}\n", "amounts of the catalogue are in USD: amounts are never"),
        ("economics: {tariffs: {water_per_m3: 3 EUR}}\n", "tariffs.water_per_m3: 3 EUR is not"),
        ("formats: [{id: can-355-standard, pallet: {layers: 0}}]\n", "pallet.layers: 0 must be"),
        ("formats: [{id: can-355-standard, pallet: {layers: 3}}]\n", "half stack has more"),
        ("formats: [{id: can-356-standard, volume: 1 l}]\n", "no format 'can-356-standard' to"),
        ("formats: [{id: can-x, name: X}]\n", "can-x.kind is missing"),
        ("function: fill\nclasses: [{id: gravity-trough, function: unload}]\n", "the file says"),
        ("function: fill\nclasses: [{id: gravity-trough}]\n", "a class keeps its function"),
        ("classes: [{id: gravity-trough}, {id: gravity-trough}]\n", "is written twice, first in"),
        ("x: &a [1]\ny: *a\n", "aliases such as '*a' are not read"),
    ],
)  # fmt: skip
def test_a_broken_overlay(overlay: Overlay, text: str, said: str) -> None:
    file = overlay(text)
    found = problems(file)
    assert said in "\n".join(problem.text for problem in found)
    assert all(problem.file == str(file) for problem in found)


def test_a_rinse_states_its_water_as_a_flow(overlay: Overlay) -> None:
    rinse = "classes:\n  - id: water-rinse\n    water_l_per_1000: 40\n    basis: {default: x}\n"
    _, said = only(overlay(rinse))
    assert "flows as long as cans run: write its flow under utilities.water" in said


def test_a_class_may_not_come_twice_in_one_overlay(tmp_path: Path) -> None:
    for name in ("a.yaml", "b.yaml"):
        (tmp_path / name).write_text(entry("mass: 700 kg"))
    (problem,) = problems(tmp_path)
    assert problem.file == str(tmp_path / "b.yaml")
    assert problem.text.endswith(f"is written twice, first in {tmp_path / 'a.yaml'}:2")


def test_all_problems_of_all_overlays_come_at_once(tmp_path: Path) -> None:
    good, bad, missing = tmp_path / "good.yaml", tmp_path / "bad.yaml", tmp_path / "missing.yaml"
    good.write_text(entry("mass: 700"))
    bad.write_text("classes: [\n")
    found = problems(good, missing, bad)
    assert {problem.file for problem in found} == {str(good), str(missing), str(bad)}


def test_a_missing_overlay_and_an_empty_folder(tmp_path: Path) -> None:
    assert only(tmp_path / "none.yaml")[1].startswith("there is no such file")
    assert only(tmp_path)[1] == "is a folder without any .yaml file"


def test_another_currency_throughout_is_said_once(overlay: Overlay) -> None:
    line, said = only(overlay("economics:\n  currency: EUR\n"))
    assert line == 2 and said.startswith("economics.currency is EUR, but ")


# --- a catalogue of its own ------------------------------------------------------------------


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    folder = tmp_path / "copy"
    shutil.copytree(catalog_dir(), folder)
    return folder


def test_another_catalogue_may_take_the_shipped_ones_place(copy: Path) -> None:
    assert dict(load_catalog(base=copy).classes) == dict(shipped().classes)


def test_a_shipped_class_written_twice_names_both_places(copy: Path) -> None:
    file = copy / "equipment" / "unload.yaml"
    text = file.read_text(encoding="utf-8")
    second = text.count("\n") + 1
    file.write_text(
        f"{text}{NEW_CLASS.partition(chr(10))[2].replace('tray-table', 'gravity-trough')}"
    )
    with pytest.raises(InputError) as caught:
        load_catalog(base=copy)
    (problem,) = caught.value.problems
    assert (problem.file, problem.line) == ("catalog/equipment/unload.yaml", second)
    assert "is written twice, first in catalog/equipment/unload.yaml:" in problem.text


def test_a_catalogue_without_its_files(copy: Path) -> None:
    (copy / "economics.yaml").unlink()
    with pytest.raises(InputError, match=r"catalog/economics\.yaml: there is no such file"):
        load_catalog(base=copy)
