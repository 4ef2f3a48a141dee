"""Heights in the elevation follow from the layout, the format and the catalogue."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from lineconfig.drawing.elevation import Elevation
from lineconfig.drawing.shapes import Shape, box_round
from tests.drawing.drawings import NAMES, drawn_line, elevation_of, example


def shapes_of(elevation: Elevation, function: str, role: str) -> list[Shape]:
    index = elevation.index(function)
    return [s for s in elevation.shapes if s.station == index and s.role == role and s.closed]


@pytest.mark.parametrize("name", NAMES)
def test_cans_leave_at_the_deck_and_enter_the_filler_at_its_infeed(name: str) -> None:
    _, layout, _ = example(name)
    elevation = elevation_of(name)
    assert elevation.profile[0][1] == layout.heights.deck_mm
    fill = elevation.index("fill")
    assert fill is not None
    assert elevation.level_at(elevation.spans[fill][0]) == pytest.approx(layout.infeed_mm)


@pytest.mark.parametrize("name", NAMES)
def test_the_path_never_jumps(name: str) -> None:
    for (x0, _), (x1, _) in pairwise(elevation_of(name).profile):
        assert x1 >= x0


@pytest.mark.parametrize("name", NAMES)
def test_written_heights_are_those_of_the_layout(name: str) -> None:
    study, layout, _ = example(name)
    levels = {level.name: level.height_mm for level in elevation_of(name).levels}
    assert levels["ceiling"] == study.need.brief.site.ceiling_mm
    assert levels["highest point"] == layout.highest.height_mm
    assert levels.get("unloader's top", levels["highest point"]) == layout.heights.top_mm
    assert levels["unloader deck"] == layout.heights.deck_mm
    assert levels["filler infeed"] == layout.infeed_mm


@pytest.mark.parametrize("name", NAMES)
def test_drop_and_spare_height_are_measured_where_they_are(name: str) -> None:
    study, layout, _ = example(name)
    upright = [m for m in elevation_of(name).figure.measures if not m.along_x]
    wanted = {study.need.brief.site.ceiling_mm - layout.highest.height_mm}
    if layout.heights.drop_mm:
        wanted.add(layout.heights.drop_mm)
    assert {round(m.length_mm, 6) for m in upright} == {round(mm, 6) for mm in wanted}


def test_a_delivered_stack_is_pallet_and_layers_with_their_sheets() -> None:
    # 21 layers of 122.2 mm cans with 0.9 mm sheets on a 120 mm pallet, as the catalogue has them
    _, layout, _ = example("growing-brewery")
    elevation = elevation_of("growing-brewery")
    can = elevation.inquiry.need.main_format.container
    pallet = can.pallet
    wanted_mm = pallet.base_mm + pallet.layers * (can.height_mm + pallet.sheet_mm)
    (stack,) = shapes_of(elevation, "supply", "stack")
    assert box_round(stack.points).high == pytest.approx(wanted_mm)
    assert layout.heights.layers_at_once[elevation.main] == pallet.layers


def test_a_lifted_stack_has_its_top_layer_on_the_deck() -> None:
    _, layout, _ = example("growing-brewery")
    elevation = elevation_of("growing-brewery")
    can = elevation.inquiry.need.main_format.container
    (stack,) = shapes_of(elevation, "unload", "stack")
    foot_of_top_layer_mm = box_round(stack.points).high - can.height_mm - can.pallet.sheet_mm
    assert foot_of_top_layer_mm == pytest.approx(layout.heights.deck_mm)


def test_an_inverted_run_has_the_length_of_the_catalogue() -> None:
    _, layout, _ = example("growing-brewery")
    elevation = elevation_of("growing-brewery")
    index = elevation.index("lower")
    (run,) = [run for run in elevation.runs if run.piece.station == index]
    ends = elevation.inverted(run)
    assert ends is not None
    wanted = layout.station("lower").option.equipment.inverted_run_mm
    assert math.dist(*ends) == pytest.approx(wanted)


def test_an_elevator_carries_cans_up_before_it_lets_them_down() -> None:
    study, layout, drawn = drawn_line(
        speed="100 cpm", require=["layer-grip-depalletizer", "gripper-elevator"]
    )
    elevation = Elevation(study.inquiry, layout, drawn.plan)
    highest_mm = max(height for _, height in elevation.profile)
    assert highest_mm > layout.heights.deck_mm
    assert highest_mm <= layout.station("lower").height_mm


def test_a_level_run_is_level_and_has_no_drop_to_measure() -> None:
    study, layout, drawn = drawn_line(require=["single-filing-table", "level-run"])
    elevation = Elevation(study.inquiry, layout, drawn.plan)
    spare_mm = 7000.0 - layout.highest.height_mm
    upright = [m.length_mm for m in elevation.figure.measures if not m.along_x]
    assert upright == [pytest.approx(spare_mm)]
    index = elevation.index("lower")
    assert index is not None
    ends = elevation.spans[index]
    assert elevation.level_at(ends[0]) == elevation.level_at(ends[1]) == layout.infeed_mm


@pytest.mark.parametrize("name", NAMES)
def test_people_stand_on_the_floor_or_on_the_platform_of_the_findings(name: str) -> None:
    elevation = elevation_of(name)
    for person in elevation.people:
        assert person.standing_mm == elevation.places.platforms_mm[person.station]


@pytest.mark.parametrize("name", NAMES)
def test_nothing_stands_below_the_floor_or_above_the_ceiling(name: str) -> None:
    study, _, _ = example(name)
    ceiling_mm = float(study.need.brief.site.ceiling_mm)
    for shape in elevation_of(name).shapes:
        if shape.role in ("machine", "conveyor", "pallet", "stack", "inverted", "path"):
            box = box_round(shape.points)
            assert box.low >= -1e-6 and box.high <= ceiling_mm + 1e-6, shape
