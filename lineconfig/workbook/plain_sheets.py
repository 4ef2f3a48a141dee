"""Sheets that are read rather than changed: crew, utilities, change parts, cautions, sources."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from lineconfig.hazards import LOCAL_CODES, layout_cautions
from lineconfig.present.basis import COMPUTED
from lineconfig.present.change_parts import change_parts
from lineconfig.present.layout import MINIMUM_CREW
from lineconfig.report.words import Words
from lineconfig.session import Study
from lineconfig.workbook.cells import NOWHERE, Book, Ref
from lineconfig.workbook.inputs import Amounts
from lineconfig.workbook.lines import Line


def _yes_or_no(words: Words, said: bool) -> str:
    return words("document.yes_word" if said else "document.no_word")


def write_crew(book: Book, study: Study, lines: Sequence[Line]) -> None:
    """Posts of each layout, and how busy each is."""
    sheet, words = book.sheet("crew", (10, 60, 16, 18, 16)), book.words
    row = sheet.heading(words("posts.title"), MINIMUM_CREW, words("posts.shared"))
    names = ("post", "station", "work", "busy", "always")
    sheet.head(row, *(words(f"posts.{name}") for name in names), repeat=True)
    row += 1
    for line in lines:
        people = line.layout.crew.people
        key = "choice.one_person" if people == 1 else "choice.people"
        count = words(key, count=people)
        sheet.section(row, f"{line.label}: {line.layout.id}, {count}")
        row += 1
        for number, post in enumerate(line.layout.crew.posts, 1):
            for i, place in enumerate(sorted(post.stations)):
                if i == 0:
                    sheet.number(row, 0, float(number), "whole")
                    sheet.number(row, 3, post.workload, "percent")
                    sheet.text(row, 4, _yes_or_no(words, post.always))
                sheet.text(row, 1, line.layout.stations[place].option.equipment.name, "wrap")
                sheet.number(row, 2, line.layout.crew.workloads[place], "percent")
                row += 1
        row += 1


def write_utilities(book: Book, study: Study, lines: Sequence[Line]) -> None:
    """Connected power, peak water and peak air by station, and what the site has."""
    sheet, words = book.sheet("utilities", (48, 14, 14, 14, 20)), book.words
    site = study.need.brief.site
    power, unstated = site.power, words("supplies.unstated")
    has = unstated if power is None else words(
        "supplies.power_there", phases=power.phases, volts=f"{power.volts:g}",
        amperes=f"{power.amperes:g}",
    )  # fmt: skip
    row = sheet.heading(
        words("supplies.title"),
        words(
            "supplies.site",
            power=has,
            water=unstated if site.water_l_min is None else site.water_l_min.text,
            air=unstated if site.air_l_min is None else site.air_l_min.text,
        ),
        words("supplies.lead"),
    )
    names = ("station", "power", "water", "air", "current")
    sheet.head(row, *(words(f"supplies.{name}") for name in names), repeat=True)
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
        sheet.text(row, 0, words("money.together"), strong=True)
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
    words = book.words
    priced = ("price",) if amounts is not None else ()
    sheet = book.sheet("change_parts", (40, 30, 20, 40, 14, 16, *(14 for _ in priced)))
    row = sheet.heading(words("sets.title"), words("sets.lead"))
    names = ("station", "part", "serves", "formats", "included", "weeks", *priced)
    sheet.head(row, *(words(f"sets.{name}") for name in names), repeat=True)
    row += 1
    for line in lines:
        sheet.section(row, f"{line.label}: {line.layout.id}")
        row += 1
        for part in change_parts(study, line.layout):
            texts = (part.station, part.part, part.serves, ", ".join(part.formats),
                     _yes_or_no(words, part.included))  # fmt: skip
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
    sheet, words = book.sheet("cautions", (24, 100, 50)), book.words
    row = sheet.heading(words("cautions.title"), LOCAL_CODES.text)
    names = ("code", "caution", "where")
    sheet.head(row, *(words(f"cautions.{name}") for name in names), repeat=True)
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
    sheet, words = book.sheet("sources", (34, 90, 60)), book.words
    row = sheet.heading(words("sources.with_assumed"))
    names = ("figure", "how", "source")
    sheet.head(row, *(words(f"sources.{name}") for name in names), repeat=True)
    row += 1
    for name in (*(MONEY_FIGURES if money else ()), *OTHER_FIGURES):
        formula, source = COMPUTED[name]
        for column, text in enumerate((name, formula, source)):
            sheet.text(row, column, text, "wrap")
        row += 1
    row += 1
    sheet.section(row, words("need.assumed"))
    row += 1
    for text in study.need.defaults_used:
        name, _, value = text.partition(": ")
        if not money and name == "staff.wage":
            continue
        sheet.text(row, 0, name)
        sheet.text(row, 1, value, "wrap")
        row += 1
    row += 1
    sheet.section(row, words("sources.read_from"))
    for file in study.catalog.sources:
        row += 1
        # Folders of whoever made the workbook are nobody else's business.
        sheet.text(row, 0, file if file.startswith("catalog/") else Path(file).name)
