"""A filled price sheet read back: what it changes, and what is said of each cell that it cannot."""

from __future__ import annotations

import random
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from lineconfig.catalog_loading import load_catalog
from lineconfig.checking import check_file
from lineconfig.cli import main
from lineconfig.errors import InputError
from lineconfig.locate import examples_dir
from lineconfig.prices.importing import import_prices, quoted_in
from lineconfig.prices.reading import Cell, read_filled
from lineconfig.prices.values import amount_in, date_in
from lineconfig.rank import recommend
from lineconfig.session import open_study
from tests.prices.filling import filled_text, filled_workbook, shipped

SWEEP, FILLER = ("full-height-depalletizer", "price"), ("inline-8-12-head", "part 1")
QUOTED = {
    SWEEP: {
        "low": 83900, "typical": 86400.5, "high": 92000, "basis": "quotation 2208, budgetary",
        "valid until": date(2027, 3, 31),
    },
    ("twist-rinser-pair", "price_per_track"): {"typical": 12500},
    ("case-only-thermal-ink-jet", "consumables"): {"typical": 0.815},
}  # fmt: skip


def test_what_is_filled_in_replaces_the_catalogue_and_the_rest_stays(tmp_path: Path) -> None:
    file = filled_workbook(tmp_path / "prices.xlsx", QUOTED)
    overlay = tmp_path / "prices.yaml"
    assert main(["import-prices", str(file), "--out", str(overlay)]) == 0
    assert check_file(overlay) == []
    before, after = shipped(), load_catalog([overlay])
    price = after.classes["full-height-depalletizer"].price
    assert price is not None
    assert (price.low, price.typical, price.high) == (83900, 86400.5, 92000)
    basis = after.basis("full-height-depalletizer", "price.typical")
    assert basis == "quotation 2208, budgetary, valid until 2027-03-31"
    track = after.classes["twist-rinser-pair"].price_per_track
    was = before.classes["twist-rinser-pair"].price_per_track
    assert track is not None and was is not None
    assert (track.low, track.typical, track.high) == (was.low, 12500, was.high)
    assert after.basis("twist-rinser-pair", "price_per_track.low") == "price sheet prices.xlsx"
    assert after.classes["case-only-thermal-ink-jet"].consumables_per_1000 == 0.815
    changed = {class_id for class_id, _ in QUOTED}
    for class_id, equipment in before.classes.items():
        if class_id not in changed:
            assert after.classes[class_id] == equipment


def test_a_recommendation_with_the_overlay_pays_the_quoted_price(tmp_path: Path) -> None:
    overlay = tmp_path / "prices.yaml"
    file = filled_workbook(tmp_path / "prices.xlsx", QUOTED)
    assert main(["import-prices", str(file), "--out", str(overlay)]) == 0
    answer = recommend(open_study(examples_dir() / "growing-brewery.yaml", [overlay]))
    prices = {
        station.price.typical
        for item in answer.arrangements
        for station in item.layout.stations
        if station.option.id == "full-height-depalletizer"
    }
    assert prices == {86400.5}


def test_a_change_part_is_changed_and_its_neighbours_keep_theirs(tmp_path: Path) -> None:
    before = shipped()
    class_id = next(
        item.id
        for item in before.classes.values()
        if item.changeover is not None and len(item.changeover.parts) > 1
    )
    filling = {(class_id, "part 2"): {"low": 1, "typical": 2222, "high": 3333, "basis": "offer 7"}}
    overlay = tmp_path / "prices.yaml"
    overlay.write_text(
        import_prices(str(filled_workbook(tmp_path / "p.xlsx", filling))).text, encoding="utf-8"
    )
    after = load_catalog([overlay])
    old, new = before.classes[class_id].changeover, after.classes[class_id].changeover
    assert old is not None and new is not None
    assert new.parts[1].price.typical == 2222
    assert new.parts[0] == old.parts[0]
    assert new.parts[1].model_copy(update={"price": old.parts[1].price}) == old.parts[1]
    assert "offer 7" in after.basis(class_id, "changeover.parts.price")
    assert after.basis(class_id, "changeover.minutes") == before.basis(
        class_id, "changeover.minutes"
    )


WRITTEN = {SWEEP: {"low": "83900", "typical": "86400.50", "high": "92000", "basis": "a; b, c"}}
COMMA = {SWEEP: {"low": "83900", "typical": "86400,50", "high": "92 000,00", "basis": "a; b, c"}}


@pytest.mark.parametrize(
    ("delimiter", "encoding", "filling"),
    [
        (",", "utf-8", WRITTEN),
        (",", "utf-8-sig", WRITTEN),
        (";", "cp1252", COMMA),
        (";", "utf-8-sig", COMMA),
        ("\t", "utf-16", COMMA),
        ("\t", "utf-8", WRITTEN),
    ],
)
def test_csv_is_read_as_spreadsheets_of_any_country_save_it(
    tmp_path: Path, delimiter: str, encoding: str, filling: dict[Any, Any]
) -> None:
    file = filled_text(tmp_path / "p.csv", filling, delimiter=delimiter, encoding=encoding)
    (quoted,) = quoted_in(read_filled(str(file)), shipped())
    assert quoted.amounts == ("83900 USD", "86400.5 USD", "92000 USD")
    assert quoted.basis == "a; b, c"


def test_rows_may_be_sorted_and_columns_added(tmp_path: Path) -> None:
    file = filled_workbook(tmp_path / "p.xlsx", QUOTED)
    straight = quoted_in(read_filled(str(file)), shipped())
    book = openpyxl.load_workbook(file)
    sheet = book["Prices"]
    rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    head = next(i for i, row in enumerate(rows) if row[0] == "id")
    below = rows[head + 1 :]
    random.Random(3).shuffle(below)
    other = openpyxl.Workbook()
    other.active.title = "Ours"
    for row in [*rows[: head + 1], *below]:
        other.active.append(["", "note", *reversed(row)])
    other.create_sheet("Empty")
    other.save(file)
    assert quoted_in(read_filled(str(file)), shipped()) == straight


def problems_of(file: Path) -> list[str]:
    with pytest.raises(InputError) as caught:
        quoted_in(read_filled(str(file)), shipped())
    return [str(problem) for problem in caught.value.problems]


def test_each_cell_that_cannot_be_read_is_named_with_what_would_do(tmp_path: Path) -> None:
    filling = {
        SWEEP: {"low": "about 80k", "valid until": "03/04/2027"},
        ("half-height-depalletizer", "price"): {"typical": -5},
        ("light-curtain", "price"): {"typical": "=1/0*A1"},
        ("interlocked-doors", "price"): {"typical": True},
        ("case-only-thermal-ink-jet", "price"): {"typical": "71.500"},
        ("rinse-blow-off", "price"): {"typical": "4000 EUR", "basis": "=offer(7)"},
    }
    found = problems_of(filled_workbook(tmp_path / "p.xlsx", filling))
    said = "\n".join(found)
    assert len(found) == 8
    assert all("sheet 'Prices', cell " in line and ".xlsx:" in line for line in found)
    assert "'about 80k' is not an amount: write a plain number such as 71500" in said
    assert "'03/04/2027' could be two dates: write a date such as 2026-12-31" in said
    assert "below zero" in said and "formula" in said and "True" in said
    assert "could be 71500 or 71.5" in said
    assert "not in USD" in said and "formula without a text" in said


def test_csv_problems_name_row_and_column(tmp_path: Path) -> None:
    file = filled_text(tmp_path / "p.csv", {SWEEP: {"typical": "x"}})
    lines = file.read_text(encoding="utf-8-sig").splitlines()
    number = 1 + next(i for i, line in enumerate(lines) if line.startswith(SWEEP[0] + ",price,"))
    column = lines[0].split(",").index("typical") + 1
    assert f"{file}:{number}: row {number}, column {column} (typical): 'x'" in problems_of(file)[0]


def test_amounts_that_do_not_rise_are_refused(tmp_path: Path) -> None:
    file = filled_workbook(tmp_path / "p.xlsx", {SWEEP: {"typical": 500000}})
    (said,) = problems_of(file)
    assert "do not rise" in said and "fill in all three" in said


def test_unknown_classes_and_fields_are_refused_with_the_nearest(tmp_path: Path) -> None:
    file = filled_text(tmp_path / "p.csv", {SWEEP: {"typical": "86000"}})
    text = file.read_text(encoding="utf-8-sig")
    file.write_text(text.replace("full-height-depalletizer,price", "full-hight-depalletizer,price"))
    assert "did you mean 'full-height-depalletizer'?" in problems_of(file)[0]
    file.write_text(text.replace("full-height-depalletizer,price", "full-height-depalletizer,cost"))
    assert "has no price 'cost' (it has: price" in problems_of(file)[0]


def test_a_part_that_the_catalogue_has_in_another_place_is_refused(tmp_path: Path) -> None:
    class_id, field = next(
        (item.id, "part 1")
        for item in shipped().classes.values()
        if item.changeover and item.changeover.parts
    )
    filling = {(class_id, field): {"typical": 1, "low": 1, "high": 1, "for what": "Star wheel"}}
    (said,) = problems_of(filled_workbook(tmp_path / "p.xlsx", filling))
    assert "write the sheet anew" in said


def test_a_row_filled_in_twice_is_refused(tmp_path: Path) -> None:
    file = filled_text(tmp_path / "p.csv", {SWEEP: {"typical": "86000"}})
    text = file.read_text(encoding="utf-8-sig")
    row = next(line for line in text.splitlines() if line.startswith(f"{SWEEP[0]},price,"))
    file.write_text(text + row + "\n")
    assert "is filled in twice, first in row" in problems_of(file)[0]


def test_an_empty_sheet_changes_nothing_and_says_so(tmp_path: Path) -> None:
    assert "nothing is filled in" in problems_of(filled_workbook(tmp_path / "p.xlsx", {}))[0]


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("p.xlsx", b"not a workbook"),
        ("p.xlsx", b"PK\x03\x04 broken"),
        ("p.xlsx", b""),
        ("p.csv", b""),
        ("p.csv", b"\x00\x01\x02"),
        ("p.csv", b"a,b\n1,2\n"),
        ("p.csv", b'id,field\n"unclosed'),
        ("p.xls", b"anything"),
        ("p", b"anything"),
    ],
)
def test_what_is_no_price_sheet_gets_one_clear_message(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, data: bytes
) -> None:
    file, out = tmp_path / name, tmp_path / "overlay.yaml"
    file.write_bytes(data)
    assert main(["import-prices", str(file), "--out", str(out)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("lineconfig: ") and "Traceback" not in said.err
    assert said.err.count("\n") == 1
    assert not out.exists()


def test_a_missing_file_gets_one_clear_message(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["import-prices", str(tmp_path / "none.xlsx")]) == 2
    assert "cannot be read" in capsys.readouterr().err


def test_an_overlay_that_was_there_stays_whole_when_the_sheet_cannot_be_read(
    tmp_path: Path,
) -> None:
    out = tmp_path / "overlay.yaml"
    out.write_text("classes: []\n", encoding="utf-8")
    file = filled_workbook(tmp_path / "p.xlsx", {SWEEP: {"typical": "soon"}})
    assert main(["import-prices", str(file), "--out", str(out)]) == 2
    assert out.read_text(encoding="utf-8") == "classes: []\n"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["overlay.yaml", "p.xlsx"]


def test_the_sheet_itself_is_not_overwritten(tmp_path: Path) -> None:
    file = filled_workbook(tmp_path / "p.xlsx", QUOTED)
    assert main(["import-prices", str(file), "--out", str(file)]) == 2
    openpyxl.load_workbook(file)


def test_without_out_the_overlay_is_printed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["import-prices", str(filled_workbook(tmp_path / "p.xlsx", QUOTED))]) == 0
    printed = capsys.readouterr().out
    (tmp_path / "again.yaml").write_text(printed, encoding="utf-8")
    assert check_file(tmp_path / "again.yaml") == []


HOSTILE = ['=HYPERLINK("x")', "a: b # c", "- x", "!!python/object", "é\u200b€", "yes", "{x}"]


def test_a_basis_of_any_text_stays_a_text(tmp_path: Path) -> None:
    classes = [item.id for item in shipped().of("fill")]
    filling = {
        (class_id, "price"): {"basis": text}
        for class_id, text in zip(classes, HOSTILE, strict=False)
    }
    file = filled_text(tmp_path / "p.csv", filling)
    (tmp_path / "o.yaml").write_text(import_prices(str(file)).text, encoding="utf-8")
    catalog = load_catalog([tmp_path / "o.yaml"])
    for (class_id, field), filled in filling.items():
        assert catalog.basis(class_id, f"{field}.typical") == filled["basis"]
        assert catalog.classes[class_id].price == shipped().classes[class_id].price
    assert len(filling) > 5


def test_a_basis_that_is_too_long_is_refused(tmp_path: Path) -> None:
    file = filled_workbook(tmp_path / "p.xlsx", {SWEEP: {"typical": 86000, "basis": "x" * 401}})
    assert "longer than 400 characters" in problems_of(file)[0]


def cell(value: object) -> Cell:
    return Cell(value, "cell A1")


@pytest.mark.parametrize(
    ("text", "delimiter", "amount"),
    [
        ("71500", "", 71500), ("71500.25", "", 71500.25), ("71500,25", ";", 71500.25),
        ("71,500.00", "", 71500), ("71.500,00", ";", 71500), ("1.234.567", ";", 1234567),
        ("71 500", ";", 71500), ("71\N{NO-BREAK SPACE}500,50", ";", 71500.5), ("0,125", ";", 0.125),
        ("USD 71500", "", 71500), ("71500 usd", "", 71500), ("71,500", ",", 71500),
        ("1.125", ",", 1.125), ("0", "", 0),
    ],
)  # fmt: skip
def test_amounts_are_read_as_they_are_written(text: str, delimiter: str, amount: float) -> None:
    assert amount_in(cell(text), "USD", delimiter) == amount


@pytest.mark.parametrize(
    ("text", "delimiter"),
    [("71,500", ";"), ("71.500", ";"), ("71.500", ""), ("71,500", "\t"), ("1e400", ""), ("nan", ""),
     ("inf", ""), ("#REF!", ""), ("12-15", ""), ("-4", ""), ("2000000000", ""), ("9" * 80, ""),
     ("1__0", "")],
)  # fmt: skip
def test_amounts_that_could_mean_two_things_or_nothing_are_refused(
    text: str, delimiter: str
) -> None:
    with pytest.raises(ValueError, match=r"write|more than"):
        amount_in(cell(text), "USD", delimiter)


@pytest.mark.parametrize(
    ("value", "day"),
    [
        ("2027-03-31", date(2027, 3, 31)), (datetime(2027, 3, 31, tzinfo=UTC), date(2027, 3, 31)),
        ("31.3.2027", date(2027, 3, 31)), ("3/31/2027", date(2027, 3, 31)),
        ("31/3/2027", date(2027, 3, 31)), ("5/5/2027", date(2027, 5, 5)),
    ],
)  # fmt: skip
def test_dates_are_read_as_they_are_written(value: object, day: date) -> None:
    assert date_in(cell(value)) == day


@pytest.mark.parametrize("value", ["4/3/2027", "2027-02-30", "soon", 46000, "31.13.2027"])
def test_dates_that_could_be_two_days_or_none_are_refused(value: object) -> None:
    with pytest.raises(ValueError, match="write a date such as"):
        date_in(cell(value))
