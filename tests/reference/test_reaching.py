"""Thresholds for hands and feet against the public texts that print them."""

import pytest

from lineconfig.assess.reaching import (
    WORK_HEIGHTS,
    headroom_cautions,
    height_cautions,
    least_standing_height_mm,
)

FOOT_MM = 304.8


def codes(*args, **kwargs):
    return {caution.code for caution in height_cautions(*args, **kwargs)}


@pytest.mark.parametrize(
    ("work", "low_cm", "high_cm"),
    [("precision", 102, 132), ("light", 87, 117), ("heavy", 72, 112)],
)
def test_standing_work_heights(work, low_cm, high_cm):
    # Pheasant and Haslegrave, Bodyspace, 3rd edition 2006, quoted by msdprevention.com.
    assert WORK_HEIGHTS[work].low_mm == 10 * low_cm
    assert WORK_HEIGHTS[work].high_mm == 10 * high_cm
    assert codes(10 * low_cm - 1, work=work) == {"hands-low"}
    assert codes(10 * low_cm, work=work) == set()
    assert codes(10 * high_cm, work=work) == set()
    assert codes(10 * high_cm + 1, work=work) == {"hands-high"}


@pytest.mark.parametrize(
    ("hand_mm", "expected"),
    [
        # NIOSH 94-110 (2021), p. 9: V above 175 cm (70 in) has no recommended weight.
        (1750, "hands-high"),
        (1751, "reach-above-limit"),
    ],
)
def test_reach_limit(hand_mm, expected):
    assert codes(hand_mm) == {expected}


def test_a_bulk_pallet_of_full_height_needs_a_step():
    # 21 layers of 4.812 in cans are 101.05 in (2567 mm) tall (CMI can height, arithmetic).
    assert least_standing_height_mm(2567) == pytest.approx(817)
    assert least_standing_height_mm(1700) == 0.0


@pytest.mark.parametrize(
    ("standing_mm", "dangerous", "expected"),
    [
        # 29 CFR 1910.28(b)(1)(i), scribd.com/document/709534487: 4 ft (1.2 m) or more.
        pytest.param(1190, False, set(), id="below 4 ft"),
        pytest.param(1200, False, {"fall-protection"}, id="1.2 m, the metric figure printed"),
        # 29 CFR 1910.28(b)(6)(i): less than 4 ft above dangerous equipment.
        pytest.param(600, True, {"fall-onto-equipment"}, id="less than 4 ft above machinery"),
        pytest.param(1500, True, {"fall-protection", "platform-handrail"}, id="5 ft"),
        # 29 CFR 1910.23(e), from memory: handrails from 4 ft, guardrails and toeboards above 10 ft.
        pytest.param(4 * FOOT_MM, False, {"fall-protection", "platform-handrail"}, id="4 ft"),
        pytest.param(10 * FOOT_MM, False, {"fall-protection", "platform-handrail"}, id="10 ft"),
        pytest.param(10.1 * FOOT_MM, False, {"fall-protection", "platform-guardrail"}, id="above"),
    ],
)
def test_ladder_and_platform_thresholds(standing_mm, dangerous, expected):
    found = codes(standing_mm + 1000, standing_mm, dangerous_equipment_below=dangerous)
    assert found == expected | {"step-or-platform"}


def test_the_texts_carry_the_published_figures():
    found = {caution.code: caution for caution in height_cautions(4200, 3200)}
    # 29 CFR 1910.29(b)(1), osha.gov/node/44142: 42 in +/- 3 in (107 +/- 8 cm).
    assert "42 in" in found["fall-protection"].text
    assert "107 +/- 8 cm" in found["fall-protection"].text
    # 29 CFR 1910.23(e)(1)(i), osha.gov/laws-regs/standardinterpretations/2024-06-06-0.
    assert "16 in (41 cm)" in found["step-or-platform"].text


@pytest.mark.parametrize(
    ("standing_mm", "clear_mm", "low"),
    [
        # 29 CFR 1910.25(b)(2), from memory: 80 in = 2032 mm overhead of steps.
        (1000, 3032, False),
        (1000, 3031, True),
        (0, 1900, False),
        (1200, 1000, True),
    ],
)
def test_headroom_over_a_platform(standing_mm, clear_mm, low):
    found = headroom_cautions(standing_mm, clear_mm)
    assert [caution.code for caution in found] == ["low-headroom"] * low
