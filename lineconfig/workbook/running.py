"""Running costs: what each station uses and loses in a year, heading by heading."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lineconfig.containers import SupplyForm
from lineconfig.prices.fields import CONSUMABLES
from lineconfig.report.words import raised
from lineconfig.session import Study
from lineconfig.workbook.bill import Billed
from lineconfig.workbook.cells import Book, Ref, Sheet, total_of
from lineconfig.workbook.hours import Hours
from lineconfig.workbook.inputs import Amounts, Inputs
from lineconfig.workbook.lines import Line, Runner

HEADINGS = (
    "electricity", "upkeep", "consumables", "water", "can losses", "product losses",
    "empties premium",
)  # fmt: skip
"""Yearly costs by heading, as the engine calls them; labour belongs to no station."""
FIGURES = (
    "station", "power", "air", "draw", "upkeep", "consumables", "water", "header", "cans_lost",
    "product_lost",
)  # fmt: skip
"""Columns before the amounts."""
FIRST_AMOUNT = len(FIGURES)
"""Column of the first of them."""
LITRES_PER_M3 = 1000.0
PREMIUMS: dict[SupplyForm, str] = {
    "half-stack": "half_stack_premium_per_1000",
    "loose": "loose_premium_per_1000",
}


@dataclass(frozen=True, slots=True)
class Sources:
    """Cells that the running costs of one layout come from."""

    inputs: Inputs
    amounts: Amounts
    billed: Billed
    hours: Hours


def write_running(
    book: Book, study: Study, lines: Sequence[Line], sources: Sequence[Sources]
) -> list[dict[str, Ref]]:
    """The sheet of running costs; gives the yearly total of each heading by layout."""
    words = book.words
    sheet = book.sheet("running", (40, 9, 9, 10, 10, 11, 11, 11, 9, 10, *(13 for _ in HEADINGS)))
    row = sheet.heading(
        words("running.title", currency=study.need.currency),
        words("running.lead"),
        words("running.lead_left_out"),
    )
    sheet.head(
        row,
        *(words(f"running.{name}") for name in FIGURES),
        *(raised(words.of("annual", name)) for name in HEADINGS),
        repeat=True,
    )
    row += 1
    totals = []
    for line, source in zip(lines, sources, strict=True):
        sheet.section(row, f"{line.label}: {line.layout.id}")
        columns: dict[str, list[Ref]] = {heading: [] for heading in HEADINGS}
        first = row + 1
        for runner in line.runners:
            row += 1
            for heading, ref in _station(sheet, row, study, line, runner, source).items():
                columns[heading].append(ref)
        last, row = row, row + 1
        sheet.text(row, 0, words("money.together"), strong=True)
        totals.append(
            {
                heading: sheet.formula(
                    row, column, f"SUM({sheet.span(first, last, column)})",
                    total_of(columns[heading]), strong=True,
                )
                for column, heading in enumerate(HEADINGS, FIRST_AMOUNT)
            }
        )  # fmt: skip
        row += 2
    return totals


def _station(
    sheet: Sheet, row: int, study: Study, line: Line, runner: Runner, source: Sources
) -> dict[str, Ref]:
    """One station's figures and amounts."""
    equipment, inputs = runner.equipment, source.inputs
    sheet.text(row, 0, equipment.name, "wrap")
    power = sheet.number(row, 1, runner.power_kw, "two")
    air = sheet.number(row, 2, runner.air_l_min, "one")
    load, compressor = inputs["motor_load"], inputs["air_kw_per_m3_min"]
    drawn = sheet.formula(
        row, 3, f"({power}+{air}/1000*{compressor})*{load}",
        (power.value + air.value / LITRES_PER_M3 * compressor.value) * load.value, "two",
    )  # fmt: skip
    upkeep = sheet.number(row, 4, float(equipment.upkeep or 0.0), "share")
    consumables = sheet.link(row, 5, source.amounts.of(equipment.id, CONSUMABLES)[1], "four")
    water = sheet.number(row, 6, equipment.water_l_per_1000, "one")
    header = sheet.number(row, 7, equipment.header_flow_l_min, "two")
    can_loss = sheet.number(row, 8, float(equipment.can_loss or 0.0), "share")
    product_loss = sheet.number(row, 9, float(equipment.product_loss or 0.0), "share")

    hours, cans = source.hours, inputs["annual_cans"]
    run_hours = hours.running.value + hours.startup.value
    machines = source.billed.machines.get(-1 if runner.station is None else runner.station, ())
    owned = "+".join(f"{count}*{each}" for count, each in machines) or "0"
    owned_value = sum(count.value * each.value for count, each in machines)
    kwh, m3 = inputs["electricity_per_kwh"], inputs["water_per_m3"]
    empties, product = inputs["empties_per_1000"], inputs["product_per_litre"]
    made: dict[str, tuple[str, float]] = {
        "electricity": (
            f"({hours.running}+{hours.startup})*{drawn}*{kwh}", run_hours * drawn.value * kwh.value,
        ),
        "upkeep": (f"{upkeep}*({owned})", upkeep.value * owned_value),
        "consumables": (f"{consumables}*{cans}/1000", consumables.value * cans.value / 1000),
        "water": (
            f"({water}*{cans}/1000+{header}*{hours.running}*60)/1000*{m3}",
            (water.value * cans.value / 1000 + header.value * hours.running.value * 60)
            / LITRES_PER_M3 * m3.value,
        ),
        "can losses": (
            f"{can_loss}*{cans}*{empties}/1000", can_loss.value * cans.value * empties.value / 1000,
        ),
        "product losses": (
            f"{product_loss}*{inputs['annual_litres']}*{product}",
            product_loss.value * inputs["annual_litres"].value * product.value,
        ),
        "empties premium": _premium(line, inputs) if equipment.function == "supply" else ("0", 0.0),
    }  # fmt: skip
    return {
        heading: sheet.formula(row, column, *made[heading])
        for column, heading in enumerate(HEADINGS, FIRST_AMOUNT)
    }


def _premium(line: Line, inputs: Inputs) -> tuple[str, float]:
    """What empties cost more than by the full pallet."""
    terms = [
        (cans, inputs[PREMIUMS[form]])
        for cans, form in zip(inputs.cans, line.forms, strict=True)
        if form in PREMIUMS
    ]
    formula = "+".join(f"{cans}*{premium}/1000" for cans, premium in terms) or "0"
    return formula, sum(cans.value * premium.value / 1000 for cans, premium in terms)
