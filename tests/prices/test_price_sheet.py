"""The price sheet as it is written: what is on it, what is locked, and what it cannot do."""

from __future__ import annotations

import csv
from pathlib import Path

import openpyxl
import pytest

from lineconfig.catalog import Catalog
from lineconfig.catalog_loading import load_catalog
from lineconfig.cli import main
from lineconfig.errors import InputError
from lineconfig.prices.columns import COLUMNS, FILLED, SHEET
from lineconfig.prices.fields import price_fields
from lineconfig.prices.sheet import csv_bytes, guarded, unguarded, workbook_bytes, write_price_sheet


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog()


def test_every_amount_of_money_of_every_class_has_a_row(catalog: Catalog) -> None:
    """Counted in the plain data of the catalogue, by its currency, rather than by its fields."""
    rows = {(field.class_id, field.field) for field in price_fields(catalog)}
    counted = 0
    for equipment in catalog.classes.values():
        plain = equipment.model_dump(by_alias=True, exclude_unset=True)
        plain.pop("basis")
        counted += str(plain).count("'typical'") + ("consumables_per_1000" in plain)
    assert len(rows) == counted > 100


def test_amounts_can_be_filled_in_and_ids_are_locked(tmp_path: Path, catalog: Catalog) -> None:
    file = tmp_path / "prices.xlsx"
    write_price_sheet(catalog, str(file))
    sheet = openpyxl.load_workbook(file)[SHEET]
    assert sheet.protection.sheet
    for row in sheet.iter_rows():
        if row[0].value not in catalog.classes:
            continue
        named = dict(zip(COLUMNS, row, strict=False))
        assert all(named[name].protection.locked for name in COLUMNS if name not in FILLED)
        assert not named["typical"].protection.locked
        assert named["typical"].value is None
        assert named["low"].protection.locked == (named["low"].value == "-")


def test_the_same_catalogue_gives_the_same_bytes(catalog: Catalog) -> None:
    fields = list(price_fields(catalog))
    assert workbook_bytes(fields, "USD") == workbook_bytes(fields, "USD")
    assert csv_bytes(fields) == csv_bytes(fields)


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)"])
def test_texts_of_an_overlay_are_no_formulas_in_either_kind(tmp_path: Path, text: str) -> None:
    overlay = tmp_path / "overlay.yaml"
    overlay.write_text(
        f"classes:\n  - id: gripper-elevator\n    name: '{text}'\n"
        f"    price: {{low: 1 USD, typical: 2 USD, high: 3 USD}}\n    basis: {{price: '{text}'}}\n",
        encoding="utf-8",
    )
    catalog = load_catalog([overlay])
    write_price_sheet(catalog, str(tmp_path / "p.csv"), "gripper-elevator")
    with (tmp_path / "p.csv").open(encoding="utf-8-sig", newline="") as stream:
        row = next(csv.DictReader(stream))
    assert row["name"] == row["catalogue basis"] == f"'{text}"
    assert unguarded(guarded(text)) == text
    write_price_sheet(catalog, str(tmp_path / "p.xlsx"), "gripper-elevator")
    sheet = openpyxl.load_workbook(tmp_path / "p.xlsx")[SHEET]
    cells = [cell for line in sheet.iter_rows() for cell in line if cell.value == text]
    assert len(cells) == 2 and all(cell.data_type == "s" for cell in cells)


def test_another_ending_is_refused_and_nothing_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "prices.ods"
    assert main(["catalog", "--price-sheet", str(file)]) == 2
    assert ".xlsx or .csv" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_the_command_writes_one_class_or_all(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["catalog", "light-curtain", "--price-sheet", str(tmp_path / "one.csv")]) == 0
    assert capsys.readouterr().out == ""
    with (tmp_path / "one.csv").open(encoding="utf-8-sig", newline="") as stream:
        assert {row["id"] for row in csv.DictReader(stream)} == {"light-curtain"}
    assert main(["catalog", "light-curtian", "--price-sheet", str(tmp_path / "two.csv")]) == 2
    assert "light-curtain" in capsys.readouterr().err


def test_a_class_without_a_price_is_refused(catalog: Catalog, tmp_path: Path) -> None:
    absent = next(item.id for item in catalog.classes.values() if item.absent)
    with pytest.raises(InputError, match="no price"):
        write_price_sheet(catalog, str(tmp_path / "p.csv"), absent)
