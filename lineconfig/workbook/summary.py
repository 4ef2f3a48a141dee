"""The first sheet: the layouts side by side, and how to use the workbook."""

from __future__ import annotations

from collections.abc import Sequence

from lineconfig import __version__
from lineconfig.hazards import LOCAL_CODES
from lineconfig.present.text import title_text
from lineconfig.session import Study
from lineconfig.workbook.cells import Ref, Sheet
from lineconfig.workbook.cost import Costed
from lineconfig.workbook.lines import Line

NAME = "Summary"


def widths(lines: Sequence[Line]) -> tuple[float, ...]:
    """Widths of the sheet's columns [characters]."""
    return (40, 14, *(30 for _ in lines))


def write_summary(
    sheet: Sheet, study: Study, lines: Sequence[Line], costed: Sequence[Costed] | None
) -> None:
    """The layouts side by side; without any amount of money where no costs are given."""
    need = study.need
    row = sheet.heading(
        need.brief.name,
        f"Canning line layouts compared; lineconfig {__version__}. Figures are estimates for "
        "planning, not an offer.",
        LOCAL_CODES.text,
    )
    sheet.head(row, "Figure", "Unit", *(line.label for line in lines), repeat=True)
    row = _words(sheet, row + 1, lines)
    row = _figures(sheet, row, study, lines)
    if costed is not None:
        row = _money(sheet, row, need.currency, costed)
    row += 1
    for text in _how_to_use(hidden=costed is None):
        sheet.sheet.write_string(row, 0, text, sheet.book.note)
        row += 1


def _words(sheet: Sheet, row: int, lines: Sequence[Line]) -> int:
    for words, texts in (
        ("Layout", [line.layout.id for line in lines]),
        ("Main machines", [title_text(line.layout) for line in lines]),
    ):
        sheet.text(row, 0, words)
        for column, text in enumerate(texts, 2):
            sheet.text(row, column, text, "wrap")
        row += 1
    return row


def _figures(sheet: Sheet, row: int, study: Study, lines: Sequence[Line]) -> int:
    main = study.need.formats.index(study.need.main_format)
    rows = (
        ("Rated speed, main format", "cpm", "one", [x.layout.speed.rated[main] for x in lines]),
        ("Effective speed, main format", "cpm", "one",
         [x.layout.speed.effective[main] for x in lines]),
        ("People", "", "whole", [float(x.layout.crew.people) for x in lines]),
        ("Longest format change", "min", "one", [x.layout.changeover_min for x in lines]),
        ("Length stretched out", "m", "one", [x.layout.floor.length_mm / 1000 for x in lines]),
        ("Floor with clearances", "m2", "one", [x.layout.floor.area_m2 for x in lines]),
        ("Connected power", "kW", "one", [x.layout.utilities.power_kw for x in lines]),
    )  # fmt: skip
    for words, unit, style, values in rows:
        sheet.text(row, 0, words)
        sheet.text(row, 1, unit)
        for column, value in enumerate(values, 2):
            sheet.number(row, column, value, style)
        row += 1
    return row


def _money(sheet: Sheet, row: int, currency: str, costed: Sequence[Costed]) -> int:
    rows: list[tuple[str, str, str, list[Ref], bool]] = [
        ("First cost, low", currency, "cents", [x.first_cost[0] for x in costed], False),
        ("First cost, typical", currency, "cents", [x.first_cost[1] for x in costed], True),
        ("First cost, high", currency, "cents", [x.first_cost[2] for x in costed], False),
        ("Yearly cost", f"{currency}/year", "cents", [x.yearly for x in costed], True),
        ("Life-cycle cost, low", currency, "cents", [x.life_cycle[0] for x in costed], False),
        ("Life-cycle cost, typical", currency, "cents", [x.life_cycle[1] for x in costed], True),
        ("Life-cycle cost, high", currency, "cents", [x.life_cycle[2] for x in costed], False),
        ("Cost per 1000 cans", currency, "cents", [x.per_1000 for x in costed], False),
        ("Net present value against the cheapest to buy", currency, "cents",
         [x.worth for x in costed], False),
    ]  # fmt: skip
    for words, unit, style, refs, strong in rows:
        sheet.text(row, 0, words, "wrap", strong=strong)
        sheet.text(row, 1, unit)
        for column, ref in enumerate(refs, 2):
            sheet.link(row, column, ref, style, strong=strong)
        row += 1
    sheet.text(row, 0, "Payback against the cheapest to buy", "wrap")
    sheet.text(row, 1, "years")
    for column, item in enumerate(costed, 2):
        sheet.formula(row, column, item.payback.at, item.payback_words, "two")
    return row + 1


def _how_to_use(*, hidden: bool) -> list[str]:
    if hidden:
        return ["Prices and costs are left out of this copy."]
    return [
        "To try other figures, change the yellow cells, marked 'input', on Inputs and Prices.",
        "Machines, speeds and people stay those of each layout: for other machines run lineconfig.",
        "Not in the prices: compressor, cleaning plant, cooling, building work.",
    ]
