"""Format changes against facts of the trade and sums done by hand."""

from __future__ import annotations

import pytest

from lineconfig.assess.changeover import (
    Shape,
    StationChange,
    differences,
    line_change_min,
    mean_change_min,
    worst_minutes,
)

# CMI, cancentral.com/beverage-cans/standards: 12 oz standard, 66.1 x 122.2 mm, 202 end.
STANDARD = Shape(66.09, 122.2, "202", "seam")
# queendimensions.com: 16 oz, the same body and end, 157.2 mm; 12 oz sleek 57.15 x 156 mm, 202.
TALL = Shape(66.09, 157.2, "202", "seam")
SLEEK = Shape(57.15, 156.0, "202", "seam")
# cansizedimensions.com: 250 ml slim, 53 x 134 mm, 200 end.
SLIM = Shape(53.0, 134.0, "200", "seam")
BOTTLE = Shape(60.9, 228.6, "26 mm crown", "crown")


@pytest.mark.parametrize(
    ("before", "after", "differing"),
    [
        # Common practice: 12 oz and 16 oz share body and end, so only heights are set.
        (STANDARD, TALL, {"height"}),
        (STANDARD, SLEEK, {"diameter", "height"}),
        # Only the slim can has the smaller end: chucks change as well.
        (STANDARD, SLIM, {"diameter", "height", "end"}),
        (STANDARD, BOTTLE, {"diameter", "height", "end", "closing"}),
        (STANDARD, STANDARD, set()),
    ],
)
def test_what_differs_between_formats(before: Shape, after: Shape, differing: set[str]) -> None:
    assert differences(before, after) == differing
    assert differences(after, before) == differing


FILLER = StationChange(
    45.0, 1, 12.0, (("diameter", 15.0), ("height", 18.0), ("end", 15.0), ("closing", 25.0))
)


@pytest.mark.parametrize(
    ("after", "minutes"),
    [(TALL, 12 + 18), (SLEEK, 45), (SLIM, 45), (STANDARD, 12)],
)
def test_minutes_by_hand(after: Shape, minutes: float) -> None:
    # 12 + 15 + 18 = 45, and never more than the stated 45.
    assert FILLER.minutes(differences(STANDARD, after)) == minutes


def test_the_line_waits_for_the_longest_station_or_for_the_work() -> None:
    # By hand: 30 + 20 + 10 person-minutes are 30 min for two, whom the 30 min job keeps as long.
    assert line_change_min([30, 20, 10], [30, 20, 10], 2) == 30
    # With one person the work decides: 60 min; with two persons at the first job, 90 / 2.
    assert line_change_min([30, 20, 10], [30, 20, 10], 1) == 60
    assert line_change_min([30, 20, 10], [60, 20, 10], 2) == 45


def test_means_by_hand() -> None:
    pairs = {("a", "b"): 30.0, ("b", "a"): 30.0, ("a", "c"): 60.0, ("c", "a"): 60.0,
             ("b", "c"): 90.0, ("c", "b"): 90.0}  # fmt: skip
    assert mean_change_min(pairs) == pytest.approx(60)
    # a is run twice as often: (2 x 30 + 2 x 60 + 1 x 90) / 5.
    assert mean_change_min(pairs, {"a": 2, "b": 1, "c": 1}) == pytest.approx(54)
    assert mean_change_min({}) == 0


def test_a_single_format_keeps_the_stated_whole() -> None:
    assert worst_minutes(FILLER, [STANDARD]) == 45
    assert worst_minutes(FILLER, [STANDARD, TALL]) == 30
