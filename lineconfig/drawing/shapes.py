"""What figures are made of: outlines in real millimetres, each with a role that settles its look.

x runs to the right, y upwards: east and north in a plan, along the flow and up in an elevation.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Role = Literal[
    # floor and building
    "wall", "opening", "obstacle", "floor", "ceiling", "break",
    # floor kept free
    "clearance", "swing", "walkway", "person", "pallet",
    # the line
    "machine", "conveyor", "symbol", "path", "stack", "inverted", "platform", "zone", "figure",
    # annotation
    "dimension", "leader", "number", "text", "sheet",
]  # fmt: skip
"""What an outline stands for."""

Point = tuple[float, float]
"""x and y [mm]."""


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle."""

    left: float
    low: float
    right: float
    high: float

    @property
    def width(self) -> float:
        """Extent along x."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Extent along y."""
        return self.high - self.low

    @property
    def middle(self) -> Point:
        """Its centre."""
        return (self.left + self.right) / 2, (self.low + self.high) / 2

    def meets(self, other: Box, gap: float = 0.0) -> bool:
        """Whether the two overlap, or come nearer to each other than a gap."""
        return (
            self.left < other.right + gap
            and other.left < self.right + gap
            and self.low < other.high + gap
            and other.low < self.high + gap
        )

    def holds(self, other: Box, slack: float = 1e-6) -> bool:
        """Whether the other lies inside."""
        return (
            self.left <= other.left + slack
            and other.right <= self.right + slack
            and self.low <= other.low + slack
            and other.high <= self.high + slack
        )

    def grown(self, by: float) -> Box:
        """The same box with a margin all round."""
        return Box(self.left - by, self.low - by, self.right + by, self.high + by)

    def corners(self) -> tuple[Point, ...]:
        """Its corners in order."""
        return (
            (self.left, self.low), (self.right, self.low),
            (self.right, self.high), (self.left, self.high),
        )  # fmt: skip


def box_round(points: Iterable[Point]) -> Box:
    """The smallest upright box that holds some points."""
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True, slots=True)
class Shape:
    """One outline or line."""

    points: tuple[Point, ...]
    role: Role
    closed: bool = False
    station: int | None = None
    """Index into the layout's stations, where it belongs to one."""
    name: str = ""
    """What it is, where a person could ask."""


@dataclass(frozen=True, slots=True)
class Mark:
    """Where the number of a station points to."""

    station: int
    at: Point
    room: Box
    """The piece that the number may stand on, where it is large enough on paper."""
    row: bool = False
    """Whether the number belongs into a row along the figure's lower edge."""


Side = Literal["below", "above", "left", "right"]


@dataclass(frozen=True, slots=True)
class Measure:
    """A dimension line between two points, measured along x or along y."""

    start: Point
    end: Point
    side: Side
    """The edge of the figure beyond which the line is drawn."""
    row: int
    """How many lines lie nearer to the figure."""

    @property
    def along_x(self) -> bool:
        """Whether it measures along x."""
        return self.side in ("below", "above")

    @property
    def length_mm(self) -> float:
        """What it measures [mm]."""
        return abs(self.end[0] - self.start[0] if self.along_x else self.end[1] - self.start[1])


@dataclass(frozen=True, slots=True)
class Level:
    """A height that is written beside an elevation."""

    name: str
    height_mm: float
    side: Literal["left", "right"]
    start_mm: float
    """Where along the flow its line begins: the part that has this height."""


@dataclass(frozen=True, slots=True)
class Label:
    """A name that is written beside a thing where there is room for it."""

    texts: tuple[str, ...]
    """What may be written, the fullest first."""
    thing: Box
    upright: bool = False
    """Whether it is written along y."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A plan or an elevation in real millimetres."""

    name: Literal["plan", "elevation"]
    title: str
    shapes: tuple[Shape, ...]
    marks: tuple[Mark, ...]
    measures: tuple[Measure, ...]
    levels: tuple[Level, ...]
    labels: tuple[Label, ...]
    box: Box
    """What is drawn; dimensions stand outside."""
