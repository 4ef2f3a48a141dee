"""Properties of the cautions about heights."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.reaching import (
    height_cautions,
    least_standing_height_mm,
    standing_cautions,
)

heights = st.floats(0.0, 6000.0)
works = st.sampled_from(["precision", "light", "heavy"])


@given(heights, heights, works, st.booleans())
def test_cautions_never_certify_anything(hand_mm, standing_mm, work, dangerous):
    found = height_cautions(hand_mm, standing_mm, work=work, dangerous_equipment_below=dangerous)
    for caution in found:
        assert not re.search(r"\b(safe|safely|compliant|complies|compliance)\b", caution.text)
        assert caution.code
        assert caution.basis
    assert len({caution.code for caution in found}) == len(found)


@given(heights, st.floats(0.1, 6000.0))
def test_whoever_stands_above_the_floor_gets_a_caution_that_defers(hand_mm, standing_mm):
    found = {caution.code: caution.text for caution in height_cautions(hand_mm, standing_mm)}
    assert "Local codes" in found["step-or-platform"]


@given(heights)
def test_standing_just_high_enough_brings_the_hands_within_the_limit(hand_mm):
    standing_mm = least_standing_height_mm(hand_mm)
    # A hair higher, so that subtracting the two heights cannot land above the limit.
    found = {caution.code for caution in height_cautions(hand_mm, standing_mm * (1 + 1e-12))}
    assert "reach-above-limit" not in found
    if standing_mm > 1.0:
        lower = {caution.code for caution in height_cautions(hand_mm, standing_mm - 1.0)}
        assert "reach-above-limit" in lower


@given(heights, heights, st.floats(0.0, 2000.0), works)
def test_reach_counts_from_the_feet(hand_mm, standing_mm, lift_mm, work):
    def reach(hand, standing):
        names = {"reach-above-limit", "hands-high", "hands-low"}
        return {c.code for c in height_cautions(hand, standing, work=work)} & names

    # Whole millimetres, so that both differences are exact.
    hand_mm, standing_mm, lift_mm = round(hand_mm), round(standing_mm), round(lift_mm)
    assert reach(hand_mm, standing_mm) == reach(hand_mm + lift_mm, standing_mm + lift_mm)


@given(heights, st.booleans())
def test_where_people_stand_is_a_matter_of_its_own(standing_mm, dangerous):
    alone = standing_cautions(standing_mm, dangerous_equipment_below=dangerous)
    # Hands at a good height add nothing to it.
    found = height_cautions(standing_mm + 1000.0, standing_mm, dangerous_equipment_below=dangerous)
    assert found == alone
    assert (alone == []) == (standing_mm == 0.0)


def test_negative_heights_are_refused():
    with pytest.raises(ValueError, match="hand_height_mm"):
        height_cautions(-1.0)
    with pytest.raises(ValueError, match="standing_height_mm"):
        height_cautions(1000.0, -1.0)
    with pytest.raises(ValueError, match="standing_height_mm"):
        standing_cautions(-1.0)
    with pytest.raises(ValueError, match="most_reach_mm"):
        least_standing_height_mm(1000.0, most_reach_mm=0.0)
