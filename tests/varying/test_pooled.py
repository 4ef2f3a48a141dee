"""Studies that share what they have in common answer as plain ones do.

The needs are asked of one pool in turn, so that what an earlier one has left there is used.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from lineconfig.need import Need
from lineconfig.session import Study
from lineconfig.switching import with_share
from lineconfig.varying import needs
from lineconfig.varying.pooled import pooled
from tests.oracle.sampling import case

Change = Callable[[Study], Need]
CHANGES: dict[str, Change] = {
    "as it is": lambda study: study.need,
    "twice the wage": lambda study: needs.with_wage(study.need, 2 * study.need.wage_per_h),
    "half the wage": lambda study: needs.with_wage(study.need, study.need.wage_per_h / 2),
    "two years": lambda study: needs.with_horizon(study.need, 2.0),
    "no interest": lambda study: needs.with_discount_rate(study.need, 0.0),
    "half the volume": lambda study: with_share(study.need, 0.5),
    "a third more speed": lambda study: needs.with_speed(study.need, study.need.speed_cpm * 4 / 3),
    "one person": lambda study: needs.with_people(study.need, 1),
    "a low ceiling": lambda study: needs.with_ceiling(study.need, 2600.0),
    "little money": lambda study: needs.with_budget(study.need, 150_000.0),
    "no palletizer": lambda study: needs.with_choice(study.need, "exclude", ["palletize"]),
    "few hours": lambda study: replace(study.need, hours_per_week=study.need.hours_per_week / 2),
    "as it is again": lambda study: study.need,
}


@pytest.mark.parametrize("number", [3, 11, 42])
def test_a_pool_changes_no_answer(number: int) -> None:
    start = case(number)
    study = Study(start.need, start.catalog)
    shared = pooled(study)
    for name, change in CHANGES.items():
        need = change(study)
        found, plain = shared.varied(need=need), Study(need, start.catalog)
        for view in ("life-cycle-cost", "people"):
            ours, theirs = (each.best(3, view) for each in (found, plain))
            assert [(one.id, one.money) for one in ours] == [
                (one.id, one.money) for one in theirs
            ], (name, view)


def test_a_cost_that_is_reached_changes_no_answer() -> None:
    """A true figure, one that nothing reaches, and one far above all."""
    start = case(11)
    plain = [layout.id for layout in Study(start.need, start.catalog).best(5)]
    least = Study(start.need, start.catalog).best(1)[0].money.life_cycle_cost.typical
    for reached in (least, least / 2, least * 10):
        study = Study(start.need, start.catalog)
        assert [layout.id for layout in study.best(5, reached=reached)] == plain
