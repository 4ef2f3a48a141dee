"""Fits, or does not fit: the search against brute force in random small rooms."""

from __future__ import annotations

import random

import pytest

from lineconfig.floorplan.blocks import Bend, Block, Box, Line
from lineconfig.floorplan.fitting import Doorway, Fixture, Site
from lineconfig.floorplan.folding import Shortage, fold
from lineconfig.floorplan.shapes import Folder
from lineconfig.floorplan.ways import Room
from tests.floorplan import brute

ROOMS = 300
BATCH = 25
batches = pytest.mark.parametrize("first", range(0, ROOMS, BATCH))


def random_line(draw: random.Random) -> Line:
    """Two or three machines, pallets at both ends: everything a multiple of the grid."""
    blocks = []
    count = draw.choice((1, 1, 2))
    for place in range(count + 1):
        length, width = draw.randrange(600, 1700, 100), draw.randrange(400, 1300, 200)
        left, right = draw.choice((0, 900)), draw.choice((0, 300))
        boxes = brute.machine(f"m{place}", length, width, left, right)
        lead_in = lead_out = 0
        if place == 0:
            boxes.append(Box("supply", "pallet", -1000, -700, 0, 700))
        elif draw.random() < 0.3:
            lead_in = 300
        if place < count and draw.random() < 0.3:
            lead_out = 400
        offset = draw.choice((0, 0, 100)) if width > 400 else 0
        if place == count:
            boxes.append(Box("palletize", "pallet", length, -700, length + 1000, 700))
            offset = 0
        blocks.append(Block(tuple(boxes), ((0, 0), (length, offset)), lead_in, lead_out))
    return Line(
        blocks=tuple(blocks[:-1]),
        ends=(("straight", blocks[-1]),),
        joint=draw.choice((400, 600)),
        bend=Bend(600, 200, draw.choice((0, 200)), draw.choice((0, 100))),
        walkway=900,
        pallet_route=1200,
    )


def random_site(draw: random.Random, line: Line) -> Site:
    """A room not much larger or smaller than some fold of the line."""
    folder = Folder(line)
    outline = draw.choice([o for n in range(3) for o in folder.outlines(n, 10**6, 10**6)])
    x0, y0, x1, y1 = outline.extent
    length = max(1500, round((x1 - x0) / 100) * 100 + draw.randrange(-200, 800, 100))
    width = max(1500, round((y1 - y0) / 100) * 100 + draw.randrange(-200, 800, 100))
    fixtures = []
    for _ in range(draw.choice((0, 0, 1, 2))):
        x, y = draw.randrange(0, length - 300, 100), draw.randrange(0, width - 300, 100)
        size = draw.choice((200, 300))
        fixtures.append(Fixture((x, y, x + size, y + size), draw.random() < 0.3))
    wall = draw.choice((None, "west", "south", "east", "north"))
    door = draw.choice((1000, 1400))
    along = length if wall in ("south", "north") else width
    start = draw.randrange(0, max(100, along - door + 1), 100)
    doorway = Doorway(door) if wall is None else Doorway(door, wall, start)
    return Site(Room(length, width), tuple(fixtures), doorway)


def asked(number: int) -> tuple[Line, Site]:
    draw = random.Random(number)
    line = random_line(draw)
    return line, random_site(draw, line)


@batches
def test_the_same_rooms_are_large_enough(first: int) -> None:
    for number in range(first, first + BATCH):
        line, site = asked(number)
        assert (fold(line, site) is not None) == brute.fits(line, site), number


def test_random_rooms_are_of_both_kinds() -> None:
    """A check that could not fail would show nothing."""
    fitting = sum(fold(*asked(number)) is not None for number in range(ROOMS))
    assert ROOMS * 0.2 < fitting < ROOMS * 0.8


def test_both_hands_are_built_and_people_stand_on_that_side() -> None:
    hands = set()
    for number in range(ROOMS):
        folded = fold(*asked(number))
        if folded is None:
            continue
        hands.add(folded.hand)
        (x0, y0), (x1, y1) = folded.path[0], folded.path[1]
        for box in folded.boxes:
            if box.function == "m0" and box.what == "person":
                x, y = (box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2
                on_the_left = (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) > 0
                assert on_the_left is (folded.hand == "left"), number
    assert hands == {"left", "right"}


@pytest.mark.parametrize("number", range(0, 60, 3))
def test_a_room_grown_by_its_shortage_is_large_enough_and_no_sooner(number: int) -> None:
    """What is said to be missing is enough, and a step less is not."""
    line, site = asked(number)
    if fold(line, site) is not None:
        return
    short = Shortage(line, site).least()
    if short is None:
        return
    by = -(-short.by // brute.GRID) * brute.GRID

    def grown(more: int) -> Site:
        longer = short.dimension == "length"
        room = Room(site.room.length + more * longer, site.room.width + more * (not longer))
        return Site(room, site.fixtures, site.doorway)

    assert fold(line, grown(short.by)) is not None
    assert brute.fits(line, grown(by))
    if by > brute.GRID:
        assert not brute.fits(line, grown(by - brute.GRID))


@pytest.mark.slow
@pytest.mark.parametrize("first", range(1000, 4000, 100))
def test_the_same_rooms_are_large_enough_many_times(first: int) -> None:
    for number in range(first, first + 100):
        line, site = asked(number)
        assert (fold(line, site) is not None) == brute.fits(line, site), number
