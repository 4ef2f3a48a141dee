"""The sheets of figures that a client may change: terms and volumes, and the amounts of classes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from lineconfig.prices.fields import CONSUMABLES, PriceField, fields_of
from lineconfig.session import Study
from lineconfig.workbook.cells import NOWHERE, Book, Ref
from lineconfig.workbook.lines import Line

ML_PER_LITRE = 1000.0
BRIEF = "the brief"


@dataclass(frozen=True, slots=True)
class Inputs:
    """Cells of the client's terms, by name, and each format's yearly cans."""

    cells: Mapping[str, Ref]
    cans: tuple[Ref, ...]

    def __getitem__(self, name: str) -> Ref:
        return self.cells[name]


@dataclass(frozen=True, slots=True)
class Amounts:
    """Cells of the low, typical and high amount of each price field."""

    cells: Mapping[tuple[str, str], tuple[Ref, Ref, Ref]]

    def of(self, class_id: str, field: str) -> tuple[Ref, Ref, Ref]:
        """The cells of a field; zeros where a class costs nothing."""
        return self.cells.get((class_id, field), (NOWHERE, NOWHERE, NOWHERE))


def write_inputs(book: Book, study: Study) -> Inputs:
    """The client's terms, one named cell each."""
    sheet = book.sheet("Inputs", (44, 16, 22, 12, 30, 62))
    row = sheet.heading(
        "Inputs: figures that may be changed",
        "Cells marked 'input' (yellow, blue figures) may be changed; everything else follows from "
        "them.",
        "Speeds, people, hours of a format change and the list of machines are those of each "
        "layout: for other machines run lineconfig again.",
    )
    sheet.head(
        row, "Figure", "Value", "Unit", "Kind", "Name of the cell", "Where it comes from",
        repeat=True,
    )  # fmt: skip
    row += 1
    cells: dict[str, Ref] = {}

    def line(name: str, words: str, unit: str, kind: str, basis: str) -> None:
        sheet.text(row, 0, words)
        sheet.text(row, 2, unit)
        sheet.text(row, 3, kind)
        sheet.text(row, 4, name)
        sheet.text(row, 5, basis, "wrap")

    for title, entries in _entries(study):
        sheet.section(row, title)
        row += 1
        for name, words, value, unit, style, basis in entries:
            line(name, words, unit, "input", basis)
            cells[name] = sheet.given(row, 1, value, style, name)
            row += 1
        row += 1
    cans = []
    sheet.section(row, "Yearly volume")
    row += 1
    for place, fmt in enumerate(study.need.formats):
        name = f"annual_cans_{place + 1}"
        stated = study.need.brief.formats[place].annual_cans is not None
        line(
            name, f"{fmt.container.name} ({fmt.id})", "cans/year", "input",
            BRIEF if stated else "from the speed asked for and the hours of operation",
        )  # fmt: skip
        cans.append(sheet.given(row, 1, fmt.annual_cans, "whole", name))
        row += 1
    row += 1
    sheet.section(row, "Worked out from them")
    row += 1
    for name, words, unit, style, formula, value in _worked_out(study, cells, cans):
        line(name, words, unit, "worked out", "arithmetic")
        cells[name] = book.name(name, sheet.formula(row, 1, formula, value, style))
        row += 1
    return Inputs(cells, tuple(cans))


Entry = tuple[str, str, float, str, str, str]
"""Name, words, value, unit, style, basis."""


def _entries(study: Study) -> Sequence[tuple[str, list[Entry]]]:
    need, economics = study.need, study.catalog.economics
    brief, currency = need.brief, need.currency
    basis = study.catalog.economics_basis

    def stated(value: Any, default: str) -> str:
        if value is not None:
            return BRIEF
        return f"default of the catalogue: {basis(f'defaults.{default}')}"

    operation, shares, tariffs = brief.operation, economics.first_cost, economics.tariffs
    terms: list[Entry] = [
        ("wage_per_h", "Wage", need.wage_per_h, f"{currency}/h", "cents",
         stated(brief.staff.wage_per_h, "wage")),
        ("horizon_years", "Horizon", float(need.horizon_years), "years", "two",
         stated(brief.horizon_years, "horizon")),
        ("discount_rate", "Discount rate", float(need.discount_rate), "a year", "share",
         stated(brief.discount_rate, "discount_rate")),
        ("hours_per_week", "Hours of operation", need.hours_per_week, "h/week", "two",
         stated(operation.hours_per_week, "hours_per_week")),
        ("weeks_per_year", "Weeks of operation", need.weeks_per_year, "weeks/year", "two",
         stated(operation.weeks_per_year, "weeks_per_year")),
        ("changeovers_per_week", "Format changes", need.changeovers_per_week, "changes/week",
         "two", stated(operation.changeovers_per_week, "changeovers_per_week")),
    ]  # fmt: skip
    first: list[Entry] = [
        (f"{name}_share", name.capitalize(), float(getattr(shares, name)), of, "share",
         basis(f"first_cost.{name}"))
        for name, of in (
            ("freight", "of equipment"), ("installation", "of equipment"),
            ("training", "of equipment"), ("contingency", "of all of these"),
        )
    ]  # fmt: skip
    each: list[Entry] = [
        (name, words, float(getattr(tariffs, name)), f"{currency}/{unit}", "four",
         basis(f"tariffs.{name}"))
        for name, words, unit in (
            ("electricity_per_kwh", "Electricity", "kWh"),
            ("water_per_m3", "Water, supply and drain", "m3"),
            ("empties_per_1000", "Empties by the full pallet", "1000 cans"),
            ("half_stack_premium_per_1000", "Premium for half stacks", "1000 cans"),
            ("loose_premium_per_1000", "Premium for loose empties", "1000 cans"),
            ("product_per_litre", "Product lost", "litre"),
        )
    ]  # fmt: skip
    habits: list[Entry] = [
        ("air_kw_per_m3_min", "Compressor power", tariffs.specific_air_power_kw_per_m3_min,
         "kW per m3/min of free air", "two", basis("tariffs.specific_air_power_kw_per_m3_min")),
        ("motor_load", "Average draw", float(economics.habits.motor_load), "of connected power",
         "share", basis("habits.motor_load")),
        ("startup_share", "Start-up and cleaning", float(economics.habits.startup_and_cleaning),
         "of running hours", "share", basis("habits.startup_and_cleaning")),
    ]  # fmt: skip
    return [
        ("Terms", terms),
        ("First cost on top of the equipment", first),
        ("Tariffs", each),
        ("Habits", habits),
    ]


def _worked_out(
    study: Study, cells: Mapping[str, Ref], cans: Sequence[Ref]
) -> list[tuple[str, str, str, str, str, float]]:
    """Name, words, unit, style, formula and value of what follows from the inputs."""
    need = study.need
    rate, years = cells["discount_rate"], cells["horizon_years"]
    several = len(need.formats) > 1
    litres = [fmt.container.volume_ml / ML_PER_LITRE for fmt in need.formats]
    return [
        ("annuity_factor", "Present value of 1 a year over the horizon (P/A)", "years", "four",
         f"IF({rate}=0,{years},(1-(1+{rate})^-{years})/{rate})", study.terms.annuity),
        ("annual_cans", "Cans of all formats", "cans/year", "whole",
         "+".join(map(str, cans)), sum(ref.value for ref in cans)),
        ("annual_litres", "Product filled", "litres/year", "whole",
         "+".join(f"{ref}*{litre!r}" for ref, litre in zip(cans, litres, strict=True)),
         sum(ref.value * litre for ref, litre in zip(cans, litres, strict=True))),
        ("available_hours", "Hours there are", "h/year", "one",
         f"{cells['hours_per_week']}*{cells['weeks_per_year']}", need.available_hours),
        ("changeovers_per_year", "Format changes", "changes/year", "one",
         f"{cells['changeovers_per_week']}*{cells['weeks_per_year']}" if several else "0",
         need.changeovers_per_year),
    ]  # fmt: skip


def write_amounts(book: Book, study: Study, lines: Sequence[Line]) -> Amounts:
    """Every amount of the classes that the layouts have, once each."""
    sheet = book.sheet("Prices", (28, 40, 36, 20, 14, 14, 14, 10, 50))
    row = sheet.heading(
        f"Prices ({study.need.currency}): amounts that may be changed",
        "Before freight, installation, training and contingency. Each amount serves every layout "
        "that has the class.",
        "Prices of the catalogue are invented until an overlay replaces them; the last column says "
        "where each comes from.",
    )
    sheet.head(
        row, "Class", "Name", "For what", "Unit", "Low (input)", "Typical (input)",
        "High (input)", "Kind", "Where it comes from", repeat=True,
    )  # fmt: skip
    row += 1
    used = {(piece.class_id, piece.field) for line in lines for piece in line.pieces}
    used |= {(runner.equipment.id, CONSUMABLES) for line in lines for runner in line.runners}
    cells: dict[tuple[str, str], tuple[Ref, Ref, Ref]] = {}
    for equipment in study.catalog.classes.values():
        for field in fields_of(study.catalog, equipment):
            if field.key not in used:
                continue
            for column, text in enumerate((field.class_id, field.name, field.what, field.unit)):
                sheet.text(row, column, text, "wrap")
            cells[field.key] = tuple(  # type: ignore[assignment]
                NOWHERE if amount is None else sheet.given(row, column, float(amount), "amount")
                for column, amount in enumerate(_amounts(field), 4)
            )
            sheet.text(row, 7, "input")
            sheet.text(row, 8, field.basis, "wrap")
            row += 1
    return Amounts(cells)


def _amounts(field: PriceField) -> tuple[float | None, float, float | None]:
    return field.low, field.typical, field.high
