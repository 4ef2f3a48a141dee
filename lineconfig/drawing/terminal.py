"""Plan and elevation in characters, for terminals with Unicode and for those without."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from textwrap import wrap
from typing import TextIO

from lineconfig.assess.reaching import WORK_HEIGHTS
from lineconfig.choose.rules import length_text
from lineconfig.drawing.elevation import Elevation
from lineconfig.drawing.flow import heading_at, point_at
from lineconfig.drawing.plan_figure import PlanFigure
from lineconfig.drawing.shapes import Box, Point
from lineconfig.drawing.source import Drawn, drawn_plan
from lineconfig.drawing.words import plain
from lineconfig.floorplan.plan import Opening
from lineconfig.layout import Layout
from lineconfig.session import Study

CELL_RATIO = 2.0
"""Height of a character cell by its width, as most terminals show it (common practice)."""
MOST_ROWS = 30
GUTTER = 15
"""Columns beside the elevation for its heights."""
LEAST_ROW_MM = 250.0
ELEVATION_ROWS = 14


@dataclass(frozen=True, slots=True)
class Signs:
    """The characters that a drawing is made of."""

    corners: str
    """Upper left, upper right, lower left, lower right."""
    level: str
    upright: str
    wall_corners: str
    wall_level: str
    wall_upright: str
    chain: str
    clearance: str
    walkway: str
    person: str
    pallet: str
    obstacle: str
    stack: str
    inverted: str
    path: str
    down: str
    up: str
    ceiling: str
    floor: str
    arrows: str
    """East, north, west, south."""


UNICODE = Signs(
    corners="┌┐└┘", level="─", upright="│", wall_corners="┏┓┗┛", wall_level="━", wall_upright="┃",
    chain="░", clearance="·", walkway=":", person="☻", pallet="▒", obstacle="▓", stack="▤",
    inverted="∩", path="═", down="╲", up="╱",  # noqa: RUF001
    ceiling="▔", floor="▁", arrows="→↑←↓",
)  # fmt: skip
ASCII = Signs(
    corners="++++", level="-", upright="|", wall_corners="####", wall_level="#", wall_upright="#",
    chain="=", clearance=".", walkway=":", person="&", pallet="X", obstacle="%", stack="H",
    inverted="n", path="=", down="\\", up="/", ceiling="~", floor="_", arrows=">^<v",
)  # fmt: skip


def has_unicode(stream: TextIO | None = None) -> bool:
    """Whether a stream takes the characters of the drawing; standard output where none is given."""
    encoding = getattr(stream or sys.stdout, "encoding", None) or "ascii"
    try:
        UNICODE.__repr__().encode(encoding)
    except (UnicodeError, LookupError):
        return False
    return True


@dataclass
class Canvas:
    """A grid of characters over a box of real millimetres; its first row lies highest."""

    box: Box
    columns: int
    rows: int
    cells: list[list[str]] = field(init=False)

    def __post_init__(self) -> None:
        self.cells = [[" "] * self.columns for _ in range(self.rows)]

    def column(self, x_mm: float) -> int:
        """The column of a place; the last one for its right edge."""
        share = (x_mm - self.box.left) / self.box.width
        return min(self.columns - 1, max(0, int(share * self.columns + 1e-9)))

    def row(self, y_mm: float) -> int:
        """The row of a height; the last one for the lower edge."""
        share = (self.box.high - y_mm) / self.box.height
        return min(self.rows - 1, max(0, int(share * self.rows + 1e-9)))

    def span(self, box: Box) -> tuple[int, int, int, int]:
        """First and last column, first and last row of a box: at least one of each."""
        left, top = self.column(box.left), self.row(box.high)
        right = max(left, self.column(box.right - self.box.width / self.columns / 2))
        low = max(top, self.row(box.low + self.box.height / self.rows / 2))
        return left, right, top, low

    def put(self, column: int, row: int, sign: str) -> None:
        """One character."""
        if 0 <= column < self.columns and 0 <= row < self.rows:
            self.cells[row][column] = sign

    def fill(self, box: Box, sign: str) -> None:
        """A box full of one character."""
        left, right, top, low = self.span(box)
        for row in range(top, low + 1):
            for column in range(left, right + 1):
                self.cells[row][column] = sign

    def frame(self, box: Box, corners: str, level: str, upright: str) -> None:
        """The outline of a box, empty inside; a bar where it is too thin for that."""
        left, right, top, low = self.span(box)
        if right == left or low == top:
            self.fill(box, upright if right == left else level)
            return
        self.fill(box, " ")
        for column in range(left + 1, right):
            self.put(column, top, level)
            self.put(column, low, level)
        for row in range(top + 1, low):
            self.put(left, row, upright)
            self.put(right, row, upright)
        for column, row, sign in zip(
            (left, right, left, right), (top, top, low, low), corners, strict=True
        ):
            self.put(column, row, sign)

    def write(self, column: int, row: int, text: str) -> None:
        """A text that begins in a column, moved to the left where it would run over the edge."""
        column = max(0, min(column, self.columns - len(text)))
        for k, sign in enumerate(text):
            self.put(column + k, row, sign)

    def lines(self) -> list[str]:
        """The rows as text."""
        return ["".join(row).rstrip() for row in self.cells]


def drawing_lines(
    study: Study,
    layout: Layout,
    width: int = 78,
    ascii: bool = False,  # noqa: A002
) -> list[str]:
    """Plan and elevation of one layout in characters, no line wider than `width`."""
    drawn = drawn_plan(study, layout)
    signs = ASCII if ascii else UNICODE
    lines = [
        *plan_lines(drawn, layout, width, signs),
        "",
        *elevation_lines(study, drawn, layout, width, signs),
    ]
    return [line.encode("ascii", "replace").decode() for line in lines] if ascii else lines


# --- plan --------------------------------------------------------------------------------------


def plan_lines(drawn: Drawn, layout: Layout, width: int, signs: Signs) -> list[str]:
    """The plan, its heading first."""
    plan = drawn.plan
    inside = width - 2
    column_mm = max(plan.room_length_mm / inside, plan.room_width_mm / (CELL_RATIO * MOST_ROWS))
    columns = max(1, min(inside, round(plan.room_length_mm / column_mm)))
    rows = max(1, round(plan.room_width_mm / column_mm / CELL_RATIO))
    canvas = Canvas(Box(0.0, 0.0, plan.room_length_mm, plan.room_width_mm), columns, rows)
    free = {"clearance": signs.clearance, "walkway": signs.walkway, "pallet": signs.pallet,
            "person": signs.person}  # fmt: skip
    for what, sign in free.items():
        for piece in plan.rectangles:
            if piece.what == what:
                box = Box(piece.x_mm, piece.y_mm, piece.far_x_mm, piece.far_y_mm)
                if what == "person":
                    canvas.put(canvas.column(box.middle[0]), canvas.row(box.middle[1]), sign)
                else:
                    canvas.fill(box, sign)
    for obstacle in plan.obstacles:
        canvas.fill(
            Box(obstacle.x_mm, obstacle.y_mm, obstacle.x_mm + obstacle.length_mm,
                obstacle.y_mm + obstacle.width_mm), signs.obstacle,
        )  # fmt: skip
    figure = PlanFigure(drawn, layout)
    for unit in sorted(figure.units, key=lambda unit: unit.piece.what):  # conveyors lie below
        piece = unit.piece
        box = Box(piece.x_mm, piece.y_mm, piece.far_x_mm, piece.far_y_mm)
        if piece.what == "conveyor":
            canvas.fill(box, signs.chain)
        else:
            canvas.frame(box, signs.corners, signs.level, signs.upright)
    _arrows(canvas, plan.path, signs)
    _numbers(canvas, figure)
    shown = {piece.what for piece in plan.rectangles}
    key = {
        "clearance": f"kept free {signs.clearance}", "walkway": f"walkway {signs.walkway}",
        "pallet": f"pallet {signs.pallet}", "person": f"operator {signs.person}",
    }  # fmt: skip
    words = [text for what, text in key.items() if what in shown]
    if plan.obstacles:
        words.append(f"obstacle {signs.obstacle}")
    stretched = "" if drawn.placed else ", stretched out"
    title = f"Plan{stretched}, one column {column_mm:,.0f} mm: {', '.join(words)}"
    lines = wrap(title, width)
    if drawn.placed:
        lines += _walled(canvas, signs, [*plan.doors, *plan.exits], plan.room_length_mm,
                         plan.room_width_mm)  # fmt: skip
    else:
        lines += canvas.lines()
    return [line[:width] for line in lines]


def _arrows(canvas: Canvas, path: tuple[Point, ...], signs: Signs) -> None:
    """An arrow on each conveyor and in each machine that the path runs through."""
    length_mm = sum(abs(b[0] - a[0]) + abs(b[1] - a[1]) for a, b in pairwise(path))
    step_mm = max(canvas.box.width / canvas.columns * 6, 1.0)
    along_mm = step_mm / 2
    while along_mm < length_mm:
        dx, dy = heading_at(path, along_mm)
        sign = signs.arrows[(0 if dx > 0 else 2) if abs(dx) >= abs(dy) else (1 if dy > 0 else 3)]
        x_mm, y_mm = point_at(path, along_mm)
        column, row = canvas.column(x_mm), canvas.row(y_mm)
        if canvas.cells[row][column] in (" ", signs.chain):
            canvas.put(column, row, sign)
        along_mm += step_mm


def _numbers(canvas: Canvas, figure: PlanFigure) -> None:
    """The numbers of the stations that take floor, in the middle of their piece."""
    for mark in figure.figure.marks:
        if mark.room.width <= 0:
            continue
        text = str(mark.station + 1)
        column, row = canvas.column(mark.at[0]), canvas.row(mark.at[1])
        canvas.write(column - (len(text) - 1) // 2, row, text)


def _walled(
    canvas: Canvas, signs: Signs, openings: list[Opening], length_mm: float, width_mm: float
) -> list[str]:
    """The room with its walls; openings are gaps."""
    columns, rows = canvas.columns, canvas.rows
    corners = signs.wall_corners
    above = [corners[0], *(signs.wall_level * columns), corners[1]]
    below = [corners[2], *(signs.wall_level * columns), corners[3]]
    lefts, rights = [signs.wall_upright] * rows, [signs.wall_upright] * rows
    for opening in openings:
        if opening.wall in ("south", "north"):
            first, last = (
                min(columns - 1, int(place / length_mm * columns))
                for place in (opening.start_mm, opening.end_mm - 1e-6)
            )
            wall = below if opening.wall == "south" else above
            for column in range(first, last + 1):
                wall[column + 1] = " "
        else:
            low, high = (
                min(rows - 1, int((width_mm - place) / width_mm * rows))
                for place in (opening.end_mm - 1e-6, opening.start_mm)
            )
            side = lefts if opening.wall == "west" else rights
            for row in range(low, high + 1):
                side[row] = " "
    middle = [
        left + "".join(row) + right
        for left, row, right in zip(lefts, canvas.cells, rights, strict=True)
    ]
    return ["".join(above).rstrip(), *(line.rstrip() for line in middle), "".join(below).rstrip()]


# --- elevation ---------------------------------------------------------------------------------


def elevation_lines(
    study: Study, drawn: Drawn, layout: Layout, width: int, signs: Signs
) -> list[str]:
    """The elevation, its heading first, heights on the left, numbers below."""
    elevation = Elevation(study.inquiry, layout, drawn.plan)
    extent = elevation.extent
    columns = width - GUTTER
    row_mm = max(LEAST_ROW_MM, extent.high / ELEVATION_ROWS)
    rows = max(1, round(extent.high / row_mm))
    canvas = Canvas(Box(extent.left, 0.0, extent.right, extent.high), columns, rows)
    for shape in elevation.shapes:
        if not shape.closed:
            continue
        xs, ys = [p[0] for p in shape.points], [p[1] for p in shape.points]
        box = Box(min(xs), min(ys), max(xs), max(ys))
        if shape.role == "machine" and shape.station is not None:
            if layout.stations[shape.station].function != "lower":
                canvas.frame(box, signs.corners, signs.level, signs.upright)
        elif shape.role == "stack":
            canvas.fill(box, signs.stack)
        elif shape.role == "pallet":
            canvas.fill(box, signs.pallet)
    _profile(canvas, elevation, signs)
    for person in elevation.people:
        head_mm = person.standing_mm + 1600.0
        canvas.put(canvas.column(person.x_mm), canvas.row(head_mm), signs.person)
    labels = _labels(elevation, canvas)
    lines = [
        (
            f"Elevation along the flow: one column is {extent.width / columns:,.0f} mm, one row "
            f"{extent.high / rows:,.0f} mm"
        )
    ]
    ceiling = signs.ceiling * columns
    lines.append(f"{labels.get(-1, ''):>{GUTTER - 1}} {ceiling}")
    for row, line in enumerate(canvas.lines()):
        lines.append(f"{labels.get(row, ''):>{GUTTER - 1}} {line}".rstrip())
    lines.append(" " * GUTTER + signs.floor * columns)
    lines += [" " * GUTTER + line for line in _row_of_numbers(canvas, elevation)]
    # A height stays in one piece.
    lines += [line.replace("~", " ") for line in wrap(f"{_heights(elevation)}.", width)]
    return [line[:width] for line in lines]


def _heights(elevation: Elevation) -> str:
    """Heights in both units."""
    layout, inquiry = elevation.layout, elevation.inquiry
    light = WORK_HEIGHTS["light"]
    named = [
        ("ceiling", inquiry.ceiling_mm),
        (f"highest point ({plain(layout.highest_name)})", layout.highest.height_mm),
        ("deck", layout.heights.deck_mm),
        ("drop", layout.heights.drop_mm),
        ("filler infeed", layout.infeed_mm),
        ("light work from", light.low_mm),
        ("to", light.high_mm),
        ("reach from the floor to", float(inquiry.habits.overhead_mm)),
    ]
    words = [f"{name} {length_text(mm).replace(' ', '~')}" for name, mm in named]
    return ", ".join(words).capitalize().replace(", to ", " to ")


def _profile(canvas: Canvas, elevation: Elevation, signs: Signs) -> None:
    """The path of the cans; where they are upside down it has a sign of its own."""
    points = elevation.profile
    upside_down = [span for run in elevation.runs if (span := elevation.inverted(run)) is not None]
    first, last = canvas.column(points[0][0]), canvas.column(points[-1][0])
    before: int | None = None
    width_mm = canvas.box.width / canvas.columns
    for column in range(first, last + 1):
        x_mm = canvas.box.left + (column + 0.5) * width_mm
        row = canvas.row(elevation.level_at(x_mm))
        inverted = any(low[0] <= x_mm <= high[0] for low, high in upside_down)
        if before is not None and row != before:
            step = 1 if row > before else -1
            for between in range(before + step, row, step):
                canvas.put(column, between, signs.inverted if inverted else signs.upright)
            sign = signs.down if step > 0 else signs.up
        else:
            sign = signs.path
        canvas.put(column, row, signs.inverted if inverted else sign)
        before = row


def _labels(elevation: Elevation, canvas: Canvas) -> dict[int, str]:
    """Heights by the row in which they stand; the ceiling has the row above the first."""
    labels = {-1: f"ceiling {elevation.inquiry.ceiling_mm:,.0f}"}
    heights = elevation.layout.heights
    wanted = [
        ("highest", elevation.layout.highest.height_mm),
        ("deck", heights.deck_mm),
        ("infeed", elevation.layout.infeed_mm),
    ]
    for name, height_mm in sorted(wanted, key=lambda pair: -pair[1]):
        row = canvas.row(height_mm)
        while row in labels and row < canvas.rows:
            row += 1
        labels[row] = f"{name} {height_mm:,.0f}"
    return labels


def _row_of_numbers(canvas: Canvas, elevation: Elevation) -> Iterator[str]:
    """The stations' numbers below their places, in as many rows as keep them apart."""
    rows: list[list[str]] = []
    for mark in sorted(elevation.figure.marks, key=lambda mark: (mark.at[0], mark.station)):
        text = plain(str(mark.station + 1))
        column = min(canvas.column(mark.at[0]), canvas.columns - len(text))
        for row in rows:
            if all(sign == " " for sign in row[max(0, column - 1) : column + len(text) + 1]):
                break
        else:
            row = [" "] * canvas.columns
            rows.append(row)
        row[column : column + len(text)] = text
    for row in rows:
        yield "".join(row).rstrip()
