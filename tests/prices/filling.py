"""Filling in a price sheet as a person would, in a workbook or a CSV file. All prices invented."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl

from lineconfig.catalog import Catalog
from lineconfig.catalog_loading import load_catalog
from lineconfig.prices.columns import COLUMNS, SHEET
from lineconfig.prices.fields import price_fields
from lineconfig.prices.sheet import csv_bytes, workbook_bytes

Filling = Mapping[tuple[str, str], Mapping[str, Any]]
"""What is written into the columns of a class and field."""


@cache
def shipped() -> Catalog:
    """The catalogue without any overlay."""
    return load_catalog()


@cache
def empty_workbook() -> bytes:
    return workbook_bytes(list(price_fields(shipped())), "USD")


@cache
def empty_text() -> str:
    return csv_bytes(list(price_fields(shipped()))).decode("utf-8-sig")


def filled_workbook(file: Path, filling: Filling) -> Path:
    """A price sheet of the catalogue, filled in and saved."""
    book = openpyxl.load_workbook(io.BytesIO(empty_workbook()))
    sheet = book[SHEET]
    names: dict[str, int] = {}
    left = dict(filling)
    for row in sheet.iter_rows():
        values = [cell.value for cell in row]
        if "id" in values and "field" in values:
            names = {str(name): column for column, name in enumerate(values) if name}
        elif names:
            for name, value in left.pop((values[0], values[1]), {}).items():
                row[names[name]].value = value
    assert not left, f"not on the sheet: {left}"
    book.save(file)
    return file


def filled_text(
    file: Path, filling: Filling, *, delimiter: str = ",", encoding: str = "utf-8-sig"
) -> Path:
    """The same as CSV, written anew in another country's way."""
    left = dict(filling)
    stream = io.StringIO(newline="")
    writer = csv.DictWriter(stream, COLUMNS, delimiter=delimiter, lineterminator="\r\n")
    writer.writeheader()
    for row in csv.DictReader(empty_text().splitlines()):
        writer.writerow({**row, **left.pop((row["id"], row["field"]), {})})
    assert not left, f"not on the sheet: {left}"
    file.write_bytes(stream.getvalue().encode(encoding))
    return file
