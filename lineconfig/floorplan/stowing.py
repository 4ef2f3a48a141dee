"""Stowing: the modules of a line packed close together, in a room or on a vehicle's bed.

Modules stand in rows, each turned lengthwise or across. The least depth of such rows is exact up
to `MOST_EXACT` modules: it is the shortest way through the sets of modules already stowed. Beyond
that the deepest come first, each in the first row that takes it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lineconfig.floorplan.blocks import up
from lineconfig.floorplan.ways import Rect
from lineconfig.layout import Station

MOST_EXACT = 8
"""Modules up to which the rows are the best there are."""
BETWEEN_MM = 50
"""Room to push a module in beside another. From memory. [mm]"""

Sized = tuple[int, int]
Row = tuple[int, tuple[tuple[int, int, int], ...]]
"""Depth, and for each module in it: its number, extent across and extent along the depth."""


@dataclass(frozen=True, slots=True)
class Module:
    """One piece of a line as it is pushed or lifted [mm]."""

    function: str
    length: int
    width: int
    height: int


def modules_of(stations: Sequence[Station], joint_mm: int) -> tuple[Module, ...]:
    """The pieces of a line; chain in pieces of a joint's length, and its bends, side by side."""
    made = []
    for station in stations:
        size = station.option.equipment.size
        if size is None:
            continue
        if station.function != "convey" and station.length_mm > 0:
            made.append(
                Module(
                    station.function,
                    up(station.length_mm),
                    up(station.width_mm),
                    up(size.height_mm),
                )
            )
    for straight in (True, False):
        chain = [s for s in stations if s.function == "convey" and s.by_length is straight]
        if not chain:
            continue
        length = up(sum(station.length_mm for station in chain))
        each = joint_mm if straight else up(length / sum(station.quantity for station in chain))
        across = -(-length // each) * up(chain[0].width_mm)
        made.append(Module("convey", each, across, up(chain[0].height_mm)))
    return tuple(made)


def stow(modules: Sequence[Module], length: int, width: int) -> tuple[Rect, ...] | None:
    """Where each module stands in rows across a rectangle; None where they need more of it.

    Rows lie one behind another along x, modules of a row beside one another along y [mm].
    """
    sizes = [(module.length + BETWEEN_MM, module.width + BETWEEN_MM) for module in modules]
    rows = _best_rows(sizes, width) if len(sizes) <= MOST_EXACT else _first_fit(sizes, width)
    if rows is None or sum(depth for depth, _ in rows) > length + BETWEEN_MM:
        return None
    places: dict[int, Rect] = {}
    x = 0
    for depth, row in rows:
        y = 0
        for number, across, along in row:
            places[number] = (x, y, x + along - BETWEEN_MM, y + across - BETWEEN_MM)
            y += across
        x += depth
    return tuple(places[number] for number in range(len(sizes)))


def _row(sizes: Sequence[Sized], chosen: Sequence[int], width: int) -> Row | None:
    """Some modules in one row as shallow as it can be; None where they are too wide together."""
    least = max(min(sizes[number]) for number in chosen)
    for depth in sorted({side for number in chosen for side in sizes[number]}):
        if depth < least:
            continue
        placed = []
        for number in chosen:
            long, short = max(sizes[number]), min(sizes[number])
            across, along = (short, long) if long <= depth else (long, short)
            placed.append((number, across, along))
        # The gap behind the last module of a row is not needed.
        if sum(across for _, across, _ in placed) <= width + BETWEEN_MM:
            return depth, tuple(placed)
    return None


def _best_rows(sizes: Sequence[Sized], width: int) -> list[Row] | None:
    count = len(sizes)
    everything = (1 << count) - 1
    rows: dict[int, Row | None] = {}
    best: dict[int, tuple[int, int]] = {0: (0, 0)}
    """By set of modules stowed: the least depth, and its last row."""
    for done in range(everything):
        if done not in best:
            continue
        left = everything & ~done
        first = left & -left
        rest = left & ~first
        others = rest
        while True:
            chosen = first | others
            if chosen not in rows:
                numbers = [number for number in range(count) if chosen >> number & 1]
                rows[chosen] = _row(sizes, numbers, width)
            row = rows[chosen]
            if row is not None:
                depth = best[done][0] + row[0]
                then = done | chosen
                if then not in best or depth < best[then][0]:
                    best[then] = (depth, chosen)
            if not others:
                break
            others = (others - 1) & rest
    if everything not in best:
        return None
    found: list[Row] = []
    at = everything
    while at:
        chosen = best[at][1]
        row = rows[chosen]
        assert row is not None
        found.append(row)
        at &= ~chosen
    return found


def _first_fit(sizes: Sequence[Sized], width: int) -> list[Row] | None:
    made: list[tuple[list[int], Row]] = []
    for number in sorted(range(len(sizes)), key=lambda n: (-min(sizes[n]), -max(sizes[n]), n)):
        for place, (numbers, row) in enumerate(made):
            longer = _row(sizes, [*numbers, number], width)
            if longer is not None and longer[0] <= row[0]:
                made[place] = ([*numbers, number], longer)
                break
        else:
            alone = _row(sizes, [number], width)
            if alone is None:
                return None
            made.append(([number], alone))
    return [row for _, row in made]


def empty_rectangles(length: int, width: int, blocks: Sequence[Rect]) -> list[Rect]:
    """Every rectangle of a room that cannot grow on any side, those furthest from the west last."""
    xs = sorted({0, length, *(x for b in blocks for x in (b[0], b[2]) if 0 < x < length)})
    ys = sorted({0, width, *(y for b in blocks for y in (b[1], b[3]) if 0 < y < width)})
    free = [
        (x0, y0, x1, y1)
        for x0 in xs
        for x1 in xs
        if x1 > x0
        for y0 in ys
        for y1 in ys
        if y1 > y0 and not any(b[0] < x1 and x0 < b[2] and b[1] < y1 and y0 < b[3] for b in blocks)
    ]
    return [
        one
        for one in free
        if not any(
            other != one
            and other[0] <= one[0]
            and other[1] <= one[1]
            and one[2] <= other[2]
            and one[3] <= other[3]
            for other in free
        )
    ]
