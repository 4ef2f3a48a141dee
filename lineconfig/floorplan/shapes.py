"""Shapes: every way in which a line folds, before it is put into a room.

At each joint the line goes straight on, turns a quarter to the left or right over one bend, or
doubles back over two. A quarter turn has the least straight chain, before or after its bend, that
keeps the two runs which it joins out of each other's way; a half turn has the least cross piece
that does, in steps of half a metre, or a few steps more. Shapes are drawn with the line's first
run towards +x and the operators on the left; the rest are turned and mirrored from these.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
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


class Pattern(NamedTuple):
    """What every joint does, and where the wrapper stands."""

    joints: tuple[Choice, ...]
    end: int

    @property
    def turns(self) -> tuple[Turn, ...]:
        """The bends in flow order."""
        letters = "".join(choice for choice, _ in self.joints)
        return tuple("left" if letter == "L" else "right" for letter in letters)


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


@dataclass(frozen=True, slots=True)
class Shape:
    """A folded line, its south-west corner at the origin."""

    pattern: Pattern
    boxes: tuple[Box, ...]
    path: tuple[Point, ...]
    ports: tuple[tuple[Point, Point], ...]
    length: int
    width: int
    chain_mm: int
    """Straight chain between blocks, bends apart."""


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


def extent_of(boxes: tuple[Box, ...]) -> Rect:
    """The rectangle around some boxes."""
    return (
        min(box.x0 for box in boxes),
        min(box.y0 for box in boxes),
        max(box.x1 for box in boxes),
        max(box.y1 for box in boxes),
    )


def clash(one: Box, other: Box) -> bool:
    """Whether two boxes of different stations cannot lie where they are."""
    return (
        (one.solid or other.solid)
        and one.x0 < other.x1
        and other.x0 < one.x1
        and one.y0 < other.y1
        and other.y0 < one.y1
    )


class Folder:
    """Folds one line; runs and corners are worked out once."""

    def __init__(self, line: Line) -> None:
        self.line = line
        self.joints = len(line.blocks)
        self._runs: dict[tuple[int, int, int], Run] = {}
        self._corners: dict[tuple[object, ...], tuple[int, int]] = {}
        self._rows: dict[tuple[object, ...], int] = {}

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
        need = 0
        for box in other.boxes:
            moved = turned_box(box, sign % 4, x, y)
            for item in one.boxes:
                if clash(item, moved):
                    if variant == 0:
                        need = max(need, item.x1 - moved.x0)
                    elif sign > 0:
                        need = max(need, item.y1 - moved.y0)
                    else:
                        need = max(need, moved.y1 - item.y0)
        # Moving one run away can bring it level with more of the other: all that it would meet is
        # asked for until nothing more comes up.
        while True:
            dx, dy = (need, 0) if variant == 0 else (0, sign * need)
            more = need
            for box in other.boxes:
                moved = turned_box(box, sign % 4, x + dx, y + dy)
                for item in one.boxes:
                    if clash(item, moved):
                        if variant == 0:
                            more = max(more, need + item.x1 - moved.x0)
                        elif sign > 0:
                            more = max(more, need + item.y1 - moved.y0)
                        else:
                            more = max(more, need + moved.y1 - item.y0)
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
        need = 0
        for box in other.boxes:
            moved = turned_box(box, 2, x, y)
            for item in one.boxes:
                if (
                    (item.solid or moved.solid)
                    and item.x0 < moved.x1
                    and moved.x0 < item.x1
                ):  # fmt: skip
                    need = max(need, item.y1 - moved.y0 if sign > 0 else moved.y1 - item.y0)
        return -(-need // STEP_MM) * STEP_MM

    # --- patterns ----------------------------------------------------------------------------

    def patterns(self, bends: int, longest: int) -> Iterator[tuple[str, ...]]:
        """What the joints do, for so many bends; no run longer than the room's longer side."""
        words: dict[int, tuple[str, ...]] = {0: ("",), 1: ("L", "R"), 2: ("LL", "RR")}

        def fill(
            place: int, start: int, left: int, made: tuple[str, ...]
        ) -> Iterator[tuple[str, ...]]:
            if place == self.joints:
                if left == 0 and self._fits(start, self.joints, longest):
                    yield made
                return
            for taken in range(min(2, left) + 1):
                if taken and not self._fits(start, place, longest):
                    continue
                for word in words[taken]:
                    following = place + 1 if taken else start
                    yield from fill(place + 1, following, left - taken, (*made, word))

        return fill(0, 0, bends, ())

    def _fits(self, first: int, last: int, longest: int) -> bool:
        return any(
            run.extent[2] - run.extent[0] <= longest
            for run in (self.run(first, last, end) for end in range(len(self.line.ends)))
        )

    def variants(self, words: tuple[str, ...]) -> Iterator[tuple[Choice, ...]]:
        """A pattern with every variant of its turns."""
        if not words:
            yield ()
            return
        word = words[0]
        for variant in range(1 if not word else 2 if len(word) == 1 else MORE_STEPS + 1):
            for rest in self.variants(words[1:]):
                yield ((word, variant), *rest)

    def outline(self, pattern: Pattern) -> tuple[Rect, list[tuple[Run, Point, int]], list[Point]]:
        """Where the runs of a pattern lie: the rectangle around them, and each run's frame.

        Also the straight lengths at each turn: before and after a bend, or the cross piece.
        """
        runs: list[tuple[Run, int, int]] = []
        first = 0
        for joint, (word, _) in enumerate(pattern.joints):
            if word:
                runs.append((self.run(first, joint, pattern.end), first, joint))
                first = joint + 1
        runs.append((self.run(first, self.joints, pattern.end), first, self.joints))
        frames: list[tuple[Run, Point, int]] = []
        straights: list[Point] = []
        x = y = heading = 0
        x0 = y0 = x1 = y1 = 0
        turns = [choice for choice in pattern.joints if choice[0]]
        radius, half = self.line.bend.radius, self.line.bend.width // 2
        end = pattern.end
        for place, (run, a, b) in enumerate(runs):
            frames.append((run, (x, y), heading))
            ax, ay, bx, by = turned_rect(run.extent, heading, x, y)
            x0, y0, x1, y1 = min(x0, ax), min(y0, ay), max(x1, bx), max(y1, by)
            if place == len(turns):
                break
            word, variant = turns[place]
            following, c, d = runs[place + 1]
            key = (a, b, c, d, end if d == self.joints else 0)
            sign = 1 if word[0] == "L" else -1
            if len(word) == 1:
                before, after = self.corner(run, following, word, variant, key)
                straights.append((before, after))
                dx, dy = run.out[0] + before + radius, run.out[1] + sign * (radius + after)
                ahead = sign
            else:
                cross = self.cross(run, following, word, key) + variant * STEP_MM
                straights.append((cross, 0))
                dx = run.out[0] + run.lead_out - following.lead_in
                dy = run.out[1] + sign * (2 * radius + cross)
                ahead = 2
            # What the chain of a turn takes besides the runs.
            far = run.out[0] + (straights[-1][0] if len(word) == 1 else run.lead_out)
            low, high = sorted(
                (run.out[1] - sign * half, dy + (sign * half if len(word) > 1 else 0))
            )
            ax, ay, bx, by = turned_rect(
                (run.out[0], low, far + radius + half, high), heading, x, y
            )
            x0, y0, x1, y1 = min(x0, ax), min(y0, ay), max(x1, bx), max(y1, by)
            mx, my = turned(dx, dy, heading)
            x, y, heading = x + mx, y + my, (heading + ahead) % 4
        return (x0, y0, x1, y1), frames, straights

    def shape(self, pattern: Pattern) -> Shape | None:
        """The boxes of a pattern; None where the line would run into itself."""
        _, frames, straights = self.outline(pattern)
        parts: list[list[Box]] = []
        path: list[Point] = []
        ports: list[tuple[Point, Point]] = []
        turns = [(joint, word) for joint, (word, _) in enumerate(pattern.joints) if word]
        chain_mm = 0
        for place, (run, (x, y), heading) in enumerate(frames):
            parts.append([turned_box(box, heading, x, y) for box in run.boxes])
            path += [_at(point, heading, x, y) for point in run.path]
            ports += [
                (_at(one, heading, x, y), _at(other, heading, x, y)) for one, other in run.ports
            ]
            if place == len(turns):
                break
            joint, word = turns[place]
            boxes, line, far = self._turn(run, frames[place + 1][0], word, straights[place], joint)
            parts.append([turned_box(box, heading, x, y) for box in boxes])
            moved = [_at(point, heading, x, y) for point in line]
            path += moved
            following = frames[place + 1][1]
            ports += [
                (_at(run.out, heading, x, y), moved[0]),
                (_at(far, heading, x, y), following),
            ]
            chain_mm += sum(
                max(box.x1 - box.x0, box.y1 - box.y0) for box in boxes if box.note == "chain"
            )
        if _meets_itself(parts):
            return None
        for part in parts[::2]:
            chain_mm += sum(
                max(box.x1 - box.x0, box.y1 - box.y0) for box in part if box.note == "chain"
            )
        boxes_ = tuple(box for part in parts for box in part)
        x0, y0, x1, y1 = extent_of(boxes_)
        return Shape(
            pattern,
            tuple(box.moved(-x0, -y0) for box in boxes_),
            tuple((px - x0, py - y0) for px, py in path),
            tuple(((ax - x0, ay - y0), (bx - x0, by - y0)) for (ax, ay), (bx, by) in ports),
            x1 - x0,
            y1 - y0,
            chain_mm,
        )

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


def _meets_itself(parts: list[list[Box]]) -> bool:
    """Whether boxes of different runs or turns clash; parts alternate between runs and turns."""
    extents = [extent_of(tuple(part)) for part in parts]
    for place, part in enumerate(parts):
        for other in range(place):
            a, b = extents[place], extents[other]
            if a[0] >= b[2] or b[0] >= a[2] or a[1] >= b[3] or b[1] >= a[3]:
                continue
            if any(clash(box, item) for box in part for item in parts[other]):
                return True
    return False
