"""Equilibrium pressure of carbonated beer against two published charts."""

import pytest

from lineconfig.assess.carbonation import (
    CAN_RATING_KPA,
    PSI_KPA,
    can_pressure_caution,
    carbonation_pressure_kpa,
)

VOLUMES = [2.0, 2.1, 2.2, 2.3, 2.4, 2.5, 2.6, 2.7, 2.8, 2.9, 3.0]

# brewery.org/library/CO2charts.html, psig by degF, the whole table.
CHART = {
    32: (3.5, 4.4, 5.4, 6.3, 7.3, 8.2, 9.2, 10.1, 11.0, 12.0, 12.9),
    34: (4.3, 5.3, 6.3, 7.3, 8.2, 9.2, 10.2, 11.2, 12.1, 13.1, 14.1),
    36: (5.1, 6.2, 7.2, 8.2, 9.2, 10.2, 11.2, 12.3, 13.3, 14.3, 15.3),
    38: (6.0, 7.0, 8.1, 9.1, 10.2, 11.2, 12.3, 13.3, 14.4, 15.4, 16.5),
    40: (6.8, 7.9, 9.0, 10.1, 11.2, 12.3, 13.4, 14.4, 15.5, 16.6, 17.7),
    42: (7.7, 8.8, 10.0, 11.1, 12.2, 13.3, 14.4, 15.5, 16.7, 17.8, 18.9),
    44: (8.6, 9.7, 10.9, 12.1, 13.2, 14.4, 15.5, 16.7, 17.8, 19.0, 20.1),
    46: (9.5, 10.7, 11.8, 13.0, 14.2, 15.4, 16.6, 17.8, 19.0, 20.2, 21.3),
    48: (10.4, 11.6, 12.8, 14.0, 15.3, 16.5, 17.7, 18.9, 20.1, 21.4, 22.6),
    50: (11.3, 12.5, 13.8, 15.0, 16.3, 17.6, 18.8, 20.1, 21.3, 22.6, 23.8),
    52: (12.2, 13.5, 14.8, 16.1, 17.3, 18.6, 19.9, 21.2, 22.5, 23.8, 25.1),
    54: (13.1, 14.4, 15.7, 17.1, 18.4, 19.7, 21.1, 22.4, 23.7, 25.0, 26.3),
    56: (14.0, 15.4, 16.7, 18.1, 19.5, 20.8, 22.2, 23.6, 24.9, 26.3, 27.6),
    58: (15.0, 16.4, 17.8, 19.2, 20.6, 21.9, 23.3, 24.7, 26.1, 27.5, 28.9),
    60: (15.9, 17.3, 18.8, 20.2, 21.6, 23.1, 24.5, 25.9, 27.4, 28.8, 30.2),
    62: (16.9, 18.3, 19.8, 21.3, 22.7, 24.2, 25.7, 27.1, 28.6, 30.0, 31.5),
    64: (17.8, 19.3, 20.8, 22.3, 23.8, 25.3, 26.8, 28.3, 29.8, 31.3, 32.8),
    66: (18.8, 20.3, 21.9, 23.4, 25.0, 26.5, 28.0, 29.6, 31.1, 32.6, 34.1),
    68: (19.8, 21.4, 22.9, 24.5, 26.1, 27.6, 29.2, 30.8, 32.4, 33.9, 35.5),
    70: (20.8, 22.4, 24.0, 25.6, 27.2, 28.8, 30.4, 32.0, 33.6, 35.2, 36.8),
    72: (21.8, 23.4, 25.1, 26.7, 28.4, 30.0, 31.6, 33.3, 34.9, 36.5, 38.2),
    74: (22.8, 24.5, 26.2, 27.8, 29.5, 31.2, 32.9, 34.5, 36.2, 37.9, 39.5),
    76: (23.8, 25.5, 27.2, 29.0, 30.7, 32.4, 34.1, 35.8, 37.5, 39.2, 40.9),
    78: (24.9, 26.6, 28.4, 30.1, 31.8, 33.6, 35.3, 37.1, 38.8, 40.5, 42.3),
    80: (25.9, 27.7, 29.5, 31.2, 33.0, 34.8, 36.6, 38.3, 40.1, 41.9, 43.7),
}


def psig(warm_f, volumes):
    return carbonation_pressure_kpa((warm_f - 32) / 1.8, volumes) / PSI_KPA


@pytest.mark.parametrize("warm_f", CHART)
def test_chart(warm_f):
    found = [psig(warm_f, volumes) for volumes in VOLUMES]
    assert found == pytest.approx(CHART[warm_f], abs=0.051)


@pytest.mark.parametrize(
    ("warm_f", "pressure_psi", "volumes"),
    [
        # Miller, Brewing Techniques 2.1, Table I (brewingtechniques.com), which lists volumes by
        # degF and psi: an independent chart, a quarter of a psi off at most.
        (32, 10, 2.70),
        (34, 8, 2.38),
        (36, 12, 2.67),
        (38, 6, 2.00),
        (38, 11, 2.48),
        (40, 12, 2.47),
        (42, 15, 2.65),
        (44, 10, 2.13),
        (45, 14, 2.42),
        (46, 20, 2.89),
    ],
)
def test_second_chart(warm_f, pressure_psi, volumes):
    assert psig(warm_f, volumes) == pytest.approx(pressure_psi, abs=0.25)


def test_can_rating():
    # 6.2 bar = 89.9 psi, the "90 psi class": de.wiki.li/Getraenkedose, arithmetic.
    rating_psi = CAN_RATING_KPA / PSI_KPA
    assert rating_psi == pytest.approx(89.9, abs=0.05)
    caution = can_pressure_caution(CAN_RATING_KPA)
    assert caution is not None
    assert "90 psi" in caution.text
