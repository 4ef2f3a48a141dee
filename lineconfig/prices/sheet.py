"""Writing the price sheet: a row for each class and amount, with empty cells to fill in."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path

from lineconfig.catalog import Catalog
from lineconfig.errors import InputError
from lineconfig.prices import columns as c
from lineconfig.prices.fields import PriceField, price_fields
from lineconfig.quantities import Money

FORMULA_SIGNS = ("=", "+", "-", "@")
"""A text that begins with one of these is taken for a formula when a CSV file is opened."""
GUARD = "'"
"""Set before such a text: it then stays a text."""


def price_sheet_kinds(file: str) -> str:
    """The ending of a price sheet's name.

    Raises InputError where it is neither a workbook's nor a CSV file's.
    """
    kind = Path(file).suffix.lower()
    if kind not in (".xlsx", ".csv"):
        found = f"the ending {kind!r}" if kind else "no ending"
        raise InputError.single(
            f"a price sheet is written as .xlsx or .csv, but the name has {found}", file=file
        )
    return kind


def write_price_sheet(catalog: Catalog, file: str, class_id: str | None = None) -> int:
    """Write the price sheet of a catalogue, or of one class of it; gives its number of rows.

    Raises InputError for another ending than .xlsx or .csv, a class that has no price, and a file
    that cannot be written; a file that was there before is then still whole.
    """
    from lineconfig.drawing.files import write_whole

    kind = price_sheet_kinds(file)
    fields = [field for field in price_fields(catalog) if class_id in (None, field.class_id)]
    if not fields:
        raise InputError.single(f"{class_id} has no price to fill in", file=file)
    currency = catalog.economics.currency
    data = workbook_bytes(fields, currency) if kind == ".xlsx" else csv_bytes(fields)
    write_whole(Path(file), data)
    return len(fields)


def _fixed(field: PriceField) -> tuple[str, ...]:
    """The words of a row, amounts apart."""
    return (field.class_id, field.field, field.name, field.function, field.what, field.unit)


def _amounts(field: PriceField) -> tuple[Money | None, Money, Money | None]:
    return field.low, field.typical, field.high


def csv_bytes(fields: Sequence[PriceField]) -> bytes:
    """The sheet as CSV: commas, decimal points, UTF-8 with the mark that spreadsheets look for."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(c.COLUMNS)
    for field in fields:
        amounts = ["" if one is None else f"{float(one):.10g}" for one in _amounts(field)]
        row = [guarded(text) for text in _fixed(field)]
        writer.writerow([*row, *amounts, guarded(field.basis), *("" for _ in c.FILLED)])
    return stream.getvalue().encode("utf-8-sig")


def guarded(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    return GUARD + text if text.startswith(FORMULA_SIGNS) else text


def unguarded(text: str) -> str:
    """The text without the sign that guards it."""
    return text[1:] if text.startswith(tuple(GUARD + sign for sign in FORMULA_SIGNS)) else text


WIDTHS = (28, 13, 38, 12, 38, 22, 12, 12, 12, 34, 14, 14, 14, 40, 14)


def workbook_bytes(fields: Sequence[PriceField], currency: str) -> bytes:
    """The sheet as a workbook: what the catalogue says is locked, what may be filled in is open.

    The lock has no password: it keeps ids from being changed by accident.
    """
    from lineconfig.report.words import load_words
    from lineconfig.workbook.cells import Book

    stream = io.BytesIO()
    # In English always: import-prices knows columns by their names.
    book = Book(stream, paper="letter", title="Price sheet", words=load_words())
    sheet = book.sheet("prices", WIDTHS)
    row = sheet.heading(
        f"Price sheet ({currency})",
        "Fill in the yellow columns 'low' to 'valid until'; an empty cell leaves the catalogue's "
        "figure as it is. Write plain numbers, before freight and installation.",
        f"Amounts are in {currency}, for the unit of the row. Basis: who offered it and when. "
        "Valid until: a date such as 2026-12-31.",
        "Then run: lineconfig import-prices FILE.xlsx --out prices.yaml",
    )
    sheet.head(row, *c.COLUMNS, repeat=True)
    first = row
    start = len(c.FIXED)
    for field in fields:
        row += 1
        for column, text in enumerate(_fixed(field)):
            sheet.text(row, column, text)
        for column, amount in enumerate(_amounts(field), c.COLUMNS.index(c.WAS_LOW)):
            sheet.number(row, column, amount, "amount")
        sheet.text(row, start - 1, field.basis)
        for offset, (name, amount) in enumerate(zip(c.AMOUNTS, _amounts(field), strict=True)):
            sheet.open_amount(row, start + offset, name=name, wanted=amount is not None)
        sheet.open_text(row, start + len(c.AMOUNTS))
        sheet.open_date(row, start + len(c.AMOUNTS) + 1)
    sheet.sheet.autofilter(first, 0, row, len(c.COLUMNS) - 1)
    sheet.sheet.freeze_panes(first + 1, 2)
    sheet.sheet.protect(
        "", {"autofilter": True, "sort": True, "format_columns": True, "format_rows": True}
    )
    book.file.close()
    return stream.getvalue()
