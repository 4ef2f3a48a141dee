"""The first sheet: the layouts side by side, and how to use the workbook."""

from __future__ import annotations

from collections.abc import Sequence

from lineconfig import __version__
from lineconfig.hazards import LOCAL_CODES
from lineconfig.present.text import title_text
from lineconfig.report.words import Words
from lineconfig.session import Study
from lineconfig.workbook.cells import Ref, Sheet, plain
from lineconfig.workbook.cost import Costed
from lineconfig.workbook.lines import Line


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
        sheet.words("summary.lead", version=__version__),
        LOCAL_CODES.text,
    )
    names = (sheet.words("summary.figure"), sheet.words("summary.unit"))
    sheet.head(row, *names, *(line.label for line in lines), repeat=True)
    row = _words(sheet, row + 1, lines)
    row = _figures(sheet, row, study, lines)
    if costed is not None:
        row = _money(sheet, row, need.currency, costed)
    row += 1
    for text in _how_to_use(sheet.words, hidden=costed is None):
        sheet.sheet.write_string(row, 0, plain(text), sheet.book.note)
        row += 1


def _words(sheet: Sheet, row: int, lines: Sequence[Line]) -> int:
    for words, texts in (
        ("layout", [line.layout.id for line in lines]),
        ("place", [line.place for line in lines]),
        ("main", [title_text(line.layout) for line in lines]),
    ):
        sheet.text(row, 0, sheet.words(f"summary.{words}"))
        for column, text in enumerate(texts, 2):
            sheet.text(row, column, text, "wrap")
        row += 1
    return row


def _figures(sheet: Sheet, row: int, study: Study, lines: Sequence[Line]) -> int:
    main = study.need.formats.index(study.need.main_format)
    rows = (
        ("rated", "cpm", "one", [x.layout.speed.rated[main] for x in lines]),
        ("effective", "cpm", "one",
         [x.layout.speed.effective[main] for x in lines]),
        ("people", "", "whole", [float(x.layout.crew.people) for x in lines]),
        ("changeover", "min", "one", [x.layout.changeover_min for x in lines]),
        ("length", "m", "one", [x.layout.floor.length_mm / 1000 for x in lines]),
        ("area", "m2", "one", [x.layout.floor.area_m2 for x in lines]),
        ("power", "kW", "one", [x.layout.utilities.power_kw for x in lines]),
    )  # fmt: skip
    for words, unit, style, values in rows:
        sheet.text(row, 0, sheet.words(f"summary.{words}"))
        sheet.text(row, 1, unit)
        for column, value in enumerate(values, 2):
            sheet.number(row, column, value, style)
        row += 1
    return row


def _money(sheet: Sheet, row: int, currency: str, costed: Sequence[Costed]) -> int:
    words = sheet.words
    rows: list[tuple[str, str, str, list[Ref], bool]] = [
        ("first_low", currency, "cents", [x.first_cost[0] for x in costed], False),
        ("first_typical", currency, "cents", [x.first_cost[1] for x in costed], True),
        ("first_high", currency, "cents", [x.first_cost[2] for x in costed], False),
        ("yearly", words("unit.per_year", currency=currency), "cents",
         [x.yearly for x in costed], True),
        ("life_low", currency, "cents", [x.life_cycle[0] for x in costed], False),
        ("life_typical", currency, "cents", [x.life_cycle[1] for x in costed], True),
        ("life_high", currency, "cents", [x.life_cycle[2] for x in costed], False),
        ("per_1000", currency, "cents", [x.per_1000 for x in costed], False),
        ("worth", currency, "cents",
         [x.worth for x in costed], False),
    ]  # fmt: skip
    for name, unit, style, refs, strong in rows:
        sheet.text(row, 0, words(f"summary.{name}"), "wrap", strong=strong)
        sheet.text(row, 1, unit)
        for column, ref in enumerate(refs, 2):
            sheet.link(row, column, ref, style, strong=strong)
        row += 1
    sheet.text(row, 0, words("summary.payback"), "wrap")
    sheet.text(row, 1, words("unit.years"))
    for column, item in enumerate(costed, 2):
        sheet.formula(row, column, item.payback.at, item.payback_words, "two")
    return row + 1


def _how_to_use(words: Words, *, hidden: bool) -> list[str]:
    if hidden:
        return [words("money.hidden")]
    sheets = {"inputs": words("sheet.inputs"), "prices": words("sheet.prices")}
    return [words("summary.how", **sheets), words("summary.how_far"), words("summary.not_in")]
