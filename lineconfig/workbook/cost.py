"""The cost model: first cost, yearly cost and cost over the life of each layout, side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from lineconfig.report.words import Words, raised
from lineconfig.session import Study
from lineconfig.workbook.bill import Billed
from lineconfig.workbook.cells import Book, Ref, Sheet, quoted
from lineconfig.workbook.hours import Hours
from lineconfig.workbook.inputs import Inputs
from lineconfig.workbook.lines import Line
from lineconfig.workbook.running import HEADINGS

ON_A_PAGE = 4
"""Layouts side by side on one printed page."""
Three = tuple[Ref, Ref, Ref]
SHARES = ("freight", "installation", "training")


@dataclass(frozen=True, slots=True)
class Costed:
    """Cells of one layout's costs."""

    first_cost: Three
    yearly: Ref
    life_cycle: Three
    per_1000: Ref
    payback: Ref
    payback_words: str | float
    worth: Ref


def write_costs(
    book: Book,
    study: Study,
    lines: Sequence[Line],
    inputs: Inputs,
    billed: Sequence[Billed],
    hours: Sequence[Hours],
    running: Sequence[dict[str, Ref]],
) -> list[Costed]:
    """The sheet of the cost model; gives its results by layout."""
    words = book.words
    sheet = book.sheet("cost", (40, *(15 for _ in range(3 * len(lines)))))
    sheet.heading(
        words("cost.title", currency=study.need.currency),
        words("cost.lead"),
        words("cost.lead_against"),
    )
    sheet.sheet.freeze_panes(6, 1)
    sheet.sheet.repeat_rows(4, 5)
    sheet.sheet.repeat_columns(0)
    sheet.sheet.fit_to_pages(ceil(len(lines) / ON_A_PAGE), 0)
    rows = _Rows(sheet)
    cheapest = _cheapest(study, lines)
    models = [
        _Model(rows, place, study, line, inputs)
        for place, line in enumerate(lines)
    ]  # fmt: skip
    for model, bill, hour, costs in zip(models, billed, hours, running, strict=True):
        model.until_life(bill, hour, costs)
    for model in models:
        model.beside(models[cheapest])
    return [model.costed() for model in models]


def _cheapest(study: Study, lines: Sequence[Line]) -> int:
    """Place of the layout that the others are measured against."""
    cheapest = study.cheapest
    assert cheapest is not None
    return next(i for i, line in enumerate(lines) if line.layout.id == cheapest.id)


def _row_words(words: Words, name: str) -> str:
    if name in HEADINGS:
        return raised(words.of("annual", name))
    if name in (*SHARES, "contingency"):
        return raised(words.of("first", name))
    return words(f"cost.{name}")


class _Rows:
    """Rows of the sheet by what they hold: the same for every layout."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.at: dict[str, int] = {}
        row = 6
        for title, names in _SECTIONS:
            sheet.section(row, sheet.words(f"cost.{title}"))
            row += 1
            for name in names:
                sheet.text(row, 0, _row_words(sheet.words, name), strong=name in _STRONG)
                self.at[name] = row
                row += 1
            row += 1


_SECTIONS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("first_cost", ("equipment", *SHARES, "contingency", "first")),
    ("hours_and_people", ("hours", "people")),
    ("yearly_cost", ("labour", *HEADINGS, "yearly")),
    ("over_life", ("present", "life", "per_1000")),
    ("against", ("extra", "saving", "payback", "worth")),
)
"""Headings of the sheet and the rows below each."""
_STRONG = frozenset({"first", "yearly", "life"})


class _Model:
    """The columns of one layout."""

    def __init__(self, rows: _Rows, place: int, study: Study, line: Line, inputs: Inputs) -> None:
        self.rows, self.sheet, self.inputs, self.line = rows, rows.sheet, inputs, line
        self.column = 1 + 3 * place
        for offset, (above, name) in enumerate(
            ((line.label, "low"), (line.layout.id, "typical"), ("", "high"))
        ):
            self._head(4, offset, above)
            self._head(5, offset, self.sheet.words(f"bill.{name}"))

    def _head(self, row: int, offset: int, text: str) -> None:
        self.sheet.head_cell(row, self.column + offset, text)

    def put(
        self, name: str, formula: str, value: float | str, offset: int = 1, style: str = "cents"
    ) -> Ref:
        """A figure of a row: typical where the range is not meant."""
        return self.sheet.formula(
            self.rows.at[name], self.column + offset, formula, value, style,
            strong=name in _STRONG,
        )  # fmt: skip

    def until_life(self, bill: Billed, hours: Hours, running: dict[str, Ref]) -> None:
        """Everything that one layout costs by itself."""
        inputs = self.inputs
        firsts = [self._first(offset, bill.totals[offset]) for offset in range(3)]
        self.first: Three = (firsts[0], firsts[1], firsts[2])
        spent = self.put("hours", hours.together.at, hours.together.value, style="two")
        crew = float(self.line.layout.crew.people)
        people = self.sheet.number(self.rows.at["people"], self.column + 1, crew, "whole")
        wage = inputs["wage_per_h"]
        labour = self.put(
            "labour", f"{spent}*{people}*{wage}", spent.value * people.value * wage.value
        )
        costs = [
            labour,
            *(self.put(name, running[name].at, running[name].value) for name in HEADINGS),
        ]
        total = sum(ref.value for ref in costs)
        span = self.sheet.span(self.rows.at["labour"], self.rows.at[HEADINGS[-1]], self.column + 1)
        self.yearly = self.put("yearly", f"SUM({span})", total)
        annuity = inputs["annuity_factor"]
        present = self.put("present", f"{self.yearly}*{annuity}", total * annuity.value)
        lives = [
            self.put("life", f"{first}+{present}", first.value + present.value, offset)
            for offset, first in enumerate(self.first)
        ]
        self.life: Three = (lives[0], lives[1], lives[2])
        cans, first = inputs["annual_cans"], self.first[1]
        even = first.value / annuity.value if annuity.value else 0.0
        self.per_1000 = self.put(
            "per_1000",
            f"IF({cans}=0,0,1000*(IF({annuity}=0,0,{first}/{annuity})+{self.yearly})/{cans})",
            1000 * (even + total) / cans.value if cans.value else 0.0, style="four",
        )  # fmt: skip

    def _first(self, offset: int, equipment: Ref) -> Ref:
        bought = self.put("equipment", equipment.at, equipment.value, offset)
        added = [bought]
        for name in SHARES:
            share = self.inputs[f"{name}_share"]
            added.append(
                self.put(name, f"{bought}*{share}", bought.value * share.value, offset)
            )  # fmt: skip
        spare = self.inputs["contingency_share"]
        together = sum(ref.value for ref in added)
        added.append(
            self.put(
                "contingency", f"({'+'.join(map(str, added))})*{spare}", together * spare.value,
                offset,
            )
        )  # fmt: skip
        span = self.sheet.span(
            self.rows.at["equipment"], self.rows.at["contingency"], self.column + offset
        )
        return self.put("first", f"SUM({span})", sum(ref.value for ref in added), offset)

    def beside(self, cheapest: _Model) -> None:
        """What it means beside the cheapest to buy."""
        mine, other = self.first[1], cheapest.first[1]
        extra = self.put("extra", f"{mine}-{other}", mine.value - other.value)
        saving = self.put(
            "saving", f"{cheapest.yearly}-{self.yearly}", cheapest.yearly.value - self.yearly.value
        )
        never = self.sheet.words("cost.never")
        self.paid: float | str = never
        # A difference below a hundredth of a cent is a rounding of the sums.
        if round(extra.value, 4) <= 0:
            self.paid = 0.0
        elif saving.value > 0:
            self.paid = extra.value / saving.value
        self.payback = self.put(
            "payback",
            f"IF(ROUND({extra},4)<=0,0,IF({saving}>0,{extra}/{saving},{quoted(never)}))",
            self.paid, style="two",
        )  # fmt: skip
        annuity = self.inputs["annuity_factor"]
        self.worth = self.put(
            "worth", f"{saving}*{annuity}-{extra}", saving.value * annuity.value - extra.value
        )

    def costed(self) -> Costed:
        """The cells of the results."""
        return Costed(
            self.first, self.yearly, self.life, self.per_1000, self.payback, self.paid, self.worth
        )
