"""Guards of whole lines: distances against the published formulas, worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lineconfig.assess.guarding import light_curtain_distance, us_distance
from lineconfig.findings.guards import guard_cautions, guards_of
from lineconfig.layout import Layout
from tests.findings.lines import formats, line

INCH_MM = 25.4


def guarded(guard: str, unload: str = "full-height-depalletizer") -> Layout:
    full = formats("can-355-standard", supply="full-pallet")
    _, layout = line(formats=full, require=[guard, unload])
    return layout


def test_a_light_curtain_stands_where_iso_13855_puts_it() -> None:
    layout = guarded("light-curtain")
    (guard,) = guards_of(layout)
    assert layout.stations[guard.station].option.id == "light-curtain"
    assert guard.iso is not None and guard.us is not None
    # ISO 13855:2010, 6.2.3 by hand, T = .04 + .35 s, d = 30 mm: 2000 T + 8 x 16 = 908 > 500, so
    # 1600 T + 8 x 16 = 752.
    assert guard.iso.distance_mm == pytest.approx(752)
    assert guard.iso == light_curtain_distance(0.39, 30.0)
    # 29 CFR 1910.217: 63 x .39 = 24.57 in, rounded up to 25.
    assert guard.us.distance_mm == pytest.approx(25 * INCH_MM)
    assert guard.us == us_distance(0.39)
    # The class keeps 600 mm free.
    assert guard.floor_mm == pytest.approx(752)
    assert guard.beyond_mm == pytest.approx(152)


def test_doors_stand_at_the_way_of_a_hand_while_the_machine_stops() -> None:
    (guard,) = guards_of(guarded("interlocked-doors"))
    # ISO 13855:2010, clause 9 by hand: 1600 x (.06 + .35).
    assert guard.iso is not None and guard.iso.distance_mm == pytest.approx(656)
    assert guard.us is None and guard.resolution_mm is None
    assert guard.beyond_mm == 0


def test_a_slower_machine_is_guarded_from_farther_away() -> None:
    near, far = (
        guards_of(guarded("light-curtain", unload))[0]
        for unload in ("full-height-depalletizer", "layer-grip-depalletizer")
    )
    assert near.stopping_s is not None and far.stopping_s is not None
    assert near.stopping_s < far.stopping_s
    assert near.iso is not None and far.iso is not None
    assert near.iso.distance_mm < far.iso.distance_mm


def test_work_by_hand_has_no_guard_to_place() -> None:
    _, layout = line(
        speed="40 cpm", rinse="none-accepted", require=["gravity-trough"],
        formats=formats("can-355-standard", supply="half-stack"),
    )  # fmt: skip
    assert guards_of(layout) == ()


def test_each_guard_has_a_caution_with_its_distance() -> None:
    layout = guarded("light-curtain")
    (caution,) = guard_cautions(layout, guards_of(layout))
    assert caution.code == "guard-distance"
    assert "752 mm" in caution.text and "152 mm beyond" in caution.text
    assert "measured" in caution.text and "ISO 13855" in caution.basis


def test_without_a_stopping_time_the_distance_stays_open() -> None:
    layout = guarded("light-curtain")
    stations = tuple(
        replace(
            station,
            option=replace(
                station.option,
                equipment=station.option.equipment.model_copy(update={"stopping_min": None}),
            ),
        )
        for station in layout.stations
    )
    unknown = replace(layout, stations=stations)
    (guard,) = guards_of(unknown)
    assert (guard.iso, guard.us, guard.floor_mm, guard.beyond_mm) == (None,) * 4
    (caution,) = guard_cautions(unknown, (guard,))
    assert "not stated" in caution.text
