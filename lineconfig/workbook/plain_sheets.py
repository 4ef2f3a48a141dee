"""Sheets that are read rather than changed: crew, utilities, change parts, cautions, sources."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from lineconfig.hazards import LOCAL_CODES, layout_cautions
from lineconfig.present.basis import COMPUTED
from lineconfig.present.change_parts import change_parts
from lineconfig.present.layout import MINIMUM_CREW
from lineconfig.session import Study
from lineconfig.workbook.cells import NOWHERE, Book, Ref
from lineconfig.workbook.inputs import Amounts
from lineconfig.workbook.lines import Line


def write_crew(book: Book, study: Study, lines: Sequence[Line]) -> None:
    """Posts of each layout, and how busy each is."""
    sheet = book.sheet("Crew", (10, 60, 16, 18, 16))
    row = sheet.heading("Crew", MINIMUM_CREW, "A station's work may be shared by two posts.")
    sheet.head(row, "Post", "Station", "Work of the station", "Busy, whole post", "Always there",
               repeat=True)  # fmt: skip
    row += 1
    for line in lines:
        people = line.layout.crew.people
        count = "1 person" if people == 1 else f"{people} people"
        sheet.section(row, f"{line.label}: {line.layout.id}, {count}")
        row += 1
        for number, post in enumerate(line.layout.crew.posts, 1):
            for i, place in enumerate(post.stations):
                if i == 0:
                    sheet.number(row, 0, float(number), "whole")
                    sheet.number(row, 3, post.workload, "percent")
                    sheet.text(row, 4, "yes" if post.always else "no")
                sheet.text(row, 1, line.layout.stations[place].option.equipment.name, "wrap")
                sheet.number(row, 2, line.layout.crew.workloads[place], "percent")
                row += 1
        row += 1


def write_utilities(book: Book, study: Study, lines: Sequence[Line]) -> None:
    """Connected power, peak water and peak air by station, and what the site has."""
    sheet = book.sheet("Utilities", (48, 14, 14, 14, 20))
    site = study.need.brief.site
    power = site.power
    has = "not stated" if power is None else (
        f"{power.phases} phases, {power.volts:g} V, {power.amperes:g} A"
    )  # fmt: skip
    row = sheet.heading(
        "Utilities",
        f"The site: power {has}; water "
        f"{'not stated' if site.water_l_min is None else site.water_l_min.text}; air "
        f"{'not stated' if site.air_l_min is None else site.air_l_min.text}.",
        "Connected power and peak flows. Not in them: compressor, cleaning plant, cooling.",
    )
    sheet.head(row, "Station", "Power, kW", "Water, l/min", "Free air, l/min",
               "Current at the site, A", repeat=True)  # fmt: skip
    row += 1
    for line in lines:
        sheet.section(row, f"{line.label}: {line.layout.id}")
        first = row + 1
        for station in line.layout.stations:
            row += 1
            sheet.text(row, 0, station.option.equipment.name, "wrap")
            for column, value in enumerate(
                (station.power_kw, station.water_l_min, station.air_l_min), 1
            ):
                sheet.number(row, column, value, "two")
        last, row = row, row + 1
        figures = line.layout.utilities
        sheet.text(row, 0, "Together", strong=True)
        for column, value in enumerate(
            (figures.power_kw, figures.water_l_min, figures.air_l_min), 1
        ):
            sheet.formula(
                row, column, f"SUM({sheet.span(first, last, column)})", value, "two", strong=True
            )
        sheet.number(row, 4, figures.amperes, "one", strong=True)
        row += 2


def write_change_parts(
    book: Book, study: Study, lines: Sequence[Line], amounts: Amounts | None
) -> None:
    """Every set of change parts, what it is for and when it must be ordered."""
    priced = ("Price of one",) if amounts is not None else ()
    sheet = book.sheet("Change parts", (40, 30, 20, 40, 14, 16, *(14 for _ in priced)))
    row = sheet.heading(
        "Change parts",
        "Sets that come with a machine cost nothing more; those that several formats share are "
        "needed once.",
    )
    sheet.head(row, "Station", "Part", "For", "Formats that run with it", "Comes with it",
               "Lead time, weeks", *priced, repeat=True)  # fmt: skip
    row += 1
    for line in lines:
        sheet.section(row, f"{line.label}: {line.layout.id}")
        row += 1
        for part in change_parts(study, line.layout):
            texts = (part.station, part.part, part.serves, ", ".join(part.formats),
                     "yes" if part.included else "no")  # fmt: skip
            for column, text in enumerate(texts):
                sheet.text(row, column, text, "wrap")
            sheet.number(row, 5, part.lead_time_weeks, "one")
            if amounts is not None:
                ref = _amount(line, amounts, part.class_id, part.part, part.serves)
                if part.included or ref is NOWHERE:
                    sheet.number(row, 6, part.price.typical, "cents")
                else:
                    sheet.link(row, 6, ref)
            row += 1
        row += 1


def _amount(line: Line, amounts: Amounts, class_id: str, part: str, serves: str) -> Ref:
    """The cell of a set's amount."""
    for piece in line.pieces:
        track = piece.field == "price_per_track" and part == "Track"
        named = piece.item.startswith(f"{part} (") and serves in piece.item
        if piece.class_id == class_id and (track or (not piece.machine and named)):
            return amounts.of(class_id, piece.field)[1]
    return NOWHERE


def write_cautions(book: Book, study: Study, lines: Sequence[Line]) -> None:
    """What can hurt, layout by layout."""
    sheet = book.sheet("Cautions", (24, 100, 50))
    row = sheet.heading("Cautions", LOCAL_CODES.text)
    sheet.head(row, "Code", "Caution", "Where it comes from", repeat=True)
    row += 1
    for line in lines:
        sheet.section(row, f"{line.label}: {line.layout.id}")
        row += 1
        for item in layout_cautions(study.inquiry, line.layout):
            sheet.text(row, 0, item.caution.code)
            sheet.text(row, 1, item.caution.text, "wrap")
            sheet.text(row, 2, item.caution.basis, "wrap")
            row += 1
        row += 1


MONEY_FIGURES = (
    "first_cost", "annual_cost.labour", "annual_cost.electricity", "life_cycle_cost",
    "cost_per_1000_cans", "payback_years",
)  # fmt: skip
OTHER_FIGURES = (
    "speed_cpm.rated", "speed_cpm.lower_bound", "speed_cpm.effective", "speed_cpm.upper_bound",
    "crew.people", "changeover_min.line", "utilities.amperes",
)  # fmt: skip


def write_sources(book: Book, study: Study, *, money: bool) -> None:
    """How figures are worked out, what was assumed, and which files they came from."""
    sheet = book.sheet("Sources", (34, 90, 60))
    row = sheet.heading("Sources and assumptions")
    sheet.head(row, "Figure", "How it is worked out", "Source", repeat=True)
    row += 1
    for name in (*(MONEY_FIGURES if money else ()), *OTHER_FIGURES):
        formula, source = COMPUTED[name]
        for column, text in enumerate((name, formula, source)):
            sheet.text(row, column, text, "wrap")
        row += 1
    row += 1
    sheet.section(row, "Assumed, since the brief leaves it open")
    row += 1
    for text in study.need.defaults_used:
        name, _, value = text.partition(": ")
        if not money and name == "staff.wage":
            continue
        sheet.text(row, 0, name)
        sheet.text(row, 1, value, "wrap")
        row += 1
    row += 1
    sheet.section(row, "Read from")
    for file in study.catalog.sources:
        row += 1
        # Folders of whoever made the workbook are nobody else's business.
        sheet.text(row, 0, file if file.startswith("catalog/") else Path(file).name)
