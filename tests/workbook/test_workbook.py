"""The workbook as it is written: its sheets, its inputs, and what it cannot be made to do."""

from __future__ import annotations

import re
import zipfile
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest

from lineconfig.catalog_loading import load_catalog
from lineconfig.errors import InputError
from lineconfig.explain import NoLayout
from lineconfig.locate import examples_dir
from lineconfig.need_reading import need_of_text
from lineconfig.present.records import layout_record
from lineconfig.rank import Recommendation, recommend
from lineconfig.session import Study, open_study
from lineconfig.workbook import workbook_bytes, write_workbook
from lineconfig.workbook.cells import MOST_CHARACTERS, column_name, plain
from lineconfig.workbook.lines import lines_of
from tests.workbook import cases
from tests.workbook.reading import opened, summary

Case = tuple[Study, Recommendation, bytes]


@pytest.fixture(scope="module")
def brewery() -> Case:
    study, answer = cases.brewery()
    return study, answer, workbook_bytes(study, answer)


def test_there_is_a_sheet_for_each_matter(brewery: Case) -> None:
    assert opened(brewery[2]).sheetnames == [
        "Summary", "Inputs", "Prices", "Bill of materials", "Formats and hours", "Running costs",
        "Cost model", "Crew", "Utilities", "Change parts", "Cautions", "Sources",
    ]  # fmt: skip


def test_the_same_study_gives_the_same_bytes(brewery: Case) -> None:
    study, answer, data = brewery
    assert workbook_bytes(study, answer) == data


def test_a_viewer_that_does_not_recalculate_shows_the_engines_figures(brewery: Case) -> None:
    study, answer, data = brewery
    book = opened(data, values=True)
    for place, ranked in enumerate(answer.arrangements[:3]):
        record, figures = layout_record(study, ranked.layout, ranked), summary(book, place)
        assert figures["Id"] == record["id"]
        assert figures["People"] == record["crew"]["people"]
        life = figures["Life-cycle cost, typical"]
        assert round(life, 2) == record["life_cycle_cost"]["typical"]


def test_pieces_add_up_to_each_stations_first_cost() -> None:
    """The engine adds a station's price up elsewhere: here it is taken apart."""
    looked_at = 0
    for name in ("mobile-canner",):
        study = open_study(examples_dir() / f"{name}.yaml")
        for line in lines_of(study, recommend(study)):
            for place, station in enumerate(line.layout.stations):
                spent = sum(p.bought * p.price.typical for p in line.pieces if p.station == place)
                assert spent == pytest.approx(station.first_cost.typical, abs=1e-6)
                looked_at += 1
    assert looked_at > 30


def test_inputs_are_coloured_and_say_so_in_words(brewery: Case) -> None:
    book = opened(brewery[2])
    names = set(book.defined_names)
    for row in book["Inputs"].iter_rows():
        kind, cell = row[3].value, row[1]
        if kind not in ("input", "worked out"):
            continue
        assert row[4].value in names
        assert (cell.data_type == "f") == (kind == "worked out")
        assert (cell.fill.fgColor.rgb == "FFFFF6CC") == (kind == "input")
        assert row[2].value and row[5].value, "every figure has a unit and a basis"
    prices = [row for row in book["Prices"].iter_rows() if row[7].value == "input"]
    assert len(prices) > 20
    assert all(row[5].fill.fgColor.rgb == "FFFFF6CC" and row[8].value for row in prices)


def test_no_figure_of_money_is_typed_in_below_the_inputs(brewery: Case) -> None:
    """Every amount of the bill and of the cost model follows from the inputs."""
    book = opened(brewery[2])
    for title, first, last in (("Bill of materials", 7, 12), ("Cost model", 2, 13)):
        numbers = [
            cell
            for row in book[title].iter_rows(min_col=first, max_col=last)
            for cell in row
            if cell.data_type == "n" and cell.value is not None
        ]
        rows = {book[title].cell(cell.row, 1).value for cell in numbers}
        assert rows <= {"People"}


def test_pages_are_set_up_for_printing(brewery: Case) -> None:
    study, answer, data = brewery
    for sheet in opened(data):
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        # One page wide is what a file means that does not say so.
        assert (sheet.page_setup.fitToWidth or 1) == 1
        assert str(sheet.page_setup.fitToHeight) in ("0", "False")
        assert str(sheet.page_setup.paperSize) == "1"
        assert "Page" in (sheet.oddFooter.right.text or "")
    metric = opened(workbook_bytes(study, answer, paper="a4"))
    assert {str(sheet.page_setup.paperSize) for sheet in metric} == {"9"}


def test_chosen_layouts_come_in_the_order_asked_for_and_the_cheapest_is_added(
    brewery: Case,
) -> None:
    study, answer, _ = brewery
    second, third = answer.layouts[2], answer.layouts[1].layout
    lines = lines_of(study, answer, [second, third])
    assert study.cheapest is not None
    assert [line.layout.id for line in lines] == [second.layout.id, third.id, study.cheapest.id]
    assert lines[-1].reference and lines[-1].label == "Cheapest to buy"
    book = opened(workbook_bytes(study, answer, layouts=[second, third]), values=True)
    figures = summary(book, 1)
    assert figures["Id"] == third.id


PLAIN_FIGURES = 10_000
"""No speed, time or content of this brief is as large, its yearly cans apart."""


def test_hidden_prices_are_nowhere_in_the_file(brewery: Case) -> None:
    study, answer, _ = brewery
    data = workbook_bytes(study, answer, hide_prices=True)
    book = opened(data)
    assert book.sheetnames == [
        "Summary", "Bill of materials", "Formats and hours", "Crew", "Utilities", "Change parts",
        "Cautions", "Sources",
    ]  # fmt: skip
    assert not book.defined_names
    money = {
        round(value, 2)
        for ranked in answer.arrangements[:3]
        for station in ranked.layout.stations
        for price in (station.price, *(parts.price for parts in station.parts))
        for value in (price.low, price.typical, price.high)
        if value > PLAIN_FIGURES
    }
    figures = {
        round(cell.value, 2)
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if isinstance(cell.value, int | float)
    }
    assert len(money) > 10 and not money & figures
    texts = all_xml(data)
    assert "USD" not in texts and f"{study.need.wage_per_h:g} USD" not in texts


def all_xml(data: bytes) -> str:
    with zipfile.ZipFile(BytesIO(data)) as packed:
        return "\n".join(packed.read(name).decode() for name in packed.namelist())


SIGNS = ("=", "+", "-", "@")


def test_hostile_text_in_a_brief_and_a_catalogue_is_inert(tmp_path: Path) -> None:
    overlay = tmp_path / "overlay.yaml"
    overlay.write_text(
        "classes:\n"
        "  - id: hand-loading-shelf\n"
        "    name: '=cmd|'' /C calc''!A0'\n"
        "    price: {low: 1600 USD, typical: 2000 USD, high: 2600 USD}\n"
        "    basis: {price: '@SUM(1+1)*<b>&amp;'}\n"
        "  - {id: inline-4-6-head, name: '+HYPERLINK(\"http://example.invalid\")'}\n",
        encoding="utf-8",
    )
    catalog = load_catalog([overlay])
    brief = (examples_dir() / "startup.yaml").read_text(encoding="utf-8")
    name = (
        '"=HYPERLINK(\\"http://example.invalid\\", \\"' + "x" * 150 + '\\") \\u202e\\u2028_x0041_"'
    )
    brief = re.sub(r"^name:.*$", lambda _: f"name: {name}", brief, flags=re.MULTILINE)
    study = Study(need_of_text(brief, "hostile.yaml", catalog), catalog)
    answer = recommend(study)
    chosen = study.with_class("hand-loading-shelf")
    assert chosen is not None
    data = workbook_bytes(study, answer, layouts=[chosen])
    book = opened(data)
    seen = 0
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    assert not re.search(r"HYPERLINK|cmd|SUM\(1\+1\)", str(cell.value))
                elif isinstance(cell.value, str) and cell.value.startswith(SIGNS):
                    seen += len(cell.value) > 1
                    assert cell.data_type == "s" and cell.hyperlink is None
    assert seen > 5
    with zipfile.ZipFile(BytesIO(data)) as packed:
        names = packed.namelist()
    assert not [each for each in names if "externalLink" in each or "vba" in each.lower()]
    assert "_x0041_" in str(book["Summary"]["A1"].value)


def test_control_characters_and_very_long_texts_are_tamed() -> None:
    assert plain("a\x00\x07b\r\nc\td") == "a b c d"
    assert len(plain("x" * 100_000)) == MOST_CHARACTERS
    assert plain("  =1+1 ") == "=1+1"


def test_columns_are_named_as_spreadsheets_name_them() -> None:
    """A to Z, then AA: as every spreadsheet does."""
    assert [column_name(i) for i in (0, 25, 26, 51, 52, 701, 702)] == [
        "A", "Z", "AA", "AZ", "BA", "ZZ", "AAA",
    ]  # fmt: skip


def test_nothing_is_written_where_no_layout_meets_the_brief(brewery: Case, tmp_path: Path) -> None:
    study, answer, _ = brewery
    nothing = replace(answer, layouts=(), arrangements=(), no_layout=NoLayout((), ()))
    with pytest.raises(InputError, match="no layout"):
        write_workbook(study, nothing, tmp_path / "w.xlsx")
    assert not list(tmp_path.iterdir())


def test_a_file_that_cannot_be_written_gets_one_message_and_leaves_no_part(
    brewery: Case, tmp_path: Path
) -> None:
    study, answer, data = brewery
    with pytest.raises(InputError, match="cannot be written"):
        write_workbook(study, answer, tmp_path / "none" / "w.xlsx")
    write_workbook(study, answer, tmp_path / "w.xlsx")
    assert (tmp_path / "w.xlsx").read_bytes() == data
    assert [path.name for path in tmp_path.iterdir()] == ["w.xlsx"]


def test_layouts_are_called_what_the_document_calls_them(brewery: Case) -> None:
    from lineconfig.report.subject import Subject
    from lineconfig.report.words import load_words

    study, answer, data = brewery
    document = Subject(study, answer, "", load_words())
    named = {f"Layout {choice.label}": choice.layout.id for choice in document.choices}
    assert list(named) == ["Layout 1", "Layout 2", "Layout 3"]
    lines = {line.label: line.layout.id for line in lines_of(study, answer)}
    assert lines.items() >= named.items() and set(lines) <= {*named, "Cheapest to buy"}
    for sheet in opened(data, values=True):
        told = {str(cell.value) for row in sheet for cell in row if cell.value is not None}
        assert not any(re.match(r"(Layout [A-Z]|Rank \d)\b", text) for text in told)
        # Where a layout is named with its id, number and id belong together.
        for text in told:
            found = re.match(r"(Layout \d): ([a-z0-9-]+)", text)
            assert found is None or named[found[1]] == found[2]
    places = {row[0].value: row for row in opened(data)["Summary"] if row[0].value}
    first = str(places["Rank and letter in the recommendation"][2].value)
    assert first == "1" or first.startswith("1, ")
