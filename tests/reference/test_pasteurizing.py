"""Pasteurization units against published statements, and tunnels against arithmetic by hand."""

import pytest

from lineconfig.assess.pasteurizing import (
    Z_VALUE_C,
    Hold,
    batch_cabinets_needed,
    batch_speed_cpm,
    dwell_min,
    pasteurization_caution,
    pasteurization_units,
    tunnel_size,
)


def test_one_minute_at_60_degrees_is_one_unit():
    # Del Vecchio et al. 1951, sizes.com/units/pasteurization_unit.htm.
    assert pasteurization_units([Hold(1, 60)]) == pytest.approx(1.0)
    assert pasteurization_units([Hold(1, 61)]) == pytest.approx(1.393)


def test_z_value():
    # log10(1.393) = .14395 by table, so z = 6.947 K (also printed 6.946), which is 12.5 degF: the
    # z that makers of recording instruments set for beer beside 7 K.
    z_k, z_f = Z_VALUE_C, 1.8 * Z_VALUE_C
    assert z_k == pytest.approx(6.946, abs=0.001)
    assert z_f == pytest.approx(12.5, abs=0.005)


def test_seven_degrees_make_it_ten_times_as_effective():
    # th4.ilovetranslation.com/rZGKoJP0_pv=d (low authority): 5 min at 60 degC or .5 min at 67.
    five = pasteurization_units([Hold(5, 60)], z_c=7)
    assert pasteurization_units([Hold(0.5, 67)], z_c=7) == pytest.approx(five)


@pytest.mark.parametrize(
    ("temperature_c", "minutes"),
    [(65, 10), (60, 50), (55, 250)],
)
def test_times_for_50_units(temperature_c, minutes):
    # steadyprintshop.com/?p=86302: 10, 50 and 250 minutes, rounded; and less than 2 at 70 degC.
    assert dwell_min(50, temperature_c) == pytest.approx(minutes, rel=0.05)
    assert dwell_min(50, 70) < 2


def test_ten_minutes_at_62():
    # By hand: 10 * 1.393^2 = 19.40; 10 * 10^(2/7) = 19.31.
    assert pasteurization_units([Hold(10, 62)]) == pytest.approx(19.40, abs=0.005)
    assert pasteurization_units([Hold(10, 62)], z_c=7) == pytest.approx(19.31, abs=0.005)


@pytest.mark.parametrize(
    ("units", "code"),
    [
        # Practitioners, community.mbaa.com: 12 to 20, taste above 30. Mean of a survey of US
        # breweries in 1955: 14.8, range 2.4 to 45.6 (sizes.com).
        (11.9, "pasteurization-low"),
        (12, None),
        (14.8, None),
        (20, None),
        (30, None),
        (2.4, "pasteurization-low"),
        (45.6, "pasteurization-high"),
    ],
)
def test_practitioners_range(units, code):
    caution = pasteurization_caution(units)
    assert (caution.code if caution else None) == code


def test_tunnel_by_hand():
    # 100 cpm for 40 min are 4000 cans; one of 66 mm takes .066^2 * .8660 = .003772 m^2, together
    # 15.09 m^2, on a belt of 2 m 7.545 m long. Speed, dwell and belt are invented.
    size = tunnel_size(100, 40, 66.0, 2000.0)
    assert size.containers == 4000
    assert size.area_m2 == pytest.approx(15.09, abs=0.005)
    assert size.length_mm == pytest.approx(7545, abs=2)


def test_batch_cabinet_by_hand():
    # 1080 cans in 75 + 15 minutes are 12 a minute; 30 cpm need three (invented figures).
    assert batch_speed_cpm(1080, 75, handling_min=15) == pytest.approx(12.0)
    assert batch_cabinets_needed(30, 1080, 75, handling_min=15) == 3
    assert batch_cabinets_needed(24, 1080, 75, handling_min=15) == 2
