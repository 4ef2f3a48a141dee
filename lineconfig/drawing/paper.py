"""What a sheet of paper holds, in millimetres from its upper left corner; y runs down."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from lineconfig.drawing.shapes import Box, Figure, Measure, Point, Role
from lineconfig.drawing.words import CAP_HEIGHT, text_width

PaperName = Literal["letter", "a4", "a3", "tabloid"]
PAPERS: dict[PaperName, tuple[float, float]] = {
    "letter": (279.4, 215.9),
    "a4": (297.0, 210.0),
    "a3": (420.0, 297.0),
    "tabloid": (431.8, 279.4),
}
"""Width and height, laid across [mm]: ISO 216 and ANSI/ASME Y14.1."""

Anchor = Literal["start", "middle", "end"]

DESCENT = 0.25
"""How far letters reach below their line, in parts of the type's size."""


@dataclass(frozen=True, slots=True)
class Line:
    """An outline or a line on paper."""

    points: tuple[Point, ...]
    role: Role
    closed: bool = False
    filled: bool = False
    """Whether it is filled with the colour of its line, as an arrow's head is."""
    name: str = ""


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle."""

    at: Point
    radius: float
    role: Role
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text."""

    at: Point
    """Where its line of writing begins, has its middle or ends."""
    text: str
    size: float
    anchor: Anchor = "start"
    upwards: bool = False
    """Written from below to above."""
    bold: bool = False
    key: str = ""
    """What it is, for those who read the file by machine: `number-3`, `key-3`, `measure`."""

    @property
    def box(self) -> Box:
        """The paper that it takes at the most."""
        width = text_width(self.text, self.size, bold=self.bold)
        before = {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]
        x, y = self.at
        above, below = self.size * (CAP_HEIGHT + 0.05), self.size * DESCENT
        if self.upwards:
            return Box(x - above, y + before - width, x + below, y + before)
        return Box(x - before, y - above, x - before + width, y + below)


Item = Line | Disc | Words


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension as it is set out: its line, ticks and figure."""

    measure: Measure
    line: tuple[Point, Point]
    """Ends of the dimension line on paper."""
    words: Words
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class View:
    """A figure on paper: its scale and its place."""

    figure: Figure
    scale: float
    """1 to how many."""
    origin: Point
    """Where the figure's own x = 0, y = 0 lies on paper."""
    frame: Box
    """The paper that the figure takes, without its dimensions."""
    place: Box
    """The paper that is set aside for it, dimensions and all."""
    dimensions: tuple[Dimension, ...]
    items: tuple[Item, ...]
    """Its heading, numbers and heights."""

    def on_paper(self, point: Point) -> Point:
        """The place on paper of a place in the figure."""
        return (
            self.origin[0] + point[0] / self.scale,
            self.origin[1] - point[1] / self.scale,
        )

    def in_figure(self, point: Point) -> Point:
        """The place in the figure of a place on paper."""
        return (
            (point[0] - self.origin[0]) * self.scale,
            (self.origin[1] - point[1]) * self.scale,
        )


@dataclass(frozen=True, slots=True)
class Sheet:
    """One page."""

    paper: PaperName
    title: str
    description: str
    views: tuple[View, ...]
    items: tuple[Item, ...]
    """Frame, title block and lists."""
    width: float = field(init=False)
    height: float = field(init=False)

    def __post_init__(self) -> None:
        width, height = PAPERS[self.paper]
        object.__setattr__(self, "width", width)
        object.__setattr__(self, "height", height)

    @property
    def words(self) -> list[Words]:
        """Every text on the page."""
        everything = [*self.items, *(item for view in self.views for item in view.items)]
        written = [item for item in everything if isinstance(item, Words)]
        return written + [part.words for view in self.views for part in view.dimensions]


def scale_text(scale: float) -> str:
    """`1:100`."""
    return f"1:{scale:g}"
