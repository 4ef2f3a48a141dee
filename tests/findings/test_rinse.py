"""Rinse of whole lines: times and water by hand, and the catalogue's drops against mechanics."""

from __future__ import annotations

import math

import pytest

from lineconfig.assess.tracks import (
    ALUMINIUM_ON_STEEL_AT_REST,
    POLYETHYLENE_ON_STEEL_AT_REST,
    least_twist_drop,
)
from lineconfig.choose.heights import least_drop_mm
from lineconfig.findings.rinse import rinse_cautions, rinse_of
from lineconfig.findings.whole import findings_of
from tests.findings.lines import formats, line, shipped

FULL = formats("can-355-standard", supply="full-pallet")
TWIST = ["full-height-depalletizer", "twist-rinser"]


def test_times_over_the_header_and_to_drain_are_length_over_speed() -> None:
    found, layout = line(formats=FULL, require=[*TWIST, "water-rinse"])
    rinse = rinse_of(found.inquiry, layout)
    assert rinse is not None and rinse.medium == "water"
    (row,) = rinse.formats
    # Cans of 66.09 mm in single file, touching: 300 mm of header and 600 mm after it.
    speed_mm_s = layout.speed.rated[0] * 66.09 / 60
    assert row.rinse_s == pytest.approx(300 / speed_mm_s)
    assert row.drain_s == pytest.approx(600 / speed_mm_s)
    # 2 gpm without pause.
    assert row.water_l_per_1000 == pytest.approx(2 * 3.785411784 / layout.speed.rated[0] * 1000)
    assert row.film_ml is not None and 0 < row.film_ml < 5


def test_the_yearly_water_is_the_headers_flow_as_long_as_cans_run() -> None:
    rinsed, with_water = line(formats=FULL, require=[*TWIST, "water-rinse"])
    rinse = rinse_of(rinsed.inquiry, with_water)
    assert rinse is not None
    # 900,000 cans at the effective speed, 2 gpm all the while; 3.2 USD/m3 of the catalogue.
    minutes = 900_000 / with_water.speed.effective[0]
    header_m3 = minutes * 2 * 3.785411784 / 1000
    assert rinse.counted_l_per_1000 == pytest.approx(header_m3 * 1000 / 900)
    others_m3 = 900 * sum(s.option.equipment.water_l_per_1000 for s in with_water.stations) / 1000
    assert with_water.money.annual["water"] == pytest.approx((header_m3 + others_m3) * 3.2)


def test_one_header_flows_at_a_time() -> None:
    cans = formats("can-355-standard", "can-473-standard", supply="full-pallet")
    found, layout = line(formats=cans, require=["twist-rinser-pair", "water-rinse"])
    assert layout.station("rinse").quantity == 2
    rinse = rinse_of(found.inquiry, layout)
    assert rinse is not None
    minutes = sum(900_000 / speed for speed in layout.speed.effective)
    assert rinse.counted_l_per_1000 == pytest.approx(minutes * 2 * 3.785411784 / 1800)


def test_a_faster_line_rinses_shorter_and_leaves_more_water() -> None:
    films, codes = [], []
    for speed in ("60 cpm", "100 cpm", "240 cpm"):
        found, layout = line(formats=FULL, speed=speed, require=[*TWIST, "water-rinse"])
        rinse = rinse_of(found.inquiry, layout)
        assert rinse is not None and rinse.formats[0].film_ml is not None
        films.append(rinse.formats[0].film_ml)
        codes.append({caution.code for caution in rinse_cautions(found.inquiry, rinse)})
    assert films == sorted(films) and films[0] < 1 < films[-1]
    assert codes[0] == set() and codes[-1] == {"wet-can"}


def test_the_caution_is_for_the_format_that_drains_worst() -> None:
    cans = formats("can-355-standard", "can-568-standard", supply="full-pallet")
    found, layout = line(formats=cans, speed="240 cpm", require=["water-rinse"])
    (caution,) = rinse_cautions(found.inquiry, rinse_of(found.inquiry, layout))
    assert caution.text.startswith("568 ml")


def test_air_leaves_no_water() -> None:
    found, layout = line(formats=FULL, speed="240 cpm", require=[*TWIST, "ionized-air-rinse"])
    rinse = rinse_of(found.inquiry, layout)
    assert rinse is not None and rinse.medium == "ionized-air"
    assert rinse.formats[0].film_ml is None and rinse.formats[0].water_l_per_1000 == 0
    assert rinse_cautions(found.inquiry, rinse) == []


def test_a_line_without_rinse_has_no_figures_of_one() -> None:
    found, layout = line(formats=FULL, rinse="none-accepted", require=["no-rinse"])
    assert rinse_of(found.inquiry, layout) is None
    assert findings_of(found.inquiry, layout).rinse is None


# --- the catalogue's least drops -----------------------------------------------------------------

TWISTS = ["short-twist-rinser", "twist-rinser", "twist-rinser-pair", "twist-rinser-row",
          "twist-rinser-quad"]  # fmt: skip
ROOMY = 1.1
"""The catalogue's drops are rounded: a tenth beyond the bracket is let pass."""


def drops(class_id: str, friction: float) -> dict[str, tuple[float, float, float]]:
    """Can height, catalogue's drop and least drop at this friction, by can."""
    item = shipped().classes[class_id]
    assert item.inverted_run_mm is not None
    return {
        can.id: (
            float(can.height_mm),
            least_drop_mm(item.heights.drop, [can]),
            least_twist_drop(
                can.height_mm, can.diameter_mm, 100.0,
                friction=friction, inverted_mm=item.inverted_run_mm,
            ).drop_mm,
        )
        for can in shipped().containers.values()
        if can.kind == "two-piece-can"
    }  # fmt: skip


@pytest.mark.parametrize("class_id", TWISTS)
def test_least_drops_lie_where_published_friction_puts_them(class_id: str) -> None:
    # Friction from plastic-lined rails (low) to aluminium on dry mild steel (high), published.
    slick = drops(class_id, POLYETHYLENE_ON_STEEL_AT_REST.low)
    rough = drops(class_id, ALUMINIUM_ON_STEEL_AT_REST.high)
    for can, (_, catalogue_mm, least_mm) in slick.items():
        most_mm = rough[can][2]
        assert least_mm <= catalogue_mm <= ROOMY * most_mm, can
        # The same order of magnitude: within a factor of two of the middle of the bracket.
        assert 0.5 <= catalogue_mm / math.sqrt(least_mm * most_mm) <= 2.0, can


@pytest.mark.parametrize("class_id", TWISTS)
def test_least_drops_rank_by_height_as_mechanics_ranks_them(class_id: str) -> None:
    rows = sorted(drops(class_id, POLYETHYLENE_ON_STEEL_AT_REST.high).values())
    assert [row[1] for row in rows] == sorted(row[1] for row in rows)
    assert [row[2] for row in rows] == pytest.approx(sorted(row[2] for row in rows), rel=1e-6)
    assert rows[0][2] < rows[-1][2]


def test_a_short_twist_needs_less_drop_than_a_tall_one() -> None:
    short = drops("short-twist-rinser", POLYETHYLENE_ON_STEEL_AT_REST.high)
    tall = drops("twist-rinser", POLYETHYLENE_ON_STEEL_AT_REST.high)
    for can in short:
        assert short[can][1] < tall[can][1] and short[can][2] < tall[can][2]
