"""Reading a filled price sheet: a workbook or a CSV file as rows of cells that know their place.

Nothing is trusted: the file may be of any size, in any of the ways spreadsheets save CSV, sorted,
filtered, or with columns added.
"""

from __future__ import annotations

import csv
import io
import warnings
import zipfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from lineconfig.errors import InputError
from lineconfig.prices import columns as c

MOST_BYTES = 20_000_000
MOST_UNPACKED = 200_000_000
MOST_ROWS = 20_000
MOST_COLUMNS = 200
HEAD_WITHIN = 30
"""The row of column names is looked for among so many first rows."""
DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab"}


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands in one cell."""

    value: Any
    """A text, a number, a date, a truth value, or None where it is empty."""
    place: str
    """Where it is, in words: `sheet 'Prices', cell K12`."""
    unknown_formula: bool = False
    """Whether it holds a formula whose result was not saved with it."""

    @property
    def empty(self) -> bool:
        """Whether nothing is filled in; a dash stands for nothing."""
        blank = self.value is None or (
            isinstance(self.value, str) and self.value.strip() in ("", "-")
        )
        return blank and not self.unknown_formula


@dataclass(frozen=True, slots=True)
class Row:
    """One row below the column names."""

    number: int
    """Counted from 1, as the spreadsheet and an editor count."""
    cells: dict[str, Cell]
    """By the column's name."""

    def text(self, column: str) -> str:
        """A cell as text; empty where it is not there."""
        cell = self.cells.get(column)
        return "" if cell is None or cell.value is None else str(cell.value).strip()


@dataclass(frozen=True, slots=True)
class Filled:
    """A filled price sheet."""

    file: str
    rows: tuple[Row, ...]
    delimiter: str
    """Of a CSV file; empty for a workbook."""


def read_filled(file: str) -> Filled:
    """Read a filled price sheet.

    Raises InputError for a file that is no workbook and no CSV file, or has no row of column names.
    """
    path = Path(file)
    kind = path.suffix.lower()
    if kind not in (*c.WORKBOOKS, *c.TEXTS):
        hint = "; save it as .xlsx" if kind in (".xls", ".ods", ".numbers") else ""
        found = f"the ending {kind!r}" if kind else "no ending"
        raise InputError.single(
            f"a price sheet is a .xlsx or .csv file, but the name has {found}{hint}", file=file
        )
    try:
        if path.stat().st_size > MOST_BYTES:
            raise InputError.single(
                f"is larger than {MOST_BYTES // 1_000_000} MB: a price sheet is a few kilobytes",
                file=file,
            )
        data = path.read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "not a file's name"
        raise InputError.single(f"cannot be read: {reason}", file=file) from None
    return _of_workbook(file, data) if kind in c.WORKBOOKS else _of_text(file, data)


# --- workbooks -----------------------------------------------------------------------------------


def _of_workbook(file: str, data: bytes) -> Filled:
    try:
        sheets = _sheets(file, data)
    except InputError:
        raise
    except Exception:  # a damaged workbook fails in openpyxl in many ways
        raise InputError.single(
            "cannot be read as a workbook: save it as .xlsx again", file=file
        ) from None
    named = sorted(sheets, key=lambda pair: pair[0] != c.SHEET)
    for title, rows in named:
        found = _below_head(rows, partial(_cell_name, title))
        if found is not None:
            return Filled(file, found, "")
    raise _no_head(file)


def _cell_name(title: str, row: int, column: int) -> str:
    from openpyxl.utils import get_column_letter

    return f"sheet {title!r}, cell {get_column_letter(column + 1)}{row}"


Values = list[tuple[int, list[tuple[Any, bool]]]]
"""Rows by number: each cell's value, and whether it is a formula without a result."""


def _sheets(file: str, data: bytes) -> list[tuple[str, Values]]:
    import openpyxl

    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        if sum(item.file_size for item in packed.infolist()) > MOST_UNPACKED:
            raise InputError.single("unpacks to more than a price sheet can hold", file=file)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # about parts of a workbook that are not read here
        results = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
        formulas = openpyxl.load_workbook(io.BytesIO(data), read_only=True)
        sheets = []
        for title in results.sheetnames:
            here, there = results[title], formulas[title]
            if not hasattr(here, "iter_rows"):  # a sheet that is a chart
                continue
            rows: Values = []
            pairs = zip(_rows(here), _rows(there), strict=True)
            for number, (values, written) in enumerate(pairs, 1):
                cells = [
                    (value, value is None and isinstance(formula, str) and formula[:1] == "=")
                    for value, formula in zip(values, written, strict=True)
                ]
                rows.append((number, cells))
            sheets.append((title, rows))
        return sheets


def _rows(sheet: Any) -> Iterator[tuple[Any, ...]]:
    rows: Iterator[tuple[Any, ...]] = sheet.iter_rows(
        max_row=MOST_ROWS, max_col=MOST_COLUMNS, values_only=True
    )
    return rows


# --- CSV -----------------------------------------------------------------------------------------


def _of_text(file: str, data: bytes) -> Filled:
    text = _decoded(file, data)
    for delimiter in DELIMITERS:
        try:
            rows = list(_lines(text, delimiter))
        except csv.Error:
            continue
        found = _below_head(rows, lambda row, column: f"row {row}, column {column + 1}")
        if found is not None:
            return Filled(file, found, delimiter)
    raise _no_head(file)


def _decoded(file: str, data: bytes) -> str:
    """The text of a CSV file in the encodings in which spreadsheets save it."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings = ["utf-16"]
    else:
        encodings = ["utf-8-sig", "cp1252"]
    for encoding in encodings:
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise InputError.single("is not a text: save it as CSV in UTF-8", file=file)


def _lines(text: str, delimiter: str) -> Iterator[tuple[int, list[tuple[Any, bool]]]]:
    """Rows with the number of the line on which each begins."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    begins = 1
    for count, row in enumerate(reader):
        if count >= MOST_ROWS:
            return
        yield begins, [(value, False) for value in row[:MOST_COLUMNS]]
        begins = reader.line_num + 1


# --- both ----------------------------------------------------------------------------------------


def _below_head(
    rows: Iterable[tuple[int, Sequence[tuple[Any, bool]]]], place: Callable[[int, int], str]
) -> tuple[Row, ...] | None:
    """The rows below the column names; None where there is no row of column names."""
    names: dict[int, str] = {}
    found: list[Row] = []
    for count, (number, cells) in enumerate(rows):
        if names:
            made = {
                name: Cell(
                    cells[column][0],
                    f"{place(number, column)} ({name})",
                    cells[column][1],
                )
                for column, name in names.items()
                if column < len(cells)
            }
            found.append(Row(number, made))
            continue
        if count >= HEAD_WITHIN:
            return None
        words = [" ".join(str(value or "").split()).lower() for value, _ in cells]
        if all(name in words for name in c.NEEDED):
            names = {words.index(name): name for name in c.COLUMNS if name in words}
    return tuple(found) if names else None


def _no_head(file: str) -> InputError:
    return InputError.single(
        "has no row of column names with 'id' and 'field': fill in a sheet that "
        "`lineconfig catalog --price-sheet FILE` writes",
        file=file,
    )
