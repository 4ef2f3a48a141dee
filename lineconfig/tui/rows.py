"""Lines of the ranking and of a comparison: figures in, text out, nothing worked out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from textwrap import wrap

from lineconfig.brief import View
from lineconfig.changes import Change, arrangement_name
from lineconfig.explain import NoLayout, Opening, PairOpening
from lineconfig.layout import Layout
from lineconfig.present.text import short_amount
from lineconfig.rank import LETTERS
from lineconfig.session import Study
from lineconfig.tui.glyphs import Glyphs

WIDE = 64
"""Columns from which name and figures stand in one line."""


@dataclass(frozen=True, slots=True)
class Line:
    """One layout of the ranking."""

    label: str
    """Its letter among the kinds, or its rank among all."""
    layout: Layout
    name: str
    reason: str
    move: str = "same"
    marked: bool = False
    stale: bool = False
    """Whether it is from the answer before, and its figures may not hold any more."""


def lines_of_kinds(study: Study, arrangements: Sequence[tuple[Layout, str]]) -> list[Line]:
    """The best of each kind, lettered."""
    return [
        Line(LETTERS[place] if place < len(LETTERS) else "-", layout,
             arrangement_name(study, layout), reason)
        for place, (layout, reason) in enumerate(arrangements)
    ]  # fmt: skip


def best_of_kinds(layouts: Sequence[Layout]) -> list[Layout]:
    """The first of each kind in a list that is in order: so far they are the best kinds of all."""
    first: dict[str, Layout] = {}
    for layout in layouts:
        first.setdefault(layout.family, layout)
    return list(first.values())


def numbered(lines: Sequence[Line]) -> list[Line]:
    """The same lines under their ranks instead of letters."""
    return [replace(line, label=str(place)) for place, line in enumerate(lines, 1)]


def clipped(text: str, width: int) -> str:
    """A text in exactly so many columns."""
    return text.ljust(width) if len(text) <= width else text[: max(0, width - 1)] + "…"


def _figures(study: Study, layout: Layout) -> str:
    main = study.need.formats.index(study.need.main_format)
    return (
        f"{short_amount(layout.money.first_cost.typical):>7}{layout.crew.people:>7}"
        f"{layout.speed.effective[main]:>6.0f}{layout.floor.area_m2:>6.0f}"
        f"{short_amount(layout.money.life_cycle_cost.typical):>9}"
    )


FIGURES_WIDTH = 35


def column_heads(study: Study | None, width: int) -> str:
    """The line above the ranking."""
    years = f"{study.need.horizon_years:g} years" if study else "life"
    figures = f"{'to buy':>7}{'people':>7}{'cpm':>6}{'m2':>6}{years:>9}"
    name = "unloading + lowering" if width >= WIDE else ""
    return f"{'':6}" + clipped(name, max(0, width - 6 - FIGURES_WIDTH)) + figures


def move_sign(move: str, glyphs: Glyphs) -> str:
    """One sign for what became of a layout."""
    return {"up": glyphs.up, "down": glyphs.down, "new": "+", "gone": "x"}.get(move, " ")


def line_text(study: Study, line: Line, width: int, glyphs: Glyphs, tall: bool = False) -> str:
    """One layout in two lines; in three where there is height for it."""
    mark = "*" if line.marked else " "
    lead = f"{mark}{line.label:>2} {move_sign(line.move, glyphs)} "
    figures = f"{'...':>{FIGURES_WIDTH}}" if line.stale else _figures(study, line.layout)
    if width >= WIDE:
        unload, _, lower = line.name.partition(" + ")
        room = width - len(lead) - FIGURES_WIDTH
        below = f"+ {lower}; {line.reason}" if line.reason and not line.stale else f"+ {lower}"
        told = [clipped(below, max(0, width - 6)).rstrip()]
        if tall:
            told = wrap(below, max(20, width - 6))[:2]
        return glyphs.said(
            "\n".join((f"{lead}{clipped(unload, room)}{figures}", *(f"{'':6}{t}" for t in told)))
        )
    gap = " " * max(0, width - len(lead) - FIGURES_WIDTH)
    name = clipped(line.name, max(0, width - len(lead))).rstrip()
    return glyphs.said(f"{lead}{name}\n{'':6}{gap}{figures}")


ORDER_OF_MOVES = ("gone", "new", "up", "down")
"""What is told first."""


def change_lines(changes: Sequence[Change], glyphs: Glyphs, most: int = 6) -> list[str]:
    """What a change did to the ranking, one sentence a line."""
    moved = sorted(
        (change for change in changes if change.move != "same"),
        key=lambda change: ORDER_OF_MOVES.index(change.move),
    )
    lines = []
    for change in moved[:most]:
        sign = move_sign(change.move, glyphs)
        where = {
            "up": f"up from {change.before} to {change.after}",
            "down": f"down from {change.before} to {change.after}",
            "new": f"new at {change.after}",
            "gone": f"gone (was {change.before})",
        }[change.move]
        why = f": {change.reason}" if change.reason else ""
        lines.append(glyphs.said(f"{sign} {change.name} {where}{why}"))
    if len(moved) > most:
        lines.append(f"  and {len(moved) - most} more moved")
    if not moved and changes:
        first = changes[0]
        lines.append(glyphs.said(f"  The order stays. First: {first.name}, {first.reason}"))
    return lines


def heading_text(study: Study, kinds: int, view: View) -> str:
    """What stands above the ranking."""
    from lineconfig.present.text import VIEW_WORDS

    what = "1 kind fits" if kinds == 1 else f"{kinds} kinds fit"
    return f"{what}, {VIEW_WORDS[view]}"


def openings_of(nothing: NoLayout) -> list[Opening | PairOpening]:
    """What would open a line: single changes, or pairs where none does."""
    return [*nothing.openings, *nothing.pairs]


def conflict_lines(nothing: NoLayout) -> list[str]:
    """Why nothing fits."""
    together = (
        "These cannot be met together:" if len(nothing.conflict) > 1 else "This cannot be met:"
    )
    return [together, *(f"- {clash.text}" for clash in nothing.conflict)]


def cost_chart(
    costs: Sequence[tuple[float, float] | None], labels: Sequence[str], width: int, height: int,
    glyphs: Glyphs,
) -> list[str]:  # fmt: skip
    """Columns side by side: what a line costs to buy and, above that, to run over its life.

    Parameters
    ----------
    costs : to buy, and over its life with that [currency]; None for a column that stays empty
    labels : what stands below each column
    width, height : room for the chart [columns, lines]
    glyphs : the signs to draw with
    """
    column = max(4, min(14, width // max(1, len(costs))))
    bar, rows = max(2, column - 4), max(3, height - 3)
    most = max((cost[1] for cost in costs if cost is not None), default=0.0)
    grid = [[" " * column for _ in costs] for _ in range(rows + 1)]
    for place, cost in enumerate(costs):
        if cost is None or most <= 0:
            continue
        whole = max(1, round(cost[1] / most * rows))
        bought = min(whole, max(1, round(cost[0] / most * rows)))
        for level in range(whole):
            sign = glyphs.full if level < bought else glyphs.dot
            grid[rows - level][place] = (sign * bar).ljust(column)
        grid[rows - whole][place] = clipped(short_amount(cost[1]), column - 1).ljust(column)
    lines = ["".join(cells).rstrip() for cells in grid]
    below = "".join(clipped(label, column - 1).ljust(column) for label in labels).rstrip()
    return [f"{glyphs.full * 2} to buy  {glyphs.dot * 2} to run over its life", *lines, below]
