"""Half stacks that are unloaded by hand: lifts, reach, texts and drawing say the same heights.

A lift table raises a stack and never lowers it: layers that stand above the deck as it is set down
are taken from there. 11 layers of 122.2 mm cans with 0.9 mm sheets on a 120 mm pallet are 1,474 mm
high; a pallet stands 85 mm high on the lowered table.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from lineconfig.drawing.elevation import Elevation
from lineconfig.drawing.shapes import box_round
from lineconfig.findings.places import Places
from lineconfig.findings.reach import reach_cautions, reach_of
from lineconfig.hazards import cautions_for
from lineconfig.layout import Layout
from lineconfig.present.layout import layout_text
from lineconfig.present.records import layout_record
from lineconfig.present.stacks import stack_texts
from lineconfig.session import Study
from tests.drawing.drawings import drawn_line
from tests.findings.lines import formats, lift_called, lifting, line

HALF = formats("can-355-standard", supply="half-stack")
PITCH_MM = 122.2 + 0.9
HANDFUL = "Handful of cans onto the shelf"


@cache
def by_hand(supply: str, unload: str = "hand-loading-shelf") -> tuple[Study, Layout]:
    return line(speed="30 cpm", formats=HALF, require=[supply, unload])


def codes(found: Study, layout: Layout) -> dict[str, str]:
    places = Places(found.inquiry, layout)
    return {
        caution.code: caution.text
        for caution in reach_cautions(places, reach_of(places))
        if caution.text.startswith("Hand-loading shelf")
    }


@pytest.mark.parametrize("supply", ["half-stack-lift-table", "half-stack-jack"])
def test_handfuls_are_lifted_from_where_the_layers_stand(supply: str) -> None:
    found, layout = by_hand(supply)
    deck_mm = layout.heights.deck_mm
    on_table = supply == "half-stack-lift-table"
    foot_mm = 85 if on_table else 0
    top_mm = foot_mm + 120 + 10 * PITCH_MM
    lowest_mm = deck_mm if on_table else 120
    lift = lift_called(lifting(found, layout), HANDFUL)
    assert lift.hands_mm == pytest.approx((lowest_mm, max(deck_mm, top_mm)))
    (row,) = [
        r for r in reach_of(Places(found.inquiry, layout)) if r.task.startswith("Set a handful")
    ]
    assert (row.lowest_mm, row.hands_mm) == pytest.approx((lowest_mm, max(deck_mm, top_mm)))
    # Pheasant and Haslegrave, Bodyspace, 2006: light standing work at 870 to 1170 mm.
    said = codes(found, layout)
    assert f"ands {max(deck_mm, top_mm):.0f} mm" in said["hands-high"]
    assert ("hands-low" in said) is not on_table


def test_layers_told_at_once_are_those_of_the_formula() -> None:
    found, layout = by_hand("half-stack-lift-table")
    record = layout_record(found, layout)
    deck_mm = record["heights_mm"]["unload_deck"]
    level = sum(85 + 120 + k * PITCH_MM <= deck_mm for k in range(11))
    assert level < 11
    assert record["pallet_layers_at_once"] == level
    stack = record["stack_by_format"]["can-355-standard"]
    assert (stack["layers"], stack["layers_above_deck"], stack["loads"]) == (11, 11 - level, 1)
    assert stack["delivered_mm"] == pytest.approx(1474.1)
    assert stack["taken_mm"]["highest"] == pytest.approx(85 + 120 + 10 * PITCH_MM)
    text = " ".join(layout_text(found, layout).split())
    assert f"{level} of 11" in text
    assert level == 10
    assert "its top layer is above the deck and taken down from 1,436 mm" in text
    # A deck three layers lower has four above it, to the words alone.
    low_mm = deck_mm - 3 * PITCH_MM
    taken_mm = tuple(max(low_mm, 85 + 120 + k * PITCH_MM) for k in range(11))
    lower = replace(layout.heights, deck_mm=low_mm, taken_mm=(taken_mm,))
    (said,) = stack_texts(found, replace(layout, heights=lower))
    assert "the upper 4 of 11 layers are above the deck" in said
    assert "down from up to 1,436 mm" in said


def test_a_stack_that_is_drawn_on_its_lift_table_stands_on_it() -> None:
    study, layout, drawn = drawn_line(
        speed="30 cpm", formats=HALF, require=["half-stack-lift-table", "hand-loading-shelf"]
    )
    elevation = Elevation(study.inquiry, layout, drawn.plan)
    supply = elevation.index("supply")
    (stack,) = [s for s in elevation.shapes if s.role == "stack" and s.station == supply]
    box = box_round(stack.points)
    assert (box.low, box.high) == pytest.approx((85 + 120, 85 + 1474.1))
    (level,) = [level for level in elevation.levels if level.name.startswith("stack")]
    assert level.height_mm == pytest.approx(85 + 1474.1)
    assert level.name == "stack as set down"


def test_a_stack_too_high_for_a_low_trough_is_split_and_said_to_be() -> None:
    found, layout = by_hand("half-stack-lift-table", "gravity-trough")
    assert layout.heights.loads_per_pallet == (2,)
    plain: dict[str, Any] = {
        caution.code: caution for caution in cautions_for(found.inquiry, layout)
    }
    assert "1,474 mm" in plain["split-pallets"].text
    text = " ".join(layout_text(found, layout).split())
    assert "split into 2 loads" in text
    # Both loads take a person's time: economics.yaml, 12 min for each beyond the first.
    whole = line(speed="30 cpm", formats=HALF, require=["single-filing-table"])[1]
    assert whole.heights.loads_per_pallet == (1,)
    station = layout.station("unload")
    split = [task for task in station.tasks[0] if task.minutes == pytest.approx(12)]
    assert [task.every_cans for task in split] == [11 * 389]
