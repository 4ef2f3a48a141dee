"""Properties of the lifting equation."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.lifting import (
    LOAD_CONSTANT_KG,
    CompositeTask,
    HandPosition,
    LiftingTask,
    assess_lift,
    composite_lifting_index,
    composite_task,
    distance_multiplier,
    duration_class,
    frequency_multiplier,
    lifting_caution,
)

positions = st.builds(
    HandPosition, st.floats(20.0, 63.0), st.floats(0.0, 175.0), st.floats(0.0, 135.0)
)
durations = st.sampled_from(["short", "moderate", "long"])
couplings = st.sampled_from(["good", "fair", "poor"])
tasks = st.builds(
    LiftingTask,
    load_kg=st.floats(0.1, 40.0),
    origin=positions,
    destination=positions,
    lifts_per_min=st.floats(0.0, 8.0),
    duration=durations,
    coupling=couplings,
    control_at_destination=st.booleans(),
)
parts = st.builds(
    CompositeTask,
    load_kg=st.floats(0.5, 30.0),
    frequency_independent_kg=st.floats(2.0, 23.0),
    lifts_per_min=st.floats(0.2, 1.6),
    vertical_cm=st.floats(0.0, 175.0),
)
EXAMPLE = LiftingTask(
    12.0, HandPosition(40, 80, 30), HandPosition(50, 140), 2.0, "moderate", "fair", True
)


@given(tasks)
def test_the_limit_lies_between_nothing_and_the_load_constant(task):
    found = assess_lift(task)
    for limit in filter(None, (found.origin, found.destination)):
        assert 0 < limit.recommended_kg <= LOAD_CONSTANT_KG * (1 + 1e-12)
        assert limit.recommended_kg <= limit.frequency_independent_kg * (1 + 1e-12)
        assert limit.note == ""
        assert limit.lifting_index * limit.recommended_kg == pytest.approx(task.load_kg)
        assert found.lifting_index >= limit.lifting_index


@given(tasks, st.floats(0.0, 1.0))
def test_a_harder_lift_never_has_a_higher_limit(task, more):
    base = assess_lift(task).origin.recommended_kg * (1 + 1e-9)
    start = task.origin
    farther = replace(start, horizontal_cm=start.horizontal_cm + more * 10)
    twisted = replace(start, asymmetry_deg=start.asymmetry_deg + more * 30)
    assert assess_lift(replace(task, origin=farther)).origin.recommended_kg <= base
    assert assess_lift(replace(task, origin=twisted)).origin.recommended_kg <= base
    faster = replace(task, lifts_per_min=task.lifts_per_min + more * 5)
    assert assess_lift(faster).origin.recommended_kg <= base
    assert assess_lift(replace(task, coupling="poor")).origin.recommended_kg <= base
    assert assess_lift(replace(task, duration="long")).origin.recommended_kg <= base


@given(tasks)
def test_worksheet_rounding_stays_near_the_formula(task):
    exact, rounded = assess_lift(task).origin, assess_lift(task, rounded=True).origin
    # Six multipliers off by .005 each, the smallest of them .18, then .05 kg.
    assert rounded.recommended_kg == pytest.approx(exact.recommended_kg, rel=0.08, abs=0.051)
    assert round(rounded.recommended_kg, 1) == rounded.recommended_kg


@given(durations, st.booleans(), st.floats(0.0, 20.0), st.floats(0.0, 5.0))
def test_frequency_multiplier_only_falls(duration, high, lifts_per_min, more):
    vertical_cm = 100.0 if high else 50.0
    before = frequency_multiplier(lifts_per_min, duration, vertical_cm)
    assert frequency_multiplier(lifts_per_min + more, duration, vertical_cm) <= before + 1e-12


@given(st.floats(25.0, 175.0))
def test_distance_multiplier_lies_between_its_ends(distance_cm):
    assert 0.845 <= distance_multiplier(distance_cm) <= 1.0


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"origin": HandPosition(64, 80)}, "64 cm out"),
        ({"origin": HandPosition(40, 176)}, "176 cm up"),
        ({"origin": HandPosition(40, 0), "destination": HandPosition(40, 180)}, "travels 180 cm"),
        ({"origin": HandPosition(40, 80, 140)}, "140 degrees aside"),
        ({"lifts_per_min": 13.0}, "13 lifts a minute"),
    ],
)
def test_no_recommended_weight_gives_an_infinite_index_and_says_why(change, reason):
    found = assess_lift(replace(EXAMPLE, control_at_destination=False, **change))
    assert found.origin.recommended_kg == 0.0
    assert found.lifting_index == math.inf
    assert reason in found.origin.note


def test_a_limit_that_rounds_to_nothing_says_so():
    hard = replace(
        EXAMPLE,
        origin=HandPosition(63, 0, 135),
        destination=HandPosition(63, 175, 135),
        lifts_per_min=8.0,
        duration="long",
        coupling="poor",
    )
    found = assess_lift(hard, load_constant=0.5, rounded=True).origin
    assert found.lifting_index == math.inf
    assert "rounds to zero" in found.note


def test_the_destination_counts_only_where_control_is_needed():
    assert assess_lift(replace(EXAMPLE, control_at_destination=False)).destination is None
    found = assess_lift(EXAMPLE)
    assert found.governing is found.destination


@given(st.lists(parts, min_size=1, max_size=5), durations, st.randoms())
def test_composite_index_is_at_least_the_hardest_task_in_any_order(job, duration, random):
    found = composite_lifting_index(job, duration)
    assert found.composite_index >= max(found.single_task_indices) * (1 - 1e-12)
    assert all(step >= -1e-12 for step in found.increments)
    shuffled = list(job)
    random.shuffle(shuffled)
    again = composite_lifting_index(shuffled, duration)
    if len(set(found.single_task_indices)) == len(job):
        assert again.composite_index == pytest.approx(found.composite_index)


@given(tasks)
def test_a_job_of_one_task_has_the_index_of_that_task(task):
    found = composite_lifting_index([composite_task(task)], task.duration)
    assert found.composite_index == pytest.approx(assess_lift(task).lifting_index)


@given(parts, st.integers(1, 4), durations)
def test_splitting_a_task_into_equal_shares_changes_nothing(part, shares, duration):
    whole = replace(part, lifts_per_min=shares * part.lifts_per_min)
    assert composite_lifting_index(shares * [part], duration).composite_index == pytest.approx(
        composite_lifting_index([whole], duration).composite_index
    )


def test_composite_index_beyond_the_table_is_infinite_and_says_why():
    busy = composite_lifting_index(
        [CompositeTask(5, 15, 6, 50), CompositeTask(4, 15, 5, 50)], "long"
    )
    assert busy.composite_index == math.inf
    assert "11 lifts a minute" in busy.note
    hopeless = composite_lifting_index(
        [CompositeTask(5, 0, 1, 50), CompositeTask(4, 15, 1, 50)], "short"
    )
    assert hopeless.composite_index == math.inf
    assert "at least one task" in hopeless.note
    two = composite_lifting_index(
        [CompositeTask(9, 9, 14, 50), CompositeTask(9, 9, 14, 50)], "long"
    )
    assert two.composite_index == math.inf


@pytest.mark.parametrize(
    ("work_h", "recovery_h", "expected"),
    [
        # 94-110 (2021) pp. 13-14.
        (1.0, 1.0, "short"),
        (1.0, 0.9, "moderate"),
        (0.5, 0.1, "long"),
        (1.5, 0.45, "moderate"),
        (1.5, 0.4, "long"),
        (2.5, 8.0, "long"),
        (8.0, 0.0, "long"),
    ],
)
def test_duration_classes(work_h, recovery_h, expected):
    assert duration_class(work_h, recovery_h) == expected


@pytest.mark.parametrize(
    ("index", "code"),
    [
        (1.0, None),
        (1.01, "lifting-raised"),
        (3.0, "lifting-raised"),
        (3.1, "lifting-high"),
        (math.inf, "lifting-no-limit"),
    ],
)
def test_cautions_follow_the_index(index, code):
    caution = lifting_caution(index, "Top frames")
    assert (caution.code if caution else None) == code
    if caution:
        assert caution.text.startswith("Top frames")


def test_senseless_input_is_refused():
    with pytest.raises(ValueError, match="load_kg"):
        assess_lift(replace(EXAMPLE, load_kg=-1.0))
    with pytest.raises(ValueError, match="vertical_cm"):
        assess_lift(replace(EXAMPLE, origin=HandPosition(40, -5)))
    with pytest.raises(ValueError, match="work_h"):
        duration_class(9.0, 0.0)
    with pytest.raises(ValueError, match="at least one task"):
        composite_lifting_index([], "short")
    with pytest.raises(ValueError, match="lifting_index"):
        lifting_caution(math.nan, "Lifts")
