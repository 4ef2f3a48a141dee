"""What people write into a price sheet: amounts and dates.

An amount is refused where it could mean two things: a wrong price is worse than a question.
"""

from __future__ import annotations

import math
import re
from datetime import date, datetime, time

from lineconfig.errors import shown
from lineconfig.prices.reading import Cell
from lineconfig.quantities import parse_number

MOST_AMOUNT = 1e9
ACCEPTED = "write a plain number such as 71500 or 71500.50, or leave the cell empty"
ACCEPTED_DATE = "write a date such as 2026-12-31, or leave the cell empty"

_CURRENCY = re.compile(r"(?:([A-Za-z]{3})\s*)?([^A-Za-z]*?)(?:\s*([A-Za-z]{3}))?")
_POINTS = re.compile(r"[1-9]\d{0,2}(?:(?:\.\d{3})+,\d+|(?:\.\d{3}){2,})")
"""Thousands set apart by points, as in 71.500,00 or 1.250.000."""
_ONE_MARK = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
_BLANKS = str.maketrans(
    {"\N{NO-BREAK SPACE}": " ", "\N{NARROW NO-BREAK SPACE}": " ", "\N{THIN SPACE}": " "}
)


def amount_in(cell: Cell, currency: str, delimiter: str) -> float:
    """The amount that a cell holds [currency].

    `delimiter` is that of the CSV file, empty for a workbook.

    Raises ValueError, saying what was found and what would be accepted.
    """
    value = cell.value
    if cell.unknown_formula:
        raise ValueError(f"holds a formula whose result is not in the file: {ACCEPTED}")
    if isinstance(value, bool | date | time):
        raise ValueError(f"{shown(str(value))} is not an amount: {ACCEPTED}")
    if isinstance(value, int | float):
        number = float(value)
    else:
        number = _number(str(value).translate(_BLANKS).strip(), currency, delimiter)
    if not math.isfinite(number):
        raise ValueError(f"{shown(str(value))} is not an amount: {ACCEPTED}")
    if number < 0:
        raise ValueError(f"{shown(str(value))} is below zero: {ACCEPTED}")
    if number > MOST_AMOUNT:
        raise ValueError(f"{shown(str(value))} is more than {MOST_AMOUNT:,.0f} {currency}")
    return number


def _number(text: str, currency: str, delimiter: str) -> float:
    if len(text) > 60:
        raise ValueError(f"{shown(text)} is not an amount: {ACCEPTED}")
    match = _CURRENCY.fullmatch(text)
    if match is None:
        raise ValueError(f"{shown(text)} is not an amount: {ACCEPTED}")
    stated = [word for word in (match[1], match[3]) if word]
    if any(word.upper() != currency for word in stated):
        raise ValueError(
            f"{shown(text)} is not in {currency}, the catalogue's currency: write it in {currency}"
        )
    digits = match[2].strip()
    # Where commas part the cells, points are decimal; anywhere else either mark may be either.
    if _ONE_MARK.fullmatch(digits) and delimiter != ",":
        whole = re.sub(r"[.,]", "", digits)
        raise ValueError(
            f"{shown(text)} could be {whole} or {float(digits.replace(',', '.')):g}: write it "
            "without a mark between thousands"
        )
    if _POINTS.fullmatch(digits):
        digits = digits.replace(".", "").replace(",", ".")
    try:
        return parse_number(digits)
    except ValueError:
        raise ValueError(f"{shown(text)} is not an amount: {ACCEPTED}") from None


_YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[ T]00:00(?::00)?)?")
_POINTED = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})")
_SLASHED = re.compile(r"(\d{1,2})[/-](\d{1,2})[/-](\d{4})")
_MONTHS = 12


def date_in(cell: Cell) -> date:
    """The date that a cell holds.

    Raises ValueError, saying what was found and what would be accepted.
    """
    value = cell.value
    if cell.unknown_formula:
        raise ValueError(f"holds a formula whose result is not in the file: {ACCEPTED_DATE}")
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    text = str(value).strip()
    if match := _YEAR_FIRST.fullmatch(text):
        year, month, day = (int(part) for part in match.groups())
    elif match := _POINTED.fullmatch(text):
        day, month, year = (int(part) for part in match.groups())
    elif match := _SLASHED.fullmatch(text):
        one, two, year = (int(part) for part in match.groups())
        if one != two and max(one, two) <= _MONTHS:
            raise ValueError(f"{shown(text)} could be two dates: {ACCEPTED_DATE}")
        day, month = (one, two) if one > _MONTHS or one == two else (two, one)
    else:
        raise ValueError(f"{shown(text)} is not a date: {ACCEPTED_DATE}")
    try:
        return date(year, month, day)
    except ValueError:
        raise ValueError(f"{shown(text)} is not a date: {ACCEPTED_DATE}") from None
