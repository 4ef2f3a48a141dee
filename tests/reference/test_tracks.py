"""Gravity tracks and rinsing against handbook friction, nozzle tables and textbook mechanics."""

import math

import pytest

from lineconfig.assess.tracks import (
    ALUMINIUM_ON_STEEL_AT_REST,
    ALUMINIUM_ON_STEEL_SLIDING,
    POLYETHYLENE_ON_STEEL_AT_REST,
    film_left_ml,
    flow_at_pressure_l_min,
    friction_angle_deg,
    half_turn_length_mm,
    inverted_times,
    least_twist_drop,
    line_speed_m_s,
    nozzle_flow_l_min,
    speed_along_track_m_s,
    track_capacity_cpm,
)

PSI_KPA = 6.894757
GALLON_L = 3.785412
INCH_MM = 25.4


@pytest.mark.parametrize(
    ("friction", "angle_deg"),
    [
        # lbl.gov/~ajdemell/coefficients_of_friction.html, aluminium on mild steel, dry;
        # mech.subwiki.org gives the angles as 31 and 25 degrees.
        pytest.param(ALUMINIUM_ON_STEEL_AT_REST.high, 31.4, id="static .61"),
        pytest.param(ALUMINIUM_ON_STEEL_SLIDING.high, 25.2, id="sliding .47"),
        # Handbook of Surface Improvement and Modification, p. 167, Table 11.1.
        pytest.param(ALUMINIUM_ON_STEEL_AT_REST.low, 19.3, id="static .35"),
        pytest.param(ALUMINIUM_ON_STEEL_SLIDING.low, 14.0, id="sliding .25"),
        # Copies of ASTM D1894 results, polyethylene on polished steel (low authority).
        pytest.param(POLYETHYLENE_ON_STEEL_AT_REST.low, 8.5, id="polyethylene .15"),
        pytest.param(POLYETHYLENE_ON_STEEL_AT_REST.high, 11.3, id="polyethylene .20"),
    ],
)
def test_slide_angles(friction, angle_deg):
    assert friction_angle_deg(friction) == pytest.approx(angle_deg, abs=0.05)


def test_the_published_ranges():
    # The coefficients of the two handbooks themselves, as cited above.
    ranges = [ALUMINIUM_ON_STEEL_AT_REST, ALUMINIUM_ON_STEEL_SLIDING, POLYETHYLENE_ON_STEEL_AT_REST]
    assert [(item.low, item.high) for item in ranges] == [(0.35, 0.61), (0.25, 0.47), (0.15, 0.20)]


def test_free_fall():
    # Torricelli: a body that falls 1 m reaches 4.43 m/s (textbook, from memory).
    assert speed_along_track_m_s(0.0, 1000.0, 0.0, 0.0) == pytest.approx(4.43, abs=0.005)


def test_block_on_a_rough_incline():
    # Textbook form a = g (sin - mu cos), by hand: 2 m down 30 degrees at mu .2 from rest,
    # a = 9.80665 (.5 - .2 * .8660) = 3.2048, v = sqrt(2 * 3.2048 * 2) = 3.580 m/s.
    angle = math.radians(30)
    drop_mm, run_mm = 2000 * math.sin(angle), 2000 * math.cos(angle)
    assert speed_along_track_m_s(0.0, drop_mm, run_mm, 0.2) == pytest.approx(3.580, abs=5e-4)


def test_cans_in_single_file():
    # Arithmetic: 250 cans of 66 mm a minute are 16.5 m a minute, .275 m/s.
    assert line_speed_m_s(250, 66.0) == pytest.approx(0.275)
    assert track_capacity_cpm(0.275, 66.0) == pytest.approx(250.0)


NOZZLES = {
    # Irrigation extension sheet, Table 3 (de.scribd.com/document/150486225): gal/min by bore in
    # inches at 35, 40, 45, 50 and 55 psi.
    5 / 32: (4.16, 4.45, 4.72, 4.98, 5.22),
    3 / 16: (5.97, 6.41, 6.81, 7.18, 7.51),
    7 / 32: (8.26, 8.87, 9.41, 9.88, 10.30),
}
NOZZLE_ROWS = [
    pytest.param(bore, psi, gpm, id=f"{bore} in at {psi} psi")
    for bore, row in NOZZLES.items()
    for psi, gpm in zip((35, 40, 45, 50, 55), row, strict=True)
]


@pytest.mark.parametrize(("bore_in", "psi", "gpm"), NOZZLE_ROWS)
def test_nozzle_table(bore_in, psi, gpm):
    first = NOZZLES[bore_in][0] * GALLON_L
    scaled = flow_at_pressure_l_min(first, 35 * PSI_KPA, psi * PSI_KPA)
    assert scaled / GALLON_L == pytest.approx(gpm, rel=0.01)
    from_bore = nozzle_flow_l_min(bore_in * INCH_MM, psi * PSI_KPA)
    assert from_bore / GALLON_L == pytest.approx(gpm, rel=0.015)


@pytest.mark.parametrize(
    ("gpm", "bore_in", "psi"),
    [
        # P = (Q / (29.71 d^2))^2, calculator.academy/nozzle-pressure-calculator.
        pytest.param(100.0, 0.75, 35.805, id="fire nozzle .75 in"),
        pytest.param(50.0, 2.0, 0.177, id="2 in"),
    ],
)
def test_nozzle_pressure_formula(gpm, bore_in, psi):
    flow = nozzle_flow_l_min(bore_in * INCH_MM, psi * PSI_KPA, discharge_coefficient=0.997)
    assert flow / GALLON_L == pytest.approx(gpm, rel=0.003)


def test_sprinkler_k_factor():
    # NFPA 13, from memory: K 5.6 (5.6 gal/min at 1 psi) gives 14.8 gal/min at 7 psi.
    assert flow_at_pressure_l_min(5.6, PSI_KPA, 7 * PSI_KPA) == pytest.approx(14.8, abs=0.05)


def test_helix_of_one_half_turn():
    # A 45 degree helix has a lead equal to its circumference: half of pi * 120 mm = 188.5 mm.
    assert half_turn_length_mm(120.0, 45.0) == pytest.approx(188.5, abs=0.05)


def test_film_on_the_wall():
    # Jeffreys 1930 by hand: nu 1e-6, z .122 m, t 3 s: sqrt(1.22e-7 / 29.42) = 64.4 um at the rim;
    # two thirds of it on pi * .066 * .122 = .02530 m^2 of wall is 1.086 mL.
    assert film_left_ml(66.0, 122.0, 3.0) == pytest.approx(1.086, abs=0.002)


def test_primed_track_rinse_and_drain():
    # Arithmetic: 60 cans of 66 mm a minute move 66 mm a second.
    speed_m_s = line_speed_m_s(60, 66.0)
    times = inverted_times(330.0, 132.0, speed_m_s, speed_m_s)
    assert times.rinse_s == pytest.approx(2.0)
    assert times.drain_s == pytest.approx(3.0)


def test_taller_twists_for_faster_lines():
    # Common practice: a short twist rinser serves small lines, faster lines need a tall one,
    # because the time upside down has to stay. Times of 2 s and 3 s are invented.
    def drop_mm(speed_cpm):
        run_mm = line_speed_m_s(speed_cpm, 66.3) * 1000 * 5.0
        return least_twist_drop(122.2, 66.3, speed_cpm, friction=0.35, inverted_mm=run_mm).drop_mm

    assert drop_mm(50) < drop_mm(100) < drop_mm(250)
    # A person's height, not a room's: the short one stays below 1 m, the fast one does not.
    assert drop_mm(50) < 1000 < drop_mm(400)
