"""What a placed line is: rectangles on the floor of a room, seen from above.

The origin is the room's south-west corner; x runs east along the room's length, y north along its
width. All lengths in [mm].
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

What = Literal["machine", "conveyor", "clearance", "pallet", "person", "walkway"]
"""`machine` and `conveyor` stand on the floor; the rest is floor that is kept free for somebody or
something."""
Hand = Literal["left", "right"]
Turn = Literal["straight", "left", "right"]
Wall = Literal["south", "north", "west", "east"]

MM2_PER_M2 = 1e6


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A piece of floor."""

    station: int | None
    """Index into the layout's stations; None for what serves the line as a whole."""
    what: What
    x_mm: float
    y_mm: float
    length_mm: float
    """Extent along x."""
    width_mm: float
    """Extent along y."""
    label: str = ""

    @property
    def far_x_mm(self) -> float:
        """The eastern edge."""
        return self.x_mm + self.length_mm

    @property
    def far_y_mm(self) -> float:
        """The northern edge."""
        return self.y_mm + self.width_mm


@dataclass(frozen=True, slots=True)
class Obstacle:
    """What stands in the room already."""

    name: str
    x_mm: float
    y_mm: float
    length_mm: float
    """Extent along x."""
    width_mm: float
    """Extent along y."""


@dataclass(frozen=True, slots=True)
class Opening:
    """A door or exit in a wall."""

    name: str
    wall: Wall
    start_mm: float
    """Where it begins along the wall: from the west corner, or from the south corner."""
    end_mm: float

    @property
    def width_mm(self) -> float:
        """Its clear width."""
        return self.end_mm - self.start_mm


@dataclass(frozen=True, slots=True)
class Port:
    """Where cans pass from one piece of the line to the next."""

    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class Plan:
    """A placed line."""

    room_length_mm: float
    """Extent of the room along x."""
    room_width_mm: float
    """Extent of the room along y."""
    rectangles: tuple[Rectangle, ...]
    obstacles: tuple[Obstacle, ...]
    path: tuple[tuple[float, float], ...]
    """Centre line of the cans' flow, from the first machine to the last."""
    doors: tuple[Opening, ...]
    """The way in for pallets and machines."""
    exits: tuple[Opening, ...]
    """Ways out for people; the door where the brief names no other."""
    hand: Hand
    """The side of the flow on which the operators stand."""
    turns: tuple[Turn, ...]
    """The bends of the line in flow order; none for a straight line."""
    length_mm: float
    """Of the line with everything it keeps free, along x."""
    width_mm: float
    """The same along y."""
    area_m2: float
    """Floor that machines take or keep free, overlaps counted once."""
    ports: tuple[tuple[Port, Port], ...] = ()
    """Discharge of one piece and infeed of the next, in flow order."""
    chain_mm: float = 0.0
    """Straight table-top chain between the machines; each turn has a bend besides."""
    stowed: Plan | None = None
    """The packed-away arrangement of a line that is stowed between runs."""
    notes: tuple[str, ...] = ()
    """What else the placement has to say."""


@dataclass(frozen=True, slots=True)
class NoPlan:
    """Why a line cannot be placed."""

    short_by_mm: float
    """The least that the room, or the vehicle's bed, would have to grow in this dimension alone."""
    dimension: Literal["length", "width", "vehicle length", "vehicle height"]
    closest: tuple[Turn, ...]
    """The turn pattern that came closest; none for a straight line."""
    sentence: str
