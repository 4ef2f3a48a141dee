"""Overall equipment effectiveness against published worked examples."""

import pytest

from lineconfig.assess.oee import overall_equipment_effectiveness


def test_mobley_table_18_2():
    # Mobley, An Introduction to Predictive Maintenance, Table 18-2, p. 405: 7,200 min, 250 planned
    # down, 695 lost, 54,516 units at .109 min, 545 rejects: 90, 95, 99 and 85 %, rounded there.
    planned_min = 7_200 - 250
    assert planned_min == 6_950
    operating_min = planned_min - 695
    assert operating_min == 6_255
    found = overall_equipment_effectiveness(
        planned_busy_min=planned_min,
        actual_production_min=operating_min,
        planned_run_min_per_item=0.109,
        produced=54_516,
        good=54_516 - 545,
    )
    assert found.availability == pytest.approx(0.90, abs=0.005)
    assert found.effectiveness == pytest.approx(0.95, abs=0.005)
    assert found.quality_ratio == pytest.approx(0.99, abs=0.005)
    assert found.oee == pytest.approx(0.85, abs=0.005)


def test_packaging_line():
    # packworld.com/.../13339169: 301 of 430 min at 240 a minute are 72,240 units and 70 %, 168 a
    # minute over the whole time.
    found = overall_equipment_effectiveness(
        planned_busy_min=430,
        actual_production_min=301,
        planned_run_min_per_item=1 / 240,
        produced=72_240,
        good=72_240,
    )
    assert found.availability == pytest.approx(0.70)
    assert found.effectiveness == pytest.approx(1.0)
    assert found.oee * 240 == pytest.approx(168)


def test_week_17():
    # TPM: A Route to World-Class Performance, p. 127: 127 of 910 min lost, 203 cycles of 3 min:
    # availability 86.0 %, performance 77.7 %.
    found = overall_equipment_effectiveness(
        planned_busy_min=910,
        actual_production_min=910 - 127,
        planned_run_min_per_item=3,
        produced=203,
        good=203,
    )
    assert found.availability == pytest.approx(0.860, abs=0.0005)
    assert found.effectiveness == pytest.approx(0.777, abs=0.001)


def test_calculator_example():
    # waycalculator.com: 420 of 480 min, 1 min ideal, 400 made, 380 good: 87.5, 95.2, 95, 79.1 %
    # (79.17 % without the rounding on the way).
    found = overall_equipment_effectiveness(
        planned_busy_min=480,
        actual_production_min=420,
        planned_run_min_per_item=1,
        produced=400,
        good=380,
    )
    assert found.availability == pytest.approx(0.875)
    assert found.effectiveness == pytest.approx(0.952, abs=0.0005)
    assert found.quality_ratio == pytest.approx(0.95)
    assert found.oee == pytest.approx(0.791, abs=0.001)
