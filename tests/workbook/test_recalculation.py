"""A spreadsheet program comes to the engine's figures, also when inputs are changed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from lineconfig.catalog_loading import load_catalog
from lineconfig.layout import Layout
from lineconfig.need_reading import need_of_text
from lineconfig.present.records import layout_record
from lineconfig.rank import Recommendation, recommend
from lineconfig.session import Study
from lineconfig.workbook import workbook_bytes
from lineconfig.workbook.lines import lines_of
from tests.workbook.cases import brewery
from tests.workbook.reading import CENT, book_of, costs, opened, set_named, set_price, summary
from tests.workbook.recalculating import needs_office, recalculated

pytestmark = needs_office

# Invented: a tunnel, a filler that is owned, loose and half-stack empties, no discounting.
TUNNEL = """
brief: 1
name: Windmill Lane Sodas
product: {kind: juice, carbonation: 2.0 vol, heat_treatment: tunnel}
speed: 60 cpm
formats:
  - {container: can-355-standard, annual_cans: 1400000}
  - {container: can-250-slim, annual_cans: 800000}
operation: {hours_per_week: 40, weeks_per_year: 48, changeovers_per_week: 2}
site: {ceiling: 20 ft}
staff: {wage: 24.5 USD/h, ladder_work: true}
horizon: 6.5 years
discount_rate: 0 %
existing: [{function: fill, class: inline-8-12-head}]
"""

# Other prices and terms, all invented.
OVERLAY = """
classes:
  - id: full-height-depalletizer
    price: {low: 70001.01 USD, typical: 91234.56 USD, high: 119000 USD}
    basis: {price: invented}
economics:
  first_cost: {freight: 5.5 %, installation: 9 %, training: 2 %, contingency: 7.5 %}
  tariffs: {electricity_per_kwh: 0.19 USD, water_per_m3: 5.1 USD, empties_per_1000: 171 USD,
    product_per_litre: 1.35 USD}
  habits: {startup_and_cleaning: 26 %, motor_load: 55 %}
  basis: {first_cost: invented, tariffs: invented, habits: invented}
"""
WAGE, YEARS, RATE = 47.25, 11.0, 0.055
CANS = (2_350_000.0, 640_000.0)


class Books:
    """Workbooks before and after recalculation, and the engine's own answers to the same."""

    def __init__(self, folder: Path) -> None:
        self.brewery, self.answer = brewery()
        catalog = load_catalog()
        self.tunnel = Study(need_of_text(TUNNEL, "tunnel.yaml", catalog), catalog)
        self.tunnel_answer = recommend(self.tunnel)
        overlay = folder / "overlay.yaml"
        overlay.write_text(OVERLAY, encoding="utf-8")
        self.changed_catalog = load_catalog([overlay])
        books = {
            "brewery": book_of(self.brewery, self.answer),
            "wage": book_of(self.brewery, self.answer),
            "changed": book_of(self.brewery, self.answer),
            "tunnel": book_of(self.tunnel, self.tunnel_answer),
        }
        set_named(books["wage"], "wage_per_h", WAGE)
        _change_everything(books["changed"])
        self.books = recalculated(books, folder)


def _change_everything(book: openpyxl.Workbook) -> None:
    for name, value in {
        "wage_per_h": WAGE, "horizon_years": YEARS, "discount_rate": RATE,
        "annual_cans_1": CANS[0], "annual_cans_2": CANS[1],
        "freight_share": 0.055, "installation_share": 0.09, "training_share": 0.02,
        "contingency_share": 0.075, "electricity_per_kwh": 0.19, "water_per_m3": 5.1,
        "empties_per_1000": 171.0, "product_per_litre": 1.35, "startup_share": 0.26,
        "motor_load": 0.55,
    }.items():  # fmt: skip
        set_named(book, name, value)
    set_price(book, "full-height-depalletizer", "Machine", (70001.01, 91234.56, 119000.0))


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> Books:
    return Books(tmp_path_factory.mktemp("recalculated"))


def agrees(book: openpyxl.Workbook, place: int, record: dict[str, Any]) -> None:
    """The recalculated figures of a layout are those of its JSON, to the cent."""
    figures, model = summary(book, place), costs(book, place)
    for which in ("low", "typical", "high"):
        assert figures[f"First cost, {which}"] == pytest.approx(
            record["first_cost"][which], abs=CENT
        )
        assert figures[f"Life-cycle cost, {which}"] == pytest.approx(
            record["life_cycle_cost"][which], abs=CENT
        )
    assert figures["Cost per 1000 cans"] == pytest.approx(record["cost_per_1000_cans"], abs=1e-4)
    yearly = record["annual_cost"]
    for heading, cost in yearly.items():
        words = {
            "labour": "Labour: hours x people x wage",
            "consumables": "Consumables and gas",
            "empties premium": "Premium of half stacks or loose empties",
        }.get(heading, heading.capitalize())
        assert model[words] == pytest.approx(cost, abs=CENT), heading
    assert figures["Yearly cost"] == pytest.approx(sum(yearly.values()), abs=CENT * len(yearly))
    for item, cost in record["first_cost_items"].items():
        assert model[item.replace("_", " ").capitalize()] == pytest.approx(
            cost["typical"], abs=CENT
        )


def ranked_agrees(book: openpyxl.Workbook, place: int, record: dict[str, Any]) -> None:
    """Payback and worth too."""
    figures = summary(book, place)
    worth = figures["Net present value against the cheapest to buy"]
    assert worth == pytest.approx(record["net_present_value"], abs=CENT)
    payback = figures["Payback against the cheapest to buy"]
    if record["payback_years"] is None:
        assert payback == "never"
    else:
        assert payback == pytest.approx(record["payback_years"], abs=CENT)


@pytest.mark.parametrize("name", ["brewery", "tunnel"])
def test_recalculated_figures_equal_the_json_to_the_cent(books: Books, name: str) -> None:
    study: Study = getattr(books, name)
    answer: Recommendation = books.answer if name == "brewery" else books.tunnel_answer
    for place, ranked in enumerate(answer.arrangements[:3]):
        record = layout_record(study, ranked.layout, ranked)
        agrees(books.books[name], place, record)
        ranked_agrees(books.books[name], place, record)


@pytest.mark.parametrize("name", ["brewery", "tunnel"])
def test_every_formula_comes_with_the_value_that_it_comes_to(books: Books, name: str) -> None:
    study: Study = getattr(books, name)
    answer: Recommendation = books.answer if name == "brewery" else books.tunnel_answer
    data = workbook_bytes(study, answer)
    values, compared = opened(data, values=True), 0
    for sheet in opened(data):
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type != "f":
                    continue
                stored = values[sheet.title][cell.coordinate].value
                made = books.books[name][sheet.title][cell.coordinate].value
                where = f"{sheet.title} {cell.coordinate} {cell.value}"
                if isinstance(stored, str):
                    assert made == stored, where
                else:
                    assert made == pytest.approx(stored, rel=1e-9, abs=1e-6), where
                compared += 1
    assert compared > 500


def test_another_wage_gives_the_cost_that_the_engine_gives_for_the_same_layout(
    books: Books,
) -> None:
    study = books.brewery.varied(need=replace(books.brewery.need, wage_per_h=WAGE))
    for place, line in enumerate(lines_of(books.brewery, books.answer)):
        layout = the_same(study, line.layout)
        agrees(books.books["wage"], place, layout_record(study, layout))
        before = line.layout.money.life_cycle_cost.typical
        assert layout.money.life_cycle_cost.typical > before + 1000


def test_other_volumes_prices_and_terms_give_what_the_engine_gives(books: Books) -> None:
    need = books.brewery.need
    formats = tuple(
        replace(fmt, annual_cans=cans) for fmt, cans in zip(need.formats, CANS, strict=True)
    )
    changed = replace(
        need, wage_per_h=WAGE, horizon_years=YEARS, discount_rate=RATE, formats=formats
    )
    study = Study(changed, books.changed_catalog)
    lines = lines_of(books.brewery, books.answer)
    seen = 0
    for place, line in enumerate(lines):
        layout = the_same(study, line.layout)
        record = layout_record(study, layout)
        agrees(books.books["changed"], place, record)
        seen += "full-height-depalletizer" in layout.classes
    assert seen, "the class whose price was changed is in one of the layouts"


def the_same(study: Study, layout: Layout) -> Layout:
    """The layout of the same classes in another study."""
    only = {
        study.catalog.classes[class_id].function: frozenset((class_id,))
        for class_id in layout.classes
    }
    found = next(study.layouts(None, only))
    assert found.id == layout.id
    return found
