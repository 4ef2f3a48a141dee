"""Reading a workbook the way its user does: by the words beside the figures."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import openpyxl

from lineconfig.rank import Recommendation
from lineconfig.session import Study
from lineconfig.workbook import workbook_bytes

CENT = 0.005 + 1e-6
"""Two amounts that are the same to the cent, one of them rounded."""


def opened(data: bytes, *, values: bool = False) -> openpyxl.Workbook:
    return openpyxl.load_workbook(BytesIO(data), data_only=values)


def book_of(study: Study, answer: Recommendation, **how: Any) -> openpyxl.Workbook:
    return opened(workbook_bytes(study, answer, **how))


def summary(book: openpyxl.Workbook, place: int) -> dict[str, Any]:
    """The figures of a layout on the first sheet, by their words."""
    return {
        row[0].value: row[2 + place].value for row in book["Summary"].iter_rows() if row[0].value
    }


def costs(book: openpyxl.Workbook, place: int) -> dict[str, Any]:
    """The typical figures of a layout in the cost model, by their words."""
    column = 2 + 3 * place
    return {
        row[0].value: row[column].value for row in book["Cost model"].iter_rows() if row[0].value
    }


def set_named(book: openpyxl.Workbook, name: str, value: float) -> None:
    """Change an input by the name of its cell."""
    sheet, _, cell = book.defined_names[name].attr_text.partition("!")
    book[sheet.strip("'")][cell.replace("$", "")].value = value


def set_price(
    book: openpyxl.Workbook, class_id: str, what: str, amounts: tuple[float, ...]
) -> None:
    """Change the amounts of a class on the sheet of prices."""
    for row in book["Prices"].iter_rows():
        if row[0].value == class_id and str(row[2].value).startswith(what):
            for cell, value in zip(row[4:7], amounts, strict=True):
                cell.value = value
            return
    raise AssertionError(f"no price of {class_id} for {what}")
