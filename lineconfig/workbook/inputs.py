"""The sheets of figures that a client may change: terms and volumes, and the amounts of classes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from lineconfig.prices.fields import CONSUMABLES, PriceField, fields_of
from lineconfig.report.words import Words
from lineconfig.session import Study
from lineconfig.workbook.cells import NOWHERE, Book, Ref
from lineconfig.workbook.lines import Line

ML_PER_LITRE = 1000.0


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
    sheet, words = book.sheet("inputs", (44, 16, 22, 12, 30, 62)), book.words
    row = sheet.heading(words("terms.title"), words("terms.lead"), words("terms.lead_fixed"))
    names = ("figure", "value", "unit", "kind", "name", "where")
    sheet.head(row, *(words(f"terms.{name}") for name in names), repeat=True)
    row += 1
    cells: dict[str, Ref] = {}

    def line(name: str, said: str, unit: str, kind: str, basis: str) -> None:
        sheet.text(row, 0, said)
        sheet.text(row, 2, unit)
        sheet.text(row, 3, words(f"terms.{kind}"))
        sheet.text(row, 4, name)
        sheet.text(row, 5, basis, "wrap")

    for title, entries in _entries(study, words):
        sheet.section(row, words(f"terms.{title}"))
        row += 1
        for name, value, unit, style, basis in entries:
            line(name, words(f"term.{name}"), unit, "input", basis)
            cells[name] = sheet.given(row, 1, value, style, name)
            row += 1
        row += 1
    cans = []
    sheet.section(row, words("terms.volume"))
    row += 1
    for place, fmt in enumerate(study.need.formats):
        name = f"annual_cans_{place + 1}"
        stated = study.need.brief.formats[place].annual_cans is not None
        line(
            name, f"{fmt.container.name} ({fmt.id})", words("unit.cans_a_year"), "input",
            words("terms.brief" if stated else "terms.from_speed"),
        )  # fmt: skip
        cans.append(sheet.given(row, 1, fmt.annual_cans, "whole", name))
        row += 1
    row += 1
    sheet.section(row, words("terms.worked_out_section"))
    row += 1
    for name, unit, style, formula, value in _worked_out(study, cells, cans):
        said = words(f"term.{name}")
        line(name, said, words(f"unit.{unit}"), "worked_out", words("terms.arithmetic"))
        cells[name] = book.name(name, sheet.formula(row, 1, formula, value, style))
        row += 1
    return Inputs(cells, tuple(cans))


Entry = tuple[str, float, str, str, str]
"""Name, value, unit, style, basis."""


def _entries(study: Study, words: Words) -> Sequence[tuple[str, list[Entry]]]:
    need, economics = study.need, study.catalog.economics
    brief, currency = need.brief, need.currency
    basis = study.catalog.economics_basis

    def stated(value: Any, default: str) -> str:
        if value is not None:
            return words("terms.brief")
        return words("terms.default", basis=basis(f"defaults.{default}"))

    def per(unit: str) -> str:
        return words("unit.money_for", currency=currency, unit=words(f"unit.{unit}"))

    operation, shares, tariffs = brief.operation, economics.first_cost, economics.tariffs
    terms: list[Entry] = [
        ("wage_per_h", need.wage_per_h, per("hour"), "cents",
         stated(brief.staff.wage_per_h, "wage")),
        ("horizon_years", float(need.horizon_years), words("unit.years"), "two",
         stated(brief.horizon_years, "horizon")),
        ("discount_rate", float(need.discount_rate), words("unit.a_year"), "share",
         stated(brief.discount_rate, "discount_rate")),
        ("hours_per_week", need.hours_per_week, words("unit.hours_a_week"), "two",
         stated(operation.hours_per_week, "hours_per_week")),
        ("weeks_per_year", need.weeks_per_year, words("unit.weeks_a_year"), "two",
         stated(operation.weeks_per_year, "weeks_per_year")),
        ("changeovers_per_week", need.changeovers_per_week, words("unit.changes_a_week"),
         "two", stated(operation.changeovers_per_week, "changeovers_per_week")),
    ]  # fmt: skip
    first: list[Entry] = [
        (f"{name}_share", float(getattr(shares, name)), words(f"unit.{of}"), "share",
         basis(f"first_cost.{name}"))
        for name, of in (
            ("freight", "of_equipment"), ("installation", "of_equipment"),
            ("training", "of_equipment"), ("contingency", "of_all"),
        )
    ]  # fmt: skip
    each: list[Entry] = [
        (name, float(getattr(tariffs, name)), per(unit), "four", basis(f"tariffs.{name}"))
        for name, unit in (
            ("electricity_per_kwh", "kwh"),
            ("water_per_m3", "m3"),
            ("empties_per_1000", "thousand"),
            ("half_stack_premium_per_1000", "thousand"),
            ("loose_premium_per_1000", "thousand"),
            ("product_per_litre", "litre"),
        )
    ]
    habits: list[Entry] = [
        ("air_kw_per_m3_min", tariffs.specific_air_power_kw_per_m3_min,
         words("unit.air_power"), "two", basis("tariffs.specific_air_power_kw_per_m3_min")),
        ("motor_load", float(economics.habits.motor_load), words("unit.of_power"), "share",
         basis("habits.motor_load")),
        ("startup_share", float(economics.habits.startup_and_cleaning), words("unit.of_running"),
         "share", basis("habits.startup_and_cleaning")),
    ]  # fmt: skip
    return [("terms", terms), ("first_cost", first), ("tariffs", each), ("habits", habits)]


def _worked_out(
    study: Study, cells: Mapping[str, Ref], cans: Sequence[Ref]
) -> list[tuple[str, str, str, str, float]]:
    """Name, unit, style, formula and value of what follows from the inputs."""
    need = study.need
    rate, years = cells["discount_rate"], cells["horizon_years"]
    several = len(need.formats) > 1
    litres = [fmt.container.volume_ml / ML_PER_LITRE for fmt in need.formats]
    return [
        ("annuity_factor", "years", "four",
         f"IF({rate}=0,{years},(1-(1+{rate})^-{years})/{rate})", study.terms.annuity),
        ("annual_cans", "cans_a_year", "whole",
         "+".join(map(str, cans)), sum(ref.value for ref in cans)),
        ("annual_litres", "litres_a_year", "whole",
         "+".join(f"{ref}*{litre!r}" for ref, litre in zip(cans, litres, strict=True)),
         sum(ref.value * litre for ref, litre in zip(cans, litres, strict=True))),
        ("available_hours", "hours_a_year", "one",
         f"{cells['hours_per_week']}*{cells['weeks_per_year']}", need.available_hours),
        ("changeovers_per_year", "changes_a_year", "one",
         f"{cells['changeovers_per_week']}*{cells['weeks_per_year']}" if several else "0",
         need.changeovers_per_year),
    ]  # fmt: skip


def write_amounts(book: Book, study: Study, lines: Sequence[Line]) -> Amounts:
    """Every amount of the classes that the layouts have, once each."""
    sheet, words = book.sheet("prices", (28, 40, 36, 20, 14, 14, 14, 10, 50)), book.words
    row = sheet.heading(
        words("amounts.title", currency=study.need.currency),
        words("amounts.lead"),
        words("amounts.lead_basis"),
    )
    names = ("class", "name", "what", "unit", "low", "typical", "high")
    sheet.head(
        row, *(words(f"amounts.{name}") for name in names), words("terms.kind"),
        words("terms.where"), repeat=True,
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
            sheet.text(row, 7, words("terms.input"))
            sheet.text(row, 8, field.basis, "wrap")
            row += 1
    return Amounts(cells)


def _amounts(field: PriceField) -> tuple[float | None, float, float | None]:
    return field.low, field.typical, field.high
