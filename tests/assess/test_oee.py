"""Properties of overall equipment effectiveness."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.oee import overall_equipment_effectiveness

shares = st.floats(0.01, 1.0)
GOOD = {
    "planned_busy_min": 480.0,
    "actual_production_min": 400.0,
    "planned_run_min_per_item": 0.01,
    "produced": 30_000.0,
    "good": 29_500.0,
}


@given(st.floats(10.0, 10_000.0), shares, st.floats(0.001, 5.0), st.floats(1.0, 1e6), shares)
def test_the_product_is_good_output_over_planned_output(planned, run, per_item, produced, good):
    # OEE = PRI * GQ / PBT: what was good over what the planned time allows.
    found = overall_equipment_effectiveness(
        planned_busy_min=planned,
        actual_production_min=run * planned,
        planned_run_min_per_item=per_item,
        produced=produced,
        good=good * produced,
    )
    assert found.oee == pytest.approx(per_item * good * produced / planned)
    assert found.availability == pytest.approx(run)
    assert found.quality_ratio == pytest.approx(good)


def test_a_shift_without_output_has_no_effectiveness():
    found = overall_equipment_effectiveness(**GOOD | {"produced": 0.0, "good": 0.0})
    assert found.oee == 0.0
    stopped = overall_equipment_effectiveness(
        **GOOD | {"produced": 0.0, "good": 0.0, "actual_production_min": 0.0}
    )
    assert stopped.availability == 0.0


@pytest.mark.parametrize(
    ("bad", "name"),
    [
        ({"planned_busy_min": 0.0}, "planned_busy_min"),
        ({"actual_production_min": 500.0}, "actual_production_min"),
        ({"actual_production_min": 0.0}, "actual_production_min"),
        ({"planned_run_min_per_item": 0.0}, "planned_run_min_per_item"),
        ({"good": 30_001.0}, "good"),
        ({"produced": -1.0}, "produced"),
    ],
)
def test_senseless_input_is_refused_by_name(bad, name):
    with pytest.raises(ValueError, match=name):
        overall_equipment_effectiveness(**GOOD | bad)
