"""Nested layers against the trade's counts and against plane geometry worked by hand.

The can dimensions are those of the Can Manufacturers Institute's Voluntary Can and End Dimension
Reference Manual (cancentral.com/beverage-cans/standards): body 2.602 +/- .007 in, flanged height
4.812 in. The 44 x 56 in pallet with 389 cans per layer is common practice, from memory.
"""

import pytest

from lineconfig.assess.pallets import (
    aligned_count,
    layer_interval_min,
    layers_within,
    nested_count,
    nested_layers,
    nested_per_m2,
    pallet_interval_min,
    stack_height_mm,
)

INCH_MM = 25.4
LENGTH_MM, WIDTH_MM = 56 * INCH_MM, 44 * INCH_MM

# Rows worked by hand: 19 rows need d (1 + 18 * .8660) = 16.588 d <= 44 in; a staggered row of 21
# needs 21.5 d <= 56 in, that is d <= 66.158 mm.
BULK_211 = [
    # body diameter, allowance (both edges), counts of the rows along the 56 in side
    pytest.param(2.602 * INCH_MM, 0.0, [399], id="CMI nominal body, bare 56 in"),
    pytest.param(66.13, 0.0, [399], id="66.13 mm, still below 56 in / 21.5"),
    pytest.param(2.602 * INCH_MM, 0.06 * INCH_MM, [390, 389], id="CMI nominal, .06 in kept free"),
    pytest.param(2.602 * INCH_MM, 0.5 * INCH_MM, [390, 389], id="CMI nominal, 55.5 in usable"),
    pytest.param(2.609 * INCH_MM, 0.0, [390, 389], id="CMI largest body"),
    pytest.param(66.20, 0.0, [390, 389], id="66.2 mm"),
    pytest.param(66.30, 0.0, [390, 389], id="66.3 mm"),
]


@pytest.mark.parametrize(("diameter_mm", "allowance_mm", "expected"), BULK_211)
def test_211_body_on_the_bulk_pallet(diameter_mm, allowance_mm, expected):
    layers = nested_layers(diameter_mm, LENGTH_MM, WIDTH_MM, edge_allowance_mm=allowance_mm)
    along = [layer for layer in layers if layer.rows_along == "length"]
    assert [layer.count for layer in along] == expected
    assert {layer.rows for layer in along} == {19}
    assert layers[0].count == expected[0]


def test_the_trade_count_of_389_is_ten_short_and_nine_full_rows():
    # Common practice, from memory: 389 a layer; outer rows of 20, the nine between of 21.
    pattern = next(
        layer for layer in nested_layers(66.2, LENGTH_MM, WIDTH_MM) if layer.count == 389
    )
    assert (pattern.rows, pattern.first_row, pattern.second_row) == (19, 20, 21)


def test_footprint_of_the_389_pattern():
    # 21 * 2.602 = 54.64 in by 16.588 * 2.602 = 43.16 in, by hand.
    layers = nested_layers(2.602 * INCH_MM, LENGTH_MM, WIDTH_MM, edge_allowance_mm=0.5 * INCH_MM)
    pattern = next(layer for layer in layers if layer.count == 389)
    assert pattern.used_length_mm / INCH_MM == pytest.approx(54.64, abs=0.005)
    assert pattern.used_width_mm / INCH_MM == pytest.approx(43.16, abs=0.005)


@pytest.mark.parametrize(
    ("diameter_mm", "along_length", "along_width"),
    [
        # Counted by hand from floor(side / d) and 1 + floor((side - d) / (.8660 d)).
        pytest.param(2.602 * INCH_MM, 399, 384, id="211 nominal: 24 rows of 16 the other way"),
        pytest.param(57.0, 528, 532, id="204 sleek: 22 x 24 or 28 x 19"),
        pytest.param(57.15, 528, 532, id="204 sleek, 2.25 in"),
        pytest.param(57.4, 528, 518, id="204 sleek, largest: 14 x 19 + 14 x 18"),
        pytest.param(53.0, 624, 615, id="202 slim: 24 x 26 or 15 x 21 + 15 x 20"),
        pytest.param(53.1, 624, 615, id="202 slim, 2.09 in"),
        pytest.param(72.6, 323, 319, id="32 oz: 17 x 19"),
    ],
)
def test_other_bodies_on_the_bulk_pallet(diameter_mm, along_length, along_width):
    layers = nested_layers(diameter_mm, LENGTH_MM, WIDTH_MM)
    best = {
        side: max(layer.count for layer in layers if layer.rows_along == side)
        for side in ("length", "width")
    }
    assert best == {"length": along_length, "width": along_width}
    assert nested_count(diameter_mm, LENGTH_MM, WIDTH_MM) == max(along_length, along_width)


@pytest.mark.parametrize(
    ("layers", "containers"),
    [
        # Common practice, from memory: cans on a full bulk pallet of 389 a layer.
        pytest.param(21, 8169, id="12 oz"),
        pytest.param(16, 6224, id="16 oz"),
        pytest.param(15, 5835, id="16 oz, lower pallet"),
        pytest.param(13, 5057, id="19.2 oz"),
    ],
)
def test_pallet_interval_follows_from_the_cans_on_it(layers, containers):
    assert pallet_interval_min(389, layers, 60.0) == pytest.approx(containers / 60.0)


def test_layer_interval():
    # 389 cans at 100 a minute, arithmetic.
    assert layer_interval_min(389, 100.0) == pytest.approx(3.89)


def test_cans_in_trays_on_the_1200_by_800_pallet():
    # 18 x 12 cans of 66.2 mm: nine trays of 24 on the 1200 x 800 mm pallet of ISO 6780, arithmetic.
    assert aligned_count(66.2, 1200.0, 800.0) == 216


def test_height_of_the_cans_on_a_21_layer_pallet():
    # 21 * 4.812 in = 101.05 in of cans (CMI flanged height), before sheets, pallet and top frame.
    height_mm = stack_height_mm(21, 4.812 * INCH_MM, sheet_mm=0.0, base_mm=0.0)
    assert height_mm / INCH_MM == pytest.approx(101.05, abs=0.005)


def test_layers_under_a_low_ceiling():
    # Arithmetic with invented sheet, pallet and frame: 140 + 21 * 123 + 20 = 2743 mm.
    parts = {"sheet_mm": 0.8, "base_mm": 140.0, "top_frame_mm": 20.0}
    assert stack_height_mm(21, 122.2, **parts) == pytest.approx(2743.0)
    assert layers_within(2743.0, 122.2, **parts) == 21
    assert layers_within(2742.0, 122.2, **parts) == 20


def test_nested_mass_has_the_density_of_triangular_packing():
    # pi / sqrt(12) = .9069 of the plane (Lagrange 1773 for lattices; general reference value).
    circle_m2 = 3.141592653589793 * 0.0663**2 / 4.0
    assert nested_per_m2(66.3) * circle_m2 == pytest.approx(0.9069, abs=5e-5)
