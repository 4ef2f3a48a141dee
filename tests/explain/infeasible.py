"""Random briefs that nothing meets: random cases with limits tightened until no line is left.

The same number makes the same brief. All are invented.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from functools import cache

from lineconfig.explain import NoLayout, why_nothing
from lineconfig.floorplan.room import FLOOR_PLAN
from lineconfig.locate import examples_dir
from lineconfig.need import Need
from lineconfig.session import Study, open_study
from lineconfig.varying import needs
from tests.oracle.sampling import case

ASIDE = frozenset({FLOOR_PLAN})
"""The independent solver knows the room by length and area only."""


@cache
def cannot_be_met() -> tuple[Study, NoLayout]:
    """The example that no line meets, and what is said of it."""
    study = open_study(examples_dir() / "cannot-be-met.yaml")
    answer = why_nothing(study)
    assert answer is not None
    return study, answer


@cache
def infeasible(number: int) -> Study:
    """One study without any line."""
    rng = random.Random(number)
    start = case(number)
    study = Study(start.need, start.catalog, without=ASIDE)
    for _ in range(40):
        if not study.feasible:
            return study
        need = rng.choice(TIGHTENINGS)(rng, study)
        study = Study(need, start.catalog, without=ASIDE)
    # Nothing is bought for so little.
    return Study(needs.with_budget(study.need, 1.0), start.catalog, without=ASIDE)


def _budget(rng: random.Random, study: Study) -> Need:
    cheapest = study.cheapest
    assert cheapest is not None
    amount = cheapest.money.first_cost.typical * rng.choice((0.6, 0.9, 1.05, 1.3))
    return needs.with_budget(study.need, float(round(amount)))


def _people(rng: random.Random, study: Study) -> Need:
    fewest = next(study.layouts("people")).crew.people
    return needs.with_people(study.need, max(1, fewest + rng.choice((-1, -1, 0, 1))))


def _ceiling(rng: random.Random, study: Study) -> Need:
    lower = study.inquiry.ceiling_mm * rng.choice((0.6, 0.75, 0.9))
    return needs.with_ceiling(study.need, float(round(max(1800.0, lower))))


def _hours(rng: random.Random, study: Study) -> Need:
    cheapest = study.cheapest
    assert cheapest is not None
    weekly = cheapest.money.hours / study.need.weeks_per_year * rng.choice((0.5, 0.8, 1.02))
    return replace(
        needs.with_operation(study.need, "hours_per_week", round(weekly, 1), study.inquiry.habits)
    )


def _speed(rng: random.Random, study: Study) -> Need:
    return needs.with_speed(
        study.need, round(study.need.speed_cpm * rng.choice((1.3, 2.0, 4.0)), 1)
    )


def _amperes(rng: random.Random, study: Study) -> Need:
    power = study.need.brief.site.power
    if power is None:
        return study.need
    return needs.with_amperes(study.need, round(power.amperes * rng.choice((0.2, 0.5, 0.8))) or 1)


def _water(rng: random.Random, study: Study) -> Need:
    return needs.site_flow("water_l_min")(study.need, rng.choice((0.5, 5.0, 20.0)))


def _air(rng: random.Random, study: Study) -> Need:
    return needs.site_flow("air_l_min")(study.need, rng.choice((1.0, 50.0, 300.0)))


def _refused(rng: random.Random, study: Study) -> Need:
    function = rng.choice(("pack", "lower", "fill"))
    return needs.with_choice(study.need, "exclude", [*study.need.brief.exclude, function])


def _carbonation(rng: random.Random, study: Study) -> Need:
    return needs.with_carbonation(study.need, rng.choice((3.4, 4.2, 6.0)))


TIGHTENINGS: tuple[Callable[[random.Random, Study], Need], ...] = (
    _budget, _budget, _people, _people, _ceiling, _ceiling, _hours, _hours, _speed, _amperes,
    _water, _air, _refused, _carbonation,
)  # fmt: skip
