"""Floor of guards and platforms: counted in the line's floor, and the same figure everywhere."""

from __future__ import annotations

import pytest

from lineconfig.findings.guards import guards_of
from lineconfig.findings.places import Places
from lineconfig.findings.reach import platforms_of
from lineconfig.layout import Layout
from lineconfig.session import Study
from tests.findings.lines import formats, line

FULL = formats("can-355-standard", supply="full-pallet")


def guarded(guard: str, unload: str) -> tuple[Study, Layout]:
    return line(formats=FULL, require=[guard, unload])


@pytest.mark.parametrize(
    ("guard", "unload", "by_hand_m2"),
    [
        # ISO 13855:2010 by hand: T .04 + .35 s, d 30 mm: 1600 T + 8 x 16 = 752 mm, 2 m wide.
        ("light-curtain", "full-height-depalletizer", 0.752 * 2.0),
        # T .06 + .35 s: 1600 T = 656 mm, 2.2 m wide.
        ("interlocked-doors", "full-height-depalletizer", 0.656 * 2.2),
        # T .04 + .5 s: 1600 T + 8 x 16 = 992 mm, 2 m wide.
        ("light-curtain", "layer-grip-depalletizer", 0.992 * 2.0),
    ],
)
def test_the_depth_of_a_guard_is_floor(guard: str, unload: str, by_hand_m2: float) -> None:
    _, layout = guarded(guard, unload)
    (found,) = guards_of(layout)
    assert layout.stations[found.station].area_m2 == pytest.approx(by_hand_m2)
    assert found.area_m2 == pytest.approx(by_hand_m2)


def test_the_unloader_has_its_platform_and_clearance_as_floor() -> None:
    found, layout = guarded("light-curtain", "full-height-depalletizer")
    (platform,) = platforms_of(Places(found.inquiry, layout))
    station = layout.stations[platform.station]
    size, clearance = station.option.equipment.size, station.option.equipment.clearance
    assert size is not None and clearance is not None and station.function == "unload"
    plain_m2 = size.length_mm * (size.width_mm + clearance.left_mm + clearance.right_mm) / 1e6
    assert platform.height_mm > 1000 and platform.area_m2 > 0.4
    assert station.area_m2 == pytest.approx(plain_m2 + platform.area_m2)
    assert layout.floor.area_m2 == pytest.approx(sum(s.area_m2 for s in layout.stations))


def test_work_at_a_good_height_takes_no_platform() -> None:
    _, layout = line(speed="60 cpm", formats=formats("can-355-standard", supply="half-stack"),
                     require=["half-height-depalletizer"])  # fmt: skip
    found, _ = line()
    assert platforms_of(Places(found.inquiry, layout)) == ()
    unload = layout.station("unload")
    size, clearance = unload.option.equipment.size, unload.option.equipment.clearance
    assert size is not None and clearance is not None
    plain_m2 = size.length_mm * (size.width_mm + clearance.left_mm + clearance.right_mm) / 1e6
    assert unload.area_m2 == pytest.approx(plain_m2)


def test_a_slower_machine_takes_more_floor_before_its_guard() -> None:
    quick, slow = (
        guarded("light-curtain", unload)[1].station("guard").area_m2
        for unload in ("full-height-depalletizer", "bulk-depalletizer")
    )
    assert slow > quick
