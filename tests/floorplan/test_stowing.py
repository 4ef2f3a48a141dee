"""Modules packed away: rows against every order of modules, rectangles against shapely."""

from __future__ import annotations

import random
from itertools import permutations, product

import pytest
import shapely
from shapely.geometry import box

from lineconfig.floorplan.stowing import BETWEEN_MM, Module, empty_rectangles, stow


def modules(draw: random.Random, count: int) -> list[Module]:
    return [
        Module(f"m{n}", draw.randrange(300, 2500, 50), draw.randrange(300, 2000, 50), 1500)
        for n in range(count)
    ]


def least_depth(items: list[Module], width: int) -> int | None:
    """Every order, every way round, every place to close a row."""
    best = None
    for order in permutations(items):
        for ways in product((False, True), repeat=len(items)):
            sizes = [
                (m.width, m.length) if way else (m.length, m.width)
                for m, way in zip(order, ways, strict=True)
            ]
            found = rows(tuple(sizes), width)
            if found is not None and (best is None or found < best):
                best = found
    return best


def rows(sizes: tuple[tuple[int, int], ...], width: int) -> int | None:
    """Least depth of these modules in this order: every place to close a row."""
    if not sizes:
        return -BETWEEN_MM
    best = None
    used = deepest = 0
    for count, (along, across) in enumerate(sizes, 1):
        used += across + (BETWEEN_MM if count > 1 else 0)
        deepest = max(deepest, along)
        if used > width:
            break
        rest = rows(sizes[count:], width)
        if rest is not None:
            total = deepest + BETWEEN_MM + rest
            best = total if best is None else min(best, total)
    return best


@pytest.mark.parametrize("number", range(40))
def test_rows_are_as_short_as_any(number: int) -> None:
    draw = random.Random(number)
    items = modules(draw, draw.choice((2, 3, 4)))
    width = draw.randrange(1500, 4500, 50)
    least = least_depth(items, width)
    if least is None:
        assert stow(items, 10**6, width) is None
    else:
        assert stow(items, least, width) is not None
        assert stow(items, least - 1, width) is None


@pytest.mark.parametrize("count", [3, 8, 9, 14])
def test_packed_modules_stand_clear_of_each_other_and_inside(count: int) -> None:
    items = modules(random.Random(count), count)
    width = 4000
    length = next(n for n in range(1000, 10**5, 100) if stow(items, n, width))
    places = stow(items, length, width)
    assert places is not None
    boxes = [box(*place) for place in places]
    for module, place in zip(items, places, strict=True):
        sides = (place[2] - place[0], place[3] - place[1])
        assert sorted(sides) == sorted((module.length, module.width))
        assert box(0, 0, length, width).covers(box(*place))
    assert shapely.union_all(boxes).area == pytest.approx(sum(item.area for item in boxes))


@pytest.mark.parametrize("number", range(20))
def test_empty_rectangles_are_empty_and_cannot_grow(number: int) -> None:
    draw = random.Random(number)
    blocks = []
    for _ in range(draw.randrange(1, 5)):
        x, y = draw.randrange(0, 900, 100), draw.randrange(0, 500, 100)
        blocks.append((x, y, x + 100, y + draw.choice((100, 200))))
    standing = [box(*block) for block in blocks]
    room = box(0, 0, 1000, 700)
    found = empty_rectangles(1000, 700, blocks)
    for rect in found:
        assert all(box(*rect).intersection(item).area == 0 for item in standing)
        a, b, c, d = rect
        for grown in ((a - 1, b, c, d), (a, b - 1, c, d), (a, b, c + 1, d), (a, b, c, d + 1)):
            place = box(*grown)
            assert not room.covers(place) or any(
                place.intersection(item).area > 0 for item in standing
            )
    free = room.difference(shapely.union_all(standing))
    assert shapely.union_all([box(*rect) for rect in found]).symmetric_difference(free).area == 0
