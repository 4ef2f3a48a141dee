"""Plan and elevation in characters."""

from __future__ import annotations

import io
import unicodedata

import pytest

from lineconfig.drawing.source import drawn_plan
from lineconfig.drawing.terminal import ASCII, UNICODE, drawing_lines, has_unicode, plan_lines
from lineconfig.quantities import feet_and_inches
from tests.drawing.drawings import NAMES, drawn_line, example


@pytest.mark.parametrize("width", [60, 78, 120])
@pytest.mark.parametrize("plain", [False, True])
@pytest.mark.parametrize("name", NAMES)
def test_no_line_is_too_wide(name: str, plain: bool, width: int) -> None:
    study, layout, _ = example(name)
    lines = drawing_lines(study, layout, width=width, ascii=plain)
    assert all(len(line) <= width for line in lines)
    if plain:
        assert all(line.isascii() for line in lines)


@pytest.mark.parametrize("name", NAMES)
def test_every_station_is_numbered_below_the_elevation(name: str) -> None:
    study, layout, _ = example(name)
    lines = drawing_lines(study, layout)
    floor = max(k for k, line in enumerate(lines) if UNICODE.floor in line)
    below = lines[floor + 1 :]
    words = next(k for k, line in enumerate(below) if line.startswith("Ceiling"))
    numbers = " ".join(below[:words]).split()
    assert sorted(numbers, key=int) == [str(n) for n in range(1, len(layout.stations) + 1)]


def test_the_plan_of_a_long_room_is_as_wide_as_allowed_and_true_to_shape() -> None:
    _, layout, drawn = example("growing-brewery")
    lines = plan_lines(drawn, layout, 78, UNICODE)
    room = lines[1:]
    assert len(room[0]) == 78
    columns, rows = len(room[0]) - 2, len(room) - 2
    # common practice: a cell of a terminal is twice as high as wide
    shape = columns / (2 * rows)
    assert shape == pytest.approx(drawn.plan.room_length_mm / drawn.plan.room_width_mm, rel=0.1)


def test_heights_stand_beside_the_elevation() -> None:
    study, layout, _ = example("growing-brewery")
    text = " ".join(" ".join(drawing_lines(study, layout)).split())
    for figure in (layout.infeed_mm, layout.heights.deck_mm, layout.highest.height_mm):
        assert f"{figure:,.0f}" in text and f"({feet_and_inches(figure)})" in text
    assert f"ceiling {study.inquiry.ceiling_mm:,.0f}" in text


def test_the_door_is_a_gap_in_its_wall() -> None:
    _, layout, drawn = example("startup")
    (door,) = drawn.plan.doors
    assert door.wall == "west"
    room = plan_lines(drawn, layout, 78, UNICODE)[1:]
    gaps = sum(not line.startswith(UNICODE.wall_upright) for line in room[1:-1])
    # A row that the door touches at all is part of the gap.
    share = door.width_mm / drawn.plan.room_width_mm
    assert gaps == pytest.approx(share * (len(room) - 2), abs=2.0)


def test_a_terminal_without_unicode_is_noticed() -> None:
    for encoding, known in (("utf-8", True), ("ascii", False), ("latin-1", False)):
        stream = io.TextIOWrapper(io.BytesIO(), encoding=encoding)
        assert has_unicode(stream) is known


def test_signs_take_one_cell_and_differ() -> None:
    for signs in (UNICODE, ASCII):
        floor = [signs.clearance, signs.walkway, signs.person, signs.pallet, signs.obstacle,
                 signs.chain]  # fmt: skip
        assert len(set(floor)) == len(floor)
        for sign in floor:
            assert len(sign) == 1 and unicodedata.east_asian_width(sign) not in ("W", "F")


def test_a_line_without_a_room_is_stretched_out() -> None:
    study, layout, drawn = drawn_line()
    assert not drawn.placed and not drawn_plan(study, layout).placed
    lines = drawing_lines(study, layout)
    assert lines[0].startswith("Plan, stretched out")
    assert UNICODE.wall_upright not in "".join(lines)


def test_what_stands_in_the_room_is_in_the_key() -> None:
    _, layout, drawn = drawn_line(
        site={
            "ceiling": "7 m", "length": "40 m", "width": "20 m",
            "obstacles": [
                {"name": "column", "x": "20 m", "y": "15 m", "length": "400 mm",
                 "width": "400 mm"}
            ],
        }
    )  # fmt: skip
    lines = plan_lines(drawn, layout, 78, ASCII)
    assert f"obstacle {ASCII.obstacle}" in " ".join(lines[:2])
    assert any(ASCII.obstacle in line for line in lines[2:])
