"""Noise against 29 CFR 1910.95 and its Appendix A, NIOSH, and printed sums of levels."""

import math

import pytest

from lineconfig.assess.noise import (
    DECAY_DB,
    Exposure,
    combined_level_dba,
    level_at_dba,
    noise_cautions,
    noise_dose_percent,
    permitted_h,
    recommended_average_dba,
    recommended_caution,
    recommended_dose_percent,
    recommended_h,
    time_weighted_average_dba,
)

# Table G-16a from 80 dBA up, osha.gov/laws-regs/regulations/standardnumber/1910/1910.95AppA; at
# 83 dBA that copy prints 21.2, the older one (osha.gov p_id=9736) 21.1, which the formula gives.
TABLE_G16A = [
    *("32", "27.9", "24.3", "21.1", "18.4", "16", "13.9", "12.1", "10.6", "9.2"),
    *("8", "7.0", "6.1", "5.3", "4.6", "4", "3.5", "3.0", "2.6", "2.3"),
    *("2", "1.7", "1.5", "1.3", "1.1", "1", "0.87", "0.76", "0.66", "0.57"),
    *("0.5", "0.44", "0.38", "0.33", "0.29", "0.25", "0.22", "0.19", "0.16", "0.14"),
    *("0.125", "0.11", "0.095", "0.082", "0.072", "0.063", "0.054", "0.047", "0.041", "0.036"),
    *("0.031",),
]


@pytest.mark.parametrize(("level_dba", "printed"), list(enumerate(TABLE_G16A, start=80)))
def test_reference_durations(level_dba, printed):
    digits = len(printed.partition(".")[2])
    # Half of the last printed digit, and a little for halves rounded either way.
    assert permitted_h(level_dba) == pytest.approx(float(printed), abs=0.55 * 10**-digits)


@pytest.mark.parametrize(
    ("level_dba", "hours"),
    [(90, 8), (92, 6), (95, 4), (97, 3), (100, 2), (102, 1.5), (105, 1), (110, 0.5), (115, 0.25)],
)
def test_table_g16_in_its_own_rounding(level_dba, hours):
    # Table G-16 (NAP 9756 p. 141; 41 CFR 50-204.10), rounded to handy figures: within 1.5 %.
    assert permitted_h(level_dba) == pytest.approx(hours, rel=0.015)


def test_dose_of_a_constant_level():
    # stepo.ai/osha/1910/1910.95AppA: 8 h at 92 dBA is about 131 % (T rounded to 6.1 h).
    assert noise_dose_percent([Exposure(92, 8)]) == pytest.approx(131, abs=1.1)


def test_dose_of_two_levels():
    # Appendix A formulas by hand: 4/8 + 4/4 = 150 %, 16.61 log10 1.5 + 90 = 92.9 dBA.
    dose = noise_dose_percent([Exposure(90, 4), Exposure(95, 4)])
    assert dose == pytest.approx(150)
    assert time_weighted_average_dba(dose) == pytest.approx(92.9, abs=0.05)


@pytest.mark.parametrize(
    ("dose", "average_dba"),
    [
        # Table A-1 of Appendix A, from memory.
        (10, 73.4),
        (15, 76.3),
        (20, 78.4),
        (25, 80.0),
        (30, 81.3),
        (40, 83.4),
        (50, 85.0),
        (75, 87.9),
        (100, 90.0),
        (125, 91.6),
        (150, 92.9),
        (200, 95.0),
        (400, 100.0),
        (999, 106.6),
    ],
)
def test_table_a1(dose, average_dba):
    assert time_weighted_average_dba(dose) == pytest.approx(average_dba, abs=0.05)


@pytest.mark.parametrize(
    ("exposures", "expected"),
    [
        # 1910.95(b) and (c): action level 85 dBA, limit 90 dBA, no time above 115 dBA.
        ([Exposure(84.9, 8)], []),
        ([Exposure(85, 8)], ["noise-action-level"]),
        ([Exposure(90, 8)], ["noise-action-level"]),
        ([Exposure(90.1, 8)], ["noise-above-limit"]),
        ([Exposure(116, 0.01), Exposure(70, 7.99)], ["noise-above-ceiling"]),
        ([Exposure(79, 8)], []),
    ],
)
def test_thresholds(exposures, expected):
    assert [caution.code for caution in noise_cautions(exposures)] == expected


@pytest.mark.parametrize(
    ("level_dba", "minutes"), [(85, 480), (88, 240), (91, 120), (94, 60), (97, 30), (100, 15)]
)
def test_times_that_niosh_recommends(level_dba, minutes):
    # cdc.gov/niosh/topics/noise/app.html (copy at medbox.iiab.me): time to reach 100 % noise dose.
    assert 60 * recommended_h(level_dba) == pytest.approx(minutes)


@pytest.mark.parametrize(
    ("hours", "osha", "osha_dba", "niosh", "niosh_dba"),
    [
        # pmc.ncbi.nlm.nih.gov/articles/PMC8169711, table 3: doses and averages at 69.6 dBA.
        (1, 0.7, 54.6, 0.4, 60.6),
        (2, 1.5, 59.6, 0.7, 63.6),
        (3, 2.2, 62.5, 1.1, 65.4),
        (4, 3.0, 64.6, 1.4, 66.6),
        (5, 3.7, 66.2, 1.8, 67.6),
        (6, 4.4, 67.5, 2.1, 68.4),
        (7, 5.2, 68.6, 2.5, 69.0),
        (8, 5.9, 69.6, 2.8, 69.6),
    ],
)
def test_doses_by_both_rules_as_printed(hours, osha, osha_dba, niosh, niosh_dba):
    shift = [Exposure(69.6, hours)]
    dose = noise_dose_percent(shift, threshold_dba=0.0)
    assert dose == pytest.approx(osha, abs=0.06)
    assert time_weighted_average_dba(dose) == pytest.approx(osha_dba, abs=0.06)
    recommended = recommended_dose_percent(shift)
    assert recommended == pytest.approx(niosh, abs=0.06)
    # The 10 of 10 log10 stands for 3 / log10 2 = 9.97, which is 0.05 dB so far below 85 dBA.
    assert recommended_average_dba(recommended) == pytest.approx(niosh_dba, abs=0.12)


@pytest.mark.parametrize(
    ("levels", "together_dba"),
    [
        # experts123.com/q/how-do-sound-levels-add.html
        ([90, 90], 93.0),
        ([62, 73], 73.3),
        # mcsquared.com/combindb.htm
        ([65, 65], 68.0),
        # machineryequipmentonline.com, combining decibels: 75 and 80 dB differ by 5, so 1.2 more.
        ([75, 80], 81.2),
    ],
)
def test_levels_together(levels, together_dba):
    assert combined_level_dba(levels) == pytest.approx(together_dba, abs=0.06)


@pytest.mark.parametrize(
    ("difference_db", "added_db"),
    [(0, 3.0), (1.0, 2.5), (2.5, 2.0), (4.0, 1.5), (6.0, 1.0), (9.0, 0.5), (13.0, 0.0)],
)
def test_table_of_summation(difference_db, added_db):
    # epd.gov.hk technical memorandum, table 4: what to add to the higher level, in half decibels.
    assert combined_level_dba([80, 80 - difference_db]) - 80 == pytest.approx(added_db, abs=0.3)


def test_a_point_source_in_the_open_loses_six_decibels_by_doubling():
    # Inverse square law, any handbook of acoustics: 20 log10 r.
    for metres in (1.0, 2.0, 5.0, 20.0):
        expected = 90 - 20 * math.log10(metres)
        assert level_at_dba(90, metres, 20 * math.log10(2)) == pytest.approx(expected)
    # Halls decay slower (from memory: 3 to 5 dB), so the planner's figure is louder.
    assert level_at_dba(90, 8) == pytest.approx(90 - 3 * DECAY_DB) and 3 <= DECAY_DB <= 5


def test_the_recommendation_is_reached_at_85():
    # NIOSH 98-126: 85 dBA over eight hours.
    assert recommended_caution([Exposure(84.9, 8)]) is None
    caution = recommended_caution([Exposure(85, 8)])
    assert caution is not None and "85.0 dBA" in caution.text
