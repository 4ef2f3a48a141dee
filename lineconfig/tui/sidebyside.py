"""A comparison as rows: a column for each layout; a sign marks the best of a row."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence

from lineconfig.catalog import FUNCTIONS
from lineconfig.layout import Layout
from lineconfig.present.text import short_amount
from lineconfig.rank import Ranked
from lineconfig.session import Study
from lineconfig.tui.glyphs import Glyphs
from lineconfig.tui.rows import Line, clipped
from lineconfig.tui.sheets import BLANK, Row, head

LABEL_WIDTH = 20

Figure = tuple[str, Callable[[Layout], float], Callable[[float], str], int]
"""Label, figure, how it is written, and -1 where less is better, 1 where more is, 0 for neither."""


def figures_of(study: Study) -> list[Figure]:
    """The figures that are compared."""
    main = study.need.formats.index(study.need.main_format)
    years = f"{study.need.horizon_years:g} years"
    return [
        ("first cost", lambda x: x.money.first_cost.typical, short_amount, -1),
        ("every year", lambda x: x.money.annual_total, short_amount, -1),
        (f"cost of {years}", lambda x: x.money.life_cycle_cost.typical, short_amount, -1),
        ("for 1000 cans", lambda x: x.money.cost_per_1000_cans, "{:,.2f}".format, -1),
        ("people", lambda x: float(x.crew.people), "{:.0f}".format, -1),
        ("effective cpm", lambda x: x.speed.effective[main], "{:.0f}".format, 1),
        ("hours a year", lambda x: x.money.hours, "{:,.0f}".format, -1),
        ("floor, m2", lambda x: x.floor.area_m2, "{:,.0f}".format, -1),
        ("length, m", lambda x: x.floor.length_mm / 1000, "{:,.1f}".format, -1),
        ("frame top, mm", lambda x: x.heights.top_mm, "{:,.0f}".format, -1),
        ("changeover, min", lambda x: x.changeover_min, "{:.0f}".format, -1),
        ("power, kW", lambda x: x.utilities.power_kw, "{:.1f}".format, -1),
        ("water, l/min", lambda x: x.utilities.water_l_min, "{:.1f}".format, -1),
    ]


def comparison_rows(
    study: Study, lines: Sequence[Line], ranked: Sequence[Ranked | None], width: int,
    glyphs: Glyphs,
) -> list[Row]:  # fmt: skip
    """Names, figures, and the classes in which the layouts differ."""
    layouts = [line.layout for line in lines]
    column = max(12, (width - LABEL_WIDTH) // len(lines))
    rows = _cells("", [f"{line.label}  {line.name}" for line in lines], column, heading=True)
    rows.append(BLANK)
    for label, figure, write, better in figures_of(study):
        values = [figure(layout) for layout in layouts]
        best = (min if better < 0 else max)(values)
        # What is written the same is the same to the reader.
        told = len({write(value) for value in values}) > 1
        cells = [
            write(value) + (f" {glyphs.left}" if told and write(value) == write(best) else "")
            for value in values
        ]
        rows += _cells(label, cells, column)
    shares = [item.stays_first if item else None for item in ranked]
    if any(share is not None for share in shares):
        rows += _cells(
            "first in draws", ["-" if share is None else f"{share:.0%}" for share in shares], column
        )
    rows += [BLANK, head(f"Where they differ ({glyphs.left} above: best of its row)")]
    names = [_by_function(study, layout) for layout in layouts]
    for function in FUNCTIONS:
        chosen = [by.get(function, "-") for by in names]
        if len(set(chosen)) > 1:
            rows += _cells(function, chosen, column)
    return rows


def _by_function(study: Study, layout: Layout) -> dict[str, str]:
    classes = (study.catalog.classes[class_id] for class_id in layout.classes)
    return {equipment.function: equipment.name for equipment in classes}


def _cells(label: str, cells: Sequence[str], column: int, *, heading: bool = False) -> list[Row]:
    """One row of cells, each wrapped in its column."""
    wrapped = [textwrap.wrap(cell, column - 2) or [""] for cell in cells]
    height = max(len(lines) for lines in wrapped)
    text = "\n".join(
        (
            f"{clipped(label if place == 0 else '', LABEL_WIDTH)}"
            + "".join(
                clipped(lines[place] if place < len(lines) else "", column) for lines in wrapped
            )
        ).rstrip()
        for place in range(height)
    )
    return [Row(text, heading=heading)]
