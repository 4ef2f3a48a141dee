"""A comparison as rows: a column for each layout; a sign marks the best of a row."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from lineconfig.compare import Crossing, compare
from lineconfig.rank import Ranked
from lineconfig.session import Study
from lineconfig.tui.glyphs import Glyphs
from lineconfig.tui.rows import Line, clipped
from lineconfig.tui.sheets import BLANK, Row, head

LABEL_WIDTH = 27
WIDEST_COLUMN = 56
"""Figures further apart than this are hard to read across."""


def comparison_rows(
    study: Study, lines: Sequence[Line], ranked: Sequence[Ranked | None], width: int,
    glyphs: Glyphs,
) -> list[Row]:  # fmt: skip
    """Names, figures, the classes in which the layouts differ, and what changes their order."""
    found = compare(study, [line.layout for line in lines])
    column = min(WIDEST_COLUMN, max(12, (width - LABEL_WIDTH) // len(lines)))
    rows = _cells("", [f"{line.label}  {line.name}" for line in lines], column, heading=True)
    rows.append(BLANK)
    for figure in found.figures:
        label = f"{figure.name} ({figure.unit})" if figure.unit else figure.name
        cells = [
            f"{value:,.{figure.decimals}f}" + (f" {glyphs.left}" if place in figure.best else "")
            for place, value in enumerate(figure.values)
        ]
        rows += _cells(label, cells, column)
    shares = [item.stays_first if item else None for item in ranked]
    if any(share is not None for share in shares):
        rows += _cells(
            "first in price draws",
            ["-" if share is None else f"{share:.0%}" for share in shares],
            column,
        )
    rows += [BLANK, head(f"Where they differ ({glyphs.left} above: best of its row)")]
    classes = study.catalog.classes
    for function, ids in found.classes:
        if len(set(ids)) > 1:
            names = [classes[class_id].name if class_id else "-" for class_id in ids]
            rows += _cells(function, names, column)
    rows += [BLANK, head("What changes their order")]
    rows += [Row(_told(study, lines, crossing)) for crossing in found.crossings]
    if not found.crossings:
        rows.append(Row("No other wage and no other number of years, within what is looked at."))
    return rows


def _told(study: Study, lines: Sequence[Line], crossing: Crossing) -> str:
    below, above = lines[crossing.below].label, lines[crossing.above].label
    if crossing.what == "wage":
        return (
            f"Wage: below {crossing.value:,.2f} {study.need.currency}/h {below} costs less over "
            f"its life, above it {above} (now {study.need.wage_per_h:,.2f})."
        )
    return (
        f"Years: over fewer than {crossing.value:.1f} {below} costs less, over more {above} "
        f"(now {study.need.horizon_years:g})."
    )


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
