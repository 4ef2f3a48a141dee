"""Shapes: every way in which a line folds, before it is put into a room.

At each joint the line goes straight on, turns a quarter to the left or right over one bend, or
doubles back over two. A quarter turn has the least straight chain, before or after its bend, that
keeps the two runs which it joins out of each other's way; a half turn has the least cross piece
that does, in steps of half a metre, or a few steps more. Shapes are drawn with the line's first
run towards +x and the operators on the left; the rest are turned and mirrored from these.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from lineconfig.floorplan.blocks import Block, Box, Line, Point
from lineconfig.floorplan.plan import Turn
from lineconfig.floorplan.ways import Rect

MOST_BENDS = 4
"""Quarter turns of one line: two of them are a U, four an S."""
STEP_MM = 500
"""Cross pieces of a half turn come in steps of half a metre of chain. [mm]"""
MORE_STEPS = 3
"""Steps by which a cross piece may be longer than it must. More room between two runs lets a
walkway through."""

Choice = tuple[str, int]
"""What a joint does: "" (straight), "L", "R", "LL", "RR", and which variant of it."""


WORDS = ("L", "R", "LL", "RR")
"""What a joint does where it turns: one bend or two, to the left or right."""


Rects = list[Rect]


class Joint(NamedTuple):
    """The chain between two blocks."""

    straight: int
    """Straight chain, bends apart [mm]."""
    bends: int


@dataclass(slots=True)
class Run:
    """Blocks in a straight row, in the frame of the first."""

    boxes: tuple[Box, ...]
    path: tuple[Point, ...]
    ports: tuple[tuple[Point, Point], ...]
    out: Point
    lead_in: int
    lead_out: int
    extent: Rect
    _faced: dict[int, tuple[Rects, Rects]] = field(default_factory=dict, repr=False)

    def faced(self, heading: int) -> tuple[Rects, Rects]:
        """What stands on the floor, and the floor kept free, turned by quarters to the left."""
        found = self._faced.get(heading)
        if found is None:
            found = self._faced[heading] = _faced(self.boxes, heading)
        return found


@dataclass(frozen=True, slots=True)
class Outline:
    """Where the runs of a fold lie, before it is known whether they keep clear of each other."""

    joints: tuple[Choice, ...]
    """What every joint does."""
    end: int
    """Where the wrapper stands: which of the line's ends."""
    extent: Rect
    """Around the runs and the chain of the turns; clearances of that chain may stick out."""
    frames: tuple[tuple[Run, Point, int], ...]
    """Each run, where its infeed is and how it is turned, in quarters to the left."""
    straights: tuple[Point, ...]
    """Of each turn: straight chain before and after the bend, or the cross piece and nothing."""

    @property
    def turns(self) -> tuple[Turn, ...]:
        """The bends in flow order."""
        letters = "".join(word for word, _ in self.joints)
        return tuple("left" if letter == "L" else "right" for letter in letters)


@dataclass(frozen=True, slots=True)
class Shape:
    """A folded line, its south-west corner at the origin."""

    turns: tuple[Turn, ...]
    """The bends in flow order."""
    boxes: tuple[Box, ...]
    path: tuple[Point, ...]
    ports: tuple[tuple[Point, Point], ...]
    length: int
    width: int
    joints: tuple[Joint, ...]
    """What each joint is made of."""


AHEAD: tuple[Point, ...] = ((1, 0), (0, 1), (-1, 0), (0, -1))


def turned(x: int, y: int, heading: int) -> Point:
    """A point turned by quarters to the left."""
    if heading == 0:
        return x, y
    if heading == 1:
        return -y, x
    if heading == 2:
        return -x, -y
    return y, -x


def turned_box(box: Box, heading: int, x: int, y: int) -> Box:
    """A box turned by quarters to the left about the origin, then moved."""
    ax, ay = turned(box.x0, box.y0, heading)
    bx, by = turned(box.x1, box.y1, heading)
    return Box(
        box.function, box.what, min(ax, bx) + x, min(ay, by) + y, max(ax, bx) + x,
        max(ay, by) + y, box.note, box.joint,
    )  # fmt: skip


def turned_rect(rect: Rect, heading: int, x: int, y: int) -> Rect:
    """The same for a bare rectangle."""
    ax, ay = turned(rect[0], rect[1], heading)
    bx, by = turned(rect[2], rect[3], heading)
    return min(ax, bx) + x, min(ay, by) + y, max(ax, bx) + x, max(ay, by) + y


def extent_of(boxes: Sequence[Box]) -> Rect:
    """The rectangle around some boxes."""
    return (
        min(box.x0 for box in boxes),
        min(box.y0 for box in boxes),
        max(box.x1 for box in boxes),
        max(box.y1 for box in boxes),
    )


def _around(one: Rect, other: Rect) -> Rect:
    return (
        min(one[0], other[0]), min(one[1], other[1]), max(one[2], other[2]), max(one[3], other[3])
    )  # fmt: skip


def _sides(extent: Rect) -> Point:
    return extent[2] - extent[0], extent[3] - extent[1]


def _within(extent: Rect, long_side: int, short_side: int) -> bool:
    length, width = _sides(extent)
    return max(length, width) <= long_side and min(length, width) <= short_side


def _rect(box: Box) -> Rect:
    return box.x0, box.y0, box.x1, box.y1


def clashes(
    one: tuple[Rects, Rects], other: tuple[Rects, Rects], x: int, y: int
) -> Iterator[tuple[Rect, Rect]]:
    """What of two parts of a line cannot lie where it is, the other one moved by (x, y).

    Each part is what stands on the floor, and the floor that it keeps free.
    """
    pairs = ((one[0], other[0]), (one[0], other[1]), (one[1], other[0]))
    for mine, theirs in pairs:
        for rect in theirs:
            a, b, c, d = rect[0] + x, rect[1] + y, rect[2] + x, rect[3] + y
            for item in mine:
                if item[0] < c and a < item[2] and item[1] < d and b < item[3]:
                    yield item, (a, b, c, d)


class Step(NamedTuple):
    """A turn behind a run, and the run that follows, in the frame of the run before."""

    word: str
    variant: int
    far: int
    """The last block of the run that follows."""
    end: int
    run: Run
    straight: Point
    at: Point
    """Where the run that follows begins."""
    ahead: int
    """How it is turned, in quarters to the left."""
    reach: Rect
    """Around the chain of the turn, clearances apart, and the run that follows."""


class _Within:
    """Which outlines go into a rectangle, either way round."""

    def __init__(self, folder: Folder, long_side: int, short_side: int) -> None:
        self.folder = folder
        self.long_side, self.short_side = long_side, short_side
        self._steps: dict[tuple[int, int], list[Step]] = {}
        self._goes_on: dict[tuple[int, int, int], bool] = {}

    def __call__(self, extent: Rect) -> bool:
        """Whether something so large goes in."""
        return _within(extent, self.long_side, self.short_side)

    def steps(self, first: int, last: int) -> list[Step]:
        """The turns behind a run that go in together with it and with the run that follows."""
        key = (first, last)
        if key not in self._steps:
            extent = self.folder.run(first, last, 0).extent
            self._steps[key] = [
                step
                for step in self.folder.steps(first, last, self)
                if self(_around(extent, step.reach))
            ]
        return self._steps[key]

    def goes_on(self, first: int, last: int, bends: int) -> bool:
        """Whether a run can be carried on to the end of the line with so many bends, as far as
        neighbouring runs tell."""
        if last == self.folder.joints:
            return bends == 0
        # A run is followed by a turn: one bend or two at each joint that is left, or none.
        if not 0 < bends <= 2 * (self.folder.joints - last):
            return False
        key = (first, last, bends)
        if key not in self._goes_on:
            self._goes_on[key] = any(
                bends >= len(step.word) and self.goes_on(last + 1, step.far, bends - len(step.word))
                for step in self.steps(first, last)
            )
        return self._goes_on[key]


class Folder:
    """Folds one line; runs and corners are worked out once."""

    def __init__(self, line: Line) -> None:
        self.line = line
        self.joints = len(line.blocks)
        self._runs: dict[tuple[int, int, int], Run] = {}
        self._corners: dict[tuple[object, ...], tuple[int, int]] = {}
        self._rows: dict[tuple[object, ...], int] = {}
        self._within: dict[Point, _Within] = {}

    # --- straight runs -----------------------------------------------------------------------

    def block(self, place: int, end: int) -> Block:
        """A block by its place; the last has its choices."""
        return self.line.blocks[place] if place < self.joints else self.line.ends[end][1]

    def straight(self, place: int, end: int) -> int:
        """Chain between a block and the next in a straight line [mm]."""
        one, other = self.block(place, end), self.block(place + 1, end)
        return max(self.line.joint, one.lead_out, other.lead_in)

    def run(self, first: int, last: int, end: int) -> Run:
        """The blocks from one to another in a row."""
        key = (first, last, end if last == self.joints else 0)
        found = self._runs.get(key)
        if found is None:
            found = self._runs[key] = self._build(first, last, end)
        return found

    def _build(self, first: int, last: int, end: int) -> Run:
        boxes: list[Box] = []
        path: list[Point] = []
        ports: list[tuple[Point, Point]] = []
        x = y = 0
        for place in range(first, last + 1):
            block = self.block(place, end)
            boxes += [box.moved(x, y) for box in block.boxes]
            path += [(px + x, py + y) for px, py in block.path]
            ports += [((px + x, py + y), (px + x, py + y)) for px, py in block.ports]
            x, y = x + block.out[0], y + block.out[1]
            if place < last:
                far = x + self.straight(place, end)
                boxes += self.chain(x, y, far, place)
                ports += [((x, y), (x, y)), ((far, y), (far, y))]
                x = far
        made = tuple(boxes)
        return Run(
            made,
            tuple(path),
            tuple(ports),
            (x, y),
            self.block(first, end).lead_in,
            self.block(last, end).lead_out,
            extent_of(made),
        )

    def chain(self, x: int, y: int, far: int, joint: int) -> list[Box]:
        """A straight piece of chain with its clearances, along +x."""
        bend = self.line.bend
        half = bend.width // 2
        boxes = [Box("convey", "conveyor", x, y - half, far, y + half, "chain", joint)]
        if bend.left:
            boxes.append(
                Box("convey", "clearance", x, y + half, far, y + half + bend.left, "", joint)
            )
        if bend.right:
            boxes.append(
                Box("convey", "clearance", x, y - half - bend.right, far, y - half, "", joint)
            )
        return boxes

    # --- corners -----------------------------------------------------------------------------

    def corner(
        self, one: Run, other: Run, turn: str, variant: int, key: tuple[object, ...]
    ) -> Point:
        """Straight chain before and after the bend of a quarter turn [mm]."""
        wanted = (*key, turn, variant)
        found = self._corners.get(wanted)
        if found is None:
            found = self._corners[wanted] = self._corner(one, other, turn, variant)
        return found

    def _corner(self, one: Run, other: Run, turn: str, variant: int) -> Point:
        radius, sign = self.line.bend.radius, 1 if turn == "L" else -1
        before, after = one.lead_out, other.lead_in
        x, y = one.out[0] + before + radius, one.out[1] + sign * (radius + after)
        mine, theirs = one.faced(0), other.faced(sign % 4)
        need = 0
        # Moving one run away can bring it level with more of the other: all that it would meet is
        # asked for until nothing more comes up.
        while True:
            dx, dy = (need, 0) if variant == 0 else (0, sign * need)
            more = need
            for item, moved in clashes(mine, theirs, x + dx, y + dy):
                if variant == 0:
                    more = max(more, need + item[2] - moved[0])
                elif sign > 0:
                    more = max(more, need + item[3] - moved[1])
                else:
                    more = max(more, need + moved[3] - item[1])
            if more == need:
                break
            need = more
        return (before + need, after) if variant == 0 else (before, after + need)

    def cross(self, one: Run, other: Run, turn: str, key: tuple[object, ...]) -> int:
        """Least cross piece of a half turn [mm], a whole number of steps."""
        wanted = (*key, turn)
        found = self._rows.get(wanted)
        if found is None:
            found = self._rows[wanted] = self._cross(one, other, turn)
        return found

    def _cross(self, one: Run, other: Run, turn: str) -> int:
        radius, sign = self.line.bend.radius, 1 if turn == "LL" else -1
        x = one.out[0] + one.lead_out - other.lead_in
        y = one.out[1] + sign * 2 * radius
        solid, free = one.faced(0)
        theirs_solid, theirs_free = other.faced(2)
        need = 0
        pairs = ((solid, theirs_solid), (solid, theirs_free), (free, theirs_solid))
        for mine, theirs in pairs:
            for a, b, c, d in theirs:
                for item in mine:
                    if item[0] < c + x and a + x < item[2]:
                        need = max(need, item[3] - b - y if sign > 0 else d + y - item[1])
        return -(-need // STEP_MM) * STEP_MM

    # --- outlines ----------------------------------------------------------------------------

    def outlines(self, bends: int, long_side: int, short_side: int) -> Iterator[Outline]:
        """Every fold with so many bends whose outline goes into a rectangle, either way round.

        Runs are put down one after another; what sticks out already is not carried on, nor what
        cannot be brought to an end: two neighbouring runs must go into the rectangle by themselves.
        """
        sides = (long_side, short_side)
        within = self._within.get(sides)
        if within is None:
            within = self._within[sides] = _Within(self, long_side, short_side)
        for last in range(self.joints + 1):
            for end in self.ends_at(last):
                run = self.run(0, last, end)
                if within.goes_on(0, last, bends) and within(run.extent):
                    made = Outline(((("", 0),) * last), end, run.extent, ((run, (0, 0), 0),), ())
                    yield from self._carry_on(made, 0, last, bends, within)

    def ends_at(self, last: int) -> range:
        """The ways in which a run up to some block may end."""
        return range(len(self.line.ends) if last == self.joints else 1)

    def _carry_on(
        self, made: Outline, first: int, last: int, bends: int, within: _Within
    ) -> Iterator[Outline]:
        if last == self.joints:
            yield made
            return
        _, (x, y), heading = made.frames[-1]
        for step in within.steps(first, last):
            left = bends - len(step.word)
            if left < 0 or not within.goes_on(last + 1, step.far, left):
                continue
            extent = _around(made.extent, turned_rect(step.reach, heading, x, y))
            if not within(extent):
                continue
            mx, my = turned(*step.at, heading)
            longer = Outline(
                (*made.joints, (step.word, step.variant), *((("", 0),) * (step.far - last - 1))),
                step.end,
                extent,
                (*made.frames, (step.run, (x + mx, y + my), (heading + step.ahead) % 4)),
                (*made.straights, step.straight),
            )
            yield from self._carry_on(longer, last + 1, step.far, left, within)

    def steps(self, first: int, last: int, within: _Within) -> Iterator[Step]:
        """Every turn behind a run, with every run that may follow; those left out that do not go
        into a rectangle however long the chain."""
        run = self.run(first, last, 0)
        for word in WORDS:
            for far in range(last + 1, self.joints + 1):
                for end in self.ends_at(far):
                    following = self.run(last + 1, far, end)
                    if not self._may_fit(run, following, word, within):
                        continue
                    key = (first, last, far, end if far == self.joints else 0)
                    for variant, straight in enumerate(self._straights(run, following, word, key)):
                        if straight is None:
                            continue
                        at, ahead, chain = self._turned(run, following, word, straight)
                        reach = _around(chain, turned_rect(following.extent, ahead % 4, *at))
                        yield Step(word, variant, far, end, following, straight, at, ahead, reach)

    def _may_fit(self, run: Run, following: Run, word: str, within: _Within) -> bool:
        """Whether two runs can go into a rectangle together, however long the chain.

        More chain moves the second along one axis: across it, both together stay as wide as they
        are; along it, they are no shorter than the longer of them.
        """
        straight = (run.lead_out, following.lead_in) if len(word) == 1 else (0, 0)
        at, ahead, _ = self._turned(run, following, word, straight)
        there = turned_rect(following.extent, ahead % 4, *at)
        both = _sides(_around(run.extent, there))
        longer = tuple(map(max, _sides(run.extent), _sides(there)))
        # A quarter turn has its chain before or after the bend; a half turn has it across.
        for axis in (0, 1) if len(word) == 1 else (1,):
            sides = (longer[0], both[1]) if axis == 0 else (both[0], longer[1])
            if max(sides) <= within.long_side and min(sides) <= within.short_side:
                return True
        return False

    def _straights(
        self, one: Run, other: Run, word: str, key: tuple[object, ...]
    ) -> list[Point | None]:
        """Straight chain of each variant of a turn: before and after the bend, or the cross piece.

        None for a variant that is the same as another.
        """
        if len(word) == 1:
            before = self.corner(one, other, word, 0, key)
            after = self.corner(one, other, word, 1, key)
            return [before, None if after == before else after]
        least = self.cross(one, other, word, key)
        return [(least + more * STEP_MM, 0) for more in range(MORE_STEPS + 1)]

    def _turned(self, one: Run, other: Run, word: str, straight: Point) -> tuple[Point, int, Rect]:
        """Where the next run begins and how it is turned, and the chain between, clearances apart.

        In the frame of the run before.
        """
        radius, half = self.line.bend.radius, self.line.bend.width // 2
        sign = 1 if word[0] == "L" else -1
        out_x, out_y = one.out
        if len(word) == 1:
            before, after = straight
            at = (out_x + before + radius, out_y + sign * (radius + after))
            far, edge = out_x + before, at[1]
        else:
            at = (
                out_x + one.lead_out - other.lead_in,
                out_y + sign * (2 * radius + straight[0]),
            )
            far, edge = out_x + one.lead_out, at[1] + sign * half
        low, high = sorted((out_y - sign * half, edge))
        return at, sign if len(word) == 1 else 2, (out_x, low, far + radius + half, high)

    def shape(self, outline: Outline) -> Shape | None:
        """The boxes of a fold; None where the line would run into itself."""
        frames, straights = outline.frames, outline.straights
        words = [(joint, word) for joint, (word, _) in enumerate(outline.joints) if word]
        turns: list[tuple[list[Box], list[Point], Point]] = []
        parts: list[tuple[tuple[Rects, Rects], int, int]] = []
        for place, (run, (x, y), heading) in enumerate(frames):
            parts.append((run.faced(heading), x, y))
            if place < len(words):
                joint, word = words[place]
                turn = self._turn(run, frames[place + 1][0], word, straights[place], joint)
                turns.append(turn)
                parts.append((_faced(turn[0], heading), x, y))
        if _meets_itself(parts):
            return None
        boxes: list[Box] = []
        path: list[Point] = []
        ports: list[tuple[Point, Point]] = []
        for place, (run, (x, y), heading) in enumerate(frames):
            boxes += [turned_box(box, heading, x, y) for box in run.boxes]
            path += [_at(point, heading, x, y) for point in run.path]
            ports += [
                (_at(one, heading, x, y), _at(other, heading, x, y)) for one, other in run.ports
            ]
            if place < len(turns):
                pieces, line, far = turns[place]
                boxes += [turned_box(box, heading, x, y) for box in pieces]
                moved = [_at(point, heading, x, y) for point in line]
                path += moved
                ports += [
                    (_at(run.out, heading, x, y), moved[0]),
                    (_at(far, heading, x, y), frames[place + 1][1]),
                ]
        x0, y0, x1, y1 = extent_of(boxes)
        return Shape(
            outline.turns,
            tuple(box.moved(-x0, -y0) for box in boxes),
            tuple((px - x0, py - y0) for px, py in path),
            tuple(((ax - x0, ay - y0), (bx - x0, by - y0)) for (ax, ay), (bx, by) in ports),
            x1 - x0,
            y1 - y0,
            self.chains(outline),
        )

    def chains(self, outline: Outline) -> tuple[Joint, ...]:
        """What each joint of a fold is made of."""
        straights = iter(outline.straights)
        frames = iter(outline.frames)
        run, *_ = next(frames)
        made = []
        for place, (word, _) in enumerate(outline.joints):
            if not word:
                made.append(Joint(self.straight(place, outline.end), 0))
                continue
            before, (run, *_) = run, next(frames)
            straight = sum(next(straights))
            if len(word) > 1:  # the cross piece; its bends stand off both machines
                straight += before.lead_out + run.lead_in
            made.append(Joint(straight, len(word)))
        return tuple(made)

    def _turn(
        self, run: Run, following: Run, word: str, straight: Point, joint: int
    ) -> tuple[list[Box], list[Point], Point]:
        """The chain of a turn in the frame of the run before it: boxes, centre line and its end."""
        bend, sign = self.line.bend, 1 if word[0] == "L" else -1
        radius = bend.radius
        x, y = run.out
        before = straight[0] if len(word) == 1 else run.lead_out
        boxes: list[Box] = []
        line: list[Point] = [(x, y)]
        if before:
            boxes += self.chain(x, y, x + before, joint)
        x += before
        line.append((x, y))
        boxes += self._bend(x, y, 0, sign, joint)
        line += _arc(x, y, 0, sign, radius)
        x, y = x + radius, y + sign * radius
        length = straight[1] if len(word) == 1 else straight[0]
        if length:
            boxes += [turned_box(box, sign % 4, x, y) for box in self.chain(0, 0, length, joint)]
        y += sign * length
        line.append((x, y))
        if len(word) == 1:
            return boxes, line, (x, y)
        boxes += self._bend(x, y, sign % 4, sign, joint)
        line += _arc(x, y, sign % 4, sign, radius)
        x, y = x - radius, y + sign * radius
        after = following.lead_in
        if after:
            boxes += [turned_box(box, 2, x, y) for box in self.chain(0, 0, after, joint)]
        x -= after
        line.append((x, y))
        return boxes, line, (x, y)

    def _bend(self, x: int, y: int, heading: int, sign: int, joint: int) -> list[Box]:
        """A quarter turn that begins at (x, y)."""
        bend = self.line.bend
        half, side = bend.width // 2, bend.side
        low, high = (-half, side - half) if sign > 0 else (half - side, half)
        solid = Box("convey", "conveyor", 0, low, side, high, "bend", joint)
        return [turned_box(solid, heading, x, y)]


def _at(point: Point, heading: int, x: int, y: int) -> Point:
    px, py = turned(*point, heading)
    return px + x, py + y


def _arc(x: int, y: int, heading: int, sign: int, radius: int) -> list[Point]:
    """Points of a quarter circle that begins at (x, y), the first left out."""
    made = []
    # cos and sin of 22.5, 45, 67.5 and 90 degrees.
    for sine, versine in ((0.382683, 0.076120), (0.707107, 0.292893), (0.923880, 0.617317), (1, 1)):
        px, py = turned(round(sine * radius), sign * round(versine * radius), heading)
        made.append((x + px, y + py))
    return made


def _faced(boxes: Sequence[Box], heading: int) -> tuple[Rects, Rects]:
    """What stands on the floor, and the floor kept free, turned by quarters to the left."""
    solid, free = (
        [turned_rect(_rect(box), heading, 0, 0) for box in boxes if box.solid is wanted]
        for wanted in (True, False)
    )
    return solid, free


def _meets_itself(parts: Sequence[tuple[tuple[Rects, Rects], int, int]]) -> bool:
    """Whether parts of a line, each moved to its place, are in each other's way."""
    return any(
        next(clashes(one, other, ox - x, oy - y), None) is not None
        for place, (one, x, y) in enumerate(parts)
        for other, ox, oy in parts[:place]
    )
