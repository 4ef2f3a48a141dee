"""Formats and hours: what each format runs at, and what the hours of a year go to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lineconfig.need import MINUTES_PER_HOUR
from lineconfig.present.money import hours_of
from lineconfig.session import Study
from lineconfig.workbook.cells import Book, Ref, Sheet, quoted
from lineconfig.workbook.inputs import Inputs
from lineconfig.workbook.lines import Line


@dataclass(frozen=True, slots=True)
class Hours:
    """Cells of one layout's hours of a year."""

    running: Ref
    """In which cans run."""
    startup: Ref
    changing: Ref
    together: Ref


def write_formats(book: Book, study: Study, lines: Sequence[Line], inputs: Inputs) -> list[Hours]:
    """The sheet of formats; gives the cells of hours."""
    sheet, row = _begin(book, study)
    hours = []
    for line in lines:
        first = row + 1
        row = _formats(sheet, row, study, line, inputs.cans)
        row, written = _hours(sheet, row, first, line, inputs)
        hours.append(written)
    return hours


def write_formats_alone(book: Book, study: Study, lines: Sequence[Line]) -> None:
    """The sheet of formats where there is no sheet of inputs: with figures instead of links."""
    sheet, row = _begin(book, study)
    for line in lines:
        row = _formats(sheet, row, study, line, None) + 1
        for words, hours in hours_of(study, line.layout).items():
            sheet.text(row, 0, book.words.of("hours", words))
            sheet.number(row, 9, hours, "two")
            row += 1
        row += 1


def _begin(book: Book, study: Study) -> tuple[Sheet, int]:
    words = book.words
    sheet = book.sheet("formats", (44, 22, 16, 14, 12, 12, 12, 12, 12, 14))
    row = sheet.heading(
        words("formats.title"),
        words("formats.lead"),
        words("formats.lead_hours"),
    )
    row = _containers(sheet, row, study)
    names = ("format", "id", "supply", "cans", "needed", "rated", "lower", "effective", "upper",
             "running")  # fmt: skip
    sheet.head(row, *(words(f"formats.{name}") for name in names))
    return sheet, row + 1


def _containers(sheet: Sheet, row: int, study: Study) -> int:
    names = ("container", "id", "kind", "closed", "diameter", "height", "content", "layer",
             "layers", "pallet")  # fmt: skip
    sheet.head(row, *(sheet.words(f"formats.{name}") for name in names))
    for fmt in study.need.formats:
        row += 1
        can = fmt.container
        for column, text in enumerate((can.name, can.id, can.kind, can.closing)):
            sheet.text(row, column, text, "wrap")
        sheet.number(row, 4, float(can.diameter_mm), "one")
        sheet.number(row, 5, float(can.height_mm), "one")
        sheet.number(row, 6, float(can.volume_ml), "whole")
        sheet.number(row, 7, float(can.pallet.per_layer), "whole")
        sheet.number(row, 8, float(can.pallet.layers), "whole")
        sheet.number(row, 9, float(can.pallet.per_layer * can.pallet.layers), "whole")
    return row + 2


def _formats(sheet: Sheet, row: int, study: Study, line: Line, cans: Sequence[Ref] | None) -> int:
    """A row for each format; gives the last of them."""
    sheet.section(row, f"{line.label}: {line.layout.id}")
    speed = line.layout.speed
    for i, (fmt, form) in enumerate(zip(study.need.formats, line.forms, strict=True)):
        row += 1
        sheet.text(row, 0, fmt.container.name, "wrap")
        sheet.text(row, 1, fmt.id)
        sheet.text(row, 2, sheet.words(f"supply.{form}"))
        if cans is None:
            made = sheet.number(row, 3, fmt.annual_cans, "whole")
        else:
            made = sheet.link(row, 3, cans[i], "whole")
        for column, value in enumerate((fmt.needed_cpm, speed.rated[i], speed.lower[i]), 4):
            sheet.number(row, column, value, "one")
        effective = sheet.number(row, 7, speed.effective[i], "one")
        sheet.number(row, 8, speed.upper[i], "one")
        sheet.formula(
            row, 9, f"{made}/{effective}/60", made.value / effective.value / MINUTES_PER_HOUR,
            "two",
        )  # fmt: skip
    return row


def _hours(
    sheet: Sheet, row: int, first: int, line: Line, inputs: Inputs
) -> tuple[int, Hours]:  # fmt: skip
    """What the hours of a year go to, below the formats; gives the next free row."""
    layout, last = line.layout, row
    figures = layout.money
    share, changes, there = (
        inputs[name] for name in ("startup_share", "changeovers_per_year", "available_hours")
    )
    run = figures.run_hours / (1 + share.value)
    row += 1
    ran = _hour(sheet, row, "running", f"SUM({sheet.span(first, last, 9)})", run)
    row += 1
    started = _hour(sheet, row, "start_up_and_cleaning", f"{ran}*{share}", run * share.value)
    row += 1
    sheet.text(row, 1, sheet.words("hours.longest"))
    longest = max((station.changeover_min for station in layout.stations), default=0.0)
    most = sheet.number(row, 2, longest, "two")
    sheet.text(row, 3, sheet.words("hours.work"))
    work = sheet.number(row, 4, layout.changeover_person_min, "two")
    sheet.text(row, 5, sheet.words("hours.people"))
    people = sheet.number(row, 6, float(layout.crew.people), "whole")
    changing = _hour(
        sheet, row, "changeover", f"{changes}*MAX({most},{work}/{people})/60",
        figures.changeover_hours,
    )  # fmt: skip
    row += 1
    together = _hour(
        sheet, row, "together", f"{ran}+{started}+{changing}", figures.hours, strong=True
    )
    row += 1
    sheet.text(row, 0, sheet.words("hours.there"))
    sheet.link(row, 9, there, "two")
    few, enough = sheet.words("hours.too_few"), sheet.words("hours.enough")
    sheet.formula(
        row, 8, f"IF({together}>{there}+0.000001,{quoted(few)},{quoted(enough)})",
        few if together.value > there.value + 1e-6 else enough, "words",
    )  # fmt: skip
    return row + 2, Hours(ran, started, changing, together)


def _hour(
    sheet: Sheet, row: int, name: str, formula: str, value: float, *, strong: bool = False
) -> Ref:
    sheet.text(row, 0, sheet.words(f"hours.{name}"), strong=strong)
    return sheet.formula(row, 9, formula, value, "two", strong=strong)
