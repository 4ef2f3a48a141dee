"""Cells: writing texts, numbers, inputs and formulas so that text is never taken for a formula.

Every formula is written together with its value, so that a viewer that does not recalculate shows
the same figures as one that does.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import wrap
from typing import Any

from lineconfig.report.words import Words

MOST_CHARACTERS = 1000
"""Longer texts are cut: a cell is read, not scrolled."""
MOST_IN_FORMULA = 120
"""Of a text inside a formula, which may hold 255 characters, quotation marks twice."""
INPUT_FILL, INPUT_INK = "#FFF6CC", "#1F3A93"
HEAD_FILL = "#E3E8EE"

_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\ufffe\uffff\ud800-\udfff]+")
_COLUMNS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

NUMBER_FORMATS = {
    "text": "@",
    "wrap": "@",
    "cents": "#,##0.00",
    "amount": "#,##0.00##",  # keeps the digits of small prices where a file is saved as shown
    "whole": "#,##0",
    "one": "#,##0.0",
    "two": "#,##0.00",
    "four": "#,##0.0000",
    "share": "0.0##%",
    "percent": "0.0%",
    "words": "General",
    "date": "yyyy-mm-dd",
}
LINE_POINTS = 15.0
"""Height of one line of text in a row."""
FITS = 1.0
"""Share of a column's width that text fills before it turns, in wide and in bold letters."""
MOST_TITLE, MOST_MESSAGE = 32, 255
"""Characters of what a cell says to a wrong figure, at most."""
PAPERS = {"letter": 1, "a4": 9}


def plain(text: object) -> str:
    """A text in one line, without control characters and not too long."""
    line = _CONTROL.sub(" ", str(text)).strip()
    return line if len(line) <= MOST_CHARACTERS else f"{line[: MOST_CHARACTERS - 1]}…"


@dataclass(frozen=True, slots=True)
class Ref:
    """A cell that formulas refer to, and what is in it."""

    at: str
    """As a formula on any sheet writes it."""
    value: float

    def __str__(self) -> str:
        return self.at


NOWHERE = Ref("0", 0.0)
"""Stands for an amount that there is none of."""


def total_of(refs: Sequence[Ref]) -> float:
    """The sum of what is in some cells."""
    return math.fsum(ref.value for ref in refs)


def quoted(text: str) -> str:
    """A text as it stands inside a formula."""
    return '"{}"'.format(plain(text)[:MOST_IN_FORMULA].replace('"', '""'))


def column_name(column: int) -> str:
    """The letters of a column, counted from 0."""
    before, last = divmod(column, len(_COLUMNS))
    return (column_name(before - 1) if before else "") + _COLUMNS[last]


def address(row: int, column: int) -> str:
    """A fixed address, counted from 0: `$C$5`."""
    return f"${column_name(column)}${row + 1}"


class Book:
    """A workbook in the making."""

    def __init__(self, stream: Any, *, paper: str, title: str, words: Words) -> None:
        from datetime import UTC, datetime

        import xlsxwriter  # type: ignore[import-untyped]

        self.file = xlsxwriter.Workbook(
            stream, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
        )
        # A fixed date, so that the same answer gives the same bytes.
        self.file.set_properties(
            {"title": plain(title), "created": datetime(2000, 1, 1, tzinfo=UTC)}
        )
        self.file.set_calc_mode("auto")
        self.words = words
        self.paper = PAPERS[paper]
        self._styles: dict[tuple[str, bool, bool, bool], Any] = {}
        self.head = self.file.add_format(
            {"bold": True, "bg_color": HEAD_FILL, "text_wrap": True, "valign": "top", "bottom": 1}
        )
        self.title = self.file.add_format({"bold": True, "font_size": 14})
        self.section = self.file.add_format({"bold": True, "font_size": 11, "bottom": 1})
        self.note = self.file.add_format({"italic": True, "font_color": "#444444"})

    def style(
        self,
        name: str,
        *,
        given: bool = False,
        strong: bool = False,
        indent: bool = False,
    ) -> Any:
        """The format of a kind of cell; `given` marks an input."""
        key = (name, given, strong, indent)
        if key not in self._styles:
            made: dict[str, Any] = {"num_format": NUMBER_FORMATS[name], "valign": "top"}
            if indent:
                made |= {"indent": 1, "align": "left"}
            if name == "wrap":
                made["text_wrap"] = True
            if given:
                made |= {"bg_color": INPUT_FILL, "font_color": INPUT_INK, "border": 4}
                made["locked"] = False
            if strong:
                made |= {"bold": True, "top": 1}
            self._styles[key] = self.file.add_format(made)
        return self._styles[key]

    def sheet(self, key: str, widths: Sequence[float], *, landscape: bool = True) -> Sheet:
        """A new sheet, named by its word, with its columns' widths [characters] and its page."""
        return Sheet(self, self.words(f"sheet.{key}"), widths, landscape=landscape)

    def name(self, name: str, ref: Ref) -> Ref:
        """Give a cell a name and refer to it by that."""
        self.file.define_name(name, f"={ref.at}")
        return Ref(name, ref.value)


class Sheet:
    """One sheet of a workbook; rows and columns count from 0."""

    def __init__(self, book: Book, name: str, widths: Sequence[float], *, landscape: bool) -> None:
        self.book, self.title, self.words = book, name, book.words
        self.sheet = book.file.add_worksheet(name)
        for column, width in enumerate(widths):
            self.sheet.set_column(column, column, width)
        self.widths = tuple(widths)
        self._lines: dict[int, int] = {}
        if landscape:
            self.sheet.set_landscape()
        self.sheet.set_paper(book.paper)
        self.sheet.fit_to_pages(1, 0)
        self.sheet.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.7)
        # A sign of its own begins a code in a footer.
        page, of = (self.words(f"book.{key}").replace("&", "&&") for key in ("page", "page_of"))
        self.sheet.set_footer(f"&L&A&R{page} &P {of} &N")
        self.sheet.hide_gridlines(1)

    def heading(self, title: str, *notes: str) -> int:
        """The sheet's title with notes below it; gives the next free row."""
        self.sheet.write_string(0, 0, plain(title), self.book.title)
        for row, note in enumerate(notes, 1):
            self.sheet.write_string(row, 0, plain(note), self.book.note)
        return len(notes) + 2

    def section(self, row: int, text: str) -> None:
        """A heading inside the sheet, as wide as its table."""
        self.sheet.write_string(row, 0, plain(text), self.book.section)
        for column in range(1, len(self.widths)):
            self.sheet.write_blank(row, column, None, self.book.section)

    def head(self, row: int, *names: str, repeat: bool = False) -> None:
        """A row of column names; `repeat` prints it on every page and keeps it in sight."""
        for column, name in enumerate(names):
            self.head_cell(row, column, name)
        if repeat:
            self.sheet.repeat_rows(row)
            self.sheet.freeze_panes(row + 1, 0)

    def head_cell(self, row: int, column: int, name: str) -> None:
        """The name of one column."""
        self.sheet.write_string(row, column, plain(name), self.book.head)
        self._make_room(row, column, plain(name))

    def _make_room(self, row: int, column: int, text: str) -> None:
        """Make a row as high as a text that turns in its column: not every program does it."""
        width = max(1, int(self.widths[column] * FITS))
        lines = len(wrap(text, width))
        if lines > self._lines.get(row, 1):
            self._lines[row] = lines
            self.sheet.set_row(row, lines * LINE_POINTS)

    def text(self, row: int, column: int, text: object, style: str = "text", **how: bool) -> None:
        """A text, whatever it begins with."""
        style_of = self.book.style(style, indent=column > 0, **how)
        self.sheet.write_string(row, column, plain(text), style_of)
        if style == "wrap":
            self._make_room(row, column, plain(text))

    def number(
        self, row: int, column: int, value: float | None, style: str = "two", **how: bool
    ) -> Ref:
        """A number; a dash where there is none."""
        if value is None or not math.isfinite(value):
            self.sheet.write_string(row, column, "-", self.book.style(style, **how))
            return NOWHERE
        self.sheet.write_number(row, column, value, self.book.style(style, **how))
        return self.ref(row, column, value)

    def given(self, row: int, column: int, value: float, style: str, name: str = "") -> Ref:
        """A number that the reader may change: coloured, open, and refused below zero."""
        ref = self.number(row, column, value, style, given=True)
        self.sheet.data_validation(
            row, column, row, column,
            {"validate": "decimal", "criteria": ">=", "value": 0,
             "error_title": self.words("book.not_a_number")[:MOST_TITLE],
             "error_message": self.words("book.write_a_number")[:MOST_MESSAGE]},
        )  # fmt: skip
        return self.book.name(name, ref) if name else ref

    def open_amount(self, row: int, column: int, *, name: str, wanted: bool) -> None:
        """An empty cell for an amount; locked, with a dash, where none is wanted."""
        if not wanted:
            self.sheet.write_string(row, column, "-", self.book.style("text"))
            return
        self.sheet.write_blank(row, column, None, self.book.style("amount", given=True))
        self.sheet.data_validation(
            row, column, row, column,
            {"validate": "decimal", "criteria": ">=", "value": 0, "input_title": name,
             "error_title": self.words("book.not_an_amount")[:MOST_TITLE],
             "error_message": self.words("book.write_an_amount")[:MOST_MESSAGE]},
        )  # fmt: skip

    def open_text(self, row: int, column: int) -> None:
        """An empty cell for a text."""
        self.sheet.write_blank(row, column, None, self.book.style("text", given=True))

    def open_date(self, row: int, column: int) -> None:
        """An empty cell for a date."""
        self.sheet.write_blank(row, column, None, self.book.style("date", given=True))

    def formula(
        self, row: int, column: int, formula: str, value: float | str, style: str = "cents",
        **how: bool,
    ) -> Ref:  # fmt: skip
        """A formula (without its equals sign) and what it comes to."""
        self.sheet.write_formula(
            row, column, f"={formula}", self.book.style(style, **how), value
        )  # fmt: skip
        return self.ref(row, column, value if isinstance(value, float | int) else 0.0)

    def link(self, row: int, column: int, ref: Ref, style: str = "cents", **how: bool) -> Ref:
        """What stands in another cell."""
        return self.formula(row, column, ref.at, ref.value, style, **how)

    def ref(self, row: int, column: int, value: float) -> Ref:
        """Refer to a cell of this sheet."""
        return Ref(f"{self._name}!{address(row, column)}", float(value))

    def span(self, first: int, last: int, column: int) -> str:
        """A range of one column, both rows included."""
        return f"{self._name}!{address(first, column)}:{address(last, column)}"

    @property
    def _name(self) -> str:
        """As formulas write it."""
        return "'{}'".format(self.title.replace("'", "''"))
