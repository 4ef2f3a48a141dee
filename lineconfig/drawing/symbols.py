"""Symbols of the stations as seen from above: our own, one for each function.

A symbol is drawn in a machine's own frame: x from its infeed (0) to its discharge (1), y from its
right side (0) to its left (1). `length` and `width` [mm] keep round things round.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from lineconfig.drawing.shapes import Point

Stroke = tuple[Point, ...]
"""A polyline in the machine's frame, in parts of its length and width."""

_ROUND = 24


def _ring(x: float, y: float, radius_mm: float, length: float, width: float) -> Stroke:
    steps = (2 * math.pi * k / _ROUND for k in range(_ROUND + 1))
    return tuple(
        (x + radius_mm * math.cos(a) / length, y + radius_mm * math.sin(a) / width) for a in steps
    )


def _supply(length: float, width: float) -> Sequence[Stroke]:
    """Two forks."""
    return [((0.45, y), (1.0, y)) for y in (0.25, 0.75)] + [((0.45, 0.0), (0.45, 1.0))]


def _unload(length: float, width: float) -> Sequence[Stroke]:
    """A layer that is swept into a narrowing lane."""
    return [
        ((0.08, 0.1), (0.5, 0.1), (0.95, 0.42)), ((0.08, 0.9), (0.5, 0.9), (0.95, 0.58)),
        ((0.08, 0.1), (0.08, 0.9)),
    ]  # fmt: skip


def _lower(length: float, width: float) -> Sequence[Stroke]:
    """Two rails that cross: the can turns over."""
    return [
        ((0.0, 0.35), (0.25, 0.35), (0.75, 0.65), (1.0, 0.65)),
        ((0.0, 0.65), (0.25, 0.65), (0.75, 0.35), (1.0, 0.35)),
    ]


def _fill(length: float, width: float) -> Sequence[Stroke]:
    """A row of heads and the seamer's ring."""
    radius = 0.22 * min(width, 0.5 * length)
    heads = [((x, 0.3), (x, 0.7)) for x in (0.15, 0.25, 0.35, 0.45, 0.55)]
    return [*heads, ((0.1, 0.5), (0.6, 0.5)), _ring(0.78, 0.5, radius, length, width)]


def _dry(length: float, width: float) -> Sequence[Stroke]:
    """Knives of air aslant."""
    return [((x, 0.2), (x + 0.12, 0.8)) for x in (0.2, 0.45, 0.7)]


def _inspect(length: float, width: float) -> Sequence[Stroke]:
    """An eye across the lane."""
    return [((0.5, 0.1), (0.5, 0.9)), ((0.35, 0.5), (0.5, 0.65), (0.65, 0.5), (0.5, 0.35),
                                       (0.35, 0.5))]  # fmt: skip


def _label(length: float, width: float) -> Sequence[Stroke]:
    radius = 0.28 * min(length, width)
    return [_ring(0.35, 0.6, radius, length, width), ((0.35, 0.3), (0.8, 0.3))]


def _pasteurize(length: float, width: float) -> Sequence[Stroke]:
    """Zones."""
    return [((x, 0.0), (x, 1.0)) for x in (0.2, 0.4, 0.6, 0.8)] + [((0.0, 0.5), (1.0, 0.5))]


def _gather(length: float, width: float) -> Sequence[Stroke]:
    if length <= 1.5 * width:
        return [_ring(0.5, 0.5, 0.45 * min(length, width), length, width)]
    return [((0.05, y), (0.95, y)) for y in (0.2, 0.5, 0.8)]


def _pack(length: float, width: float) -> Sequence[Stroke]:
    """Cans in a case."""
    return [
        ((0.3, 0.2), (0.7, 0.2), (0.7, 0.8), (0.3, 0.8), (0.3, 0.2)),
        ((0.3, 0.5), (0.7, 0.5)), ((0.5, 0.2), (0.5, 0.8)),
    ]  # fmt: skip


def _palletize(length: float, width: float) -> Sequence[Stroke]:
    """Cases in a bond on a pallet."""
    return [
        ((0.15, 0.15), (0.85, 0.15), (0.85, 0.85), (0.15, 0.85), (0.15, 0.15)),
        ((0.15, 0.5), (0.85, 0.5)), ((0.38, 0.15), (0.38, 0.5)), ((0.62, 0.5), (0.62, 0.85)),
    ]  # fmt: skip


def _wrap(length: float, width: float) -> Sequence[Stroke]:
    """A pallet inside a turn of film."""
    side = 0.3 * min(length, width)
    dx, dy = side / length, side / width
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1), (-1, -1))
    square = tuple((0.5 + across * dx, 0.5 + up * dy) for across, up in signs)
    return [square, _ring(0.5, 0.5, 0.47 * min(length, width), length, width)]


def _convey(length: float, width: float) -> Sequence[Stroke]:
    """Slats of a table-top chain."""
    slats = max(2, round(length / 250.0))
    return [((k / slats, 0.0), (k / slats, 1.0)) for k in range(1, slats)]


def _bend(length: float, width: float) -> Sequence[Stroke]:
    """Nothing: the path through it says which way it turns."""
    return []


SYMBOLS: dict[str, Callable[[float, float], Sequence[Stroke]]] = {
    "supply": _supply, "unload": _unload, "lower": _lower, "fill": _fill, "dry": _dry,
    "inspect": _inspect, "label": _label, "pasteurize": _pasteurize, "gather": _gather,
    "pack": _pack, "palletize": _palletize, "wrap": _wrap, "convey": _convey, "bend": _bend,
}  # fmt: skip


def strokes(function: str, length_mm: float, width_mm: float) -> Sequence[Stroke]:
    """The symbol of a function for a machine of this size [mm], in the machine's frame."""
    draw = SYMBOLS.get(function)
    return draw(length_mm, width_mm) if draw and length_mm > 0 and width_mm > 0 else []
