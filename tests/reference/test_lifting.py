"""The lifting equation against the tables and worked examples of DHHS (NIOSH) 94-110, rev. 9/2021.

Table 5, Table 7, the limits and Example 4's limits were read in page-referenced transcriptions of
this public-domain manual; what is marked `from memory` was not seen again. US examples are read at
2.5 cm to the inch and a load constant of 51, so that masses are pounds.
"""

import pytest

from lineconfig.assess.lifting import (
    CompositeTask,
    HandPosition,
    LiftingTask,
    adjusted_frequency,
    assess_lift,
    asymmetry_multiplier,
    composite_lifting_index,
    coupling_multiplier,
    distance_multiplier,
    frequency_multiplier,
    horizontal_multiplier,
    vertical_multiplier,
)

INCH_CM = 2.5
LOW_CM, HIGH_CM = 74.9, 75.0

TABLE_5 = [
    # 94-110 p. 15: F, then <= 1 h, <= 2 h and <= 8 h, each for V < 30 in and V >= 30 in.
    (0.2, 1.00, 1.00, 0.95, 0.95, 0.85, 0.85),
    (0.5, 0.97, 0.97, 0.92, 0.92, 0.81, 0.81),
    (1, 0.94, 0.94, 0.88, 0.88, 0.75, 0.75),
    (2, 0.91, 0.91, 0.84, 0.84, 0.65, 0.65),
    (3, 0.88, 0.88, 0.79, 0.79, 0.55, 0.55),
    (4, 0.84, 0.84, 0.72, 0.72, 0.45, 0.45),
    (5, 0.80, 0.80, 0.60, 0.60, 0.35, 0.35),
    (6, 0.75, 0.75, 0.50, 0.50, 0.27, 0.27),
    (7, 0.70, 0.70, 0.42, 0.42, 0.22, 0.22),
    (8, 0.60, 0.60, 0.35, 0.35, 0.18, 0.18),
    (9, 0.52, 0.52, 0.30, 0.30, 0.00, 0.15),
    (10, 0.45, 0.45, 0.26, 0.26, 0.00, 0.13),
    (11, 0.41, 0.41, 0.00, 0.23, 0.00, 0.00),
    (12, 0.37, 0.37, 0.00, 0.21, 0.00, 0.00),
    (13, 0.00, 0.34, 0.00, 0.00, 0.00, 0.00),
    (14, 0.00, 0.31, 0.00, 0.00, 0.00, 0.00),
    (15, 0.00, 0.28, 0.00, 0.00, 0.00, 0.00),
    (15.1, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00),
]
CLASSES = [
    (duration, vertical_cm)
    for duration in ("short", "moderate", "long")
    for vertical_cm in (LOW_CM, HIGH_CM)
]


@pytest.mark.parametrize("row", TABLE_5, ids=lambda row: f"F {row[0]}")
def test_frequency_table(row):
    lifts_per_min, *expected = row
    found = [frequency_multiplier(lifts_per_min, *which) for which in CLASSES]
    assert found == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("lifts_per_min", "expected", "tolerance"),
    [
        pytest.param(2.4, 0.898, 5e-4, id="Example 7: between the rows 2 and 3"),
        pytest.param(5.333, 0.783, 5e-4, id="p. 16: special adjustment of 10/min for 8 min"),
        pytest.param(0.1, 1.00, 1e-12, id="p. 7: below .2 use .2"),
    ],
)
def test_frequencies_between_the_rows(lifts_per_min, expected, tolerance):
    found = frequency_multiplier(lifts_per_min, "short", HIGH_CM)
    assert found == pytest.approx(expected, abs=tolerance)


def test_special_frequency_adjustment():
    # 94-110 p. 16: 10 a minute for 8 of 15 minutes; for 5 of 15 the page prints 3.4, exact 3.33.
    assert adjusted_frequency(10, 8) == pytest.approx(5.33, abs=0.005)
    assert adjusted_frequency(10, 5) == pytest.approx(3.33, abs=0.005)


@pytest.mark.parametrize(
    ("coupling", "low", "high"), [("good", 1.0, 1.0), ("fair", 0.95, 1.0), ("poor", 0.9, 0.9)]
)
def test_coupling_table(coupling, low, high):
    # 94-110 Table 7, p. 18.
    assert coupling_multiplier(coupling, LOW_CM) == low
    assert coupling_multiplier(coupling, HIGH_CM) == high


@pytest.mark.parametrize(
    ("multiplier", "rows"),
    [
        # 94-110 Tables 1 to 4, metric columns, from memory.
        pytest.param(
            horizontal_multiplier,
            {25: 1.00, 28: 0.89, 30: 0.83, 32: 0.78, 40: 0.63, 50: 0.50, 60: 0.42, 63: 0.40, 64: 0},
            id="HM",
        ),
        pytest.param(
            vertical_multiplier,
            {
                0: 0.78,
                30: 0.87,
                60: 0.96,
                75: 1.0,
                100: 0.93,
                130: 0.84,
                150: 0.78,
                175: 0.70,
                176: 0,
            },
            id="VM",
        ),
        pytest.param(
            distance_multiplier,
            {25: 1.00, 40: 0.93, 55: 0.90, 70: 0.88, 100: 0.87, 145: 0.85, 175: 0.85, 176: 0},
            id="DM",
        ),
        pytest.param(
            asymmetry_multiplier,
            {0: 1.00, 30: 0.90, 45: 0.86, 60: 0.81, 90: 0.71, 120: 0.62, 135: 0.57, 136: 0},
            id="AM",
        ),
    ],
)
def test_multiplier_tables(multiplier, rows):
    for value, expected in rows.items():
        assert multiplier(value) == pytest.approx(expected, abs=0.0051)


def test_ccohs_factors():
    # ccohs.ca/oshanswers/ergonomics/niosh: A 90 deg .71, F 10/min above 1 h at V 75 .13; 23 kg.
    assert asymmetry_multiplier(90) == pytest.approx(0.71, abs=0.005)
    assert frequency_multiplier(10, "long", 75) == pytest.approx(0.13)


def us_lift(load_lb, origin, destination, *, lifts_per_min, coupling):
    """Read a US worksheet: H and V in inches, A in degrees."""

    def position(horizontal_in, vertical_in, asymmetry_deg=0.0):
        return HandPosition(horizontal_in * INCH_CM, vertical_in * INCH_CM, asymmetry_deg)

    return LiftingTask(
        load_kg=load_lb,
        origin=position(*origin),
        destination=position(*destination),
        lifts_per_min=lifts_per_min,
        duration="short",
        coupling=coupling,
        control_at_destination=True,
    )


PRESS_STOCK = us_lift(44, (23, 15), (23, 63), lifts_per_min=0.2, coupling="fair")
SUPPLY_ROLLS = us_lift(35, (15, 27), (20, 10), lifts_per_min=0.2, coupling="poor")
HOPPER_BAGS = us_lift(40, (18, 15, 45), (10, 36), lifts_per_min=0.2, coupling="fair")
INSPECTION = us_lift(26, (10, 22), (20, 59), lifts_per_min=3, coupling="fair")


@pytest.mark.parametrize(
    ("task", "end", "limit_lb", "index"),
    [
        # Limits and multipliers of Example 4 seen; loads, heights and indices from memory.
        pytest.param(INSPECTION, "origin", 34.9, 0.7, id="Ex 4 package inspection, p. 46"),
        pytest.param(INSPECTION, "destination", 15.2, 1.7, id="Ex 4, destination"),
        # From memory, and the inputs reproduce the printed limits.
        pytest.param(SUPPLY_ROLLS, "origin", 28.0, 1.3, id="Ex 2 supply rolls, p. 39"),
        pytest.param(SUPPLY_ROLLS, "destination", 18.1, 1.9, id="Ex 2, destination"),
        pytest.param(HOPPER_BAGS, "origin", 18.9, 2.1, id="Ex 3 bags into a hopper, p. 43"),
    ],
)
def test_worked_examples_with_worksheet_rounding(task, end, limit_lb, index):
    limit = getattr(assess_lift(task, load_constant=51, rounded=True), end)
    assert limit.recommended_kg == pytest.approx(limit_lb)
    assert limit.lifting_index == pytest.approx(index)


def test_press_stock_uses_the_printed_table_at_23_inches():
    # Example 1, p. 35, from memory: 16.3 lb / 2.7 and 14.5 lb / 3.0, with the table's HM of .44
    # where the formula gives .4348.
    found = assess_lift(PRESS_STOCK, load_constant=51)
    assert found.origin.recommended_kg * 0.44 / 0.4348 == pytest.approx(16.3, abs=0.1)
    assert found.destination.recommended_kg * 0.44 / 0.4348 == pytest.approx(14.5, abs=0.1)
    assert found.origin.lifting_index == pytest.approx(2.7, abs=0.1)
    assert found.lifting_index == pytest.approx(3.0, abs=0.1)


@pytest.mark.parametrize(
    ("task", "end", "limit_lb"),
    [
        (INSPECTION, "origin", 34.9),
        (INSPECTION, "destination", 15.2),
        (PRESS_STOCK, "origin", 16.3),
        (PRESS_STOCK, "destination", 14.5),
        (SUPPLY_ROLLS, "origin", 28.0),
        (SUPPLY_ROLLS, "destination", 18.1),
        (HOPPER_BAGS, "origin", 18.9),
    ],
)
def test_worked_examples_at_full_precision(task, end, limit_lb):
    # The same examples; worksheet rounding is worth up to 2 %.
    limit = getattr(assess_lift(task, load_constant=51), end)
    assert limit.recommended_kg == pytest.approx(limit_lb, rel=0.021)


def test_package_inspection_multipliers():
    # Example 4, Fig. 14, p. 46 (seen): the frequency is read at the origin's height, the coupling
    # at the end that is assessed.
    found = assess_lift(INSPECTION, load_constant=51, rounded=True)
    origin, destination = found.origin, found.destination
    assert (origin.horizontal, origin.vertical, origin.distance) == (1.00, 0.94, 0.87)
    assert (origin.asymmetry, origin.frequency, origin.coupling) == (1.00, 0.88, 0.95)
    assert (destination.horizontal, destination.vertical) == (0.50, 0.78)
    assert (destination.frequency, destination.coupling) == (0.88, 1.00)


def test_composite_index_of_three_tasks():
    # The illustration of section 2.4.5, from memory: loads 30, 20 and 10 lb at 1, 2 and 4 lifts a
    # minute within one hour, FIRWL 20, 20 and 15 lb: STRWL 18.8, 18.2, 12.6; FILI 1.5, 1.0, .67;
    # STLI 1.6, 1.1, .8; CLI = 1.60 + .07 + .20 = 1.9.
    job = [
        CompositeTask(10, 15, 4, 100),
        CompositeTask(30, 20, 1, 100),
        CompositeTask(20, 20, 2, 100),
    ]
    found = composite_lifting_index(job, "short")
    assert found.single_task_limits_kg == pytest.approx((12.6, 18.8, 18.2), abs=0.05)
    assert found.frequency_independent_indices == pytest.approx((0.67, 1.5, 1.0), abs=0.005)
    assert found.single_task_indices == pytest.approx((0.8, 1.6, 1.1), abs=0.05)
    assert found.increments == pytest.approx((1.60, 0.07, 0.20), abs=0.006)
    assert found.composite_index == pytest.approx(1.9, abs=0.05)
