"""Where people stand and reach: platforms follow from the height of the deck."""

from __future__ import annotations

import pytest

from lineconfig.catalog_loading import load_catalog
from lineconfig.findings.places import Places
from lineconfig.findings.reach import reach_cautions, reach_of
from lineconfig.findings.whole import findings_of
from lineconfig.layout import Layout
from lineconfig.locate import examples_dir
from lineconfig.session import Study, open_study
from tests.findings.lines import formats, lift_called, lifting, line

FULL = formats("can-355-standard", supply="full-pallet")
HALF = formats("can-355-standard", supply="half-stack")


def codes(found: Study, layout: Layout) -> set[str]:
    places = Places(found.inquiry, layout)
    return {caution.code for caution in reach_cautions(places, reach_of(places))}


def test_a_full_height_deck_is_worked_from_a_platform() -> None:
    found, layout = line(formats=FULL, require=["full-height-depalletizer"])
    place = layout.stations.index(layout.station("unload"))
    standing_mm = Places(found.inquiry, layout).platforms_mm[place]
    deck_mm = layout.heights.deck_mm
    # 29 CFR 1910.28(b)(1)(i): fall protection from 4 ft (1.2 m).
    assert deck_mm > 2200 and standing_mm > 1200
    assert {"platform", "step-or-platform", "fall-protection"} <= codes(found, layout)
    # Pheasant and Haslegrave, Bodyspace, 2006: light standing work at 870 to 1170 mm.
    assert 870 <= deck_mm - standing_mm <= 1170
    sheet = lift_called(lifting(found, layout), "Sheet off the empty layer")
    frame = lift_called(lifting(found, layout), "Top frame off the stack")
    assert sheet.standing_mm == frame.standing_mm == pytest.approx(standing_mm)
    assert sheet.hands_mm[1] == pytest.approx(deck_mm - standing_mm)
    assert frame.hands_mm[1] == pytest.approx(deck_mm - standing_mm + 122.2)
    pallet = lift_called(lifting(found, layout), "Empty pallet onto a heap")
    assert pallet.standing_mm == 0 and pallet.hands_mm[0] == 120


def test_a_platform_under_a_low_ceiling_is_told_of() -> None:
    found, layout = line(
        formats=FULL, require=["full-height-depalletizer"], site={"ceiling": "3.2 m"}
    )
    standing_mm = max(Places(found.inquiry, layout).platforms_mm)
    # 29 CFR 1910.25(b)(2), from memory: 2,032 mm overhead.
    assert 3200 - standing_mm < 2032
    assert "low-headroom" in codes(found, layout)
    high, roomy = line(formats=FULL, require=["full-height-depalletizer"])
    assert 7000 - max(Places(high.inquiry, roomy).platforms_mm) > 2032
    assert "low-headroom" not in codes(high, roomy)


def test_a_half_height_deck_is_worked_from_the_floor_while_within_reach() -> None:
    found, layout = line(formats=HALF, require=["half-height-depalletizer"], speed="60 cpm")
    # NIOSH 94-110: within reach up to 175 cm.
    assert layout.heights.deck_mm <= 1750
    assert "platform" not in codes(found, layout)
    # Above the range of light work all the same: about head height (common practice).
    assert "hands-high" in codes(found, layout)


def test_a_raised_trough_takes_a_platform_that_reaches_its_lip() -> None:
    found, layout = line(
        formats=HALF, require=["gravity-trough-raised"], speed="40 cpm",
        staff={"ladder_work": True},
    )  # fmt: skip
    place = layout.stations.index(layout.station("unload"))
    standing_mm = Places(found.inquiry, layout).platforms_mm[place]
    assert layout.heights.hands_mm > 1750 and standing_mm > 0
    lift = lift_called(lifting(found, layout), "Layer tipped over the lip")
    assert lift.standing_mm == pytest.approx(standing_mm)
    assert lift.hands_mm[1] <= 1750 + 1e-6
    assert "platform" in codes(found, layout)


def test_a_low_trough_takes_none() -> None:
    found, layout = line(
        formats=HALF, require=["gravity-trough"], speed="40 cpm", rinse="none-accepted"
    )
    assert Places(found.inquiry, layout).platforms_mm == (0.0,) * len(layout.stations)


def test_tables_of_packing_stand_at_the_lines_level() -> None:
    found, layout = line(require=["hand-pack"], formats=HALF)
    rows = reach_of(Places(found.inquiry, layout))
    place = layout.stations.index(layout.station("pack"))
    (row,) = [row for row in rows if row.station == place]
    assert row.hands_mm == layout.station("fill").discharge_mm
    assert row.standing_mm == 0


@pytest.mark.parametrize("name", ["co-packer", "growing-brewery", "mixed-containers", "startup"])
def test_nobody_lifts_below_the_feet_or_stands_without_need(name: str) -> None:
    found = open_study(examples_dir() / f"{name}.yaml")
    for layout in found.arrangements():
        places = Places(found.inquiry, layout)
        for lift in lifting(found, layout).lifts:
            assert lift.hands_mm[0] >= 0
            assert lift.standing_mm in (0.0, places.platforms_mm[lift.station])
        for place, standing_mm in enumerate(places.platforms_mm):
            rows = [r for r in findings_of(found.inquiry, layout).reach if r.station == place]
            assert standing_mm == 0 or any(
                lift.platform or task.platform
                for task in layout.stations[place].option.equipment.attendance.tasks
                for lift in task.lifts or [task]
            )
            for row in rows:
                assert row.hands_mm - row.standing_mm <= 1750 + 1e-6


def test_each_unloader_says_where_hands_work() -> None:
    for item in load_catalog().of("unload"):
        assert any(task.hands is not None for task in item.attendance.tasks), item.id
