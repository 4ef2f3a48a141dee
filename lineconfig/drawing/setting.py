"""Setting a figure out on paper: dimensions, numbers, heights; nothing covers anything else."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from lineconfig.drawing.paper import Anchor, Dimension, Disc, Item, Line, View, Words, scale_text
from lineconfig.drawing.shapes import (
    Box,
    Figure,
    Label,
    Level,
    Mark,
    Measure,
    Point,
    Shape,
    box_round,
)
from lineconfig.drawing.words import CAP_HEIGHT, clipped, plain, text_width
from lineconfig.quantities import feet_and_inches

TYPE_MM = 2.6
"""Size of plain type: capitals of 1.8 mm and more, the smallest of ISO 3098-1 (from memory)."""
HEADING_MM = 3.4
NUMBER_RADIUS_MM = 2.3
LEADER_MM = 16.0
"""From a number to its piece, where there is room enough."""
ROW_MM = 5.6
"""Between two dimension lines."""
FIRST_ROW_MM = 4.5
"""From the figure to the nearest dimension line."""
TICK_MM = 1.0
HEADING_ROOM_MM = 7.0
LABEL_ROOM_MM = 40.0
"""Beside an elevation, for its heights."""
LABEL_LINE_MM = 2.95
NUMBERS_ROOM_MM = 8.0
"""Below an elevation, for its row of numbers."""
MOST_LABEL_MM = 40.0
"""A longer name is cut."""
CLEAR_MM = 0.5
"""Between two pieces of writing."""


@dataclass(frozen=True, slots=True)
class Gutters:
    """Paper around a figure for what is written beside it [mm]."""

    left: float
    right: float
    above: float
    below: float


def gutters_of(figure: Figure) -> Gutters:
    """The paper that a figure's annotation needs."""
    rows = {
        side: max((m.row + 1 for m in figure.measures if m.side == side), default=0)
        for side in ("below", "left")
    }
    below = FIRST_ROW_MM + ROW_MM * rows["below"] if rows["below"] else 2.0
    if any(mark.row for mark in figure.marks):
        below += NUMBERS_ROOM_MM
    left = FIRST_ROW_MM + ROW_MM * rows["left"] if rows["left"] else 2.0
    if figure.levels:
        return Gutters(LABEL_ROOM_MM, LABEL_ROOM_MM, HEADING_ROOM_MM, below)
    return Gutters(left, 6.0, HEADING_ROOM_MM, below)


def least_height_mm(figure: Figure) -> float:
    """Least paper height of a figure for its heights to stand one above the other [mm]."""
    counts = [sum(level.side == side for level in figure.levels) for side in ("left", "right")]
    return max(counts) * (2 * LABEL_LINE_MM + CLEAR_MM)


def paper_size(figure: Figure, scale: float) -> tuple[float, float]:
    """Paper that a figure takes at a scale, with its annotation [mm]."""
    room = gutters_of(figure)
    width = figure.box.width / scale + room.left + room.right
    height = max(figure.box.height / scale, least_height_mm(figure))
    return width, height + room.above + room.below


@dataclass
class _Setter:
    """Puts one figure into its place and keeps account of the paper that is taken."""

    figure: Figure
    scale: float
    place: Box
    """Paper for the figure and its annotation."""
    items: list[Item] = field(default_factory=list)
    dimensions: list[Dimension] = field(default_factory=list)
    taken: list[Box] = field(default_factory=list)

    def __post_init__(self) -> None:
        room, box = gutters_of(self.figure), self.figure.box
        width, height = box.width / self.scale, box.height / self.scale
        aside = self.place.width - room.left - room.right - width
        left = self.place.left + room.left + max(0.0, aside / 2)
        spare = max(0.0, self.place.height - room.above - room.below - height)
        # Heights may be written above the figure, so that much is left free there.
        wanted = max(0.0, least_height_mm(self.figure) - height)
        top = self.place.low + room.above + max(spare / 2, min(spare, wanted))
        self.room = room
        self.frame = Box(left, top, left + width, top + height)
        self.origin = (left - box.left / self.scale, top + box.high / self.scale)

    def on_paper(self, point: Point) -> Point:
        return self.origin[0] + point[0] / self.scale, self.origin[1] - point[1] / self.scale

    # --- account -------------------------------------------------------------------------------

    def free(self, box: Box, gap: float = CLEAR_MM) -> bool:
        """Whether a piece of paper is inside the place and not written on."""
        return self.place.holds(box) and not any(box.meets(other, gap) for other in self.taken)

    def write(self, words: Words) -> None:
        self.items.append(words)
        self.taken.append(words.box)

    # --- heading -------------------------------------------------------------------------------

    def heading(self) -> None:
        """What it is, at what scale, with a bar that stays true when the page is resized."""
        x, y = self.place.left, self.place.low + HEADING_MM
        text = f"{self.figure.title}, {scale_text(self.scale)}"
        self.write(Words((x, y), text, HEADING_MM, bold=True, key="view"))
        metres = bar_metres(self.scale)
        length = metres * 1000 / self.scale
        left = x + text_width(text, HEADING_MM, bold=True) + 8.0
        bar = y - 1.2
        parts = 5
        for part in range(parts):
            x0 = left + length * part / parts
            x1 = left + length * (part + 1) / parts
            corners = ((x0, bar - 0.6), (x1, bar - 0.6), (x1, bar + 0.6), (x0, bar + 0.6))
            self.items.append(Line(corners, "dimension", closed=True, filled=part % 2 == 0))
        feet = metres * 1000 / 304.8
        label = f"{metres:g} m ({feet:.1f} ft)"
        self.write(Words((left + length + 2.0, y), label, TYPE_MM, key="bar"))

    # --- dimensions ----------------------------------------------------------------------------

    def measures(self) -> None:
        """The dimension lines, the nearest to the figure first."""
        extra = NUMBERS_ROOM_MM if any(mark.row for mark in self.figure.marks) else 0.0
        # Inside a figure the short ones, which have few places for their figures, come first.
        for measure in sorted(
            self.figure.measures,
            key=lambda m: (m.side, m.row, m.length_mm if m.side == "right" else 0.0, m.start),
        ):
            offset = FIRST_ROW_MM + ROW_MM * measure.row
            start, end = self.on_paper(measure.start), self.on_paper(measure.end)
            if measure.side == "below":
                y = self.frame.high + offset + extra
                x0, x1 = sorted((start[0], end[0]))
                self._measure(measure, (x0, y), (x1, y))
                continue
            x = self.frame.left - offset if measure.side == "left" else start[0]
            y0, y1 = sorted((start[1], end[1]))
            self._measure(measure, (x, y1), (x, y0))

    def _measure(self, measure: Measure, start: Point, end: Point) -> None:
        lines = [Line((start, end), "dimension")]
        for x, y in (start, end):
            if measure.side == "below":
                lines.append(Line(((x, self.frame.high + 1.0), (x, y + TICK_MM)), "leader"))
            elif measure.side == "left":
                lines.append(Line(((self.frame.left - 1.0, y), (x - TICK_MM, y)), "leader"))
            tick = ((x - TICK_MM, y + TICK_MM), (x + TICK_MM, y - TICK_MM))
            lines.append(Line(tick, "dimension"))
        choices = list(self._figures(measure, start, end))
        free = [words for words in choices if self.free(words.box)] or choices[:1]
        words = next((w for w in free if not self._crossed(measure, w.box)), free[0])
        self.taken.append(words.box)
        self.dimensions.append(Dimension(measure, (start, end), words, tuple(lines)))

    def _figures(self, measure: Measure, start: Point, end: Point) -> Iterator[Words]:
        """Where a dimension's figure may stand, the best place first."""
        upright = not measure.along_x
        room = math.dist(start, end)
        short = f"{measure.length_mm:,.0f}"
        full = f"{short} ({feet_and_inches(measure.length_mm)})"
        for text in (full, short):
            width = text_width(text, TYPE_MM)
            shifts: tuple[float, ...]
            if width <= room - 1.0:
                # Inside a figure the upper end is the freest; elsewhere the middle is wanted.
                most = room / 2 - width / 2 - 0.5
                shifts = (0.0, most / 2, -most / 2, most, -most)
                if measure.side == "right":
                    shifts = (most, 0.0)
            elif text == short:
                beyond = room / 2 + width / 2 + (1.5 if measure.side == "right" else 0.7)
                up = measure.side == "right" or self._far_end(measure, start, end)
                outward = beyond if up else -beyond
                # Numbers stand below an elevation.
                shifts = (outward,) if measure.side == "right" else (outward, -outward, 0.0)
            else:
                if measure.side == "right":
                    yield from self._beside(start, end, text)
                continue
            x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
            for shift in shifts:
                for aside in (-0.9, TYPE_MM + 0.2):
                    at = (x + aside, y - shift) if upright else (x + shift, y + aside)
                    yield Words(at, text, TYPE_MM, "middle", upright, key="measure")

    def _crossed(self, measure: Measure, box: Box) -> bool:
        """Whether lines that lead to dimensions further out run through a figure."""
        for other in self.figure.measures:
            if other.side != measure.side or other.row <= measure.row or measure.side == "right":
                continue
            for x, y in (self.on_paper(other.start), self.on_paper(other.end)):
                if measure.along_x and box.left < x < box.right:
                    return True
                if not measure.along_x and box.low < y < box.high:
                    return True
        return False

    def _far_end(self, measure: Measure, start: Point, end: Point) -> bool:
        """Whether a dimension lies nearer to the upper or right end of the figure."""
        (x, y), (mx, my) = self.frame.middle, ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        return mx > x if measure.along_x else my < y

    def _beside(self, start: Point, end: Point, text: str) -> Iterator[Words]:
        """A figure across a dimension line that is too short for it, clear of what is drawn."""
        x, rise = start[0], TYPE_MM * CAP_HEIGHT
        low, high = sorted((start[1], end[1]))
        middle, spare = (low + high + rise) / 2, (high - low - rise) / 2 - 1.0
        ys = [middle + sign * step * spare / 8 for step in range(9) for sign in (1, -1)]
        ys += [low - 1.0 - step for step in range(9)]
        for y in ys:
            for anchor, at in (("start", x + 1.2), ("end", x - 1.2)):
                words = Words((at, y), text, TYPE_MM, anchor, key="measure")  # type: ignore[arg-type]
                if not any(self._runs_through(shape, words.box) for shape in self.figure.shapes):
                    yield words

    def _runs_through(self, shape: Shape, box: Box) -> bool:
        """Whether a line of the figure runs through a piece of paper."""
        points = [self.on_paper(point) for point in shape.points]
        ends = [*points, points[0]] if shape.closed else points
        return any(_crosses(one, other, box) for one, other in pairwise(ends))

    # --- heights -------------------------------------------------------------------------------

    def levels(self) -> None:
        """Heights beside an elevation, each with a line to what it belongs to."""
        for side in ("left", "right"):
            levels = [level for level in self.figure.levels if level.side == side]
            levels.sort(key=lambda level: -level.height_mm)
            wanted = [self.on_paper((0.0, level.height_mm))[1] for level in levels]
            pitch = 2 * LABEL_LINE_MM + CLEAR_MM
            low = self.place.low + HEADING_ROOM_MM + LABEL_LINE_MM
            high = self.frame.high - LABEL_LINE_MM + 1.0
            for level, at, y in zip(levels, wanted, spread(wanted, pitch, low, high), strict=True):
                self._level(level, at, y)

    def _level(self, level: Level, at: float, y: float) -> None:
        left = level.side == "left"
        edge = self.frame.left if left else self.frame.right
        outward = -1.0 if left else 1.0
        text_x = edge + outward * 6.0
        anchor: Anchor = "end" if left else "start"
        room = LABEL_ROOM_MM - 6.5
        figures = f"{level.height_mm:,.0f} mm ({feet_and_inches(level.height_mm)})"
        for text, dy in ((level.name, -0.4), (figures, LABEL_LINE_MM - 0.5)):
            shown = clipped(text, room, TYPE_MM)
            self.write(Words((text_x, y + dy), shown, TYPE_MM, anchor, key="level"))
        start = self.on_paper((level.start_mm, 0.0))[0]
        self.items.append(
            Line(
                ((text_x - outward * 0.8, y), (edge + outward * 1.5, at), (edge, at), (start, at)),
                "leader",
            )
        )

    # --- numbers -------------------------------------------------------------------------------

    def numbers(self) -> None:
        """The stations' numbers: on their piece where it is large enough, else with a leader."""
        row = [mark for mark in self.figure.marks if mark.row]
        if row:
            self._number_row(row)
        pieces = [
            box_round(self.on_paper(point) for point in shape.points)
            for shape in self.figure.shapes
            if shape.role in ("machine", "conveyor", "obstacle", "wall")
        ]
        pieces += [box_round(dimension.line) for dimension in self.dimensions]
        others = []
        for mark in (mark for mark in self.figure.marks if not mark.row):
            room = box_round(self.on_paper(point) for point in mark.room.corners())
            needed = 2 * NUMBER_RADIUS_MM + 0.4
            disc = _disc_box(room.middle)
            if room.width >= needed and room.height >= needed and self.free(disc, 0.2):
                self._number(mark.station, room.middle)
            else:
                others.append(mark)
        before = len(self.items), len(self.taken)
        # Too crowded for short leaders: all of these in a row, with leaders like a fan.
        for most_mm in (LEADER_MM, 0.0, math.inf):
            if self._numbers_aside(others, pieces, most_mm) if most_mm else self._fan(others):
                return
            del self.items[before[0] :], self.taken[before[1] :]
        raise AssertionError("no paper is left for the stations' numbers")

    def _number(self, station: int, at: Point) -> None:
        self.items.append(Disc(at, NUMBER_RADIUS_MM, "number"))
        baseline = at[0], at[1] + 0.36 * TYPE_MM
        words = Words(baseline, str(station + 1), TYPE_MM, "middle", key=f"number-{station + 1}")
        self.items.append(words)
        self.taken.append(_disc_box(at))

    def _numbers_aside(self, marks: list[Mark], pieces: list[Box], most_mm: float) -> bool:
        return all(self._number_aside(mark, pieces, most_mm) for mark in marks)

    def _number_aside(self, mark: Mark, pieces: list[Box], most_mm: float) -> bool:
        """Put a number at the nearest free place to its piece; whether there is one."""
        x, y = self.on_paper(mark.at)
        most_mm = min(most_mm, max(self.place.width, self.place.height))
        for strict in (True, False):
            for point in _around(x, y, most_mm):
                disc = _disc_box(point)
                if not self.free(disc):
                    continue
                if strict and any(disc.meets(piece, 0.3) for piece in pieces):
                    continue
                if any(_crosses((x, y), point, box) for box in self.taken):
                    continue
                self._leader((x, y), point)
                self._number(mark.station, point)
                return True
        return False

    def _fan(self, marks: list[Mark]) -> bool:
        """Numbers in a free row above or below their pieces, in the order of their places; whether
        there is such a row."""
        marks = sorted(marks, key=lambda mark: (mark.at[0], mark.station))
        ats = [self.on_paper(mark.at) for mark in marks]
        pitch = 2 * NUMBER_RADIUS_MM + CLEAR_MM + 0.2
        across = self.frame if self.frame.width >= pitch * (len(marks) + 1) else self.place
        low, high = across.left + pitch / 2, across.right - pitch / 2
        xs = spread([x for x, _ in ats], pitch, low, high)
        top, bottom = min(y for _, y in ats), max(y for _, y in ats)
        away = 3 * NUMBER_RADIUS_MM
        while away < self.place.height:
            for y in (top - away, bottom + away):
                discs = [_disc_box((x, y)) for x in xs]
                if all(self.free(disc) for disc in discs) and not any(
                    _crosses(at, (x, y), disc)
                    for at, x, own in zip(ats, xs, discs, strict=True)
                    for disc in discs
                    if disc is not own
                ):
                    for mark, at, x in zip(marks, ats, xs, strict=True):
                        self._leader(at, (x, y))
                        self._number(mark.station, (x, y))
                    return True
            away += 1.0
        return False

    def _leader(self, at: Point, to: Point) -> None:
        length = math.dist(at, to)
        share = (length - NUMBER_RADIUS_MM) / length
        end = at[0] + share * (to[0] - at[0]), at[1] + share * (to[1] - at[1])
        self.items.append(Line((at, end), "leader"))
        self.items.append(Disc(at, 0.45, "leader", filled=True))

    def _number_row(self, marks: list[Mark]) -> None:
        """Numbers side by side below the figure, in the order of their places."""
        marks = sorted(marks, key=lambda mark: (mark.at[0], mark.station))
        wanted = [self.on_paper(mark.at)[0] for mark in marks]
        pitch = 2 * NUMBER_RADIUS_MM + CLEAR_MM + 0.2
        low, high = self.place.left + NUMBER_RADIUS_MM, self.place.right - NUMBER_RADIUS_MM
        y = self.frame.high + NUMBERS_ROOM_MM - NUMBER_RADIUS_MM - 0.6
        for mark, x in zip(marks, spread(wanted, pitch, low, high), strict=True):
            at = self.on_paper(mark.at)
            elbow = (at[0], self.frame.high + 0.8)
            self.items.append(Line((at, elbow, (x, y - NUMBER_RADIUS_MM)), "leader"))
            self.items.append(Disc(at, 0.45, "leader", filled=True))
            self._number(mark.station, (x, y))

    # --- names ---------------------------------------------------------------------------------

    def labels(self) -> None:
        """Names of doors and obstacles, as full as there is room for."""
        for label in self.figure.labels:
            choices = [words for text in label.texts for words in self._label_places(label, text)]
            free = [w for w in choices if self.free(w.box) and self.frame.holds(w.box)]
            # Clear of the leaves of doors where that can be.
            swings = [shape for shape in self.figure.shapes if shape.role == "swing"]
            clear = [w for w in free if not any(self._runs_through(s, w.box) for s in swings)]
            for words in (clear or free)[:1]:
                self.write(words)

    def _label_places(self, label: Label, full: str) -> Iterator[Words]:
        """Where a name may stand, the best place first."""
        thing = box_round(self.on_paper(point) for point in label.thing.corners())
        text = clipped(plain(full), MOST_LABEL_MM, TYPE_MM)
        half = text_width(text, TYPE_MM) / 2
        (x, y), rise = thing.middle, TYPE_MM * CAP_HEIGHT / 2
        near, far = 1.2, 1.2 + 2 * rise
        places: list[Point] = []
        for slide in (0.0, half, -half, 2 * half, -2 * half, 3 * half, -3 * half):
            if label.upright:
                places += [(thing.right + far, y + slide), (thing.left - near, y + slide)]
            else:
                places += [(x + slide, thing.low - near), (x + slide, thing.high + far)]
        if not label.upright:
            places += [(thing.right + near + half, y + rise), (thing.left - near - half, y + rise)]
        for at in places:
            yield Words(at, text, TYPE_MM, "middle", label.upright, key="label")

    # --- flow ----------------------------------------------------------------------------------

    def arrows(self) -> None:
        """Heads along the path, in the direction of the flow."""
        path = next((s for s in self.figure.shapes if s.role == "path"), None)
        if path is None:
            return
        points = [self.on_paper(point) for point in path.points]
        for start, end in pairwise(points):
            length = math.dist(start, end)
            if length < 4.0:
                continue
            count = max(1, round(length / 45.0))
            for k in range(count):
                share = (k + 0.5) / count
                self.items.append(_arrow(start, end, share))


def _arrow(start: Point, end: Point, share: float) -> Line:
    length = math.dist(start, end)
    dx, dy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    x, y = start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])
    tip = (x + 1.4 * dx, y + 1.4 * dy)
    back = (x - 1.4 * dx, y - 1.4 * dy)
    head = (tip, (back[0] - 0.8 * dy, back[1] + 0.8 * dx), (back[0] + 0.8 * dy, back[1] - 0.8 * dx))
    return Line(head, "path", closed=True, filled=True, name="flow")


def _disc_box(at: Point) -> Box:
    r = NUMBER_RADIUS_MM + 0.15
    return Box(at[0] - r, at[1] - r, at[0] + r, at[1] + r)


def _around(x: float, y: float, most: float) -> Iterator[Point]:
    """Places around a point, the nearest first, straight up and down before aslant."""
    turns = sorted(range(24), key=lambda k: (min(abs(k - 6), abs(k - 18)), k))
    distance = 2 * NUMBER_RADIUS_MM + 0.5
    while distance < most:
        for turn in turns:
            angle = 2 * math.pi * turn / 24
            yield x + distance * math.cos(angle), y - distance * math.sin(angle)
        distance += 1.2


def _crosses(start: Point, end: Point, box: Box) -> bool:
    """Whether a leader runs through a piece of writing."""
    steps = max(2, math.ceil(math.dist(start, end) / 0.6))
    for k in range(steps + 1):
        x = start[0] + (end[0] - start[0]) * k / steps
        y = start[1] + (end[1] - start[1]) * k / steps
        if box.left <= x <= box.right and box.low <= y <= box.high:
            return True
    return False


def spread(wanted: Sequence[float], pitch: float, low: float, high: float) -> list[float]:
    """Places in the same order, at least a pitch apart, as near as may be to those wanted.

    Neighbours that would touch are put side by side around their mean; then all are kept within
    `low` and `high`, as far as there is room for them.
    """
    groups: list[tuple[float, int]] = []
    for place in wanted:
        groups.append((place, 1))
        while len(groups) > 1:
            (first, before), (second, count) = groups[-2:]
            if second - first >= pitch * (before + count) / 2:
                break
            together = before + count
            # The mean of what is wanted once each place is moved back by its rank in the group.
            base = (first - pitch * (before - 1) / 2) * before
            base += (second - pitch * (count - 1) / 2 - pitch * before) * count
            groups[-2:] = [(base / together + pitch * (together - 1) / 2, together)]
    placed = [
        middle + pitch * (k - (count - 1) / 2) for middle, count in groups for k in range(count)
    ]
    for k in range(len(placed) - 1, -1, -1):
        placed[k] = min(placed[k], high - pitch * (len(placed) - 1 - k))
    for k in range(len(placed)):
        placed[k] = max(placed[k], low + pitch * k)
    return placed


def bar_metres(scale: float) -> float:
    """Length of a scale bar: a round number of metres that takes 15 to 40 mm of paper."""
    for metres in (0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000):
        if metres * 1000 / scale >= 15.0:
            return metres
    return 5000.0


def set_out(figure: Figure, scale: float, place: Box) -> View:
    """One figure at a scale in its place on paper."""
    setter = _Setter(figure, scale, place)
    setter.heading()
    setter.levels()
    setter.measures()
    setter.arrows()
    setter.numbers()
    setter.labels()
    return View(
        figure, scale, setter.origin, setter.frame, place,
        tuple(setter.dimensions), tuple(setter.items),
    )  # fmt: skip
