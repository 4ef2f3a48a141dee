"""The bill of materials: every machine, track and set of change parts, with its amounts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lineconfig.session import Study
from lineconfig.workbook.cells import Book, Ref, Sheet
from lineconfig.workbook.inputs import Amounts
from lineconfig.workbook.lines import Line, Piece

COLUMNS = ("number", "item", "class", "quantity", "unit", "buy")


@dataclass(frozen=True, slots=True)
class Billed:
    """Cells of one layout's bill."""

    totals: tuple[Ref, Ref, Ref]
    """Low, typical and high of everything to buy."""
    machines: Mapping[int, tuple[tuple[Ref, Ref], ...]]
    """By station: how many there are and the typical amount of one, change parts apart."""


def write_bill(book: Book, study: Study, lines: Sequence[Line], amounts: Amounts) -> list[Billed]:
    """The bill with amounts; gives the cells that the cost model needs."""
    sheet, words = book.sheet("bill", (5, 50, 26, 10, 20, 9, 13, 13, 13, 15, 15, 15)), book.words
    row = sheet.heading(
        words("bill.title_priced", title=words("bill.title"), currency=study.need.currency),
        words("bill.lead", prices=words("sheet.prices")),
    )
    names = (
        *COLUMNS, "one_low", "one_typical", "one_high", "low", "typical", "high",
    )  # fmt: skip
    sheet.head(row, *(words(f"bill.{name}") for name in names), repeat=True)
    row += 1
    billed = []
    for line in lines:
        sheet.section(row, f"{line.label}: {line.layout.id}")
        row += 1
        first = row
        machines: dict[int, tuple[tuple[Ref, Ref], ...]] = {}
        for piece in line.pieces:
            quantity, each = _piece(sheet, row, piece, amounts)
            if piece.machine and piece.field:
                machines[piece.station] = (*machines.get(piece.station, ()), (quantity, each))
            row += 1
        sheet.text(row, 1, words("bill.together"), strong=True)
        equipment = line.layout.money.equipment
        low, typical, high = (
            sheet.formula(
                row, column, f"SUM({sheet.span(first, row - 1, column)})", value, strong=True
            )
            for column, value in enumerate((equipment.low, equipment.typical, equipment.high), 9)
        )
        billed.append(Billed((low, typical, high), machines))
        row += 2
    return billed


def _piece(sheet: Sheet, row: int, piece: Piece, amounts: Amounts) -> tuple[Ref, Ref]:
    """One line of the bill; gives its quantity and the typical amount of one."""
    _words(sheet, row, piece)
    quantity = sheet.number(row, 3, piece.quantity, "two")
    bought = quantity if piece.bought else sheet.number(row, 5, 0.0, "two")
    if piece.bought:
        bought = sheet.link(row, 5, quantity, "two")
    each = [sheet.link(row, 6 + i, ref) for i, ref in enumerate(_each(piece, amounts))]
    for i, ref in enumerate(each):
        sheet.formula(row, 9 + i, f"{bought}*{ref}", bought.value * ref.value)
    return quantity, each[1]


def _each(piece: Piece, amounts: Amounts) -> tuple[Ref, Ref, Ref]:
    return amounts.of(piece.class_id, piece.field)


def _words(sheet: Sheet, row: int, piece: Piece) -> None:
    sheet.number(row, 0, float(piece.station + 1), "whole")
    sheet.text(row, 1, piece.item, "wrap")
    sheet.text(row, 2, piece.class_id)
    owned = sheet.words("bill.owned", unit=piece.unit)
    sheet.text(row, 4, owned if piece.owned else piece.unit, "wrap")


def write_bill_without_amounts(book: Book, lines: Sequence[Line]) -> None:
    """The bill as a list of what to buy."""
    sheet, words = book.sheet("bill", (5, 60, 34, 12, 20, 12)), book.words
    row = sheet.heading(words("bill.title"), words("book.hidden"))
    sheet.head(row, *(words(f"bill.{name}") for name in COLUMNS), repeat=True)
    row += 1
    for line in lines:
        sheet.section(row, f"{line.label}: {line.layout.id}")
        row += 1
        for piece in line.pieces:
            _words(sheet, row, piece)
            sheet.number(row, 3, piece.quantity, "two")
            sheet.number(row, 5, piece.bought, "two")
            row += 1
        row += 1
