"""Noise of whole lines: levels at stations and the shift of each person."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from lineconfig.assess.noise import combined_level_dba, permitted_h, recommended_h
from lineconfig.findings.noise import Noise, extents_m, noise_findings_cautions, noise_of
from lineconfig.layout import Layout
from lineconfig.session import Study
from tests.findings.lines import formats, line, shipped


@pytest.fixture(scope="module")
def found() -> tuple[Study, Layout, Noise]:
    study, layout = line()
    return study, layout, noise_of(study.inquiry, layout)


def test_every_machine_states_its_level_within_what_the_trade_knows() -> None:
    # hse.gov.uk/food/noise.htm: compressed air and packaging machinery 85 to 95 dBA in the food
    # industry; new machines a metre away lie below that (common practice), hand work far below.
    for item in shipped().classes.values():
        assert (item.noise_dba is None) == item.absent, item.id
        if item.noise_dba is not None:
            assert 40 <= item.noise_dba <= 95, item.id
    levels = {k: float(v.noise_dba or 0) for k, v in shipped().classes.items()}
    # Common practice: air knives are the loudest place of a small line, and speed is loud.
    for dryer in ("rinse-blow-off", "two-stage-air-knife"):
        assert 85 <= levels[dryer] <= 92
        assert levels[dryer] > max(levels["inline-16-head"], levels["carrier-applicator"])
    assert levels["hand-wipe"] < levels["rinse-blow-off"] < levels["two-stage-air-knife"]
    rows = ("hand-fed-2-head", "inline-4-6-head", "inline-8-12-head", "inline-16-head")
    rotary = tuple(f"rotary-counter-pressure-{size}" for size in ("small", "medium", "high-speed"))
    for names in (rows, rotary):
        assert [levels[name] for name in names] == sorted({levels[name] for name in names})
    assert levels["hand-palletizing"] < levels["row-palletizer"]


def test_a_place_is_louder_than_its_own_machine_and_than_any_one_of_them(
    found: tuple[Study, Layout, Noise],
) -> None:
    _, layout, noise = found
    everything = combined_level_dba(
        [row.own_dba for row in noise.stations if row.own_dba is not None]
    )
    for row in noise.stations:
        assert row.own_dba is None or row.there_dba >= row.own_dba - 1e-9
        assert row.there_dba <= everything + 1e-9
    assert len(noise.stations) == len(layout.stations)


def test_one_machine_alone_is_heard_as_stated(found: tuple[Study, Layout, Noise]) -> None:
    study, layout, _ = found
    quiet = replace(
        layout,
        stations=tuple(
            station
            if station.function == "dry"
            else replace(
                station,
                option=replace(
                    station.option,
                    equipment=station.option.equipment.model_copy(update={"noise_dba": None}),
                ),
            )
            for station in layout.stations
        ),
    )
    noise = noise_of(study.inquiry, quiet)
    (place,) = [i for i, s in enumerate(layout.stations) if s.function == "dry"]
    own = layout.stations[place].option.equipment.noise_dba
    assert own is not None
    assert noise.stations[place].there_dba == pytest.approx(float(own))
    extents = extents_m(study.inquiry, layout)
    (far,) = [i for i, s in enumerate(layout.stations) if s.function == "palletize"]
    metres = (extents[far][0] + extents[far][1]) / 2 - extents[place][1]
    # By hand: 4 dB for each doubling of the distance from the end of the dryer.
    assert noise.stations[far].there_dba == pytest.approx(float(own) - 4 * math.log2(metres))


def test_the_line_stretches_out_to_its_length(found: tuple[Study, Layout, Noise]) -> None:
    study, layout, _ = found
    extents = extents_m(study.inquiry, layout)
    flow = [
        extent
        for station, extent in zip(layout.stations, extents, strict=True)
        if station.function not in ("supply", "wrap", "convey")
    ]
    assert flow[-1][1] - flow[0][0] == pytest.approx(layout.floor.length_mm / 1000)
    assert [start for start, _ in flow] == sorted(start for start, _ in flow)


def test_a_dose_by_hand(found: tuple[Study, Layout, Noise]) -> None:
    _, _, noise = found
    for post in noise.posts:
        assert sum(e.hours for e in post.exposures) == pytest.approx(noise.hours)
        by_hand = 100 * sum(
            e.hours / permitted_h(e.level_dba) for e in post.exposures if e.level_dba >= 80
        )
        assert post.dose_percent == pytest.approx(by_hand)
        recommended = 100 * sum(e.hours / recommended_h(e.level_dba) for e in post.exposures)
        assert post.recommended_dose_percent == pytest.approx(recommended)
        assert post.most_at in post.stations


def test_fewer_hours_a_week_than_a_shift_count_as_they_are() -> None:
    few = [{"container": "can-355-standard", "annual_cans": 300_000}]
    study, layout = line(operation={"hours_per_week": 5}, speed="60 cpm", formats=few)
    assert noise_of(study.inquiry, layout).hours == 5


def louder(layout: Layout, by_db: float) -> Layout:
    return replace(
        layout,
        stations=tuple(
            replace(
                station,
                option=replace(
                    station.option,
                    equipment=station.option.equipment.model_copy(
                        update={"noise_dba": float(station.option.equipment.noise_dba or 0) + by_db}
                    ),
                ),
            )
            for station in layout.stations
        ),
    )


@pytest.mark.parametrize(
    ("by_db", "code"),
    [(-15, None), (0, "noise-"), (8, "noise-above-limit"), (30, "noise-above-ceiling")],
)
def test_cautions_come_with_the_level(
    found: tuple[Study, Layout, Noise], by_db: float, code: str | None
) -> None:
    study, layout, _ = found
    changed = louder(layout, by_db)
    cautions = noise_findings_cautions(study.inquiry, changed, noise_of(study.inquiry, changed))
    codes = [caution.code for caution in cautions]
    assert len(codes) == len(set(codes))
    if code is None:
        assert codes == []
    else:
        assert any(found_code.startswith(code) for found_code in codes)
        for caution in cautions:
            assert caution.text.startswith("Person") and "Measure" in caution.text


def test_glass_is_said_to_be_louder() -> None:
    study, layout = line(
        speed="50 cpm", formats=formats("bottle-500"), require=["inline-8-12-head"]
    )
    loud = louder(layout, 10)
    (caution, *_) = noise_findings_cautions(study.inquiry, loud, noise_of(study.inquiry, loud))
    assert "Glass is louder" in caution.text
